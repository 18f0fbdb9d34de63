/* SPDX-License-Identifier: Apache-2.0 */
/* Files of soundings that are refused, each with its likely cause: cut short, shuffled, in feet, swapped,
 * NaN, from another zone, empty, elevations, without a depth, binary, with a lost sign. */
#include "soundings_check.h"

#include "base/text.h"
#include "exchange/files.h"

#include <stdlib.h>
#include <unistd.h>

/* A water about (-84.1, 33.2), 900 m by 1.1 km and 4.5 m deep. */
static const lw_soundings_how lake = {
    .west = -84.105, .south = 33.195, .east = -84.095, .north = 33.205, .deepest_likely_m = 4.5};

static void refuse_csv(void **in, const char *text, const lw_soundings_how *how, long line, long column,
                       const char *piece)
{
  refuse_as(in, "run.csv", text, how, line, column, piece);
}

/* 200 soundings of a bowl inside the lake's box, after (longitude, latitude, depth in m) changed as told. */
typedef struct change {
  double scale_depth, add_depth;
  double scale_x, add_x, scale_y, add_y;
  bool swap;
} change;

static const change nothing = {1, 0, 1, 0, 1, 0, false};

static const char *table(void **in, const char *heading, change c)
{
  lw_text text = LW_TEXT(1 << 20);
  lw_text_addf(&text, "%s\n", heading);
  for (int i = 0; i < 200; i++) {
    double x = -84.104 + 0.008 * (i % 20) / 19;
    double y = 33.196 + 0.008 * (i / 20) / 9;
    double depth = 4 * (1 - hypot((x + 84.1) / 0.0058, (y - 33.2) / 0.0058));
    x = c.scale_x * x + c.add_x;
    y = c.scale_y * y + c.add_y;
    lw_text_addf(&text, "%.7f,%.7f,%.2f\n", c.swap ? y : x, c.swap ? x : y,
                 c.scale_depth * depth + c.add_depth);
  }
  const char *kept = lw_arena_copy(*in, lw_text_view(&text));
  lw_text_free(&text);
  return kept;
}

static void the_good_table_is_read(void **in)
{
  lw_fixes got = accept_as(in, "run.csv", table(in, "lon,lat,depth (m)", nothing), &lake);
  assert_int_equal(got.count, 200);
}

/* --- empty, binary --- */

static void empty_files(void **in)
{
  static const char *const names[] = {"a.csv", "a.nmea", "a.gpx", "a.geojson", "a"};
  for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
    refuse_as(in, names[i], "", NULL, 0, 0, "the file is empty");
    refuse_as(in, names[i], " \r\n\t\n", NULL, 0, 0, "the file is empty");
    refuse_as(in, names[i], "\xEF\xBB\xBF", NULL, 0, 0, "the file is empty");
  }
  refuse_csv(in, "lon,lat,depth (m)\n", NULL, 0, 0, "nothing follows its heading");
  refuse_csv(in, "lon,lat,depth (m)\n-84,33,\n,33,4\n", NULL, 0, 0,
             "1 records have no depth and 1 have no position");
  refuse_csv(in, "# only a remark\n", NULL, 0, 0, "the file is empty");
}

static void refuse_bytes(void **in, const char *bytes, size_t length, const char *piece)
{
  lw_fixes out = {0};
  lw_error err = {0};
  assert_int_equal(lw_soundings_parse(&out, "run.dat", bytes, length, NULL, *in, &err), LW_INVALID);
  assert_holds(err.message, piece);
}

static void binary_files(void **in)
{
  static const char recorder[] = "SONAR\0\1\2\3\0\0";
  static const char zip[] = "PK\003\004\0\0\0";
  static const char database[] = "SQLite format 3\0\1";
  static const char wide[] = "\xFF\xFEl\0o\0n\0";
  refuse_bytes(in, recorder, sizeof recorder, "a recorder's own binary format");
  refuse_bytes(in, zip, sizeof zip, "a zip archive or a spreadsheet");
  refuse_bytes(in, database, sizeof database, "a database");
  refuse_bytes(in, wide, sizeof wide - 1, "UTF-16");
}

/* Whatever their ending. Bytes of a generator, none of them zero; and a log with one damaged byte is a log.
 */
static void noise_and_web_pages(void **in)
{
  static const char *const pages[] = {"<!DOCTYPE html>\n<html><body>Sign in</body></html>\n",
                                      "\xEF\xBB\xBF\n <HTML lang=\"en\"><p>unclosed", "<table><tr><td>1\n"};
  char noise[600];
  unsigned state = 1;
  for (size_t i = 0; i < sizeof noise; i++) {
    state = state * 1103515245u + 12345u;
    noise[i] = (char)(1 + (state >> 16) % 255);
  }
  refuse_bytes(in, noise, sizeof noise, "this is no text");
  for (size_t i = 0; i < sizeof pages / sizeof *pages; i++) {
    refuse_as(in, "run.csv", pages[i], NULL, 0, 0, "this is a web page");
    refuse_as(in, "run.gpx", pages[i], NULL, 0, 0, "this is a web page");
  }
}

/* --- truncated --- */

static void cut_short(void **in)
{
  refuse_csv(in, "lon,lat,depth (m)\n-84.1,33.2,1.5\n-84.1,33.", NULL, 3, 1, "cut short");
  refuse_csv(in, "lon,lat,depth (m)\n-84.1,33.2,1.5\n-84.1", NULL, 3, 1, "cut short");
  refuse_csv(in, "lon,lat,depth (m),note\n-84.1,33.2,1.5,\"rocks", NULL, 2, 16, "never closed");
  /* in the middle of the last number: all others have two decimals */
  refuse_csv(in, "lon,lat,depth (m)\n-84,33,1.51\n-84,33,1.52\n-84,33,1.53\n-84,33,1.5", NULL, 5, 1,
             "cut short");
  refuse_csv(in, "lon,lat,depth (m)\n-84,33,1.51\n-84,33,1.52\n-84,33,1.53\n-84,33,", NULL, 5, 1,
             "cut short");
  refuse_as(in, "a.nmea", "$SDDPT,1.0,0.0\n$GPGLL,3312.0000,N,08406.0000,W,100000,A\n$SDDPT,1.0,0.0*", NULL,
            3, 1, "the log ends in the middle of a sentence");
  refuse_as(in, "a.nmea", "$SDDPT,1.0,0.0\n$GPGLL,3312.0000,N,08406.0000,W,100000,A\n$SDD", NULL, 3, 1,
            "cut short");
}

/* At every length a good file cut short is either refused, or read as the rows that are whole. */
static void cut_anywhere(void **in)
{
  const char *text = table(in, "lon,lat,depth (m)", nothing);
  size_t length = strlen(text);
  size_t refused = 0;
  for (size_t n = length - 400; n < length; n++) {
    lw_fixes out = {0};
    lw_error err = {0};
    lw_status status = lw_soundings_parse(&out, "run.csv", text, n, NULL, *in, &err);
    if (status == LW_OK) {
      const char *last = text + n - 1;
      assert_true(*last == '\n' || text[n] == '\n'); /* cut just at a line's end: nothing can tell */
    } else {
      assert_holds(err.message, "cut short");
      refused++;
    }
  }
  assert_true(refused > 350);
}

/* --- numbers and headings --- */

static void numbers_that_are_none(void **in)
{
  refuse_csv(in, "lon,lat,depth (m)\n-84,33,NaN\n", NULL, 2, 8,
             "'NaN' in the column 'depth (m)' is not a number");
  refuse_csv(in, "lon,lat,depth (m)\n-84,33,NaN\n", NULL, 2, 8, "Leave the cell empty");
  refuse_csv(in, "lon,lat,depth (m)\nnan,33,1\n", NULL, 2, 1, "expected decimal degrees");
  refuse_csv(in, "lon,lat,depth (m)\n-84,inf,1\n", NULL, 2, 5, "'inf' in the column 'lat'");
  refuse_csv(in, "lon,lat,depth (m)\n-84,33,shallow\n", NULL, 2, 8, "'shallow'");
  refuse_csv(in, "lon,lat,depth (m)\n-84,33,0x10\n", NULL, 2, 8, "'0x10'");
  refuse_csv(in, "lon,lat,depth (m)\n-84 30,33,1\n", NULL, 2, 1, "'-84 30'");
  refuse_csv(in, "lon,lat,depth (m)\n-84,33,1e9\n", NULL, 2, 8, "is no depth");
  refuse_csv(in, "lon,lat,depth (m),time\n-84,33,1,noon\n", NULL, 2, 10, "'noon' is not an instant");
  refuse_csv(in, "lon,lat,depth (m),time\n-84,33,1,2026-02-30T10:00:00Z\n", NULL, 2, 10, "is not an instant");
  refuse_csv(in, "lon,lat,depth (m),date\n-84,33,1,4/15/2026\n", NULL, 2, 10, "a date like 2026-04-15");
  refuse_csv(in, "lon,lat,depth (m)\n-84,33,1,2\n", NULL, 2, 1, "4 cells, the heading names 3");
  refuse_csv(in, "lon,lat,depth (m)\n-84,33\n-84,33,1\n", NULL, 2, 1, "2 cells, the heading names 3");
  refuse_csv(in, "lon,lat,depth (m)\n-84,33,\"1\"x\n", NULL, 2, 11, "text after a closing quote");
}

static void headings_that_do_not_do(void **in)
{
  refuse_csv(in, "lon,lat,temp\n-84,33,1\n", NULL, 1, 1,
             "no column for the depth; the columns are 'lon', 'lat', 'temp'");
  refuse_csv(in, "lon,lat,temp\n-84,33,1\n", NULL, 1, 1, "--depth-field");
  refuse_csv(in, "lon,height,depth (m)\n-84,33,1\n", NULL, 1, 1, "no column for the latitude");
  refuse_csv(in, "lat,depth (m),n\n33,1,1\n", NULL, 1, 1, "no column for the longitude");
  refuse_csv(in, "-84.1,33.2,1.5\n-84.2,33.3,2\n", NULL, 1, 1, "the first line holds numbers");
  refuse_csv(in, "depth\n1\n", NULL, 1, 1, "names 1 column; expected");
  refuse_csv(in, "lon lat depth\n-84 33 1\n", NULL, 1, 1, "with commas between");
  refuse_csv(in, "lon,lat,depth\n-84,33,1\n", NULL, 1, 9, "the depth field 'depth' does not say its unit");
  refuse_csv(in, "lon,lat,depth (fathoms)\n-84,33,1\n", NULL, 1, 9, "neither in metres nor in feet");
  lw_soundings_how how = {.depth_unit = "m"};
  refuse_csv(in, "lon,lat,depth (ft)\n-84,33,1\n", &how, 1, 9,
             "says feet, but the depth unit given is metres");
  how.depth_unit = "ft";
  refuse_csv(in, "lon,lat,depth_m\n-84,33,1\n", &how, 1, 9, "says metres, but the depth unit given is feet");
  how = (lw_soundings_how){.depth_field = "tiefe"};
  refuse_csv(in, "lon,lat,depth_m\n-84,33,1\n", &how, 1, 1, "no column for the depth named 'tiefe'");
  lw_fixes got;
  lw_error err;
  how = (lw_soundings_how){.depth_unit = "furlong"};
  assert_int_equal(parse_as(in, &got, "a.csv", "lon,lat,depth\n-84,33,1\n", &how, &err), LW_INVALID);
  assert_holds(err.message, "the depth unit 'furlong' should be m or ft");
}

/* --- depths --- */

static void feet_read_as_metres(void **in)
{
  change feet = nothing;
  feet.scale_depth = 1 / 0.3048;
  refuse_csv(in, table(in, "lon,lat,depth (m)", feet), &lake, 0, 0, "they seem to be feet read as metres");
  lw_soundings_how how = lake;
  how.depth_unit = "m";
  refuse_csv(in, table(in, "lon,lat,depth", feet), &how, 0, 0, "give --depth-unit ft");
  how.depth_unit = "ft";
  lw_fixes got = accept_as(in, "run.csv", table(in, "lon,lat,depth", feet), &how);
  assert_close(got.fixes[0].depth_m, 4 * (1 - hypot(0.004 / 0.0058, 0.004 / 0.0058)), 0.01);
  /* and the other way round */
  refuse_csv(in, table(in, "lon,lat,depth", nothing), &how, 0, 0, "they seem to be metres read as feet");
  got =
      accept_as(in, "run.csv", table(in, "lon,lat,depth (ft)", nothing), &lake); /* the heading is believed */
  assert_int_equal(got.count, 200);
}

static void elevations(void **in)
{
  change bed = nothing;
  bed.scale_depth = -1;
  bed.add_depth = 0;
  refuse_csv(in, table(in, "lon,lat,depth (m)", bed), NULL, 0, 0, "they seem to be elevations of the bed");
  bed.add_depth = 210;
  refuse_csv(in, table(in, "lon,lat,depth (m)", bed), &lake, 0, 0,
             "they seem to be elevations above the sea");
  refuse_csv(in, table(in, "lon,lat,z (m)", bed), NULL, 0, 0, "they seem to be elevations above the sea");
  refuse_csv(in, table(in, "lon,lat,elevation (m)", bed), NULL, 1, 1,
             "Elevations become depths only with the elevation of the water's surface");
  lw_soundings_how how = lake;
  how.elevations = true;
  how.surface_elevation_m = 210;
  assert_int_equal(accept_as(in, "a.csv", table(in, "lon,lat,elevation (m)", bed), &how).count, 200);
  how.surface_elevation_m = 100;
  refuse_csv(in, table(in, "lon,lat,elevation (m)", bed), &how, 0, 0, "above the water's surface (100 m)");
}

static void depths_of_another_water(void **in)
{
  change deep = nothing;
  deep.scale_depth = 20;
  refuse_csv(in, table(in, "lon,lat,depth (m)", deep), &lake, 0, 0, "but this water is about 4.5 m deep");
  change flat = nothing;
  flat.scale_depth = 0;
  refuse_csv(in, table(in, "lon,lat,depth (m)", flat), &lake, 0, 0, "all depths are zero");
}

/* --- places --- */

static void swapped(void **in)
{
  change swap = nothing;
  swap.swap = true;
  /* told by the range alone: no fishing water lies south of 60 S */
  refuse_csv(in, table(in, "lon,lat,depth (m)", swap), NULL, 2, 1,
             "longitude and latitude seem to be swapped");
  refuse_csv(in, "lon,lat,depth (m)\n33.2,-120.5,1\n", NULL, 2, 1,
             "beyond 90 degrees; longitude and latitude");
  /* and by the water's place, in Europe */
  lw_soundings_how europe = {.west = 11, .east = 11.01, .south = 48, .north = 48.01};
  refuse_csv(in, "lon,lat,depth (m)\n48.005,11.005,1\n48.006,11.006,1\n", &europe, 0, 0,
             "longitude and latitude are swapped: name them the other way round");
}

static void lost_signs(void **in)
{
  change lost = nothing;
  lost.scale_x = -1;
  refuse_csv(in, table(in, "lon,lat,depth (m)", lost), &lake, 0, 0,
             "the sign of the longitude is lost: degrees west are negative");
  lost.swap = true;
  refuse_csv(in, table(in, "lon,lat,depth (m)", lost), &lake, 0, 0,
             "longitude and latitude are swapped, and the sign of the longitude is lost");
  lw_soundings_how south = {.west = 151, .east = 151.01, .south = -33.01, .north = -33};
  refuse_csv(in, "lon,lat,depth (m)\n151.005,33.005,1\n", &south, 0, 0, "the sign of the latitude is lost");
}

static void elsewhere(void **in)
{
  change shifted = nothing;
  shifted.add_x = 0.5;
  refuse_csv(in, table(in, "lon,lat,depth (m)", shifted), &lake, 0, 0,
             "lie about 46.6 km to the east of this water, shifted as one piece");
  shifted.add_x = -0.012;
  shifted.add_y = -0.012;
  refuse_csv(in, table(in, "lon,lat,depth (m)", shifted), &lake, 0, 0, "to the south-west of this water");
  change wide = nothing;
  wide.scale_x = 100;
  wide.add_x = 84.1 * 99;
  refuse_csv(in, table(in, "lon,lat,depth (m)", wide), &lake, 0, 0, "of 200 positions lie at this water");
}

/* The lake's middle in UTM zone 16 north is about x 770,300, y 3,676,900. */
static const char grid[] =
    "easting,northing,depth (m)\n770300,3676900,1\n770350,3676950,2\n770400,3676800,3\n";

static void map_grids(void **in)
{
  lw_soundings_how how = lake;
  refuse_csv(in, grid, &how, 2, 1, "they look like metres or feet of a map grid; name its system");
  how.system = "EPSG:32616";
  assert_int_equal(accept_as(in, "run.csv", grid, &how).count, 3);
  how.system = "EPSG:32617";
  refuse_csv(in, grid, &how, 0, 0,
             "exactly 6 degrees of longitude east of this water: the system EPSG:32617 is that of another "
             "zone, 1 to "
             "the west");
  how.system = "EPSG:32614";
  refuse_csv(in, grid, &how, 0, 0, "exactly 12 degrees of longitude west of this water");
  how.system = "EPSG:32716"; /* the southern half of the same zone */
  refuse_csv(in, grid, &how, 0, 0, "of this water, shifted as one piece");
  how.system = "EPSG:32616";
  refuse_csv(in, "easting,northing,depth (m)\n3676900,770300,1\n", &how, 0, 0, "x and y are swapped");
  how.system = "zone 16";
  refuse_csv(in, grid, &how, 0, 0, "the coordinate system 'zone 16' is not known");
}

/* --- order --- */

static void times_that_repeat_senselessly(void **in)
{
  lw_text text = LW_TEXT(1 << 20);
  lw_text_add(&text, "lon,lat,depth (m),time\n");
  for (int i = 0; i < 200; i++) {
    lw_text_addf(&text, "%.6f,33,2,2026-04-15T10:00:%02dZ\n", -84 + 0.001 * (i % 97), i * 7 % 5);
  }
  refuse_csv(in, lw_text_view(&text), NULL, 0, 0, "the times run to and fro and repeat");
  lw_text_free(&text);
}

static void a_shuffled_log(void **in)
{
  lw_text text = LW_TEXT(1 << 20);
  for (int i = 0; i < 100; i++) {
    int k = i * 37 % 100;
    lw_text_addf(&text, "$GPGLL,3312.%04d,N,08406.0000,W,10%02d%02d,A\n$SDDPT,2.0,0.0\n", k, k / 60, k % 60);
  }
  refuse_as(
      in, "run.nmea", lw_text_view(&text), NULL, 0, 0,
      "the times of the GPGLL sentences run backwards in 36 of 99 steps: the lines are not in the order");
  lw_text_free(&text);
}

/* --- logs without what is needed --- */

static void logs_of_half_the_instruments(void **in)
{
  refuse_as(in, "a.nmea",
            "$GPGLL,3312.0000,N,08406.0000,W,100000,A\n$GPGLL,3312.0001,N,08406.0000,W,100001,A\n", NULL, 0,
            0, "2 positions but no depth");
  refuse_as(in, "a.nmea", "$GPGLL,3312.0000,N,08406.0000,W,100000,A\n$SDDPT,,\n", NULL, 0, 0,
            "(1 sentences DPT, DBT or DBS are empty)");
  refuse_as(in, "a.nmea", "$SDDPT,2.0,0.0\n$SDDPT,2.1,0.0\n", NULL, 0, 0, "2 depths but no position");
  refuse_as(in, "a.nmea", "$SDDPT,2.0,0.0\n$GPGLL,3312.0000,N,08406.0000,W,100000,V\n", NULL, 0, 0,
            "(1 sentences GGA, RMC or GLL have no fix)");
  refuse_as(
      in, "a.nmea",
      "$GPGLL,3312.0000,N,08406.0000,W,100000,A\n$SDDPT,2.0,0.0\n$GPGLL,3312.0001,N,08406.0000,W,100030,A\n",
      NULL, 0, 0, "none of the 1 depths lies between two positions at most 5 s apart");
  refuse_as(in, "a.nmea", "$GPGLL,3312.0000,N,08406.0000,W,100000,A*00\n$SDDPT,2.0,0.0*00\n", NULL, 0, 0,
            "2 checksums do not fit");
  refuse_as(in, "a.nmea", "$GPVTG,1,T,,M,2,N,3,K\n$GPVTG,1,T,,M,2,N,3,K\n", NULL, 0, 0,
            "0 positions but no depth");
}

/* --- files --- */

static void files_on_disk(void **in)
{
  char path[] = "/tmp/lw-soundings-XXXXXX";
  int fd = mkstemp(path);
  assert_true(fd >= 0);
  assert_int_equal(close(fd), 0);
  lw_fixes out = {0};
  lw_error err = {0};
  assert_int_equal(lw_soundings_read(&out, path, NULL, *in, &err), LW_INVALID);
  assert_holds(err.message, "the file is empty");
  static const char good[] = "lon,lat,depth (m)\n-84,33,1.5\n";
  assert_int_equal(lw_file_write(path, good, sizeof good - 1, 1, &err), LW_OK);
  assert_int_equal(lw_soundings_read(&out, path, NULL, *in, &err), LW_OK);
  assert_int_equal(out.count, 1);
  assert_int_equal(unlink(path), 0);
  assert_int_equal(lw_soundings_read(&out, path, NULL, *in, &err), LW_NOT_FOUND);
  assert_int_equal(lw_soundings_read(&out, "/tmp/none.shp", NULL, *in, &err), LW_NOT_FOUND);
  refuse_as(in, "lake.shp", good, NULL, 0, 0, "are read from disk by the command line");
  refuse_as(in, "lake.gpkg", good, NULL, 0, 0, "are read from disk by the command line");
}

int main(void)
{
  const struct CMUnitTest tests[] = {TEST(the_good_table_is_read),
                                     TEST(empty_files),
                                     TEST(binary_files),
                                     TEST(noise_and_web_pages),
                                     TEST(cut_short),
                                     TEST(cut_anywhere),
                                     TEST(numbers_that_are_none),
                                     TEST(headings_that_do_not_do),
                                     TEST(feet_read_as_metres),
                                     TEST(elevations),
                                     TEST(depths_of_another_water),
                                     TEST(swapped),
                                     TEST(lost_signs),
                                     TEST(elsewhere),
                                     TEST(map_grids),
                                     TEST(times_that_repeat_senselessly),
                                     TEST(a_shuffled_log),
                                     TEST(logs_of_half_the_instruments),
                                     TEST(files_on_disk)};
  return cmocka_run_group_tests_name("soundings refused", tests, NULL, NULL);
}
