/* SPDX-License-Identifier: Apache-2.0 */
#include "base/dates.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

enum { FIRST_YEAR = 1900, LAST_YEAR = 2199, MS_PER_DAY = 86400000, DAYS_IN_400_YEARS = 146097 };

bool lw_is_leap_year(int year)
{
  return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

int lw_days_in_month(int year, int month)
{
  static const int days[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  if (month < 1 || month > 12) {
    return 0;
  }
  return month == 2 && lw_is_leap_year(year) ? 29 : days[month - 1];
}

/* Days before 1 January of `year`, counted from 0001-01-01. */
static int days_before_year(int year)
{
  int y = year - 1;
  return y * 365 + y / 4 - y / 100 + y / 400;
}

lw_day lw_day_from_civil(lw_civil civil)
{
  int day = days_before_year(civil.year) - days_before_year(1970) + civil.day - 1;
  for (int m = 1; m < civil.month; m++) {
    day += lw_days_in_month(civil.year, m);
  }
  return day;
}

/* The calendar repeats after 400 years: any day, LW_NO_DAY too, is reckoned within 1970-2369. */
lw_civil lw_civil_from_day(lw_day day)
{
  int cycles = day / DAYS_IN_400_YEARS - (day % DAYS_IN_400_YEARS < 0 ? 1 : 0);
  day = (lw_day)(day - (int64_t)cycles * DAYS_IN_400_YEARS);
  lw_civil c = {.year = 1970 + day / 366, .month = 1, .day = 1};
  while (lw_day_from_civil((lw_civil){c.year + 1, 1, 1}) <= day) {
    c.year++;
  }
  int left = day - lw_day_from_civil((lw_civil){c.year, 1, 1});
  while (left >= lw_days_in_month(c.year, c.month)) {
    left -= lw_days_in_month(c.year, c.month);
    c.month++;
  }
  c.day = left + 1;
  c.year += 400 * cycles;
  return c;
}

int lw_day_of_year(lw_day day)
{
  lw_civil c = lw_civil_from_day(day);
  int before = 0;
  for (int m = 1; m < c.month; m++) {
    before += lw_days_in_month(c.year, m);
  }
  return before + c.day;
}

/* Exactly `n` digits at `p`. */
static bool read_digits(const char *p, int n, int *out)
{
  *out = 0;
  for (int i = 0; i < n; i++) {
    if (!isdigit((unsigned char)p[i])) {
      return false;
    }
    *out = *out * 10 + (p[i] - '0');
  }
  return true;
}

static bool read_date(const char *text, lw_civil *c)
{
  return read_digits(text, 4, &c->year) && text[4] == '-' && read_digits(text + 5, 2, &c->month) &&
         text[7] == '-' && read_digits(text + 8, 2, &c->day);
}

static lw_status check_date(lw_day *out, lw_civil c, const char *field, const char *text, lw_error *err)
{
  if (c.year < FIRST_YEAR || c.year > LAST_YEAR) {
    return lw_fail(err, LW_INVALID, "%s: the year in '%.40s' is outside %d-%d", field, text, FIRST_YEAR,
                   LAST_YEAR);
  }
  if (c.day < 1 || c.day > lw_days_in_month(c.year, c.month)) {
    return lw_fail(err, LW_INVALID, "%s: there is no day '%.40s' in the calendar", field, text);
  }
  *out = lw_day_from_civil(c);
  return LW_OK;
}

lw_status lw_date_parse(lw_day *out, const char *field, const char *text, lw_error *err)
{
  lw_civil c;
  if (!read_date(text, &c) || text[10] != '\0') {
    return lw_fail(err, LW_INVALID, "%s: '%.40s' is not a date; write year-month-day, for example 2026-04-15",
                   field, text);
  }
  return check_date(out, c, field, text, err);
}

const char *lw_date_text(lw_day day, char out[LW_DATE_TEXT])
{
  lw_civil c = lw_civil_from_day(day);
  (void)snprintf(out, LW_DATE_TEXT, "%04d-%02d-%02d", c.year, c.month, c.day);
  return out;
}

const char *lw_date_words(lw_day day, bool with_year, char out[LW_DATE_TEXT])
{
  static const char *const months[12] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                         "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
  lw_civil c = lw_civil_from_day(day);
  if (with_year) {
    (void)snprintf(out, LW_DATE_TEXT, "%d %s %04d", c.day, months[c.month - 1], c.year);
  } else {
    (void)snprintf(out, LW_DATE_TEXT, "%d %s", c.day, months[c.month - 1]);
  }
  return out;
}

lw_status lw_clock_parse(int *out_minutes, const char *field, const char *text, lw_error *err)
{
  int hour = 0;
  int minute = 0;
  bool two = read_digits(text, 2, &hour) && text[2] == ':';
  bool one = !two && read_digits(text, 1, &hour) && text[1] == ':';
  const char *rest = text + (two ? 3 : 2);
  if (!(two || one) || !read_digits(rest, 2, &minute) || rest[2] != '\0' || hour > 23 || minute > 59) {
    return lw_fail(err, LW_INVALID,
                   "%s: '%.40s' is not a time of day; write hours and minutes, for example 19:30", field,
                   text);
  }
  *out_minutes = hour * 60 + minute;
  return LW_OK;
}

const char *lw_instant_text(lw_instant instant, char out[LW_INSTANT_TEXT])
{
  int64_t day = instant / MS_PER_DAY;
  int64_t ms = instant % MS_PER_DAY;
  if (ms < 0) {
    ms += MS_PER_DAY;
    day--;
  }
  lw_civil c = lw_civil_from_day((lw_day)day);
  int s = (int)(ms / 1000);
  (void)snprintf(out, LW_INSTANT_TEXT, "%04d-%02d-%02dT%02d:%02d:%02d.%03dZ", c.year % 10000, c.month, c.day,
                 s / 3600, s / 60 % 60, s % 60, (int)(ms % 1000));
  return out;
}

/* ".25" -> milliseconds; moves *p past the digits. A point without digits stays where it is. */
static int read_fraction(const char **p)
{
  int ms = 0;
  if (**p != '.' || !isdigit((unsigned char)(*p)[1])) {
    return 0;
  }
  (*p)++;
  for (int scale = 100; isdigit((unsigned char)**p); (*p)++, scale /= 10) {
    ms += (**p - '0') * scale;
  }
  return ms;
}

static bool read_offset(const char *p, int *minutes)
{
  int h = 0;
  int m = 0;
  *minutes = 0;
  if (strcmp(p, "Z") == 0) {
    return true;
  }
  if ((*p != '+' && *p != '-') || !read_digits(p + 1, 2, &h) || p[3] != ':' || !read_digits(p + 4, 2, &m) ||
      p[6] != '\0' || h > 14 || m > 59) {
    return false;
  }
  *minutes = (*p == '-' ? -1 : 1) * (h * 60 + m);
  return true;
}

lw_status lw_instant_parse(lw_instant *out, const char *field, const char *text, lw_error *err)
{
  lw_civil c;
  int hour = 0;
  int minute = 0;
  int second = 0;
  int offset = 0;
  bool ok = read_date(text, &c) && text[10] == 'T' && read_digits(text + 11, 2, &hour) && text[13] == ':' &&
            read_digits(text + 14, 2, &minute) && text[16] == ':' && read_digits(text + 17, 2, &second) &&
            hour < 24 && minute < 60 && second < 60;
  int ms = 0;
  if (ok) {
    const char *p = text + 19;
    ms = read_fraction(&p);
    ok = read_offset(p, &offset);
  }
  if (!ok) {
    return lw_fail(err, LW_INVALID, "%s: '%.40s' is not an instant; write for example 2026-04-15T10:30:00Z",
                   field, text);
  }
  lw_day day = 0;
  lw_status s = check_date(&day, c, field, text, err);
  if (s == LW_OK) {
    *out =
        (lw_instant)day * MS_PER_DAY + ((lw_instant)(hour * 60 + minute - offset) * 60 + second) * 1000 + ms;
    lw_instant first = (lw_instant)lw_day_from_civil((lw_civil){FIRST_YEAR, 1, 1}) * MS_PER_DAY;
    lw_instant end = (lw_instant)lw_day_from_civil((lw_civil){LAST_YEAR + 1, 1, 1}) * MS_PER_DAY;
    if (*out < first || *out >= end) { /* the offset moved it over the edge */
      return lw_fail(err, LW_INVALID, "%s: '%.40s' is outside %d-%d in UTC", field, text, FIRST_YEAR,
                     LAST_YEAR);
    }
  }
  return s;
}
