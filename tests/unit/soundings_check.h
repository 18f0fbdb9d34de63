/* SPDX-License-Identifier: Apache-2.0 */
/* For the tests of soundings: reading a text of any format from memory, and expecting one sounding. */
#ifndef LW_TESTS_SOUNDINGS_CHECK_H
#define LW_TESTS_SOUNDINGS_CHECK_H

#include "check.h"

#include "exchange/soundings.h"

static inline int begin(void **out)
{
  *out = lw_arena_new(0);
  return *out ? 0 : -1;
}

static inline int end(void **in)
{
  lw_arena_free(*in);
  return 0;
}

static inline lw_status parse_as(void **in, lw_fixes *out, const char *name, const char *text,
                                 const lw_soundings_how *how, lw_error *err)
{
  *err = (lw_error){0};
  *out = (lw_fixes){0};
  return lw_soundings_parse(out, name, text, strlen(text), how, *in, err);
}

static inline lw_fixes accept_as(void **in, const char *name, const char *text, const lw_soundings_how *how)
{
  lw_error err;
  lw_fixes out;
  lw_status status = parse_as(in, &out, name, text, how, &err);
  if (status != LW_OK) {
    print_error("refused: %s (%ld:%ld)\n", err.message, err.line, err.column);
  }
  assert_int_equal(status, LW_OK);
  return out;
}

/* Every refusal names the file; line and column 0 where it is about the whole. */
static inline void refuse_as(void **in, const char *name, const char *text, const lw_soundings_how *how,
                             long line, long column, const char *piece)
{
  lw_error err;
  lw_fixes out;
  assert_int_equal(parse_as(in, &out, name, text, how, &err), LW_INVALID);
  assert_holds(err.message, piece);
  assert_string_equal(err.file, name);
  if (err.line != line || err.column != column) {
    print_error("%s\n", err.message);
  }
  assert_int_equal(err.line, line);
  assert_int_equal(err.column, column);
  assert_null(out.fixes);
}

static inline void check_fix(const lw_fix *fix, double longitude, double latitude, double depth_m)
{
  assert_close(fix->longitude, longitude, 1e-9);
  assert_close(fix->latitude, latitude, 1e-9);
  assert_close(fix->depth_m, depth_m, 1e-9);
}

#define TEST(name) cmocka_unit_test_setup_teardown(name, begin, end)

#endif
