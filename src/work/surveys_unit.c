/* SPDX-License-Identifier: Apache-2.0 */
/* Feet read as metres, and the reverse, where no greatest depth is told: new soundings are held against the
 * mean depth told and against the soundings already there. Common practice, no source. */
#include "work/surveys_parts.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define METRES_PER_FOOT 0.3048
#define NEAR_M 10.0      /* a pair: at most this far apart */
#define SHALLOWEST_M 0.3 /* shallower depths say little about a ratio */
#define RATIO_LOW 2.6    /* about 3.28, with room for slopes and levels */
#define RATIO_HIGH 4.1

enum { MOST_SAMPLES = 20000, LEAST_PAIRS = 20 };

typedef struct near_index {
  const lw_sounding **by_cell; /* in order of cells NEAR_M wide, rows first */
  size_t count;
} near_index;

static double column_of(const lw_sounding *s)
{
  return floor(s->x_m / NEAR_M);
}

static double row_of(const lw_sounding *s)
{
  return floor(s->y_m / NEAR_M);
}

static int compare_cell(const lw_sounding *s, double row, double column)
{
  double r = row_of(s);
  double c = column_of(s);
  return r < row ? -1 : r > row ? 1 : (c > column) - (c < column);
}

static int by_cell(const void *a, const void *b)
{
  const lw_sounding *x = *(const lw_sounding *const *)a;
  const lw_sounding *y = *(const lw_sounding *const *)b;
  return compare_cell(x, row_of(y), column_of(y));
}

static int by_value(const void *a, const void *b)
{
  double x = *(const double *)a;
  double y = *(const double *)b;
  return (x > y) - (x < y);
}

static size_t first_of_cell(const near_index *index, double row, double column)
{
  size_t low = 0;
  size_t high = index->count;
  while (low < high) {
    size_t middle = low + (high - low) / 2;
    if (compare_cell(index->by_cell[middle], row, column) < 0) {
      low = middle + 1;
    } else {
      high = middle;
    }
  }
  return low;
}

static const lw_sounding *nearest(const near_index *index, const lw_sounding *to)
{
  const lw_sounding *best = NULL;
  double least_m = NEAR_M;
  for (int d = -1; d <= 1; d++) {
    double row = row_of(to) + d;
    for (size_t i = first_of_cell(index, row, column_of(to) - 1);
         i < index->count && compare_cell(index->by_cell[i], row, column_of(to) + 1) <= 0; i++) {
      double away_m = hypot(index->by_cell[i]->x_m - to->x_m, index->by_cell[i]->y_m - to->y_m);
      if (away_m <= least_m) {
        least_m = away_m;
        best = index->by_cell[i];
      }
    }
  }
  return best;
}

static bool counts(const lw_sounding *s)
{
  return s->flaw == LW_SOUNDING_GOOD && (double)s->depth_m >= SHALLOWEST_M;
}

static lw_status refuse_ratio(double ratio, const lw_water *water, lw_error *err)
{
  return ratio > 1
             ? lw_fail(err, LW_INVALID,
                       "these depths are about %.1f times those already there: feet read as metres? give "
                       "--depth-unit ft or correct the unit in the heading; if the survey already there "
                       "is the wrong one, leave it out with 'survey set \"%s\" NAME --use no'",
                       ratio, water->name)
             : lw_fail(err, LW_INVALID,
                       "these depths are about %.2f of those already there: metres read as feet? give "
                       "--depth-unit m or correct the unit in the heading; if the survey already there "
                       "is the wrong one, leave it out with 'survey set \"%s\" NAME --use no'",
                       ratio, water->name);
}

lw_status lw_survey_judge_beside(const lw_sounding *fresh, size_t count, const lw_work_soundings_set *there,
                                 const lw_water *water, lw_arena *scratch, lw_error *err)
{
  size_t step = count / MOST_SAMPLES + 1;
  size_t pairs = 0;
  near_index index = {.by_cell = LW_NEW(scratch, const lw_sounding *, there->count + 1)};
  double *ratios = LW_NEW(scratch, double, count / step + 1);
  if (!index.by_cell || !ratios) {
    return lw_fail(err, LW_MEMORY, "no memory to compare the surveys");
  }
  for (size_t i = 0; i < there->count; i++) {
    if (counts(&there->soundings[i])) {
      index.by_cell[index.count++] = &there->soundings[i];
    }
  }
  qsort(index.by_cell, index.count, sizeof(lw_sounding *), by_cell);
  for (size_t i = 0; i < count; i += step) {
    const lw_sounding *old = counts(&fresh[i]) ? nearest(&index, &fresh[i]) : NULL;
    if (old) {
      ratios[pairs++] = (double)fresh[i].depth_m / (double)old->depth_m;
    }
  }
  if (pairs < LEAST_PAIRS) {
    return LW_OK;
  }
  qsort(ratios, pairs, sizeof *ratios, by_value);
  double ratio = ratios[pairs / 2];
  bool deep = ratio >= RATIO_LOW && ratio <= RATIO_HIGH;
  bool flat = ratio >= 1 / RATIO_HIGH && ratio <= 1 / RATIO_LOW;
  return deep || flat ? refuse_ratio(ratio, water, err) : LW_OK;
}

/* The median of at most MOST_SAMPLES depths that are used; NAN when there are too few. */
static lw_status median_depth(double *out, const lw_sounding *fresh, size_t count, lw_arena *scratch,
                              lw_error *err)
{
  size_t step = count / MOST_SAMPLES + 1;
  size_t n = 0;
  double *depths = LW_NEW(scratch, double, count / step + 1);
  if (!depths) {
    return lw_fail(err, LW_MEMORY, "no memory to compare the depths");
  }
  for (size_t i = 0; i < count; i += step) {
    if (fresh[i].flaw == LW_SOUNDING_GOOD) {
      depths[n++] = (double)fresh[i].depth_m;
    }
  }
  qsort(depths, n, sizeof *depths, by_value);
  *out = n >= LEAST_PAIRS ? depths[n / 2] : NAN;
  return LW_OK;
}

lw_status lw_survey_judge_mean(const lw_sounding *fresh, size_t count, const lw_water *water,
                               const char *depth_unit, lw_arena *scratch, lw_error *err)
{
  double median_m = NAN;
  if (water->max_depth_m.known || !water->mean_depth_m.known || water->mean_depth_m.value <= 0) {
    return LW_OK; /* the greatest depth, where told, has been held against them on reading */
  }
  lw_status s = median_depth(&median_m, fresh, count, scratch, err);
  double times = median_m / water->mean_depth_m.value;
  bool in_feet = depth_unit && strcmp(depth_unit, "ft") == 0;
  if (s == LW_OK && !in_feet && times > 2.5 && times * METRES_PER_FOOT < 2) {
    return lw_fail(
        err, LW_INVALID,
        "half of the depths are greater than %.3g m, but the mean depth of %s is told as %.3g m: feet "
        "read as metres? give --depth-unit ft or correct the unit in the heading; if they are right, "
        "correct the mean depth with 'water set \"%s\" --mean-depth DEPTH'",
        median_m, water->name, water->mean_depth_m.value, water->name);
  }
  if (s == LW_OK && in_feet && times < 0.45 && times / METRES_PER_FOOT > 0.8) {
    return lw_fail(
        err, LW_INVALID,
        "half of the depths are less than %.3g m, but the mean depth of %s is told as %.3g m: metres "
        "read as feet? give --depth-unit m; if they are right, correct the mean depth with 'water "
        "set \"%s\" --mean-depth DEPTH'",
        median_m, water->name, water->mean_depth_m.value, water->name);
  }
  return s;
}
