/* SPDX-License-Identifier: Apache-2.0 */
/* Volume of a lake cut into level slices by its depth contours. */
#ifndef LW_BASIN_SLICES_H
#define LW_BASIN_SLICES_H

#include "base/status.h"

#include <stddef.h>

#define LW_BASIN_AREA_MAX_M2 1e9
#define LW_BASIN_DEPTH_MAX_M 500.0

/* Volume in m3 between the first and the last contour: the sum over slices of H/3 (A1 + A2 + sqrt(A1
 * A2)). `areas_m2` (0 to 1e9, never growing downwards) stand at `depths_m` (0 to 500, strictly
 * growing, the first usually 0); `count` is at least 2. Nothing is added below the last contour: end
 * with area 0 at the deepest point. Source: Taube 2000, Three Methods for Computing the Volume of a
 * Lake, Michigan DNR Special Report 25, ch. 12, method 1. */
LW_MUST_CHECK lw_status lw_slices_volume_m3(double *out, const double *areas_m2, const double *depths_m,
                                            size_t count, lw_error *err);

/* The same volume by average end areas: the sum over slices of H (A1 + A2) / 2, as engineers reckon
 * reservoirs. Same ranges and errors. Never less than lw_slices_volume_m3. Source: Taube 2000, as above,
 * method 2. */
LW_MUST_CHECK lw_status lw_end_areas_volume_m3(double *out, const double *areas_m2, const double *depths_m,
                                               size_t count, lw_error *err);

/* At least two contours, areas and depths within range, depths growing, areas not. */
LW_MUST_CHECK lw_status lw_slices_check(const double *areas_m2, const double *depths_m, size_t count,
                                        lw_error *err);

/* Mean of `count` (1 or more) soundings of 0 to 500 m, m. Soundings evenly spaced over the water, the
 * zeros where each line meets the shore among them. Source: Texas Parks & Wildlife, Estimating the Size of
 * Your Pond; Taube 2000, as above, method 3. */
LW_MUST_CHECK lw_status lw_mean_depth_m(double *out, const double *soundings_m, size_t count, lw_error *err);

#endif
