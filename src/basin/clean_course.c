/* SPDX-License-Identifier: Apache-2.0 */
#include "basin/clean_parts.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The median step of soundings in sailing order is at most this many times the side of the square that
 * each has to itself; in no order it is about half the width of the water. */
static const double scattered_steps = 3;

/* A longer step breaks the line: the bed in between is unknown. */
static const double gap_steps = 8, gap_least_m = 20;

typedef struct timed {
  double time_s;
  uint32_t index;
} timed;

static int by_time(const void *a, const void *b)
{
  const timed *p = a;
  const timed *q = b;
  if (p->time_s != q->time_s) {
    return p->time_s < q->time_s ? -1 : 1;
  }
  return p->index < q->index ? -1 : p->index > q->index;
}

static double apart_m(const lw_sounding *a, const lw_sounding *b)
{
  double dx = a->x_m - b->x_m;
  double dy = a->y_m - b->y_m;
  return sqrt(dx * dx + dy * dy);
}

double lw_course_step_m(const lw_course *course, const lw_sounding *soundings, size_t k)
{
  return apart_m(&soundings[course->index[k]], &soundings[course->index[k - 1]]);
}

size_t lw_course_stretch_end(const lw_course *course, const lw_leg *leg, const lw_sounding *soundings,
                             size_t from)
{
  double gap_m = fmax(gap_steps * leg->spacing_m, gap_least_m);
  size_t k = from + 1;
  while (k < leg->first + leg->count && lw_course_step_m(course, soundings, k) <= gap_m) {
    k++;
  }
  return k;
}

static bool usable(const lw_sounding *s)
{
  return s->flaw == LW_SOUNDING_GOOD && isfinite(s->x_m) && isfinite(s->y_m);
}

/* Groups the usable soundings by survey, each in the order given (a counting sort). */
static lw_status group(lw_course *out, const lw_sounding *soundings, size_t count, lw_arena *arena,
                       lw_error *err)
{
  int32_t last = 0;
  for (size_t k = 0; k < count; k++) {
    last = soundings[k].survey > last ? soundings[k].survey : last;
    if (soundings[k].survey < 0 || soundings[k].survey >= LW_SURVEYS_MAX) {
      return lw_fail(err, LW_INVALID, "sounding %zu belongs to survey %d; it must be 0 to %d", k + 1,
                     soundings[k].survey, LW_SURVEYS_MAX - 1);
    }
  }
  size_t surveys = (size_t)last + 1;
  size_t *start = LW_NEW(arena, size_t, surveys + 1);
  out->index = LW_NEW(arena, uint32_t, count);
  out->legs = LW_NEW(arena, lw_leg, surveys);
  if (!start || !out->index || !out->legs) {
    return lw_fail(err, LW_MEMORY, "no memory to order %zu soundings", count);
  }
  for (size_t k = 0; k < count; k++) {
    start[soundings[k].survey + 1] += usable(&soundings[k]);
  }
  for (size_t s = 0; s < surveys; s++) {
    if (start[s + 1] > 0) {
      out->legs[out->leg_count++] = (lw_leg){.first = start[s], .count = start[s + 1]};
    }
    start[s + 1] += start[s];
  }
  out->count = start[surveys];
  for (size_t k = 0; k < count; k++) {
    if (usable(&soundings[k])) {
      out->index[start[soundings[k].survey]++] = (uint32_t)k;
    }
  }
  return LW_OK;
}

/* All timed, and somewhere back in time. */
static bool out_of_time(const lw_leg *leg, const uint32_t *index, const lw_sounding *soundings)
{
  bool back = false;
  for (size_t k = 0; k < leg->count; k++) {
    if (!isfinite(soundings[index[k]].time_s)) {
      return false;
    }
    back = back || (k > 0 && soundings[index[k]].time_s < soundings[index[k - 1]].time_s);
  }
  return back;
}

/* Two boats in one file are in the order given; a shuffled log is in the order of its times. The shorter
 * way tells which. */
static lw_status put_in_time(const lw_leg *leg, uint32_t *index, const lw_sounding *soundings,
                             lw_arena *arena, lw_error *err)
{
  timed *by = LW_NEW(arena, timed, leg->count);
  if (!by) {
    return lw_fail(err, LW_MEMORY, "no memory to order %zu soundings by time", leg->count);
  }
  for (size_t k = 0; k < leg->count; k++) {
    by[k] = (timed){soundings[index[k]].time_s, index[k]};
  }
  qsort(by, leg->count, sizeof(*by), by_time);
  double given = 0;
  double timely = 0;
  for (size_t k = 1; k < leg->count; k++) {
    given += apart_m(&soundings[index[k]], &soundings[index[k - 1]]);
    timely += apart_m(&soundings[by[k].index], &soundings[by[k - 1].index]);
  }
  for (size_t k = 0; k < leg->count && timely < given; k++) {
    index[k] = by[k].index;
  }
  return LW_OK;
}

static void measure(lw_leg *leg, const uint32_t *index, const lw_sounding *soundings, double area_m2,
                    float *steps)
{
  size_t n = 0;
  for (size_t k = 1; k < leg->count; k++) {
    double step = apart_m(&soundings[index[k]], &soundings[index[k - 1]]);
    if (step > 0) { /* a boat at anchor says nothing about spacing */
      steps[n++] = (float)step;
    }
  }
  leg->spacing_m = lw_median_of(steps, n);
  leg->scattered =
      leg->count >= LW_CLEAN_FEW && leg->spacing_m > scattered_steps * sqrt(area_m2 / (double)leg->count);
}

lw_status lw_course_build(lw_course *out, const lw_sounding *soundings, size_t count, const lw_shore *shore,
                          lw_arena *arena, lw_error *err)
{
  *out = (lw_course){0};
  lw_status s = group(out, soundings, count, arena, err);
  float *steps = s == LW_OK ? LW_NEW(arena, float, out->count) : NULL;
  if (s == LW_OK && !steps) {
    s = lw_fail(err, LW_MEMORY, "no memory to order %zu soundings", count);
  }
  double area_m2 = lw_shore_area_m2(shore);
  for (size_t g = 0; s == LW_OK && g < out->leg_count; g++) {
    lw_leg *leg = &out->legs[g];
    uint32_t *index = out->index + leg->first;
    if (out_of_time(leg, index, soundings)) {
      s = put_in_time(leg, index, soundings, arena, err);
    }
    if (s == LW_OK) {
      measure(leg, index, soundings, area_m2, steps);
    }
  }
  return s;
}

void lw_course_drop(lw_course *course, const lw_sounding *soundings)
{
  size_t kept = 0;
  for (size_t g = 0; g < course->leg_count; g++) {
    lw_leg *leg = &course->legs[g];
    size_t first = kept;
    for (size_t k = leg->first; k < leg->first + leg->count; k++) {
      if (soundings[course->index[k]].flaw == LW_SOUNDING_GOOD) {
        course->index[kept++] = course->index[k];
      }
    }
    leg->first = first;
    leg->count = kept - first;
  }
  course->count = kept;
}
