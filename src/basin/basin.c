/* SPDX-License-Identifier: Apache-2.0 */
/* From what is known of a water to its bed: which way, which grid, and the steps in order. */
#include "basin/basin.h"

#include "basin/choose.h"
#include "basin/reckon.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define STEP_LEAST_M 0.1
#define COARSEST 20 /* steps to the root of the area, at least */

enum {
  CELLS_USUAL = 40000,
  CELLS_FEW = 10000,
  CELLS_FINE = 160000,
  NODES_MOST = 4000000,
  SOUNDINGS_MOST = 5000000
};

static lw_status check(const lw_basin_input *in, lw_error *err)
{
  lw_status s = lw_shore_check(&in->shore, err);
  if (s != LW_OK) {
    return s;
  }
  if (in->sounding_count > SOUNDINGS_MOST) {
    return lw_fail(err, LW_LIMIT,
                   "%zu soundings are more than the %d a depth map is made of; thin them first",
                   in->sounding_count, (int)SOUNDINGS_MOST);
  }
  if (in->step_m != 0 && !(in->step_m >= STEP_LEAST_M && in->step_m <= 1000)) {
    return lw_fail(err, LW_INVALID,
                   "the grid step must lie between 0.1 m and 1000 m, or 0 to have it chosen");
  }
  double widest = sqrt(lw_shore_area_m2(&in->shore)) / COARSEST;
  if (in->step_m > widest) {
    return lw_fail(
        err, LW_INVALID,
        "a grid step of %.3g m is too wide for this water; take %.3g m or less, or leave it to be chosen",
        in->step_m, widest);
  }
  for (size_t k = 0; k < in->sounding_count; k++) {
    const lw_sounding *z = &in->soundings[k];
    if (z->flaw == LW_SOUNDING_GOOD && !(isfinite(z->x_m) && isfinite(z->y_m) && isfinite(z->depth_m))) {
      return lw_fail(err, LW_INVALID, "sounding %zu has no place or no depth; clean the soundings first",
                     k + 1);
    }
  }
  return LW_OK;
}

size_t lw_basin_used(const lw_basin_input *in)
{
  size_t used = 0;
  for (size_t k = 0; k < in->sounding_count; k++) {
    used += in->soundings[k].flaw == LW_SOUNDING_GOOD;
  }
  return used;
}

/* ---- the grid ---- */

/* Length sailed from sounding to sounding of the same line, leaving out jumps. */
static double sailed_m(const lw_basin_input *in)
{
  double sum = 0;
  double most = sqrt(lw_shore_area_m2(&in->shore)) / 4;
  for (size_t k = 1; k < in->sounding_count; k++) {
    const lw_sounding *a = &in->soundings[k - 1];
    double apart = hypot(a[1].x_m - a[0].x_m, a[1].y_m - a[0].y_m);
    sum += a[0].track == a[1].track && apart < most ? apart : 0;
  }
  return sum;
}

static double two_digits(double value)
{
  double power = pow(10, floor(log10(value)) - 1);
  return ceil(value / power - 1e-9) * power;
}

double lw_basin_step_m(const lw_basin_input *in)
{
  double area = lw_shore_area_m2(&in->shore);
  if (in->step_m > 0) {
    return in->step_m;
  }
  double usual = sqrt(area / CELLS_USUAL);
  double sailed = sailed_m(in);
  double step = lw_basin_used(in) < LW_BASIN_FEW_SOUNDINGS ? sqrt(area / CELLS_FEW) : usual;
  if (sailed > 0 && area / sailed / 4 < usual) {
    step = fmax(area / sailed / 4, sqrt(area / CELLS_FINE));
  }
  return fmax(two_digits(step), STEP_LEAST_M);
}

lw_status lw_basin_frame(lw_frame *out, const lw_shore *shore, double step_m, lw_error *err)
{
  lw_box box = lw_shore_box(shore);
  double edge = 2 * step_m;
  double nx = ceil((box.east_m - box.west_m + 2 * edge) / step_m) + 1;
  double ny = ceil((box.north_m - box.south_m + 2 * edge) / step_m) + 1;
  if (!(nx * ny <= NODES_MOST)) {
    return lw_fail(err, LW_LIMIT,
                   "a grid step of %.2f m gives %.0f x %.0f nodes, more than %d; take a wider step", step_m,
                   nx, ny, (int)NODES_MOST);
  }
  *out = (lw_frame){.nx = (size_t)nx,
                    .ny = (size_t)ny,
                    .step_m = step_m,
                    .x0_m = box.west_m - edge,
                    .y0_m = box.south_m - edge};
  return LW_OK;
}

/* ---- the bed as a map ---- */

/* `cover` becomes the map's own, and the map may write it. */
/* NOLINTNEXTLINE(readability-non-const-parameter) */
lw_status lw_basin_take_map(lw_depth_map *map, const lw_surface *s, float *cover, lw_arena *arena,
                            lw_error *err)
{
  const lw_frame *f = &s->frame;
  *map = (lw_depth_map){.frame = *f, .depth_m = LW_NEW(arena, float, f->nx * f->ny), .cover = cover};
  if (!map->depth_m) {
    return lw_fail(err, LW_MEMORY, "no memory for the depth map");
  }
  lw_basin_copy_depth(map, s, s->depth);
  return LW_OK;
}

static bool is_corner(const lw_depth_map *map, size_t i, size_t j)
{
  size_t across = map->frame.nx - 1;
  size_t up = map->frame.ny - 1;
  for (size_t cj = j ? j - 1 : 0; cj <= j && cj < up; cj++) {
    for (size_t ci = i ? i - 1 : 0; ci <= i && ci < across; ci++) {
      if (map->cover[cj * across + ci] > 0) {
        return true;
      }
    }
  }
  return false;
}

void lw_basin_copy_depth(lw_depth_map *map, const lw_surface *s, const double *depth)
{
  for (size_t j = 0; j < map->frame.ny; j++) {
    for (size_t i = 0; i < map->frame.nx; i++) {
      double d = depth[lw_grid_at(&s->grid->levels[0], i, j)];
      map->depth_m[j * map->frame.nx + i] = is_corner(map, i, j) ? (float)d : NAN;
    }
  }
}

/* ---- all of it ---- */

static lw_status measure(lw_basin *out, lw_error *err)
{
  double full = 0;
  lw_status s = lw_map_curve(&out->area_m2, &out->volume_m3, &out->map, NULL, &full, 1, err);
  out->max_depth_m = lw_map_deepest_m(&out->map);
  out->mean_depth_m = out->area_m2 > 0 ? out->volume_m3 / out->area_m2 : 0;
  return s;
}

lw_status lw_basin_reckon(lw_basin *out, const lw_basin_input *input, lw_arena *arena, lw_error *err)
{
  memset(out, 0, sizeof *out);
  lw_status s = check(input, err);
  if (s != LW_OK) {
    return s;
  }
  out->used = lw_basin_used(input);
  if (out->used == 0 && !input->max_depth_m.known && !input->mean_depth_m.known) {
    return lw_fail(
        err, LW_INVALID,
        "there is nothing to tell the depth by: import soundings, read a few depths with a rope, or "
        "give the greatest depth");
  }
  lw_shore *shore = LW_NEW(arena, lw_shore, 1);
  if (!shore) {
    return lw_fail(err, LW_MEMORY, "no memory for the depth map");
  }
  s = out->used ? lw_basin_by_soundings(out, input, arena, err) : lw_basin_by_word(out, input, arena, err);
  *shore = input->shore;
  out->map.shore = shore;
  return s;
}

lw_status lw_basin_finish(lw_basin *out, lw_error *err)
{
  return measure(out, err);
}

void lw_basin_interval(const lw_basin *b, double down_m, double *out_low_m3, double *out_high_m3)
{
  double place = b->max_depth_m > 0 ? down_m / b->max_depth_m * (LW_BASIN_LEVELS - 1) : 0;
  place = fmin(fmax(place, 0), LW_BASIN_LEVELS - 1);
  size_t level = (size_t)fmin(floor(place), LW_BASIN_LEVELS - 2);
  double part = place - (double)level;
  double sum = 0;
  double squares = 0;
  for (size_t m = 0; m < LW_BASIN_MEMBERS; m++) {
    const double *v = b->member_volume_m3[m];
    double volume = v[level] + part * (v[level + 1] - v[level]);
    sum += volume;
    squares += volume * volume;
  }
  double mean = sum / LW_BASIN_MEMBERS;
  double deviation =
      sqrt(fmax(squares / LW_BASIN_MEMBERS - mean * mean, 0) * LW_BASIN_MEMBERS / (LW_BASIN_MEMBERS - 1));
  *out_low_m3 = fmax(mean - LW_BASIN_REACH_90 * deviation, 0);
  *out_high_m3 = mean + LW_BASIN_REACH_90 * deviation;
}
