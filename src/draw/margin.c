/* SPDX-License-Identifier: Apache-2.0 */
/* What stands round the map: title, legend, scale, north, facts, sources, caution. */
#include "draw/sheet.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

static const double foot_m = 0.3048;
static const double fact_apart_pt = 3;
static const double mile_m = 1609.344;
static const char caution[] =
    "Not for navigation. Depths may have changed; stumps and shoals may be missing.";

/* --- title and frame --- */

static void draw_title(lw_sheet *sheet)
{
  const lw_rect *f = &sheet->spread.frame;
  double width = lw_rect_right(&sheet->spread.panel) - f->x;
  lw_type large = {.size_pt = 20, .bold = true, .width_pt = width, .lines = 1};
  lw_type small = {.size_pt = 9.5, .width_pt = width, .lines = 1};
  const lw_lake_map *in = sheet->in;
  const char *line =
      lw_arena_format(sheet->arena, "Depths in %s with %s%s%s", in->units == LW_US ? "feet" : "metres",
                      in->level, in->date[0] ? " \xC2\xB7 " : "", in->date);
  lw_pen_ink(sheet->pen, lw_sheet_ink());
  (void)lw_pen_text(sheet->pen, in->name, &large, f->x, f->y - 48);
  (void)lw_pen_text(sheet->pen, line ? line : "", &small, f->x, f->y - 18);
}

static void draw_frame(lw_sheet *sheet)
{
  const lw_rect *f = &sheet->spread.frame;
  lw_pen_ink(sheet->pen, lw_sheet_ink());
  sheet->pen->c->cairo_rectangle(sheet->pen->cr, f->x, f->y, f->width, f->height);
  sheet->pen->c->cairo_set_line_width(sheet->pen->cr, 0.8);
  sheet->pen->c->cairo_stroke(sheet->pen->cr);
}

/* --- legend --- */

static double draw_swatch(lw_sheet *sheet, lw_ink ink, const char *words, double x, double y)
{
  static const double width = 26, height = 13;
  const lw_cairo *c = sheet->pen->c;
  c->cairo_rectangle(sheet->pen->cr, x, y, width, height);
  lw_pen_ink(sheet->pen, ink);
  c->cairo_fill_preserve(sheet->pen->cr);
  lw_pen_ink(sheet->pen, lw_sheet_contour());
  c->cairo_set_line_width(sheet->pen->cr, 0.5);
  c->cairo_stroke(sheet->pen->cr);
  lw_type type = {.size_pt = 8.5};
  lw_pen_ink(sheet->pen, lw_sheet_ink());
  lw_extent extent = lw_pen_measure(sheet->pen, words, &type);
  (void)lw_pen_text(sheet->pen, words, &type, x + width + 6, y + (height - extent.height_pt) / 2);
  return y + height;
}

/* Depth at which class `index` begins. */
static double class_from(const lw_sheet *sheet, size_t index)
{
  size_t contour = sheet->first + index * sheet->every - 1;
  return index == 0 ? 0 : sheet->in->contours[contour].depth_m - sheet->in->down_m;
}

static double draw_classes(lw_sheet *sheet, double x, double y)
{
  for (size_t i = 0; i < sheet->classes; i++) {
    char from[LW_NUMBER_MAX], to[LW_NUMBER_MAX], words[2 * LW_NUMBER_MAX + 16];
    (void)lw_sheet_depth(sheet, class_from(sheet, i), from);
    if (i + 1 < sheet->classes) {
      (void)lw_sheet_depth(sheet, class_from(sheet, i + 1), to);
      (void)snprintf(words, sizeof words, "%s to %s", from, to);
    } else {
      (void)snprintf(words, sizeof words, i > 0 ? "%s and more" : "all depths", from);
    }
    y = draw_swatch(sheet, lw_sheet_water(i, sheet->classes), words, x, y);
  }
  return y;
}

static double write_small(lw_sheet *sheet, const char *text, double x, double y, double width)
{
  lw_type type = {.size_pt = 7, .width_pt = width, .lines = 12};
  lw_pen_ink(sheet->pen, lw_sheet_soft());
  return y + lw_pen_text(sheet->pen, text, &type, x, y);
}

static double draw_lines_note(lw_sheet *sheet, double x, double y, double width)
{
  const lw_lake_map *in = sheet->in;
  if (in->contour_count < sheet->first + 2) {
    return y;
  }
  char step[LW_NUMBER_MAX];
  double interval = in->contours[sheet->first + 1].depth_m - in->contours[sheet->first].depth_m;
  const char *note =
      lw_arena_format(sheet->arena, "A line every %s %s.%s", lw_sheet_depth(sheet, interval, step),
                      lw_sheet_unit(sheet), in->sounding_count > 0 ? " Dots: soundings." : "");
  return write_small(sheet, note ? note : "", x, y + 3, width);
}

static double draw_legend(lw_sheet *sheet, double x, double y, double width)
{
  lw_type title = {.size_pt = 9.5, .bold = true, .width_pt = width, .lines = 1};
  char words[32];
  (void)snprintf(words, sizeof words, "Depth, %s", lw_sheet_unit(sheet));
  lw_pen_ink(sheet->pen, lw_sheet_ink());
  y += lw_pen_text(sheet->pen, words, &title, x, y) + 3;
  if (sheet->waterline != SIZE_MAX) {
    y = draw_swatch(sheet, lw_sheet_dry(), "dry at this level", x, y);
  }
  y = draw_classes(sheet, x, y);
  return draw_lines_note(sheet, x, y, width);
}

/* --- scale and north --- */

/* The longest round length (1, 2 or 5 and zeros) of `unit_m` that fits. */
static double round_length(double most_m, double unit_m)
{
  double ten = pow(10, floor(log10(most_m / unit_m)));
  double times = most_m / unit_m / ten;
  return (times >= 5 ? 5 : times >= 2 ? 2 : 1) * ten;
}

typedef struct bar_unit {
  double unit_m;
  const char *name;
} bar_unit;

static bar_unit unit_of_bar(const lw_sheet *sheet, double most_m)
{
  if (sheet->in->units == LW_US) {
    return most_m >= mile_m ? (bar_unit){mile_m, "mi"} : (bar_unit){foot_m, "ft"};
  }
  return most_m >= 2000 ? (bar_unit){1000, "km"} : (bar_unit){1, "m"};
}

static void draw_bar_pieces(lw_sheet *sheet, double x, double y, double length)
{
  enum { PIECES = 4 };
  static const double height = 5;
  const lw_cairo *c = sheet->pen->c;
  lw_pen_ink(sheet->pen, lw_sheet_ink());
  for (int i = 0; i < PIECES; i += 2) {
    c->cairo_rectangle(sheet->pen->cr, x + length * i / PIECES, y, length / PIECES, height);
  }
  c->cairo_fill(sheet->pen->cr);
  c->cairo_rectangle(sheet->pen->cr, x, y, length, height);
  c->cairo_set_line_width(sheet->pen->cr, 0.7);
  c->cairo_stroke(sheet->pen->cr);
}

static double draw_bar(lw_sheet *sheet, double x, double y, double width)
{
  double most_m = width / sheet->spread.pt_per_m;
  bar_unit unit = unit_of_bar(sheet, most_m);
  double length = round_length(most_m, unit.unit_m);
  double length_pt = length * unit.unit_m * sheet->spread.pt_per_m;
  lw_type type = {.size_pt = 8};
  double height = 0;
  lw_pen_ink(sheet->pen, lw_sheet_ink());
  for (int i = 0; i <= 2; i++) {
    char number[LW_NUMBER_MAX], words[LW_NUMBER_MAX + 8];
    (void)snprintf(words, sizeof words, i == 2 ? "%s %s" : "%s", lw_rounded_text(length * i / 2, 6, number),
                   unit.name);
    lw_extent plain = lw_pen_measure(sheet->pen, number, &type);
    double left = i == 0 ? 0 : plain.width_pt / 2;
    height = lw_pen_text(sheet->pen, words, &type, x + length_pt * i / 2 - left, y);
  }
  draw_bar_pieces(sheet, x, y + height + 1, length_pt);
  return y + height + 8;
}

static const char *scale_words(const lw_sheet *sheet)
{
  double n = sheet->spread.denominator;
  double feet = n / 12;
  int thousands = (int)(n / 1000), rest = (int)fmod(n, 1000);
  const char *ratio = thousands > 0 ? lw_arena_format(sheet->arena, "1:%d,%03d", thousands, rest)
                                    : lw_arena_format(sheet->arena, "1:%d", rest);
  if (!ratio) {
    return "";
  }
  const char *words =
      sheet->in->units == LW_US && fmod(feet, 1) == 0
          ? lw_arena_format(sheet->arena, "Scale %s, 1 inch to %.0f ft, when printed at 100 %%", ratio, feet)
          : lw_arena_format(sheet->arena, "Scale %s when printed at 100 %%", ratio);
  return words ? words : "";
}

static void draw_north(lw_sheet *sheet, double x, double y)
{
  static const double height = 30, half = 7;
  const lw_cairo *c = sheet->pen->c;
  cairo_t *cr = sheet->pen->cr;
  lw_type type = {.size_pt = 10, .bold = true};
  lw_pen_ink(sheet->pen, lw_sheet_ink());
  lw_pen_label(sheet->pen, "N", &type, x, y + 6, 0, NULL);
  double top = y + 13;
  c->cairo_move_to(cr, x, top);
  c->cairo_line_to(cr, x - half, top + height);
  c->cairo_line_to(cr, x, top + height * 0.78);
  c->cairo_close_path(cr);
  c->cairo_fill(cr);
  c->cairo_move_to(cr, x, top);
  c->cairo_line_to(cr, x + half, top + height);
  c->cairo_line_to(cr, x, top + height * 0.78);
  c->cairo_close_path(cr);
  c->cairo_set_line_width(cr, 0.7);
  c->cairo_stroke(cr);
}

static double draw_scale(lw_sheet *sheet, double x, double y, double width)
{
  static const double arrow_pt = 26;
  draw_north(sheet, x + width - arrow_pt / 2, y);
  double low = draw_bar(sheet, x + 3, y + 4, width - arrow_pt - 24);
  low = write_small(sheet, scale_words(sheet), x, low + 4, width - arrow_pt - 8);
  return fmax(low, y + 44);
}

/* --- words --- */

static double facts_height(lw_sheet *sheet, const lw_type *type)
{
  double height = 0;
  for (size_t i = 0; i < sheet->in->fact_count; i++) {
    height += lw_pen_measure(sheet->pen, sheet->in->facts[i], type).height_pt + fact_apart_pt;
  }
  return height;
}

/* As large as there is room for; at the smallest size a line each, its end cut. */
static double write_facts(lw_sheet *sheet, double x, double y, double width, double low)
{
  static const double sizes[] = {8.5, 8, 7.5, 7, 6.5, 6};
  const size_t count = sizeof sizes / sizeof *sizes;
  lw_type type = {.size_pt = sizes[0], .width_pt = width};
  size_t k = 0;
  for (; k < count; k++) {
    type.size_pt = sizes[k];
    if (y + facts_height(sheet, &type) <= low) {
      break;
    }
  }
  type.lines = k == count ? 1 : 0;
  lw_pen_ink(sheet->pen, lw_sheet_ink());
  for (size_t i = 0; i < sheet->in->fact_count; i++) {
    y += lw_pen_text(sheet->pen, sheet->in->facts[i], &type, x, y) + fact_apart_pt;
  }
  return y;
}

static void write_sources(lw_sheet *sheet, double x, double y, double width, double low)
{
  lw_type type = {.size_pt = 7, .width_pt = width};
  if (!sheet->in->sources || !sheet->in->sources[0]) {
    return;
  }
  double line = lw_pen_measure(sheet->pen, "X", &type).height_pt;
  type.lines = (int)fmax(1, floor((low - y) / line));
  lw_pen_ink(sheet->pen, lw_sheet_soft());
  (void)lw_pen_text(sheet->pen, sheet->in->sources, &type, x, y);
}

static void draw_caution(lw_sheet *sheet)
{
  const lw_rect *p = &sheet->spread.panel;
  double left = sheet->spread.frame.x;
  double width = lw_rect_right(p) - left;
  double top = lw_rect_bottom(p) + 10;
  const double height = 26;
  lw_type type = {.size_pt = 10.5, .bold = true};
  lw_pen_ink(sheet->pen, lw_sheet_alarm());
  sheet->pen->c->cairo_rectangle(sheet->pen->cr, left, top, width, height);
  sheet->pen->c->cairo_set_line_width(sheet->pen->cr, 1);
  sheet->pen->c->cairo_stroke(sheet->pen->cr);
  lw_pen_label(sheet->pen, caution, &type, left + width / 2, top + height / 2, 0, NULL);
}

/* Landscape: one column at the right. */
static void draw_column(lw_sheet *sheet)
{
  const lw_rect *p = &sheet->spread.panel;
  const double sources_pt = 96, apart = 14;
  double low = lw_rect_bottom(p);
  double y = draw_legend(sheet, p->x, p->y, p->width) + apart;
  y = draw_scale(sheet, p->x, y, p->width) + apart;
  bool sources = sheet->in->sources && sheet->in->sources[0];
  y = write_facts(sheet, p->x, y, p->width, sources ? low - sources_pt / 2 : low);
  write_sources(sheet, p->x, fmax(y + 6, low - sources_pt), p->width, low);
}

/* Portrait: legend, then scale and sources, then facts, side by side below the map. */
static void draw_row(lw_sheet *sheet)
{
  const lw_rect *p = &sheet->spread.panel;
  const double apart = 16, legend = 112;
  double width = (p->width - legend - 2 * apart) / 2;
  double middle = p->x + legend + apart;
  double right = middle + width + apart;
  double low = lw_rect_bottom(p);
  (void)draw_legend(sheet, p->x, p->y, legend);
  double y = draw_scale(sheet, middle, p->y, width) + 12;
  write_sources(sheet, middle, y, width, low);
  (void)write_facts(sheet, right, p->y, width, low);
}

void lw_margin_draw(lw_sheet *sheet)
{
  draw_title(sheet);
  draw_frame(sheet);
  if (sheet->spread.landscape) {
    draw_column(sheet);
  } else {
    draw_row(sheet);
  }
  draw_caution(sheet);
}
