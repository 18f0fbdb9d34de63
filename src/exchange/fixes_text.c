/* SPDX-License-Identifier: Apache-2.0 */
/* The text of soundings as the store keeps it. Fixed decimals and one spelling only, so that the same
 * soundings always have the same digest: what parses is byte for byte what would be written. */
#include "exchange/soundings.h"

#include "base/text.h"
#include "exchange/plain.h"
#include "exchange/span.h"

#include <math.h>
#include <string.h>

static const char heading[] = "longitude,latitude,depth (m),time,track\n";

/* longest row: -180.12345678,-90.12345678,-99999.123,-9999999999.123,2147483647 */
enum { LONGEST_ROW = 80, COLUMNS = 5 };

#define MOST_DEPTH_M 12000.0 /* no water of the Earth is as deep (Challenger Deep: 10,935 m, GEBCO) */
#define MOST_TIME_S 7.3e9    /* the years base/dates.h knows, 1900 to 2199 */

typedef struct number_column {
  const char *name;
  int decimals;
  double most;
} number_column;

static const number_column columns[] = {{"longitude", 8, 180},
                                        {"latitude", 8, 90},
                                        {"depth (m)", 3, MOST_DEPTH_M},
                                        {"time", 3, MOST_TIME_S},
                                        {"track", 0, INT32_MAX}};

static const double scales[] = {1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8};

/* --- writing --- */

/* Exactly `count` digits, ending before at + count. */
static char *put_digits(char *at, uint32_t value, int count)
{
  for (int i = count; i-- > 0; value /= 10) {
    at[i] = (char)('0' + value % 10);
  }
  return at + count;
}

static char *put_whole(char *at, uint64_t value)
{
  char digits[24];
  int n = 0;
  do {
    digits[n++] = (char)('0' + value % 10);
    value /= 10;
  } while (value);
  while (n) {
    *at++ = digits[--n];
  }
  return at;
}

/* With 8 or 3 digits after the point; the value's size is checked. Divisions by constants are far faster
 * than one by a variable. */
static char *put_fixed(char *at, double value, int decimals)
{
  uint64_t scaled = (uint64_t)(fabs(value) * (decimals == 8 ? 1e8 : 1e3) + 0.5);
  uint64_t whole = decimals == 8 ? scaled / 100000000u : scaled / 1000u;
  uint32_t rest = (uint32_t)(decimals == 8 ? scaled % 100000000u : scaled % 1000u);
  if (value < 0 && scaled) {
    *at++ = '-';
  }
  at = put_whole(at, whole);
  *at++ = '.';
  return put_digits(at, rest, decimals);
}

static char *put_fix(char *at, const lw_fix *fix)
{
  at = put_fixed(at, fix->longitude, 8);
  *at++ = ',';
  at = put_fixed(at, fix->latitude, 8);
  *at++ = ',';
  at = put_fixed(at, fix->depth_m, 3);
  *at++ = ',';
  at = isnan(fix->time_s) ? at : put_fixed(at, fix->time_s, 3);
  *at++ = ',';
  at = fix->track < 0 ? at : put_whole(at, (uint64_t)fix->track);
  *at++ = '\n';
  return at;
}

static const number_column *column_out_of_range(const lw_fix *fix, double *value)
{
  const double values[] = {fix->longitude, fix->latitude, fix->depth_m, isnan(fix->time_s) ? 0 : fix->time_s};
  for (size_t i = 0; i < sizeof values / sizeof *values; i++) {
    if (!(fabs(values[i]) <= columns[i].most)) {
      *value = values[i];
      return &columns[i];
    }
  }
  return NULL;
}

lw_status lw_fixes_write(char **out, size_t *out_length, const lw_fix *fixes, size_t count, lw_arena *arena,
                         lw_error *err)
{
  if (count > LW_SOUNDINGS_MOST) {
    return lw_fail(err, LW_LIMIT, "%zu soundings are more than the %d kept of one survey; thin them", count,
                   LW_SOUNDINGS_MOST);
  }
  lw_text text = LW_TEXT(sizeof heading + (size_t)LONGEST_ROW * LW_SOUNDINGS_MOST);
  lw_text_add(&text, heading);
  for (size_t i = 0; i < count; i++) {
    double value = 0;
    const number_column *bad = column_out_of_range(&fixes[i], &value);
    if (bad) {
      lw_text_free(&text);
      return lw_fail(err, LW_INVALID, "the %s of sounding %zu is %g; expected a number within %g of zero",
                     bad->name, i + 1, value, bad->most);
    }
    char row[LONGEST_ROW];
    lw_text_add_n(&text, row, (size_t)(put_fix(row, &fixes[i]) - row));
  }
  *out = text.failed ? NULL : lw_arena_copy_n(arena, lw_text_view(&text), text.length);
  *out_length = text.length;
  lw_text_free(&text);
  return *out ? LW_OK : lw_fail(err, LW_MEMORY, "there is no memory for the text of %zu soundings", count);
}

/* --- reading --- */

typedef struct fixes_reader {
  const char *end, *row; /* row: where the present one begins */
  long line;
  lw_error *err;
} fixes_reader;

static lw_status refuse_cell(const fixes_reader *r, lw_span cell, const number_column *column)
{
  char text[40];
  char excerpt[LW_EXCERPT];
  return lw_fail_at(r->err, LW_CORRUPT, NULL, r->line, (long)(cell.at - r->row) + 1,
                    "the %s '%s' should be a number with %d decimals within %g of zero; the text of these "
                    "soundings was changed, import them again",
                    column->name, lw_excerpt(lw_span_text(cell, text, sizeof text), excerpt),
                    column->decimals, column->most);
}

/* The one spelling put_fixed has: no sign but of a true minus, no zero in front, all decimals. */
static bool read_fixed(lw_span cell, const number_column *column, double *out)
{
  const char *at = cell.at;
  bool negative = at < cell.end && *at == '-';
  at += negative ? 1 : 0;
  const char *whole_end = cell.end - (column->decimals ? column->decimals + 1 : 0);
  if (whole_end <= at || (*at == '0' && whole_end - at > 1) || cell.end - at > 18 ||
      (column->decimals && *whole_end != '.')) {
    return false;
  }
  uint64_t value = 0;
  for (; at < cell.end; at++) {
    if (at == whole_end) {
      continue;
    }
    if (*at < '0' || *at > '9') {
      return false;
    }
    value = value * 10 + (uint64_t)(*at - '0');
  }
  if (negative && value == 0) {
    return false;
  }
  double number = (double)value / scales[column->decimals];
  *out = negative ? -number : number;
  return number <= column->most;
}

static lw_status split_row(fixes_reader *r, lw_span cells[COLUMNS])
{
  const char *at = r->row;
  for (int i = 0; i < COLUMNS; i++) {
    char mark = i + 1 < COLUMNS ? ',' : '\n';
    const char *stop = at;
    while (stop < r->end && *stop != ',' && *stop != '\n') {
      stop++;
    }
    if (stop == r->end || *stop != mark) {
      return lw_fail_at(r->err, LW_CORRUPT, NULL, r->line, (long)(stop - r->row) + 1,
                        stop == r->end ? "the text of these soundings is cut short here; import them again"
                                       : "a row of soundings has 5 cells; this text was changed, import the "
                                         "soundings again");
    }
    cells[i] = (lw_span){at, stop};
    at = stop + 1;
  }
  return LW_OK;
}

static lw_status read_row(fixes_reader *r, lw_fix *fix)
{
  lw_span cells[COLUMNS] = {{NULL, NULL}};
  lw_status status = split_row(r, cells);
  if (status != LW_OK) {
    return status;
  }
  double values[COLUMNS] = {0, 0, 0, NAN, -1};
  for (int i = 0; i < COLUMNS; i++) {
    bool may_be_empty = i >= 3;
    if (may_be_empty && cells[i].at == cells[i].end) {
      continue;
    }
    if (!read_fixed(cells[i], &columns[i], &values[i]) || (i == 4 && values[i] < 0)) {
      return refuse_cell(r, cells[i], &columns[i]);
    }
  }
  *fix = (lw_fix){.longitude = values[0],
                  .latitude = values[1],
                  .depth_m = values[2],
                  .time_s = values[3],
                  .track = (int32_t)values[4]};
  r->row = cells[COLUMNS - 1].end + 1;
  r->line++;
  return LW_OK;
}

static size_t count_rows(const char *at, const char *end)
{
  size_t n = 0;
  while (at < end) {
    const char *stop = memchr(at, '\n', (size_t)(end - at));
    n++;
    at = stop ? stop + 1 : end;
  }
  return n;
}

lw_status lw_fixes_parse(lw_fix **out, size_t *out_count, const char *text, size_t length, lw_arena *arena,
                         lw_error *err)
{
  size_t n = sizeof heading - 1;
  if (length < n || memcmp(text, heading, n) != 0) {
    return lw_fail_at(err, LW_CORRUPT, NULL, 1, 1,
                      "this is not a text of soundings; its first line should be "
                      "longitude,latitude,depth (m),time,track");
  }
  fixes_reader r = {.row = text + n, .end = text + length, .line = 2, .err = err};
  size_t count = count_rows(r.row, r.end);
  if (count > LW_SOUNDINGS_MOST) {
    return lw_fail(err, LW_LIMIT, "the text holds more than %d soundings", LW_SOUNDINGS_MOST);
  }
  lw_fix *fixes = LW_NEW(arena, lw_fix, count);
  if (!fixes) {
    return lw_fail(err, LW_MEMORY, "there is no memory for %zu soundings", count);
  }
  for (size_t i = 0; i < count; i++) {
    lw_status status = read_row(&r, &fixes[i]);
    if (status != LW_OK) {
      return status;
    }
  }
  *out = fixes;
  *out_count = count;
  return LW_OK;
}
