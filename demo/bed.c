/* SPDX-License-Identifier: Apache-2.0 */
#include "demo/bed.h"

#include "demo/places.h"

#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define FOOT 0.3048

enum { FLOOR_MOST = 12 };

typedef struct told_depth {
  double longitude, latitude, depth_ft;
} told_depth;

/* Invented, as all of it. */
typedef struct ground {
  const char *outline, *zones;
  double bank_m;       /* see bed.h */
  double dam_south_of; /* latitude: edges of the shore wholly south of it are the dam; -90: none */
  told_depth floor[FLOOR_MOST];
} ground;

static const ground grounds[LW_DEMO_PLACES] = {
    [LW_DEMO_UPPER_SEDGE] = {lw_demo_upper_sedge,
                             lw_demo_upper_sedge_zones,
                             23,
                             33.0552,
                             {{-86.1303, 33.0557, 21.5},
                              {-86.1304, 33.0570, 18},
                              {-86.1303, 33.0582, 14.5},
                              {-86.1299, 33.0595, 11},
                              {-86.1294, 33.0608, 7},
                              {-86.1288, 33.0620, 3.5},
                              {-86.1322, 33.0586, 9},
                              {-86.1335, 33.0591, 6},
                              {-86.1346, 33.0597, 3}}},
    [LW_DEMO_HERON_POOL] = {lw_demo_heron_pool,
                            NULL,
                            22,
                            -90,
                            {{-86.1216, 33.0491, 12.5},
                             {-86.1209, 33.0494, 9.5},
                             {-86.1206, 33.0499, 6.5},
                             {-86.1220, 33.0487, 8}}},
    [LW_DEMO_LONG_RUN] = {lw_demo_long_run,
                          lw_demo_long_run_zones,
                          30,
                          33.0331,
                          {{-86.1322, 33.0334, 17.2},
                           {-86.1325, 33.0360, 13},
                           {-86.1325, 33.0385, 10.8},
                           {-86.1325, 33.0410, 8.6},
                           {-86.1322, 33.0435, 6.5},
                           {-86.1318, 33.0460, 4.5},
                           {-86.1317, 33.0475, 3},
                           {-86.1352, 33.0380, 8.5},
                           {-86.1369, 33.0382, 6},
                           {-86.1384, 33.0391, 3},
                           {-86.1302, 33.0409, 7},
                           {-86.1285, 33.0412, 4}}},
};

static const double dam_m = 9;          /* as bank_m, of the dam's wet face */
static const double floor_blend_m = 60; /* told depths are blended over this distance and more */
static const double creek_cut_m = 0.8;
static const double creek_half_m = 9; /* from the middle of the creek to where two thirds are filled */
static const double swell_m = 0.1;

/* ---- reading it in ---- */

static lw_status no_memory(lw_error *err)
{
  return lw_fail(err, LW_MEMORY, "no memory for the demonstration");
}

static lw_status read_floor(lw_demo_bed *bed, const ground *g, lw_arena *arena, lw_error *err)
{
  double pairs[2 * FLOOR_MOST] = {0};
  size_t n = 0;
  bed->floor_at = LW_NEW(arena, lw_spot, FLOOR_MOST);
  bed->floor_m = LW_NEW(arena, double, FLOOR_MOST);
  if (!bed->floor_at || !bed->floor_m) {
    return no_memory(err);
  }
  for (; n < FLOOR_MOST && g->floor[n].depth_ft > 0; n++) {
    pairs[2 * n] = g->floor[n].longitude;
    pairs[2 * n + 1] = g->floor[n].latitude;
    bed->floor_m[n] = g->floor[n].depth_ft * FOOT;
  }
  bed->floor_count = n;
  return lw_plane_to(bed->floor_at, pairs, n, bed->plane, err);
}

static bool is_south(const lw_demo_bed *bed, lw_spot spot, double latitude)
{
  double pair[2] = {0, 90};
  lw_error ignored = {0};
  return lw_plane_from(pair, &spot, 1, bed->plane, &ignored) == LW_OK && pair[1] < latitude;
}

static lw_status read_banks(lw_demo_bed *bed, const ground *g, lw_arena *arena, lw_error *err)
{
  const lw_shore *shore = &bed->shore;
  bed->banks = LW_NEW(arena, lw_demo_bank, shore->spot_count);
  if (!bed->banks) {
    return no_memory(err);
  }
  for (size_t r = 0; r < shore->ring_count; r++) {
    size_t last = shore->ring_start[r + 1] - 1;
    for (size_t k = shore->ring_start[r]; k <= last; k++) {
      lw_demo_bank *bank = &bed->banks[bed->bank_count++];
      bank->a = shore->spots[k];
      bank->b = shore->spots[k == last ? shore->ring_start[r] : k + 1];
      bank->dam = is_south(bed, bank->a, g->dam_south_of) && is_south(bed, bank->b, g->dam_south_of);
    }
  }
  return LW_OK;
}

static lw_status read_line(lw_demo_bed *bed, json_t *coordinates, lw_arena *arena, lw_error *err)
{
  size_t n = json_array_size(coordinates);
  double *pairs = LW_NEW(arena, double, 2 * n);
  bed->creek = LW_NEW(arena, lw_spot, n);
  if (!pairs || !bed->creek) {
    return no_memory(err);
  }
  for (size_t i = 0; i < n; i++) {
    json_t *position = json_array_get(coordinates, i);
    pairs[2 * i] = json_number_value(json_array_get(position, 0));
    pairs[2 * i + 1] = json_number_value(json_array_get(position, 1));
  }
  bed->creek_count = n;
  return lw_plane_to(bed->creek, pairs, n, bed->plane, err);
}

/* The zone of kind channel. */
static lw_status read_creek(lw_demo_bed *bed, const ground *g, lw_arena *arena, lw_error *err)
{
  json_t *collection = g->zones ? json_loads(g->zones, 0, NULL) : NULL;
  json_t *features = json_object_get(collection, "features");
  lw_status s = LW_OK;
  for (size_t i = 0; s == LW_OK && i < json_array_size(features); i++) {
    json_t *feature = json_array_get(features, i);
    const char *kind = json_string_value(json_object_get(json_object_get(feature, "properties"), "kind"));
    if (kind && strcmp(kind, "channel") == 0) {
      s = read_line(bed, json_object_get(json_object_get(feature, "geometry"), "coordinates"), arena, err);
    }
  }
  json_decref(collection);
  return s;
}

/* The geometry of an outline's Feature, in the arena. */
static lw_status geometry_of(const char **out, const char *outline, lw_arena *arena, lw_error *err)
{
  json_t *feature = json_loads(outline, 0, NULL);
  char *text = json_dumps(json_object_get(feature, "geometry"), JSON_COMPACT);
  *out = lw_arena_copy(arena, text);
  free(text);
  json_decref(feature);
  return *out ? LW_OK : no_memory(err);
}

lw_status lw_demo_bed_open(lw_demo_bed *out, lw_demo_place place, lw_arena *arena, lw_error *err)
{
  const ground *g = &grounds[place];
  const char *geometry = NULL;
  double longitude = 0;
  double latitude = 0;
  *out = (lw_demo_bed){.bank_m = g->bank_m};
  if (!g->outline) {
    return lw_fail(err, LW_INVALID, "nobody knows the bed of %s", lw_demo_names[place]);
  }
  lw_status s = geometry_of(&geometry, g->outline, arena, err);
  s = s == LW_OK ? lw_plane_middle(&longitude, &latitude, geometry, arena, err) : s;
  s = s == LW_OK ? lw_plane_open(&out->plane, longitude, latitude, arena, err) : s;
  s = s == LW_OK ? lw_plane_shore(&out->shore, geometry, out->plane, arena, err) : s;
  s = s == LW_OK ? read_banks(out, g, arena, err) : s;
  s = s == LW_OK ? read_floor(out, g, arena, err) : s;
  return s == LW_OK ? read_creek(out, g, arena, err) : s;
}

void lw_demo_bed_close(lw_demo_bed *bed)
{
  lw_plane_close(bed->plane);
  bed->plane = NULL;
}

/* ---- the formula ---- */

static double distance_m(lw_spot p, lw_spot a, lw_spot b)
{
  double x = b.x_m - a.x_m;
  double y = b.y_m - a.y_m;
  double length2 = x * x + y * y;
  double t = length2 > 0 ? ((p.x_m - a.x_m) * x + (p.y_m - a.y_m) * y) / length2 : 0;
  t = fmin(fmax(t, 0), 1);
  return hypot(p.x_m - a.x_m - t * x, p.y_m - a.y_m - t * y);
}

/* Told depths, weighted by their nearness. */
static double floor_m(const lw_demo_bed *bed, lw_spot p)
{
  double sum = 0;
  double weights = 0;
  for (size_t i = 0; i < bed->floor_count; i++) {
    double x = p.x_m - bed->floor_at[i].x_m;
    double y = p.y_m - bed->floor_at[i].y_m;
    double weight = pow(x * x + y * y + floor_blend_m * floor_blend_m, -2);
    sum += weight * bed->floor_m[i];
    weights += weight;
  }
  return sum / weights;
}

static double creek_m(const lw_demo_bed *bed, lw_spot p)
{
  double nearest = INFINITY;
  for (size_t i = 0; i + 1 < bed->creek_count; i++) {
    nearest = fmin(nearest, distance_m(p, bed->creek[i], bed->creek[i + 1]));
  }
  double halves = nearest / creek_half_m;
  return creek_cut_m * exp(-halves * halves);
}

double lw_demo_bed_depth_m(const lw_demo_bed *bed, lw_spot p)
{
  const double wave_m = 31;
  double bank = INFINITY;
  double dam = INFINITY;
  bool inside = false;
  for (size_t i = 0; i < bed->bank_count; i++) {
    const lw_demo_bank *b = &bed->banks[i];
    double *nearest = b->dam ? &dam : &bank;
    *nearest = fmin(*nearest, distance_m(p, b->a, b->b));
    bool crosses = (b->a.y_m > p.y_m) != (b->b.y_m > p.y_m);
    inside ^=
        crosses && p.x_m < b->a.x_m + (p.y_m - b->a.y_m) / (b->b.y_m - b->a.y_m) * (b->b.x_m - b->a.x_m);
  }
  if (!inside) {
    return 0;
  }
  double risen = (1 - exp(-bank / bed->bank_m)) * (1 - exp(-dam / dam_m));
  double swell = swell_m * sin(p.x_m / wave_m) * cos((p.x_m + 2 * p.y_m) / (2 * wave_m));
  return risen * (floor_m(bed, p) + creek_m(bed, p) + swell);
}
