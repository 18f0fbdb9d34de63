/* SPDX-License-Identifier: Apache-2.0 */
/* A water's bed on a regular grid, and what is measured on it: depth at a spot, area and volume at any
 * pool level, shares shallower than a depth, volumes of zones and layers, contours. Depths are below
 * full pool (the level of the outline); between nodes the bed is bilinear; inside is what the shore
 * covers of each cell. */
#ifndef LW_BASIN_DEPTH_MAP_H
#define LW_BASIN_DEPTH_MAP_H

#include "base/arena.h"
#include "base/status.h"
#include "basin/shore.h"

typedef struct lw_depth_map {
  lw_frame frame;
  float *depth_m;        /* a node: below full pool; NAN where the node is no corner of a wet cell; may be a
                            little negative at nodes just outside the shore (the bank) */
  float *error_m;        /* a node: one standard error of the depth; NAN as above; NULL when not reckoned */
  float *cover;          /* a cell: share inside the shore, 0 to 1 */
  const lw_shore *shore; /* that of the cover, for lw_zone_cover; NULL when it is not at hand */
} lw_depth_map;

/* Depth (m, at least 0) and its error (m, NAN when there is none) at a spot; LW_NOT_FOUND off the
 * water (cell with cover 0). */
LW_MUST_CHECK lw_status lw_map_depth_at(double *out_depth_m, double *out_error_m, const lw_depth_map *map,
                                        lw_spot spot, lw_error *err);

/* Water area and volume with the pool `down_m[k]` below full pool (0: full; growing; negative levels,
 * above full pool, keep the shore upright: area as at full pool), for `count` levels at once, in one
 * pass. Exact for the bilinear bed but for the last digits of a quadrature; of a cell the shore passes that
 * part counts which a straight shore of its share cuts off. `zone_cover` NULL: the whole water; otherwise
 * only that share of each cell, as from lw_zone_cover. Levels within 10,000 m, 100,000 of them;
 * LW_INTERNAL when a wet cell has no depth. */
LW_MUST_CHECK lw_status lw_map_curve(double *area_m2, double *volume_m3, const lw_depth_map *map,
                                     const float *zone_cover, const double *down_m, size_t count,
                                     lw_error *err);

/* Share of each cell inside both the water and the zone, for lw_map_curve. Where both lines pass one cell
 * their common part is measured along 16 level lines across it when map->shore is given, so that zones
 * which divide the water add up to it and a zone drawn along the shore gets all of it; without map->shore
 * the lesser of the two shares stands, which is too much where a zone's side meets the shore. */
LW_MUST_CHECK lw_status lw_zone_cover(float **out, const lw_depth_map *map, const lw_shore *zone,
                                      lw_arena *arena, lw_error *err);

/* Share (0 to 1) of the water's area shallower than each depth, pool `down_m` below full. */
LW_MUST_CHECK lw_status lw_map_shallower(double *share, const lw_depth_map *map, double down_m,
                                         const double *depth_m, size_t count, lw_error *err);

/* Volume above and below a plane `plane_m` under the water surface (a thermocline), pool `down_m` below
 * full. */
LW_MUST_CHECK lw_status lw_map_layers(double *out_above_m3, double *out_below_m3, const lw_depth_map *map,
                                      double down_m, double plane_m, lw_error *err);

/* The deepest node inside, m. */
double lw_map_deepest_m(const lw_depth_map *map);

/* Depth contours as clean polygons: for each depth the region deeper than it, outer rings
 * counter-clockwise each followed by its holes (clockwise), closed without repeating the first spot, no
 * ring crossing or touching itself or another, slivers under a tenth of a cell left out, smoothed by
 * nothing: they are the level lines of the bilinear bed within the shore, as straight pieces from cell side
 * to cell side. Depth 0 is the shore itself. Where the bed is deep at the shore the line follows it;
 * water or land narrower than a cell may be missing there or broken up. */
typedef struct lw_contour_ring {
  const lw_spot *spots;
  size_t count;
  bool hole;
} lw_contour_ring;

typedef struct lw_contour {
  double depth_m; /* below full pool */
  const lw_contour_ring *rings;
  size_t ring_count;
  double area_m2; /* of the rings */
} lw_contour;

enum { LW_CONTOURS_MOST = 200 };

/* Depths growing, at most LW_CONTOURS_MOST. Everything in the arena. */
LW_MUST_CHECK lw_status lw_map_contours(lw_contour **out, const lw_depth_map *map, const lw_shore *shore,
                                        const double *depth_m, size_t count, lw_arena *arena, lw_error *err);

#endif
