/* SPDX-License-Identifier: Apache-2.0 */
#include "basin/shore.h"

#include "basin/shore_distance.h"
#include "basin/shore_rows.h"

#include <math.h>

lw_status lw_shore_inside(bool *inside, double *outside_m, const lw_shore *shore, const lw_spot *spots,
                          size_t count, lw_arena *arena, lw_error *err)
{
  lw_shore_rows rows;
  lw_shore_tree tree;
  lw_status s = lw_shore_check(shore, err);
  if (s == LW_OK) {
    s = lw_shore_rows_build(&rows, shore, arena, err);
  }
  if (s == LW_OK && outside_m) {
    s = lw_shore_tree_build(&tree, shore, arena, err);
  }
  for (size_t k = 0; s == LW_OK && k < count; k++) {
    if (!isfinite(spots[k].x_m) || !isfinite(spots[k].y_m)) {
      return lw_fail(err, LW_INVALID, "place %zu is not a number; check the coordinates", k + 1);
    }
    inside[k] = lw_shore_rows_inside(&rows, spots[k]);
    if (outside_m) {
      outside_m[k] = inside[k] ? 0 : lw_shore_tree_distance_m(&tree, spots[k]);
    }
  }
  return s;
}
