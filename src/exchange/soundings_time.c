/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/soundings_read.h"

#include <math.h>

#define SECONDS_A_DAY 86400.0

enum { FIRST_YEAR = 1970, LAST_YEAR = 2199 };

lw_day lw_soundings_day(const lw_soundings_how *how)
{
  /* 0 is 1 January 1970, before any position from satellites: a caller that told nothing */
  return how->day == 0 ? LW_NO_DAY : how->day;
}

static bool day_from(int year, int month, int day, lw_day *out)
{
  if (year < FIRST_YEAR || year > LAST_YEAR || month < 1 || month > 12 || day < 1 ||
      day > lw_days_in_month(year, month)) {
    return false;
  }
  *out = lw_day_from_civil((lw_civil){year, month, day});
  return true;
}

bool lw_read_day(lw_span cell, lw_day *out)
{
  const char *at = cell.at;
  size_t n = lw_span_length(cell);
  if (n == 8) {
    return day_from(lw_digits(at, 4), lw_digits(at + 4, 2), lw_digits(at + 6, 2), out);
  }
  return n == 10 && (at[4] == '-' || at[4] == '/') && at[7] == at[4] &&
         day_from(lw_digits(at, 4), lw_digits(at + 5, 2), lw_digits(at + 8, 2), out);
}

bool lw_read_time_of_day(lw_span cell, double *out_s)
{
  size_t n = lw_span_length(cell);
  if (n < 5 || cell.at[2] != ':') {
    return false;
  }
  int hours = lw_digits(cell.at, 2);
  int minutes = lw_digits(cell.at + 3, 2);
  double seconds = 0;
  if (hours < 0 || hours > 23 || minutes < 0 || minutes > 59) {
    return false;
  }
  if (n > 5) {
    lw_span rest = {cell.at + 6, cell.end};
    if (n < 8 || cell.at[5] != ':' || lw_digits(cell.at + 6, 2) < 0 ||
        !lw_span_number(rest, false, &seconds) || seconds >= 61) {
      return false;
    }
  }
  *out_s = hours * 3600.0 + minutes * 60.0 + seconds;
  return true;
}

/* "Z", "+02:00", "-0500", "+02" at the end of the cell is taken off. Seconds to subtract. */
static bool take_zone(lw_span *cell, double *out_s)
{
  *out_s = 0;
  size_t n = lw_span_length(*cell);
  if (n && (cell->end[-1] == 'Z' || cell->end[-1] == 'z')) {
    cell->end--;
    return true;
  }
  const char *sign = cell->end;
  while (sign > cell->at && sign[-1] != '+' && sign[-1] != '-') {
    sign--;
  }
  if (sign == cell->at) {
    return true;
  }
  size_t left = (size_t)(cell->end - sign);
  if (left != 2 && left != 4 && !(left == 5 && sign[2] == ':')) {
    return false;
  }
  int hours = lw_digits(sign, 2);
  int minutes = left == 2 ? 0 : lw_digits(cell->end - 2, 2);
  if (hours < 0 || hours > 15 || minutes < 0 || minutes > 59) {
    return false;
  }
  *out_s = (hours * 3600.0 + minutes * 60.0) * (sign[-1] == '-' ? -1 : 1);
  cell->end = sign - 1;
  return true;
}

/* Since 1970, in seconds or milliseconds: by their size, which no year in both ranges shares. */
static bool since_1970(lw_span cell, double *out_s)
{
  double value = 0;
  if (!lw_span_number(cell, false, &value)) {
    return false;
  }
  double seconds = value >= 1e11 ? value / 1000 : value;
  if (!(seconds >= 1e8 && seconds <= 7.25e9)) {
    return false;
  }
  *out_s = seconds;
  return true;
}

bool lw_read_instant(lw_span cell, double *out_s)
{
  if (lw_span_length(cell) < 16 || (cell.at[4] != '-' && cell.at[4] != '/')) {
    return since_1970(cell, out_s);
  }
  lw_day day = LW_NO_DAY;
  double time_s = 0;
  double zone_s = 0;
  char mark = cell.at[10];
  if (!lw_read_day((lw_span){cell.at, cell.at + 10}, &day) || (mark != 'T' && mark != ' ' && mark != 't')) {
    return false;
  }
  lw_span clock = {cell.at + 11, cell.end};
  if (!take_zone(&clock, &zone_s) || !lw_read_time_of_day(lw_span_trim(clock), &time_s)) {
    return false;
  }
  *out_s = day * SECONDS_A_DAY + time_s - zone_s;
  return true;
}
