/* SPDX-License-Identifier: Apache-2.0 */
/* The order of the tests: what cannot be used at all first, so that it is nobody's neighbour; then runs,
 * which would hide from a test of single soundings; single ones last. */
#include "basin/clean_parts.h"

#include <math.h>

enum { ECHOES_ONE_IN = 8 }; /* more double echoes than one in so many are none (common practice) */

/* Deeper below zero than any flooded bank a boat floats over: recorders write such figures for 'none'. */
static const float no_bottom_m = -0.5F;

/* Deeper than any sea: a code for 'none' too, and no depth even if the owner keeps it. */
static const float no_depth_m = 12000;

void lw_clean_mark(lw_sounding *sounding, lw_sounding_flaw flaw)
{
  if (sounding->owner != 1 && sounding->flaw == LW_SOUNDING_GOOD) {
    sounding->flaw = (uint8_t)flaw;
  }
}

static lw_status check_how(const lw_cleaning *how, lw_error *err)
{
  const struct {
    const char *name;
    double value, low, high;
  } ranges[] = {{"outside tolerance (m)", how->outside_tolerance_m, 0, 1000},
                {"deepest (m)", how->deepest_m, 0, 12000},
                {"duplicate distance (m)", how->duplicate_distance_m, 0, 100},
                {"spike factor", how->spike_factor, 1, 1000},
                {"spike least (m)", how->spike_least_m, 0.01, 1000}};
  for (size_t k = 0; k < sizeof(ranges) / sizeof(ranges[0]); k++) {
    if (!(ranges[k].value >= ranges[k].low && ranges[k].value <= ranges[k].high)) {
      return lw_fail(err, LW_INVALID, "%s is %g; it must lie between %g and %g", ranges[k].name,
                     ranges[k].value, ranges[k].low, ranges[k].high);
    }
  }
  return LW_OK;
}

/* What one sounding says by itself. Nothing is carried over from an earlier cleaning. */
static void begin(const lw_clean_job *job)
{
  for (size_t k = 0; k < job->count; k++) {
    lw_sounding *s = &job->soundings[k];
    s->flaw = LW_SOUNDING_GOOD;
    if (s->owner == 2) {
      s->flaw = LW_SOUNDING_BY_OWNER;
    } else if (!(fabsf(s->depth_m) <= no_depth_m)) {
      s->flaw = LW_SOUNDING_DROPOUT;
    }
  }
}

static void single_depths(const lw_clean_job *job)
{
  for (size_t k = 0; k < job->count; k++) {
    lw_sounding *s = &job->soundings[k];
    if (s->flaw == LW_SOUNDING_GOOD && s->depth_m <= no_bottom_m) {
      lw_clean_mark(s, LW_SOUNDING_DROPOUT);
    } else if (s->flaw == LW_SOUNDING_GOOD && job->how.deepest_m > 0 &&
               (double)s->depth_m > job->how.deepest_m) {
      lw_clean_mark(s, LW_SOUNDING_TOO_DEEP);
    }
  }
}

lw_status lw_clean_begin_lines(lw_clean_job *job, lw_error *err)
{
  lw_status s = lw_course_build(&job->course, job->soundings, job->count, job->shore, job->arena, err);
  return s == LW_OK ? lw_shore_tree_build(&job->tree, job->shore, job->arena, err) : s;
}

static lw_status count_up(const lw_clean_job *job, lw_cleaning_report *out, lw_error *err)
{
  *out = (lw_cleaning_report){0};
  for (size_t k = 0; k < job->count; k++) {
    out->count[job->soundings[k].flaw]++;
  }
  if (out->count[LW_SOUNDING_GOOD] > 0) {
    return LW_OK;
  }
  size_t most = LW_SOUNDING_GOOD + 1;
  for (size_t f = most; f < LW_SOUNDING_FLAW_COUNT; f++) {
    most = out->count[f] > out->count[most] ? f : most;
  }
  return lw_fail(err, LW_INVALID,
                 "none of the %zu soundings is left: of %zu it is said that each %s. Check the file's unit "
                 "and columns, or keep the right ones by hand",
                 job->count, out->count[most], lw_sounding_flaw_text((lw_sounding_flaw)most));
}

/* An echo of the echo is an accident of single places. Where it is found all over a survey, what was found is
 * the bed of a pit with steep banks, whose edges read half as deep. */
static void doubt_echoes(lw_clean_job *job)
{
  size_t begin = 0;
  while (begin < job->count) {
    size_t end = begin;
    size_t echoes = 0;
    size_t others = 0;
    for (; end < job->count && job->soundings[end].survey == job->soundings[begin].survey; end++) {
      echoes += job->soundings[end].flaw == LW_SOUNDING_DOUBLE_ECHO;
      others += job->soundings[end].flaw == LW_SOUNDING_GOOD;
    }
    for (size_t k = begin; k < end && echoes * ECHOES_ONE_IN > others; k++) {
      lw_sounding *s = &job->soundings[k];
      s->flaw = s->flaw == LW_SOUNDING_DOUBLE_ECHO ? LW_SOUNDING_GOOD : s->flaw;
    }
    begin = end;
  }
}

lw_status lw_soundings_clean(lw_sounding *soundings, size_t count, const lw_shore *shore,
                             const lw_cleaning *how, lw_cleaning_report *out, lw_arena *arena, lw_error *err)
{
  if (count == 0) {
    return lw_fail(err, LW_INVALID, "there are no soundings; give at least one depth with its place");
  }
  if (count > LW_SOUNDINGS_MAX) {
    return lw_fail(err, LW_LIMIT, "%zu soundings; at most %d are accepted: thin them out", count,
                   LW_SOUNDINGS_MAX);
  }
  lw_clean_job job = {.soundings = soundings, .count = count, .shore = shore, .how = *how, .arena = arena};
  lw_status s = check_how(how, err);
  if (s == LW_OK) {
    s = lw_shore_check(shore, err);
  }
  if (s == LW_OK) {
    begin(&job);
    s = lw_clean_outside(&job, err);
  }
  if (s == LW_OK) {
    single_depths(&job);
  }
  lw_status (*const tests[])(lw_clean_job *, lw_error *) = {
      lw_clean_repeats, lw_clean_begin_lines, lw_clean_runs, lw_clean_spikes, lw_clean_scattered};
  for (size_t k = 0; s == LW_OK && k < sizeof(tests) / sizeof(tests[0]); k++) {
    s = tests[k](&job, err);
  }
  if (s == LW_OK) {
    doubt_echoes(&job);
  }
  return s == LW_OK ? count_up(&job, out, err) : s;
}
