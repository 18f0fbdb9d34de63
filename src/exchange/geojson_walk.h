/* SPDX-License-Identifier: Apache-2.0 */
/* The reader of GeoJSON at work: where it stands in the document, how it refuses, and how it takes
 * the coordinates of polygons and lines. Private to geojson.c and geojson_rings.c. */
#ifndef LW_EXCHANGE_GEOJSON_WALK_H
#define LW_EXCHANGE_GEOJSON_WALK_H

#include "exchange/geojson.h"
#include "exchange/json_place.h"

#include <jansson.h>

typedef struct lw_geojson_walk {
  const char *name, *text;
  size_t length;
  lw_json_path path;
  lw_geometry *geometry;
  lw_arena *arena;
  lw_error *err;
} lw_geojson_walk;

/* The way down to the value at hand; each enter has its leave. */
void lw_geojson_enter_key(lw_geojson_walk *w, const char *key);
void lw_geojson_enter_index(lw_geojson_walk *w, size_t index);
void lw_geojson_leave(lw_geojson_walk *w);

/* Faults at the value at hand, with its line and column. */
lw_status lw_geojson_refuse(lw_geojson_walk *w, const char *sentence);
lw_status lw_geojson_refuse_as(lw_geojson_walk *w, lw_status status, const char *sentence);
lw_status lw_geojson_fail_memory(const lw_geojson_walk *w);

/* The "coordinates" of one polygon or line, checked and added to the geometry. */
LW_MUST_CHECK lw_status lw_geojson_read_polygon(lw_geojson_walk *w, const json_t *rings);
LW_MUST_CHECK lw_status lw_geojson_read_line(lw_geojson_walk *w, const json_t *positions, size_t group);

#endif
