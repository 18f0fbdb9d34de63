/* SPDX-License-Identifier: Apache-2.0 */
/* Soundings from a table: CSV as RFC 4180 says, or with semicolons or tabs between the cells. Read in one
 * pass without a copy of the cells: the house's csv.h holds 40 bytes a cell, too much for five million rows.
 */
#include "exchange/soundings_read.h"
#include "exchange/soundings_table.h"

#include "exchange/plain.h"

#include <math.h>
#include <string.h>

/* The number in a cell, with a hemisphere's letter before or behind it: 84.1W is -84.1. */
static bool read_degrees(const lw_table *t, lw_span cell, double *out)
{
  double sign = 1;
  const char *letters = "NESWnesw";
  if (cell.at < cell.end && strchr(letters, cell.end[-1])) {
    sign = strchr("SWsw", cell.end[-1]) ? -1 : 1;
    cell.end--;
  } else if (cell.at < cell.end && strchr(letters, *cell.at)) {
    sign = strchr("SWsw", *cell.at) ? -1 : 1;
    cell.at++;
  }
  if (!lw_span_number(lw_span_trim(cell), t->decimal_comma, out)) {
    return false;
  }
  *out *= sign;
  return true;
}

static lw_status refuse_number(lw_table *t, lw_span cell, lw_field_kind kind, const char *expected)
{
  char text[LW_EXCERPT];
  char excerpt[LW_EXCERPT];
  char name_text[LW_EXCERPT];
  char name[LW_EXCERPT];
  lw_span heading = t->headings[t->column[kind]];
  bool nan = lw_span_is(cell, "nan") || lw_span_is(cell, "+nan") || lw_span_is(cell, "-nan");
  return lw_soundings_refuse(t->r, t->row_line, lw_table_column(t, cell),
                             "'%s' in the column '%s' is not a number; expected %s%s",
                             lw_excerpt(lw_span_text(cell, text, sizeof text), excerpt),
                             lw_excerpt(lw_span_text(heading, name_text, sizeof name_text), name), expected,
                             nan ? ". Leave the cell empty where nothing was measured" : "");
}

/* --- position --- */

static lw_status take_position(lw_table *t, const lw_span *cells, lw_fix *fix, bool *there)
{
  lw_span x = cells[t->column[LW_FIELD_LONGITUDE]];
  lw_span y = cells[t->column[LW_FIELD_LATITUDE]];
  *there = !lw_field_is_empty(x) && !lw_field_is_empty(y);
  int quality = t->column[LW_FIELD_QUALITY];
  if (quality >= 0 && lw_span_is(cells[quality], "0")) { /* no fix, as in NMEA's GGA */
    *there = false;
  }
  if (!*there) {
    t->r->out.without_position++;
    return LW_OK;
  }
  const char *expected = t->r->is_grid ? "an easting or northing" : "decimal degrees, like -84.1234567";
  if (!read_degrees(t, x, &fix->longitude)) {
    return refuse_number(t, x, LW_FIELD_LONGITUDE, expected);
  }
  if (!read_degrees(t, y, &fix->latitude)) {
    return refuse_number(t, y, LW_FIELD_LATITUDE, expected);
  }
  return lw_soundings_check_position(t->r, fix->longitude, fix->latitude, t->row_line, lw_table_column(t, x));
}

/* --- depth --- */

static lw_status take_depth(lw_table *t, const lw_span *cells, lw_fix *fix, bool *there)
{
  lw_span cell = cells[t->column[LW_FIELD_DEPTH]];
  double value = 0;
  *there = !lw_field_is_empty(cell);
  if (*there && !lw_span_number(cell, t->decimal_comma, &value)) {
    return refuse_number(t, cell, LW_FIELD_DEPTH, "a depth");
  }
  *there = *there && !lw_field_is_no_depth(value);
  if (!*there) {
    t->r->out.without_depth++;
    return LW_OK;
  }
  if (!lw_field_depth(t->r, value, t->scale, &fix->depth_m)) {
    return lw_soundings_refuse(t->r, t->row_line, lw_table_column(t, cell),
                               "%.10g is no depth: no water on Earth is that deep; check the column", value);
  }
  return LW_OK;
}

/* --- time and track --- */

static lw_status refuse_time(lw_table *t, lw_span cell, const char *expected)
{
  char text[LW_EXCERPT];
  char excerpt[LW_EXCERPT];
  return lw_soundings_refuse(t->r, t->row_line, lw_table_column(t, cell),
                             "'%s' is not %s; correct it, or name the column otherwise to leave it out",
                             lw_excerpt(lw_span_text(cell, text, sizeof text), excerpt), expected);
}

static lw_status take_day(lw_table *t, const lw_span *cells, lw_day *out)
{
  int column = t->column[LW_FIELD_DATE];
  *out = LW_NO_DAY;
  if (column < 0 || lw_field_is_empty(cells[column])) {
    return LW_OK;
  }
  if (!lw_read_day(cells[column], out)) {
    return refuse_time(t, cells[column], "a date like 2026-04-15");
  }
  t->r->out.day = t->r->out.day == LW_NO_DAY ? *out : t->r->out.day;
  return LW_OK;
}

/* The day of a time of day: the row's own, or the one told, which midnight moves on. */
static lw_day day_of(lw_table *t, lw_day row_day, double time_s)
{
  if (row_day != LW_NO_DAY || t->day == LW_NO_DAY) {
    return row_day;
  }
  if (!isnan(t->last_time_s) && time_s < t->last_time_s - 43200) {
    t->day++;
  }
  t->last_time_s = time_s;
  return t->day;
}

static lw_status take_time(lw_table *t, const lw_span *cells, lw_fix *fix)
{
  lw_day day = LW_NO_DAY;
  lw_status status = take_day(t, cells, &day);
  int column = t->column[LW_FIELD_TIME];
  double time_s = 0;
  if (status != LW_OK || column < 0 || lw_field_is_empty(cells[column])) {
    return status;
  }
  if (lw_read_instant(cells[column], &fix->time_s)) {
    return LW_OK;
  }
  if (lw_read_day(cells[column], &day)) { /* a date under the name of a time */
    t->r->out.day = t->r->out.day == LW_NO_DAY ? day : t->r->out.day;
    return LW_OK;
  }
  if (!lw_read_time_of_day(cells[column], &time_s)) {
    return refuse_time(t, cells[column], "an instant like 2026-04-15T10:30:00Z nor a time like 10:30:00");
  }
  day = day_of(t, day, time_s);
  fix->time_s = day == LW_NO_DAY ? NAN : day * 86400.0 + time_s;
  return LW_OK;
}

/* Whole numbers as they are; other labels by their hash (FNV-1a, public domain), so that the same label is
 * the same track wherever it stands. */
static int32_t track_of(lw_span cell)
{
  double number = 0;
  if (lw_span_number(cell, false, &number) && number >= 0 && number < 1e9 && floor(number) == number) {
    return (int32_t)number;
  }
  uint32_t hash = 2166136261u;
  for (const char *at = cell.at; at < cell.end; at++) {
    hash = (hash ^ (unsigned char)*at) * 16777619u;
  }
  return (int32_t)(hash & 0x7FFFFFFFu);
}

static lw_status take_row(lw_table *t, const lw_span *cells)
{
  lw_fix fix = {.time_s = NAN, .track = -1, .line = t->row_line};
  bool there = false;
  lw_status status = take_position(t, cells, &fix, &there);
  if (status != LW_OK || !there) {
    return status;
  }
  status = take_depth(t, cells, &fix, &there);
  if (status != LW_OK || !there) {
    return status;
  }
  status = take_time(t, cells, &fix);
  int track = t->column[LW_FIELD_TRACK];
  if (track >= 0 && !lw_field_is_empty(cells[track])) {
    fix.track = track_of(cells[track]);
  }
  return status == LW_OK ? lw_soundings_add(t->r, &fix) : status;
}

lw_status lw_soundings_read_table(lw_soundings_reading *r)
{
  lw_table table;
  lw_span cells[LW_TABLE_COLUMNS];
  lw_status status = lw_table_open(&table, r);
  bool more = true;
  while (status == LW_OK && more) {
    status = lw_table_next(&table, cells, &more);
    if (status == LW_OK && more) {
      status = take_row(&table, cells);
    }
  }
  return status;
}
