/* SPDX-License-Identifier: Apache-2.0 */
/* A water's outline: polygons with islands in longitude and latitude (WGS 84), from a file to a
 * checked geometry with its geodesic area and perimeter. GeoJSON (RFC 7946) is read directly; KML,
 * GPX, Shapefile and GeoPackage go through the separate program lakeward-geo, which reads the file
 * under resource limits and hands GeoJSON back. Area and perimeter are exact on the ellipsoid
 * (Karney 2013, J. Geodesy 87:43, as PROJ's geod_polygon functions do). */
#ifndef LW_EXCHANGE_OUTLINE_H
#define LW_EXCHANGE_OUTLINE_H

#include "base/arena.h"
#include "base/status.h"

#include <stddef.h>

typedef struct lw_outline {
  const char *geojson;                      /* normalised geometry (Polygon or MultiPolygon), in the arena */
  double area_m2;                           /* islands taken out */
  double perimeter_m;                       /* outer shores and islands */
  double centre_longitude, centre_latitude; /* a point inside the largest part */
  double west, south, east, north;
  size_t parts, islands, points;
} lw_outline;

enum { LW_OUTLINE_POINTS = 200000 };

/* `geojson`: a Polygon or MultiPolygon geometry, a Feature of one, or a FeatureCollection whose
 * polygon features are taken together; a closed LineString (a GPX track walked round the shore) is
 * taken as a polygon when its ends are within 5 % of its length and closed. Refuses with place and
 * likely cause: coordinates out of range (latitude first, or projected metres), rings that cross
 * themselves (names where), fewer than 4 positions, area under 10 m2 or over 10,000 km2, more than
 * LW_OUTLINE_POINTS positions, anything not RFC 7946 with line and column. `name` is for messages. */
LW_MUST_CHECK lw_status lw_outline_parse(lw_outline *out, const char *name, const char *geojson,
                                         size_t length, lw_arena *arena, lw_error *err);

/* By the file's ending: .geojson .json directly, .kml .gpx .shp .gpkg through lakeward-geo at
 * `geo_program` (NULL: beside this program, then PATH). LW_NOT_FOUND with what to install when the
 * program is absent. */
LW_MUST_CHECK lw_status lw_outline_read(lw_outline *out, const char *path, const char *geo_program,
                                        lw_arena *arena, lw_error *err);

#endif
