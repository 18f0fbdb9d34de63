/* SPDX-License-Identifier: Apache-2.0 */
/* The steps from input to basin that its files share. Private to basin. */
#ifndef LW_BASIN_RECKON_H
#define LW_BASIN_RECKON_H

#include "basin/surface.h"

/* Fewer than this: a handful. */
enum { LW_BASIN_FEW_SOUNDINGS = 30 };

/* Standard errors to either side of 90 %, Student's t with LW_BASIN_MEMBERS - 1 degrees of freedom. */
#define LW_BASIN_REACH_90 1.678

size_t lw_basin_used(const lw_basin_input *input);

/* Nodes round the shore with two steps to spare. */
LW_MUST_CHECK lw_status lw_basin_frame(lw_frame *out, const lw_shore *shore, double step_m, lw_error *err);

/* The surface's depth as a map with the given cover (kept, not copied); and into an existing one. */
LW_MUST_CHECK lw_status lw_basin_take_map(lw_depth_map *map, const lw_surface *surface, float *cover,
                                          lw_arena *arena, lw_error *err);
void lw_basin_copy_depth(lw_depth_map *map, const lw_surface *surface, const double *depth);

/* Area, volume, mean and greatest depth of out->map. */
LW_MUST_CHECK lw_status lw_basin_finish(lw_basin *out, lw_error *err);

LW_MUST_CHECK lw_status lw_basin_by_soundings(lw_basin *out, const lw_basin_input *input, lw_arena *arena,
                                              lw_error *err);
LW_MUST_CHECK lw_status lw_basin_by_word(lw_basin *out, const lw_basin_input *input, lw_arena *arena,
                                         lw_error *err);

/* Where the bed changes slowly: along the channels, or the long axis where there are none and the water is
 * twice as long as wide. NULL members when neither holds. */
LW_MUST_CHECK lw_status lw_basin_directions(lw_directions *out, const lw_frame *frame,
                                            const lw_basin_input *input, lw_arena *arena, lw_error *err);

#endif
