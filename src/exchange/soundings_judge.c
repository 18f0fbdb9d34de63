/* SPDX-License-Identifier: Apache-2.0 */
/* Whether the file as a whole can be soundings of this water, and if not, why it most likely is not. */
#include "exchange/soundings_read.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define METRES_PER_FOOT 0.3048
#define FEET_PER_METRE (1 / METRES_PER_FOOT)

enum { MOST_SAMPLES = 20000 };

/* --- depths --- */

typedef struct depth_range {
  double low_m, middle_m, high_m; /* 2nd, 50th and 98th of a hundred: single spikes do not count */
  size_t below_zero, above_zero;
} depth_range;

static int compare(const void *a, const void *b)
{
  double x = *(const double *)a;
  double y = *(const double *)b;
  return (x > y) - (x < y);
}

static lw_status measure(lw_soundings_reading *r, depth_range *out)
{
  size_t count = r->out.count;
  size_t step = count / MOST_SAMPLES + 1;
  double *sample = malloc((count / step + 1) * sizeof *sample);
  size_t n = 0;
  if (!sample) {
    return lw_soundings_fail_memory(r);
  }

  for (size_t i = 0; i < count; i++) {
    double depth_m = r->fixes[i].depth_m;
    out->below_zero += depth_m < 0 ? 1 : 0;
    out->above_zero += depth_m > 0 ? 1 : 0;
    if (i % step == 0) {
      sample[n++] = depth_m;
    }
  }
  qsort(sample, n, sizeof *sample, compare);
  out->low_m = sample[(n - 1) * 2 / 100];
  out->middle_m = sample[(n - 1) / 2];
  out->high_m = sample[(n - 1) * 98 / 100];
  free(sample);
  return LW_OK;
}

static lw_status refuse_elevations(lw_soundings_reading *r, const depth_range *d)
{
  if (d->below_zero > d->above_zero) {
    return lw_soundings_refuse(r, 0, 0,
                               "most depths are below zero (about %.4g m): they seem to be elevations of the "
                               "bed, counted upwards; write depths below the surface, as positive numbers",
                               d->middle_m);
  }
  return lw_soundings_refuse(
      r, 0, 0,
      "all depths lie between %.4g m and %.4g m, with no shallow water: they seem to be "
      "elevations above the sea, not depths; write depths below the surface",
      d->low_m, d->high_m);
}

/* Against the depth this water is known to have. A file in feet read as metres is 3.28 times too deep. */
static lw_status judge_against(lw_soundings_reading *r, const depth_range *d, double deepest_m)
{
  double feet_m = d->high_m * METRES_PER_FOOT;
  if (!r->in_feet && d->high_m > 2 * deepest_m && feet_m <= 1.3 * deepest_m) {
    return lw_soundings_refuse(
        r, 0, 0,
        "the depths go to %.4g m, but this water is about %.4g m deep: they seem to be feet "
        "read as metres; give --depth-unit ft, or correct the unit in the heading",
        d->high_m, deepest_m);
  }
  double metres_m = d->high_m * FEET_PER_METRE;
  if (r->in_feet && !r->unit_told_by_file && metres_m >= 0.75 * deepest_m && metres_m <= 1.15 * deepest_m) {
    return lw_soundings_refuse(
        r, 0, 0,
        "the depths go to %.4g ft only, but this water is about %.4g m deep: they seem to "
        "be metres read as feet; give --depth-unit m, or write 'depth (ft)' in the heading "
        "if they are feet",
        d->high_m * FEET_PER_METRE, deepest_m);
  }
  if (d->low_m > deepest_m) {
    return refuse_elevations(r, d);
  }
  if (d->middle_m > 2 * deepest_m) {
    return lw_soundings_refuse(
        r, 0, 0,
        "half of the depths are greater than %.4g m, but this water is about %.4g m deep; "
        "check the unit, and whether the file belongs to this water",
        d->middle_m, deepest_m);
  }
  return LW_OK;
}

static lw_status judge_depths(lw_soundings_reading *r)
{
  depth_range d = {0};
  lw_status status = measure(r, &d);
  if (status != LW_OK) {
    return status;
  }
  if (d.below_zero + d.above_zero == 0) {
    return lw_soundings_refuse(
        r, 0, 0,
        "all depths are zero: the sounder never found the bottom, or another field holds the "
        "depth; name it with --depth-field");
  }
  if (d.below_zero > d.above_zero) {
    if (!r->how->elevations) {
      return refuse_elevations(r, &d);
    }
    return lw_soundings_refuse(r, 0, 0,
                               "most elevations lie above the water's surface (%.4g m); check the surface's "
                               "elevation and its unit",
                               r->how->surface_elevation_m);
  }
  if (r->metric) {
    return LW_OK;
  }
  if (r->how->deepest_likely_m > 0) {
    return judge_against(r, &d, r->how->deepest_likely_m);
  }
  /* a lake sounded to its shores has shallow water; who names the field himself is believed */
  bool high = d.low_m > 20 && d.high_m - d.low_m < d.low_m;
  return high && !r->how->elevations && !r->how->depth_field ? refuse_elevations(r, &d) : LW_OK;
}

/* --- nothing, and all --- */

static lw_status refuse_nothing(lw_soundings_reading *r)
{
  const lw_fixes *o = &r->out;
  if (o->without_depth + o->without_position == 0) {
    return lw_soundings_refuse(r, 0, 0, "the file holds no sounding: nothing follows its heading");
  }
  return lw_soundings_refuse(
      r, 0, 0,
      "the file holds no sounding: %zu records have no depth and %zu have no position; "
      "check that the sounder and the satellite receiver both recorded",
      o->without_depth, o->without_position);
}

static void note_time(lw_soundings_reading *r)
{
  for (size_t i = 0; i < r->out.count; i++) {
    double time_s = r->fixes[i].time_s;
    if (!isnan(time_s)) {
      r->out.has_time = true;
      r->out.day = (lw_day)floor(time_s / 86400);
      return;
    }
  }
}

lw_status lw_soundings_judge(lw_soundings_reading *r)
{
  if (r->out.count == 0) {
    return refuse_nothing(r);
  }
  if (r->how->elevations) {
    r->out.offset_known = true;
  }
  lw_status status = lw_soundings_judge_place(r);
  if (status == LW_OK) {
    status = judge_depths(r);
  }
  if (status == LW_OK) {
    status = lw_soundings_judge_time(r);
  }
  note_time(r);
  return status;
}
