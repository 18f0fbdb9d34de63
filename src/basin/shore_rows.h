/* SPDX-License-Identifier: Apache-2.0 */
/* The shore's edges listed by rows of equal height, to find quickly what cuts a level line. Private to
 * basin. */
#ifndef LW_BASIN_SHORE_ROWS_H
#define LW_BASIN_SHORE_ROWS_H

#include "basin/shore.h"

/* An edge that is not level, from its lower end. */
typedef struct lw_rise {
  double low_m, high_m, x_m, slope;
} lw_rise;

typedef struct lw_shore_rows {
  double south_m, north_m, per_m; /* rows a metre */
  size_t count, longest;          /* rows; rises in the fullest row */
  size_t *start;                  /* count + 1 */
  lw_rise *rises;
} lw_shore_rows;

/* In the arena; the shore has been checked. */
LW_MUST_CHECK lw_status lw_shore_rows_build(lw_shore_rows *out, const lw_shore *shore, lw_arena *arena,
                                            lw_error *err);

bool lw_shore_rows_inside(const lw_shore_rows *rows, lw_spot spot);

/* Where the shore cuts the line at height y, growing: an even number of places, room for `longest`. */
size_t lw_shore_rows_cuts(double *x_m, const lw_shore_rows *rows, double y_m);

#endif
