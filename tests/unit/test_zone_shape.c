/* SPDX-License-Identifier: Apache-2.0 */
/* Shapes of zones: a place, a line, a polygon; and what is none. */
#include "check.h"

#include "exchange/zone_shape.h"

static lw_zone_shape parse(const char *geojson, lw_arena *arena)
{
  lw_zone_shape out;
  lw_error err = {0};
  if (lw_zone_shape_parse(&out, "zone.geojson", geojson, strlen(geojson), arena, &err) != LW_OK) {
    fail_msg("%s: %s", geojson, err.message);
  }
  return out;
}

static void places_lines_and_polygons_are_taken(void **state)
{
  static const struct {
    const char *text, *kept;
    bool area;
  } rows[] = {
      {"{\"type\":\"Point\",\"coordinates\":[-86.4,33.1]}",
       "{\"type\":\"Point\",\"coordinates\":[-86.4,33.1]}", false},
      {"\xEF\xBB\xBF{\"type\":\"Point\",\"coordinates\":[-86,33,120.5]}",
       "{\"type\":\"Point\",\"coordinates\":[-86,33]}", false},
      {"{\"type\":\"Feature\",\"properties\":null,\"geometry\":{\"type\":\"Point\",\"coordinates\":[-86."
       "123456789,"
       "33]}}",
       "{\"type\":\"Point\",\"coordinates\":[-86.12345679,33]}", false},
      {"{\"type\":\"FeatureCollection\",\"features\":[{\"type\":\"Feature\",\"geometry\":null},{\"type\":"
       "\"Feature\",\"geometry\":{\"type\":\"Point\",\"coordinates\":[-86,33]}}]}",
       "{\"type\":\"Point\",\"coordinates\":[-86,33]}", false},
      {"{\"type\":\"LineString\",\"coordinates\":[[-86,33,4],[-86,33,5],[-86.001,33.001]]}",
       "{\"type\":\"LineString\",\"coordinates\":[[-86,33],[-86.001,33.001]]}", false},
      {"{\"type\":\"LineString\",\"coordinates\":[[-86,33],[-85.999,33],[-85.999,33.001],[-86,33]]}",
       "\"Polygon\"", true},
      {"{\"type\":\"Polygon\",\"coordinates\":[[[-86,33],[-85.999,33],[-85.999,33.001],[-86,33]]]}",
       "\"Polygon\"", true},
      {"{\"type\":\"MultiPolygon\",\"coordinates\":[[[[-86,33],[-85.999,33],[-85.999,33.001],[-86,33]]],"
       "[[[-86.1,33],[-86.099,33],[-86.099,33.001],[-86.1,33]]]]}",
       "\"MultiPolygon\"", true},
  };
  lw_arena *arena = lw_arena_new(0);
  (void)state;
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    const lw_zone_shape shape = parse(rows[i].text, arena);
    assert_holds(shape.geojson, rows[i].kept);
    assert_int_equal(shape.area_m2.known, rows[i].area);
    assert_close(shape.middle_longitude, -86, 0.5);
    assert_close(shape.middle_latitude, 33, 0.2);
    const lw_zone_shape again = parse(shape.geojson, arena); /* what is kept is read alike */
    assert_string_equal(again.geojson, shape.geojson);
  }
  lw_arena_free(arena);
}

static void a_polygon_is_measured(void **state)
{
  lw_arena *arena = lw_arena_new(0);
  (void)state;
  const lw_zone_shape shape = parse(
      "{\"type\":\"Polygon\",\"coordinates\":[[[-86,33],[-85.99,33],[-85.99,33.01],[-86,33.01],[-86,33]]]}",
      arena);
  /* a hundredth of a degree at 33 N on WGS 84: 934.6 m by 1109.0 m */
  assert_close(shape.area_m2.value, 934.6 * 1109.0, 500);
  lw_arena_free(arena);
}

static void what_is_no_zone_is_refused(void **state)
{
  static const char *const rows[][2] = {
      {"", "not JSON"},
      {"{\"type\":\"Point\"", "not JSON"},
      {"{\"type\":\"Point\",\"coordinates\":[33,-86]}", "latitude seems to come first"},
      {"{\"type\":\"Point\",\"coordinates\":[33.1,-186]}", "beyond 90 degrees"},
      {"{\"type\":\"Point\",\"coordinates\":[500000,3650000]}", "metres"},
      {"{\"type\":\"Point\",\"coordinates\":[-86]}", "should be [longitude, latitude]"},
      {"{\"type\":\"Point\",\"coordinates\":[\"-86\",33]}", "should be [longitude, latitude]"},
      {"{\"type\":\"Point\",\"coordinates\":null}", "should be [longitude, latitude]"},
      {"{\"type\":\"MultiPoint\",\"coordinates\":[[-86,33],[-86,33.1]]}", "several points"},
      {"{\"type\":\"FeatureCollection\",\"features\":[{\"type\":\"Feature\",\"geometry\":{\"type\":\"Point\","
       "\"coordinates\":[-86,33]}},{\"type\":\"Feature\",\"geometry\":{\"type\":\"Point\",\"coordinates\":[-"
       "86,"
       "33.1]}}]}",
       "several points"},
      {"{\"type\":\"LineString\",\"coordinates\":[[-86,33]]}", "at least 2 positions"},
      {"{\"type\":\"LineString\",\"coordinates\":[[-86,33],[-86,33]]}", "2 different positions"},
      {"{\"type\":\"LineString\",\"coordinates\":[[-86,33],[33,-86]]}", "latitude seems to come first"},
      {"{\"type\":\"LineString\",\"coordinates\":[[-179,33],[179,33]]}", "180th meridian"},
      {"{\"type\":\"MultiLineString\",\"coordinates\":[[[-86,33],[-86,33.1]],[[-86,33],[-86.1,33.1]]]}",
       "2 lines"},
      {"{\"type\":\"Polygon\",\"coordinates\":[[[-86,33],[-85.99,33.01],[-85.99,33],[-86,33.01],[-86,33]]]}",
       "cross"},
      {"{\"type\":\"FeatureCollection\",\"features\":[]}", "no point, line or polygon"},
      {"{\"type\":\"Circle\",\"coordinates\":[-86,33]}", "Circle"},
  };
  lw_arena *arena = lw_arena_new(0);
  (void)state;
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    lw_zone_shape out;
    lw_error err = {0};
    assert_int_equal(lw_zone_shape_parse(&out, "zone.geojson", rows[i][0], strlen(rows[i][0]), arena, &err),
                     LW_INVALID);
    assert_holds(err.message, rows[i][1]);
    assert_string_equal(err.file, "zone.geojson");
  }
  lw_arena_free(arena);
}

static void a_line_has_a_limit(void **state)
{
  enum { POSITIONS = LW_ZONE_POSITIONS + 1, BYTES = POSITIONS * 24 };
  lw_arena *arena = lw_arena_new(0);
  char *text = lw_arena_alloc(arena, BYTES + 100, 1);
  size_t n = (size_t)sprintf(text, "{\"type\":\"LineString\",\"coordinates\":[");
  (void)state;
  for (int i = 0; i < POSITIONS; i++) {
    n += (size_t)sprintf(text + n, "%s[-86,33.%05d]", i ? "," : "", i);
  }
  n += (size_t)sprintf(text + n, "]}");
  lw_zone_shape out;
  lw_error err = {0};
  assert_int_equal(lw_zone_shape_parse(&out, "zone.geojson", text, n, arena, &err), LW_LIMIT);
  assert_holds(err.message, "simplify it");
  lw_arena_free(arena);
}

static void a_place_must_be_one(void **state)
{
  lw_arena *arena = lw_arena_new(0);
  lw_zone_shape out;
  lw_error err = {0};
  (void)state;
  assert_int_equal(lw_zone_shape_point(&out, NULL, -86.4, 33.1, arena, &err), LW_OK);
  assert_string_equal(out.geojson, "{\"type\":\"Point\",\"coordinates\":[-86.4,33.1]}");
  assert_int_equal(lw_zone_shape_point(&out, NULL, NAN, 33.1, arena, &err), LW_INVALID);
  assert_int_equal(lw_zone_shape_point(&out, NULL, -86.4, INFINITY, arena, &err), LW_INVALID);
  assert_int_equal(lw_zone_shape_point(&out, NULL, -86.4, 91, arena, &err), LW_INVALID);
  lw_arena_free(arena);
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(places_lines_and_polygons_are_taken),
      cmocka_unit_test(a_polygon_is_measured),
      cmocka_unit_test(what_is_no_zone_is_refused),
      cmocka_unit_test(a_line_has_a_limit),
      cmocka_unit_test(a_place_must_be_one),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
