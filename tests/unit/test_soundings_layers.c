/* SPDX-License-Identifier: Apache-2.0 */
/* Soundings from GPX and GeoJSON. */
#include "soundings_check.h"

#include "base/text.h"

#define GPX_HEAD                                                                                             \
  "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<gpx version=\"1.1\" creator=\"test\" "                       \
  "xmlns=\"http://www.topografix.com/GPX/1/1\" xmlns:e=\"urn:x\">\n"

static void gpx_points_of_all_kinds(void **in)
{
  lw_fixes got = accept_as(
      in, "run.gpx",
      GPX_HEAD
      "<wpt lat=\"33.2\" "
      "lon=\"-84.1\"><name>ramp</name><extensions><e:Depth>1.25</e:Depth></extensions></wpt>\n"
      "<trk><name>depth 7</name><trkseg>\n"
      "<trkpt lat=\"33.3\" lon=\"-84.2\"><ele>120</ele><time>2026-04-15T10:30:00Z</time><extensions>"
      "<e:TrackPointExtension><e:depth> 2.5 "
      "</e:depth><e:wtemp>19</e:wtemp></e:TrackPointExtension></extensions>"
      "</trkpt>\n</trkseg><trkseg>\n<trkpt lat=\"33.4\" lon=\"-84.3\"><extensions><e:depth>3</e:depth>"
      "</extensions></trkpt>\n<trkpt lat=\"33.4\" lon=\"-84.3\"/>\n</trkseg></trk>"
      "<rte><rtept lat=\"33.5\" "
      "lon=\"-84.4\"><extensions><depth>4</depth></extensions></rtept></rte></gpx>\n",
      NULL);
  assert_string_equal(got.format, "GPX");
  assert_int_equal(got.count, 4);
  check_fix(&got.fixes[0], -84.1, 33.2, 1.25);
  check_fix(&got.fixes[1], -84.2, 33.3, 2.5);
  check_fix(&got.fixes[2], -84.3, 33.4, 3);
  check_fix(&got.fixes[3], -84.4, 33.5, 4);
  assert_int_equal(got.fixes[0].track, -1);
  assert_int_equal(got.fixes[1].track, 0);
  assert_int_equal(got.fixes[2].track, 1);
  assert_int_equal(got.fixes[3].track, -1);
  assert_int_equal(got.fixes[1].line, 5);
  assert_close(got.fixes[1].time_s, 1776249000, 1e-6);
  assert_int_equal(got.without_depth, 1);
  assert_int_equal(got.day, lw_day_from_civil((lw_civil){2026, 4, 15}));
}

static void gpx_in_feet_or_another_field(void **in)
{
  const char *text = GPX_HEAD "<wpt lat=\"33.2\" lon=\"-84.1\"><ele>-3</ele><name>12.5</name>"
                              "<extensions><e:depth_ft>10</e:depth_ft></extensions></wpt></gpx>";
  lw_fixes got = accept_as(in, "a.gpx", text, NULL);
  assert_close(got.fixes[0].depth_m, 3.048, 1e-12);
  lw_soundings_how how = {.depth_field = "name", .depth_unit = "ft"};
  got = accept_as(in, "a.gpx", text, &how);
  assert_close(got.fixes[0].depth_m, 3.81, 1e-12);
  how = (lw_soundings_how){.elevations = true, .surface_elevation_m = 0};
  got = accept_as(in, "a.gpx", text, &how);
  assert_close(got.fixes[0].depth_m, 3, 1e-12);
}

static void gpx_refused(void **in)
{
  refuse_as(in, "a.gpx", GPX_HEAD "<wpt lat=\"33\" lon=\"-84\"/></gpx>", NULL, 0, 0,
            "none of its 1 points has a depth");
  refuse_as(in, "a.gpx", GPX_HEAD "</gpx>", NULL, 0, 0, "holds no sounding");
  refuse_as(in, "a.gpx", GPX_HEAD "<wpt lat=\"33\" lon=\"-84\">", NULL, 3, 25, "cut short");
  refuse_as(in, "a.gpx", GPX_HEAD "<wpt lat=\"33\" lon=\"-8", NULL, 3, 1, "cut short");
  refuse_as(in, "a.gpx", GPX_HEAD "<wpt></trk></gpx>", NULL, 3, 8, "not well-formed XML (mismatched tag)");
  refuse_as(in, "a.gpx", "<kml></kml>", NULL, 1, 1, "XML, but not GPX: it begins with <kml>");
  refuse_as(in, "a.gpx", "<!DOCTYPE gpx [<!ENTITY a \"1\">]><gpx/>", NULL, 1, 15, "document type");
  refuse_as(in, "a.gpx", GPX_HEAD "<wpt lat=\"x\" lon=\"-84\"/></gpx>", NULL, 3, 1,
            "lat=\"x\" is not a number");
  refuse_as(in, "a.gpx", GPX_HEAD "<wpt lat=\"-84\" lon=\"33\"/></gpx>", NULL, 3, 1, "swapped");
  refuse_as(in, "a.gpx", GPX_HEAD "<wpt lat=\"nan\" lon=\"33\"/></gpx>", NULL, 3, 1, "not a number");
  refuse_as(in, "a.gpx", GPX_HEAD "<wpt lat=\"33\" lon=\"-84\"><depth>deep</depth></wpt></gpx>", NULL, 3, 36,
            "the depth 'deep' is not a number");
  refuse_as(in, "a.gpx", GPX_HEAD "<wpt lat=\"33\" lon=\"-84\"><time>noon</time><depth>1</depth></wpt></gpx>",
            NULL, 3, 35, "the time 'noon'");
}

static void gpx_nested_too_deeply(void **in)
{
  lw_text text = LW_TEXT(1 << 20);
  lw_text_add(&text, GPX_HEAD);
  for (int i = 0; i < 1000; i++) {
    lw_text_add(&text, "<a>");
  }
  refuse_as(in, "a.gpx", lw_text_view(&text), NULL, 3, 190, "nested too deeply");
  lw_text_clear(&text);
  lw_text_add(&text, GPX_HEAD "<wpt lat=\"33\" lon=\"-84\"><depth>");
  for (int i = 0; i < 1000; i++) {
    lw_text_add(&text, "0");
  }
  lw_text_add(&text, "2</depth></wpt></gpx>");
  lw_error err;
  lw_fixes got;
  assert_int_equal(parse_as(in, &got, "a.gpx", lw_text_view(&text), NULL, &err), LW_INVALID);
  assert_holds(err.message, "a long text");
  lw_text_free(&text);
}

/* --- GeoJSON --- */

#define FEATURE(place, properties)                                                                           \
  "{\"type\":\"Feature\",\"geometry\":{\"type\":\"Point\",\"coordinates\":" place                            \
  "},\"properties\":" properties "}"
#define COLLECTION(features) "{\"type\":\"FeatureCollection\",\"features\":[\n" features "\n]}\n"

static void geojson_points(void **in)
{
  lw_fixes got = accept_as(
      in, "run.geojson",
      COLLECTION(FEATURE("[-84.1,33.2]", "{\"depth_m\":1.5,\"time\":\"2026-04-15T10:30:00Z\"}") ",\n" FEATURE(
          "[-84.2,33.3,0]",
          "{\"depth_m\":\"2.5\",\"line\":4}") ",\n" FEATURE("[-84.2,33.3]",
                                                            "{\"depth_m\":null}") ",\n" FEATURE("[-84.2,33."
                                                                                                "3]",
                                                                                                "{}") ",\n"
                                                                                                      "{\"typ"
                                                                                                      "e\":"
                                                                                                      "\"Feat"
                                                                                                      "ure\","
                                                                                                      "\"geom"
                                                                                                      "etry\""
                                                                                                      ":null,"
                                                                                                      "\"prop"
                                                                                                      "erties"
                                                                                                      "\":{"
                                                                                                      "\"dept"
                                                                                                      "h_m\":"
                                                                                                      "1}},\n"
                                                                                                      "{\"typ"
                                                                                                      "e\":"
                                                                                                      "\"Feat"
                                                                                                      "ure\","
                                                                                                      "\"prop"
                                                                                                      "erties"
                                                                                                      "\":{"
                                                                                                      "\"dept"
                                                                                                      "h_m\":"
                                                                                                      "7},"
                                                                                                      "\"geom"
                                                                                                      "etry\""
                                                                                                      ":{"
                                                                                                      "\"type"
                                                                                                      "\":"
                                                                                                      "\"Mult"
                                                                                                      "iPoint"
                                                                                                      "\","
                                                                                                      "\"coor"
                                                                                                      "dinate"
                                                                                                      "s\":[["
                                                                                                      "-84.3,"
                                                                                                      "33.4],"
                                                                                                      "[-84."
                                                                                                      "4,33."
                                                                                                      "5]]}"
                                                                                                      "}"),
      NULL);
  assert_string_equal(got.format, "GeoJSON");
  assert_int_equal(got.count, 4);
  check_fix(&got.fixes[0], -84.1, 33.2, 1.5);
  check_fix(&got.fixes[1], -84.2, 33.3, 2.5);
  check_fix(&got.fixes[3], -84.4, 33.5, 7);
  assert_close(got.fixes[0].time_s, 1776249000, 1e-6);
  assert_int_equal(got.fixes[1].track, 4);
  assert_int_equal(got.fixes[1].line, 3);
  assert_int_equal(got.fixes[3].line, 7);
  assert_int_equal(got.without_depth, 2);
  assert_int_equal(got.without_position, 1);
}

static void geojson_members_in_any_order(void **in)
{
  lw_fixes got = accept_as(
      in, "run.json",
      "\xEF\xBB\xBF {\"features\" : [ " FEATURE(
          "[-84.1,33.2]",
          "{\"Depth (ft)\":10}") " ] , "
                                 "\"bbox\":[1,2,3,4],\"crs\":{\"type\":\"name\",\"properties\":{\"name\":"
                                 "\"urn:ogc:def:crs:OGC:1.3:CRS84\"}}, \"type\":\"FeatureCollection\"}",
      NULL);
  check_fix(&got.fixes[0], -84.1, 33.2, 3.048);
}

static void geojson_refused(void **in)
{
  lw_soundings_how feet = {.depth_field = "d", .depth_unit = "ft"};
  refuse_as(in, "a.geojson", "{\"type\":\"FeatureCollection\",\"features\":[]}", NULL, 0, 0,
            "holds no sounding");
  refuse_as(in, "a.geojson", "{\"type\":\"FeatureCollection\"}", NULL, 1, 1,
            "no FeatureCollection of points");
  refuse_as(in, "a.geojson", "{}", NULL, 1, 1, "no FeatureCollection of points");
  refuse_as(in, "a.json", "[1,2]", NULL, 1, 1, "expected a GeoJSON object");
  refuse_as(in, "a.geojson",
            "{\"type\":\"FeatureCollection\",\"features\":[\n" FEATURE("[-84,33]", "{\"depth_m\":1}"), NULL,
            2, 97, "cut short");
  refuse_as(in, "a.geojson", "{\"type\":\"FeatureCollection\",\"features\":[\n{\"type\":\"Feat", NULL, 2, 14,
            "cut short");
  refuse_as(in, "a.geojson", COLLECTION("{\"type\":}"), NULL, 2, 9, "this is not JSON");
  refuse_as(in, "a.geojson", COLLECTION("7"), NULL, 2, 1, "expected a Feature");
  refuse_as(in, "a.geojson", COLLECTION(FEATURE("[-84,33]", "{\"d\":1}")), NULL, 0, 0,
            "none of the 1 points has a property for its depth");
  refuse_as(in, "a.geojson", COLLECTION(FEATURE("[-84,33]", "{\"depth\":1}")), NULL, 2, 1,
            "does not say its unit");
  refuse_as(in, "a.geojson", COLLECTION(FEATURE("[-84,33]", "{\"d\":\"deep\"}")), &feet, 2, 1,
            "the property 'd' of this point is not a number");
  refuse_as(in, "a.geojson", COLLECTION(FEATURE("[33,-84]", "{\"d\":1}")), &feet, 2, 1, "swapped");
  refuse_as(in, "a.geojson", COLLECTION(FEATURE("[\"a\",33]", "{\"d\":1}")), &feet, 2, 1,
            "[longitude, latitude]");
  refuse_as(in, "a.geojson", COLLECTION(FEATURE("[412345,3712345]", "{\"d\":1}")), &feet, 2, 1,
            "metres or feet of a map grid");
  refuse_as(in, "a.geojson",
            COLLECTION("{\"type\":\"Feature\",\"properties\":{\"d\":1},\"geometry\":{\"type\":\"LineString\","
                       "\"coordinates\":[[1,2],[3,4]]}}"),
            &feet, 2, 1, "soundings are points");
  refuse_as(in, "a.geojson",
            "{\"crs\":{\"properties\":{\"name\":\"EPSG:32616\"}},\"features\":[" FEATURE("[1,2]", "{}") "]}",
            NULL, 1, 8, "a coordinate system of its own");
}

int main(void)
{
  const struct CMUnitTest tests[] = {TEST(gpx_points_of_all_kinds),
                                     TEST(gpx_in_feet_or_another_field),
                                     TEST(gpx_refused),
                                     TEST(gpx_nested_too_deeply),
                                     TEST(geojson_points),
                                     TEST(geojson_members_in_any_order),
                                     TEST(geojson_refused)};
  return cmocka_run_group_tests_name("soundings from layers", tests, NULL, NULL);
}
