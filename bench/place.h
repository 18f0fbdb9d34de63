/* SPDX-License-Identifier: Apache-2.0 */
/* A made-up place for the benchmarks: many waters with years of records, the same at every run (fixed
 * seed, counter-based draws). No figure in it means anything. */
#ifndef LW_BENCH_PLACE_H
#define LW_BENCH_PLACE_H

#include "base/status.h"

#include <stddef.h>

enum {
  PLACE_CLARITY_A_YEAR = 60,   /* readings of the disk */
  PLACE_OTHERS_A_YEAR = 40,    /* temperature, alkalinity, oxygen, ... */
  PLACE_TREATMENTS_A_YEAR = 9, /* fertilizer, in the season */
  PLACE_LAST_YEAR = 2026
};

/* Makes a store at `path` with `waters` waters and `years` years of records up to 2026-10-15, one change
 * a water. *out_records counts all of them. */
LW_MUST_CHECK lw_status place_make(const char *path, size_t waters, int years, size_t *out_records,
                                   lw_error *err);

#endif
