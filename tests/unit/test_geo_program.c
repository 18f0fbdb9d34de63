/* SPDX-License-Identifier: Apache-2.0 */
/* The separate program lakeward-geo: formats out and back in, broken files, limits. Skipped where it
 * was not built (no GDAL: no LW_TEST_GEO in the environment). */
#include "geo_check.h"

#include "base/text.h"
#include "exchange/geo_program.h"
#include "exchange/outline.h"
#include "exchange/outline_write.h"

#include <sys/stat.h>

static const char *real_program(void)
{
  const char *program = getenv("LW_TEST_GEO");
  if (!program || !*program) {
    skip();
  }
  return program;
}

/* --- the formats --- */

static const char lake[] =
    "[[[-84,33],[-83.991,33.0012345678],[-83.99,33.01],[-84.0003,33.01],[-84,33]],"
    "[[-83.996,33.004],[-83.996,33.006],[-83.994,33.006],[-83.994,33.004],[-83.996,33.004]]]";
static const char two[] =
    "[[[[-84,33],[-83.99,33],[-83.99,33.01],[-84,33]]],[[[-84,34],[-83.9,34],[-83.9,34.1],[-84,34]]]]";

static void read_text(void **in, lw_outline *out, const char *type, const char *coordinates)
{
  state *s = *in;
  lw_error err = {0};
  char *text = lw_arena_format(s->arena, "{\"type\":\"%s\",\"coordinates\":%s}", type, coordinates);
  assert_int_equal(lw_outline_parse(out, "t", text, strlen(text), s->arena, &err), LW_OK);
}

/* The collection of one water, written as `kind` to `path`. */
static lw_status write_water(void **in, const lw_outline *outline, const char *kind, const char *path,
                             lw_error *err)
{
  state *s = *in;
  lw_outline_feature water = {"Heron Pool", outline->geojson, lw_known(outline->area_m2)};
  lw_text text = LW_TEXT(1 << 20);
  assert_int_equal(lw_outline_collection(&text, &water, 1, err), LW_OK);
  lw_status status = lw_geo_write(kind, path, text.data, text.length, real_program(), s->arena, err);
  lw_text_free(&text);
  return status;
}

static const char *const kinds[] = {"kml", "gpx", "shp", "gpkg"};
enum { KINDS = sizeof kinds / sizeof *kinds };

static void every_format_comes_back(void **in)
{
  state *s = *in;
  const char *program = real_program();
  lw_outline wanted[2];
  read_text(in, &wanted[0], "Polygon", lake);
  read_text(in, &wanted[1], "MultiPolygon", two);
  for (size_t i = 0; i < 2 * KINDS; i++) {
    const lw_outline *want = &wanted[i % 2];
    lw_outline got;
    lw_error err = {0};
    const char *kind = kinds[i / 2];
    const char *path = path_in(in, lw_arena_format(s->arena, "lake%zu.%s", i, kind));
    lw_status status = write_water(in, want, kind, path, &err);
    status = status == LW_OK ? lw_outline_read(&got, path, program, s->arena, &err) : status;
    if (status != LW_OK) {
      print_error("%s: %s\n", kind, err.message);
    }
    assert_int_equal(status, LW_OK);
    assert_close(got.area_m2, want->area_m2, 1e-6 * want->area_m2);
    assert_close(got.perimeter_m, want->perimeter_m, 1e-6 * want->perimeter_m);
    assert_int_equal(got.parts, want->parts);
    assert_int_equal(got.islands, want->islands);
    assert_int_equal(got.points, want->points);
  }
}

/* Written by GDAL in the coordinate system of the .prj file, here exchanged for UTM zone 16 N. */
static void a_projected_layer_is_reprojected(void **in)
{
  state *s = *in;
  lw_error err = {0};
  lw_outline outline;
  /* a square of 100 m by 100 m on the grid, read as degrees 5 and 37 thousand times too small */
  read_text(in, &outline, "Polygon", "[[[30,30],[30.1,30],[30.1,30.1],[30,30.1],[30,30]]]");
  assert_int_equal(write_water(in, &outline, "shp", path_in(in, "grid.shp"), &err), LW_OK);
  static const char grid[] =
      "PROJCS[\"g\",GEOGCS[\"WGS 84\",DATUM[\"WGS_1984\",SPHEROID[\"WGS "
      "84\",6378137,298.257223563]],PRIMEM[\"Greenwich\",0],"
      "UNIT[\"degree\",0.0174532925199433]],PROJECTION[\"Transverse_Mercator\"],PARAMETER[\"latitude_of_"
      "origin\",33],"
      "PARAMETER[\"central_meridian\",-84],PARAMETER[\"scale_factor\",1],PARAMETER[\"false_easting\",0],"
      "PARAMETER[\"false_northing\",0],UNIT[\"kilometre\",1000]]";
  put(path_in(in, "grid.prj"), grid, strlen(grid));
  lw_outline got;
  assert_int_equal(lw_outline_read(&got, path_in(in, "grid.shp"), real_program(), s->arena, &err), LW_OK);
  /* 100 m by 100 m on a grid true at its middle; 30 km off, the scale is 1 + (30/6380)^2/2 */
  double scale = 1 + pow(30.05 / 6371, 2) / 2;
  assert_close(got.area_m2, 10000 / (scale * scale), 1);
  assert_close(got.centre_longitude, -83.678, 0.001);
  assert_close(got.centre_latitude, 33.27, 0.001);
}

static void a_layer_without_crs_must_be_degrees(void **in)
{
  state *s = *in;
  lw_error err = {0};
  lw_outline outline, got;
  read_text(in, &outline, "Polygon", lake);
  assert_int_equal(write_water(in, &outline, "shp", path_in(in, "a.shp"), &err), LW_OK);
  assert_int_equal(unlink(path_in(in, "a.prj")), 0);
  assert_int_equal(lw_outline_read(&got, path_in(in, "a.shp"), real_program(), s->arena, &err), LW_OK);
  assert_close(got.area_m2, outline.area_m2, 1e-6 * outline.area_m2);
  put(path_in(in, "m.geojson"), "", 0);
  char *bytes = NULL;
  size_t length = 0;
  assert_int_equal(lw_file_read(path_in(in, "a.shp"), 1 << 20, s->arena, &bytes, &length, &err), LW_OK);
  double far_east = 412345.5;
  memcpy(bytes + 100 + 8 + 4 + 32 + 8 + 8, &far_east, sizeof far_east); /* x of the first position */
  put(path_in(in, "a.shp"), bytes, length);
  assert_int_equal(lw_outline_read(&got, path_in(in, "a.shp"), real_program(), s->arena, &err), LW_INVALID);
  assert_holds(err.message, "names no coordinate system");
}

static void an_existing_file_is_not_written_over(void **in)
{
  lw_error err = {0};
  lw_outline outline;
  read_text(in, &outline, "Polygon", lake);
  put(path_in(in, "a.kml"), "mine", 4);
  assert_int_equal(write_water(in, &outline, "kml", path_in(in, "a.kml"), &err), LW_CONFLICT);
  assert_int_equal(write_water(in, &outline, "kml", path_in(in, "b.gpx"), &err), LW_INVALID);
  assert_holds(err.message, "should end in .kml");
  assert_int_equal(write_water(in, &outline, "dxf", path_in(in, "b.dxf"), &err), LW_INVALID);
  assert_holds(err.message, "'dxf' is not a kind of file");
  struct stat info;
  assert_int_equal(stat(path_in(in, "a.kml"), &info), 0);
  assert_int_equal(info.st_size, 4);
}

/* --- broken files --- */

/* What is left of a valid file after `damage`: must be refused, or read as a sound outline. */
static void read_damaged(void **in, const char *kind, const char *bytes, size_t length, bool must_refuse)
{
  state *s = *in;
  lw_error err = {0};
  lw_outline got;
  const char *path = path_in(in, lw_arena_format(s->arena, "lake.%s", kind));
  put(path, bytes, length);
  lw_status status = lw_outline_read(&got, path, real_program(), s->arena, &err);
  if (must_refuse || status != LW_OK) {
    assert_int_not_equal(status, LW_OK);
    assert_int_equal(lw_status_exit_code(status), 2);
    assert_true(strstr(err.message, path) || strcmp(err.file, path) == 0);
    assert_true(strlen(err.message) > strlen("lake."));
  }
}

static void broken_files_are_refused(void **in)
{
  state *s = *in;
  for (size_t k = 0; k < KINDS; k++) {
    lw_error err = {0};
    lw_outline outline;
    read_text(in, &outline, "Polygon", lake);
    const char *path = path_in(in, lw_arena_format(s->arena, "lake.%s", kinds[k]));
    assert_int_equal(write_water(in, &outline, kinds[k], path, &err), LW_OK);
    char *bytes = NULL;
    size_t length = 0;
    assert_int_equal(lw_file_read(path, 1 << 22, s->arena, &bytes, &length, &err), LW_OK);
    read_damaged(in, kinds[k], bytes, 0, true);
    read_damaged(in, kinds[k], bytes, length / 2, true);
    read_damaged(in, kinds[k], "not a map at all\n", 17, true);
    for (size_t i = 1; i <= 3; i++) {
      char *damaged = lw_arena_copy_n(s->arena, bytes, length);
      for (size_t at = i * 7; at < length; at += length / 5 + i) {
        damaged[at] = (char)(damaged[at] ^ (0x55 + (int)i));
      }
      read_damaged(in, kinds[k], damaged, length, false);
    }
  }
}

static void only_plain_files_are_opened(void **in)
{
  state *s = *in;
  lw_error err = {0};
  lw_outline got;
  const char *program = real_program();
  assert_int_equal(lw_outline_read(&got, path_in(in, "none.kml"), program, s->arena, &err), LW_NOT_FOUND);
  assert_holds(err.message, "none.kml");
  char *text = NULL;
  size_t length = 0;
  static const char *const paths[] = {"/vsicurl/http://127.0.0.1:1/a.kml", "/vsizip/a.zip/a.shp", "/dev/zero",
                                      "PG:dbname=x.kml"};
  for (size_t i = 0; i < sizeof paths / sizeof *paths; i++) {
    lw_geo_run run = {.program = program, .arguments = {"outline", paths[i]}, .file = paths[i]};
    assert_int_equal(lw_geo_program_run(&run, s->arena, &text, &length, &err), LW_INVALID);
    assert_holds(err.message, "no such file");
  }
}

/* What the program says of `text` in a file called `name`. */
static void refuse_text(void **in, const char *name, const char *text, size_t length, const char *piece)
{
  state *s = *in;
  lw_error err = {0};
  char *out = NULL;
  size_t out_length = 0;
  const char *path = path_in(in, name);
  put(path, text, length);
  lw_geo_run run = {.program = real_program(), .arguments = {"outline", path}, .file = path};
  assert_int_equal(lw_geo_program_run(&run, s->arena, &out, &out_length, &err), LW_INVALID);
  assert_holds(err.message, piece);
}

static void the_program_keeps_its_limits(void **in)
{
  lw_text text = LW_TEXT(16u << 20);
  lw_text_add(&text, "{\"type\":\"LineString\",\"coordinates\":[[0,0]");
  for (int i = 0; i < LW_OUTLINE_POINTS; i++) {
    lw_text_addf(&text, ",[%d.5,1]", i % 90);
  }
  lw_text_add(&text, "]}");
  refuse_text(in, "long.geojson", text.data, text.length, "more than 200000 positions");
  lw_text_clear(&text);
  /* entities that unfold to 10^9 letters must not be unfolded */
  lw_text_add(&text, "<?xml version=\"1.0\"?><!DOCTYPE kml [<!ENTITY a0 \"aaaaaaaaaa\">");
  for (int i = 1; i < 9; i++) {
    lw_text_addf(&text, "<!ENTITY a%d \"", i);
    for (int j = 0; j < 10; j++) {
      lw_text_addf(&text, "&a%d;", i - 1);
    }
    lw_text_add(&text, "\">");
  }
  lw_text_add(
      &text,
      "]><kml xmlns=\"http://www.opengis.net/kml/2.2\"><Placemark><name>&a8;</name></Placemark></kml>");
  long long began = now_ms();
  refuse_text(in, "bomb.kml", text.data, text.length, "cannot be read as KML");
  assert_true(now_ms() - began < 20000);
  lw_text_free(&text);
  static const char points[] =
      "<gpx version=\"1.1\" creator=\"t\" xmlns=\"http://www.topografix.com/GPX/1/1\">"
      "<wpt lat=\"33\" lon=\"-84\"/></gpx>";
  refuse_text(in, "points.gpx", points, strlen(points), "holds no polygon and no line");
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      TEST(every_format_comes_back),
      TEST(a_projected_layer_is_reprojected),
      TEST(a_layer_without_crs_must_be_degrees),
      TEST(an_existing_file_is_not_written_over),
      TEST(broken_files_are_refused),
      TEST(only_plain_files_are_opened),
      TEST(the_program_keeps_its_limits),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
