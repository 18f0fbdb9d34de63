/* SPDX-License-Identifier: Apache-2.0 */
#include "draw/sheet.h"

#include <math.h>

static const double foot_m = 0.3048;
static const double hair_pt = 0.04;

enum { SKIPPED_MOST = 16 };

lw_ink lw_sheet_ink(void)
{
  return lw_ink_of(13, 8, 245);
}

lw_ink lw_sheet_soft(void)
{
  return lw_ink_of(32, 8, 245);
}

lw_ink lw_sheet_ground(void)
{
  return lw_ink_of(97, 4, 95);
}

lw_ink lw_sheet_dry(void)
{
  return lw_ink_of(90, 12, 85);
}

lw_ink lw_sheet_reed(void)
{
  return lw_ink_of(35, 30, 115);
}

lw_ink lw_sheet_alarm(void)
{
  return lw_ink_of(37, 60, 45);
}

lw_ink lw_sheet_contour(void)
{
  return lw_ink_of(34, 22, 247);
}

/* One hue; lightness in even steps, never so dark that words on it are hard to read. */
lw_ink lw_sheet_water(size_t index, size_t classes)
{
  const double lightest = 95, darkest = 60, step_most = 9;
  double step = classes > 1 ? fmin(step_most, (lightest - darkest) / (double)(classes - 1)) : 0;
  double lightness = lightest - step * (double)index;
  return lw_ink_of(lightness, 6 + 0.75 * (lightest - lightness), 243);
}

double lw_rect_right(const lw_rect *rect)
{
  return rect->x + rect->width;
}

double lw_rect_bottom(const lw_rect *rect)
{
  return rect->y + rect->height;
}

double lw_sheet_x(const lw_sheet *sheet, double x_m)
{
  const lw_rect *frame = &sheet->spread.frame;
  double middle_m = (sheet->ground.west_m + sheet->ground.east_m) / 2;
  return frame->x + frame->width / 2 + (x_m - middle_m) * sheet->spread.pt_per_m;
}

double lw_sheet_y(const lw_sheet *sheet, double y_m)
{
  const lw_rect *frame = &sheet->spread.frame;
  double middle_m = (sheet->ground.south_m + sheet->ground.north_m) / 2;
  return frame->y + frame->height / 2 - (y_m - middle_m) * sheet->spread.pt_per_m;
}

const char *lw_sheet_depth(const lw_sheet *sheet, double depth_m, char out[LW_NUMBER_MAX])
{
  double value = sheet->in->units == LW_US ? depth_m / foot_m : depth_m;
  double tenth = round(value * 100) / 100;
  return lw_rounded_text(tenth, fabs(tenth) < 10 ? 3 : 4, out);
}

const char *lw_sheet_unit(const lw_sheet *sheet)
{
  return sheet->in->units == LW_US ? "ft" : "m";
}

static double off_line(const lw_spot *p, const lw_spot *a, const lw_spot *b)
{
  double x = b->x_m - a->x_m, y = b->y_m - a->y_m;
  double square = x * x + y * y;
  double t = square > 0 ? ((p->x_m - a->x_m) * x + (p->y_m - a->y_m) * y) / square : 0;
  t = fmin(1, fmax(0, t));
  return hypot(p->x_m - a->x_m - t * x, p->y_m - a->y_m - t * y);
}

/* May the spots after `from` up to `to` be left out, the line then going straight to the next? */
static bool straight(const lw_spot *spots, size_t from, size_t to, double within_m)
{
  if (to - from > SKIPPED_MOST) {
    return false;
  }
  for (size_t i = from + 1; i <= to; i++) {
    if (off_line(&spots[i], &spots[from], &spots[to + 1]) > within_m) {
      return false;
    }
  }
  return true;
}

void lw_sheet_ring(lw_sheet *sheet, const lw_spot *spots, size_t count, bool closed)
{
  const lw_cairo *c = sheet->pen->c;
  const double within_m = hair_pt / sheet->spread.pt_per_m;
  size_t last = 0;
  for (size_t i = 0; i < count; i++) {
    double x = lw_sheet_x(sheet, spots[i].x_m);
    double y = lw_sheet_y(sheet, spots[i].y_m);
    if (i == 0) {
      c->cairo_move_to(sheet->pen->cr, x, y);
    } else if (i + 1 == count || !straight(spots, last, i, within_m)) {
      c->cairo_line_to(sheet->pen->cr, x, y);
      last = i;
    }
  }
  if (closed) {
    c->cairo_close_path(sheet->pen->cr);
  }
}

void lw_sheet_rings(lw_sheet *sheet, const lw_shore *shore)
{
  for (size_t r = 0; r < shore->ring_count; r++) {
    size_t from = shore->ring_start[r];
    lw_sheet_ring(sheet, shore->spots + from, shore->ring_start[r + 1] - from, true);
  }
}
