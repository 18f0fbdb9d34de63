/* SPDX-License-Identifier: Apache-2.0 */
#include "basin/clean_beside.h"

#include "basin/clean_parts.h"

#include <math.h>

enum { PAIRS = LW_BESIDE * (LW_BESIDE - 1) / 2, AROUND = 12 };

typedef struct side {
  size_t count;
  double ahead_m; /* the line through them, carried on to the sounding */
  double level_m; /* their median ... */
  double at_m;    /* ... and where it lies, from the sounding */
} side;

static void order(double *a, double *b)
{
  double low = *a < *b ? *a : *b;
  *b = *a < *b ? *b : *a;
  *a = low;
}

/* Of 4, by exchanges without branches. */
static double median_of_four(double *v)
{
  order(&v[0], &v[1]);
  order(&v[2], &v[3]);
  order(&v[0], &v[2]);
  order(&v[1], &v[3]);
  return 0.5 * (v[1] + v[2]);
}

/* Of 6: the two ends go, then the two ends of what is left. */
static double median_of_six(double *v)
{
  order(&v[0], &v[3]);
  order(&v[1], &v[4]);
  order(&v[2], &v[5]);
  order(&v[0], &v[1]);
  order(&v[0], &v[2]); /* v[0] is the least */
  order(&v[4], &v[5]);
  order(&v[3], &v[5]); /* v[5] is the greatest */
  return median_of_four(v + 1);
}

static double few_median(double *v, size_t n)
{
  if (n == 6) {
    return median_of_six(v);
  }
  if (n == 4) {
    return median_of_four(v);
  }
  for (size_t i = 1; i < n; i++) {
    for (size_t j = i; j > 0; j--) {
      order(&v[j - 1], &v[j]);
    }
  }
  return n % 2 ? v[n / 2] : 0.5 * (v[n / 2 - 1] + v[n / 2]);
}

/* Median of the slopes of all pairs (Theil 1950; Sen 1968, JASA 63:1379): one bad sounding in four does
 * not move it. */
static double pair_slope(const double *at, const double *depth, size_t n)
{
  double slopes[PAIRS];
  size_t m = 0;
  for (size_t i = 0; i < n; i++) {
    for (size_t j = i + 1; j < n; j++) {
      slopes[m++] = (depth[j] - depth[i]) / (at[j] - at[i]);
    }
  }
  return few_median(slopes, m);
}

static side look(const lw_line *line, size_t k, int way)
{
  double at[LW_BESIDE];
  double depth[LW_BESIDE];
  double bent[LW_BESIDE];
  side s = {0};
  size_t room = way < 0 ? k : line->count - 1 - k;
  s.count = room < LW_BESIDE ? room : LW_BESIDE;
  if (s.count == 0) {
    return s;
  }
  for (size_t m = 0; m < s.count; m++) {
    size_t j = way < 0 ? k - 1 - m : k + 1 + m;
    at[m] = line->along_m[j] - line->along_m[k];
    depth[m] = (double)line->depth_m[j];
    s.at_m += at[m] / (double)s.count;
  }
  double slope = s.count > 2 ? pair_slope(at, depth, s.count) : 0;
  for (size_t m = 0; m < s.count; m++) {
    bent[m] = depth[m] - slope * at[m];
  }
  s.ahead_m = few_median(bent, s.count);
  s.level_m = few_median(depth, s.count);
  return s;
}

lw_expected lw_line_expected(const lw_line *line, size_t k)
{
  side a = look(line, k, -1);
  side b = look(line, k, 1);
  if (a.count < b.count) { /* the fuller side first */
    side c = a;
    a = b;
    b = c;
  }
  lw_expected e = {.middle_m = a.ahead_m, .at_end = b.count < 2};
  double z = (double)line->depth_m[k];
  if (a.count < 2) {
    e.low_m = e.high_m = e.middle_m = z;
    return e;
  }
  double other = b.count == 0 ? a.level_m : b.ahead_m;
  if (b.count >= 2) {
    e.slope = (b.level_m - a.level_m) / (b.at_m - a.at_m);
    e.middle_m = a.level_m - e.slope * a.at_m;
  }
  e.low_m = fmin(fmin(a.ahead_m, other), e.middle_m);
  e.high_m = fmax(fmax(a.ahead_m, other), e.middle_m);
  e.off_m = z > e.high_m ? z - e.high_m : z < e.low_m ? z - e.low_m : 0;
  return e;
}

double lw_line_deviation_m(const lw_line *line, size_t k, size_t *out_count)
{
  float bends[2 * AROUND + 1];
  size_t n = 0;
  size_t from = k > AROUND ? k - AROUND : 1;
  for (size_t j = from; j + 1 < line->count && j <= k + AROUND; j++) {
    double share = (line->along_m[j] - line->along_m[j - 1]) / (line->along_m[j + 1] - line->along_m[j - 1]);
    double before = (double)line->depth_m[j - 1];
    double after = (double)line->depth_m[j + 1];
    bends[n++] = (float)fabs((double)line->depth_m[j] - before - share * (after - before));
  }
  *out_count = n;
  /* off the mean of two others: 1.5 times the variance of one */
  return 1.4826 / sqrt(1.5) * lw_median_of(bends, n);
}
