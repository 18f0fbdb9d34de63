/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/outline.h"

#include "base/text.h"
#include "exchange/polygons.h"

#include <math.h>

#define SMALLEST_M2 10.0
#define LARGEST_M2 1e10

enum { POSITION_BYTES = 40 };

/* --- the geometry as text --- */

static void write_ring(lw_text *text, const lw_ring *ring)
{
  char number[LW_NUMBER_MAX];
  for (size_t i = 0; i < ring->count; i++) {
    lw_text_add(text, i ? ",[" : "[[");
    lw_text_add(text, lw_number_text(ring->lon_lat[2 * i], number));
    lw_text_add(text, ",");
    lw_text_add(text, lw_number_text(ring->lon_lat[2 * i + 1], number));
    lw_text_add(text, "]");
  }
  lw_text_add(text, "]");
}

static void write_geometry(lw_text *text, const lw_ring_list *polygons)
{
  bool many = polygons->groups > 1;
  lw_text_addf(text, "{\"type\":\"%s\",\"coordinates\":%s", many ? "MultiPolygon" : "Polygon",
               many ? "[" : "");
  for (size_t i = 0; i < polygons->count; i++) {
    bool first = !polygons->rings[i].hole;
    bool last = i + 1 == polygons->count || !polygons->rings[i + 1].hole;
    lw_text_add(text, i == 0 ? "[" : first ? ",[" : ",");
    write_ring(text, &polygons->rings[i]);
    lw_text_add(text, last ? "]" : "");
  }
  lw_text_add(text, many ? "]}" : "}");
}

static lw_status keep_text(lw_outline *out, const lw_ring_list *polygons, const char *name, lw_arena *arena,
                           lw_error *err)
{
  lw_text text = LW_TEXT((size_t)2 * LW_OUTLINE_POINTS * POSITION_BYTES);
  write_geometry(&text, polygons);
  out->geojson = text.failed ? NULL : lw_arena_copy_n(arena, lw_text_view(&text), text.length);
  lw_text_free(&text);
  return out->geojson ? LW_OK : lw_fail_at(err, LW_MEMORY, name, 0, 0, "there is no memory for this outline");
}

/* --- what is told of it --- */

static void describe(lw_outline *out, const lw_ring_list *polygons)
{
  out->west = out->south = INFINITY;
  out->east = out->north = -INFINITY;
  out->parts = polygons->groups;
  for (size_t i = 0; i < polygons->count; i++) {
    const lw_ring *ring = &polygons->rings[i];
    out->islands += ring->hole ? 1 : 0;
    out->points += ring->count - 1;
    for (size_t j = 0; j < ring->count; j++) {
      out->west = fmin(out->west, ring->lon_lat[2 * j]);
      out->east = fmax(out->east, ring->lon_lat[2 * j]);
      out->south = fmin(out->south, ring->lon_lat[2 * j + 1]);
      out->north = fmax(out->north, ring->lon_lat[2 * j + 1]);
    }
  }
}

static lw_status check_area(double area_m2, const char *name, lw_error *err)
{
  if (area_m2 < SMALLEST_M2) {
    return lw_fail_at(
        err, LW_INVALID, name, 0, 0,
        "the outline encloses %.3g m2, too little for a water (at least 10 m2); check its units", area_m2);
  }
  if (area_m2 > LARGEST_M2) {
    return lw_fail_at(err, LW_INVALID, name, 0, 0,
                      "the outline encloses %.0f km2, too much for a water (at most 10,000 km2); check its "
                      "coordinates",
                      area_m2 / 1e6);
  }
  return LW_OK;
}

static lw_status complete(lw_outline *out, lw_ring_list *polygons, const char *name, lw_arena *arena,
                          lw_error *err)
{
  lw_polygons_size size;
  lw_status status = lw_polygons_check(polygons, name, arena, err);
  if (status == LW_OK) {
    status = lw_polygons_measure(polygons, &size, err);
  }
  if (status == LW_OK) {
    status = check_area(size.area_m2, name, err);
  }
  double inside[2] = {0, 0};
  if (status == LW_OK) {
    status = lw_polygons_inside(polygons, size.largest, inside, err);
  }
  if (status != LW_OK) {
    return status;
  }
  lw_outline outline = {.area_m2 = size.area_m2,
                        .perimeter_m = size.perimeter_m,
                        .centre_longitude = inside[0],
                        .centre_latitude = inside[1]};
  describe(&outline, polygons);
  status = keep_text(&outline, polygons, name, arena, err);
  if (status == LW_OK) {
    *out = outline;
  }
  return status;
}

static lw_status refuse_nothing(const lw_geometry *geometry, const char *name, lw_error *err)
{
  if (geometry->points) {
    return lw_fail_at(err, LW_INVALID, name, 0, 0,
                      "it holds points only and no polygon; draw the shore as a polygon");
  }
  return lw_fail_at(err, LW_INVALID, name, 0, 0,
                    "it holds no polygon and no line; draw the shore as a polygon");
}

lw_status lw_outline_parse(lw_outline *out, const char *name, const char *geojson, size_t length,
                           lw_arena *arena, lw_error *err)
{
  lw_geometry geometry;
  lw_status status = lw_geojson_read(&geometry, name, geojson, length, arena, err);
  if (status != LW_OK) {
    return status;
  }
  if (geometry.polygons.groups == 0) {
    if (geometry.lines.count == 0) {
      return refuse_nothing(&geometry, name, err);
    }
    status = lw_polygons_from_lines(&geometry.lines, &geometry.polygons, name, arena, err);
  }
  return status == LW_OK ? complete(out, &geometry.polygons, name, arena, err) : status;
}
