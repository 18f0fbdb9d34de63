/* SPDX-License-Identifier: Apache-2.0 */
/* What the soundings before and after one on its line let expect there. Private to clean*.c. */
#ifndef LW_BASIN_CLEAN_BESIDE_H
#define LW_BASIN_CLEAN_BESIDE_H

#include <stdbool.h>
#include <stddef.h>

/* One stretch of line: depths and how far along each lies. */
typedef struct lw_line {
  const float *depth_m;
  const double *along_m;
  size_t count;
} lw_line;

enum { LW_BESIDE = 4 }; /* soundings looked at on each side */

typedef struct lw_expected {
  double low_m, high_m; /* the bed may be anywhere in between ... */
  double middle_m;      /* ... and is most likely here */
  double slope;         /* of the bed along the line, m a metre */
  double off_m;         /* the sounding: deeper than high (+), shallower than low (-), or 0 */
  bool at_end;          /* of the line: one side is missing */
} lw_expected;

/* `k` within the line. */
lw_expected lw_line_expected(const lw_line *line, size_t k);

/* Robust standard deviation of one sounding about `k`, from how far each of two dozen is off the mean of
 * its two neighbours; *out_count says from how many. */
double lw_line_deviation_m(const lw_line *line, size_t k, size_t *out_count);

#endif
