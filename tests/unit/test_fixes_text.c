/* SPDX-License-Identifier: Apache-2.0 */
/* The text under which soundings are kept: the same numbers come back, the same bytes too, and nothing else
 * is taken for it. */
#include "soundings_check.h"

#include <stdlib.h>
#include <time.h>

#define HEADING "longitude,latitude,depth (m),time,track\n"

static void writes_what_is_expected(void **in)
{
  const lw_fix fixes[] = {
      {.longitude = -84.123456785,
       .latitude = 33.2,
       .time_s = NAN,
       .depth_m = 2.3456,
       .track = -1,
       .line = 7},
      {.longitude = 180, .latitude = -0.000000001, .time_s = 1776249000.5, .depth_m = -0.25, .track = 12}};
  char *text = NULL;
  size_t length = 0;
  lw_error err = {0};
  assert_int_equal(lw_fixes_write(&text, &length, fixes, 2, *in, &err), LW_OK);
  assert_string_equal(text, HEADING "-84.12345679,33.20000000,2.346,,\n"
                                    "180.00000000,0.00000000,-0.250,1776249000.500,12\n");
  assert_int_equal(length, strlen(text));
  assert_int_equal(lw_fixes_write(&text, &length, NULL, 0, *in, &err), LW_OK);
  assert_string_equal(text, HEADING);
}

static double next_random(uint64_t *state)
{
  *state = *state * 6364136223846793005u + 1442695040888963407u;
  return (double)(*state >> 11) / 9007199254740992.0;
}

static lw_fix *random_fixes(void **in, size_t count)
{
  lw_fix *fixes = LW_NEW(*in, lw_fix, count);
  uint64_t state = 1;
  for (size_t i = 0; i < count; i++) {
    fixes[i] = (lw_fix){.longitude = round((next_random(&state) * 360 - 180) * 1e8) / 1e8,
                        .latitude = round((next_random(&state) * 180 - 90) * 1e8) / 1e8,
                        .depth_m = round(next_random(&state) * 1e5) / 1e3,
                        .time_s = i % 3 ? round((1.7e9 + next_random(&state) * 1e6) * 1e3) / 1e3 : NAN,
                        .track = i % 5 ? (int32_t)(i / 100) : -1};
  }
  return fixes;
}

static bool same(double a, double b)
{
  return a == b || (isnan(a) && isnan(b));
}

static void the_same_numbers_come_back(void **in)
{
  enum { COUNT = 20000 };
  lw_fix *fixes = random_fixes(in, COUNT);
  char *text = NULL;
  char *again = NULL;
  size_t length = 0;
  size_t again_length = 0;
  lw_fix *back = NULL;
  size_t count = 0;
  lw_error err = {0};
  assert_int_equal(lw_fixes_write(&text, &length, fixes, COUNT, *in, &err), LW_OK);
  assert_int_equal(lw_fixes_parse(&back, &count, text, length, *in, &err), LW_OK);
  assert_int_equal(count, COUNT);
  for (size_t i = 0; i < count; i++) {
    assert_true(back[i].longitude == fixes[i].longitude && back[i].latitude == fixes[i].latitude);
    assert_true(back[i].depth_m == fixes[i].depth_m && same(back[i].time_s, fixes[i].time_s));
    assert_int_equal(back[i].track, fixes[i].track);
  }
  assert_int_equal(lw_fixes_write(&again, &again_length, back, count, *in, &err), LW_OK);
  assert_int_equal(again_length, length);
  assert_memory_equal(again, text, length);
}

static void refuse(void **in, const char *text, long line, long column, const char *piece)
{
  lw_fix *fixes = NULL;
  size_t count = 0;
  lw_error err = {0};
  assert_int_equal(lw_fixes_parse(&fixes, &count, text, strlen(text), *in, &err), LW_CORRUPT);
  assert_holds(err.message, piece);
  assert_int_equal(err.line, line);
  assert_int_equal(err.column, column);
  assert_null(fixes);
}

static void refuses_anything_else(void **in)
{
  refuse(in, "", 1, 1, "its first line should be longitude,latitude");
  refuse(in, "longitude,latitude,depth (ft),time,track\n", 1, 1, "its first line");
  refuse(in, HEADING "1.00000000,2.00000000,3.000,,", 2, 30, "cut short");
  refuse(in, HEADING "1.00000000,2.00000000,3.000,\n", 2, 29, "5 cells");
  refuse(in, HEADING "1.00000000,2.00000000,3.000,,,\n", 2, 30, "5 cells");
  refuse(in, HEADING "1.00000000,2.00000000,3.000,,\r\n", 2, 30, "the track");
  refuse(in, HEADING "1.0,2.00000000,3.000,,\n", 2, 1,
         "the longitude '1.0' should be a number with 8 decimals");
  refuse(in, HEADING "01.00000000,2.00000000,3.000,,\n", 2, 1, "the longitude");
  refuse(in, HEADING "+1.00000000,2.00000000,3.000,,\n", 2, 1, "the longitude");
  refuse(in, HEADING "-0.00000000,2.00000000,3.000,,\n", 2, 1, "the longitude");
  refuse(in, HEADING ",2.00000000,3.000,,\n", 2, 1, "the longitude ''");
  refuse(in, HEADING "1.00000000,90.00000001,3.000,,\n", 2, 12, "the latitude");
  refuse(in, HEADING "1.00000000,2.00000000,nan,,\n", 2, 23, "the depth (m) 'nan'");
  refuse(in, HEADING "1.00000000,2.00000000,12000.001,,\n", 2, 23, "within 12000");
  refuse(in, HEADING "1.00000000,2.00000000,3.000,1e9,\n", 2, 29, "the time");
  refuse(in, HEADING "1.00000000,2.00000000,3.000,,-1\n", 2, 30, "the track");
  refuse(in, HEADING "1.00000000,2.00000000,3.000,,1\n\n", 3, 1, "5 cells");
}

static void will_not_write_what_is_none(void **in)
{
  static const lw_fix bad[] = {{.longitude = NAN, .time_s = NAN},
                               {.latitude = 91, .time_s = NAN},
                               {.depth_m = NAN, .time_s = NAN},
                               {.depth_m = 1e6, .time_s = NAN},
                               {.time_s = INFINITY},
                               {.time_s = 1e12}};
  for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
    char *text = NULL;
    size_t length = 0;
    lw_error err = {0};
    assert_int_equal(lw_fixes_write(&text, &length, &bad[i], 1, *in, &err), LW_INVALID);
    assert_holds(err.message, "of sounding 1 is");
    assert_null(text);
  }
}

/* Of this process: other programs on the machine do not count. */
static double seconds(void)
{
  struct timespec t;
  assert_int_equal(clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t), 0);
  return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void a_million_in_a_second(void **in)
{
  enum { COUNT = 1000000 };
  lw_fix *fixes = random_fixes(in, COUNT);
  char *text = NULL;
  size_t length = 0;
  lw_fix *back = NULL;
  size_t count = 0;
  lw_error err = {0};
  double began = seconds();
  assert_int_equal(lw_fixes_write(&text, &length, fixes, COUNT, *in, &err), LW_OK);
  double written = seconds();
  assert_int_equal(lw_fixes_parse(&back, &count, text, length, *in, &err), LW_OK);
  double parsed = seconds();
  print_message("# 1,000,000 soundings: written in %.3f s, parsed in %.3f s, %zu bytes\n", written - began,
                parsed - written, length);
  assert_int_equal(count, COUNT);
  assert_true(written - began < 10 && parsed - written < 10); /* a sanitizer's build too */
}

int main(void)
{
  const struct CMUnitTest tests[] = {TEST(writes_what_is_expected), TEST(the_same_numbers_come_back),
                                     TEST(refuses_anything_else), TEST(will_not_write_what_is_none),
                                     TEST(a_million_in_a_second)};
  return cmocka_run_group_tests_name("text of soundings", tests, NULL, NULL);
}
