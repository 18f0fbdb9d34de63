/* SPDX-License-Identifier: Apache-2.0 */
/* An invented lake and a survey of it, as the basin benchmarks use them. */
#ifndef LW_BENCH_SURVEY_H
#define LW_BENCH_SURVEY_H

#include "basin/basin.h"
#include "lakes.h"

#include <stdbool.h>

typedef struct survey {
  lw_lake lake;
  lw_sailed sailed;
  lw_basin_input input; /* its shore and soundings, seed 1 */
} survey;

/* Makes the lake and sails it; says what went wrong on standard error. Everything in the arena. */
bool survey_make(survey *out, const lw_lake_ask *lake, const lw_sailing *how, lw_arena *arena);

/* Spots at depth 0 along the shore, at most `apart_m` from each other; how many there are. At most `room` are
 * written. */
size_t survey_shore(lw_spot *out, size_t room, const lw_shore *shore, double apart_m);

#endif
