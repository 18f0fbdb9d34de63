/* SPDX-License-Identifier: Apache-2.0 */
/* Outlines from GeoJSON: measured against closed formulas, normalised, and refused with the place. */
#include "outline_check.h"

#include "base/text.h"
#include "exchange/outline_write.h"
#include "exchange/polygons.h"

#include <jansson.h>
#include <stdlib.h>

#define RADIAN (3.14159265358979323846 / 180)
#define A_M 6378137.0
#define F (1 / 298.257223563)
#define E2 (F * (2 - F))

/* --- measuring --- */

/* Area per radian of longitude between the equator and a parallel of the ellipsoid: b2/2 times
 * sin/(1-e2 sin2) + ln((1+e sin)/(1-e sin))/2e. Snyder 1987, USGS Professional Paper 1395, 3-12. */
static double authalic(double latitude)
{
  double s = sin(latitude * RADIAN);
  double e = sqrt(E2);
  double q = s / (1 - E2 * s * s) + log((1 + e * s) / (1 - e * s)) / (2 * e);
  return A_M * A_M * (1 - E2) / 2 * q;
}

/* A cell between two parallels and two meridians, its parallels followed by many short steps. */
static char *cell(lw_arena *arena, double west, double south, double step, int steps, double height)
{
  lw_text text = LW_TEXT(1 << 20);
  for (int i = 0; i <= steps; i++) {
    lw_text_addf(&text, "%s[%.12g,%.12g]", i ? "," : "[", west + i * step, south);
  }
  for (int i = steps; i >= 0; i--) {
    lw_text_addf(&text, ",[%.12g,%.12g]", west + i * step, south + height);
  }
  lw_text_addf(&text, ",[%.12g,%.12g]]", west, south);
  char *out = lw_arena_copy(arena, lw_text_view(&text));
  lw_text_free(&text);
  return out;
}

static void area_agrees_with_the_closed_formula(void **in)
{
  static const struct {
    double west, south, height;
  } cells[] = {{-84, 33, 0.02}, {-84, -0.01, 0.02}, {10, 59, 0.02}, {150, -35, 0.1}};
  for (size_t i = 0; i < sizeof cells / sizeof *cells; i++) {
    lw_outline out;
    accept_polygon(in, &out, cell(*in, cells[i].west, cells[i].south, 0.0001, 200, cells[i].height));
    double want = 0.02 * RADIAN * (authalic(cells[i].south + cells[i].height) - authalic(cells[i].south));
    assert_close(out.area_m2, want, 1e-8 * want);
  }
}

static void perimeter_agrees_with_arcs(void **in)
{
  lw_outline out;
  accept_polygon(in, &out, cell(*in, -84, 33, 0.0001, 200, 0.02));
  double want = 0;
  for (int i = 0; i < 2; i++) {
    double s = sin((33 + 0.02 * i) * RADIAN);
    want += A_M / sqrt(1 - E2 * s * s) * cos((33 + 0.02 * i) * RADIAN) * 0.02 * RADIAN;
  }
  double middle = sin(33.01 * RADIAN); /* radius of curvature along the meridian */
  want += 2 * A_M * (1 - E2) / pow(1 - E2 * middle * middle, 1.5) * 0.02 * RADIAN;
  assert_close(out.perimeter_m, want, 1e-7 * want);
}

/* The four corners at 1 degree from (0, 0): geodtest.c of the geodesic library, test Planimeter0:
 * area 24619419146 m2, perimeter 627598.2731 m. Too large for a water, so measured alone. */
static void measures_as_the_geodesic_library_says(void **in)
{
  double corners[] = {0, -1, 1, 0, 0, 1, -1, 0, 0, -1};
  lw_ring ring = {.lon_lat = corners, .count = 5};
  lw_ring_list list = {.rings = &ring, .count = 1, .capacity = 1, .groups = 1};
  lw_polygons_size size;
  lw_error err = {0};
  (void)in;
  assert_int_equal(lw_polygons_measure(&list, &size, &err), LW_OK);
  assert_close(size.area_m2, 24619419146.0, 1);
  assert_close(size.perimeter_m, 627598.2731, 1e-4);
}

static void islands_are_taken_out(void **in)
{
  lw_outline whole, hole, both;
  accept_polygon(in, &whole, SQUARE);
  accept_polygon(in, &hole, ISLAND);
  accept_polygon(in, &both, lw_arena_format(*in, "%s,%s", SQUARE, ISLAND));
  assert_close(both.area_m2, whole.area_m2 - hole.area_m2, 1e-6);
  assert_close(both.perimeter_m, whole.perimeter_m + hole.perimeter_m, 1e-6);
  assert_int_equal(both.islands, 1);
  assert_int_equal(both.parts, 1);
  assert_int_equal(both.points, 8);
  assert_close(both.west, -84, 0);
  assert_close(both.north, 33.01, 0);
  bool in_island = both.centre_longitude > -83.996 && both.centre_longitude < -83.994 &&
                   both.centre_latitude > 33.004 && both.centre_latitude < 33.006;
  assert_false(in_island);
  assert_true(both.centre_longitude > -84 && both.centre_longitude < -83.99);
  assert_true(both.centre_latitude > 33 && both.centre_latitude < 33.01);
}

static void direction_does_not_matter(void **in)
{
  lw_outline a, b;
  accept_polygon(in, &a, lw_arena_format(*in, "%s,%s", SQUARE, ISLAND));
  accept_polygon(in, &b, lw_arena_format(*in, "%s,%s", SQUARE_BACKWARDS, ISLAND));
  assert_close(b.area_m2, a.area_m2, 1e-6);
  assert_true(a.area_m2 > 900000);
  /* RFC 7946, 3.1.6: outer counter-clockwise, holes clockwise */
  assert_holds(a.geojson, "[[[-84,33],[-83.99,33],");
  assert_holds(b.geojson, "[[[-84,33],[-83.99,33],");
  assert_holds(a.geojson, "[[-83.996,33.004],[-83.996,33.006],");
}

static void reads_its_own_geometry_again(void **in)
{
  lw_outline a, b;
  accept_polygon(in, &a, lw_arena_format(*in, "%s,%s", SQUARE, ISLAND));
  accept(in, &b, a.geojson);
  assert_string_equal(b.geojson, a.geojson);
  assert_close(b.area_m2, a.area_m2, 0);
}

/* --- what is accepted --- */

static void takes_polygon_features_together(void **in)
{
  lw_outline out, one;
  accept_polygon(in, &one, SQUARE);
  accept(
      in, &out,
      lw_arena_format(*in,
                      "\xEF\xBB\xBF{\"type\":\"FeatureCollection\",\"features\":["
                      "{\"type\":\"Feature\",\"properties\":{\"n\":1},\"geometry\":{\"type\":\"Point\","
                      "\"coordinates\":[1,2]}},"
                      "{\"type\":\"Feature\",\"properties\":null,\"geometry\":null},"
                      "{\"type\":\"Feature\",\"geometry\":{\"type\":\"Polygon\",\"coordinates\":[%s]}},"
                      "{\"type\":\"Feature\",\"geometry\":{\"type\":\"GeometryCollection\",\"geometries\":["
                      "{\"type\":\"MultiPolygon\",\"coordinates\":[[[[-84,34],[-84,34.02],[-83.98,34.02],[-"
                      "84,34]]]]}]}}]}",
                      SQUARE));
  assert_int_equal(out.parts, 2);
  assert_holds(out.geojson, "{\"type\":\"MultiPolygon\",\"coordinates\":[[[[-84,33]");
  assert_true(out.area_m2 > one.area_m2);
  assert_true(out.centre_latitude > 34); /* inside the largest */
}

static void joins_polygons_that_share_a_shore(void **in)
{
  lw_outline out, left;
  accept_polygon(in, &left, SQUARE);
  accept(in, &out,
         lw_arena_format(*in,
                         "{\"type\":\"MultiPolygon\",\"coordinates\":[[%s],"
                         "[[[-83.99,33],[-83.98,33],[-83.98,33.01],[-83.99,33.01],[-83.99,33]]]]}",
                         SQUARE));
  assert_int_equal(out.parts, 1);
  assert_close(out.area_m2, 2 * left.area_m2, 1); /* the same cell one step east; edges bulge by 0.1 m2 */
  /* a neighbour half as high: its corner lies on the middle of the other's side */
  accept(in, &out,
         "{\"type\":\"MultiPolygon\",\"coordinates\":[[" SQUARE "],"
         "[[[-83.99,33],[-83.98,33],[-83.98,33.005],[-83.99,33.005],[-83.99,33]]]]}");
  assert_int_equal(out.parts, 1);
  assert_close(out.area_m2, 1.5 * left.area_m2, 100); /* the southern half is a little wider */
  lw_error err;
  lw_outline none = {0};
  assert_int_equal(parse(in, &none,
                         lw_arena_format(*in, "{\"type\":\"MultiPolygon\",\"coordinates\":[[%s,%s],[%s]]}",
                                         SQUARE, ISLAND, ISLAND),
                         &err),
                   LW_INVALID);
  assert_holds(err.message, "fills an island");
}

static void drops_altitudes_and_repeats_and_rounds(void **in)
{
  lw_outline plain, out;
  accept_polygon(in, &plain, SQUARE);
  accept_polygon(
      in, &out,
      "[[-84.000000001,33,120],[-83.99,33,119.5],[-83.99,33],[-83.99,33.01,0],[-84,33.01],[-84,33]]");
  assert_string_equal(out.geojson, plain.geojson);
  assert_int_equal(out.points, 4);
}

static void closes_a_walk_round_the_shore(void **in)
{
  lw_outline plain, out;
  accept_polygon(in, &plain, SQUARE);
  accept(in, &out, lw_arena_format(*in, "{\"type\":\"LineString\",\"coordinates\":%s}", SQUARE));
  assert_close(out.area_m2, plain.area_m2, 1e-6);
  accept(in, &out,
         "{\"type\":\"MultiLineString\",\"coordinates\":[[[-84,33],[-83.99,33]],"
         "[[-83.9899,33],[-83.99,33.01],[-84,33.01],[-84,33.001]]]}");
  assert_int_equal(out.points, 6);
  refuse(in, "{\"type\":\"LineString\",\"coordinates\":[[-84,33],[-83.99,33],[-83.99,33.01],[-84,33.01]]}", 0,
         0, "gaps of 1109 m in a walk of 2978 m");
  refuse(in,
         "{\"type\":\"FeatureCollection\",\"features\":["
         "{\"type\":\"Feature\",\"geometry\":{\"type\":\"LineString\",\"coordinates\":[[0,0],[1,1]]}},"
         "{\"type\":\"Feature\",\"geometry\":{\"type\":\"LineString\",\"coordinates\":[[0,0],[1,1]]}}]}",
         0, 0, "2 lines and no polygon");
}

static void closed_lines_are_shores_and_islands(void **in)
{
  lw_outline want, out;
  accept_polygon(in, &want, lw_arena_format(*in, "%s,%s", SQUARE, ISLAND));
  accept(in, &out,
         lw_arena_format(*in, "{\"type\":\"MultiLineString\",\"coordinates\":[%s,%s]}", ISLAND, SQUARE));
  assert_string_equal(out.geojson, want.geojson);
}

static void knows_the_old_crs_member(void **in)
{
  lw_outline out;
  accept(in, &out,
         lw_arena_format(*in,
                         "{\"type\":\"Feature\",\"crs\":{\"properties\":{\"name\":\"%s\"}},"
                         "\"geometry\":{\"type\":\"Polygon\",\"coordinates\":[%s]}}",
                         "urn:ogc:def:crs:OGC:1.3:CRS84", SQUARE));
  refuse(in,
         lw_arena_format(*in,
                         "{\"type\":\"Feature\",\"crs\":{\"properties\":{\"name\":\"%s\"}},"
                         "\"geometry\":{\"type\":\"Polygon\",\"coordinates\":[%s]}}",
                         "urn:ogc:def:crs:EPSG::26916", SQUARE),
         1, 25, "EPSG::26916");
}

/* --- writing --- */

static void writes_a_collection(void **in)
{
  lw_outline out;
  lw_error err = {0};
  accept_polygon(in, &out, SQUARE);
  lw_outline_feature waters[] = {{"Upper \"Sedge\"", out.geojson, lw_known(out.area_m2)},
                                 {.name = "\xC3\x89tang", .geojson = out.geojson}};
  lw_text text = LW_TEXT(1 << 16);
  assert_int_equal(lw_outline_collection(&text, waters, 1, &err), LW_OK);
  lw_outline again;
  accept(in, &again, lw_text_view(&text));
  assert_string_equal(again.geojson, out.geojson);
  lw_text_clear(&text);
  assert_int_equal(lw_outline_collection(&text, waters, 2, &err), LW_OK);
  json_t *root = json_loads(lw_text_view(&text), 0, NULL);
  const json_t *features = json_object_get(root, "features");
  assert_int_equal(json_array_size(features), 2);
  const json_t *first = json_object_get(json_array_get(features, 0), "properties");
  assert_string_equal(json_string_value(json_object_get(first, "name")), "Upper \"Sedge\"");
  assert_close(json_real_value(json_object_get(first, "area_m2")), out.area_m2, 0);
  assert_null(json_object_get(json_object_get(json_array_get(features, 1), "properties"), "area_m2"));
  json_decref(root);
  lw_outline_feature bad = {.name = "\xFF", .geojson = out.geojson};
  assert_int_equal(lw_outline_collection(&text, &bad, 1, &err), LW_INVALID);
  lw_text_free(&text);
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      TEST(area_agrees_with_the_closed_formula),
      TEST(perimeter_agrees_with_arcs),
      TEST(measures_as_the_geodesic_library_says),
      TEST(islands_are_taken_out),
      TEST(direction_does_not_matter),
      TEST(reads_its_own_geometry_again),
      TEST(takes_polygon_features_together),
      TEST(joins_polygons_that_share_a_shore),
      TEST(drops_altitudes_and_repeats_and_rounds),
      TEST(closes_a_walk_round_the_shore),
      TEST(closed_lines_are_shores_and_islands),
      TEST(knows_the_old_crs_member),
      TEST(writes_a_collection),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
