/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/geojson.h"

#include "exchange/geojson_check.h"
#include "exchange/geojson_walk.h"
#include "exchange/json_memory.h"
#include "exchange/plain.h"

#include <stdio.h>
#include <string.h>

enum { DEEPEST_COLLECTION = 8 };

static lw_status read_geometry(lw_geojson_walk *w, const json_t *geometry, size_t group, int deep);

/* A list of polygons, or of lines. */
static lw_status read_each(lw_geojson_walk *w, const json_t *list, size_t group, bool polygons)
{
  if (!json_is_array(list)) {
    return lw_geojson_refuse(w, "the coordinates should be a list");
  }
  lw_status status = LW_OK;
  for (size_t i = 0; i < json_array_size(list) && status == LW_OK; i++) {
    const json_t *item = json_array_get(list, i);
    lw_geojson_enter_index(w, i);
    status = polygons ? lw_geojson_read_polygon(w, item) : lw_geojson_read_line(w, item, group);
    lw_geojson_leave(w);
  }
  return status;
}

/* --- objects --- */

static const char *type_of(const json_t *object)
{
  const char *type = json_string_value(json_object_get(object, "type"));
  return type ? type : "";
}

static lw_status refuse_type(lw_geojson_walk *w, const json_t *object, const char *expected)
{
  char sentence[320];
  char excerpt[LW_EXCERPT];
  if (!json_is_object(object)) {
    (void)snprintf(sentence, sizeof sentence, "this should be a GeoJSON object: %s", expected);
  } else if (!json_is_string(json_object_get(object, "type"))) {
    (void)snprintf(sentence, sizeof sentence, "the member \"type\" is missing; expected %s", expected);
  } else {
    (void)snprintf(sentence, sizeof sentence, "the type '%s' is not expected here; expected %s",
                   lw_excerpt(type_of(object), excerpt), expected);
  }
  return lw_geojson_refuse(w, sentence);
}

static lw_status read_collection(lw_geojson_walk *w, const json_t *collection, size_t group, int deep)
{
  const json_t *members = json_object_get(collection, "geometries");
  if (!json_is_array(members)) {
    return lw_geojson_refuse(w, "a GeometryCollection needs a list \"geometries\"");
  }
  if (deep >= DEEPEST_COLLECTION) {
    return lw_geojson_refuse_as(w, LW_LIMIT, "geometry collections are nested too deeply");
  }
  lw_status status = LW_OK;
  lw_geojson_enter_key(w, "geometries");
  for (size_t i = 0; i < json_array_size(members) && status == LW_OK; i++) {
    lw_geojson_enter_index(w, i);
    status = read_geometry(w, json_array_get(members, i), group, deep + 1);
    lw_geojson_leave(w);
  }
  lw_geojson_leave(w);
  return status;
}

static lw_status read_coordinates(lw_geojson_walk *w, const char *type, const json_t *coordinates,
                                  size_t group)
{
  if (strcmp(type, "Polygon") == 0) {
    return lw_geojson_read_polygon(w, coordinates);
  }
  if (strcmp(type, "LineString") == 0) {
    return lw_geojson_read_line(w, coordinates, group);
  }
  if (strcmp(type, "MultiPolygon") == 0 || strcmp(type, "MultiLineString") == 0) {
    return read_each(w, coordinates, group, type[5] == 'P');
  }
  w->geometry->points++; /* Point or MultiPoint: no part of an outline */
  return LW_OK;
}

static bool is_geometry_type(const char *type)
{
  static const char *const types[] = {"Polygon",         "MultiPolygon", "LineString",
                                      "MultiLineString", "Point",        "MultiPoint"};
  for (size_t i = 0; i < sizeof types / sizeof *types; i++) {
    if (strcmp(type, types[i]) == 0) {
      return true;
    }
  }
  return false;
}

static lw_status read_geometry(lw_geojson_walk *w, const json_t *geometry, size_t group, int deep)
{
  const char *type = type_of(geometry);
  if (strcmp(type, "GeometryCollection") == 0) {
    return read_collection(w, geometry, group, deep);
  }
  if (!is_geometry_type(type)) {
    return refuse_type(w, geometry, "a geometry such as Polygon or MultiPolygon");
  }
  const json_t *coordinates = json_object_get(geometry, "coordinates");
  if (!coordinates) {
    return lw_geojson_refuse(w, "the geometry has no \"coordinates\"");
  }
  lw_geojson_enter_key(w, "coordinates");
  lw_status status = read_coordinates(w, type, coordinates, group);
  lw_geojson_leave(w);
  return status;
}

static lw_status read_feature(lw_geojson_walk *w, const json_t *feature)
{
  if (strcmp(type_of(feature), "Feature") != 0) {
    return refuse_type(w, feature, "a Feature");
  }
  const json_t *geometry = json_object_get(feature, "geometry");
  if (!geometry) {
    return lw_geojson_refuse(w, "the Feature has no \"geometry\"");
  }
  if (json_is_null(geometry)) {
    return LW_OK;
  }
  lw_geojson_enter_key(w, "geometry");
  lw_status status = read_geometry(w, geometry, w->geometry->lines.groups++, 0);
  lw_geojson_leave(w);
  return status;
}

static lw_status read_features(lw_geojson_walk *w, const json_t *root)
{
  const json_t *features = json_object_get(root, "features");
  if (!json_is_array(features)) {
    return lw_geojson_refuse(w, "a FeatureCollection needs a list \"features\"");
  }
  lw_status status = LW_OK;
  lw_geojson_enter_key(w, "features");
  for (size_t i = 0; i < json_array_size(features) && status == LW_OK; i++) {
    lw_geojson_enter_index(w, i);
    status = read_feature(w, json_array_get(features, i));
    lw_geojson_leave(w);
  }
  lw_geojson_leave(w);
  return status;
}

static lw_status check_crs(lw_geojson_walk *w, const json_t *root)
{
  const json_t *properties = json_object_get(json_object_get(root, "crs"), "properties");
  const char *crs = json_string_value(json_object_get(properties, "name"));
  char sentence[LW_POSITION_SENTENCE];
  if (!crs || lw_crs_is_degrees(crs, sentence)) {
    return LW_OK;
  }
  lw_geojson_enter_key(w, "crs");
  lw_status status = lw_geojson_refuse(w, sentence);
  lw_geojson_leave(w);
  return status;
}

static lw_status read_root(lw_geojson_walk *w, const json_t *root)
{
  lw_status status = check_crs(w, root);
  if (status != LW_OK) {
    return status;
  }
  const char *type = type_of(root);
  if (strcmp(type, "FeatureCollection") == 0) {
    return read_features(w, root);
  }
  if (strcmp(type, "Feature") == 0) {
    return read_feature(w, root);
  }
  if (strcmp(type, "GeometryCollection") == 0 || is_geometry_type(type)) {
    return read_geometry(w, root, 0, 0);
  }
  return refuse_type(w, root, "a Polygon, MultiPolygon, Feature or FeatureCollection");
}

lw_status lw_geojson_read(lw_geometry *out, const char *name, const char *text, size_t length,
                          lw_arena *arena, lw_error *err)
{
  if (length > LW_GEOJSON_BYTES) {
    return lw_fail_at(err, LW_LIMIT, name, 0, 0, "the GeoJSON is %zu bytes long; at most %d are read", length,
                      LW_GEOJSON_BYTES);
  }
  size_t mark = length >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
  lw_geometry geometry = {0};
  lw_geojson_walk w = {.name = name,
                       .text = text + mark,
                       .length = length - mark,
                       .geometry = &geometry,
                       .arena = arena,
                       .err = err};
  json_error_t fault;
  (void)lw_json_ran_short();
  json_t *root = json_loadb(w.text, w.length, JSON_REJECT_DUPLICATES | JSON_DECODE_INT_AS_REAL, &fault);
  if (lw_json_ran_short()) {
    json_decref(root);
    return lw_fail_at(err, LW_MEMORY, name, 0, 0, "there is no memory for this outline");
  }
  if (!root) {
    lw_make_plain(fault.text);
    return lw_fail_at(err, LW_INVALID, name, fault.line > 0 ? fault.line : 0,
                      fault.line > 0 ? fault.column : 0, "this is not JSON: %s", fault.text);
  }
  lw_status status = read_root(&w, root);
  json_decref(root);
  if (status == LW_OK) {
    *out = geometry;
  }
  return status;
}
