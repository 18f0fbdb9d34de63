/* SPDX-License-Identifier: Apache-2.0 */
/* The energy of the surface, stated as an operator on every level. */
#include "basin/surface.h"

#define HARDEST 1000.0

/* pairs of a reach-2 level, see lw_grid_level.offset */
enum { EAST = 0, EAST_2 = 1, NORTH_WEST = 3, NORTH = 4, NORTH_EAST = 5, NORTH_2 = 9 };

static void touch_plate(lw_grid_level *l)
{
  static const int pairs[] = {EAST, EAST_2, NORTH_WEST, NORTH, NORTH_EAST, NORTH_2};
  for (size_t k = 0; k < sizeof pairs / sizeof *pairs; k++) {
    lw_grid_touch(l, pairs[k]);
  }
}

/* weight * (second difference)^2 at n along `step`; `one` couples neighbours, `two` those two apart. */
static void bend(lw_grid_level *l, size_t n, size_t step, int one, int two, double weight)
{
  l->self[n - step] += weight;
  l->self[n] += 4 * weight;
  l->self[n + step] += weight;
  l->pairs[one][n - step] -= 2 * weight;
  l->pairs[one][n] -= 2 * weight;
  l->pairs[two][n - step] += weight;
}

/* weight * (south-west + north-east - south-east - north-west)^2: the twist of the cell north-east of n. */
static void twist(lw_grid_level *l, size_t n, double weight)
{
  size_t up = n + l->stride;
  l->self[n] += weight;
  l->self[n + 1] += weight;
  l->self[up] += weight;
  l->self[up + 1] += weight;
  l->pairs[EAST][n] -= weight;
  l->pairs[EAST][up] -= weight;
  l->pairs[NORTH][n] -= weight;
  l->pairs[NORTH][n + 1] -= weight;
  l->pairs[NORTH_EAST][n] += weight;
  l->pairs[NORTH_WEST][n + 1] += weight;
}

static void slope(lw_grid_level *l, size_t n, size_t step, int pair, double weight)
{
  l->self[n] += weight;
  l->self[n + step] += weight;
  l->pairs[pair][n] -= weight;
}

static double least(double a, double b)
{
  return a < b ? a : b;
}

/* Curvature and slope everywhere: |Hessian|^2 = xx^2 + 2 xy^2 + yy^2, each times the cell's area and the
 * least share to which its nodes live. */
static void add_plate(lw_grid_level *l, const double *live, double bending, double tension)
{
  size_t up = l->stride;
  for (size_t j = 0; j < l->ny; j++) {
    for (size_t i = 0; i < l->nx; i++) {
      size_t n = lw_grid_at(l, i, j);
      double east = least(live[n], live[n + 1]);
      double north = least(live[n], live[n + up]);
      if (east > 0) {
        double bent = least(east, live[n - 1]);
        double twisted = least(least(east, live[n + up]), live[n + up + 1]);
        slope(l, n, 1, EAST, east * tension);
        bend(l, n, 1, EAST, EAST_2, bent * bending);
        twist(l, n, 2 * twisted * bending);
      }
      if (north > 0) {
        slope(l, n, up, NORTH, north * tension);
        bend(l, n, up, NORTH, NORTH_2, least(north, live[n - up]) * bending);
      }
    }
  }
}

/* Nine nodes about n, row by row from the south-west. */
static bool nine(size_t at[9], const lw_grid_level *l, const double *live, size_t n)
{
  bool all = true;
  for (size_t k = 0; k < 9; k++) {
    at[k] = n + k / 3 * l->stride - l->stride + k % 3 - 1;
    all = all && live[at[k]] > 0;
  }
  return all;
}

/* How the direction turns along itself, (t . grad) t, in radians a step of the finest grid: on a winding
 * channel the second derivative along it is t' H t plus this times the gradient. */
static void turning(double out[2], const lw_surface *s, size_t k)
{
  const lw_directions *d = &s->direction;
  size_t nx = s->frame.nx;
  out[0] = out[1] = 0;
  if (k % nx == 0 || k % nx == nx - 1 || k < nx || k + nx >= nx * s->frame.ny) {
    return;
  }
  double e = (double)d->east[k];
  double n = (double)d->north[k];
  out[0] =
      (e * (double)(d->east[k + 1] - d->east[k - 1]) + n * (double)(d->east[k + nx] - d->east[k - nx])) / 2;
  out[1] =
      (e * (double)(d->north[k + 1] - d->north[k - 1]) + n * (double)(d->north[k + nx] - d->north[k - nx])) /
      2;
}

void lw_along_stencil(double c[9], const lw_surface *s, size_t k, double apart)
{
  double e = (double)s->direction.east[k];
  double n = (double)s->direction.north[k];
  double both = e * n / 2;
  double turn[2];
  turning(turn, s, k);
  double x = turn[0] * apart / 2;
  double y = turn[1] * apart / 2;
  const double stencil[9] = {both, n * n - y, -both, e * e - x, -2, e * e + x, -both, n * n + y, both};
  for (int m = 0; m < 9; m++) {
    c[m] = stencil[m];
  }
}

static void add_along(const lw_surface *s, size_t v, double bending)
{
  lw_grid_level *l = &s->grid->levels[v];
  size_t apart = (size_t)1 << v;
  for (size_t j = 0; j < l->ny && j * apart < s->frame.ny; j++) {
    for (size_t i = 0; i < l->nx && i * apart < s->frame.nx; i++) {
      size_t k = j * apart * s->frame.nx + i * apart;
      double strength = (double)s->direction.strength[k];
      size_t at[9];
      double c[9];
      if (strength >= LW_DIRECTION_LEAST && nine(at, l, s->live[v], lw_grid_at(l, i, j))) {
        lw_along_stencil(c, s, k, (double)apart);
        lw_grid_add_square(l, at, c, 9, bending * strength);
      }
    }
  }
}

static void add_bin(lw_grid_level *l, const lw_bin *bin, double w)
{
  size_t i = (size_t)bin->u;
  size_t j = (size_t)bin->v;
  double s = (double)bin->u - (double)i;
  double t = (double)bin->v - (double)j;
  size_t n = lw_grid_at(l, i, j);
  size_t up = n + l->stride;
  double a = (1 - s) * (1 - t);
  double b = s * (1 - t);
  double c = (1 - s) * t;
  double d = s * t;
  l->self[n] += w * a * a;
  l->self[n + 1] += w * b * b;
  l->self[up] += w * c * c;
  l->self[up + 1] += w * d * d;
  l->pairs[EAST][n] += w * a * b;
  l->pairs[EAST][up] += w * c * d;
  l->pairs[NORTH][n] += w * a * c;
  l->pairs[NORTH][n + 1] += w * b * d;
  l->pairs[NORTH_EAST][n] += w * a * d;
  l->pairs[NORTH_WEST][n + 1] += w * b * c;
}

lw_status lw_surface_state(lw_surface *s, const lw_penalty *penalty, int32_t without, lw_error *err)
{
  lw_multigrid_clear(s->grid);
  double finest = penalty->length_m / s->frame.step_m;
  s->weight_most =
      HARDEST * penalty->slope_weight * (20 * finest * finest + 4); /* the diagonal of the plate */
  for (size_t v = 0; v < s->grid->level_count; v++) {
    lw_grid_level *l = &s->grid->levels[v];
    double step = s->frame.step_m * (double)((size_t)1 << v);
    double bending = penalty->slope_weight * penalty->length_m * penalty->length_m / (step * step);
    touch_plate(l);
    add_plate(l, s->live[v], bending, penalty->slope_weight);
    if (penalty->along > 0 && s->direction.strength) {
      add_along(s, v, bending * penalty->along);
    }
    for (size_t k = 0; k < s->bins[v].count; k++) {
      const lw_bin *bin = &s->bins[v].list[k];
      if (bin->fold != without) {
        add_bin(l, bin, lw_surface_weight(s, bin, v));
      }
    }
  }
  return lw_multigrid_ready(s->grid, err);
}
