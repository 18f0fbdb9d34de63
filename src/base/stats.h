/* SPDX-License-Identifier: Apache-2.0 */
/* Small statistics over plain arrays. Finite input expected (the readers refuse anything else). */
#ifndef LW_BASE_STATS_H
#define LW_BASE_STATS_H

#include "base/status.h"

#include <stddef.h>

/* Arithmetic mean (compensated sum) and sample standard deviation (n-1). LW_INVALID for n = 0,
 * and for n = 1 where the deviation is asked. */
LW_MUST_CHECK lw_status lw_mean(double *out, const double *values, size_t n, lw_error *err);
LW_MUST_CHECK lw_status lw_deviation(double *out, const double *values, size_t n, lw_error *err);

/* Quantile 0..1 of `sorted` ascending values by linear interpolation of order statistics (type 7 of
 * Hyndman & Fan 1996, The American Statistician 50:361). */
LW_MUST_CHECK lw_status lw_quantile(double *out, const double *sorted, size_t n, double probability,
                                    lw_error *err);

/* Ascending, in place. */
void lw_sort(double *values, size_t n);

#endif
