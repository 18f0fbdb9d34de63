/* SPDX-License-Identifier: Apache-2.0 */
/* lakeward-geo: reads and writes the geographic formats that only GDAL knows, apart from the main
 * program, so that a broken file can harm nothing but this short-lived process. It opens existing
 * plain files only, with one format's reader each, without network, under limits on time, memory,
 * features and positions. What goes wrong is one sentence on standard error and exit status 2. */
#ifndef LW_GEO_GEO_H
#define LW_GEO_GEO_H

#include <gdal.h>
#include <ogr_srs_api.h>
#include <stdbool.h>

enum {
  GEO_OK = 0,
  GEO_FAILED = 1,  /* a fault of ours, or of the machine */
  GEO_REFUSED = 2, /* the file or the command cannot be right */
  GEO_POSITIONS = 200000,
  GEO_FEATURES = 20000,
  GEO_SOUNDINGS = 5000000,
  GEO_INPUT_BYTES = 64 * 1024 * 1024
};

typedef struct geo_format {
  const char *kind;   /* the file's ending, without its point */
  const char *driver; /* GDAL's short name */
  void (*enroll)(void);
} geo_format;

/* The format of `kind` ("kml"); NULL when unknown. And of a path by its ending. */
const geo_format *geo_format_of_kind(const char *kind);
const geo_format *geo_format_of_path(const char *path);

/* Prints "lakeward-geo: " and the sentence, in one line, and returns `code`. */
int geo_complain(int code, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* GDAL's own last words, in one line, for the end of a sentence. */
const char *geo_last_words(void);

/* Limits on this process; `writes` allows files of up to 256 MiB. False when they cannot be set. */
bool geo_limit_self(bool writes, int cpu_seconds);

/* Longitude and latitude on WGS 84, longitude first; NULL on failure. The caller destroys it. */
OGRSpatialReferenceH geo_wgs84(void);

/* A plain file at `path`? Complains when not. */
int geo_check_path(const char *path);

/* Opens `path` by the one format's reader, hands the file and WGS 84 to `take`, closes both. The status of
 * take, or what stood in the way. */
int geo_with_file(const char *path, int (*take)(void *context, GDALDatasetH file, OGRSpatialReferenceH wgs84),
                  void *context);

/* Ends the writing of standard output: `code`, or GEO_FAILED where it could not be written. */
int geo_end_output(int code);

/* *out NULL where the layer names no system. The caller destroys it. */
int geo_to_wgs84(OGRLayerH layer, OGRSpatialReferenceH wgs84, const char *path,
                 OGRCoordinateTransformationH *out);

/* Number of positions in a geometry; stops counting past GEO_POSITIONS. */
int geo_count_positions(OGRGeometryH geometry);

/* All of standard input, malloc'ed; NULL past the limit or on no memory. */
unsigned char *geo_read_input(size_t *out_length);

/* The commands; each returns an exit status. */
int geo_outline(const char *path);
int geo_write(const char *kind, const char *path);
int geo_raster(const char *path);
int geo_points(const char *path);

#endif
