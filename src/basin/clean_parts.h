/* SPDX-License-Identifier: Apache-2.0 */
/* What the parts of the cleaning (clean*.c) and the split into lines (tracks.c) share: soundings in the
 * order they were sailed, a place index, and medians. Not for other folders. */
#ifndef LW_BASIN_CLEAN_PARTS_H
#define LW_BASIN_CLEAN_PARTS_H

#include "basin/shore_distance.h"
#include "basin/soundings.h"

#include <stdbool.h>
#include <stdint.h>

/* basin.h: LW_LIMIT past this many. Indices are 32 bits for the sake of memory. */
enum { LW_SOUNDINGS_MAX = 5000000, LW_SURVEYS_MAX = 1000000 };

/* ---- sailing order (clean_course.c) ---- */

/* One survey's stretch of a course. */
typedef struct lw_leg {
  size_t first, count;
  double spacing_m; /* median distance from one sounding to the next */
  bool scattered;   /* in no sailing order: only place says which soundings are neighbours */
} lw_leg;

/* The good soundings, survey after survey; within a survey as given, or by time where all are timed and
 * that is the shorter way. */
typedef struct lw_course {
  uint32_t *index;
  size_t count;
  lw_leg *legs;
  size_t leg_count;
} lw_course;

LW_MUST_CHECK lw_status lw_course_build(lw_course *out, const lw_sounding *soundings, size_t count,
                                        const lw_shore *shore, lw_arena *arena, lw_error *err);

/* Takes out what is no longer good; the legs stay what they are. */
void lw_course_drop(lw_course *course, const lw_sounding *soundings);

/* From the sounding before, m. */
double lw_course_step_m(const lw_course *course, const lw_sounding *soundings, size_t k);

/* End (one past) of the stretch without a gap that begins at course position `from` of the leg. */
size_t lw_course_stretch_end(const lw_course *course, const lw_leg *leg, const lw_sounding *soundings,
                             size_t from);

/* Fewer soundings than this are depths by hand, far apart: nothing to compare them with. */
enum { LW_CLEAN_FEW = 8 };

/* ---- place index (clean_squares.c) ---- */

/* Items sorted into squares: item[start[q]] to item[start[q + 1] - 1] lie in square q = row * nx + column. */
typedef struct lw_squares {
  double x0_m, y0_m, size_m;
  size_t nx, ny;
  uint32_t *start, *item;
} lw_squares;

/* Squares of `size_m`, or larger where that would make more than 4 squares an item. */
LW_MUST_CHECK lw_status lw_squares_build(lw_squares *out, const lw_spot *spots, size_t count, double size_m,
                                         lw_arena *arena, lw_error *err);

/* Column and row of a spot, held within the index. */
size_t lw_squares_column(const lw_squares *squares, double x_m);
size_t lw_squares_row(const lw_squares *squares, double y_m);

/* ---- medians (clean_median.c) ---- */

/* Median; reorders `values`; mean of the middle two when count is even; 0 for none. Linear. */
double lw_median_of(float *values, size_t count);

/* Median and robust standard deviation, 1.4826 times the median absolute deviation from it (Hampel 1974,
 * JASA 69:383). Overwrites `values`. */
void lw_median_and_deviation(float *values, size_t count, double *out_median, double *out_deviation);

/* ---- the tests, each marking what is still good ---- */

typedef struct lw_clean_job {
  lw_sounding *soundings;
  size_t count;
  const lw_shore *shore;
  lw_cleaning how;
  lw_arena *arena;
  lw_course course;   /* from lw_clean_begin_lines on */
  lw_shore_tree tree; /* the same */
} lw_clean_job;

/* Sets the flaw, unless the owner keeps it or it has one. */
void lw_clean_mark(lw_sounding *sounding, lw_sounding_flaw flaw);

LW_MUST_CHECK lw_status lw_clean_outside(lw_clean_job *job, lw_error *err);
LW_MUST_CHECK lw_status lw_clean_repeats(lw_clean_job *job, lw_error *err);
LW_MUST_CHECK lw_status lw_clean_begin_lines(lw_clean_job *job, lw_error *err);
LW_MUST_CHECK lw_status lw_clean_runs(lw_clean_job *job, lw_error *err);
LW_MUST_CHECK lw_status lw_clean_spikes(lw_clean_job *job, lw_error *err);
LW_MUST_CHECK lw_status lw_clean_scattered(lw_clean_job *job, lw_error *err);

#endif
