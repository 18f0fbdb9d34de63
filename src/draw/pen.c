/* SPDX-License-Identifier: Apache-2.0 */
#include "draw/pen.h"

#include "draw/finish.h"

#include <limits.h>
#include <math.h>
#include <string.h>

enum { PNG_DOTS_PER_INCH = 200, BYTES_MOST = 64 * 1024 * 1024 };
static const double points_per_inch = 72;

static cairo_status_t take_bytes(void *closure, const unsigned char *data, unsigned int length)
{
  lw_text *bytes = closure;
  lw_text_add_n(bytes, (const char *)data, length);
  return bytes->failed ? CAIRO_STATUS_NO_MEMORY : CAIRO_STATUS_SUCCESS;
}

/* --- colours --- */

static double lab_inverse(double t)
{
  return t > 6.0 / 29 ? t * t * t : 3 * (6.0 / 29) * (6.0 / 29) * (t - 4.0 / 29);
}

static double screen_value(double linear)
{
  double value = linear <= 0.0031308 ? 12.92 * linear : 1.055 * pow(linear, 1 / 2.4) - 0.055;
  return fmin(1, fmax(0, value));
}

lw_ink lw_ink_of(double lightness, double chroma, double hue_degrees)
{
  double hue = hue_degrees * 3.14159265358979323846 / 180;
  double fy = (lightness + 16) / 116;
  double x = 0.95047 * lab_inverse(fy + chroma * cos(hue) / 500);
  double y = lab_inverse(fy);
  double z = 1.08883 * lab_inverse(fy - chroma * sin(hue) / 200);
  return (lw_ink){.red = screen_value(3.2404542 * x - 1.5371385 * y - 0.4985314 * z),
                  .green = screen_value(-0.9692660 * x + 1.8760108 * y + 0.0415560 * z),
                  .blue = screen_value(0.0556434 * x - 0.2040259 * y + 1.0572252 * z)};
}

void lw_pen_ink(lw_pen *pen, lw_ink ink)
{
  pen->c->cairo_set_source_rgb(pen->cr, ink.red, ink.green, ink.blue);
}

/* --- beginning --- */

static void describe(lw_pen *pen, const lw_about *about)
{
  char when[LW_INSTANT_TEXT];
  (void)lw_instant_text(about->made_at, when);
  char *fraction = strchr(when, '.');
  if (fraction) {
    (void)strcpy(fraction, "Z"); /* Cairo reads whole seconds */
  }
  pen->c->cairo_pdf_surface_set_metadata(pen->surface, CAIRO_PDF_METADATA_TITLE, about->title);
  pen->c->cairo_pdf_surface_set_metadata(pen->surface, CAIRO_PDF_METADATA_SUBJECT, about->summary);
  pen->c->cairo_pdf_surface_set_metadata(pen->surface, CAIRO_PDF_METADATA_CREATOR, "Lakeward " LW_VERSION);
  pen->c->cairo_pdf_surface_set_metadata(pen->surface, CAIRO_PDF_METADATA_CREATE_DATE, when);
}

static void open_surface(lw_pen *pen, double width_pt, double height_pt, const lw_about *about)
{
  double dots = PNG_DOTS_PER_INCH / points_per_inch;
  switch (pen->format) {
  case LW_PICTURE_SVG:
    pen->surface = pen->c->cairo_svg_surface_create_for_stream(take_bytes, &pen->bytes, width_pt, height_pt);
    break;
  case LW_PICTURE_PNG:
    pen->surface = pen->c->cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)lround(width_pt * dots),
                                                      (int)lround(height_pt * dots));
    break;
  case LW_PICTURE_PDF:
    pen->surface = pen->c->cairo_pdf_surface_create_for_stream(take_bytes, &pen->bytes, width_pt, height_pt);
    describe(pen, about);
    break;
  }
  pen->cr = pen->c->cairo_create(pen->surface);
  if (pen->format == LW_PICTURE_PNG) {
    pen->c->cairo_scale(pen->cr, dots, dots);
  }
}

static PangoLayout *set_text(lw_pen *pen, const char *text, const lw_type *type);

/* Without a font Pango draws nothing and says nothing. */
static bool can_write(lw_pen *pen)
{
  const lw_type type = {.size_pt = 10};
  PangoLayout *layout = set_text(pen, "Not for navigation. 0123456789", &type);
  int unknown = pen->all->pango.pango_layout_get_unknown_glyphs_count(layout);
  PangoRectangle ink;
  pen->all->pango.pango_layout_get_extents(layout, &ink, NULL);
  pen->all->glib.g_object_unref(layout);
  return unknown == 0 && ink.width > 0;
}

static lw_status open_words(lw_pen *pen, lw_error *err)
{
  pen->fonts = pen->all->pangocairo.pango_cairo_font_map_new();
  pen->words = pen->all->pango.pango_font_map_create_context(pen->fonts);
  /* letters of the same shape and width in every format */
  cairo_font_options_t *options = pen->c->cairo_font_options_create();
  pen->c->cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
  pen->c->cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  pen->c->cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  pen->all->pangocairo.pango_cairo_context_set_font_options(pen->words, options);
  pen->all->pangocairo.pango_cairo_context_set_resolution(pen->words, points_per_inch);
  pen->c->cairo_font_options_destroy(options);
  return can_write(pen) ? LW_OK
                        : lw_fail(err, LW_NOT_FOUND,
                                  "there is no font to write with; install the package fonts-dejavu-core and "
                                  "try again");
}

lw_status lw_pen_open(lw_pen *pen, lw_picture_format format, double width_pt, double height_pt,
                      const lw_about *about, lw_error *err)
{
  *pen = (lw_pen){.format = format, .bytes = LW_TEXT(BYTES_MOST)};
  lw_status status = lw_draw_open(&pen->all, err);
  if (status != LW_OK) {
    return status;
  }
  pen->c = &pen->all->cairo;
  status = open_words(pen, err);
  if (status != LW_OK) {
    return status;
  }
  open_surface(pen, width_pt, height_pt, about);
  pen->c->cairo_set_source_rgb(pen->cr, 1, 1, 1);
  pen->c->cairo_paint(pen->cr);
  pen->c->cairo_set_line_join(pen->cr, CAIRO_LINE_JOIN_ROUND);
  return LW_OK;
}

/* --- the end --- */

static lw_status judge(lw_pen *pen, cairo_status_t last, lw_error *err)
{
  cairo_status_t how = pen->c->cairo_status(pen->cr);
  how = how != CAIRO_STATUS_SUCCESS ? how : last;
  if (pen->bytes.failed || how == CAIRO_STATUS_NO_MEMORY) {
    return lw_fail(err, LW_MEMORY, "there is no memory for the picture, or it is larger than %d MiB",
                   BYTES_MOST / (1024 * 1024));
  }
  if (how != CAIRO_STATUS_SUCCESS) {
    return lw_fail(err, LW_INTERNAL, "the picture could not be drawn (%s)",
                   pen->c->cairo_status_to_string(how));
  }
  return LW_OK;
}

lw_status lw_pen_finish(lw_pen *pen, const lw_about *about, lw_arena *arena, char **out, size_t *out_length,
                        lw_error *err)
{
  cairo_status_t last = CAIRO_STATUS_SUCCESS;
  if (pen->format == LW_PICTURE_PNG) {
    last = pen->c->cairo_surface_write_to_png_stream(pen->surface, take_bytes, &pen->bytes);
  } else {
    pen->c->cairo_surface_finish(pen->surface);
    last = pen->c->cairo_surface_status(pen->surface);
  }
  lw_status status = judge(pen, last, err);
  if (status != LW_OK) {
    return status;
  }
  switch (pen->format) {
  case LW_PICTURE_SVG:
    return lw_finish_svg(&pen->bytes, about->title, about->summary, arena, out, out_length, err);
  case LW_PICTURE_PNG:
    return lw_finish_png(&pen->bytes, PNG_DOTS_PER_INCH, arena, out, out_length, err);
  case LW_PICTURE_PDF:
    break;
  }
  *out_length = pen->bytes.length;
  *out = lw_arena_copy_n(arena, pen->bytes.data, pen->bytes.length);
  return *out ? LW_OK : lw_fail(err, LW_MEMORY, "there is no memory for the picture");
}

void lw_pen_close(lw_pen *pen)
{
  if (pen->cr) {
    pen->c->cairo_destroy(pen->cr);
  }
  if (pen->surface) {
    pen->c->cairo_surface_destroy(pen->surface);
  }
  if (pen->words) {
    pen->all->glib.g_object_unref(pen->words);
  }
  if (pen->fonts) {
    pen->all->glib.g_object_unref(pen->fonts);
  }
  lw_text_free(&pen->bytes);
  *pen = (lw_pen){0};
}

/* --- words --- */

static int pango_units(double points)
{
  return (int)lround(fmin(points * PANGO_SCALE, INT_MAX / 4));
}

static PangoLayout *set_text(lw_pen *pen, const char *text, const lw_type *type)
{
  const lw_pango *p = &pen->all->pango;
  PangoLayout *layout = p->pango_layout_new(pen->words);
  PangoFontDescription *font = p->pango_font_description_new();
  p->pango_font_description_set_family(font, "DejaVu Sans,sans-serif");
  p->pango_font_description_set_absolute_size(font, type->size_pt * PANGO_SCALE);
  p->pango_font_description_set_weight(font, type->bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  p->pango_font_description_set_style(font, type->slanted ? PANGO_STYLE_OBLIQUE : PANGO_STYLE_NORMAL);
  p->pango_layout_set_font_description(layout, font);
  p->pango_font_description_free(font);
  p->pango_layout_set_text(layout, text, -1);
  if (type->width_pt > 0) {
    p->pango_layout_set_width(layout, pango_units(type->width_pt));
    p->pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
    p->pango_layout_set_alignment(layout, type->centred ? PANGO_ALIGN_CENTER : PANGO_ALIGN_LEFT);
  }
  if (type->width_pt > 0 && type->lines > 0) {
    p->pango_layout_set_height(layout, -type->lines);
    p->pango_layout_set_ellipsize(layout, PANGO_ELLIPSIZE_END);
  }
  return layout;
}

static lw_extent extent_of(lw_pen *pen, PangoLayout *layout)
{
  PangoRectangle logical;
  pen->all->pango.pango_layout_get_extents(layout, NULL, &logical);
  return (lw_extent){.width_pt = (double)logical.width / PANGO_SCALE,
                     .height_pt = (double)logical.height / PANGO_SCALE};
}

lw_extent lw_pen_measure(lw_pen *pen, const char *text, const lw_type *type)
{
  PangoLayout *layout = set_text(pen, text, type);
  lw_extent extent = extent_of(pen, layout);
  pen->all->glib.g_object_unref(layout);
  return extent;
}

double lw_pen_text(lw_pen *pen, const char *text, const lw_type *type, double x, double y)
{
  PangoLayout *layout = set_text(pen, text, type);
  lw_extent extent = extent_of(pen, layout);
  pen->c->cairo_move_to(pen->cr, x, y);
  pen->all->pangocairo.pango_cairo_show_layout(pen->cr, layout);
  pen->c->cairo_new_path(pen->cr);
  pen->all->glib.g_object_unref(layout);
  return extent.height_pt;
}

static void draw_rim(lw_pen *pen, PangoLayout *layout, double width, const lw_ink *halo)
{
  pen->c->cairo_save(pen->cr);
  pen->all->pangocairo.pango_cairo_layout_path(pen->cr, layout);
  pen->c->cairo_set_source_rgba(pen->cr, halo->red, halo->green, halo->blue, 0.85);
  pen->c->cairo_set_line_width(pen->cr, width);
  pen->c->cairo_stroke(pen->cr);
  pen->c->cairo_restore(pen->cr);
}

void lw_pen_label(lw_pen *pen, const char *text, const lw_type *type, double x, double y, double angle,
                  const lw_ink *halo)
{
  PangoLayout *layout = set_text(pen, text, type);
  lw_extent extent = extent_of(pen, layout);
  pen->c->cairo_save(pen->cr);
  pen->c->cairo_translate(pen->cr, x, y);
  pen->c->cairo_rotate(pen->cr, angle);
  pen->all->pangocairo.pango_cairo_update_layout(pen->cr, layout);
  pen->c->cairo_move_to(pen->cr, -extent.width_pt / 2, -extent.height_pt / 2);
  if (halo) {
    draw_rim(pen, layout, 0.3 * type->size_pt, halo);
    pen->c->cairo_move_to(pen->cr, -extent.width_pt / 2, -extent.height_pt / 2);
  }
  pen->all->pangocairo.pango_cairo_show_layout(pen->cr, layout);
  pen->c->cairo_new_path(pen->cr);
  pen->c->cairo_restore(pen->cr);
  pen->all->glib.g_object_unref(layout);
}
