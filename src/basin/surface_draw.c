/* SPDX-License-Identifier: Apache-2.0 */
/* Draws of the depth error. The energy is a sum of squares; adding an independent unit normal to each
 * square's argument before solving gives fields whose covariance is the inverse of the operator (Papandreou
 * & Yuille 2010, NIPS 23, Gaussian sampling by local perturbations). */
#include "basin/surface.h"

#include <math.h>
#include <string.h>

#define DRAW_ENERGY 0.02

/* Index ranges of the normals of one draw: five a node, then one a bin, then the common ones. */
typedef struct shaker {
  lw_random random;
  uint64_t next;
} shaker;

static double shake(shaker *s)
{
  return lw_random_normal(&s->random, s->next++);
}

static void shake_node(lw_surface *s, shaker *sh, size_t n, double bending, double tension)
{
  const double *live = s->live[0];
  double *b = s->rhs;
  size_t up = s->grid->levels[0].stride;
  bool east = live[n + 1] > 0;
  bool north = live[n + up] > 0;
  if (east) {
    double e = tension * shake(sh);
    b[n + 1] += e;
    b[n] -= e;
  }
  if (north) {
    double e = tension * shake(sh);
    b[n + up] += e;
    b[n] -= e;
  }
  if (east && live[n - 1] > 0) {
    double e = bending * shake(sh);
    b[n - 1] += e;
    b[n] -= 2 * e;
    b[n + 1] += e;
  }
  if (north && live[n - up] > 0) {
    double e = bending * shake(sh);
    b[n - up] += e;
    b[n] -= 2 * e;
    b[n + up] += e;
  }
  if (east && north && live[n + up + 1] > 0) {
    double e = sqrt(2.0) * bending * shake(sh);
    b[n] += e;
    b[n + 1] -= e;
    b[n + up] -= e;
    b[n + up + 1] += e;
  }
}

/* The square along the direction at node number k of the frame. */
static void shake_along(lw_surface *s, shaker *sh, size_t n, size_t k, double bending)
{
  size_t up = s->grid->levels[0].stride;
  double c[9];
  lw_along_stencil(c, s, k, 1);
  double e = bending * sqrt((double)s->direction.strength[k]) * shake(sh);
  for (size_t m = 0; m < 9; m++) {
    if (!(s->live[0][n + m / 3 * up - up + m % 3 - 1] > 0)) {
      return;
    }
  }
  for (size_t m = 0; m < 9; m++) {
    s->rhs[n + m / 3 * up - up + m % 3 - 1] += e * c[m];
  }
}

static void shake_prior(lw_surface *s, const lw_penalty *penalty, shaker *sh)
{
  const lw_grid_level *l = &s->grid->levels[0];
  double tension = sqrt(penalty->slope_weight);
  double bending = tension * penalty->length_m / s->frame.step_m;
  double more = sqrt(penalty->along);
  for (size_t j = 0; j < l->ny; j++) {
    for (size_t i = 0; i < l->nx; i++) {
      size_t n = lw_grid_at(l, i, j);
      size_t k = j * s->frame.nx + i;
      if (!(s->live[0][n] > 0)) {
        continue;
      }
      shake_node(s, sh, n, bending, tension);
      if (penalty->along > 0 && s->direction.strength &&
          (double)s->direction.strength[k] >= LW_DIRECTION_LEAST) {
        shake_along(s, sh, n, k, bending * more);
      }
    }
  }
}

static void shake_data(lw_surface *s, int32_t without, const lw_draw *draw, shaker *sh)
{
  lw_random common = draw->random;
  common.stream ^= 0x5EEDu << 8;
  double scale = draw->scale_error * lw_random_normal(&common, 0);
  for (size_t k = 0; k < s->bins[0].count; k++) {
    const lw_bin *bin = &s->bins[0].list[k];
    double weight = lw_surface_weight(s, bin, 0);
    double error = shake(sh) / sqrt(weight);
    if (bin->fold >= 0) {
      error += scale * (double)bin->depth_m +
               draw->level_error_m * lw_random_normal(&common, 1 + (uint64_t)bin->survey);
    }
    if (bin->fold != without) {
      lw_surface_pull(s, bin, error * weight);
    }
  }
}

lw_status lw_surface_draw(lw_surface *s, const lw_penalty *penalty, int32_t without, const lw_draw *draw,
                          lw_error *err)
{
  shaker sh = {.random = draw->random};
  memset(s->rhs, 0, s->grid->levels[0].size * sizeof *s->rhs);
  shake_prior(s, penalty, &sh);
  shake_data(s, without, draw, &sh);
  lw_multigrid_how how = {.energy = DRAW_ENERGY, .most = 1000};
  return lw_multigrid_solve(s->grid, s->depth, s->rhs, &how, NULL, err);
}
