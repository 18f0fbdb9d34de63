/* SPDX-License-Identifier: Apache-2.0 */
/* The shore as edges: edge k runs from spot k to the next spot of its ring. Private to basin. */
#ifndef LW_BASIN_SHORE_EDGES_H
#define LW_BASIN_SHORE_EDGES_H

#include "basin/shore.h"

#include <stdint.h>

/* Nodes a frame may have (each costs some tens of bytes here). */
#define LW_FRAME_NODES_MOST 20000000u

/* Where an edge cuts the line at height y. Reckoned from the lower end, whatever the way the ring runs,
 * so that an edge shared by two rings gives one and the same place. Only for edges with lw_edge_cuts. */
static inline double lw_edge_x_m(lw_spot a, lw_spot b, double y_m)
{
  lw_spot low = a.y_m < b.y_m ? a : b;
  lw_spot high = a.y_m < b.y_m ? b : a;
  return low.x_m + (y_m - low.y_m) * ((high.x_m - low.x_m) / (high.y_m - low.y_m));
}

/* Half-open: a spot on the line belongs to what lies above it, so that a ring cuts any line an even
 * number of times. */
static inline bool lw_edge_cuts(lw_spot a, lw_spot b, double y_m)
{
  return (a.y_m <= y_m) != (b.y_m <= y_m);
}

/* The spot after spot k of ring r. */
static inline size_t lw_shore_next(const lw_shore *shore, size_t r, size_t k)
{
  return k + 1 < shore->ring_start[r + 1] ? k + 1 : shore->ring_start[r];
}

/* +1 where a ring runs with the water on its left, -1 on its right, 0 when it has no height: the factor
 * that makes signed areas of all rings add up to the even-odd area. Costs one look at every edge. */
int lw_shore_ring_sign(const lw_shore *shore, size_t ring);

/* At least 2 nodes each way, a finite positive step, places within 1e8 m, LW_FRAME_NODES_MOST nodes. */
LW_MUST_CHECK lw_status lw_frame_check(const lw_frame *frame, lw_error *err);

#endif
