/* SPDX-License-Identifier: Apache-2.0 */
/* The shape of a water, from whatever is known: the outline alone with a depth someone tells, a handful
 * of depths read with a rope, or thousands of soundings. One call gives the bed, its error, and the
 * volume with a 90 % interval; everything else is measured on the result with depth_map.h.
 *
 * Method: minimum-curvature spline in tension (Briggs 1974, Geophysics 39:39; Smith & Wessel 1990,
 * Geophysics 55:293) as a penalised least-squares problem with the shore at depth 0 and each sounding
 * honoured to its error; solved by base/multigrid. Smoothness, tension and direction are chosen by
 * cross-validation with whole track lines left out. Errors: the same penalty read as a Gaussian prior
 * (Wahba 1983, J. R. Statist. Soc. B 45:133), sampled by perturbing data and prior (Papandreou & Yuille
 * 2010, NIPS 23), scaled to the cross-validated residuals. */
#ifndef LW_BASIN_BASIN_H
#define LW_BASIN_BASIN_H

#include "base/arena.h"
#include "base/maybe.h"
#include "base/status.h"
#include "basin/depth_map.h"
#include "basin/shore.h"
#include "basin/soundings.h"

#include <stdbool.h>
#include <stdint.h>

typedef enum lw_basin_way {
  LW_BASIN_SOUNDED,   /* enough soundings on enough lines for cross-validation */
  LW_BASIN_FEW,       /* a handful of depths */
  LW_BASIN_TOLD_MAX,  /* outline and the greatest depth as told */
  LW_BASIN_TOLD_MEAN, /* outline and the mean depth as told */
} lw_basin_way;

/* A creek bed or old river channel the owner drew: the bed changes slowly along it. */
typedef struct lw_channel {
  const lw_spot *spots;
  size_t count;
} lw_channel;

typedef struct lw_basin_input {
  lw_shore shore;
  const lw_sounding *soundings; /* those with flaw LW_SOUNDING_GOOD are used; tracks given */
  size_t sounding_count;
  const lw_channel *channels;
  size_t channel_count;
  lw_maybe max_depth_m, mean_depth_m; /* as told; used only without soundings */
  double step_m;                      /* of the grid; 0: chosen from data and area */
  double sounding_error_m;            /* stated error of one sounding; 0: estimated along the lines */
  double scale_error;                 /* stated share by which all depths may be off; 0: 0.01 */
  double level_error_m;               /* stated error of a survey's pool level; 0: 0.02 */
  uint64_t seed;
  bool (*go_on)(void *context, double done); /* share done, 0 to 1; false cancels. May be NULL */
  void *context;
} lw_basin_input;

enum { LW_BASIN_MEMBERS = 48, LW_BASIN_LEVELS = 25 };

typedef struct lw_basin {
  lw_basin_way way;
  lw_depth_map map;
  size_t used;                                     /* soundings that shaped it */
  double area_m2;                                  /* at full pool */
  double volume_m3, volume_low_m3, volume_high_m3; /* at full pool, 90 % interval */
  double mean_depth_m, max_depth_m;
  double max_low_m, max_high_m;
  bool cross_validated;
  double rmse_m, bias_m; /* held-out depth minus predicted: root mean square, mean (over used soundings) */
  size_t folds;
  float *residual_m; /* one a sounding of the input: recorded minus predicted when its line is left out
                        (NAN where not used or not cross-validated) */
  double tension_length_m, smoothness, direction; /* what cross-validation chose; direction 0: none */
  /* the ensemble behind the intervals: volume of each member at LW_BASIN_LEVELS levels from full pool to
   * the deepest, equally spaced (level k is k * max_depth_m / (LW_BASIN_LEVELS - 1) down) */
  double member_volume_m3[LW_BASIN_MEMBERS][LW_BASIN_LEVELS];
  const char *how; /* one sentence for people, in the arena: what it rests on and how wide it is */
} lw_basin;

/* Everything in `arena`, but the map's shore shares the spots of the input's. LW_INVALID with the remedy when
 * there is nothing to go by (no soundings and no depth told), LW_LIMIT past 4,000,000 nodes or 5,000,000
 * soundings, LW_CONFLICT "cancelled" when go_on said so. Deterministic for one input and seed, whatever the
 * number of threads. */
LW_MUST_CHECK lw_status lw_basin_reckon(lw_basin *out, const lw_basin_input *input, lw_arena *arena,
                                        lw_error *err);

/* The 90 % interval of the volume with the pool `down_m` below full, from the ensemble. */
void lw_basin_interval(const lw_basin *basin, double down_m, double *out_low_m3, double *out_high_m3);

/* The grid step lw_basin_reckon would choose (m). */
double lw_basin_step_m(const lw_basin_input *input);

#endif
