/* SPDX-License-Identifier: Apache-2.0 */
/* Polygons in longitude and latitude as one geometry: is it simple, where is its inside, how large is
 * it on the ellipsoid. GEOS judges crossings (in degrees: fine for shapes the size of a water), PROJ's
 * geodesics measure (Karney 2013, J. Geodesy 87:43, WGS 84). Private to exchange. */
#ifndef LW_EXCHANGE_POLYGONS_H
#define LW_EXCHANGE_POLYGONS_H

#include "base/arena.h"
#include "base/status.h"
#include "exchange/geojson.h"

typedef struct lw_polygons_size {
  double area_m2, perimeter_m; /* islands taken out of the area, counted in the perimeter */
  size_t largest;              /* group of the largest polygon */
} lw_polygons_size;

/* Refuses rings that cross or touch themselves and islands out of their polygon, with the place.
 * Polygons that only share shore are joined (the list is replaced); polygons that overlap are
 * refused, because one of them may be an island. `name` is for messages. */
LW_MUST_CHECK lw_status lw_polygons_check(lw_ring_list *polygons, const char *name, lw_arena *arena,
                                          lw_error *err);

/* A point inside polygon `group` of a checked list. */
LW_MUST_CHECK lw_status lw_polygons_inside(const lw_ring_list *polygons, size_t group, double out[2],
                                           lw_error *err);

/* Measures a checked list and turns its rings as RFC 7946 wants them: outer counter-clockwise,
 * islands clockwise. */
LW_MUST_CHECK lw_status lw_polygons_measure(lw_ring_list *polygons, lw_polygons_size *out, lw_error *err);

/* Makes polygons of lines, as walked round a shore. Lines whose pieces are all closed: each feature
 * is a polygon, its largest ring the shore, the others islands. Otherwise one feature only: its
 * pieces are strung together and closed, unless the gaps (between pieces, and from the end back to
 * the start) are together more than 5 % of the walk. */
LW_MUST_CHECK lw_status lw_polygons_from_lines(const lw_ring_list *lines, lw_ring_list *out, const char *name,
                                               lw_arena *arena, lw_error *err);

#endif
