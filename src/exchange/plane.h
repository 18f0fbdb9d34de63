/* SPDX-License-Identifier: Apache-2.0 */
/* The local metric plane of a water: a transverse Mercator projection (WGS 84) about the middle of its
 * outline, by PROJ, in which a metre is a metre to one part in a million over ten kilometres. x east, y
 * north, (0, 0) at the middle. Also coordinates in another system ("EPSG:32616") to longitude and latitude.
 */
#ifndef LW_EXCHANGE_PLANE_H
#define LW_EXCHANGE_PLANE_H

#include "base/arena.h"
#include "base/status.h"
#include "basin/shore.h"

typedef struct lw_plane lw_plane;

/* In the arena; PROJ's own memory is released by lw_plane_close. LW_INVALID for places that are none. */
LW_MUST_CHECK lw_status lw_plane_open(lw_plane **out, double longitude, double latitude, lw_arena *arena,
                                      lw_error *err);
void lw_plane_close(lw_plane *plane); /* accepts NULL */

/* Pairs (longitude, latitude) to spots and back, `count` at once; out and in may not overlap. */
LW_MUST_CHECK lw_status lw_plane_to(lw_spot *out, const double *lon_lat, size_t count, const lw_plane *plane,
                                    lw_error *err);
LW_MUST_CHECK lw_status lw_plane_from(double *lon_lat, const lw_spot *spots, size_t count,
                                      const lw_plane *plane, lw_error *err);

/* A polygon geometry (GeoJSON text) as a shore in the plane; its rings without the repeated spot. */
LW_MUST_CHECK lw_status lw_plane_shore(lw_shore *out, const char *geojson, const lw_plane *plane,
                                       lw_arena *arena, lw_error *err);

/* The middle (bounding box) of a polygon geometry, to open its plane at. */
LW_MUST_CHECK lw_status lw_plane_middle(double *out_longitude, double *out_latitude, const char *geojson,
                                        lw_arena *arena, lw_error *err);

/* x/y pairs of the named system (anything PROJ knows: "EPSG:32616", "EPSG:26916") to longitude and
 * latitude in place. LW_INVALID when the name is unknown or positions fall off the Earth. */
LW_MUST_CHECK lw_status lw_plane_unproject(double *pairs, size_t count, const char *system, lw_error *err);

#endif
