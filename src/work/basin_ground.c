/* SPDX-License-Identifier: Apache-2.0 */
/* From the GeoJSON of records to shapes in the water's metric plane. */
#include "work/basin_bed.h"

#include <jansson.h>
#include <string.h>

enum { LINE_MOST = 100000 };

lw_status lw_ground_open(lw_ground *out, const lw_water *water, const lw_desk *desk, lw_error *err)
{
  double longitude = 0;
  double latitude = 0;
  *out = (lw_ground){.plane = NULL};
  if (!water->outline) {
    return lw_fail(err, LW_INVALID,
                   "%s has no outline: give one with 'water set \"%s\" --outline FILE' (GeoJSON, KML, GPX, "
                   "Shapefile or GeoPackage), or draw it on the page",
                   water->name, water->name);
  }
  lw_status s = lw_plane_middle(&longitude, &latitude, water->outline, desk->arena, err);
  s = s == LW_OK ? lw_plane_open(&out->plane, longitude, latitude, desk->arena, err) : s;
  return s == LW_OK ? lw_plane_shore(&out->shore, water->outline, out->plane, desk->arena, err) : s;
}

bool lw_geometry_has_area(const char *geojson)
{
  json_t *geometry = geojson ? json_loads(geojson, 0, NULL) : NULL;
  const char *type = json_string_value(json_object_get(geometry, "type"));
  bool has = type && (strcmp(type, "Polygon") == 0 || strcmp(type, "MultiPolygon") == 0);
  json_decref(geometry);
  return has;
}

static bool read_position(double out[2], const json_t *position)
{
  const json_t *longitude = json_array_get(position, 0);
  const json_t *latitude = json_array_get(position, 1);
  out[0] = json_number_value(longitude);
  out[1] = json_number_value(latitude);
  return json_is_number(longitude) && json_is_number(latitude);
}

static lw_status read_positions(double **out, size_t *out_count, const json_t *list, const lw_desk *desk,
                                lw_error *err)
{
  size_t count = json_array_size(list);
  if (count > LINE_MOST) {
    return lw_fail(err, LW_LIMIT, "a line of %zu positions; at most %d are read", count, LINE_MOST);
  }
  *out = lw_arena_alloc(desk->arena, count + 1, 2 * sizeof(double));
  if (!*out) {
    return lw_fail(err, LW_MEMORY, "no memory for a line");
  }
  for (size_t i = 0; i < count; i++) {
    if (!read_position(*out + 2 * i, json_array_get(list, i))) {
      return lw_fail(err, LW_INVALID, "position %zu of a line is not longitude and latitude", i + 1);
    }
  }
  *out_count = count;
  return LW_OK;
}

lw_status lw_line_pairs(double **out, size_t *out_count, const char *geojson, const lw_desk *desk,
                        lw_error *err)
{
  json_t *geometry = geojson ? json_loads(geojson, 0, NULL) : NULL;
  const char *type = json_string_value(json_object_get(geometry, "type"));
  json_t *coordinates = json_object_get(geometry, "coordinates");
  lw_status s = LW_OK;
  *out = NULL;
  *out_count = 0;
  if (type && strcmp(type, "LineString") == 0) {
    s = read_positions(out, out_count, coordinates, desk, err);
  } else if (type && strcmp(type, "Point") == 0) {
    json_t *one = json_pack("[O]", coordinates);
    s = read_positions(out, out_count, one, desk, err);
    json_decref(one);
  }
  json_decref(geometry);
  return s;
}
