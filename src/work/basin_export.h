/* SPDX-License-Identifier: Apache-2.0 */
/* A water's shape as a file, by its ending: .tif the depths as a GeoTIFF; .geojson .gpkg .kml .gpx .shp
 * contours; .csv area and volume by level; .svg .png .pdf the map on paper. */
#ifndef LW_WORK_BASIN_EXPORT_H
#define LW_WORK_BASIN_EXPORT_H

#include "work/basin.h"

typedef struct lw_basin_file {
  const char *level;    /* "-1.5 ft"; NULL: full pool. Not above it, at most 100 m below */
  const char *interval; /* between contours, "2 ft"; NULL: chosen for about ten of them */
  const char *paper;    /* "letter" or "a4"; NULL: letter for US units */
} lw_basin_file;

/* The new file `path`, complete or not at all; *out_shown says what it holds, in the desk's arena.
 * LW_INVALID for an ending that is none of these, LW_CONFLICT when the file exists, LW_NOT_FOUND where a
 * format needs a program or library that is not there. */
LW_MUST_CHECK lw_status lw_work_basin_export(const char **out_shown, const lw_desk *desk, const char *water,
                                             const char *path, const lw_basin_file *how, lw_error *err);

#endif
