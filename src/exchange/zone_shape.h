/* SPDX-License-Identifier: Apache-2.0 */
/* The shape of a zone in longitude and latitude (WGS 84): a place (a launch, a stump), a line (the old
 * channel, a row of posts) or a polygon (a bay). Polygons are checked and measured as outlines are. */
#ifndef LW_EXCHANGE_ZONE_SHAPE_H
#define LW_EXCHANGE_ZONE_SHAPE_H

#include "base/arena.h"
#include "base/maybe.h"
#include "base/status.h"

#include <stddef.h>

typedef struct lw_zone_shape {
  const char *geojson;                      /* Point, LineString, Polygon or MultiPolygon, in the arena */
  lw_maybe area_m2;                         /* of polygons */
  double middle_longitude, middle_latitude; /* a position of it */
} lw_zone_shape;

enum { LW_ZONE_POSITIONS = 20000 };

/* `geojson`: a geometry, a Feature of one, or a FeatureCollection of one Feature (polygons: several).
 * A line that ends where it began is taken as a polygon. Coordinates are kept to 1e-8 degree, altitudes
 * dropped. LW_INVALID with the place and the likely cause: out of range, latitude first, metres of a map
 * grid, no shape at all, several points or lines where one is wanted; LW_LIMIT past LW_ZONE_POSITIONS
 * positions of a line. `name` is for messages. */
LW_MUST_CHECK lw_status lw_zone_shape_parse(lw_zone_shape *out, const char *name, const char *geojson,
                                            size_t length, lw_arena *arena, lw_error *err);

/* By the file's ending, as lw_outline_read. */
LW_MUST_CHECK lw_status lw_zone_shape_read(lw_zone_shape *out, const char *path, const char *geo_program,
                                           lw_arena *arena, lw_error *err);

/* A single place. */
LW_MUST_CHECK lw_status lw_zone_shape_point(lw_zone_shape *out, const char *name, double longitude,
                                            double latitude, lw_arena *arena, lw_error *err);

#endif
