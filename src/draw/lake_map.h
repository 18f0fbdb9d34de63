/* SPDX-License-Identifier: Apache-2.0 */
/* A water's depth map on one sheet of paper, to a round scale: shaded depth with its legend, contours with
 * labels, zones and hazards in words, scale bar, north arrow, what it rests on, and the caution that it
 * is not for navigation. SVG, PNG or PDF bytes; the same input gives the same bytes on one machine.
 *
 * Lightness in even steps of CIE L* (CIE 15). The libraries Cairo and Pango are opened on first use. */
#ifndef LW_DRAW_LAKE_MAP_H
#define LW_DRAW_LAKE_MAP_H

#include "base/arena.h"
#include "base/dates.h"
#include "base/quantity.h"
#include "base/status.h"
#include "basin/depth_map.h"
#include "basin/shore.h"
#include "basin/soundings.h"
#include "draw/picture.h"

#include <stddef.h>

typedef enum lw_zone_shape { LW_ZONE_AREA, LW_ZONE_LINE, LW_ZONE_SPOT } lw_zone_shape;

/* A zone in the water's plane. Its parts stand in `place` as rings do in a shore: rings of an area, lines
 * (2 spots or more), or spots (one each). */
typedef struct lw_map_zone {
  const char *name; /* UTF-8; may be "" */
  const char *kind; /* of records.h: bay|hazard|channel|launch|inlet|spillway|swimming|platform */
  lw_zone_shape shape;
  lw_shore place;
} lw_map_zone;

/* All text is UTF-8 without control characters. Distances in metres in the local plane (north up). */
typedef struct lw_lake_map {
  const char *name;
  const lw_depth_map *map; /* for the deepest place and the room between contours */
  lw_shore shore;
  /* As from lw_map_contours, depths below full pool, growing, each (after the waterline's) one interval
   * deeper. With the pool down, one of them lies at down_m: the waterline. Those above it are not drawn. */
  const lw_contour *contours;
  size_t contour_count;
  const lw_sounding *soundings; /* the good ones are drawn as dots; NULL: none */
  size_t sounding_count;
  const lw_map_zone *zones;
  size_t zone_count;
  double down_m; /* pool below full, 0 to 100; depths and labels count from there */
  lw_unit_system units;
  lw_paper paper;
  const char *date;         /* "15 Apr 2026": under the title */
  const char *level;        /* "the pool full", "the pool 1.5 ft down": 'Depths with ...' */
  const char *const *facts; /* lines about area, volume and its 90 % interval, at most LW_MAP_FACTS; long
                               ones are set smaller, and at last cut with an ellipsis */
  size_t fact_count;
  const char *sources; /* what it rests on: surveys, method, error; NULL or "": none */
  lw_instant made_at;  /* written into the file */
} lw_lake_map;

enum { LW_MAP_FACTS = 10, LW_MAP_TEXT_MOST = 400, LW_MAP_ZONES = 200, LW_MAP_SPOTS_MOST = 4000000 };

/* LW_INVALID for what cannot be drawn (no shore, spots that are not finite or farther than 1e6 m, text
 * that is not clean UTF-8, no waterline among the contours), LW_LIMIT past the sizes above or a water over
 * about 150 km long, LW_NOT_FOUND without the libraries or any font. Everything in the arena. */
LW_MUST_CHECK lw_status lw_lake_map_draw(lw_picture *out, const lw_lake_map *map, lw_picture_format format,
                                         lw_arena *arena, lw_error *err);

#endif
