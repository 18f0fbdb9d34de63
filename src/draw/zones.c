/* SPDX-License-Identifier: Apache-2.0 */
/* Zones, hazards and the deepest place: a mark at the place and words beside it. Words go where they
 * meet nothing, near first; farther off a thin line leads to them. Hazards choose first. */
#include "draw/sheet.h"

#include "draw/zone_marks.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

static const double words_pt = 7.5;
static const double mark_pt = 7;
static const double led_from_pt = 14; /* words farther from their mark get a line */
static const double line_tile_pt = 4;

enum { LINE_TILES = 300 }; /* along one zone */

static lw_type type_of(const lw_map_zone *zone)
{
  return (lw_type){.size_pt = words_pt, .bold = lw_zone_hurts(zone), .slanted = zone->shape == LW_ZONE_AREA};
}

/* --- where the words belong --- */

/* The widest stretch inside the area on the line `y` (pt); its middle into *x. */
static double widest_at(const lw_sheet *sheet, const lw_shore *area, double y, double *x)
{
  enum { CROSSINGS = 256 };
  double at[CROSSINGS];
  size_t count = 0;
  for (size_t r = 0; r < area->ring_count; r++) {
    size_t from = area->ring_start[r], to = area->ring_start[r + 1];
    for (size_t i = from; i < to && count < CROSSINGS; i++) {
      const lw_spot *a = &area->spots[i];
      const lw_spot *b = &area->spots[i + 1 < to ? i + 1 : from];
      double ay = lw_sheet_y(sheet, a->y_m), by = lw_sheet_y(sheet, b->y_m);
      if ((ay > y) != (by > y)) {
        double x_m = a->x_m + (y - ay) / (by - ay) * (b->x_m - a->x_m);
        size_t k = count++;
        for (; k > 0 && at[k - 1] > lw_sheet_x(sheet, x_m); k--) {
          at[k] = at[k - 1];
        }
        at[k] = lw_sheet_x(sheet, x_m);
      }
    }
  }
  double widest = 0;
  for (size_t k = 0; k + 1 < count; k += 2) {
    if (at[k + 1] - at[k] > widest) {
      widest = at[k + 1] - at[k];
      *x = (at[k] + at[k + 1]) / 2;
    }
  }
  return widest;
}

static void anchor_area(const lw_sheet *sheet, const lw_shore *area, lw_zone_label *label)
{
  double top = INFINITY, bottom = -INFINITY;
  for (size_t i = 0; i < area->spot_count; i++) {
    double y = lw_sheet_y(sheet, area->spots[i].y_m);
    top = fmin(top, y);
    bottom = fmax(bottom, y);
  }
  double best = -1;
  for (int k = 1; k < 12; k++) {
    double y = top + (bottom - top) * k / 12 + 1e-7;
    double x = 0;
    double width = widest_at(sheet, area, y, &x) - fabs(k - 6.0);
    if (width > best) {
      best = width;
      label->anchor_x = x;
      label->anchor_y = y;
    }
  }
}

/* Half way along the first line; a spot is its own middle. */
static void anchor_line(const lw_sheet *sheet, const lw_shore *place, lw_zone_label *label)
{
  size_t count = place->ring_start[1];
  double half = 0, done = 0;
  for (size_t i = 0; i + 1 < count; i++) {
    half +=
        hypot(place->spots[i + 1].x_m - place->spots[i].x_m, place->spots[i + 1].y_m - place->spots[i].y_m) /
        2;
  }
  lw_spot at = place->spots[0];
  for (size_t i = 0; i + 1 < count && done < half; i++) {
    const lw_spot *a = &place->spots[i], *b = &place->spots[i + 1];
    double side = hypot(b->x_m - a->x_m, b->y_m - a->y_m);
    double t = side > 0 ? fmin(1, (half - done) / side) : 0;
    at = (lw_spot){a->x_m + t * (b->x_m - a->x_m), a->y_m + t * (b->y_m - a->y_m)};
    done += side;
  }
  label->anchor_x = lw_sheet_x(sheet, at.x_m);
  label->anchor_y = lw_sheet_y(sheet, at.y_m);
}

/* --- room for them --- */

static bool fits(const lw_sheet *sheet, const lw_tile *tile)
{
  const lw_rect *f = &sheet->spread.frame;
  return tile->x - tile->width / 2 > f->x + 2 && tile->x + tile->width / 2 < lw_rect_right(f) - 2 &&
         tile->y - tile->height / 2 > f->y + 2 && tile->y + tile->height / 2 < lw_rect_bottom(f) - 2 &&
         lw_tiles_free(&sheet->taken, tile);
}

/* Round the anchor in growing circles, right hand first. */
static bool find_room(const lw_sheet *sheet, lw_zone_label *label, double from_pt)
{
  static const double farthest_pt = 220, ring_pt = 7;
  enum { WAYS = 16 };
  for (int ring = 0; from_pt + ring * ring_pt < farthest_pt; ring++) {
    double reach = from_pt + ring * ring_pt;
    for (int way = 0; way < WAYS; way++) {
      int turns = (way + 1) / 2;
      double turn = (way % 2 ? turns : -turns) * 2.0 * 3.14159265358979 / WAYS;
      lw_tile tile = label->tile;
      tile.x = label->anchor_x + cos(turn) * (reach + tile.width / 2);
      tile.y = label->anchor_y + sin(turn) * (reach + tile.height / 2);
      if (fits(sheet, &tile)) {
        label->led = reach > led_from_pt;
        label->tile = tile;
        return true;
      }
    }
  }
  return false;
}

/* Words are never left out: where nothing is free they stand at their place all the same. */
static void settle(lw_sheet *sheet, lw_zone_label *label, const lw_type *type, bool inside)
{
  lw_extent extent = lw_pen_measure(sheet->pen, label->text, type);
  label->tile = (lw_tile){
      .x = label->anchor_x, .y = label->anchor_y, .width = extent.width_pt + 3, .height = extent.height_pt};
  label->shown = true;
  if (!(inside && fits(sheet, &label->tile)) && !find_room(sheet, label, inside ? 2 : mark_pt * 0.7)) {
    double x = label->anchor_x + mark_pt + label->tile.width / 2;
    const lw_rect *f = &sheet->spread.frame;
    label->tile.x = fmin(x, lw_rect_right(f) - label->tile.width / 2 - 2);
  }
  (void)lw_tiles_keep(&sheet->taken, &label->tile);
}

static void keep_tile(lw_sheet *sheet, double x, double y, double size)
{
  lw_tile tile = {.x = x, .y = y, .width = size, .height = size};
  (void)lw_tiles_keep(&sheet->taken, &tile);
}

/* Small tiles along a line, so that words do not stand on it. */
static void keep_side(lw_sheet *sheet, const lw_spot *a, const lw_spot *b, double apart_pt)
{
  double ax = lw_sheet_x(sheet, a->x_m), ay = lw_sheet_y(sheet, a->y_m);
  double bx = lw_sheet_x(sheet, b->x_m), by = lw_sheet_y(sheet, b->y_m);
  size_t steps = (size_t)(hypot(bx - ax, by - ay) / apart_pt) + 1;
  for (size_t k = 0; k < steps; k++) {
    double t = (double)k / (double)steps;
    keep_tile(sheet, ax + t * (bx - ax), ay + t * (by - ay), line_tile_pt);
  }
}

static void keep_lines(lw_sheet *sheet, const lw_map_zone *zone)
{
  const lw_shore *p = &zone->place;
  double length_pt = 0;
  for (int pass = 0; pass < 2; pass++) {
    double apart_pt = fmax(1.5 * line_tile_pt, length_pt / LINE_TILES);
    for (size_t r = 0; r < p->ring_count; r++) {
      size_t from = p->ring_start[r], to = p->ring_start[r + 1];
      for (size_t i = from; i < to; i++) {
        if (i + 1 == to && zone->shape == LW_ZONE_LINE) {
          continue;
        }
        const lw_spot *a = &p->spots[i], *b = &p->spots[i + 1 < to ? i + 1 : from];
        if (pass == 0) {
          length_pt += hypot(b->x_m - a->x_m, b->y_m - a->y_m) * sheet->spread.pt_per_m;
        } else {
          keep_side(sheet, a, b, apart_pt);
        }
      }
    }
  }
}

/* The room of the marks themselves. */
static void keep_marks(lw_sheet *sheet, const lw_map_zone *zone)
{
  if (zone->shape != LW_ZONE_SPOT) {
    keep_lines(sheet, zone);
    return;
  }
  for (size_t i = 0; i < zone->place.spot_count; i++) {
    keep_tile(sheet, lw_sheet_x(sheet, zone->place.spots[i].x_m), lw_sheet_y(sheet, zone->place.spots[i].y_m),
              mark_pt * 1.3);
  }
}

static void place_zone(lw_sheet *sheet, size_t index)
{
  const lw_map_zone *zone = &sheet->in->zones[index];
  lw_zone_label *label = &sheet->zone_labels[index];
  label->text = lw_zone_words(zone, sheet->arena);
  if (!label->text || zone->place.spot_count == 0) {
    return;
  }
  if (zone->shape == LW_ZONE_AREA) {
    anchor_area(sheet, &zone->place, label);
  } else {
    anchor_line(sheet, &zone->place, label);
  }
  lw_type type = type_of(zone);
  settle(sheet, label, &type, zone->shape == LW_ZONE_AREA);
}

/* --- the deepest place --- */

/* All four cells about the node lie in the water. */
static bool is_inside(const lw_depth_map *map, size_t node)
{
  const lw_frame *f = &map->frame;
  size_t i = node % f->nx, j = node / f->nx;
  if (i == 0 || j == 0 || i + 1 == f->nx || j + 1 == f->ny) {
    return false;
  }
  const float *south = map->cover + (j - 1) * (f->nx - 1) + i - 1;
  const float *north = south + f->nx - 1;
  const float full = 0.99f;
  return south[0] > full && south[1] > full && north[0] > full && north[1] > full;
}

static bool find_deepest(lw_sheet *sheet)
{
  const lw_depth_map *map = sheet->in->map;
  const lw_frame *f = &map->frame;
  size_t best = 0;
  bool found = false;
  for (size_t k = 0; k < f->nx * f->ny; k++) {
    if (isfinite(map->depth_m[k]) && is_inside(map, k) && (!found || map->depth_m[k] > map->depth_m[best])) {
      best = k;
      found = true;
    }
  }
  if (!found || (double)map->depth_m[best] <= sheet->in->down_m) {
    return false;
  }
  sheet->deepest_m = (double)map->depth_m[best] - sheet->in->down_m;
  size_t row = best / f->nx;
  sheet->deepest.anchor_x = lw_sheet_x(sheet, f->x0_m + (double)(best % f->nx) * f->step_m);
  sheet->deepest.anchor_y = lw_sheet_y(sheet, f->y0_m + (double)row * f->step_m);
  return true;
}

static const lw_type deepest_type = {.size_pt = 7.5, .bold = true};

static void place_deepest(lw_sheet *sheet)
{
  if (!find_deepest(sheet)) {
    return;
  }
  char number[LW_NUMBER_MAX];
  double digits = sheet->in->units == LW_US ? sheet->deepest_m / 0.3048 : sheet->deepest_m;
  (void)lw_rounded_text(round(digits * 10) / 10, 4, number);
  sheet->deepest.text = lw_arena_format(sheet->arena, "%s %s", number, lw_sheet_unit(sheet));
  if (sheet->deepest.text) {
    keep_tile(sheet, sheet->deepest.anchor_x, sheet->deepest.anchor_y, mark_pt);
    settle(sheet, &sheet->deepest, &deepest_type, false);
  }
}

void lw_zones_place(lw_sheet *sheet)
{
  for (size_t i = 0; i < sheet->in->zone_count; i++) {
    keep_marks(sheet, &sheet->in->zones[i]);
  }
  for (int pass = 0; pass < 2; pass++) {
    for (size_t i = 0; i < sheet->in->zone_count; i++) {
      if (lw_zone_hurts(&sheet->in->zones[i]) == (pass == 0)) {
        place_zone(sheet, i);
      }
    }
  }
  place_deepest(sheet);
}

/* --- drawing --- */

static void draw_leader(lw_sheet *sheet, const lw_zone_label *label)
{
  const lw_cairo *c = sheet->pen->c;
  const lw_tile *t = &label->tile;
  double x = fmin(t->x + t->width / 2, fmax(t->x - t->width / 2, label->anchor_x));
  double y = fmin(t->y + t->height / 2, fmax(t->y - t->height / 2, label->anchor_y));
  c->cairo_move_to(sheet->pen->cr, label->anchor_x, label->anchor_y);
  c->cairo_line_to(sheet->pen->cr, x, y);
  c->cairo_set_line_width(sheet->pen->cr, 0.5);
  c->cairo_stroke(sheet->pen->cr);
}

static void write_words(lw_sheet *sheet, const lw_zone_label *label, const lw_type *type, lw_ink ink)
{
  lw_ink halo = lw_ink_of(97, 3, 243);
  if (label->shown) {
    lw_pen_ink(sheet->pen, ink);
    if (label->led) {
      draw_leader(sheet, label);
    }
    lw_pen_ink(sheet->pen, ink);
    lw_pen_label(sheet->pen, label->text, type, label->tile.x, label->tile.y, 0, &halo);
  }
}

static void draw_cross(lw_sheet *sheet, const lw_zone_label *at)
{
  const lw_cairo *c = sheet->pen->c;
  cairo_t *cr = sheet->pen->cr;
  c->cairo_move_to(cr, at->anchor_x - 3, at->anchor_y);
  c->cairo_line_to(cr, at->anchor_x + 3, at->anchor_y);
  c->cairo_move_to(cr, at->anchor_x, at->anchor_y - 3);
  c->cairo_line_to(cr, at->anchor_x, at->anchor_y + 3);
  c->cairo_set_line_width(cr, 1);
  lw_pen_ink(sheet->pen, lw_sheet_ink());
  c->cairo_stroke(cr);
}

void lw_zones_draw(lw_sheet *sheet)
{
  const lw_cairo *c = sheet->pen->c;
  const lw_rect *f = &sheet->spread.frame;
  c->cairo_save(sheet->pen->cr);
  c->cairo_rectangle(sheet->pen->cr, f->x, f->y, f->width, f->height);
  c->cairo_clip(sheet->pen->cr);
  for (size_t i = 0; i < sheet->in->zone_count; i++) {
    lw_zone_mark(sheet, &sheet->in->zones[i], mark_pt);
  }
  if (sheet->deepest.shown) {
    draw_cross(sheet, &sheet->deepest);
    write_words(sheet, &sheet->deepest, &deepest_type, lw_sheet_ink());
  }
  for (size_t i = 0; i < sheet->in->zone_count; i++) {
    const lw_map_zone *zone = &sheet->in->zones[i];
    lw_type type = type_of(zone);
    write_words(sheet, &sheet->zone_labels[i], &type,
                lw_zone_hurts(zone) ? lw_sheet_alarm() : lw_sheet_reed());
  }
  c->cairo_restore(sheet->pen->cr);
}
