/* SPDX-License-Identifier: Apache-2.0 */
/* Depth contours out to GeoJSON (RFC 7946) as polygons in longitude and latitude, and through
 * lakeward-geo to GeoPackage, KML, GPX (tracks: it has no polygons) and Shapefile. Each feature is the
 * water deeper than its depth. Also the area and volume curve as CSV (RFC 4180). */
#ifndef LW_EXCHANGE_CONTOUR_WRITE_H
#define LW_EXCHANGE_CONTOUR_WRITE_H

#include "base/arena.h"
#include "base/quantity.h"
#include "base/status.h"
#include "base/text.h"
#include "basin/depth_map.h"
#include "exchange/plane.h"

typedef struct lw_contour_set {
  const lw_contour *contours;
  size_t count;
  const lw_plane *plane; /* they lie in */
  double down_m;        /* pool below full, 0 to 100: depths count from there, what is above it is left out */
  lw_unit_system units; /* of the names: "4 ft", "1.5 m"; fields are in metres */
} lw_contour_set;

/* Adds a FeatureCollection: a MultiPolygon each contour that has rings, with "name", "depth_m" (below the
 * water as it stands) and "area_m2". Positions to 1e-8 degree. LW_INVALID for spots that are no place or
 * a hole without a ring round it, LW_MEMORY when `out` is full. */
LW_MUST_CHECK lw_status lw_contour_collection(lw_text *out, const lw_contour_set *set, lw_arena *arena,
                                              lw_error *err);

/* Writes the new file `path` by its ending: .geojson or .json (directly), .gpkg, .kml, .gpx, .shp through
 * `program` (see geo_program.h). LW_INVALID for other endings, LW_CONFLICT when it exists. */
LW_MUST_CHECK lw_status lw_contour_file(const char *path, const lw_contour_set *set, const char *program,
                                        lw_arena *arena, lw_error *err);

/* One line of the curve: the pool's level against full pool (m, 0 or below), and the water there. */
typedef struct lw_curve_row {
  double level_m, area_m2, volume_m3, volume_low_m3, volume_high_m3;
} lw_curve_row;

/* Adds the table: "level (m),area (m2),volume (m3),volume low (m3),volume high (m3)", or in ft, acre and
 * acre-ft. Low and high are the 90 % interval. LW_INVALID for a number that is not finite. */
LW_MUST_CHECK lw_status lw_curve_csv(lw_text *out, const lw_curve_row *rows, size_t count,
                                     lw_unit_system units, lw_error *err);

#endif
