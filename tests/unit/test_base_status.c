/* SPDX-License-Identifier: Apache-2.0 */
/* Statuses, their ids and exit codes, and messages that can be shown anywhere. */
#include "check.h"

#include "base/status.h"
#include "base/text.h"

static void has_an_id_and_an_exit_code(void **state)
{
  (void)state;
  static const struct {
    lw_status status;
    const char *id;
    int exit_code;
  } rows[] = {{LW_OK, "ok", 0},
              {LW_INVALID, "invalid", 2},
              {LW_NOT_FOUND, "not-found", 2},
              {LW_CONFLICT, "conflict", 2},
              {LW_LIMIT, "limit", 2},
              {LW_CORRUPT, "corrupt", 2},
              {LW_IO, "io", 1},
              {LW_BUSY, "busy", 1},
              {LW_MEMORY, "memory", 1},
              {LW_INTERNAL, "internal", 1}};
  assert_int_equal(sizeof rows / sizeof rows[0], LW_STATUS_COUNT);
  for (size_t i = 0; i < LW_STATUS_COUNT; i++) {
    assert_int_equal(rows[i].status, i);
    assert_string_equal(lw_status_id(rows[i].status), rows[i].id);
    assert_int_equal(lw_status_exit_code(rows[i].status), rows[i].exit_code);
  }
  assert_string_equal(lw_status_id(LW_STATUS_COUNT), "internal");
  assert_int_equal(lw_status_exit_code((lw_status)-1), 1);
}

static void records_a_fault(void **state)
{
  (void)state;
  lw_error err = {0};
  assert_int_equal(lw_fail(&err, LW_LIMIT, "%s holds at most %d", "area", 3), LW_LIMIT);
  assert_int_equal(err.status, LW_LIMIT);
  assert_string_equal(err.message, "area holds at most 3");
  assert_int_equal(err.line, 0);
  assert_int_equal(lw_fail(NULL, LW_IO, "nobody %s", "listens"), LW_IO);
}

static void records_the_place_in_a_file(void **state)
{
  (void)state;
  lw_error err = {0};
  assert_int_equal(lw_fail_at(&err, LW_INVALID, "readings.csv", 12, 4, "not a date"), LW_INVALID);
  assert_string_equal(err.file, "readings.csv");
  assert_int_equal(err.line, 12);
  assert_int_equal(err.column, 4);
  assert_int_equal(lw_fail_at(&err, LW_INVALID, NULL, 13, 1, "again"), LW_INVALID);
  assert_string_equal(err.file, "readings.csv");
  assert_int_equal(err.line, 13);
  assert_int_equal(lw_fail_at(NULL, LW_CORRUPT, "x", 1, 1, "nobody"), LW_CORRUPT);
}

static void puts_a_prefix_before_the_message(void **state)
{
  (void)state;
  lw_error err = {0};
  lw_error_prefix(&err, "nothing to %s", "mark");
  assert_string_equal(err.message, "");
  lw_error_prefix(NULL, "nobody");
  (void)lw_fail_at(&err, LW_INVALID, "f.csv", 2, 3, "50%% is too much");
  lw_error_prefix(&err, "row %d, %s", 7, "100%");
  assert_string_equal(err.message, "row 7, 100%: 50% is too much");
  assert_int_equal(err.status, LW_INVALID);
  assert_int_equal(err.line, 2);
}

/* Whatever was typed, and wherever it was cut: the message is text, and as long as it can be. */
static void cuts_between_characters(void **state)
{
  (void)state;
  static const char *const letters[] = {"a", "\xc3\xa9", "\xe2\x82\xac", "\xf0\x9f\x90\x9f"};
  for (size_t width = 1; width <= 4; width++) {
    for (size_t lead = 0; lead < 4; lead++) {
      lw_text text = LW_TEXT(4096);
      lw_text_add_n(&text, "xxx", lead);
      for (int i = 0; i < 700; i++) {
        lw_text_add(&text, letters[width - 1]);
      }
      lw_error err = {0};
      (void)lw_fail_at(&err, LW_INVALID, lw_text_view(&text), 1, 1, "%s", lw_text_view(&text));
      assert_true(lw_text_is_clean(err.message, strlen(err.message)));
      assert_in_range(strlen(err.message), LW_MESSAGE_MAX - 4, LW_MESSAGE_MAX - 1);
      assert_true(lw_text_is_clean(err.file, strlen(err.file)));
      assert_in_range(strlen(err.file), LW_PATH_MAX - 4, LW_PATH_MAX - 1);
      lw_error_prefix(&err, "%s", lw_text_view(&text)); /* a prefix that leaves no room at all */
      assert_true(lw_text_is_clean(err.message, strlen(err.message)));
      lw_text_free(&text);
    }
  }
}

static void shows_no_controls_and_no_broken_characters(void **state)
{
  (void)state;
  static const struct {
    const char *typed, *shown;
  } cases[] = {{"a\x1b[2Jb", "a?[2Jb"},
               {"a\nb\tc\r", "a?b?c?"},
               {"\x7f", "?"},
               {"\xff\xfe", "??"},
               {"\xc3(", "?("},
               {"\xe2\x82", "??"},
               {"\xc2\x9b"
                "2J",
                "?2J"},
               {"caf\xc3\xa9 \xe2\x80\x94", "caf\xc3\xa9 \xe2\x80\x94"}};
  for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
    lw_error err = {0};
    (void)lw_fail(&err, LW_INVALID, "%s", cases[i].typed);
    assert_string_equal(err.message, cases[i].shown);
  }
  lw_error err = {0}; /* cut by a precision in the middle of the sentence */
  (void)lw_fail(&err, LW_INVALID, "'%.2s' is odd", "a\xc3\xa9");
  assert_string_equal(err.message, "'a?' is odd");
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(has_an_id_and_an_exit_code),
      cmocka_unit_test(records_a_fault),
      cmocka_unit_test(records_the_place_in_a_file),
      cmocka_unit_test(puts_a_prefix_before_the_message),
      cmocka_unit_test(cuts_between_characters),
      cmocka_unit_test(shows_no_controls_and_no_broken_characters),
  };
  return cmocka_run_group_tests_name("base status", tests, NULL, NULL);
}
