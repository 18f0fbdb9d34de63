/* SPDX-License-Identifier: Apache-2.0 */
#include "draw/lake_map.h"

#include "draw/check.h"
#include "draw/pen.h"
#include "draw/sheet.h"

#include <math.h>
#include <stdint.h>

static const double same_level_m = 1e-6;
static const double ground_least_m = 10; /* a smaller water is drawn as if it were this large */
static const double zones_beyond = 0.15; /* of the water's size, as far as the map follows zones */

static void widen(lw_box *box, const lw_spot *spot)
{
  box->west_m = fmin(box->west_m, spot->x_m);
  box->east_m = fmax(box->east_m, spot->x_m);
  box->south_m = fmin(box->south_m, spot->y_m);
  box->north_m = fmax(box->north_m, spot->y_m);
}

static lw_box grow(const lw_box *box, double by_m)
{
  return (lw_box){box->west_m - by_m, box->south_m - by_m, box->east_m + by_m, box->north_m + by_m};
}

/* The water, and its zones as far as they lie near. */
static lw_box ground_of(const lw_lake_map *map)
{
  const lw_shore *shore = &map->shore;
  lw_box box = {INFINITY, INFINITY, -INFINITY, -INFINITY};
  for (size_t i = 0; i < shore->spot_count; i++) {
    widen(&box, &shore->spots[i]);
  }
  double size_m = fmax(box.east_m - box.west_m, box.north_m - box.south_m);
  box = size_m < ground_least_m ? grow(&box, (ground_least_m - size_m) / 2) : box;
  lw_box most = grow(&box, zones_beyond * size_m);
  for (size_t z = 0; z < map->zone_count; z++) {
    for (size_t i = 0; i < map->zones[z].place.spot_count; i++) {
      lw_spot at = map->zones[z].place.spots[i];
      at.x_m = fmin(most.east_m, fmax(most.west_m, at.x_m));
      at.y_m = fmin(most.north_m, fmax(most.south_m, at.y_m));
      widen(&box, &at);
    }
  }
  return box;
}

/* Which contours are drawn, and how many of them bound a class of shading. */
static lw_status choose_contours(lw_sheet *sheet, lw_error *err)
{
  static const size_t steps[] = {1, 2, 4, 5, 10, 20, 25, 50, 100};
  const lw_lake_map *in = sheet->in;
  size_t first = 0;
  sheet->waterline = SIZE_MAX;
  while (first < in->contour_count && in->contours[first].depth_m <= in->down_m + same_level_m) {
    if (in->down_m > 0 && fabs(in->contours[first].depth_m - in->down_m) <= same_level_m) {
      sheet->waterline = first;
    }
    first++;
  }
  if (in->down_m > 0 && sheet->waterline == SIZE_MAX) {
    return lw_fail(err, LW_INVALID, "no contour lies at %g m, where the water stands; add it to the contours",
                   in->down_m);
  }
  size_t lines = in->contour_count - first;
  while (lines > 0 && in->contours[first + lines - 1].ring_count == 0) {
    lines--; /* nothing is that deep */
  }
  size_t i = 0;
  while (i + 1 < sizeof steps / sizeof *steps && lines / steps[i] + 1 > LW_CLASSES_MOST) {
    i++;
  }
  sheet->first = first;
  sheet->every = steps[i];
  sheet->classes = lines / steps[i] + 1;
  return LW_OK;
}

static lw_status prepare(lw_sheet *sheet, lw_error *err)
{
  sheet->ground = ground_of(sheet->in);
  lw_status status = lw_spread_plan(&sheet->spread, &sheet->ground, sheet->in->paper, err);
  status = status == LW_OK ? choose_contours(sheet, err) : status;
  if (status != LW_OK) {
    return status;
  }
  sheet->taken.tiles = LW_NEW(sheet->arena, lw_tile, LW_TILES_MOST);
  sheet->labels = LW_NEW(sheet->arena, lw_contour_label, LW_LABELS_MOST);
  sheet->zone_labels = LW_NEW(sheet->arena, lw_zone_label, sheet->in->zone_count);
  return sheet->taken.tiles && sheet->labels && sheet->zone_labels
             ? LW_OK
             : lw_fail(err, LW_MEMORY, "there is no memory for the map of %s", sheet->in->name);
}

static void draw_all(lw_sheet *sheet)
{
  lw_zones_place(sheet);
  lw_contours_place(sheet);
  lw_water_draw(sheet);
  lw_contours_draw(sheet);
  lw_zones_draw(sheet);
  lw_margin_draw(sheet);
}

static lw_status draw_to_bytes(lw_sheet *sheet, lw_pen *pen, lw_picture *out, lw_picture_format format,
                               const lw_about *about, lw_error *err)
{
  lw_status status = lw_pen_open(pen, format, sheet->spread.width_pt, sheet->spread.height_pt, about, err);
  if (status != LW_OK) {
    return status;
  }
  sheet->pen = pen;
  draw_all(sheet);
  char *bytes = NULL;
  status = lw_pen_finish(pen, about, sheet->arena, &bytes, &out->length, err);
  out->bytes = bytes;
  return status;
}

lw_status lw_lake_map_draw(lw_picture *out, const lw_lake_map *map, lw_picture_format format, lw_arena *arena,
                           lw_error *err)
{
  lw_status status = lw_lake_map_check(map, err);
  lw_sheet sheet = {.in = map, .arena = arena};
  status = status == LW_OK ? prepare(&sheet, err) : status;
  if (status != LW_OK) {
    return status;
  }
  lw_about about = {.title = lw_arena_format(arena, "%s: depth map", map->name),
                    .summary = lw_arena_format(arena, "Depths with %s. %s. Not for navigation.", map->level,
                                               map->fact_count > 0 ? map->facts[0] : "Contours and zones"),
                    .made_at = map->made_at};
  if (!about.title || !about.summary) {
    return lw_fail(err, LW_MEMORY, "there is no memory for the map of %s", map->name);
  }
  *out = (lw_picture){.width_mm = sheet.spread.width_pt * 25.4 / 72,
                      .height_mm = sheet.spread.height_pt * 25.4 / 72,
                      .scale = sheet.spread.denominator};
  lw_pen pen = {0};
  status = draw_to_bytes(&sheet, &pen, out, format, &about, err);
  if (pen.all) {
    lw_pen_close(&pen);
  }
  return status;
}
