/* SPDX-License-Identifier: Apache-2.0 */
/* For the tests of outlines: a square of shore, an island in it, and what is accepted or refused. */
#ifndef LW_TESTS_OUTLINE_CHECK_H
#define LW_TESTS_OUTLINE_CHECK_H

#include "check.h"

#include "exchange/outline.h"

#define SQUARE "[[-84,33],[-83.99,33],[-83.99,33.01],[-84,33.01],[-84,33]]"
#define SQUARE_BACKWARDS "[[-84,33],[-84,33.01],[-83.99,33.01],[-83.99,33],[-84,33]]"
#define ISLAND "[[-83.996,33.004],[-83.994,33.004],[-83.994,33.006],[-83.996,33.006],[-83.996,33.004]]"

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

static inline lw_status parse(void **in, lw_outline *out, const char *text, lw_error *err)
{
  *err = (lw_error){0};
  return lw_outline_parse(out, "lake.geojson", text, strlen(text), *in, err);
}

static inline void accept(void **in, lw_outline *out, const char *text)
{
  lw_error err;
  lw_status status = parse(in, out, text, &err);
  if (status != LW_OK) {
    print_error("refused: %s (%ld:%ld)\n", err.message, err.line, err.column);
  }
  assert_int_equal(status, LW_OK);
}

static inline void accept_polygon(void **in, lw_outline *out, const char *rings)
{
  accept(in, out, lw_arena_format(*in, "{\"type\":\"Polygon\",\"coordinates\":[%s]}", rings));
}

/* `line` 0: the fault is not at one place of the text. */
static inline void refuse(void **in, const char *text, long line, long column, const char *piece)
{
  lw_outline out = {0};
  lw_error err;
  assert_int_equal(parse(in, &out, text, &err), LW_INVALID);
  assert_holds(err.message, piece);
  assert_string_equal(err.file, "lake.geojson");
  assert_int_equal(err.line, line);
  assert_int_equal(err.column, column);
  assert_null(out.geojson);
}

/* A ring alone, the ring beginning at column 34 of line 1. */
static inline void refuse_ring(void **in, const char *ring, long column, const char *piece)
{
  refuse(in, lw_arena_format(*in, "{\"type\":\"Polygon\",\"coordinates\":[%s]}", ring), column ? 1 : 0,
         column, piece);
}

#define TEST(name) cmocka_unit_test_setup_teardown(name, begin, end)

#endif
