/* SPDX-License-Identifier: Apache-2.0 */
/* Other ways to depths between soundings: GDAL's gridders and ordinary kriging, asked at single spots. */
#ifndef LW_BENCH_GRIDDERS_H
#define LW_BENCH_GRIDDERS_H

#include "base/arena.h"
#include "basin/shore.h"

#include <stdbool.h>

typedef struct known {
  double *x_m, *y_m, *depth_m;
  size_t count;
} known;

bool known_make(known *out, size_t room, lw_arena *arena);
void known_add(known *to, lw_spot spot, double depth_m);

typedef enum gridder {
  GRIDDER_LINEAR,
  GRIDDER_DISTANCE,      /* inverse distance to a power, all points */
  GRIDDER_DISTANCE_NEAR, /* the same of the nearest points within a radius */
  GRIDDER_NEAREST,
  GRIDDER_AVERAGE, /* moving average within a radius */
  GRIDDERS
} gridder;

typedef struct gridder_how {
  gridder which;
  double power, radius_m;
  unsigned most; /* points, for GRIDDER_DISTANCE_NEAR */
} gridder_how;

/* True when built with GDAL. */
bool gridders_at_hand(void);

/* Depth at each spot; NAN where the gridder has none (nothing within the radius). One thread. */
bool gridder_at(double *out, const lw_spot *spots, size_t count, const known *from, const gridder_how *how);

/* Time in ms GDAL takes, with as many threads as it likes, from the points to `rows` of the frame's ny rows
 * of nodes, spread evenly, and *out_setup_ms of it, before the first row; negative on failure. */
double gridder_rows_ms(double *out_setup_ms, const lw_frame *frame, size_t rows, const known *from,
                       const gridder_how *how);

/* Ordinary kriging: exponential or spherical variogram, whichever fits the points better, and the nearest 24
 * points (Cressie 1993, Statistics for Spatial Data, rev. ed., sections 2.6 and 3.2, from memory), whatever
 * side they lie on or, all_round, the nearest three in each of eight directions, so that not all come from
 * the nearest line. Never below 0. */
bool kriging_at(double *out, const lw_spot *spots, size_t count, const known *from, bool all_round,
                lw_arena *arena);

#endif
