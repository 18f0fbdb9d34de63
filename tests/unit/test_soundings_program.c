/* SPDX-License-Identifier: Apache-2.0 */
/* Layers of points through lakeward-geo: Shapefile (written here byte by byte, after the published
 * description of the format, 1998) and KML. Skipped where the program was not built. */
#include "geo_check.h"

#include "base/text.h"
#include "exchange/soundings.h"

static const char *real_program(void)
{
  const char *program = getenv("LW_TEST_GEO");
  if (!program || !*program) {
    skip();
  }
  return program;
}

/* --- a Shapefile of three points with DEPTH_FT and TAKEN --- */

enum { POINTS = 3, HEADER = 100, RECORD = 28, DBF_ROW = 1 + 8 + 20 };

static void put_big(unsigned char *at, uint32_t value)
{
  for (int i = 0; i < 4; i++) {
    at[i] = (unsigned char)(value >> (24 - 8 * i));
  }
}

static void put_little(unsigned char *at, uint32_t value)
{
  for (int i = 0; i < 4; i++) {
    at[i] = (unsigned char)(value >> (8 * i));
  }
}

static void put_double(unsigned char *at, double value)
{
  memcpy(at, &value, 8); /* little-endian machines only, as Debian's are that run this */
}

static const double places[POINTS][2] = {{-84.1, 33.2}, {-84.11, 33.21}, {-84.12, 33.22}};

static void put_header(unsigned char *out, size_t bytes)
{
  memset(out, 0, HEADER);
  put_big(out, 9994);
  put_big(out + 24, (uint32_t)(bytes / 2));
  put_little(out + 28, 1000);
  put_little(out + 32, 1); /* points */
  put_double(out + 36, -84.12);
  put_double(out + 44, 33.2);
  put_double(out + 52, -84.1);
  put_double(out + 60, 33.22);
}

static void put_shapes(void **in, const char *shp_path, const char *shx_path)
{
  unsigned char shp[HEADER + POINTS * RECORD];
  unsigned char shx[HEADER + POINTS * 8];
  (void)in;
  put_header(shp, sizeof shp);
  put_header(shx, sizeof shx);
  for (size_t i = 0; i < POINTS; i++) {
    unsigned char *at = shp + HEADER + i * RECORD;
    put_big(at, (uint32_t)i + 1);
    put_big(at + 4, (RECORD - 8) / 2);
    put_little(at + 8, 1);
    put_double(at + 12, places[i][0]);
    put_double(at + 20, places[i][1]);
    put_big(shx + HEADER + i * 8, (uint32_t)((HEADER + i * RECORD) / 2));
    put_big(shx + HEADER + i * 8 + 4, (RECORD - 8) / 2);
  }
  put(shp_path, (const char *)shp, sizeof shp);
  put(shx_path, (const char *)shx, sizeof shx);
}

static void put_attributes(const char *path, const char *depth_name)
{
  unsigned char dbf[32 + 2 * 32 + 1 + POINTS * DBF_ROW + 1];
  static const char *const rows[POINTS] = {"    5.002026-04-15T10:30:00Z", "   10.002026-04-15T10:30:01Z",
                                           "        2026-04-15T10:30:02Z"};
  memset(dbf, 0, sizeof dbf);
  dbf[0] = 3;
  dbf[1] = 126;
  dbf[2] = 4;
  dbf[3] = 15;
  put_little(dbf + 4, POINTS);
  dbf[8] = 32 + 2 * 32 + 1;
  dbf[10] = DBF_ROW;
  (void)snprintf((char *)dbf + 32, 11, "%s", depth_name);
  dbf[32 + 11] = 'N';
  dbf[32 + 16] = 8;
  dbf[32 + 17] = 2;
  (void)snprintf((char *)dbf + 64, 11, "TIME");
  dbf[64 + 11] = 'C';
  dbf[64 + 16] = 20;
  dbf[96] = 0x0D;
  for (size_t i = 0; i < POINTS; i++) {
    unsigned char *at = dbf + 97 + i * DBF_ROW;
    at[0] = ' ';
    memcpy(at + 1, rows[i], DBF_ROW - 1);
  }
  dbf[sizeof dbf - 1] = 0x1A;
  put(path, (const char *)dbf, sizeof dbf);
}

static const char *put_shapefile(void **in, const char *depth_name)
{
  static const char degrees[] =
      "GEOGCS[\"GCS_WGS_1984\",DATUM[\"D_WGS_1984\",SPHEROID[\"WGS_1984\",6378137.0,298.257223563]],"
      "PRIMEM[\"Greenwich\",0.0],UNIT[\"Degree\",0.0174532925199433]]";
  put_shapes(in, path_in(in, "lake.shp"), path_in(in, "lake.shx"));
  put_attributes(path_in(in, "lake.dbf"), depth_name);
  put(path_in(in, "lake.prj"), degrees, sizeof degrees - 1);
  return path_in(in, "lake.shp");
}

static lw_status read_file(void **in, lw_fixes *out, const char *path, lw_soundings_how how, lw_error *err)
{
  state *s = *in;
  *err = (lw_error){0};
  *out = (lw_fixes){0};
  how.geo_program = real_program();
  return lw_soundings_read(out, path, &how, s->arena, err);
}

static void a_shapefile(void **in)
{
  lw_fixes got;
  lw_error err;
  lw_status status = read_file(in, &got, put_shapefile(in, "DEPTH_FT"), (lw_soundings_how){0}, &err);
  if (status != LW_OK) {
    print_error("%s\n", err.message);
  }
  assert_int_equal(status, LW_OK);
  assert_string_equal(got.format, "Shapefile");
  assert_int_equal(got.count, 2);
  assert_int_equal(got.without_depth, 1);
  assert_close(got.fixes[0].longitude, -84.1, 1e-9);
  assert_close(got.fixes[1].latitude, 33.21, 1e-9);
  assert_close(got.fixes[1].depth_m, 3.048, 1e-9);
  assert_close(got.fixes[1].time_s, 1776249001, 1e-6);
  assert_int_equal(got.fixes[1].line, 0);
}

static void a_shapefile_that_does_not_do(void **in)
{
  lw_fixes got;
  lw_error err;
  const char *path = put_shapefile(in, "DEPTH");
  assert_int_equal(read_file(in, &got, path, (lw_soundings_how){0}, &err), LW_INVALID);
  assert_holds(err.message, "the depth field 'DEPTH' does not say its unit");
  assert_int_equal(err.line, 0);
  assert_int_equal(read_file(in, &got, path, (lw_soundings_how){.depth_field = "TIEFE"}, &err), LW_INVALID);
  assert_holds(err.message, "the columns are 'longitude', 'latitude', 'DEPTH', 'TIME'");
  put(path_in(in, "lake.shx"), "", 0);
  assert_int_equal(read_file(in, &got, path, (lw_soundings_how){.depth_unit = "m"}, &err), LW_INVALID);
  assert_holds(err.message, "keep its .shp, .shx, .dbf and .prj files together");
}

#define KML(placemarks)                                                                                      \
  "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<kml xmlns=\"http://www.opengis.net/kml/2.2\"><Document>"     \
  "<name>soundings</name>" placemarks "</Document></kml>\n"

static lw_status read_kml(void **in, lw_fixes *out, const char *text, lw_error *err)
{
  const char *path = path_in(in, "lake.kml");
  put(path, text, strlen(text));
  return read_file(in, out, path, (lw_soundings_how){.depth_field = "Name", .depth_unit = "ft"}, err);
}

static void depths_as_names_in_kml(void **in)
{
  lw_fixes got;
  lw_error err;
  lw_status status =
      read_kml(in, &got,
               KML("<Placemark><name>5</name><Point><coordinates>-84.1,33.2</coordinates></Point>"
                   "</Placemark><Placemark><name>10</name><Point><coordinates>-84.2,33.3</coordinates>"
                   "</Point></Placemark>"),
               &err);
  if (status != LW_OK) {
    print_error("%s\n", err.message);
  }
  assert_int_equal(status, LW_OK);
  assert_string_equal(got.format, "KML");
  assert_int_equal(got.count, 2);
  assert_close(got.fixes[1].depth_m, 3.048, 1e-9);
}

static void files_without_points(void **in)
{
  lw_fixes got;
  lw_error err;
  assert_int_equal(read_kml(in, &got, KML(""), &err), LW_INVALID);
  assert_holds(err.message, "it holds no points");
  assert_int_equal(read_kml(in, &got, "not xml", &err), LW_INVALID);
  assert_holds(err.message, "cannot be read as KML");
  assert_int_equal(
      read_kml(in, &got,
               KML("<Placemark><name>5</name><LineString><coordinates>-84.1,33.2 -84.2,33.3</coordinates>"
                   "</LineString></Placemark>"),
               &err),
      LW_INVALID);
  assert_holds(err.message, "it holds no points");
}

int main(void)
{
  const struct CMUnitTest tests[] = {TEST(a_shapefile), TEST(a_shapefile_that_does_not_do),
                                     TEST(depths_as_names_in_kml), TEST(files_without_points)};
  return cmocka_run_group_tests_name("soundings through lakeward-geo", tests, NULL, NULL);
}
