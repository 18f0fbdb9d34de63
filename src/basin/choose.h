/* SPDX-License-Identifier: Apache-2.0 */
/* How smooth the bed is, told by the soundings themselves: whole lines are left out in turn, the surface is
 * laid through the others, and the penalty that predicts the left-out depths best is taken (blocked
 * cross-validation: Roberts et al. 2017, Ecography 40:913). The same residuals then say by how much the
 * formal errors of the surface are to be stretched. Private to basin. */
#ifndef LW_BASIN_CHOOSE_H
#define LW_BASIN_CHOOSE_H

#include "basin/surface.h"

enum { LW_FOLDS = 10 };

typedef struct lw_choice {
  lw_penalty penalty;
  double stretch; /* of formal standard errors */
  double rmse_m, bias_m;
  size_t folds;
} lw_choice;

/* Error of one sounding (m, 0.02 to 0.5) from second differences along the lines: median |a - 2b + c| /
 * (0.6745 sqrt 6). 0.05 when there are fewer than 20 of them. */
double lw_sounding_error_m(const lw_sounding *soundings, size_t count, lw_arena *arena);

/* A penalty to begin with, from the water's size and the depths' size. */
lw_penalty lw_penalty_usual(double area_m2, double depth_m);

/* Searches the penalty on `surface`, whose bins carry folds 0 to fold_count - 1; a direction is tried where
 * surface->direction has one. Changes the stated problem. */
LW_MUST_CHECK lw_status lw_choose_penalty(lw_choice *out, lw_surface *surface, const lw_penalty *begin,
                                          size_t fold_count, const lw_basin_input *input, lw_error *err);

/* With the chosen penalty: recorded minus predicted depth of every used sounding when its fold is left out
 * (residual_m, one a sounding, the others untouched), their root mean square and mean, and the stretch. */
LW_MUST_CHECK lw_status lw_choose_stretch(lw_choice *choice, float *residual_m, lw_surface *surface,
                                          const int32_t *fold_of, const lw_basin_input *input, lw_error *err);

/* LW_CONFLICT when the caller's go_on says so. */
LW_MUST_CHECK lw_status lw_basin_go_on(const lw_basin_input *input, double done, lw_error *err);

#endif
