/* SPDX-License-Identifier: Apache-2.0 */
#include "basin/clean_parts.h"

#include <math.h>

enum { SHORT = 24 };

static void insertion_sort(float *v, size_t n)
{
  for (size_t i = 1; i < n; i++) {
    float x = v[i];
    size_t j = i;
    for (; j > 0 && v[j - 1] > x; j--) {
      v[j] = v[j - 1];
    }
    v[j] = x;
  }
}

static float middle_of_three(float a, float b, float c)
{
  float low = a < b ? a : b;
  float high = a < b ? b : a;
  return c < low ? low : c > high ? high : c;
}

/* Puts the k-th smallest where sorting would (Hoare's selection, three-way so that equal values, of which
 * coarse sounders give thousands, do not slow it down). */
static void select_kth(float *v, size_t n, size_t k)
{
  size_t low = 0;
  size_t high = n;
  while (high - low > SHORT) {
    float pivot = middle_of_three(v[low], v[low + (high - low) / 2], v[high - 1]);
    size_t less = low;
    size_t more = high;
    for (size_t i = low; i < more;) {
      float x = v[i];
      if (x < pivot) {
        v[i++] = v[less];
        v[less++] = x;
      } else if (x > pivot) {
        v[i] = v[--more];
        v[more] = x;
      } else {
        i++;
      }
    }
    if (k < less) {
      high = less;
    } else if (k >= more) {
      low = more;
    } else {
      return;
    }
  }
  insertion_sort(v + low, high - low);
}

double lw_median_of(float *values, size_t count)
{
  if (count == 0) {
    return 0;
  }
  size_t k = count / 2;
  select_kth(values, count, k);
  if (count % 2) {
    return (double)values[k];
  }
  float below = values[0];
  for (size_t i = 1; i < k; i++) {
    below = values[i] > below ? values[i] : below;
  }
  return 0.5 * ((double)below + (double)values[k]);
}

void lw_median_and_deviation(float *values, size_t count, double *out_median, double *out_deviation)
{
  double median = lw_median_of(values, count);
  for (size_t i = 0; i < count; i++) {
    values[i] = (float)fabs((double)values[i] - median);
  }
  *out_median = median;
  *out_deviation = 1.4826 * lw_median_of(values, count);
}
