/* SPDX-License-Identifier: Apache-2.0 */
#include "lakes.h"

#include "base/random.h"
#include "base/stats.h"

#include <math.h>

#define PI 3.14159265358979323846

enum { STREAM_NOISE = 9201, STREAM_DRIFT, STREAM_PLACE_X, STREAM_PLACE_Y, STREAM_FLAW, STREAM_SPIKE };

typedef struct boat {
  const lw_lake *lake;
  const lw_sailing *how;
  double gap_m, speed_m_s;
  double *cuts; /* where a line meets the shore, m from its start */
  lw_sailed *out;
  size_t room;
  lw_spot at;
  double time_s, drift;
} boat;

/* Distances from `a` towards `b` (apart by `length`) at which the line crosses the shore, each moved
 * towards the water by the gap; ascending, so that pairs are water by the even-odd rule. */
static size_t crossings(const boat *b, lw_spot a, lw_spot direction, double length)
{
  const lw_shore *shore = &b->lake->shore;
  size_t n = 0;
  for (size_t r = 0; r < shore->ring_count; r++) {
    size_t first = shore->ring_start[r];
    size_t count = shore->ring_start[r + 1] - first;
    for (size_t k = 0; k < count; k++) {
      lw_spot p = shore->spots[first + k];
      lw_spot q = shore->spots[first + (k + 1) % count];
      double left_p = direction.x_m * (p.y_m - a.y_m) - direction.y_m * (p.x_m - a.x_m);
      double left_q = direction.x_m * (q.y_m - a.y_m) - direction.y_m * (q.x_m - a.x_m);
      if ((left_p > 0) != (left_q > 0)) {
        double t = left_p / (left_p - left_q);
        double x = p.x_m + t * (q.x_m - p.x_m) - a.x_m;
        double y = p.y_m + t * (q.y_m - p.y_m) - a.y_m;
        double at = x * direction.x_m + y * direction.y_m;
        b->cuts[n++] = fmin(fmax(at, 0), length);
      }
    }
  }
  lw_sort(b->cuts, n);
  return n;
}

static double depth_read(boat *b, double truth, size_t i, uint8_t *planted)
{
  const lw_sailing *how = b->how;
  double corr = exp(-how->spacing_m / (how->drift_length_m > 0 ? how->drift_length_m : 50));
  double draw = lw_random_normal(&(lw_random){how->seed, STREAM_DRIFT}, i);
  b->drift = i == 0 ? draw : corr * b->drift + sqrt(1 - corr * corr) * draw;
  double noise = lw_random_normal(&(lw_random){how->seed, STREAM_NOISE}, i);
  double depth =
      truth * (1 + how->scale_error) + how->level_error_m + how->noise_m * noise + how->drift_m * b->drift;
  double u = lw_random_uniform(&(lw_random){how->seed, STREAM_FLAW}, i);
  *planted = LW_SOUNDING_GOOD;
  if (u < how->spikes) {
    double v = 2 * lw_random_uniform(&(lw_random){how->seed, STREAM_SPIKE}, i) - 1;
    double off = how->spike_least_m + fabs(v) * (how->spike_most_m - how->spike_least_m);
    *planted = LW_SOUNDING_SPIKE;
    depth += v < 0 && depth > off ? -off : off;
  } else if (u < how->spikes + how->dropouts) {
    *planted = LW_SOUNDING_DROPOUT;
    depth = 0;
  } else if (u < how->spikes + how->dropouts + how->double_echoes) {
    *planted = LW_SOUNDING_DOUBLE_ECHO;
    depth *= 2;
  }
  depth = how->resolution_m > 0 ? how->resolution_m * round(depth / how->resolution_m) : depth;
  return fmax(0, depth);
}

static void sound(boat *b, lw_spot at)
{
  lw_sailed *out = b->out;
  size_t i = out->count;
  if (i >= b->room) {
    return;
  }
  b->time_s += i == 0 ? 0 : hypot(at.x_m - b->at.x_m, at.y_m - b->at.y_m) / b->speed_m_s;
  b->at = at;
  double place = b->how->place_m;
  out->truth_m[i] = lw_lake_depth_m(b->lake, at);
  out->piece[i] = (int32_t)out->pieces;
  out->soundings[i] = (lw_sounding){
      .x_m = at.x_m + place * lw_random_normal(&(lw_random){b->how->seed, STREAM_PLACE_X}, i),
      .y_m = at.y_m + place * lw_random_normal(&(lw_random){b->how->seed, STREAM_PLACE_Y}, i),
      .time_s = b->how->timeless ? (double)NAN : b->time_s,
      .depth_m = (float)depth_read(b, out->truth_m[i], i, &out->planted[i]),
      .survey = b->how->survey,
      .track = b->how->tracks ? out->piece[i] : -1,
  };
  out->count++;
}

/* One line from `from` to `to`, sounding where there is water under it. */
static void sail_line(boat *b, lw_spot from, lw_spot to)
{
  double length = hypot(to.x_m - from.x_m, to.y_m - from.y_m);
  lw_spot direction = {(to.x_m - from.x_m) / length, (to.y_m - from.y_m) / length};
  size_t n = crossings(b, from, direction, length);
  for (size_t k = 0; k + 1 < n; k += 2) {
    double begin = b->cuts[k] + b->gap_m;
    double end = b->cuts[k + 1] - b->gap_m;
    size_t before = b->out->count;
    for (size_t m = 0; begin + (double)m * b->how->spacing_m <= end; m++) {
      double at = begin + (double)m * b->how->spacing_m;
      sound(b, (lw_spot){from.x_m + at * direction.x_m, from.y_m + at * direction.y_m});
    }
    b->out->pieces += b->out->count > before;
  }
}

/* The shore's extent along the heading and across it (to its left). */
static lw_box extent(const lw_lake *lake, double heading)
{
  lw_box box = {INFINITY, INFINITY, -INFINITY, -INFINITY};
  for (size_t k = 0; k < lake->shore.spot_count; k++) {
    lw_spot p = lake->shore.spots[k];
    double along = p.x_m * cos(heading) + p.y_m * sin(heading);
    double across = p.y_m * cos(heading) - p.x_m * sin(heading);
    box = (lw_box){fmin(box.west_m, along), fmin(box.south_m, across), fmax(box.east_m, along),
                   fmax(box.north_m, across)};
  }
  return box;
}

static void sail_all(boat *b)
{
  double heading = b->how->heading;
  lw_box box = extent(b->lake, heading);
  double apart = (box.north_m - box.south_m) / (double)b->how->lines;
  for (size_t k = 0; k < b->how->lines; k++) {
    bool zigzag = b->how->pattern == LW_SAIL_ZIGZAG;
    double first = box.south_m + apart * ((double)k + (zigzag ? 0 : 0.5));
    double last = zigzag ? first + apart : first;
    double begin = k % 2 ? box.east_m + 1 : box.west_m - 1;
    double end = k % 2 ? box.west_m - 1 : box.east_m + 1;
    lw_spot from = {begin * cos(heading) - first * sin(heading), begin * sin(heading) + first * cos(heading)};
    lw_spot to = {end * cos(heading) - last * sin(heading), end * sin(heading) + last * cos(heading)};
    sail_line(b, from, to);
  }
}

lw_status lw_lake_sail(lw_sailed *out, const lw_lake *lake, const lw_sailing *how, lw_arena *arena,
                       lw_error *err)
{
  if (how->lines == 0 || !(how->spacing_m > 0)) {
    return lw_fail(err, LW_INVALID, "a survey needs at least 1 line and a spacing above 0");
  }
  *out = (lw_sailed){0};
  boat b = {.lake = lake,
            .how = how,
            .gap_m = how->shore_gap_m > 0 ? how->shore_gap_m : 2,
            .speed_m_s = how->speed_m_s > 0 ? how->speed_m_s : 1.5,
            .time_s = 1760000000,
            .out = out};
  lw_box box = extent(lake, 0);
  double most = hypot(box.east_m - box.west_m, box.north_m - box.south_m) + 2;
  b.room = (size_t)((most / how->spacing_m + 2) * (double)how->lines * (how->pattern ? 1.5 : 1));
  b.cuts = LW_NEW(arena, double, lake->shore.spot_count);
  out->soundings = LW_NEW(arena, lw_sounding, b.room);
  out->truth_m = LW_NEW(arena, double, b.room);
  out->piece = LW_NEW(arena, int32_t, b.room);
  out->planted = LW_NEW(arena, uint8_t, b.room);
  if (!b.cuts || !out->soundings || !out->truth_m || !out->piece || !out->planted) {
    return lw_fail(err, LW_MEMORY, "no memory for %zu soundings", b.room);
  }
  sail_all(&b);
  return LW_OK;
}

/* ---- the ensemble ---- */

static double between(const lw_random *random, uint64_t index, double low, double high)
{
  return low + (high - low) * lw_random_uniform(random, index);
}

void lw_lakes_draw(lw_lake_ask *lake, lw_sailing *how, uint64_t seed, uint32_t member)
{
  lw_random r = {seed, 9500 + member};
  *lake = (lw_lake_ask){.kind = (lw_lake_kind)(member % LW_LAKE_KINDS),
                        .size_m = between(&r, 0, 60, 350),
                        .depth_m = between(&r, 1, 1.5, 9),
                        .turn = between(&r, 2, 0, 2 * PI),
                        .seed = seed * 1000 + member};
  *how = (lw_sailing){.pattern = lw_random_uniform(&r, 3) < 0.7 ? LW_SAIL_PARALLEL : LW_SAIL_ZIGZAG,
                      .lines = (size_t)between(&r, 4, 8, 40.999),
                      .spacing_m = between(&r, 5, 1, 4),
                      .heading = between(&r, 6, 0, PI),
                      .noise_m = between(&r, 7, 0.02, 0.10),
                      .drift_m = between(&r, 8, 0, 0.05),
                      .scale_error = 0.01 * lw_random_normal(&r, 9),
                      .level_error_m = 0.02 * lw_random_normal(&r, 10),
                      .tracks = true,
                      .seed = seed * 1000 + member};
}
