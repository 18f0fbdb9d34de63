/* SPDX-License-Identifier: Apache-2.0 */
/* The calendar against the C library's, day by day from 1900 to 2199; what is read and what is refused. */
#include "check.h"

#include "base/dates.h"

#include <time.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

enum { SECONDS_PER_DAY = 86400 };

static lw_day first_day(void)
{
  return lw_day_from_civil((lw_civil){1900, 1, 1});
}

static lw_day last_day(void)
{
  return lw_day_from_civil((lw_civil){2199, 12, 31});
}

/* ---- the calendar ---- */

static void check_day(lw_day day)
{
  time_t at = (time_t)day * SECONDS_PER_DAY;
  struct tm tm;
  assert_non_null(gmtime_r(&at, &tm));
  lw_civil c = lw_civil_from_day(day);
  if (c.year != tm.tm_year + 1900 || c.month != tm.tm_mon + 1 || c.day != tm.tm_mday ||
      lw_day_of_year(day) != tm.tm_yday + 1 || lw_day_from_civil(c) != day) {
    print_error("day %d came out as %d-%d-%d\n", day, c.year, c.month, c.day);
    fail();
  }
  struct tm back = {.tm_year = c.year - 1900, .tm_mon = c.month - 1, .tm_mday = c.day};
  assert_int_equal(timegm(&back), at);
  char text[LW_DATE_TEXT];
  char want[32];
  lw_day again = 0;
  (void)strftime(want, sizeof want, "%Y-%m-%d", &tm);
  assert_string_equal(lw_date_text(day, text), want);
  assert_int_equal(lw_date_parse(&again, "date", text, NULL), LW_OK);
  assert_int_equal(again, day);
}

static void agrees_with_the_c_library_on_every_day(void **state)
{
  (void)state;
  assert_int_equal(last_day() - first_day() + 1, 300 * 365 + 73);
  for (lw_day day = first_day(); day <= last_day(); day++) {
    check_day(day);
  }
}

static void knows_leap_years_and_months(void **state)
{
  (void)state;
  static const int leap[] = {1904, 1996, 2000, 2024, 2096, 2104, 2196};
  static const int common[] = {1900, 1999, 2026, 2100, 2101, 2199};
  for (size_t i = 0; i < COUNT(leap); i++) {
    assert_true(lw_is_leap_year(leap[i]));
    assert_int_equal(lw_days_in_month(leap[i], 2), 29);
  }
  for (size_t i = 0; i < COUNT(common); i++) {
    assert_false(lw_is_leap_year(common[i]));
    assert_int_equal(lw_days_in_month(common[i], 2), 28);
  }
  assert_int_equal(lw_days_in_month(2026, 0), 0);
  assert_int_equal(lw_days_in_month(2026, 13), 0);
  assert_int_equal(lw_days_in_month(2026, 4), 30);
  assert_int_equal(lw_days_in_month(2026, 12), 31);
}

/* A day that was never set must show as nonsense, not hang or wrap. */
static void survives_days_outside_its_years(void **state)
{
  (void)state;
  static const lw_day days[] = {LW_NO_DAY, INT32_MIN + 1, INT32_MAX, -146097, -146098, 146097, -1, 0};
  for (size_t i = 0; i < COUNT(days); i++) {
    char text[LW_DATE_TEXT];
    lw_civil c = lw_civil_from_day(days[i]);
    assert_in_range(c.month, 1, 12);
    assert_in_range(c.day, 1, lw_days_in_month(c.year, c.month));
    assert_in_range(lw_day_of_year(days[i]), 1, 366);
    assert_true(strlen(lw_date_text(days[i], text)) < LW_DATE_TEXT);
    assert_true(strlen(lw_date_words(days[i], true, text)) < LW_DATE_TEXT);
  }
  lw_civil year_zero = lw_civil_from_day(-719528); /* 1 January of year 0, 400 years before 400-01-01 */
  assert_int_equal(year_zero.year, 0);
  assert_int_equal(year_zero.month, 1);
  assert_int_equal(year_zero.day, 1);
}

/* ---- dates from and to text ---- */

static void refuses_what_is_no_date(void **state)
{
  (void)state;
  static const struct {
    const char *text, *piece;
  } cases[] = {{"", "not a date"},
               {"2026", "not a date"},
               {"2026-04", "not a date"},
               {"2026-4-15", "not a date"},
               {"26-04-15", "not a date"},
               {"2026-04-15 ", "not a date"},
               {" 2026-04-15", "not a date"},
               {"2026-04-155", "not a date"},
               {"2026/04/15", "not a date"},
               {"15.04.2026", "not a date"},
               {"2026-04-15T10:30:00Z", "not a date"},
               {"20260415", "not a date"},
               {"-2026-04-15", "not a date"},
               {"+026-04-15", "not a date"},
               {"2026-0x-15", "not a date"},
               {"today", "not a date"},
               {"1899-12-31", "outside 1900-2199"},
               {"2200-01-01", "outside 1900-2199"},
               {"0000-01-01", "outside"},
               {"2026-00-15", "no day"},
               {"2026-13-15", "no day"},
               {"2026-04-00", "no day"},
               {"2026-04-31", "no day"},
               {"2026-02-29", "no day"},
               {"1900-02-29", "no day"},
               {"2100-02-29", "no day"},
               {"2026-12-32", "no day"}};
  for (size_t i = 0; i < COUNT(cases); i++) {
    lw_day day = 12345;
    lw_error err = {0};
    assert_int_equal(lw_date_parse(&day, "sample date", cases[i].text, &err), LW_INVALID);
    assert_holds(err.message, cases[i].piece);
    assert_holds(err.message, "sample date");
    assert_holds(err.message, cases[i].text);
    assert_int_equal(day, 12345);
  }
}

static void writes_dates_for_people(void **state)
{
  (void)state;
  static const char *const months[] = {"1 Jan", "1 Feb", "1 Mar", "1 Apr", "1 May", "1 Jun",
                                       "1 Jul", "1 Aug", "1 Sep", "1 Oct", "1 Nov", "1 Dec"};
  char text[LW_DATE_TEXT];
  for (int m = 1; m <= 12; m++) {
    assert_string_equal(lw_date_words(lw_day_from_civil((lw_civil){2026, m, 1}), false, text), months[m - 1]);
  }
  assert_string_equal(lw_date_words(lw_day_from_civil((lw_civil){2026, 9, 30}), true, text), "30 Sep 2026");
}

/* ---- times of day ---- */

static void reads_every_minute_of_the_day(void **state)
{
  (void)state;
  for (int want = 0; want < 1440; want++) {
    char text[16];
    int got = -1;
    (void)snprintf(text, sizeof text, "%02d:%02d", want / 60, want % 60);
    assert_int_equal(lw_clock_parse(&got, "time", text, NULL), LW_OK);
    assert_int_equal(got, want);
    (void)snprintf(text, sizeof text, "%d:%02d", want / 60, want % 60);
    assert_int_equal(lw_clock_parse(&got, "time", text, NULL), LW_OK);
    assert_int_equal(got, want);
  }
}

static void refuses_what_is_no_time_of_day(void **state)
{
  (void)state;
  static const char *const cases[] = {"",       ":",      "7",      "24:00",  "23:60",    "7:5",  "07:5",
                                      "007:05", "19:300", "19:30 ", " 19:30", "19:30:00", "7.30", "-7:30",
                                      "7:30pm", "ab:cd",  "1a:00",  "25:00",  "99:99"};
  for (size_t i = 0; i < COUNT(cases); i++) {
    int got = -1;
    lw_error err = {0};
    assert_int_equal(lw_clock_parse(&got, "dusk", cases[i], &err), LW_INVALID);
    assert_holds(err.message, "dusk");
    assert_int_equal(got, -1);
  }
}

/* ---- instants ---- */

static void reads_instants(void **state)
{
  (void)state;
  static const struct {
    const char *text, *utc;
  } cases[] = {{"2026-04-15T10:30:00Z", "2026-04-15T10:30:00.000Z"},
               {"2026-04-15T10:30:00.5Z", "2026-04-15T10:30:00.500Z"},
               {"2026-04-15T10:30:00.007Z", "2026-04-15T10:30:00.007Z"},
               {"2026-04-15T10:30:00.123999999999999Z", "2026-04-15T10:30:00.123Z"},
               {"2026-04-15T10:30:00+05:30", "2026-04-15T05:00:00.000Z"},
               {"2026-04-15T10:30:00-05:00", "2026-04-15T15:30:00.000Z"},
               {"2026-04-15T22:30:00.25-05:00", "2026-04-16T03:30:00.250Z"},
               {"2026-01-01T00:30:00+01:00", "2025-12-31T23:30:00.000Z"},
               {"2024-02-28T23:59:59-00:01", "2024-02-29T00:00:59.000Z"},
               {"1969-12-31T23:59:59.999Z", "1969-12-31T23:59:59.999Z"},
               {"1900-01-01T00:00:00Z", "1900-01-01T00:00:00.000Z"},
               {"2199-12-31T23:59:59.999Z", "2199-12-31T23:59:59.999Z"},
               {"2026-04-15T10:30:00+14:00", "2026-04-14T20:30:00.000Z"}};
  for (size_t i = 0; i < COUNT(cases); i++) {
    lw_instant at = 0;
    char text[LW_INSTANT_TEXT];
    assert_int_equal(lw_instant_parse(&at, "at", cases[i].text, NULL), LW_OK);
    assert_string_equal(lw_instant_text(at, text), cases[i].utc);
  }
  lw_instant epoch = -1;
  assert_int_equal(lw_instant_parse(&epoch, "at", "1970-01-01T00:00:00Z", NULL), LW_OK);
  assert_true(epoch == 0);
}

static void refuses_what_is_no_instant(void **state)
{
  (void)state;
  static const char *const cases[] = {"",
                                      "2026-04-15",
                                      "2026-04-15T10:30Z",
                                      "2026-04-15T10:30:00",
                                      "2026-04-15 10:30:00Z",
                                      "2026-04-15t10:30:00Z",
                                      "2026-04-15T10:30:00z",
                                      "2026-04-15T24:00:00Z",
                                      "2026-04-15T10:60:00Z",
                                      "2026-04-15T10:30:60Z",
                                      "2026-04-15T10:30:00.Z",
                                      "2026-04-15T10:30:00,5Z",
                                      "2026-04-15T10:30:00.5",
                                      "2026-04-15T10:30:00Z ",
                                      "2026-04-15T10:30:00+5:30",
                                      "2026-04-15T10:30:00+0530",
                                      "2026-04-15T10:30:00+05",
                                      "2026-04-15T10:30:00+15:00",
                                      "2026-04-15T10:30:00+05:60",
                                      "2026-04-15T10:30:00+05:300",
                                      "2026-02-30T10:30:00Z",
                                      "2026-13-01T10:30:00Z",
                                      "1899-12-31T23:59:59Z",
                                      "2200-01-01T00:00:00Z",
                                      "1900-01-01T00:00:00+00:01",
                                      "2199-12-31T23:59:00-00:01",
                                      "2026-04-1510:30:00Z"};
  for (size_t i = 0; i < COUNT(cases); i++) {
    lw_instant at = 0;
    lw_error err = {0};
    if (lw_instant_parse(&at, "at", cases[i], &err) != LW_INVALID) {
      print_error("'%s' was accepted\n", cases[i]);
      fail();
    }
    assert_holds(err.message, cases[i]);
  }
}

/* Against the C library, at odd moments of every 37th day. */
static void writes_instants_as_the_c_library_does(void **state)
{
  (void)state;
  for (lw_day day = first_day(); day <= last_day(); day += 37) {
    int ms_of_day = (int)(((int64_t)day + 100000) * 7919 % 86400 * 1000 + (day + 100000) % 1000);
    lw_instant at = (lw_instant)day * 86400000 + ms_of_day;
    time_t seconds = (time_t)day * SECONDS_PER_DAY + ms_of_day / 1000;
    struct tm tm;
    char want[40];
    char got[LW_INSTANT_TEXT];
    lw_instant again = 0;
    assert_non_null(gmtime_r(&seconds, &tm));
    size_t n = strftime(want, sizeof want, "%Y-%m-%dT%H:%M:%S", &tm);
    (void)snprintf(want + n, sizeof want - n, ".%03dZ", ms_of_day % 1000);
    assert_string_equal(lw_instant_text(at, got), want);
    assert_int_equal(lw_instant_parse(&again, "at", got, NULL), LW_OK);
    assert_true(again == at);
  }
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(agrees_with_the_c_library_on_every_day),
      cmocka_unit_test(knows_leap_years_and_months),
      cmocka_unit_test(survives_days_outside_its_years),
      cmocka_unit_test(refuses_what_is_no_date),
      cmocka_unit_test(writes_dates_for_people),
      cmocka_unit_test(reads_every_minute_of_the_day),
      cmocka_unit_test(refuses_what_is_no_time_of_day),
      cmocka_unit_test(reads_instants),
      cmocka_unit_test(refuses_what_is_no_instant),
      cmocka_unit_test(writes_instants_as_the_c_library_does),
  };
  return cmocka_run_group_tests_name("base dates", tests, NULL, NULL);
}
