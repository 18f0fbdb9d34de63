/* SPDX-License-Identifier: Apache-2.0 */
/* Runs of soundings that are wrong together, and would outvote their neighbours in a test of single ones:
 * zeros far from the shore, echoes of the echo, and a reading that stood still while the boat went on. No
 * published method: each asks for a jump at the ends of the run that a bed does not make. */
#include "basin/clean_parts.h"

#include <math.h>

static const float next_to_nothing_m = 0.05F;
static const double zero_shore_m = 10;    /* a zero nearer to the shore than this may be true ... */
static const double zero_shore_steps = 3; /* ... or than this many spacings */
static const double raised_jump_m = 1;    /* see zero_level */
static const double jump_slope = 0.25;    /* a bed may change this much from one sounding to the next */
static const double double_least_m = 1;   /* half of a double echo, at least */
static const double stuck_jump_m = 0.5;

enum { RAISED_LEAST = 5, DOUBLE_SHORTEST = 3, DOUBLE_LONGEST = 24, STUCK_SHORTEST = 12, SIDE = 3 };

/* One stretch without a gap: depth[0..count - 1] in sailing order. */
typedef struct stretch {
  lw_clean_job *job;
  const lw_course *course;
  const float *depth;
  size_t first, count;
  double spacing_m;
  float zero; /* depths up to this are 'next to nothing' */
  double zero_jump_m;
} stretch;

static lw_sounding *sounding_at(const stretch *t, size_t k)
{
  return &t->job->soundings[t->course->index[t->first + k]];
}

static double step_m(const stretch *t, size_t k)
{
  return lw_course_step_m(t->course, t->job->soundings, t->first + k);
}

/* ---- zeros ---- */

/* With the transducer's depth and the pool's level added, a recorder's zero is no longer 0: it is the
 * survey's least depth, to the millimetre, time and again. */
static float zero_level(const float *depth, size_t count, double *out_jump_m, double least_m)
{
  float least = INFINITY;
  size_t times = 0;
  for (size_t k = 0; k < count; k++) {
    times = depth[k] < least - 0.005F ? 0 : times;
    least = depth[k] < least ? depth[k] : least;
    times += depth[k] <= least + 0.005F;
  }
  bool raised = least > next_to_nothing_m && times >= RAISED_LEAST;
  *out_jump_m = raised ? raised_jump_m : least_m;
  return raised ? least + 0.005F : next_to_nothing_m;
}

/* Median of the SIDE soundings on one side of a run that are not near zero; INFINITY at the line's end. */
static double beside(const stretch *t, size_t from, int way)
{
  float found[SIDE];
  size_t n = 0;
  for (size_t k = from; k < t->count && n < SIDE; k += (size_t)way) { /* below 0 wraps past count */
    if (t->depth[k] > t->zero) {
      found[n++] = t->depth[k];
    }
  }
  return n > 0 ? lw_median_of(found, n) : INFINITY;
}

static void zero_run(const stretch *t, size_t begin, size_t end)
{
  double step = fmax(begin > 0 ? step_m(t, begin) : 0, end < t->count ? step_m(t, end) : 0);
  double jump = fmax(t->zero_jump_m, jump_slope * step);
  double around = fmin(beside(t, begin - 1, -1), beside(t, end, 1));
  if (!isfinite(around) || around < (double)t->zero + jump) {
    return;
  }
  for (size_t k = begin; k < end; k++) {
    lw_sounding *s = sounding_at(t, k);
    double shore = lw_shore_tree_distance_m(&t->job->tree, (lw_spot){s->x_m, s->y_m});
    if (shore > fmax(zero_shore_m, zero_shore_steps * t->spacing_m)) {
      lw_clean_mark(s, LW_SOUNDING_ZERO);
    }
  }
}

static void zeros(const stretch *t)
{
  for (size_t k = 0; k < t->count; k++) {
    size_t begin = k;
    while (k < t->count && t->depth[k] <= t->zero) {
      k++;
    }
    if (k > begin) {
      zero_run(t, begin, k);
    }
  }
}

/* ---- echoes of the echo ---- */

static bool about_twice(double deep, double half)
{
  return half >= double_least_m && deep > 1.8 * half && deep < 2.2 * half;
}

/* Median of the SIDE soundings before (way -1) or after, so that one spike is no end of a run. */
static double level_beside(const stretch *t, size_t from, int way)
{
  float found[SIDE];
  size_t n = 0;
  for (size_t k = from; k < t->count && n < SIDE; k += (size_t)way) {
    found[n++] = t->depth[k];
  }
  return lw_median_of(found, n);
}

static bool all_twice(const stretch *t, size_t begin, size_t end, double before, double after)
{
  for (size_t k = begin; k < end; k++) {
    double share = (double)(k - begin + 1) / (double)(end - begin + 1);
    if (!about_twice((double)t->depth[k], before + share * (after - before))) {
      return false;
    }
  }
  return true;
}

/* End of a run of doubles that begins at `begin`; `begin` itself when there is none. Both its ends are
 * jumps within one step, and between them it is twice the line from end to end. */
static size_t double_end(const stretch *t, size_t begin)
{
  double before = level_beside(t, begin - 1, -1);
  if (!about_twice((double)t->depth[begin], before) ||
      !about_twice((double)t->depth[begin], (double)t->depth[begin - 1])) {
    return begin;
  }
  for (size_t end = begin + 1; end < t->count && end <= begin + DOUBLE_LONGEST; end++) {
    if (about_twice((double)t->depth[end - 1], (double)t->depth[end])) {
      double after = level_beside(t, end, 1);
      return all_twice(t, begin, end, before, after) ? end : begin;
    }
  }
  return begin;
}

static void doubles(const stretch *t)
{
  for (size_t k = 1; k < t->count; k++) {
    size_t end = double_end(t, k);
    if (end >= k + DOUBLE_SHORTEST) {
      for (size_t m = k; m < end; m++) {
        lw_clean_mark(sounding_at(t, m), LW_SOUNDING_DOUBLE_ECHO);
      }
      k = end;
    }
  }
}

/* ---- a reading that stood still ---- */

static void stuck(const stretch *t)
{
  for (size_t begin = 0; begin + 1 < t->count; begin++) {
    size_t end = begin + 1;
    double way = 0;
    while (end < t->count && t->depth[end] == t->depth[begin]) {
      way += step_m(t, end++);
    }
    double jump = end < t->count ? fabs((double)t->depth[end] - (double)t->depth[begin]) : 0;
    bool moved = way > 0.5 * t->spacing_m * (double)(end - begin);
    if (end - begin >= STUCK_SHORTEST && moved && jump >= fmax(stuck_jump_m, jump_slope * step_m(t, end))) {
      for (size_t k = begin + 1; k < end; k++) { /* the first was a depth */
        lw_clean_mark(sounding_at(t, k), LW_SOUNDING_DROPOUT);
      }
    }
    begin = end - 1;
  }
}

/* On a flat bed a coarse sounder repeats itself all the time: then nothing can be said. */
static bool seldom_repeats(const float *depth, size_t count)
{
  size_t same = 0;
  for (size_t k = 1; k < count; k++) {
    same += depth[k] == depth[k - 1];
  }
  return same < 3 * count / 10;
}

static void try_leg(stretch t, const lw_leg *leg, const float *depth)
{
  t.spacing_m = leg->spacing_m;
  t.zero = zero_level(depth + leg->first, leg->count, &t.zero_jump_m, t.job->how.spike_least_m);
  bool fine = seldom_repeats(depth + leg->first, leg->count);
  for (size_t k = leg->first; k < leg->first + leg->count; k += t.count) {
    t.first = k;
    t.count = lw_course_stretch_end(t.course, leg, t.job->soundings, k) - k;
    t.depth = depth + k;
    zeros(&t);
    doubles(&t);
    if (fine) {
      stuck(&t);
    }
  }
}

lw_status lw_clean_runs(lw_clean_job *job, lw_error *err)
{
  const lw_course *course = &job->course;
  float *depth = LW_NEW(job->arena, float, course->count);
  if (!depth) {
    return lw_fail(err, LW_MEMORY, "no memory to clean %zu soundings", job->count);
  }
  for (size_t k = 0; k < course->count; k++) {
    depth[k] = job->soundings[course->index[k]].depth_m;
  }
  for (size_t g = 0; g < course->leg_count; g++) {
    if (course->legs[g].count >= LW_CLEAN_FEW && !course->legs[g].scattered) {
      try_leg((stretch){.job = job, .course = course}, &course->legs[g], depth);
    }
  }
  lw_course_drop(&job->course, job->soundings);
  return LW_OK;
}
