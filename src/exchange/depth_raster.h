/* SPDX-License-Identifier: Apache-2.0 */
/* The depth map out to a Cloud Optimized GeoTIFF (OGC 21-026), through the separate program
 * lakeward-geo. Band 1: depth in metres below the water as it stands; band 2, where it was reckoned: one
 * standard error of it. Pixels are squares about the map's nodes; -9999 off the water; coordinates in the
 * water's own plane (transverse Mercator about its middle, WGS 84). */
#ifndef LW_EXCHANGE_DEPTH_RASTER_H
#define LW_EXCHANGE_DEPTH_RASTER_H

#include "base/arena.h"
#include "base/status.h"
#include "basin/depth_map.h"
#include "exchange/plane.h"

typedef struct lw_depth_raster {
  const lw_depth_map *map;
  const lw_plane *plane; /* the map lies in */
  double down_m;         /* pool below full, 0 to 100: what is dry then has no value */
} lw_depth_raster;

enum { LW_RASTER_NODES_MOST = 4000000 };

/* Writes the new file `path`, complete or not at all; its name ends in .tif or .tiff. `program` as in
 * geo_program.h. LW_CONFLICT when the file exists, LW_INVALID for a name or map that cannot be right,
 * LW_LIMIT past LW_RASTER_NODES_MOST nodes, LW_NOT_FOUND without lakeward-geo, LW_IO otherwise. */
LW_MUST_CHECK lw_status lw_depth_raster_write(const char *path, const lw_depth_raster *raster,
                                              const char *program, lw_arena *arena, lw_error *err);

#endif
