/* SPDX-License-Identifier: Apache-2.0 */
/* Depth soundings in the local metric plane: one struct for what was recorded, the cleaning that sets
 * aside what cannot be a depth of this water (each with its reason, so that the owner can put it back),
 * and the split into track lines. Nothing is deleted here: a sounding is marked. */
#ifndef LW_BASIN_SOUNDINGS_H
#define LW_BASIN_SOUNDINGS_H

#include "base/arena.h"
#include "base/status.h"
#include "basin/shore.h"

#include <stdint.h>

/* Why a sounding is set aside. The owner's word (kept, dropped) beats the tests. */
#define LW_SOUNDING_FLAW_LIST(X)                                                                             \
  X(LW_SOUNDING_GOOD, "good", "used")                                                                        \
  X(LW_SOUNDING_OUTSIDE, "outside", "lies outside the outline by more than the tolerance")                   \
  X(LW_SOUNDING_DUPLICATE, "duplicate", "repeats another sounding at the same place")                        \
  X(LW_SOUNDING_DROPOUT, "dropout", "the sounder lost the bottom")                                           \
  X(LW_SOUNDING_ZERO, "zero", "reads zero or next to nothing away from the shore")                           \
  X(LW_SOUNDING_SPIKE, "spike", "stands far off its neighbours")                                             \
  X(LW_SOUNDING_DOUBLE_ECHO, "double-echo", "reads about twice its neighbours: an echo of the echo")         \
  X(LW_SOUNDING_TOO_DEEP, "too-deep", "deeper than this water can be")                                       \
  X(LW_SOUNDING_BY_OWNER, "by-owner", "set aside by the owner")

#define LW_SOUNDING_FLAW_ENUM(code, id, text) code,
typedef enum lw_sounding_flaw {
  LW_SOUNDING_FLAW_LIST(LW_SOUNDING_FLAW_ENUM) LW_SOUNDING_FLAW_COUNT
} lw_sounding_flaw;
#undef LW_SOUNDING_FLAW_ENUM

/* One sounding. depth_m is below full pool: the reader's depth, plus the transducer's depth, minus the
 * pool's level against full pool at that time (which is negative when the pool was down). */
typedef struct lw_sounding {
  double x_m, y_m;
  double time_s; /* seconds since 1970 UTC; NAN when not recorded */
  float depth_m;
  int32_t survey; /* index in the list of surveys given */
  int32_t track;  /* line of its survey: given by the file, or by lw_soundings_split; -1 unknown */
  uint8_t flaw;   /* lw_sounding_flaw */
  uint8_t owner;  /* 0: the tests decide, 1: the owner keeps it, 2: the owner drops it */
} lw_sounding;

typedef struct lw_cleaning {
  double outside_tolerance_m;  /* positions this far out are kept; default 5 */
  double deepest_m;            /* deeper is LW_SOUNDING_TOO_DEEP; 0: not tested */
  double duplicate_distance_m; /* default 0.05 */
  double spike_factor;         /* robust deviations from the local median; default 6 */
  double spike_least_m;        /* a spike stands off at least this far; default 0.3 */
} lw_cleaning;

lw_cleaning lw_cleaning_usual(void);

typedef struct lw_cleaning_report {
  size_t count[LW_SOUNDING_FLAW_COUNT];
} lw_cleaning_report;

/* Marks `flaw` of each sounding, in place; order and number stay. Local test: along its own track (by
 * time or file order) AND against soundings near in place, robust (median and MAD: Hampel 1974, JASA
 * 69:383), with allowance for the slope, so that a steep bank or a stump row that two passes see is not
 * called a spike. LW_INVALID naming the likely cause when most soundings fall outside (swapped
 * coordinates, other water) or nothing is left. Linear in count (indexed by place).
 * Deterministic. */
LW_MUST_CHECK lw_status lw_soundings_clean(lw_sounding *soundings, size_t count, const lw_shore *shore,
                                           const lw_cleaning *how, lw_cleaning_report *out, lw_arena *arena,
                                           lw_error *err);

/* Gives every sounding without a track (-1) one: a new line begins with a new survey, a gap in time or
 * place, or a turn of more than about 60 degrees that lasts; lines of fewer than 4 soundings join the
 * line before. Soundings that are not in sailing order (no line has neighbours near each other) get
 * tracks by place: squares of about a tenth of the water. Track numbers are unique over all surveys,
 * from 0; returns how many in *out_tracks. */
LW_MUST_CHECK lw_status lw_soundings_split(lw_sounding *soundings, size_t count, const lw_shore *shore,
                                           size_t *out_tracks, lw_arena *arena, lw_error *err);

const char *lw_sounding_flaw_id(lw_sounding_flaw flaw);   /* "spike" */
const char *lw_sounding_flaw_text(lw_sounding_flaw flaw); /* "stands far off its neighbours" */

#endif
