/* SPDX-License-Identifier: Apache-2.0 */
/* GeoJSON (RFC 7946) to plain rings of longitude and latitude. Checks what can be told from single
 * positions and rings; what needs geometry (crossings, area) is polygons.h's. Private to exchange. */
#ifndef LW_EXCHANGE_GEOJSON_H
#define LW_EXCHANGE_GEOJSON_H

#include "base/arena.h"
#include "base/status.h"

#include <stdbool.h>
#include <stddef.h>

/* Positions as pairs, longitude first. A ring's last position repeats its first. */
typedef struct lw_ring {
  double *lon_lat;
  size_t count; /* positions, the repeated one included */
  size_t group; /* its polygon, or for lines the feature they are pieces of */
  bool hole;
} lw_ring;

typedef struct lw_ring_list {
  lw_ring *rings;
  size_t count, capacity, groups;
} lw_ring_list;

typedef struct lw_geometry {
  lw_ring_list polygons; /* each outer ring followed by its holes */
  lw_ring_list lines;
  size_t points, positions;
} lw_geometry;

enum { LW_GEOJSON_BYTES = 32 * 1024 * 1024 };

/* Reads `text`. Coordinates are rounded to 1e-8 degree (a millimetre); positions that repeat the one
 * before are dropped, altitudes too. Faults go to `err` with `name`, line and column. */
LW_MUST_CHECK lw_status lw_geojson_read(lw_geometry *out, const char *name, const char *text, size_t length,
                                        lw_arena *arena, lw_error *err);

/* Room for one more ring at the end of the list, NULL on no memory. */
lw_ring *lw_ring_list_add(lw_ring_list *list, lw_arena *arena);

/* Rounds, drops repeated positions; true when at least 4 remain, first and last the same. */
bool lw_ring_tidy(lw_ring *ring);

#endif
