/* SPDX-License-Identifier: Apache-2.0 */
/* Soundings that lie off the water, and what a reader's mistake looks like when most of them do. */
#include "basin/clean_parts.h"

#include <math.h>

/* A place on the plane at all: no shore reaches further. */
static bool placed(const lw_sounding *s)
{
  return fabs(s->x_m) <= 1e7 && fabs(s->y_m) <= 1e7;
}

static lw_spot middle(lw_box box)
{
  return (lw_spot){0.5 * (box.west_m + box.east_m), 0.5 * (box.south_m + box.north_m)};
}

/* The likely cause, by how far off the typical outside sounding lies. */
static const char *cause(double off_m, double across_m)
{
  if (!(off_m < 100000)) {
    return "latitude and longitude may be swapped, or the coordinates are in another system or zone";
  }
  if (off_m > 20 * across_m) {
    return "they may be of another water, or in another coordinate system or zone";
  }
  if (off_m > across_m) {
    return "they may be of another water";
  }
  return "the outline may be of another water, drawn too small, or shifted";
}

static lw_status refuse(const lw_clean_job *job, const double *outside_m, size_t outside, lw_error *err)
{
  float *off = LW_NEW(job->arena, float, job->count);
  if (!off) {
    return lw_fail(err, LW_MEMORY, "no memory to check %zu soundings", job->count);
  }
  size_t n = 0;
  for (size_t k = 0; k < job->count; k++) {
    if (job->soundings[k].flaw == LW_SOUNDING_OUTSIDE) {
      off[n++] = placed(&job->soundings[k]) ? (float)fmin(outside_m[k], 1e12) : 1e12F;
    }
  }
  double typical_m = lw_median_of(off, n);
  lw_box box = lw_shore_box(job->shore);
  double across_m = hypot(box.east_m - box.west_m, box.north_m - box.south_m);
  return lw_fail(err, LW_INVALID,
                 "%zu of %zu soundings lie outside the outline, typically %.3g m from it: %s. Check the "
                 "file's coordinates and the water's outline",
                 outside, job->count, typical_m, cause(typical_m, across_m));
}

static lw_status find_outside(const lw_clean_job *job, double *outside_m, lw_error *err)
{
  bool *inside = LW_NEW(job->arena, bool, job->count);
  lw_spot *spots = LW_NEW(job->arena, lw_spot, job->count);
  if (!inside || !spots) {
    return lw_fail(err, LW_MEMORY, "no memory to check %zu soundings", job->count);
  }
  lw_spot home = middle(lw_shore_box(job->shore));
  for (size_t k = 0; k < job->count; k++) {
    const lw_sounding *s = &job->soundings[k];
    spots[k] = placed(s) ? (lw_spot){s->x_m, s->y_m} : home;
  }
  return lw_shore_inside(inside, outside_m, job->shore, spots, job->count, job->arena, err);
}

lw_status lw_clean_outside(lw_clean_job *job, lw_error *err)
{
  double *outside_m = LW_NEW(job->arena, double, job->count);
  if (!outside_m) {
    return lw_fail(err, LW_MEMORY, "no memory to check %zu soundings", job->count);
  }
  lw_status s = find_outside(job, outside_m, err);
  if (s != LW_OK) {
    return s;
  }
  size_t outside = 0;
  size_t judged = 0;
  for (size_t k = 0; k < job->count; k++) {
    lw_sounding *at = &job->soundings[k];
    if (!placed(at)) {
      at->flaw = LW_SOUNDING_OUTSIDE; /* whatever the owner says: it can be put nowhere */
    } else if (outside_m[k] > job->how.outside_tolerance_m) {
      lw_clean_mark(at, LW_SOUNDING_OUTSIDE);
    }
    judged += at->owner == 0;
    outside += at->owner == 0 && at->flaw == LW_SOUNDING_OUTSIDE;
  }
  return outside > judged / 2 ? refuse(job, outside_m, outside, err) : LW_OK;
}
