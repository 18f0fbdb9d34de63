/* SPDX-License-Identifier: Apache-2.0 */
/* The shore of a water in a local metric plane (x east, y north): rings of spots, outer shores and
 * islands alike, inside by the even-odd rule. What can be measured on it without any depth. */
#ifndef LW_BASIN_SHORE_H
#define LW_BASIN_SHORE_H

#include "base/arena.h"
#include "base/status.h"

#include <stdbool.h>
#include <stddef.h>

typedef struct lw_spot {
  double x_m, y_m;
} lw_spot;

typedef struct lw_shore {
  const lw_spot *spots; /* ring after ring; the first spot of a ring is not repeated at its end */
  const size_t
      *ring_start; /* ring_count + 1 numbers: ring r is spots[ring_start[r]] to ring_start[r + 1] - 1 */
  size_t ring_count, spot_count;
} lw_shore;

typedef struct lw_box {
  double west_m, south_m, east_m, north_m;
} lw_box;

/* Regular nodes: node (i, j), i eastwards, j northwards, lies at (x0 + i step, y0 + j step) and is
 * number j * nx + i of an array. A cell is the square between four nodes; cell (i, j) has node (i, j)
 * as its south-west corner and is number j * (nx - 1) + i. */
typedef struct lw_frame {
  size_t nx, ny;
  double step_m, x0_m, y0_m;
} lw_frame;

/* At least 3 spots a ring, finite, within 1e7 m: LW_INVALID with the ring's number otherwise. */
LW_MUST_CHECK lw_status lw_shore_check(const lw_shore *shore, lw_error *err);

lw_box lw_shore_box(const lw_shore *shore);

/* Even-odd area (rings that do not cross), m2, and the length of all rings, m. */
double lw_shore_area_m2(const lw_shore *shore);
double lw_shore_length_m(const lw_shore *shore);

/* Shoreline development: shore length / circumference of a circle of the same area (1: a circle). Area 1
 * to 1e9 m2, length to 1e7 m; LW_INVALID beyond, and when the shore is shorter than the circle by more than
 * 0.1 %. Source: Spellman & Whiting 2014, Handbook of Mathematics and Statistics for the Environment, eq.
 * 20.3; Hutchinson 1957, A Treatise on Limnology I (memory). */
LW_MUST_CHECK lw_status lw_shore_development(double *out, double area_m2, double length_m, lw_error *err);

/* Direction of the long axis, radians counter-clockwise from east in (-pi/2, pi/2], and how much longer
 * than wide (>= 1), from the second moments of the area. */
void lw_shore_long_axis(const lw_shore *shore, double *out_angle, double *out_ratio);

/* inside[k] for many spots at once: rows of the shore's edges are indexed first, so that a million
 * spots against ten thousand edges take well under a second. *outside_m, when not NULL, gets the
 * distance to the shore of each spot that is outside (0 for the others). */
LW_MUST_CHECK lw_status lw_shore_inside(bool *inside, double *outside_m, const lw_shore *shore,
                                        const lw_spot *spots, size_t count, lw_arena *arena, lw_error *err);

/* Share (0 to 1) of each cell of the frame that is inside: (nx - 1)(ny - 1) floats in the arena, exact
 * (the polygon is clipped to the cell) so that their sum times the cell's area is the shore's area
 * where the frame covers it. Linear in cells plus edges, but for telling shores
 * from islands: rings times edges. */
LW_MUST_CHECK lw_status lw_shore_cover(float **out, const lw_shore *shore, const lw_frame *frame,
                                       lw_arena *arena, lw_error *err);

#endif
