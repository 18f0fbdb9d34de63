/* SPDX-License-Identifier: Apache-2.0 */
/* Tables of soundings that are read: headings, units, separators, times, tracks, map grids. */
#include "soundings_check.h"

#include "base/text.h"

#include <stdlib.h>
#include <time.h>

static void reads_a_plain_table(void **in)
{
  lw_fixes got =
      accept_as(in, "run.csv", "longitude,latitude,depth (m)\n-84.1,33.2,1.5\n-84.2,33.3,2\n", NULL);
  assert_int_equal(got.count, 2);
  assert_string_equal(got.format, "CSV");
  check_fix(&got.fixes[0], -84.1, 33.2, 1.5);
  check_fix(&got.fixes[1], -84.2, 33.3, 2);
  assert_int_equal(got.fixes[0].line, 2);
  assert_int_equal(got.fixes[1].line, 3);
  assert_int_equal(got.fixes[0].track, -1);
  assert_true(isnan(got.fixes[0].time_s));
  assert_false(got.has_time);
  assert_int_equal(got.day, LW_NO_DAY);
  assert_false(got.offset_known);
}

static void finds_columns_by_many_names(void **in)
{
  static const char *const headings[] = {
      "lon,lat,depth_ft",           "Long;Lat;Depth (ft)", "LONGITUDE\tLATITUDE\tDepthFeet",
      "lng,lat,Water Depth [feet]", "x,y,z (ft)",          "Point_X,POINT_Y,sounding ft",
  };
  for (size_t i = 0; i < sizeof headings / sizeof *headings; i++) {
    char mark = strchr(headings[i], ';') ? ';' : strchr(headings[i], '\t') ? '\t' : ',';
    const char *text = lw_arena_format(*in, "%s\n-84.1%c33.2%c10\n", headings[i], mark, mark);
    lw_fixes got = accept_as(in, "run.txt", text, NULL);
    assert_int_equal(got.count, 1);
    check_fix(&got.fixes[0], -84.1, 33.2, 3.048);
  }
}

static void the_better_name_wins(void **in)
{
  lw_fixes got = accept_as(in, "a.csv", "x,z (m),depth (m),lat,lon,y\n1,9,3,33,-84,2\n", NULL);
  check_fix(&got.fixes[0], -84, 33, 3);
  lw_soundings_how how = {.depth_field = "z"};
  got = accept_as(in, "a.csv", "x,z (m),depth (m),lat,lon,y\n1,9,3,33,-84,2\n", &how);
  check_fix(&got.fixes[0], -84, 33, 9);
  how = (lw_soundings_how){.depth_field = "Corrected Value", .depth_unit = "ft"};
  got = accept_as(in, "a.csv", "lon,lat,corrected value,depth (m)\n-84,33,10,7\n", &how);
  check_fix(&got.fixes[0], -84, 33, 3.048);
}

static void units_from_the_option(void **in)
{
  lw_soundings_how how = {.depth_unit = "ft"};
  lw_fixes got = accept_as(in, "a.csv", "lon,lat,depth\n-84,33,10\n", &how);
  check_fix(&got.fixes[0], -84, 33, 3.048);
  how.depth_unit = "m";
  got = accept_as(in, "a.csv", "lon,lat,depth\n-84,33,10\n", &how);
  check_fix(&got.fixes[0], -84, 33, 10);
  got = accept_as(in, "a.csv", "lon,lat,depth (metres)\n-84,33,10\n", &how);
  check_fix(&got.fixes[0], -84, 33, 10);
}

static void the_text_may_be_any_usual_one(void **in)
{
  lw_fixes got =
      accept_as(in, "a.csv",
                "\xEF\xBB\xBF# made by hand\r\n\r\nlon,lat,depth (m),note\r\n"
                "\"-84.1\",33.2,1.5,\"ramp, \"\"old\"\"\nsecond line\"\r\n\r\n 84.2W , N33.3 , +2.25 ,\r\n",
                NULL);
  assert_int_equal(got.count, 2);
  check_fix(&got.fixes[0], -84.1, 33.2, 1.5);
  check_fix(&got.fixes[1], -84.2, 33.3, 2.25);
  assert_int_equal(got.fixes[0].line, 4);
  assert_int_equal(got.fixes[1].line, 7);
  got = accept_as(in, "a.csv", "lon;lat;depth (m)\n-84,5;33,25;1,75\n", NULL);
  check_fix(&got.fixes[0], -84.5, 33.25, 1.75);
  got = accept_as(in, "a.csv", "lon,lat,depth (m)\n-84.5,33.25,1.75", NULL); /* no last line end */
  check_fix(&got.fixes[0], -84.5, 33.25, 1.75);
}

static void what_was_not_measured_is_counted(void **in)
{
  lw_fixes got =
      accept_as(in, "a.csv",
                "lon,lat,depth (m),quality\n-84,33,1,1\n-84,33,,1\n,33,2,1\n-84,33,-9999,1\n-84,33,3,0\n"
                "-84,33,n/a,4\n-84,33,0,4\n",
                NULL);
  assert_int_equal(got.count, 2);
  assert_int_equal(got.without_depth, 3);
  assert_int_equal(got.without_position, 2);
  check_fix(&got.fixes[1], -84, 33, 0);
}

static void times_and_days(void **in)
{
  static const char *const cells[] = {
      "2026-04-15T10:30:00Z",         "2026-04-15 10:30:00", "2026-04-15T06:30:00-04:00",
      "2026-04-15T12:30:00.000+0200", "1776249000",          "1776249000000"};
  for (size_t i = 0; i < sizeof cells / sizeof *cells; i++) {
    lw_fixes got =
        accept_as(in, "a.csv", lw_arena_format(*in, "lon,lat,depth (m),time\n-84,33,1,%s\n", cells[i]), NULL);
    assert_close(got.fixes[0].time_s, 1776249000, 1e-6);
    assert_true(got.has_time);
    assert_int_equal(got.day, lw_day_from_civil((lw_civil){2026, 4, 15}));
  }
  lw_fixes got =
      accept_as(in, "a.csv", "date,time,lon,lat,depth (m)\n2026-04-15,10:30:00.5,-84,33,1\n", NULL);
  assert_close(got.fixes[0].time_s, 1776249000.5, 1e-6);
  static const char *const names[] = {"date", "time"};
  for (size_t i = 0; i < 2; i++) {
    got = accept_as(in, "a.csv",
                    lw_arena_format(*in, "%s,lon,lat,depth (m)\n2026-04-15,-84,33,1\n", names[i]), NULL);
    assert_false(got.has_time);
    assert_int_equal(got.day, lw_day_from_civil((lw_civil){2026, 4, 15}));
  }
}

/* Times of day need a day; midnight moves it on. Without one they are left out. */
static void times_of_day(void **in)
{
  const char *text = "time,lon,lat,depth (m)\n23:59:59,-84,33,1\n00:00:01,-84,33,2\n";
  lw_soundings_how how = {.day = lw_day_from_civil((lw_civil){2026, 4, 15})};
  lw_fixes got = accept_as(in, "a.csv", text, &how);
  assert_close(got.fixes[1].time_s - got.fixes[0].time_s, 2, 1e-6);
  assert_int_equal(got.day, how.day);
  got = accept_as(in, "a.csv", text, NULL);
  assert_true(isnan(got.fixes[0].time_s) && isnan(got.fixes[1].time_s));
}

static void tracks(void **in)
{
  lw_fixes got = accept_as(in, "a.csv",
                           "lon,lat,depth (m),line\n-84,33,1,7\n-84,33,1,\n-84,33,1,north\n-84,33,1,south\n"
                           "-84,33,1,north\n",
                           NULL);
  assert_int_equal(got.fixes[0].track, 7);
  assert_int_equal(got.fixes[1].track, -1);
  assert_true(got.fixes[2].track >= 0);
  assert_int_equal(got.fixes[2].track, got.fixes[4].track);
  assert_int_not_equal(got.fixes[2].track, got.fixes[3].track);
}

/* On the central meridian of zone 16 (87 W) the easting is 500,000 m by definition. */
static void map_grids(void **in)
{
  lw_soundings_how how = {.system = "EPSG:32616", .depth_unit = "m"};
  lw_fixes got = accept_as(in, "a.csv", "easting,northing,depth\n500000,3650000,2\n500100,3650000,3\n", &how);
  assert_close(got.fixes[0].longitude, -87, 1e-9);
  assert_true(got.fixes[0].latitude > 32.9 && got.fixes[0].latitude < 33.1);
  assert_true(got.fixes[1].longitude > -86.9990 && got.fixes[1].longitude < -86.9988);
  assert_close(got.fixes[1].depth_m, 3, 0);
}

static void elevations_with_the_surface(void **in)
{
  lw_soundings_how how = {.elevations = true, .surface_elevation_m = 200};
  lw_fixes got = accept_as(in, "a.csv", "lon,lat,elevation (m)\n-84,33,198.5\n-84,33,195\n", &how);
  check_fix(&got.fixes[0], -84, 33, 1.5);
  check_fix(&got.fixes[1], -84, 33, 5);
  assert_true(got.offset_known);
}

/* Rows in a wrong order of time: the order is restored, and their tracks mean nothing any more. */
static void shuffled_rows_are_sorted(void **in)
{
  lw_text text = LW_TEXT(1 << 20);
  lw_text_add(&text, "lon,lat,depth (m),time,track\n");
  for (int i = 0; i < 1000; i++) {
    int k = i * 387 % 1000; /* every number once */
    lw_text_addf(&text, "%.6f,33,2,2026-04-15T10:%02d:%02dZ,3\n", -84 + 1e-5 * k, k / 60, k % 60);
  }
  lw_fixes got = accept_as(in, "a.csv", lw_text_view(&text), NULL);
  lw_text_free(&text);
  assert_int_equal(got.count, 1000);
  for (size_t i = 0; i < 1000; i++) {
    assert_close(got.fixes[i].longitude, -84 + 1e-5 * (double)i, 1e-9);
    assert_int_equal(got.fixes[i].track, -1);
  }
}

/* Two runs one after the other in the file, the later one first: nothing to mend. */
static void order_of_the_file_stays(void **in)
{
  lw_fixes got = accept_as(
      in, "a.csv",
      "lon,lat,depth (m),time,track\n-84,33,1,2026-04-15T12:00:00Z,1\n-84,33,2,2026-04-15T12:00:01Z,1\n"
      "-84,33,3,2026-04-15T12:00:02Z,1\n-84,33,4,2026-04-15T12:00:03Z,1\n"
      "-84,33,5,2026-04-15T12:00:04Z,1\n-84,33,6,2026-04-15T09:00:00Z,2\n"
      "-84,33,7,2026-04-15T09:00:01Z,2\n-84,33,8,2026-04-15T09:00:02Z,2\n"
      "-84,33,9,2026-04-15T09:00:03Z,2\n-84,33,10,2026-04-15T09:00:04Z,2\n",
      NULL);
  for (size_t i = 0; i < got.count; i++) {
    assert_close(got.fixes[i].depth_m, (double)i + 1, 0);
  }
  assert_int_equal(got.fixes[9].track, 2);
}

/* Of this process: other programs on the machine do not count. */
static double seconds(void)
{
  struct timespec t;
  assert_int_equal(clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t), 0);
  return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void a_long_table_is_read_fast(void **in)
{
  enum { ROWS = 300000 };
  lw_text text = LW_TEXT((size_t)64 << 20);
  lw_text_add(&text, "time,lon,lat,depth (ft)\n");
  for (int i = 0; i < ROWS; i++) {
    lw_text_addf(&text, "2026-04-15T%02d:%02d:%02dZ,%.7f,%.7f,%.2f\n", i / 36000, i / 600 % 60, i / 10 % 60,
                 -84 + 1e-7 * i, 33 + 1e-7 * i, 5 + i % 100 * 0.1);
  }
  double began = seconds();
  lw_fixes got = accept_as(in, "a.csv", lw_text_view(&text), NULL);
  double took = seconds() - began;
  lw_text_free(&text);
  assert_int_equal(got.count, ROWS);
  print_message("# %d rows in %.3f s\n", ROWS, took);
  assert_true(took < 10); /* a sanitizer's build too; usually a tenth of a second */
}

int main(void)
{
  const struct CMUnitTest tests[] = {TEST(reads_a_plain_table),
                                     TEST(finds_columns_by_many_names),
                                     TEST(the_better_name_wins),
                                     TEST(units_from_the_option),
                                     TEST(the_text_may_be_any_usual_one),
                                     TEST(what_was_not_measured_is_counted),
                                     TEST(times_and_days),
                                     TEST(times_of_day),
                                     TEST(tracks),
                                     TEST(map_grids),
                                     TEST(elevations_with_the_surface),
                                     TEST(shuffled_rows_are_sorted),
                                     TEST(order_of_the_file_stays),
                                     TEST(a_long_table_is_read_fast)};
  return cmocka_run_group_tests_name("soundings from tables", tests, NULL, NULL);
}
