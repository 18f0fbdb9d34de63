/* SPDX-License-Identifier: Apache-2.0 */
/* One cell of a depth map: what of it lies deeper than a level. Private to basin. */
#ifndef LW_BASIN_DEPTH_MAP_CELL_H
#define LW_BASIN_DEPTH_MAP_CELL_H

#include "basin/depth_map.h"

#include <math.h>

/* Depths of the four corners; between them the bed is bilinear. */
typedef struct lw_cell_bed {
  double sw, se, nw, ne;
} lw_cell_bed;

/* Of a cell of side 1: the share deeper than `level` and the volume between level and bed. */
typedef struct lw_cell_part {
  double share, volume;
} lw_cell_part;

lw_cell_part lw_cell_deeper(lw_cell_bed bed, double level);

/* The wet part of a cell the shore passes: the places (x, y), 0 to 1 each, with
 * east x + north y >= reach. */
typedef struct lw_cell_side {
  double east, north, reach;
} lw_cell_side;

/* As lw_cell_deeper, of the wet part alone. */
lw_cell_part lw_cell_deeper_within(lw_cell_bed bed, lw_cell_side side, double level);

/* The straight shore that leaves `cover` (0 to 1) of cell (i, j) wet, turned as the shares of the cells
 * about it say (Youngs 1982, in Morton & Baines, Numerical Methods for Fluid Dynamics), or with the deeper
 * part wet where they say nothing. */
lw_cell_side lw_map_cell_side(const lw_depth_map *map, size_t i, size_t j);

static inline lw_cell_bed lw_map_cell(const lw_depth_map *map, size_t i, size_t j)
{
  const float *south = map->depth_m + j * map->frame.nx + i;
  const float *north = south + map->frame.nx;
  return (lw_cell_bed){(double)south[0], (double)south[1], (double)north[0], (double)north[1]};
}

static inline double lw_cell_least(lw_cell_bed b)
{
  double south = b.sw < b.se ? b.sw : b.se;
  double north = b.nw < b.ne ? b.nw : b.ne;
  return south < north ? south : north;
}

static inline double lw_cell_most(lw_cell_bed b)
{
  double south = b.sw > b.se ? b.sw : b.se;
  double north = b.nw > b.ne ? b.nw : b.ne;
  return south > north ? south : north;
}

/* The cell's mean depth; not finite when a corner is not. */
static inline double lw_cell_mean(lw_cell_bed b)
{
  return (b.sw + b.se + b.nw + b.ne) / 4;
}

#endif
