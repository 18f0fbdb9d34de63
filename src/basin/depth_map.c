/* SPDX-License-Identifier: Apache-2.0 */
#include "basin/depth_map.h"

#include "basin/depth_map_cell.h"

#include <stdint.h>
#include <stdlib.h>

/* Between four nodes, `east` and `north` from 0 to 1. */
static double between(const lw_frame *frame, const float *nodes, size_t i, size_t j, double east,
                      double north)
{
  const float *south_row = nodes + j * frame->nx + i;
  const float *north_row = south_row + frame->nx;
  double south = (double)south_row[0] * (1 - east) + (double)south_row[1] * east;
  double top = (double)north_row[0] * (1 - east) + (double)north_row[1] * east;
  return south * (1 - north) + top * north;
}

static size_t cell_of(double place, size_t nodes)
{
  size_t cell = (size_t)place;
  return cell + 1 < nodes ? cell : nodes - 2; /* on the last line */
}

lw_status lw_map_depth_at(double *out_depth_m, double *out_error_m, const lw_depth_map *map, lw_spot spot,
                          lw_error *err)
{
  const lw_frame *f = &map->frame;
  double u = (spot.x_m - f->x0_m) / f->step_m;
  double v = (spot.y_m - f->y0_m) / f->step_m;
  bool on_grid = u >= 0 && u <= (double)(f->nx - 1) && v >= 0 && v <= (double)(f->ny - 1);
  size_t i = on_grid ? cell_of(u, f->nx) : 0;
  size_t j = on_grid ? cell_of(v, f->ny) : 0;
  if (!on_grid || !(map->cover[j * (f->nx - 1) + i] > 0)) {
    return lw_fail(err, LW_NOT_FOUND, "that place is not on the water; choose one inside the outline");
  }
  double depth = between(f, map->depth_m, i, j, u - (double)i, v - (double)j);
  if (!isfinite(depth)) {
    return lw_fail(err, LW_INTERNAL, "the depth map has a hole at that place; reckon the basin anew");
  }
  *out_depth_m = fmax(0, depth);
  if (out_error_m) {
    double error = map->error_m ? between(f, map->error_m, i, j, u - (double)i, v - (double)j) : NAN;
    *out_error_m = error;
  }
  return LW_OK;
}

double lw_map_deepest_m(const lw_depth_map *map)
{
  double deepest = 0;
  for (size_t j = 0; j + 1 < map->frame.ny; j++) {
    for (size_t i = 0; i + 1 < map->frame.nx; i++) {
      if (map->cover[j * (map->frame.nx - 1) + i] > 0) {
        double most = lw_cell_most(lw_map_cell(map, i, j));
        deepest = most > deepest ? most : deepest;
      }
    }
  }
  return deepest;
}

/* Levels `down_m` and down_m + depth_m[k] after it, with their areas: three arrays of count + 1. */
static lw_status shallower(double *share, double *levels, const lw_depth_map *map, double down_m,
                           const double *depth_m, size_t count, lw_error *err)
{
  double *areas = levels + count + 1;
  levels[0] = down_m;
  for (size_t k = 0; k < count; k++) {
    if (!(depth_m[k] >= 0)) {
      return lw_fail(err, LW_INVALID, "depth %zu must be 0 m or more below the surface", k + 1);
    }
    levels[k + 1] = down_m + depth_m[k];
  }
  lw_status s = lw_map_curve(areas, areas + count + 1, map, NULL, levels, count + 1, err);
  if (s == LW_OK && !(areas[0] > 0)) {
    return lw_fail(err, LW_INVALID, "no water is left with the pool %g m down; choose a higher level",
                   down_m);
  }
  for (size_t k = 0; s == LW_OK && k < count; k++) {
    share[k] = fmax(0, 1 - areas[k + 1] / areas[0]);
  }
  return s;
}

lw_status lw_map_shallower(double *share, const lw_depth_map *map, double down_m, const double *depth_m,
                           size_t count, lw_error *err)
{
  double *levels = count < SIZE_MAX / sizeof(double) / 4 ? calloc(3 * (count + 1), sizeof *levels) : NULL;
  if (!levels) {
    return lw_fail(err, LW_MEMORY, "no memory for %zu depths", count);
  }
  lw_status s = shallower(share, levels, map, down_m, depth_m, count, err);
  free(levels);
  return s;
}

lw_status lw_map_layers(double *out_above_m3, double *out_below_m3, const lw_depth_map *map, double down_m,
                        double plane_m, lw_error *err)
{
  if (!(plane_m >= 0)) {
    return lw_fail(err, LW_INVALID, "the plane must lie 0 m or more below the surface");
  }
  const double levels[2] = {down_m, down_m + plane_m};
  double areas[2];
  double volumes[2];
  lw_status s = lw_map_curve(areas, volumes, map, NULL, levels, 2, err);
  if (s == LW_OK) {
    *out_above_m3 = volumes[0] - volumes[1];
    *out_below_m3 = volumes[1];
  }
  return s;
}
