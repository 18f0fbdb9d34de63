/* SPDX-License-Identifier: Apache-2.0 */
/* Several sentences tell the same thing: GGA, RMC and GLL the same position, DPT, DBT and DBS the same echo,
 * a multiplexer repeats them under another talker, and a second receiver stands elsewhere in the boat. */
#include "exchange/nmea_log.h"

#include <math.h>
#include <string.h>

#define SAME_INSTANT_S 0.0005

enum { FEWEST_STEPS = 8 };

/* --- positions --- */

static lw_status check_order(const lw_log *log, lw_soundings_reading *r)
{
  for (size_t i = 0; i < log->source_count; i++) {
    const lw_log_source *source = &log->sources[i];
    if (source->steps >= FEWEST_STEPS && 4 * source->backward > source->steps) {
      return lw_soundings_refuse(
          r, 0, 0,
          "the times of the %s sentences run backwards in %zu of %zu steps: the lines are not "
          "in the order they were recorded, and depths have no time of their own; take the "
          "log as it was recorded, unsorted",
          source->name, source->backward, source->steps);
    }
  }
  return LW_OK;
}

/* Positions told under a talker ("GP"), summed over its formatters. */
static size_t count_talker(const lw_log *log, const char *talker)
{
  size_t count = 0;
  for (size_t i = 0; i < log->source_count; i++) {
    bool tells_depth = log->sources[i].name[2] == 'D';
    count += !tells_depth && memcmp(log->sources[i].name, talker, 2) == 0 ? log->sources[i].count : 0;
  }
  return count;
}

static const char *best_talker(const lw_log *log)
{
  const char *best = "  ";
  size_t most = 0;
  for (size_t i = 0; i < log->source_count; i++) {
    size_t count = count_talker(log, log->sources[i].name);
    if (count > most) {
      most = count;
      best = log->sources[i].name;
    }
  }
  return best;
}

/* Keeps what the best talker says; another one only where that is silent for longer than the gap. Unknown
 * times are no gap. */
static void keep_best_talker(lw_log *log)
{
  const char *best = best_talker(log);
  size_t kept = 0;
  size_t next = 0; /* the best talker's first position from here on */
  double before_s = -INFINITY;
  for (size_t i = 0; i < log->position_count; i++) {
    const lw_log_position here = log->positions[i];
    if (memcmp(log->sources[here.source].name, best, 2) == 0) {
      before_s = here.time_s;
      log->positions[kept++] = here;
      continue;
    }
    next = next > i ? next : i + 1;
    while (next < log->position_count &&
           memcmp(log->sources[log->positions[next].source].name, best, 2) != 0) {
      next++;
    }
    double after_s = next < log->position_count ? log->positions[next].time_s : INFINITY;
    if (after_s - before_s > LW_LOG_GAP_S) {
      log->positions[kept++] = here;
    }
  }
  log->position_count = kept;
}

/* Drops what repeats the instant of the position before, or comes late by less than the gap. The position
 * kept remembers how far the sentences of its instant reach: a depth among them was sounded then. */
static void keep_one_an_instant(lw_log *log)
{
  size_t kept = 0;
  for (size_t i = 0; i < log->position_count; i++) {
    double step_s = kept ? log->positions[i].time_s - log->positions[kept - 1].time_s : INFINITY;
    if (step_s <= SAME_INSTANT_S && step_s >= -LW_LOG_GAP_S) {
      if (step_s >= -SAME_INSTANT_S) {
        log->positions[kept - 1].last = log->positions[i].order;
      }
      continue;
    }
    log->positions[kept++] = log->positions[i];
  }
  log->position_count = kept;
}

/* --- depths --- */

/* Depths of a formatter ("DPT") under all talkers. */
static size_t count_kind(const lw_log *log, const char *kind)
{
  size_t n = 0;
  for (size_t i = 0; i < log->source_count; i++) {
    n += strcmp(log->sources[i].name + 2, kind) == 0 ? log->sources[i].count : 0;
  }
  return n;
}

/* DPT tells the offset too, DBS has it in it, DBT knows nothing of it: taken in this order, unless one is
 * sent much more seldom than another. */
static const char *best_kind(const lw_log *log)
{
  static const char *const kinds[] = {"DPT", "DBS", "DBT"};
  size_t most = 0;
  for (size_t i = 0; i < 3; i++) {
    size_t n = count_kind(log, kinds[i]);
    most = n > most ? n : most;
  }
  for (size_t i = 0; i < 2; i++) {
    if (2 * count_kind(log, kinds[i]) > most) {
      return kinds[i];
    }
  }
  return "DBT";
}

static int best_source(const lw_log *log, const char *kind)
{
  int best = -1;
  for (size_t i = 0; i < log->source_count; i++) {
    bool fits = strcmp(log->sources[i].name + 2, kind) == 0;
    if (fits && (best < 0 || log->sources[i].count > log->sources[best].count)) {
      best = (int)i;
    }
  }
  return best;
}

/* One kind from one talker: a second sounder on the same boat stands elsewhere and at another depth. */
static void keep_best_depths(lw_log *log, lw_soundings_reading *r)
{
  const char *kind = best_kind(log);
  int source = best_source(log, kind);
  size_t kept = 0;
  for (size_t i = 0; i < log->depth_count; i++) {
    if (log->depths[i].source == source) {
      log->depths[kept++] = log->depths[i];
    }
  }
  log->depth_count = kept;
  r->out.offset_known = strcmp(kind, "DBS") == 0 && kept;
}

lw_status lw_log_choose(lw_log *log, lw_soundings_reading *r)
{
  lw_status status = check_order(log, r);
  if (status == LW_OK) {
    keep_best_talker(log);
    keep_one_an_instant(log);
    keep_best_depths(log, r);
  }
  return status;
}
