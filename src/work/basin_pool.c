/* SPDX-License-Identifier: Apache-2.0 */
/* The water at one pool level or many, and the parts of it that zones are. */
#include "work/basin.h"

#include <math.h>

static const double ft_m = 0.3048;
static const double quarter_m = 0.25;
static const double row_least = 0.02;               /* no row this close (in rows) before the last one */
static const double normal_95 = 1.6448536269514722; /* half of a 90 % interval in standard errors */

double lw_basin_row_step_m(const lw_basin *basin, lw_unit_system units)
{
  double step = units == LW_US ? ft_m : quarter_m;
  while (basin->max_depth_m / step > LW_BASIN_ROWS - 2) {
    step *= 2;
  }
  return step;
}

double lw_basin_interval_m(const lw_basin *basin, lw_unit_system units)
{
  static const double us[] = {ft_m, 2 * ft_m, 5 * ft_m, 10 * ft_m};
  static const double metric[] = {0.5, 1, 2, 5};
  const double *steps = units == LW_US ? us : metric;
  size_t i = 0;
  while (i < 3 && basin->max_depth_m / steps[i] > 25) {
    i++;
  }
  return steps[i];
}

/* Where the map's volume lies outside what the ensemble says, the interval is widened to hold it. */
static lw_volume volume_of(const lw_basin *basin, double level_m, double area_m2, double volume_m3)
{
  lw_volume v = {.value_m3 = volume_m3};
  double above_m = fmax(level_m, 0);
  lw_basin_interval(basin, fmax(-level_m, 0), &v.low_m3, &v.high_m3);
  v.low_m3 = fmin(fmax(v.low_m3 + above_m * area_m2, 0), volume_m3);
  v.high_m3 = fmax(v.high_m3 + above_m * area_m2, volume_m3);
  return v;
}

static lw_pool pool_of(const lw_basin *basin, double level_m, double area_m2, double volume_m3)
{
  double deepest = fmax(basin->max_depth_m + level_m, 0);
  return (lw_pool){.level_m = level_m,
                   .area_m2 = area_m2,
                   .volume = volume_of(basin, level_m, area_m2, volume_m3),
                   .mean_depth_m = area_m2 > 0 ? volume_m3 / area_m2 : 0,
                   .max_depth_m = deepest,
                   .max_low_m = fmin(fmax(basin->max_low_m + level_m, 0), deepest),
                   .max_high_m = fmax(basin->max_high_m + level_m, deepest)};
}

lw_status lw_basin_pool(lw_pool *out, const lw_basin *basin, double level_m, lw_error *err)
{
  double down = -level_m;
  double area = 0;
  double volume = 0;
  lw_status s = lw_map_curve(&area, &volume, &basin->map, NULL, &down, 1, err);
  *out = pool_of(basin, level_m, area, volume);
  return s;
}

lw_status lw_basin_curve(lw_basin_sheet *sheet, lw_arena *arena, lw_error *err)
{
  const lw_basin *basin = &sheet->bed.basin;
  double step = lw_basin_row_step_m(basin, sheet->units);
  double down[LW_BASIN_ROWS];
  double area[LW_BASIN_ROWS];
  double volume[LW_BASIN_ROWS];
  size_t n = 0;
  for (; n < LW_BASIN_ROWS - 1 && (double)n * step < basin->max_depth_m - row_least * step; n++) {
    down[n] = (double)n * step;
  }
  down[n++] = basin->max_depth_m;
  sheet->curve = LW_NEW(arena, lw_pool, n);
  if (!sheet->curve) {
    return lw_fail(err, LW_MEMORY, "no memory for the curve");
  }
  lw_status s = lw_map_curve(area, volume, &basin->map, NULL, down, n, err);
  for (size_t i = 0; s == LW_OK && i < n; i++) {
    sheet->curve[i] = pool_of(basin, i ? -down[i] : 0, area[i], volume[i]);
  }
  sheet->curve_count = s == LW_OK ? n : 0;
  return s;
}

lw_status lw_basin_shares(lw_basin_sheet *sheet, lw_arena *arena, lw_error *err)
{
  const lw_basin *basin = &sheet->bed.basin;
  double step = lw_basin_row_step_m(basin, sheet->units);
  double depth[LW_BASIN_ROWS];
  double share[LW_BASIN_ROWS];
  size_t n = 0;
  if (!(sheet->pool.area_m2 > 0)) {
    return LW_OK; /* no water, no shares */
  }
  for (; n < LW_BASIN_ROWS - 1 && (double)n * step < sheet->pool.max_depth_m - row_least * step; n++) {
    depth[n] = (double)n * step;
  }
  depth[n++] = sheet->pool.max_depth_m;
  sheet->shares = LW_NEW(arena, lw_basin_share, n);
  if (!sheet->shares) {
    return lw_fail(err, LW_MEMORY, "no memory for the hypsograph");
  }
  lw_status s = lw_map_shallower(share, &basin->map, -sheet->pool.level_m, depth, n, err);
  for (size_t i = 0; s == LW_OK && i < n; i++) {
    sheet->shares[i] = (lw_basin_share){depth[i], share[i]};
  }
  sheet->share_count = s == LW_OK ? n : 0;
  return s;
}

/* ---- zones ---- */

/* The error map summed over the wet cells as if all of it erred together: the most a volume can be off
 * by one standard error. `share` NULL: the whole water. */
static double summed_error_m3(const lw_depth_map *map, const float *share, double down_m)
{
  size_t nx = map->frame.nx;
  double cell_m2 = map->frame.step_m * map->frame.step_m;
  double sum = 0;
  for (size_t j = 0; j + 1 < map->frame.ny; j++) {
    for (size_t i = 0; i + 1 < nx; i++) {
      size_t cell = j * (nx - 1) + i;
      size_t node = j * nx + i;
      double inside = share ? share[cell] : map->cover[cell];
      if (!(inside > 0)) {
        continue;
      }
      double depth = 0.25 * ((double)map->depth_m[node] + map->depth_m[node + 1] + map->depth_m[node + nx] +
                             map->depth_m[node + nx + 1]);
      double error = 0.25 * ((double)map->error_m[node] + map->error_m[node + 1] + map->error_m[node + nx] +
                             map->error_m[node + nx + 1]);
      sum += depth > down_m ? inside * cell_m2 * error : 0;
    }
  }
  return sum;
}

/* The ensemble gives the standard error of the whole volume; the error map that of each depth. Their
 * ratio tells how many patches of the water err on their own; a zone holds its share of them, and at
 * least one. So a zone that is the whole water has the water's interval, and a small one has the error
 * map's. No part is called better known, in proportion, than the whole: a wrong scale or level is wrong
 * everywhere, and is not in the error map. */
static lw_volume zone_volume(const lw_basin_sheet *sheet, const float *share, double area_m2,
                             double volume_m3)
{
  const lw_depth_map *map = &sheet->bed.basin.map;
  const lw_volume *whole = &sheet->pool.volume;
  double whole_error = (whole->high_m3 - whole->low_m3) / (2 * normal_95);
  double error = whole->value_m3 > 0 ? whole_error * volume_m3 / whole->value_m3 : 0;
  if (map->error_m && sheet->pool.area_m2 > 0 && whole_error > 0) {
    double together = summed_error_m3(map, NULL, -sheet->pool.level_m) / whole_error;
    double patches = fmax(together * together * area_m2 / sheet->pool.area_m2, 1);
    error = fmax(error, summed_error_m3(map, share, -sheet->pool.level_m) / sqrt(patches));
  }
  return (lw_volume){volume_m3, fmax(volume_m3 - normal_95 * error, 0), volume_m3 + normal_95 * error};
}

lw_status lw_basin_measure_zone(lw_basin_zone *zone, const lw_basin_sheet *sheet, lw_arena *arena,
                                lw_error *err)
{
  const lw_depth_map *map = &sheet->bed.basin.map;
  double down = -sheet->pool.level_m;
  double volume = 0;
  float *share = NULL;
  lw_shore shore;
  if (!lw_geometry_has_area(zone->zone.outline)) {
    return LW_OK;
  }
  lw_status s = lw_plane_shore(&shore, zone->zone.outline, sheet->ground.plane, arena, err);
  s = s == LW_OK ? lw_zone_cover(&share, map, &shore, arena, err) : s;
  s = s == LW_OK ? lw_map_curve(&zone->area_m2, &volume, map, share, &down, 1, err) : s;
  if (s != LW_OK) {
    lw_error_prefix(err, "zone '%s'", zone->zone.name);
    return s;
  }
  zone->measured = true;
  zone->mean_depth_m = zone->area_m2 > 0 ? volume / zone->area_m2 : 0;
  zone->volume = zone_volume(sheet, share, zone->area_m2, volume);
  return LW_OK;
}
