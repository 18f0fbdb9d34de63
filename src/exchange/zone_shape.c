/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/zone_shape.h"

#include "base/text.h"
#include "exchange/files.h"
#include "exchange/geo_program.h"
#include "exchange/geojson.h"
#include "exchange/geojson_check.h"
#include "exchange/json_memory.h"
#include "exchange/outline.h"

#include <errno.h>
#include <jansson.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>
#include <unistd.h>

enum { POSITION_BYTES = 48 };

static lw_status no_memory(const char *name, lw_error *err)
{
  return lw_fail_at(err, LW_MEMORY, name, 0, 0, "there is no memory for this shape");
}

static void write_position(lw_text *text, double longitude, double latitude)
{
  char number[LW_NUMBER_MAX];
  lw_text_addf(text, "[%s,", lw_number_text(round(longitude * 1e8) / 1e8 + 0.0, number));
  lw_text_addf(text, "%s]", lw_number_text(round(latitude * 1e8) / 1e8 + 0.0, number));
}

static lw_status keep(lw_zone_shape *out, lw_text *text, const char *name, lw_arena *arena, lw_error *err)
{
  out->geojson = text->failed ? NULL : lw_arena_copy_n(arena, lw_text_view(text), text->length);
  lw_text_free(text);
  return out->geojson ? LW_OK : no_memory(name, err);
}

/* ---- a place ---- */

lw_status lw_zone_shape_point(lw_zone_shape *out, const char *name, double longitude, double latitude,
                              lw_arena *arena, lw_error *err)
{
  char sentence[LW_POSITION_SENTENCE];
  if (!isfinite(longitude) || !isfinite(latitude)) {
    return lw_fail_at(err, LW_INVALID, name, 0, 0, "a place needs a longitude and a latitude in degrees");
  }
  if (!lw_position_is_sound(longitude, latitude, sentence)) {
    return lw_fail_at(err, LW_INVALID, name, 0, 0, "%s", sentence);
  }
  lw_text text = LW_TEXT(200);
  *out = (lw_zone_shape){.middle_longitude = longitude, .middle_latitude = latitude};
  lw_text_add(&text, "{\"type\":\"Point\",\"coordinates\":");
  write_position(&text, longitude, latitude);
  lw_text_add(&text, "}");
  return keep(out, &text, name, arena, err);
}

/* The one geometry of a document that lw_geojson_read has taken as sound, borrowed from it. */
static const json_t *only_geometry(const json_t *root)
{
  const json_t *features = json_object_get(root, "features");
  for (size_t i = 0; i < json_array_size(features); i++) {
    const json_t *geometry = json_object_get(json_array_get(features, i), "geometry");
    if (json_is_object(geometry)) {
      return geometry;
    }
  }
  const json_t *geometry = json_object_get(root, "geometry");
  return geometry ? geometry : root;
}

static lw_status read_point(lw_zone_shape *out, const char *name, const json_t *root, lw_arena *arena,
                            lw_error *err)
{
  const json_t *geometry = only_geometry(root);
  const char *type = json_string_value(json_object_get(geometry, "type"));
  const json_t *coordinates = json_object_get(geometry, "coordinates");
  const json_t *longitude = json_array_get(coordinates, 0);
  const json_t *latitude = json_array_get(coordinates, 1);
  if (!type || strcmp(type, "Point") != 0) {
    return lw_fail_at(err, LW_INVALID, name, 0, 0,
                      "it holds several points; a zone is one place, one line or a polygon: give each a zone "
                      "of its own");
  }
  if (!json_is_number(longitude) || !json_is_number(latitude)) {
    return lw_fail_at(err, LW_INVALID, name, 0, 0,
                      "the coordinates of a Point should be [longitude, latitude] in degrees");
  }
  return lw_zone_shape_point(out, name, json_number_value(longitude), json_number_value(latitude), arena,
                             err);
}

static lw_status parse_point(lw_zone_shape *out, const char *name, const char *text, size_t length,
                             lw_arena *arena, lw_error *err)
{
  size_t mark = length >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
  json_t *root = json_loadb(text + mark, length - mark, JSON_DECODE_INT_AS_REAL, NULL);
  if (!root || lw_json_ran_short()) { /* it was JSON a moment ago */
    json_decref(root);
    return no_memory(name, err);
  }
  lw_status status = read_point(out, name, root, arena, err);
  json_decref(root);
  return status;
}

/* ---- a line ---- */

static lw_status keep_line(lw_zone_shape *out, const lw_ring *line, const char *name, lw_arena *arena,
                           lw_error *err)
{
  if (line->count > LW_ZONE_POSITIONS) {
    return lw_fail_at(err, LW_LIMIT, name, 0, 0, "the line has %zu positions, more than %d; simplify it",
                      line->count, LW_ZONE_POSITIONS);
  }
  if (lw_meridian_jump(line)) {
    return lw_fail_at(err, LW_INVALID, name, 0, 0,
                      "the line jumps across the 180th meridian; check its longitudes");
  }
  const double *before = NULL;
  size_t kept = 0;
  lw_text text = LW_TEXT((size_t)LW_ZONE_POSITIONS * POSITION_BYTES);
  lw_text_add(&text, "{\"type\":\"LineString\",\"coordinates\":[");
  for (size_t i = 0; i < line->count; i++) {
    const double *here = line->lon_lat + 2 * i;
    if (!before || !lw_same_position(before, here)) {
      lw_text_add(&text, kept++ ? "," : "");
      write_position(&text, here[0], here[1]);
      before = here;
    }
  }
  lw_text_add(&text, "]}");
  if (kept < 2) {
    lw_text_free(&text);
    return lw_fail_at(err, LW_INVALID, name, 0, 0, "the line has fewer than 2 different positions");
  }
  const double *middle = line->lon_lat + 2 * (line->count / 2);
  *out = (lw_zone_shape){.middle_longitude = middle[0], .middle_latitude = middle[1]};
  return keep(out, &text, name, arena, err);
}

static bool is_closed(const lw_ring *line)
{
  return line->count >= 4 && lw_same_position(line->lon_lat, line->lon_lat + 2 * (line->count - 1));
}

static lw_status parse_polygon(lw_zone_shape *out, const char *name, const char *geojson, size_t length,
                               lw_arena *arena, lw_error *err)
{
  lw_outline outline;
  lw_status status = lw_outline_parse(&outline, name, geojson, length, arena, err);
  if (status == LW_OK) {
    *out = (lw_zone_shape){.geojson = outline.geojson,
                           .area_m2 = lw_known(outline.area_m2),
                           .middle_longitude = outline.centre_longitude,
                           .middle_latitude = outline.centre_latitude};
  }
  return status;
}

static size_t count_open(const lw_ring_list *lines)
{
  size_t open = 0;
  for (size_t i = 0; i < lines->count; i++) {
    open += !is_closed(&lines->rings[i]);
  }
  return open;
}

lw_status lw_zone_shape_parse(lw_zone_shape *out, const char *name, const char *geojson, size_t length,
                              lw_arena *arena, lw_error *err)
{
  lw_geometry geometry;
  lw_status status = lw_geojson_read(&geometry, name, geojson, length, arena, err);
  if (status != LW_OK) {
    return status;
  }
  size_t open = count_open(&geometry.lines);
  if (geometry.polygons.groups || (geometry.lines.count && !open)) {
    return parse_polygon(out, name, geojson, length, arena, err);
  }
  if (geometry.lines.count == 1) {
    return keep_line(out, &geometry.lines.rings[0], name, arena, err);
  }
  if (geometry.lines.count) {
    return lw_fail_at(err, LW_INVALID, name, 0, 0,
                      "it holds %zu lines; a zone is one place, one line or a polygon: give each a zone of "
                      "its own",
                      geometry.lines.count);
  }
  if (geometry.points == 1) {
    return parse_point(out, name, geojson, length, arena, err);
  }
  return lw_fail_at(err, LW_INVALID, name, 0, 0,
                    geometry.points ? "it holds several points; give each a zone of its own"
                                    : "it holds no point, line or polygon; draw the zone");
}

static lw_status check_ending(const char *path, const char *dot, lw_error *err)
{
  static const char *const through[] = {".kml", ".gpx", ".shp", ".gpkg"};
  for (size_t i = 0; dot && i < sizeof through / sizeof *through; i++) {
    if (lw_same_word(dot, through[i])) {
      return access(path, R_OK) == 0
                 ? LW_OK
                 : lw_fail(err, LW_NOT_FOUND, "%s could not be opened: %s; check the path", path,
                           strerror(errno));
    }
  }
  return lw_fail(err, LW_INVALID,
                 "%s: the file's ending does not tell its format; zones are read from .geojson, .json, .kml, "
                 ".gpx, .shp and .gpkg",
                 path);
}

lw_status lw_zone_shape_read(lw_zone_shape *out, const char *path, const char *geo_program, lw_arena *arena,
                             lw_error *err)
{
  char *text = NULL;
  size_t length = 0;
  const char *dot = strrchr(path, '.');
  bool direct = dot && (lw_same_word(dot, ".geojson") || lw_same_word(dot, ".json"));
  lw_status status = LW_OK;
  if (direct) {
    status = lw_file_read(path, LW_GEOJSON_BYTES, arena, &text, &length, err);
  } else {
    lw_geo_run run = {.program = geo_program, .arguments = {"outline", path}, .file = path};
    status = check_ending(path, dot, err);
    status = status == LW_OK ? lw_geo_program_run(&run, arena, &text, &length, err) : status;
  }
  status = status == LW_OK ? lw_zone_shape_parse(out, path, text, length, arena, err) : status;
  if (status != LW_OK && err && !direct) {
    err->line = 0; /* places in the text handed over, not in the person's file */
    err->column = 0;
  }
  return status;
}
