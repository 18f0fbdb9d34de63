/* SPDX-License-Identifier: Apache-2.0 */
/* How contours are drawn. Nodes are sorted into those deeper than the level and inside the shore, and the
 * others; a line runs between them along the cells (marching squares: Lorensen & Cline 1987, SIGGRAPH 21,
 * in the plane), where a saddle is joined or parted as its bilinear bed is (asymptotic decider: Nielson &
 * Hamann 1991, IEEE Visualization). On each side of a cell there is one place at most where the line
 * passes, and no line passes through a node, so rings can neither touch nor cross. Private to basin.
 *
 * A line between an inside node and one beyond the shore lies where the bed reaches the level or at the
 * shore, whichever comes first; between two places on the shore it follows the shore through the cell. */
#ifndef LW_BASIN_CONTOURS_PARTS_H
#define LW_BASIN_CONTOURS_PARTS_H

#include "basin/depth_map.h"

#include <stdint.h>

#define LW_NO_EDGE SIZE_MAX

/* Where the shore cuts the side of a cell: `side` is the number of the side's first node along its line
 * of nodes, `share` (0 to 1) how far along, `edge` the shore's edge. */
typedef struct lw_shore_cut {
  size_t side;
  double share;
  size_t edge;
} lw_shore_cut;

typedef struct lw_shore_cuts {
  lw_shore_cut *list; /* by side, then share */
  size_t count;
} lw_shore_cuts;

/* The map's nodes with one row more on every side, so that every line closes: node (i, j) here is the
 * map's (i - 1, j - 1). */
typedef struct lw_level_grid {
  const lw_depth_map *map;
  const lw_shore *shore;
  size_t wide, high;         /* nodes */
  float *inside_m;           /* depth of a node inside the shore, -INFINITY of any other */
  lw_shore_cuts across;      /* of sides running east; side j * wide + i begins at node (i, j) */
  lw_shore_cuts along;       /* of sides running north; side i * high + j begins at node (i, j) */
  uint32_t *next, *previous; /* of each spot of the shore in its ring */
} lw_level_grid;

LW_MUST_CHECK lw_status lw_level_grid_build(lw_level_grid *out, const lw_depth_map *map,
                                            const lw_shore *shore, lw_arena *arena, lw_error *err);

/* Where the shore cuts the side from node `from` inside to its neighbour `to` outside: how far along from
 * `from` (0 to 1), and the shore's edge (LW_NO_EDGE when rounding hid it; then half way). */
double lw_level_grid_shore(const lw_level_grid *grid, size_t from, size_t to, size_t *out_edge);

/* A ring as traced. `outer` is the ring it is a hole of, its own number for an outer ring. */
typedef struct lw_traced_ring {
  size_t first, count; /* its spots */
  double area_m2;      /* negative: a hole */
  size_t outer;
} lw_traced_ring;

typedef struct lw_tracing {
  lw_spot *spots;
  size_t spot_count, spot_room;
  lw_traced_ring *rings;
  size_t ring_count, ring_room;
  uint32_t *label; /* of each side running east: 1 + base + ring that passed it, for rings of this level */
  uint32_t base;   /* labels given to earlier levels */
} lw_tracing;

/* Room for a grid's rings; lw_tracing_end accepts one that never began (all 0). */
LW_MUST_CHECK lw_status lw_tracing_begin(lw_tracing *out, const lw_level_grid *grid, lw_error *err);
void lw_tracing_end(lw_tracing *tracing);

/* All rings of one level, replacing those of the level before. */
LW_MUST_CHECK lw_status lw_tracing_level(lw_tracing *tracing, const lw_level_grid *grid, double level_m,
                                         lw_error *err);

/* The shore itself as the rings of depth 0, outer ones counter-clockwise. */
LW_MUST_CHECK lw_status lw_tracing_shore(lw_tracing *tracing, const lw_shore *shore, lw_error *err);

LW_MUST_CHECK lw_status lw_tracing_add_spot(lw_tracing *tracing, lw_spot spot, lw_error *err);
LW_MUST_CHECK lw_status lw_tracing_add_ring(lw_tracing *tracing, lw_traced_ring ring, lw_error *err);

/* Signed area of the spots from `first` on, m2: positive counter-clockwise. */
double lw_tracing_area_m2(const lw_tracing *tracing, size_t first);

#endif
