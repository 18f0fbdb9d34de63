/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/contour_write.h"

#include "exchange/files.h"
#include "exchange/geo_program.h"

#include <math.h>
#include <string.h>

enum { TEXT_MOST = 60 * 1024 * 1024 };

static const double foot_m = 0.3048;
static const double acre_m2 = 4046.8564224;
static const double acre_foot_m3 = 4046.8564224 * 0.3048;

/* --- one contour --- */

static void write_position(lw_text *out, const double at[2])
{
  lw_text_addf(out, "[%.8f,%.8f]", at[0], at[1]);
}

/* Closed, as RFC 7946 wants it. */
static lw_status write_ring(lw_text *out, const lw_contour_ring *ring, const lw_plane *plane, lw_arena *arena,
                            lw_error *err)
{
  if (ring->count < 3) {
    return lw_fail(err, LW_INVALID, "a contour's ring has %zu spots; expected at least 3", ring->count);
  }
  double *positions = LW_NEW(arena, double, 2 * ring->count);
  if (!positions) {
    return lw_fail(err, LW_MEMORY, "there is no memory for a contour of %zu spots", ring->count);
  }
  lw_status status = lw_plane_from(positions, ring->spots, ring->count, plane, err);
  if (status != LW_OK) {
    return status;
  }
  lw_text_add(out, "[");
  for (size_t i = 0; i < ring->count; i++) {
    write_position(out, positions + 2 * i);
    lw_text_add(out, ",");
  }
  write_position(out, positions);
  lw_text_add(out, "]");
  return LW_OK;
}

/* Rings come as outer ring, its holes, outer ring, ... */
static lw_status write_rings(lw_text *out, const lw_contour *contour, const lw_plane *plane, lw_arena *arena,
                             lw_error *err)
{
  lw_status status = LW_OK;
  for (size_t r = 0; r < contour->ring_count && status == LW_OK; r++) {
    bool hole = contour->rings[r].hole;
    if (hole && r == 0) {
      return lw_fail(err, LW_INVALID, "the contour at %g m begins with a hole", contour->depth_m);
    }
    lw_text_add(out, hole ? "," : r > 0 ? "],\n[" : "[");
    status = write_ring(out, &contour->rings[r], plane, arena, err);
  }
  lw_text_add(out, "]");
  return status;
}

static double depth_of(const lw_contour_set *set, const lw_contour *contour)
{
  double depth_m = contour->depth_m - set->down_m;
  return fabs(depth_m) < 1e-6 ? 0 : depth_m; /* the waterline itself */
}

static lw_status write_feature(lw_text *out, const lw_contour_set *set, const lw_contour *contour,
                               lw_arena *arena, lw_error *err)
{
  char number[LW_NUMBER_MAX];
  double depth_m = depth_of(set, contour);
  if (!isfinite(depth_m) || !isfinite(contour->area_m2)) {
    return lw_fail(err, LW_INVALID, "a contour's depth (%g m) or area (%g m2) is not a number", depth_m,
                   contour->area_m2);
  }
  bool feet = set->units == LW_US;
  double shown = round((feet ? depth_m / foot_m : depth_m) * 100) / 100;
  lw_text_addf(out, "{\"type\":\"Feature\",\"properties\":{\"name\":\"%s %s\"",
               lw_rounded_text(shown, 6, number), feet ? "ft" : "m");
  lw_text_addf(out, ",\"depth_m\":%s", lw_number_text(round(depth_m * 1e6) / 1e6, number));
  lw_text_addf(out, ",\"area_m2\":%s", lw_number_text(round(contour->area_m2 * 100) / 100, number));
  lw_text_add(out, "},\"geometry\":{\"type\":\"MultiPolygon\",\"coordinates\":[");
  lw_status status = write_rings(out, contour, set->plane, arena, err);
  lw_text_add(out, "]}}");
  return status;
}

lw_status lw_contour_collection(lw_text *out, const lw_contour_set *set, lw_arena *arena, lw_error *err)
{
  const char *before = "\n";
  lw_text_add(out, "{\"type\":\"FeatureCollection\",\"features\":[");
  for (size_t k = 0; k < set->count; k++) {
    const lw_contour *contour = &set->contours[k];
    if (contour->ring_count == 0 || depth_of(set, contour) < 0) {
      continue;
    }
    lw_text_add(out, before);
    lw_status status = write_feature(out, set, contour, arena, err);
    if (status != LW_OK) {
      return status;
    }
    before = ",\n";
  }
  lw_text_add(out, "\n]}\n");
  return out->failed ? lw_fail(err, LW_MEMORY,
                               "there is no memory for %zu contours, or they take more than %zu "
                               "bytes; use a larger interval",
                               set->count, out->max)
                     : LW_OK;
}

/* --- files --- */

static const char *kind_of(const char *path)
{
  static const char *const kinds[] = {"geojson", "json", "gpkg", "kml", "gpx", "shp"};
  const char *dot = strrchr(path, '.');
  for (size_t i = 0; dot && i < sizeof kinds / sizeof *kinds; i++) {
    if (lw_same_word(dot + 1, kinds[i])) {
      return kinds[i];
    }
  }
  return NULL;
}

lw_status lw_contour_file(const char *path, const lw_contour_set *set, const char *program, lw_arena *arena,
                          lw_error *err)
{
  const char *kind = kind_of(path);
  if (!kind) {
    return lw_fail(err, LW_INVALID, "%s: contours are written to .geojson, .gpkg, .kml, .gpx and .shp files",
                   path);
  }
  lw_text text = LW_TEXT(TEXT_MOST);
  lw_status status = lw_contour_collection(&text, set, arena, err);
  if (status == LW_OK) {
    bool plain = strcmp(kind, "geojson") == 0 || strcmp(kind, "json") == 0;
    status = plain ? lw_file_write(path, text.data, text.length, 0, err)
                   : lw_geo_write(kind, path, text.data, text.length, program, arena, err);
  }
  lw_text_free(&text);
  return status;
}

/* --- the curve --- */

static void write_number(lw_text *out, double value, const char *after)
{
  char number[LW_NUMBER_MAX];
  lw_text_addf(out, "%s%s", lw_rounded_text(value, 8, number), after);
}

lw_status lw_curve_csv(lw_text *out, const lw_curve_row *rows, size_t count, lw_unit_system units,
                       lw_error *err)
{
  bool us = units == LW_US;
  double length_m = us ? foot_m : 1, area_m2 = us ? acre_m2 : 1, volume_m3 = us ? acre_foot_m3 : 1;
  lw_text_add(out,
              us ? "level (ft),area (acre),volume (acre-ft),volume low (acre-ft),volume high (acre-ft)\r\n"
                 : "level (m),area (m2),volume (m3),volume low (m3),volume high (m3)\r\n");
  for (size_t i = 0; i < count; i++) {
    const lw_curve_row *row = &rows[i];
    if (!isfinite(row->level_m + row->area_m2 + row->volume_m3 + row->volume_low_m3 + row->volume_high_m3)) {
      return lw_fail(err, LW_INVALID, "row %zu of the curve holds a number that is not finite", i + 1);
    }
    write_number(out, row->level_m / length_m + 0.0, ","); /* never "-0" */
    write_number(out, row->area_m2 / area_m2, ",");
    write_number(out, row->volume_m3 / volume_m3, ",");
    write_number(out, row->volume_low_m3 / volume_m3, ",");
    write_number(out, row->volume_high_m3 / volume_m3, "\r\n");
  }
  return out->failed ? lw_fail(err, LW_MEMORY, "there is no memory for %zu rows of the curve", count) : LW_OK;
}
