/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/nmea_log.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define DAY_S 86400.0
#define HALF_DAY_S 43200.0

enum { FIRST_ENTRIES = 1024 };

void lw_log_free(lw_log *log)
{
  free(log->positions);
  free(log->depths);
  log->positions = NULL;
  log->depths = NULL;
}

/* --- growing --- */

static bool room(void **list, size_t count, size_t *capacity, size_t size)
{
  if (count < *capacity) {
    return true;
  }
  size_t more = *capacity ? 2 * *capacity : FIRST_ENTRIES;
  void *bigger = realloc(*list, more * size);
  if (!bigger) {
    return false;
  }
  *list = bigger;
  *capacity = more;
  return true;
}

static lw_status too_many(lw_soundings_reading *r, const char *what)
{
  return lw_fail_at(r->err, LW_LIMIT, r->name, 0, 0, "the log holds more than %d %s; split it",
                    LW_SOUNDINGS_MOST, what);
}

/* --- sources --- */

/* -1: more names than any boat has instruments. */
static int source_of(lw_log *log, const char *name)
{
  for (size_t i = 0; i < log->source_count; i++) {
    if (memcmp(log->sources[i].name, name, 6) == 0) {
      return (int)i;
    }
  }
  if (log->source_count == LW_LOG_SOURCES) {
    return -1;
  }
  lw_log_source *source = &log->sources[log->source_count];
  *source = (lw_log_source){.last_time_s = NAN};
  memcpy(source->name, name, 6);
  return (int)log->source_count++;
}

/* --- the clock --- */

/* The instant of a time of day: the one nearest to the clock, so that midnight is passed. */
static double instant_of(const lw_log *log, double time_s)
{
  if (isnan(log->clock_s)) {
    return time_s;
  }
  double at_s = floor(log->clock_s / DAY_S) * DAY_S + time_s;
  if (at_s < log->clock_s - HALF_DAY_S) {
    return at_s + DAY_S;
  }
  return at_s > log->clock_s + HALF_DAY_S ? at_s - DAY_S : at_s;
}

static void move_positions(lw_log *log, double seconds)
{
  for (size_t i = 0; i < log->position_count; i++) {
    log->positions[i].time_s += seconds;
  }
  for (size_t i = 0; i < log->source_count; i++) {
    log->sources[i].last_time_s += seconds;
  }
}

/* Sets the clock by a sentence; the first that tells the day dates all before it. */
static double set_clock(lw_log *log, const lw_nmea_fix *fix)
{
  if (isnan(fix->time_s)) {
    return NAN;
  }
  double at_s = instant_of(log, fix->time_s);
  if (fix->day != LW_NO_DAY) {
    double dated_s = fix->day * DAY_S + fix->time_s;
    if (!log->dated) {
      move_positions(log, dated_s - at_s);
      log->dated = true;
    }
    at_s = dated_s;
  }
  log->clock_s = at_s;
  return at_s;
}

/* --- sentences --- */

static lw_status add_position(lw_log *log, lw_soundings_reading *r, const lw_nmea_fix *fix, int source,
                              size_t order)
{
  lw_log_source *from = &log->sources[source];
  double time_s = set_clock(log, fix);
  double step_s = time_s - from->last_time_s;
  from->steps += isnan(step_s) ? 0 : 1;
  from->backward += step_s < 0 ? 1 : 0;
  from->last_time_s = time_s;
  from->count++;
  if (log->position_count == LW_SOUNDINGS_MOST) {
    return too_many(r, "positions");
  }
  void *list = log->positions;
  if (!room(&list, log->position_count, &log->position_capacity, sizeof *log->positions)) {
    return lw_soundings_fail_memory(r);
  }
  log->positions = list;
  log->positions[log->position_count++] = (lw_log_position){.longitude = fix->longitude,
                                                            .latitude = fix->latitude,
                                                            .time_s = time_s,
                                                            .order = order,
                                                            .last = order,
                                                            .source = (uint8_t)source};
  return LW_OK;
}

static lw_status add_depth(lw_log *log, lw_soundings_reading *r, const lw_nmea_depth *depth, int source,
                           size_t order, long line)
{
  log->sources[source].count++;
  if (log->depth_count == LW_SOUNDINGS_MOST) {
    return too_many(r, "depths");
  }
  void *list = log->depths;
  if (!room(&list, log->depth_count, &log->depth_capacity, sizeof *log->depths)) {
    return lw_soundings_fail_memory(r);
  }
  log->depths = list;
  log->depths[log->depth_count++] = (lw_log_depth){.depth_m = depth->depth_m,
                                                   .offset_m = depth->offset_m,
                                                   .order = order,
                                                   .line = line,
                                                   .source = (uint8_t)source};
  return LW_OK;
}

/* A whole sentence; *bad when its fields cannot be. */
static lw_status take_sentence(lw_log *log, lw_soundings_reading *r, const lw_sentence *s, size_t order,
                               long line, bool *bad)
{
  lw_nmea_fix fix;
  lw_nmea_depth depth;
  lw_nmea_answer position = lw_nmea_position(s, &fix);
  lw_nmea_answer date = position == LW_NMEA_NO ? lw_nmea_date(s, &fix) : LW_NMEA_NO;
  lw_nmea_answer sounding =
      position == LW_NMEA_NO && date == LW_NMEA_NO ? lw_nmea_depth_of(s, &depth) : LW_NMEA_NO;
  if (position == LW_NMEA_NO && date == LW_NMEA_NO && sounding == LW_NMEA_NO) {
    return LW_OK; /* heading, speed, satellites, ... */
  }
  int source = source_of(log, s->name);
  bool cut = source >= 0 && !s->checked && log->sources[source].checked;
  *bad = source < 0 || cut || position == LW_NMEA_BAD || date == LW_NMEA_BAD || sounding == LW_NMEA_BAD;
  if (*bad) {
    return LW_OK;
  }
  log->sources[source].checked = s->checked || log->sources[source].checked;
  log->without_fix += position == LW_NMEA_EMPTY ? 1 : 0;
  r->out.without_depth += sounding == LW_NMEA_EMPTY ? 1 : 0;
  if (date == LW_NMEA_YES) {
    (void)set_clock(log, &fix);
  }
  if (position == LW_NMEA_YES) {
    return add_position(log, r, &fix, source, order);
  }
  return sounding == LW_NMEA_YES ? add_depth(log, r, &depth, source, order, line) : LW_OK;
}

/* --- lines --- */

static bool is_blank(const char *at, const char *end)
{
  lw_span line = lw_span_trim((lw_span){at, end});
  return line.at == line.end;
}

/* All sentences of one line. *bad tells of the last of them. */
static lw_status take_line(lw_log *log, lw_soundings_reading *r, lw_span span, size_t *order, long line,
                           bool *bad)
{
  const char *at = span.at;
  bool any = false;
  for (;;) {
    lw_sentence s;
    lw_sentence_state state = lw_sentence_next(&at, span.end, &s);
    if (state == LW_SENTENCE_NONE) {
      break;
    }
    any = true;
    *bad = state == LW_SENTENCE_BROKEN || state == LW_SENTENCE_CHECKSUM;
    r->out.bad_checksum += state == LW_SENTENCE_CHECKSUM ? 1 : 0;
    if (state == LW_SENTENCE_GOOD) {
      lw_status status = take_sentence(log, r, &s, (*order)++, line, bad);
      if (status != LW_OK) {
        return status;
      }
    }
    r->out.bad_sentence += *bad && state != LW_SENTENCE_CHECKSUM ? 1 : 0;
  }
  /* a line of AIS begins with '!' */
  r->out.bad_sentence +=
      !any && !memchr(span.at, '!', lw_span_length(span)) && !is_blank(span.at, span.end) ? 1 : 0;
  return LW_OK;
}

static lw_status refuse_cut(lw_soundings_reading *r, long line)
{
  return lw_soundings_refuse(
      r, line, 1,
      "the log ends in the middle of a sentence: it was cut short, perhaps while it was "
      "copied; copy it again, or delete this last line if the recorder lost its power");
}

lw_status lw_log_read(lw_log *log, lw_soundings_reading *r)
{
  const char *end = r->text + r->length;
  size_t order = 0;
  long line = 1;
  *log = (lw_log){.clock_s = NAN};
  for (const char *at = r->text; at < end; line++) {
    const char *stop = memchr(at, '\n', (size_t)(end - at));
    bool bad = false;
    lw_status status = take_line(log, r, (lw_span){at, stop ? stop : end}, &order, line, &bad);
    if (status == LW_OK && !stop && bad) {
      status = refuse_cut(r, line);
    }
    if (status != LW_OK) {
      return status;
    }
    at = stop ? stop + 1 : end;
  }
  return LW_OK;
}
