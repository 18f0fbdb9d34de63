/* SPDX-License-Identifier: Apache-2.0 */
/* Contours to GeoJSON, GeoPackage, KML, GPX and Shapefile, their areas reckoned again by GDAL in the plane;
 * and the curve as CSV. */
#include "export_check.h"

#include "exchange/contour_write.h"

#include <jansson.h>

enum { LINES = 10 };

static lw_contour_set set_of(void **in, double down_m, lw_unit_system units)
{
  state *s = *in;
  bowl b = bowl_new(s->arena, 2, 1);
  return (lw_contour_set){.contours = bowl_contours(&b, 0.5, 0.5, LINES),
                          .count = LINES,
                          .plane = export_plane(in),
                          .down_m = down_m,
                          .units = units};
}

static void close_set(lw_contour_set *set)
{
  lw_plane_close((lw_plane *)(uintptr_t)set->plane);
}

static void write_set(void **in, const lw_contour_set *set, const char *name)
{
  state *s = *in;
  lw_error err = {0};
  const char *program = strstr(name, "json") ? NULL : export_program();
  lw_status status = lw_contour_file(path_in(in, name), set, program, s->arena, &err);
  if (status != LW_OK) {
    print_error("%s\n", err.message);
  }
  assert_int_equal(status, LW_OK);
}

/* --- GeoJSON --- */

static double geojson_ring_area(const json_t *ring)
{
  double twice = 0;
  for (size_t i = 0; i + 1 < json_array_size(ring); i++) {
    const json_t *a = json_array_get(ring, i), *z = json_array_get(ring, i + 1);
    double ax = json_number_value(json_array_get(a, 0)), ay = json_number_value(json_array_get(a, 1));
    double zx = json_number_value(json_array_get(z, 0)), zy = json_number_value(json_array_get(z, 1));
    twice +=
        (ax - EXPORT_LONGITUDE) * (zy - EXPORT_LATITUDE) - (zx - EXPORT_LONGITUDE) * (ay - EXPORT_LATITUDE);
    assert_int_equal(json_array_size(a), 2);
  }
  const json_t *first = json_array_get(ring, 0), *last = json_array_get(ring, json_array_size(ring) - 1);
  assert_true(json_equal(first, last));
  return twice / 2;
}

static void geojson_is_as_the_standard_says(void **in)
{
  state *s = *in;
  lw_contour_set set = set_of(in, 0, LW_METRIC);
  write_set(in, &set, "c.geojson");
  char *text = NULL;
  size_t length = 0;
  lw_error err = {0};
  assert_int_equal(lw_file_read(path_in(in, "c.geojson"), 1 << 26, s->arena, &text, &length, &err), LW_OK);
  json_t *all = json_loadb(text, length, JSON_REJECT_DUPLICATES, NULL);
  const json_t *features = json_object_get(all, "features");
  assert_int_equal(json_array_size(features), LINES);
  bool saw_hole = false;
  for (size_t k = 0; k < LINES; k++) {
    const json_t *fields = json_object_get(json_array_get(features, k), "properties");
    assert_close(json_number_value(json_object_get(fields, "depth_m")), set.contours[k].depth_m, 1e-9);
    assert_close(json_number_value(json_object_get(fields, "area_m2")), set.contours[k].area_m2, 0.01);
    const json_t *shape = json_object_get(json_array_get(features, k), "geometry");
    assert_string_equal(json_string_value(json_object_get(shape, "type")), "MultiPolygon");
    const json_t *parts = json_object_get(shape, "coordinates");
    for (size_t p = 0; p < json_array_size(parts); p++) {
      const json_t *rings = json_array_get(parts, p);
      for (size_t r = 0; r < json_array_size(rings); r++) {
        double area = geojson_ring_area(json_array_get(rings, r));
        assert_true(r == 0 ? area > 0 : area < 0); /* counter-clockwise round water, clockwise round holes */
        saw_hole |= r > 0;
      }
    }
  }
  assert_true(saw_hole);
  assert_string_equal(
      json_string_value(json_object_get(json_object_get(json_array_get(features, 2), "properties"), "name")),
      "1.5 m");
  json_decref(all);
  close_set(&set);
}

static void depths_count_from_the_water(void **in)
{
  state *s = *in;
  lw_error err = {0};
  lw_contour_set set = set_of(in, 1.0, LW_US);
  lw_text text = LW_TEXT(1 << 24);
  assert_int_equal(lw_contour_collection(&text, &set, s->arena, &err), LW_OK);
  assert_null(strstr(text.data, "\"depth_m\":-"));
  assert_holds(text.data, "\"name\":\"0 ft\",\"depth_m\":0,"); /* the waterline */
  assert_holds(text.data, "\"name\":\"1.64 ft\",\"depth_m\":0.5,");
  lw_text_free(&text);
  close_set(&set);
}

/* --- the other formats --- */

/* Area (m2) GDAL finds for the feature `name` of the file. */
static void areas_are_equal(void **in, const char *file, const char *layer)
{
  state *s = *in;
  lw_contour_set set = set_of(in, 0, LW_METRIC);
  write_set(in, &set, file);
  const char *rest = lw_arena_format(
      s->arena, "-q -t_srs '" EXPORT_PLANE "' -nln back -nlt MULTIPOLYGON back.gpkg %s %s", file, layer);
  (void)export_shown(in, "ogr2ogr", rest);
  const char *told =
      export_shown(in, "ogrinfo",
                   "-q -dialect OGRSQL -sql 'SELECT *, OGR_GEOM_AREA AS found FROM back' -geom=NO back.gpkg");
  size_t count = 0;
  for (const char *at = told; (at = strstr(at, "found (Real) = ")) != NULL; at++) {
    double area = 0;
    assert_true(count < LINES);
    assert_int_equal(sscanf(at, "found (Real) = %lf", &area), 1);
    assert_close(area, set.contours[count].area_m2, 1e-6 * set.contours[count].area_m2 + 0.01);
    count++;
  }
  assert_int_equal(count, LINES);
  assert_holds(told, "1.5 m");
  if (strcmp(layer, "contours") == 0 && !strstr(file, ".kml")) {
    assert_holds(told, "depth_m (Real) = 1.5");
    assert_holds(told, "area_m2 (Real) = ");
  }
  close_set(&set);
}

static void geopackage_keeps_areas(void **in)
{
  areas_are_equal(in, "c.gpkg", "contours");
}

static void shapefile_keeps_areas(void **in)
{
  areas_are_equal(in, "c.shp", "c");
}

static void kml_keeps_areas_and_has_no_altitude(void **in)
{
  state *s = *in;
  areas_are_equal(in, "c.kml", "contours");
  char *text = NULL;
  size_t length = 0;
  lw_error err = {0};
  assert_int_equal(lw_file_read(path_in(in, "c.kml"), 1 << 26, s->arena, &text, &length, &err), LW_OK);
  assert_null(strstr(text, "altitudeMode"));
  size_t positions = 0;
  for (const char *at = text; (at = strstr(at, "<coordinates>")) != NULL;) {
    at += strlen("<coordinates>");
    const char *end = strstr(at, "</coordinates>");
    assert_non_null(end);
    while (at < end) {
      size_t n = strcspn(at, " <");
      const char *comma = memchr(at, ',', n);
      assert_non_null(comma);
      assert_null(memchr(comma + 1, ',', n - (size_t)(comma + 1 - at)));
      at += n + 1;
      positions++;
    }
  }
  assert_true(positions > 1000);
  assert_holds(text, "depth_m");
}

/* GPX has no polygons: a track a part, a segment a ring, no elevation. */
static void gpx_gets_tracks(void **in)
{
  state *s = *in;
  lw_contour_set set = set_of(in, 0, LW_US);
  write_set(in, &set, "c.gpx");
  char *text = NULL;
  size_t length = 0;
  lw_error err = {0};
  assert_int_equal(lw_file_read(path_in(in, "c.gpx"), 1 << 26, s->arena, &text, &length, &err), LW_OK);
  assert_null(strstr(text, "<ele>"));
  assert_holds(text, "<name>1.64 ft</name>");
  size_t rings = 0, segments = 0;
  for (size_t k = 0; k < set.count; k++) {
    rings += set.contours[k].ring_count;
  }
  for (const char *at = text; (at = strstr(at, "<trkseg>")) != NULL; at++) {
    segments++;
  }
  assert_int_equal(segments, rings);
  close_set(&set);
}

static void other_files_are_refused(void **in)
{
  state *s = *in;
  lw_error err = {0};
  lw_contour_set set = set_of(in, 0, LW_METRIC);
  assert_int_equal(lw_contour_file(path_in(in, "c.dxf"), &set, NULL, s->arena, &err), LW_INVALID);
  assert_holds(err.message, ".geojson, .gpkg, .kml, .gpx and .shp");
  assert_int_equal(lw_contour_file(path_in(in, "none"), &set, NULL, s->arena, &err), LW_INVALID);
  put(path_in(in, "mine.geojson"), "mine", 4);
  assert_int_equal(lw_contour_file(path_in(in, "mine.geojson"), &set, NULL, s->arena, &err), LW_CONFLICT);
  lw_contour hole_first = set.contours[0];
  lw_contour_ring ring = hole_first.rings[0];
  ring.hole = true;
  hole_first.rings = &ring;
  hole_first.ring_count = 1;
  lw_contour_set bad = set;
  bad.contours = &hole_first;
  bad.count = 1;
  assert_int_equal(lw_contour_file(path_in(in, "c.geojson"), &bad, NULL, s->arena, &err), LW_INVALID);
  assert_holds(err.message, "begins with a hole");
  close_set(&set);
}

/* --- the curve --- */

static void the_curve_is_csv(void **in)
{
  (void)in;
  static const lw_curve_row rows[] = {{-0.0, 4046.8564224, 1233.48183754752, 1200, 1250.5},
                                      {-0.3048, 2023.4282112, 100, 90.25, 1e-3}};
  lw_text text = LW_TEXT(4096);
  lw_error err = {0};
  assert_int_equal(lw_curve_csv(&text, rows, 2, LW_METRIC, &err), LW_OK);
  assert_string_equal(text.data, "level (m),area (m2),volume (m3),volume low (m3),volume high (m3)\r\n"
                                 "0,4046.8564,1233.4818,1200,1250.5\r\n"
                                 "-0.3048,2023.4282,100,90.25,0.001\r\n");
  lw_text_clear(&text);
  assert_int_equal(lw_curve_csv(&text, rows, 1, LW_US, &err), LW_OK);
  assert_holds(
      text.data,
      "level (ft),area (acre),volume (acre-ft),volume low (acre-ft),volume high (acre-ft)\r\n0,1,1,");
  lw_curve_row bad = {0, INFINITY, 0, 0, 0};
  assert_int_equal(lw_curve_csv(&text, &bad, 1, LW_US, &err), LW_INVALID);
  lw_text_free(&text);
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      TEST(geojson_is_as_the_standard_says),
      TEST(depths_count_from_the_water),
      TEST(geopackage_keeps_areas),
      TEST(shapefile_keeps_areas),
      TEST(kml_keeps_areas_and_has_no_altitude),
      TEST(gpx_gets_tracks),
      TEST(other_files_are_refused),
      TEST(the_curve_is_csv),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
