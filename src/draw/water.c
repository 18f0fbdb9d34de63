/* SPDX-License-Identifier: Apache-2.0 */
/* The water itself: bed above the waterline, shaded classes, dots of soundings, shore. */
#include "draw/sheet.h"

#include <stdint.h>

enum { DOTS_MOST = 8000 };

static void clip_to_frame(lw_sheet *sheet)
{
  const lw_rect *f = &sheet->spread.frame;
  sheet->pen->c->cairo_rectangle(sheet->pen->cr, f->x, f->y, f->width, f->height);
  sheet->pen->c->cairo_clip(sheet->pen->cr);
}

static void fill_contour(lw_sheet *sheet, const lw_contour *contour, lw_ink ink)
{
  for (size_t r = 0; r < contour->ring_count; r++) {
    lw_sheet_ring(sheet, contour->rings[r].spots, contour->rings[r].count, true);
  }
  lw_pen_ink(sheet->pen, ink);
  sheet->pen->c->cairo_fill(sheet->pen->cr);
}

static void fill_water(lw_sheet *sheet)
{
  const lw_lake_map *in = sheet->in;
  lw_ink shallow = lw_sheet_water(0, sheet->classes);
  bool dry = sheet->waterline != SIZE_MAX;
  lw_sheet_rings(sheet, &in->shore);
  lw_pen_ink(sheet->pen, dry ? lw_sheet_dry() : shallow);
  sheet->pen->c->cairo_fill(sheet->pen->cr);
  if (dry) {
    fill_contour(sheet, &in->contours[sheet->waterline], shallow);
  }
  for (size_t k = sheet->first; k < in->contour_count; k++) {
    size_t number = k - sheet->first + 1;
    if (number % sheet->every == 0) {
      fill_contour(sheet, &in->contours[k], lw_sheet_water(number / sheet->every, sheet->classes));
    }
  }
}

static void draw_dots(lw_sheet *sheet)
{
  const lw_lake_map *in = sheet->in;
  const lw_cairo *c = sheet->pen->c;
  size_t good = 0;
  for (size_t i = 0; i < in->sounding_count; i++) {
    good += in->soundings[i].flaw == LW_SOUNDING_GOOD ? 1 : 0;
  }
  size_t each = good / DOTS_MOST + 1;
  size_t seen = 0;
  for (size_t i = 0; i < in->sounding_count; i++) {
    if (in->soundings[i].flaw == LW_SOUNDING_GOOD && seen++ % each == 0) {
      double x = lw_sheet_x(sheet, in->soundings[i].x_m);
      double y = lw_sheet_y(sheet, in->soundings[i].y_m);
      c->cairo_move_to(sheet->pen->cr, x, y);
      c->cairo_line_to(sheet->pen->cr, x, y);
    }
  }
  c->cairo_set_line_cap(sheet->pen->cr, CAIRO_LINE_CAP_ROUND);
  c->cairo_set_line_width(sheet->pen->cr, 0.9);
  lw_pen_ink(sheet->pen, lw_ink_of(40, 10, 245));
  c->cairo_stroke(sheet->pen->cr);
  c->cairo_set_line_cap(sheet->pen->cr, CAIRO_LINE_CAP_BUTT);
}

void lw_water_draw(lw_sheet *sheet)
{
  const lw_rect *f = &sheet->spread.frame;
  sheet->pen->c->cairo_save(sheet->pen->cr);
  clip_to_frame(sheet);
  sheet->pen->c->cairo_rectangle(sheet->pen->cr, f->x, f->y, f->width, f->height);
  lw_pen_ink(sheet->pen, lw_sheet_ground());
  sheet->pen->c->cairo_fill(sheet->pen->cr);
  sheet->pen->c->cairo_set_fill_rule(sheet->pen->cr, CAIRO_FILL_RULE_EVEN_ODD);
  fill_water(sheet);
  if (sheet->in->sounding_count > 0) {
    draw_dots(sheet);
  }
  sheet->pen->c->cairo_restore(sheet->pen->cr);
}
