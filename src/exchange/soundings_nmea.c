/* SPDX-License-Identifier: Apache-2.0 */
/* Soundings from an NMEA 0183 log. Depth sentences tell no time. One between two position sentences of the
 * same instant (GGA, DPT, RMC) is at that instant. Between positions of different instants they are taken as
 * evenly spaced, in the order of the lines, and get the instant and the place that follow: with one depth a
 * second it is the middle, for nothing tells whether it belongs to the burst before or to the one after. */
#include "exchange/nmea_log.h"

#include <math.h>
#include <string.h>

#define RADIANS 0.017453292519943295
#define METRES_PER_DEGREE 111320.0
#define FASTEST_M_S 40.0        /* no sounding boat: the receiver jumped */
#define FARTHEST_UNTIMED_M 50.0 /* between two positions without times */

enum { LOOK_LINES = 40 };

bool lw_soundings_are_nmea(const char *text, size_t length)
{
  const char *end = text + length;
  size_t lines = 0;
  size_t sentences = 0;
  for (const char *at = text; at < end && lines < LOOK_LINES;) {
    const char *stop = memchr(at, '\n', (size_t)(end - at));
    lw_span line = lw_span_trim((lw_span){at, stop ? stop : end});
    const char *sign = memchr(line.at, '$', lw_span_length(line));
    sign = sign || line.at == line.end || *line.at != '!' ? sign : line.at;
    bool fits = sign && line.end - sign > 6 && memchr(sign, ',', (size_t)(line.end - sign)) &&
                sign[1] >= 'A' && sign[1] <= 'Z';
    lines += line.at < line.end ? 1 : 0;
    sentences += fits ? 1 : 0;
    at = stop ? stop + 1 : end;
  }
  return sentences > 0 && 2 * sentences >= lines;
}

/* --- placing depths between positions --- */

static double distance_m(const lw_log_position *a, const lw_log_position *b)
{
  double x = (b->longitude - a->longitude) * cos(a->latitude * RADIANS);
  return hypot(x, b->latitude - a->latitude) * METRES_PER_DEGREE;
}

/* Whether the boat's way between two positions is known well enough to place a depth on it. */
static bool is_whole(const lw_log_position *a, const lw_log_position *b)
{
  double step_s = b->time_s - a->time_s;
  if (isnan(step_s)) {
    return distance_m(a, b) <= FARTHEST_UNTIMED_M;
  }
  return step_s > 0 && step_s <= LW_LOG_GAP_S && distance_m(a, b) <= FASTEST_M_S * step_s;
}

static lw_status place_one(lw_soundings_reading *r, const lw_log *log, const lw_log_depth *depth,
                           const lw_log_position *a, const lw_log_position *b, double share)
{
  lw_fix fix = {.longitude = a->longitude + share * (b->longitude - a->longitude),
                .latitude = a->latitude + share * (b->latitude - a->latitude),
                .time_s = log->dated ? a->time_s + share * (b->time_s - a->time_s) : NAN,
                .depth_m = depth->depth_m + depth->offset_m,
                .track = -1,
                .line = depth->line};
  if (depth->offset_m > 0) {
    r->out.offset_known = true;
    r->out.offset_m = depth->offset_m;
  }
  return lw_soundings_add(r, &fix);
}

/* Depths [from, to) between position `a` and the one after it. */
static lw_status place_between(lw_soundings_reading *r, const lw_log *log, size_t from, size_t to,
                               const lw_log_position *a)
{
  lw_status status = LW_OK;
  for (size_t i = from; i < to && status == LW_OK; i++) {
    double share = (double)(i - from + 1) / (double)(to - from + 1);
    status = place_one(r, log, &log->depths[i], a, a + 1, share);
  }
  return status;
}

/* Depths from `*d` on among the sentences of the instant of `a`; *d moves behind them. */
static lw_status place_at(lw_soundings_reading *r, const lw_log *log, size_t *d, const lw_log_position *a)
{
  lw_status status = LW_OK;
  while (*d < log->depth_count && log->depths[*d].order < a->last && status == LW_OK) {
    status = place_one(r, log, &log->depths[(*d)++], a, a, 0);
  }
  return status;
}

static lw_status place_all(lw_soundings_reading *r, const lw_log *log)
{
  size_t d = 0;
  while (d < log->depth_count &&
         (log->position_count == 0 || log->depths[d].order < log->positions[0].order)) {
    d++;
  }
  r->out.without_position += d;
  for (size_t p = 0; p < log->position_count && d < log->depth_count; p++) {
    const lw_log_position *a = &log->positions[p];
    bool last = p + 1 == log->position_count;
    lw_status status = place_at(r, log, &d, a);
    if (status != LW_OK) {
      return status;
    }
    size_t from = d;
    while (d < log->depth_count && (last || log->depths[d].order < a[1].order)) {
      d++;
    }
    if (last || !is_whole(a, a + 1)) {
      r->out.without_position += d - from;
      continue;
    }
    status = place_between(r, log, from, d, a);
    if (status != LW_OK) {
      return status;
    }
  }
  return LW_OK;
}

/* --- the whole log --- */

static lw_status refuse_silent(lw_soundings_reading *r, const lw_log *log, size_t depths, size_t positions)
{
  const lw_fixes *o = &r->out;
  if (depths == 0 && positions == 0 && o->bad_checksum > 0) {
    return lw_soundings_refuse(
        r, 0, 0,
        "none of the sentences can be used: %zu checksums do not fit; the log is damaged, copy "
        "it again",
        o->bad_checksum);
  }
  if (depths == 0) {
    return lw_soundings_refuse(
        r, 0, 0,
        "the log holds %zu positions but no depth (%zu sentences DPT, DBT or DBS are empty); "
        "the sounder was not connected or had lost the bottom",
        positions, o->without_depth);
  }
  if (positions == 0) {
    return lw_soundings_refuse(
        r, 0, 0,
        "the log holds %zu depths but no position (%zu sentences GGA, RMC or GLL have no fix); "
        "the satellite receiver was not connected or had no fix",
        depths, log->without_fix);
  }
  return lw_soundings_refuse(
      r, 0, 0,
      "none of the %zu depths lies between two positions at most %.0f s apart; the receiver's "
      "positions are too seldom, or not in the order they were recorded",
      depths, LW_LOG_GAP_S);
}

/* The day told by the caller, for logs whose sentences tell the time only. */
static void take_told_day(lw_log *log, const lw_soundings_how *how)
{
  lw_day day = lw_soundings_day(how);
  if (log->dated || day == LW_NO_DAY) {
    return;
  }
  for (size_t i = 0; i < log->position_count; i++) {
    log->positions[i].time_s += day * 86400.0;
  }
  log->dated = true;
}

lw_status lw_soundings_read_nmea(lw_soundings_reading *r)
{
  lw_log log;
  r->out.format = "NMEA 0183";
  r->metric = true;
  lw_status status = lw_log_read(&log, r);
  size_t depths = log.depth_count;
  size_t positions = log.position_count;
  if (status == LW_OK) {
    take_told_day(&log, r->how);
    status = lw_log_choose(&log, r);
  }
  if (status == LW_OK) {
    status = place_all(r, &log);
  }
  if (status == LW_OK && r->out.count == 0) {
    status = refuse_silent(r, &log, depths, positions);
  }
  lw_log_free(&log);
  return status;
}
