/* SPDX-License-Identifier: Apache-2.0 */
/* Soundings whose times run to and fro were shuffled on their way: their order of time is restored, where
 * the times can tell it. */
#include "exchange/soundings_read.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define METRES_PER_DEGREE 111320.0
#define FAR_M 50.0 /* at one instant no boat is at two places this far apart */
#define RADIANS 0.017453292519943295

enum { FEWEST_STEPS = 8 };

static bool is_shuffled(const lw_fix *fixes, size_t count)
{
  size_t steps = 0;
  size_t backward = 0;
  for (size_t i = 1; i < count; i++) {
    double step_s = fixes[i].time_s - fixes[i - 1].time_s;
    steps += isnan(step_s) ? 0 : 1;
    backward += step_s < 0 ? 1 : 0;
  }
  return steps >= FEWEST_STEPS && 4 * backward > steps;
}

static bool is_before(const lw_fix *a, const lw_fix *b)
{
  return a->time_s < b->time_s || (isnan(b->time_s) && !isnan(a->time_s));
}

/* Merges [low, middle) and [middle, high) of `from` into `to`; equals keep their order. */
static void merge(lw_fix *to, const lw_fix *from, size_t low, size_t middle, size_t high)
{
  size_t a = low;
  size_t b = middle;
  for (size_t i = low; i < high; i++) {
    bool second = a == middle || (b < high && is_before(&from[b], &from[a]));
    to[i] = second ? from[b++] : from[a++];
  }
}

static bool sort_by_time(lw_fix *fixes, size_t count)
{
  lw_fix *other = malloc(count * sizeof *other);
  lw_fix *from = fixes;
  lw_fix *to = other;
  if (!other) {
    return false;
  }
  for (size_t width = 1; width < count; width *= 2) {
    for (size_t low = 0; low < count; low += 2 * width) {
      size_t middle = low + width < count ? low + width : count;
      size_t high = middle + width < count ? middle + width : count;
      merge(to, from, low, middle, high);
    }
    lw_fix *keep = from;
    from = to;
    to = keep;
  }
  if (from != fixes) {
    memcpy(fixes, from, count * sizeof *fixes);
  }
  free(other);
  return true;
}

static double distance_m(const lw_fix *a, const lw_fix *b)
{
  double x = (a->longitude - b->longitude) * cos(a->latitude * RADIANS);
  return hypot(x, a->latitude - b->latitude) * METRES_PER_DEGREE;
}

/* Soundings of one instant that lie far apart: the clock stood, or the times are not the soundings' own. */
static size_t count_impossible(const lw_fix *fixes, size_t count)
{
  size_t n = 0;
  for (size_t i = 1; i < count; i++) {
    n += fixes[i].time_s == fixes[i - 1].time_s && distance_m(&fixes[i], &fixes[i - 1]) > FAR_M ? 1 : 0;
  }
  return n;
}

lw_status lw_soundings_judge_time(lw_soundings_reading *r)
{
  lw_fix *fixes = r->fixes;
  size_t count = r->out.count;
  if (!is_shuffled(fixes, count)) {
    return LW_OK;
  }
  if (!sort_by_time(fixes, count)) {
    return lw_soundings_fail_memory(r);
  }
  size_t impossible = count_impossible(fixes, count);
  if (impossible * 10 > count) {
    return lw_soundings_refuse(
        r, 0, 0,
        "the times run to and fro and repeat: %zu soundings have the time of another more "
        "than %.0f m away; export the file anew in the order it was recorded, or without its "
        "time column",
        impossible, FAR_M);
  }
  for (size_t i = 0; i < count; i++) {
    fixes[i].track = -1;
  }
  return LW_OK;
}
