/* SPDX-License-Identifier: Apache-2.0 */
/* Distance of a spot to the nearest edge of the shore: boxes about runs of edges, boxes about pairs of
 * boxes, and so on up. Private to basin. */
#ifndef LW_BASIN_SHORE_DISTANCE_H
#define LW_BASIN_SHORE_DISTANCE_H

#include "basin/shore.h"

typedef struct lw_shore_tree {
  lw_spot (*edges)[2];
  size_t edge_count;
  lw_box *boxes;  /* a heap: box 1 is the root, box b holds 2 b and 2 b + 1 */
  size_t leaves;  /* a power of two; leaf k is box leaves + k */
  size_t nearest; /* edge found last: the first guess for the next spot */
} lw_shore_tree;

/* In the arena; the shore has been checked. */
LW_MUST_CHECK lw_status lw_shore_tree_build(lw_shore_tree *out, const lw_shore *shore, lw_arena *arena,
                                            lw_error *err);

/* m; `spot` finite. Not for two threads at once (it remembers the edge found). */
double lw_shore_tree_distance_m(lw_shore_tree *tree, lw_spot spot);

#endif
