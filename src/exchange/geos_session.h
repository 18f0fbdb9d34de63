/* SPDX-License-Identifier: Apache-2.0 */
/* A piece of work with GEOS: polygons to its geometries and back, and an end to shapes so intricate
 * that checking them would take minutes. One session at a time in the process. Private to exchange. */
#ifndef LW_EXCHANGE_GEOS_SESSION_H
#define LW_EXCHANGE_GEOS_SESSION_H

#include "base/arena.h"
#include "exchange/geojson.h"
#include "exchange/libraries.h"

/* Processor time a session may take. 200,000 positions of an ordinary shore take under one second. */
enum { LW_GEOS_SECONDS = 6 };

typedef struct lw_geos_session {
  const lw_geos *geos;
  GEOSContextHandle_t handle;
  const char *name; /* of the file, for messages */
  lw_arena *arena;
  lw_error *err;
} lw_geos_session;

/* Opens the library and a session; every begin that returned LW_OK has its end, on the same thread. */
LW_MUST_CHECK lw_status lw_geos_begin(lw_geos_session *s, const char *name, lw_arena *arena, lw_error *err);
void lw_geos_end(lw_geos_session *s);

/* The fault when GEOS returns nothing: LW_LIMIT when the time was up, LW_INTERNAL otherwise. */
lw_status lw_geos_fail(const lw_geos_session *s);

/* Accepts NULL. */
void lw_geos_destroy(const lw_geos_session *s, GEOSGeometry *geometry);

/* The polygon whose outer ring is rings[first] (*next: the first ring after it), and all polygons.
 * NULL on failure; the caller destroys them. */
GEOSGeometry *lw_geos_make_polygon(const lw_geos_session *s, const lw_ring_list *list, size_t first,
                                   size_t *next);
GEOSGeometry *lw_geos_make_multipolygon(const lw_geos_session *s, const lw_ring_list *list);

/* The polygons of a geometry, rounded as positions are; slivers that round away are left out. */
LW_MUST_CHECK lw_status lw_geos_take_polygons(const lw_geos_session *s, const GEOSGeometry *from,
                                              lw_ring_list *out);

#endif
