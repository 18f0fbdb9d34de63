/* SPDX-License-Identifier: Apache-2.0 */
/* The bed as the surface of least energy: curvature and slope are penalised, soundings and shore are
 * honoured to their error. Energy of depth d, without a unit:
 *   slope_weight * integral of (length^2 |Hessian d|^2 + |grad d|^2 + along length^2 d_tt^2)
 *   + sum of ((d(sounding) - depth) / error)^2 + sum of (d(shore) / shore error)^2
 * discretised by second and first differences on the live nodes, soundings by bilinear interpolation; d_tt is
 * the second derivative along the owner's channel, following its bends, or along the long axis. Thin-plate
 * form of Briggs 1974 (Geophysics 39:39) with the tension of Smith & Wessel 1990 (Geophysics 55:293). Private
 * to basin. */
#ifndef LW_BASIN_SURFACE_H
#define LW_BASIN_SURFACE_H

#include "base/multigrid.h"
#include "base/random.h"
#include "basin/basin.h"

/* Soundings of one line that follow each other in one cell, taken together. */
typedef struct lw_bin {
  float u, v; /* place, in steps from the frame's corner */
  float depth_m;
  float count;  /* soundings in it */
  float weight; /* 1 / variance of its depth */
  int32_t fold; /* -1: the shore, never left out */
  int32_t survey;
  int32_t track;
} lw_bin;

typedef struct lw_bins {
  lw_bin *list;
  size_t count;
} lw_bins;

typedef struct lw_penalty {
  double slope_weight; /* 1 / m2 */
  double length_m;     /* above it slopes are penalised, below it curvature */
  double along;        /* extra weight along the direction, 0: none */
} lw_penalty;

/* Where the bed changes slowly: a unit vector and a strength 0 to 1 a node of each level; NULL: none. */
typedef struct lw_directions {
  float *east, *north, *strength; /* of nodes, unpadded, finest level */
} lw_directions;

typedef struct lw_surface {
  lw_frame frame;
  lw_multigrid *grid;
  double *live[LW_GRID_LEVELS]; /* 1 or 0 a node, padded as the level */
  lw_bins bins[LW_GRID_LEVELS];
  lw_directions direction;
  double sounding_error_m;
  double weight_most;  /* of a bin, as stated */
  double *rhs, *depth; /* padded as level 0 */
} lw_surface;

/* A surface over `frame` whose live nodes are the corners of the covered cells and one ring more. Shore
 * spots every half step become bins at depth 0, held to 0.05 m; soundings of one line within one cell share
 * errors, so that no bin weighs more than ten of them (common practice, no source). fold_of: fold of each
 * track (NULL: all 0), every good sounding has a track then. Everything in the arena. */
LW_MUST_CHECK lw_status lw_surface_new(lw_surface **out, const lw_frame *frame, const float *cover,
                                       const lw_basin_input *input, const int32_t *fold_of,
                                       double sounding_error_m, lw_arena *arena, lw_error *err);

/* States the problem with the bins of `without` (a fold) left out; -2 keeps all. */
LW_MUST_CHECK lw_status lw_surface_state(lw_surface *surface, const lw_penalty *penalty, int32_t without,
                                         lw_error *err);

/* The weight of a bin of a level as the stated problem takes it. Nothing is held harder than a thousand times
 * the surface's own stiffness: harder would change the bed by less than a thousandth of what it would do
 * without the bin, and make the system hard to solve. */
double lw_surface_weight(const lw_surface *surface, const lw_bin *bin, size_t level);

/* Solves for the depths recorded (surface->depth), same `without` as stated; energy: see
 * lw_multigrid_how. */
LW_MUST_CHECK lw_status lw_surface_solve(lw_surface *surface, int32_t without, double energy, lw_error *err);

/* Puts into surface->depth a draw of the depth ERROR under the stated problem: data and prior perturbed by
 * unit normals of `random`; `scale_error` and `level_error_m` (one draw a survey) come on top through the
 * data. */
typedef struct lw_draw {
  lw_random random;
  double scale_error, level_error_m;
} lw_draw;
LW_MUST_CHECK lw_status lw_surface_draw(lw_surface *surface, const lw_penalty *penalty, int32_t without,
                                        const lw_draw *draw, lw_error *err);

/* Adds a pull on the four nodes round a bin to surface->rhs. */
void lw_surface_pull(lw_surface *surface, const lw_bin *bin, double pull);

/* The nine coefficients, row by row from the south-west, of the second derivative along the direction at
 * node k of the frame, nodes `apart` steps away from each other; weaker directions than this are left out. */
#define LW_DIRECTION_LEAST 1e-3
void lw_along_stencil(double c[9], const lw_surface *surface, size_t k, double apart);

/* Where a sounding lies on the surface, as a bin of one; false off the live nodes. */
bool lw_surface_place(lw_bin *out, const lw_surface *surface, const lw_sounding *sounding);

/* Bilinear value of a padded level-0 array at a bin. */
double lw_surface_at(const lw_surface *surface, const double *field, const lw_bin *bin);

#endif
