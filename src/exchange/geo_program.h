/* SPDX-License-Identifier: Apache-2.0 */
/* Runs `lakeward-geo`, the separate program that reads and writes KML, GPX, Shapefile and GeoPackage.
 * No shell; its own process group, killed after the time limit; its output bounded. A file that makes
 * it crash or hang costs that process only. */
#ifndef LW_EXCHANGE_GEO_PROGRAM_H
#define LW_EXCHANGE_GEO_PROGRAM_H

#include "base/arena.h"
#include "base/status.h"

#include <stddef.h>

typedef struct lw_geo_run {
  const char *program;      /* path of lakeward-geo; NULL: beside this program, then on PATH */
  const char *arguments[4]; /* "outline", "lake.kml"; NULL ends them early */
  const char *file;         /* the file it is about, for messages */
  const char *input;        /* its standard input; NULL: empty */
  size_t input_length;
  int timeout_ms;     /* 0: 30,000 */
  size_t most_output; /* bytes; 0: 64 MiB */
} lw_geo_run;

/* Runs to the end. *out is the program's standard output in the arena, NUL-terminated. LW_NOT_FOUND
 * with what to install when there is no such program; LW_INVALID with the program's own sentence when
 * it refuses the file, and when it crashes over it; LW_LIMIT past the time or too much output. */
LW_MUST_CHECK lw_status lw_geo_program_run(const lw_geo_run *run, lw_arena *arena, char **out,
                                           size_t *out_length, lw_error *err);

/* Writes `geojson` (a FeatureCollection, see outline_write.h) to the new file `path` as `kind`:
 * "kml", "gpkg", "gpx" or "shp" (which makes several files beside it). An existing file is refused. */
LW_MUST_CHECK lw_status lw_geo_write(const char *kind, const char *path, const char *geojson, size_t length,
                                     const char *program, lw_arena *arena, lw_error *err);

#endif
