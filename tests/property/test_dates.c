/* SPDX-License-Identifier: Apache-2.0 */
/* Laws of dates, times of day and instants, on random draws: what is written reads back, an offset moves
 * an instant by itself, and a text that is accepted is the one that would be written. Draws are
 * counter-based: what failed once fails again. */
#include "check.h"

#include "base/dates.h"
#include "base/random.h"
#include "base/text.h"

#include <stdbool.h>

enum { DRAWS = 30000, MS_PER_DAY = 86400000 };

typedef struct source {
  lw_random random;
  uint64_t index;
} source;

static source source_of(uint32_t stream)
{
  return (source){.random = {.seed = 20260415, .stream = 2000 + stream}};
}

/* A whole number of [low, high]. */
static int64_t draw(source *s, int64_t low, int64_t high)
{
  int64_t n = low + (int64_t)((double)(high - low + 1) * lw_random_uniform(&s->random, s->index++));
  return n > high ? high : n;
}

static lw_day draw_day(source *s)
{
  return (lw_day)draw(s, lw_day_from_civil((lw_civil){1900, 1, 1}),
                      lw_day_from_civil((lw_civil){2199, 12, 31}));
}

/* ---- the calendar ---- */

static void steps_keep_the_calendar(void **state)
{
  (void)state;
  source s = source_of(1);
  for (int i = 0; i < DRAWS; i++) {
    lw_day day = draw_day(&s);
    lw_civil c = lw_civil_from_day(day);
    lw_civil next = lw_civil_from_day(day + 1);
    bool last_of_month = c.day == lw_days_in_month(c.year, c.month);
    bool last_of_year = last_of_month && c.month == 12;
    assert_int_equal(next.day, last_of_month ? 1 : c.day + 1);
    assert_int_equal(next.month, last_of_year ? 1 : last_of_month ? c.month + 1 : c.month);
    assert_int_equal(next.year, c.year + last_of_year);
    assert_int_equal(lw_day_of_year(day + 1), last_of_year ? 1 : lw_day_of_year(day) + 1);
    assert_int_equal(lw_day_from_civil((lw_civil){c.year, 1, 1}) + lw_day_of_year(day) - 1, day);
  }
}

/* Texts order as days do. */
static void texts_sort_as_days(void **state)
{
  (void)state;
  source s = source_of(2);
  for (int i = 0; i < DRAWS; i++) {
    lw_day a = draw_day(&s);
    lw_day b = draw_day(&s);
    char text_a[LW_DATE_TEXT];
    char text_b[LW_DATE_TEXT];
    int order = strcmp(lw_date_text(a, text_a), lw_date_text(b, text_b));
    assert_int_equal((order > 0) - (order < 0), (a > b) - (a < b));
  }
}

/* ---- texts ---- */

/* A date with one to three bytes changed is refused, or is the date it says. */
static void accepts_only_what_it_would_write(void **state)
{
  (void)state;
  static const char letters[] = "0123456789-: TZ+.\t\xc3";
  source s = source_of(3);
  size_t accepted = 0;
  for (int i = 0; i < DRAWS; i++) {
    char text[LW_DATE_TEXT];
    char again[LW_DATE_TEXT];
    lw_day day = 0;
    lw_error err = {0};
    (void)lw_date_text(draw_day(&s), text);
    for (int64_t n = draw(&s, 1, 3); n; n--) {
      text[draw(&s, 0, 10)] = letters[draw(&s, 0, sizeof letters - 1)]; /* may end it early, or lengthen it */
      text[11] = '\0';
    }
    if (lw_date_parse(&day, "date", text, &err) == LW_OK) {
      accepted++;
      assert_string_equal(lw_date_text(day, again), text);
    } else {
      assert_int_equal(err.status, LW_INVALID);
      assert_true(lw_text_is_clean(err.message, strlen(err.message)));
    }
  }
  assert_in_range(accepted, DRAWS / 50, DRAWS / 2);
}

static void instants_read_back(void **state)
{
  (void)state;
  source s = source_of(4);
  for (int i = 0; i < DRAWS; i++) {
    lw_instant at = (lw_instant)draw_day(&s) * MS_PER_DAY + draw(&s, 0, MS_PER_DAY - 1);
    lw_instant again = 0;
    char text[LW_INSTANT_TEXT];
    assert_int_equal(lw_instant_parse(&again, "at", lw_instant_text(at, text), NULL), LW_OK);
    assert_true(again == at);
  }
}

/* The same wall clock, an offset of so many minutes east: so many minutes earlier. */
static void an_offset_moves_by_itself(void **state)
{
  (void)state;
  source s = source_of(5);
  for (int i = 0; i < DRAWS; i++) {
    lw_day day = (lw_day)draw(&s, lw_day_from_civil((lw_civil){1900, 1, 2}),
                              lw_day_from_civil((lw_civil){2199, 12, 30}));
    lw_instant at = (lw_instant)day * MS_PER_DAY + draw(&s, 0, 86399) * 1000;
    int offset = (int)draw(&s, -14 * 60, 14 * 60);
    int size = offset < 0 ? -offset : offset;
    char text[64];
    char utc[LW_INSTANT_TEXT];
    lw_instant got = 0;
    (void)lw_instant_text(at, utc); /* of which the first 19 characters go to the seconds */
    (void)snprintf(text, sizeof text, "%.19s%c%02d:%02d", utc, offset < 0 ? '-' : '+', size / 60, size % 60);
    assert_int_equal(lw_instant_parse(&got, "at", text, NULL), LW_OK);
    assert_true(got == at - (lw_instant)offset * 60000);
  }
}

static void random_texts_are_refused_with_a_sentence(void **state)
{
  (void)state;
  static const char *const pieces[] = {"2026", "-04", "-15", "T",    "10", ":30",  ":00",  "Z",     "+05:00",
                                       ".5",   "-",   "0",   "9999", " ",  "\xff", "\x1b", "24:00", "1:05"};
  source s = source_of(6);
  for (int i = 0; i < DRAWS; i++) {
    char text[128] = "";
    lw_day day = 0;
    lw_instant at = 0;
    int minutes = -1;
    lw_error err[3] = {0};
    for (int64_t n = draw(&s, 0, 9); n; n--) {
      (void)strcat(text, pieces[draw(&s, 0, sizeof pieces / sizeof pieces[0] - 1)]);
    }
    lw_status status[3] = {lw_date_parse(&day, "date", text, &err[0]),
                           lw_instant_parse(&at, "at", text, &err[1]),
                           lw_clock_parse(&minutes, "time", text, &err[2])};
    for (int k = 0; k < 3; k++) {
      assert_true(status[k] == LW_OK || (status[k] == LW_INVALID && *err[k].message));
      assert_true(lw_text_is_clean(err[k].message, strlen(err[k].message)));
    }
    assert_true(status[2] != LW_OK || (minutes >= 0 && minutes < 1440));
    assert_false(status[0] == LW_OK && status[1] == LW_OK);
  }
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(steps_keep_the_calendar),
      cmocka_unit_test(texts_sort_as_days),
      cmocka_unit_test(accepts_only_what_it_would_write),
      cmocka_unit_test(instants_read_back),
      cmocka_unit_test(an_offset_moves_by_itself),
      cmocka_unit_test(random_texts_are_refused_with_a_sentence),
  };
  return cmocka_run_group_tests_name("property dates", tests, NULL, NULL);
}
