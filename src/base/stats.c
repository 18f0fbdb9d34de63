/* SPDX-License-Identifier: Apache-2.0 */
#include "base/stats.h"

#include <math.h>
#include <stdlib.h>

/* Neumaier's compensated sum: the answer does not depend on how large the values are. */
static double sum_of(const double *values, size_t n)
{
  double sum = 0;
  double lost = 0;
  for (size_t i = 0; i < n; i++) {
    double next = sum + values[i];
    lost += fabs(sum) >= fabs(values[i]) ? (sum - next) + values[i] : (values[i] - next) + sum;
    sum = next;
  }
  return sum + lost;
}

lw_status lw_mean(double *out, const double *values, size_t n, lw_error *err)
{
  if (n == 0) {
    return lw_fail(err, LW_INVALID, "a mean needs at least one value; none was given");
  }
  *out = sum_of(values, n) / (double)n;
  return isfinite(*out) ? LW_OK : lw_fail(err, LW_INVALID, "the mean of these values is out of range");
}

lw_status lw_deviation(double *out, const double *values, size_t n, lw_error *err)
{
  if (n < 2) {
    return lw_fail(err, LW_INVALID, "a standard deviation needs at least two values; %zu given", n);
  }
  double mean = 0;
  lw_status s = lw_mean(&mean, values, n, err);
  if (s != LW_OK) {
    return s;
  }
  double squares = 0;
  for (size_t i = 0; i < n; i++) {
    squares += (values[i] - mean) * (values[i] - mean);
  }
  *out = sqrt(squares / (double)(n - 1));
  return isfinite(*out) ? LW_OK : lw_fail(err, LW_INVALID, "the deviation of these values is out of range");
}

lw_status lw_quantile(double *out, const double *sorted, size_t n, double probability, lw_error *err)
{
  if (n == 0 || !(probability >= 0 && probability <= 1)) {
    return lw_fail(err, LW_INVALID, "a quantile needs values and a probability from 0 to 1; got %zu and %g",
                   n, probability);
  }
  double at = probability * (double)(n - 1);
  size_t below = (size_t)floor(at);
  size_t above = below + 1 < n ? below + 1 : below;
  *out = sorted[below] + (at - (double)below) * (sorted[above] - sorted[below]);
  return isfinite(*out) ? LW_OK : lw_fail(err, LW_INVALID, "the quantile of these values is out of range");
}

static int ascending(const void *a, const void *b)
{
  double x = *(const double *)a;
  double y = *(const double *)b;
  return (x > y) - (x < y);
}

void lw_sort(double *values, size_t n)
{
  if (n > 1) {
    qsort(values, n, sizeof *values, ascending);
  }
}
