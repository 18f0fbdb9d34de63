/* SPDX-License-Identifier: Apache-2.0 */
/* The map for the page: whole numbers in long arrays. A page's map has at most 160,000 nodes, and most
 * values come again and again (millimetres, percent): each is made once and shared, which halves the
 * time of building it. */
#include "work/basin.h"
#include "work/json.h"

#include <math.h>

enum { SHARED = 32768, FARTHEST_MM = 1000000 };

/* Whole numbers from 0 to SHARED - 1, each made when first needed. */
typedef struct numbers {
  json_t *made[SHARED];
} numbers;

static void add_whole(json_t *list, numbers *shared, double value)
{
  if (!(fabs(value) < FARTHEST_MM)) {
    (void)json_array_append_new(list, json_null());
    return;
  }
  long whole = lround(value);
  if (whole < 0 || whole >= SHARED) {
    (void)json_array_append_new(list, json_integer(whole));
    return;
  }
  if (!shared->made[whole]) {
    shared->made[whole] = json_integer(whole);
  }
  (void)json_array_append(list, shared->made[whole]);
}

static void release(numbers *shared)
{
  for (size_t i = 0; i < SHARED; i++) {
    json_decref(shared->made[i]);
  }
}

/* ---- thinning ---- */

/* Every `every`-th node. The last column and row of the thinned frame may lie past the map's own. */
typedef struct thinning {
  const lw_depth_map *map;
  lw_frame frame;
  size_t every;
} thinning;

static thinning thin(const lw_depth_map *map, size_t most)
{
  thinning t = {.map = map, .frame = map->frame, .every = 1};
  size_t cells = (map->frame.nx > map->frame.ny ? map->frame.nx : map->frame.ny) - 1;
  while ((cells + t.every - 1) / t.every + 1 > most) {
    t.every++;
  }
  t.frame.nx = (map->frame.nx - 1 + t.every - 1) / t.every + 1;
  t.frame.ny = (map->frame.ny - 1 + t.every - 1) / t.every + 1;
  t.frame.step_m *= (double)t.every;
  return t;
}

/* Share of the thinned cell that is water: the mean of the map's cells in it. */
static double thinned_cover(const thinning *t, size_t i, size_t j)
{
  size_t nx = t->map->frame.nx - 1;
  size_t ny = t->map->frame.ny - 1;
  double sum = 0;
  for (size_t b = j * t->every; b < (j + 1) * t->every && b < ny; b++) {
    for (size_t a = i * t->every; a < (i + 1) * t->every && a < nx; a++) {
      sum += t->map->cover[b * nx + a];
    }
  }
  return sum / (double)(t->every * t->every);
}

/* The nearest value within a thinned cell of node (ci, cj), NAN where there is none. */
static double nearest_value(const thinning *t, const float *values, size_t ci, size_t cj)
{
  const lw_frame *f = &t->map->frame;
  size_t west = ci > t->every ? ci - t->every : 0;
  size_t south = cj > t->every ? cj - t->every : 0;
  double best = HUGE_VAL;
  double value = NAN;
  for (size_t b = south; b <= cj + t->every && b < f->ny; b++) {
    for (size_t a = west; a <= ci + t->every && a < f->nx; a++) {
      double x = (double)a - (double)ci;
      double y = (double)b - (double)cj;
      if (x * x + y * y < best && isfinite(values[b * f->nx + a])) {
        best = x * x + y * y;
        value = values[b * f->nx + a];
      }
    }
  }
  return value;
}

/* The value at a thinned node. Where the map has none there, the nearest one, so that every wet cell of
 * the thinned map has four corners. NAN off the water. */
static double thinned_value(const thinning *t, const float *values, size_t i, size_t j)
{
  const lw_frame *f = &t->map->frame;
  size_t ci = i * t->every;
  size_t cj = j * t->every;
  double here = ci < f->nx && cj < f->ny ? values[cj * f->nx + ci] : NAN;
  return isfinite(here) || t->every == 1 ? here : nearest_value(t, values, ci, cj);
}

static json_t *nodes_json(const thinning *t, const float *values, numbers *shared)
{
  json_t *list = json_array();
  for (size_t j = 0; j < t->frame.ny; j++) {
    for (size_t i = 0; i < t->frame.nx; i++) {
      add_whole(list, shared, 1000 * thinned_value(t, values, i, j));
    }
  }
  return list;
}

static json_t *cover_json(const thinning *t, numbers *shared)
{
  json_t *list = json_array();
  for (size_t j = 0; j + 1 < t->frame.ny; j++) {
    for (size_t i = 0; i + 1 < t->frame.nx; i++) {
      double percent = 100 * thinned_cover(t, i, j);
      add_whole(list, shared, percent > 0 ? fmax(percent, 1) : 0); /* a wet cell is never called dry */
    }
  }
  return list;
}

/* ---- the rest ---- */

static json_t *centimetres_json(double value_m)
{
  return json_real(round(value_m * 100) / 100);
}

static json_t *ring_json(const lw_spot *spots, size_t count)
{
  json_t *ring = json_array();
  for (size_t i = 0; i < count; i++) {
    (void)json_array_append_new(
        ring, json_pack("[o,o]", centimetres_json(spots[i].x_m), centimetres_json(spots[i].y_m)));
  }
  return ring;
}

static json_t *shore_json(const lw_shore *shore)
{
  json_t *rings = json_array();
  for (size_t r = 0; r < shore->ring_count; r++) {
    size_t first = shore->ring_start[r];
    (void)json_array_append_new(rings, ring_json(shore->spots + first, shore->ring_start[r + 1] - first));
  }
  return rings;
}

static lw_status corners_json(json_t **out, const lw_frame *frame, const lw_plane *plane, lw_error *err)
{
  double west = frame->x0_m;
  double south = frame->y0_m;
  double east = west + frame->step_m * (double)(frame->nx - 1);
  double north = south + frame->step_m * (double)(frame->ny - 1);
  const lw_spot spots[4] = {{west, south}, {east, south}, {east, north}, {west, north}};
  double pairs[8];
  lw_status s = lw_plane_from(pairs, spots, 4, plane, err);
  if (s != LW_OK) {
    return s;
  }
  json_t *list = json_array();
  for (size_t i = 0; i < 4; i++) {
    (void)json_array_append_new(list, json_pack("[f,f]", pairs[2 * i], pairs[2 * i + 1]));
  }
  *out = list;
  return LW_OK;
}

static json_t *frame_json(const lw_frame *f)
{
  return json_pack("{s:I,s:I,s:f,s:f,s:f}", "nx", (json_int_t)f->nx, "ny", (json_int_t)f->ny, "step",
                   f->step_m, "x0", f->x0_m, "y0", f->y0_m);
}

lw_status lw_basin_map_json(json_t **out, const lw_basin_sheet *sheet, size_t most, const lw_desk *desk,
                            lw_error *err)
{
  const lw_depth_map *map = &sheet->bed.basin.map;
  const thinning t = thin(map, most < 2 ? 2 : most);
  numbers *shared = LW_NEW(desk->arena, numbers, 1);
  json_t *corners = NULL;
  *out = NULL;
  if (!shared) {
    return lw_fail(err, LW_MEMORY, "no memory for the map");
  }
  lw_status s = corners_json(&corners, &t.frame, sheet->ground.plane, err);
  if (s != LW_OK) {
    return s;
  }
  json_t *o = json_object();
  lw_json_set(o, "frame", frame_json(&t.frame));
  lw_json_set(o, "corners", corners);
  lw_json_set(o, "depth", nodes_json(&t, map->depth_m, shared));
  lw_json_set(o, "error", map->error_m ? nodes_json(&t, map->error_m, shared) : NULL);
  lw_json_set(o, "cover", cover_json(&t, shared));
  lw_json_set(o, "shore", shore_json(&sheet->ground.shore));
  lw_json_set(o, "max_depth", json_real(sheet->bed.basin.max_depth_m));
  release(shared);
  *out = o;
  return LW_OK;
}

static json_t *contour_json(const lw_contour *c, lw_unit_system units)
{
  json_t *rings = json_array();
  for (size_t i = 0; i < c->ring_count; i++) {
    (void)json_array_append_new(rings, ring_json(c->rings[i].spots, c->rings[i].count));
  }
  return json_pack("{s:o,s:o}", "depth", lw_basin_length_json(c->depth_m, units), "rings", rings);
}

lw_status lw_basin_contours(lw_contour **out, size_t *out_count, const lw_basin_sheet *sheet,
                            const lw_basin_lines *lines, const lw_desk *desk, lw_error *err)
{
  const lw_basin *basin = &sheet->bed.basin;
  double interval = lines->interval_m;
  double depth[LW_CONTOURS_MOST];
  size_t n = 0;
  *out_count = 0;
  if (!(interval >= 0.05 && interval <= 100)) {
    return lw_fail(err, LW_INVALID, "interval: %g m is outside 0.05 to 100 m", interval);
  }
  if ((basin->max_depth_m - lines->down_m) / interval > LW_CONTOURS_MOST - 1) {
    return lw_fail(err, LW_LIMIT, "interval: %g m gives more than %d contours; take a larger one", interval,
                   LW_CONTOURS_MOST);
  }
  if (lines->waterline && lines->down_m < basin->max_depth_m) {
    depth[n++] = lines->down_m;
  }
  for (size_t k = 1; lines->down_m + (double)k * interval < basin->max_depth_m; k++) {
    depth[n++] = lines->down_m + (double)k * interval;
  }
  lw_status s = lw_map_contours(out, &basin->map, &sheet->ground.shore, depth, n, desk->arena, err);
  *out_count = s == LW_OK ? n : 0;
  return s;
}

lw_status lw_basin_contours_json(json_t **out, const lw_basin_sheet *sheet, double interval_m,
                                 const lw_desk *desk, lw_error *err)
{
  lw_contour *contours = NULL;
  size_t count = 0;
  *out = NULL;
  const lw_basin_lines lines = {.interval_m = interval_m};
  lw_status s = lw_basin_contours(&contours, &count, sheet, &lines, desk, err);
  if (s != LW_OK) {
    return s;
  }
  json_t *list = json_array();
  for (size_t i = 0; i < count; i++) {
    (void)json_array_append_new(list, contour_json(&contours[i], sheet->units));
  }
  *out = json_pack("{s:f,s:o}", "interval", interval_m, "contours", list);
  return *out ? LW_OK : lw_fail(err, LW_MEMORY, "no memory for the contours");
}
