/* SPDX-License-Identifier: Apache-2.0 */
/* The bed from the outline and one depth someone tells. The shape: depth grows from the shore as a membrane
 * under even load does, raised to the power that makes mean / greatest depth 0.4, the factor of USDA
 * Agriculture Handbook 590 (1997) for pond capacity. Its range, 0.26 to 0.54, spans cone to bowl (a cone has
 * 1/3, a paraboloid 1/2; common practice, no source); a told mean is taken as good to a quarter (common
 * practice, no source). */
#include "basin/reckon.h"

#include <math.h>

#define MEAN_OF_GREATEST 0.4
#define GREATEST_SPREAD 0.21 /* standard deviation of the volume in shares of it: 0.35 / 1.678 */
#define MEAN_SPREAD 0.15

enum { HALVINGS = 40 };

static lw_status membrane(lw_surface **out, float **cover, const lw_basin_input *in, lw_arena *arena,
                          lw_error *err)
{
  lw_frame frame;
  lw_basin_input bare = {.shore = in->shore};
  const lw_penalty slope_only = {.slope_weight = 1};
  lw_status s = lw_basin_frame(&frame, &in->shore, lw_basin_step_m(in), err);
  s = s == LW_OK ? lw_shore_cover(cover, &in->shore, &frame, arena, err) : s;
  s = s == LW_OK ? lw_surface_new(out, &frame, *cover, &bare, NULL, 1, arena, err) : s;
  s = s == LW_OK ? lw_surface_state(*out, &slope_only, -2, err) : s;
  if (s != LW_OK) {
    return s;
  }
  lw_surface *u = *out;
  double load = 1 / lw_shore_area_m2(&in->shore) * frame.step_m * frame.step_m;
  for (size_t n = 0; n < u->grid->levels[0].size; n++) {
    u->rhs[n] = u->live[0][n] * load;
  }
  const lw_multigrid_how how = {.energy = 1e-12, .most = 1000};
  return lw_multigrid_solve(u->grid, u->depth, u->rhs, &how, NULL, err);
}

static double greatest(const lw_surface *u)
{
  double most = 0;
  for (size_t n = 0; n < u->grid->levels[0].size; n++) {
    most = fmax(most, u->depth[n]);
  }
  return most;
}

/* (membrane / its top)^power into u->rhs; mean over the water of the map made of it. */
static lw_status raise(double *out_mean, lw_basin *b, lw_surface *u, double top, double power, lw_error *err)
{
  double area = 0;
  double volume = 0;
  const double full = 0;
  for (size_t n = 0; n < u->grid->levels[0].size; n++) {
    double share = fmax(u->depth[n] / top, 0);
    u->rhs[n] = share > 0 ? pow(share, power) : 0;
  }
  lw_basin_copy_depth(&b->map, u, u->rhs);
  lw_status s = lw_map_curve(&area, &volume, &b->map, NULL, &full, 1, err);
  *out_mean = area > 0 ? volume / area : 0;
  return s;
}

static lw_status fit_power(double *out_mean, lw_basin *b, lw_surface *u, double aim, lw_error *err)
{
  double low = 0.2;
  double high = 4;
  double top = greatest(u);
  lw_status s = LW_OK;
  for (int k = 0; s == LW_OK && k < HALVINGS; k++) {
    double power = (low + high) / 2;
    s = raise(out_mean, b, u, top, power, err);
    low = *out_mean > aim ? power : low;
    high = *out_mean > aim ? high : power;
  }
  return s;
}

/* Standard normal quantile by Newton's steps on erf; 0 < p < 1. */
static double normal_quantile(double p)
{
  double x = 0;
  for (int k = 0; k < HALVINGS; k++) {
    double density = exp(-x * x / 2) / sqrt(2 * acos(-1));
    x -= fmin(fmax((0.5 * (1 + erf(x / sqrt(2))) - p) / density, -1), 1);
  }
  return x;
}

static lw_status set_members(lw_basin *b, double spread, lw_error *err)
{
  double down[LW_BASIN_LEVELS];
  double area[LW_BASIN_LEVELS];
  double volume[LW_BASIN_LEVELS];
  for (size_t k = 0; k < LW_BASIN_LEVELS; k++) {
    down[k] = b->max_depth_m * (double)k / (LW_BASIN_LEVELS - 1);
  }
  lw_status s = lw_map_curve(area, volume, &b->map, NULL, down, LW_BASIN_LEVELS, err);
  for (size_t m = 0; s == LW_OK && m < LW_BASIN_MEMBERS; m++) {
    double factor = 1 + spread * normal_quantile(((double)m + 0.5) / LW_BASIN_MEMBERS);
    for (size_t k = 0; k < LW_BASIN_LEVELS; k++) {
      b->member_volume_m3[m][k] = fmax(volume[k] * factor, 0);
    }
  }
  return s;
}

static bool both_told(const lw_basin_input *in)
{
  return in->max_depth_m.known && in->mean_depth_m.known && in->mean_depth_m.value > 0;
}

/* Mean / greatest depth: as told where both are, within what the shape can give. */
static double mean_share(const lw_basin_input *in)
{
  return both_told(in) ? fmin(fmax(in->mean_depth_m.value / in->max_depth_m.value, 0.15), 0.8)
                       : MEAN_OF_GREATEST;
}

lw_status lw_basin_by_word(lw_basin *b, const lw_basin_input *in, lw_arena *arena, lw_error *err)
{
  bool by_max = in->max_depth_m.known;
  double told = by_max ? in->max_depth_m.value : in->mean_depth_m.value;
  if (!(told > 0 && told <= 500)) {
    return lw_fail(err, LW_INVALID, "the %s depth is %g m; it must lie above 0 and at most 500 m",
                   by_max ? "greatest" : "mean", told);
  }
  lw_surface *u = NULL;
  float *cover = NULL;
  double mean = 0;
  b->way = by_max ? LW_BASIN_TOLD_MAX : LW_BASIN_TOLD_MEAN;
  lw_status s = membrane(&u, &cover, in, arena, err);
  s = s == LW_OK ? lw_basin_take_map(&b->map, u, cover, arena, err) : s;
  s = s == LW_OK ? fit_power(&mean, b, u, mean_share(in), err) : s;
  if (s != LW_OK) {
    return s;
  }
  double scale = by_max ? told : told / mean;
  for (size_t k = 0; k < b->map.frame.nx * b->map.frame.ny; k++) {
    b->map.depth_m[k] *= (float)scale;
  }
  s = lw_basin_finish(b, err);
  s = s == LW_OK ? set_members(b, by_max && !both_told(in) ? GREATEST_SPREAD : MEAN_SPREAD, err) : s;
  lw_basin_interval(b, 0, &b->volume_low_m3, &b->volume_high_m3);
  b->max_low_m = by_max ? told : told / 0.54;
  b->max_high_m = by_max ? told : told / 0.26;
  b->how =
      by_max
          ? "From the outline and the greatest depth alone, shaped like an ordinary pond: the volume may be "
            "a "
            "third more or less. Ten depths read with a rope, spread out, would narrow it most."
          : "From the outline and the mean depth as told, shaped like an ordinary pond: the volume may be a "
            "quarter more or less. Ten depths read with a rope, spread out, would narrow it most.";
  return s;
}
