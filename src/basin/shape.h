/* SPDX-License-Identifier: Apache-2.0 */
/* First estimates of a small pond's size, before anyone has sounded it. */
#ifndef LW_BASIN_SHAPE_H
#define LW_BASIN_SHAPE_H

#include "base/status.h"

#define LW_SHAPE_LENGTH_MAX_M 100000.0
#define LW_SHAPE_AREA_MAX_M2 1e9
#define LW_SHAPE_DEPTH_MAX_M 500.0
#define LW_SHAPE_SHORE_MAX_M 10000000.0 /* of a whole water, arms and islands */
#define LW_SHAPE_AREA_LEAST_M2 1.0      /* of what counts as a water */

/* Area (m2) of a round pond from the length of its shoreline (m, 0 to 100,000): s^2 / (4 pi).
 * Source: Texas Parks & Wildlife, Estimating the Size of Your Pond. */
LW_MUST_CHECK lw_status lw_circle_area_m2(double *out, double shoreline_m, lw_error *err);

/* Area (m2) of a rectangular pond, sides 0 to 100,000 m. Source: as above. */
LW_MUST_CHECK lw_status lw_rectangle_area_m2(double *out, double length_m, double width_m, lw_error *err);

/* Capacity (m3) of a pond behind a dam: 0.4 x greatest depth x surface. area_m2 0 to 1e9, max_depth_m
 * 0 to 500. Source: USDA Agriculture Handbook 590 (1997). */
LW_MUST_CHECK lw_status lw_pond_capacity_m3(double *out, double area_m2, double max_depth_m, lw_error *err);

#endif
