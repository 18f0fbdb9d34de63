/* SPDX-License-Identifier: Apache-2.0 */
/* Sets of numbers: read in any order, kept in one, joined and taken apart. */
#include "check.h"

#include "base/random.h"
#include "work/numbers.h"

#include <stdbool.h>
#include <stdlib.h>

static lw_numbers parse(const char *text, size_t most, lw_arena *arena)
{
  lw_numbers out;
  lw_error err = {0};
  if (lw_numbers_parse(&out, "numbers", text, most, arena, &err) != LW_OK) {
    fail_msg("'%s': %s", text, err.message);
  }
  return out;
}

static const char *tell(const lw_numbers *numbers, lw_arena *arena)
{
  const char *text = NULL;
  lw_error err = {0};
  assert_int_equal(lw_numbers_text(&text, numbers, arena, &err), LW_OK);
  return text;
}

static void numbers_are_put_in_order(void **state)
{
  static const char *const rows[][2] = {{"", ""},
                                        {" , ,", ""},
                                        {"3", "3"},
                                        {"20,17-19,3", "3,17-20"},
                                        {"5 4\t3\n2", "2-5"},
                                        {"1-4,2-9,11", "1-9,11"},
                                        {"7,7,7", "7"},
                                        {"007", "7"},
                                        {"1-1", "1"},
                                        {"100,1-99", "1-100"}};
  lw_arena *arena = lw_arena_new(0);
  (void)state;
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    const lw_numbers numbers = parse(rows[i][0], 100, arena);
    assert_string_equal(tell(&numbers, arena), rows[i][1]);
  }
  const lw_numbers all = parse("3,17-20", 100, arena);
  assert_int_equal(lw_numbers_size(&all), 5);
  lw_arena_free(arena);
}

static void what_is_no_number_is_refused(void **state)
{
  static const char *const rows[][2] = {{"0", "'0' is no number"},
                                        {"1,x,3", "'x' is no number"},
                                        {"-3", "'-3' is no number"},
                                        {"3-", "'3-' is no number"},
                                        {"9-3", "'9-3' is no number"},
                                        {"1-2-3", "'1-2-3' is no number"},
                                        {"1.5", "'1.5' is no number"},
                                        {"1;2", "'1;2' is no number"},
                                        {"101", "there is no sounding 101; the survey has 100"},
                                        {"7-101", "there is no sounding 101"},
                                        {"9999999999999999999999", "is no number"}};
  lw_arena *arena = lw_arena_new(0);
  (void)state;
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    lw_numbers out;
    lw_error err = {0};
    assert_int_equal(lw_numbers_parse(&out, "numbers", rows[i][0], 100, arena, &err), LW_INVALID);
    assert_holds(err.message, rows[i][1]);
  }
  lw_arena_free(arena);
}

static void too_many_pieces_are_refused(void **state)
{
  lw_arena *arena = lw_arena_new(0);
  size_t length = (size_t)2 * (LW_NUMBERS_RANGES + 1);
  char *text = lw_arena_alloc(arena, length + 1, 1);
  lw_numbers out;
  lw_error err = {0};
  (void)state;
  for (size_t i = 0; i < length; i += 2) {
    memcpy(text + i, "1,", 2);
  }
  assert_int_equal(lw_numbers_parse(&out, "numbers", text, 9, arena, &err), LW_LIMIT);
  lw_arena_free(arena);
}

/* Against plain flags, on drawn sets. */
enum { MOST = 60, DRAWS = 500 };

static void draw(bool flags[MOST + 1], char *text, size_t size, const lw_random *random, uint64_t *draws)
{
  size_t used = 0;
  memset(flags, 0, MOST + 1);
  text[0] = '\0';
  for (int i = 0; i < 6; i++) {
    int first = 1 + (int)(lw_random_uniform(random, (*draws)++) * MOST);
    int last = first + (int)(lw_random_uniform(random, (*draws)++) * 9);
    last = last > MOST ? MOST : last;
    used += (size_t)snprintf(text + used, size - used, "%d-%d,", first, last);
    for (int n = first; n <= last; n++) {
      flags[n] = true;
    }
  }
}

static void assert_flags(const lw_numbers *numbers, const bool flags[MOST + 1])
{
  bool got[MOST + 1] = {false};
  size_t size = 0;
  for (size_t i = 0; i < numbers->count; i++) {
    assert_true(numbers->ranges[i].first <= numbers->ranges[i].last);
    assert_true(i == 0 || numbers->ranges[i].first > numbers->ranges[i - 1].last + 1);
    for (size_t n = numbers->ranges[i].first; n <= numbers->ranges[i].last; n++) {
      got[n] = true;
    }
  }
  for (int n = 0; n <= MOST; n++) {
    assert_int_equal(got[n], flags[n]);
    size += flags[n];
  }
  assert_int_equal(lw_numbers_size(numbers), size);
}

static void sets_are_joined_and_taken_apart(void **state)
{
  lw_arena *arena = lw_arena_new(0);
  const lw_random random = {.seed = 20260415, .stream = 1};
  uint64_t draws = 0;
  (void)state;
  for (int i = 0; i < DRAWS; i++) {
    bool flags[2][MOST + 1];
    bool joined[MOST + 1];
    bool rest[MOST + 1];
    char text[2][200];
    draw(flags[0], text[0], sizeof text[0], &random, &draws);
    draw(flags[1], text[1], sizeof text[1], &random, &draws);
    for (int n = 0; n <= MOST; n++) {
      joined[n] = flags[0][n] || flags[1][n];
      rest[n] = flags[0][n] && !flags[1][n];
    }
    lw_error err = {0};
    lw_numbers a = parse(text[0], MOST, arena);
    const lw_numbers b = parse(text[1], MOST, arena);
    lw_numbers both;
    assert_flags(&a, flags[0]);
    assert_int_equal(lw_numbers_join(&both, &a, &b, arena, &err), LW_OK);
    assert_flags(&both, joined);
    assert_int_equal(lw_numbers_without(&a, &a, &b, arena, &err), LW_OK); /* into itself */
    assert_flags(&a, rest);
    const lw_numbers again = parse(tell(&both, arena), MOST, arena);
    assert_flags(&again, joined);
  }
  lw_arena_free(arena);
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(numbers_are_put_in_order),
      cmocka_unit_test(what_is_no_number_is_refused),
      cmocka_unit_test(too_many_pieces_are_refused),
      cmocka_unit_test(sets_are_joined_and_taken_apart),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
