/* SPDX-License-Identifier: Apache-2.0 */
/* Outlines that are refused, each with its place and its likely cause. */
#include "outline_check.h"

#include "base/text.h"

static void refuses_positions_out_of_range(void **in)
{
  refuse_ring(in, "[[-84,33],[33.01,-84],[-83.9,33],[-84,33]]", 44,
              "lies in the Antarctic; latitude seems to come first");
  refuse_ring(in, "[[33,-120],[33.1,-120],[33.1,-120.1],[33,-120]]", 35,
              "beyond 90 degrees; latitude seems to come first");
  refuse_ring(in, "[[190,33],[191,33],[191,34],[190,33]]", 35, "the longitude 190 is beyond 180");
  refuse_ring(in, "[[412345.5,3712345],[412400,3712345],[412400,3712400],[412345.5,3712345]]", 35,
              "[412345.5, 3712345] looks like metres or feet");
  refuse_ring(in, "[[-84,33],[-84,\"33\"],[-83,33],[-84,33]]", 44, "numbers only");
  refuse_ring(in, "[[-84,33],[-84],[-83,33],[-84,33]]", 44, "[longitude, latitude]");
  refuse_ring(in, "[[-84,33],7,[-83,33],[-84,33]]", 44, "[longitude, latitude]");
  refuse_ring(in, "[[-84,33],[NaN,33],[-83,33],[-84,33]]", 47, "not JSON");
  refuse_ring(in, "[[-84,33],[1e999,33],[-83,33],[-84,33]]", 49, "not JSON: real number overflow");
}

static void refuses_rings_that_are_none(void **in)
{
  refuse_ring(in, "[[-84,33],[-83,33],[-84,33]]", 34, "at least 4 positions");
  refuse_ring(in, "[[-84,33],[-83.99,33],[-83.99,33.01],[-84,33.01]]", 34,
              "not closed: its last position [-84.0000000, 33.0100000] should repeat its first [-84.0000000, "
              "33.0000000]");
  refuse_ring(in, "[[-84,33],[-83,33],[-83,33.0],[-84,33]]", 34, "fewer than 3 different positions");
  refuse_ring(in, "[[179.9,33],[-179.9,33],[-179.9,33.1],[179.9,33]]", 46, "180th meridian");
  refuse_ring(in, "[[-84,33],[-83.99,33.01],[-83.99,33],[-84,33.01],[-84,33]]", 0,
              "cross or lie on each other near longitude -83.9950000, latitude 33.0050000");
  refuse_ring(in, "[[-84,33],[-83.99,33],[-84.01,33],[-84,33]]", 0, "near longitude");
  refuse_ring(in, lw_arena_format(*in, "%s,[[-83.9,33],[-83.89,33],[-83.89,33.01],[-83.9,33]]", SQUARE), 0,
              "an island lies outside the shore");
  refuse_ring(in, lw_arena_format(*in, "%s,%s", SQUARE, SQUARE), 0, "near longitude");
  refuse(in, lw_arena_format(*in, "{\"type\":\"MultiPolygon\",\"coordinates\":[[%s],[%s]]}", SQUARE, ISLAND),
         0, 0, "the polygons overlap: one polygon lies inside another (an island must be a hole");
  refuse_ring(in, "[[-84,33],[-83.999999,33],[-83.999999,33.000001],[-84,33]]", 0, "too little for a water");
  refuse_ring(in, "[[-84,33],[-82,33],[-82,35],[-84,35],[-84,33]]", 0, "too much for a water");
}

static void refuses_what_is_not_geojson(void **in)
{
  refuse(in, "", 1, 0, "not JSON");
  refuse(in, "{\"type\":\n \"Polygon\",\n}", 3, 1, "not JSON");
  refuse(in, "{\"type\":\"Polygon\"} x", 1, 20, "not JSON: end of file expected");
  refuse(in, "{\"a\":1,\"a\":2}", 1, 10, "not JSON: duplicate object key");
  refuse(in, "\xFF{}", 1, 0, "not JSON: unable to decode byte 0xff");
  refuse(in, "[1,2]", 1, 1, "should be a GeoJSON object");
  refuse(in, "{\"type\":3}", 1, 1, "the member \"type\" is missing");
  refuse(in, "{\"type\":\"Topology\"}", 1, 1, "the type 'Topology' is not expected here");
  refuse(in, "{\"type\":\"Polygon\"}", 1, 1, "no \"coordinates\"");
  refuse(in, "{\"type\":\"Polygon\",\"coordinates\":[]}", 1, 33, "outer shore first");
  refuse(in, "{\"type\":\"MultiPolygon\",\"coordinates\":{}}", 1, 38, "should be a list");
  refuse(in, "{\"type\":\"Feature\"}", 1, 1, "no \"geometry\"");
  refuse(in, "{\"type\":\"Feature\",\"geometry\":7}", 1, 30, "should be a GeoJSON object");
  refuse(in, "{\"type\":\"FeatureCollection\"}", 1, 1, "needs a list \"features\"");
  refuse(in, "{\"type\":\"FeatureCollection\",\"features\":[\n{\"type\":\"Polygon\"}]}", 2, 1,
         "expected a Feature");
  refuse(in, "{\"type\":\"GeometryCollection\"}", 1, 1, "needs a list \"geometries\"");
  refuse(in, "{\"type\":\"FeatureCollection\",\"features\":[]}", 0, 0, "no polygon and no line");
  refuse(in, "{\"type\":\"Point\",\"coordinates\":[1,2]}", 0, 0, "points only");
  refuse(in, "{\"type\":\"LineString\",\"coordinates\":[[1,2]]}", 1, 36, "at least 2 positions");
}

static void keeps_its_limits(void **in)
{
  lw_outline out = {0};
  lw_error err;
  lw_text text = LW_TEXT(8u << 20);
  lw_text_add(&text, "{\"type\":\"LineString\",\"coordinates\":[[0,0]");
  for (int i = 0; i < LW_OUTLINE_POINTS; i++) {
    lw_text_add(&text, ",[0,0]");
  }
  lw_text_add(&text, "]}");
  assert_int_equal(parse(in, &out, lw_text_view(&text), &err), LW_LIMIT);
  assert_holds(err.message, "more than 200000 positions");
  lw_text_clear(&text);
  for (int i = 0; i < 3000; i++) {
    lw_text_add(&text, "[");
  }
  assert_int_equal(parse(in, &out, lw_text_view(&text), &err), LW_INVALID);
  assert_holds(err.message, "maximum parsing depth");
  lw_text_clear(&text);
  for (int i = 0; i < 20; i++) {
    lw_text_add(&text, "{\"type\":\"GeometryCollection\",\"geometries\":[");
  }
  for (int i = 0; i < 20; i++) {
    lw_text_add(&text, "]}");
  }
  assert_int_equal(parse(in, &out, lw_text_view(&text), &err), LW_LIMIT);
  assert_holds(err.message, "nested too deeply");
  lw_text_free(&text);
  lw_arena *small = lw_arena_new(256);
  assert_int_equal(lw_outline_parse(&out, "x", "[", 1, small, &err), LW_INVALID);
  static const char polygon[] = "{\"type\":\"Polygon\",\"coordinates\":[" SQUARE "]}";
  assert_int_equal(lw_outline_parse(&out, "x", polygon, strlen(polygon), small, &err), LW_MEMORY);
  lw_arena_free(small);
}

/* Forty thousand long teeth side by side: valid, but every pair of edges would have to be compared. */
static void gives_up_on_what_is_too_intricate(void **in)
{
  lw_outline out = {0};
  lw_error err;
  lw_text text = LW_TEXT(8u << 20);
  lw_text_add(&text, "{\"type\":\"Polygon\",\"coordinates\":[[");
  for (int i = 0; i < 40000; i++) {
    lw_text_addf(&text, "[%.6f,0],[%.6f,0.5],", i * 1e-6, 0.5 + i * 1e-6);
  }
  lw_text_add(&text, "[0.55,-0.001],[0,0]]]}");
  assert_int_equal(parse(in, &out, lw_text_view(&text), &err), LW_LIMIT);
  assert_holds(err.message, "too intricate");
  lw_text_free(&text);
  accept(in, &out, "{\"type\":\"Polygon\",\"coordinates\":[" SQUARE "]}"); /* the next one is not stopped */
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      TEST(refuses_positions_out_of_range),    TEST(refuses_rings_that_are_none),
      TEST(refuses_what_is_not_geojson),       TEST(keeps_its_limits),
      TEST(gives_up_on_what_is_too_intricate),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
