/* SPDX-License-Identifier: Apache-2.0 */
/* Depth soundings from the files people have: CSV, NMEA 0183 logs, GPX and GeoJSON points, and through
 * lakeward-geo any point layer (Shapefile, GeoPackage, KML). One list of positions with depths comes out,
 * in WGS 84 degrees and metres, in the order of the file. Files that cannot be right are refused with the
 * place and the likely cause; single bad records of a log (checksum, no fix) are counted, not kept. */
#ifndef LW_EXCHANGE_SOUNDINGS_H
#define LW_EXCHANGE_SOUNDINGS_H

#include "base/arena.h"
#include "base/dates.h"
#include "base/status.h"

#include <stdint.h>

typedef struct lw_fix {
  double longitude, latitude;
  double time_s;  /* seconds since 1970 UTC; NAN when not recorded */
  double depth_m; /* as recorded, below the transducer, or below the surface where offset_known; never NAN */
  int32_t track;  /* from the file (GPX segments, a 'track' or 'line' column), -1 otherwise */
  long line;      /* in the file, 0 when it has none */
} lw_fix;

typedef struct lw_fixes {
  lw_fix *fixes; /* in the arena */
  size_t count;
  const char *format; /* "NMEA 0183", "CSV", "GPX", "GeoJSON" ... */
  /* what was read but could not be used, for the report */
  size_t bad_checksum, bad_sentence, without_position, without_depth;
  bool has_time;
  lw_day day;        /* of the first fix in UTC, LW_NO_DAY when not recorded */
  bool offset_known; /* depths are below the surface: NMEA DPT told the transducer's offset, which has been
                        added, or they are DBS depths (offset_m 0 then), or reckoned from elevations */
  double offset_m;
} lw_fixes;

typedef struct lw_soundings_how {
  const char
      *depth_field; /* column or property; NULL: found by its name (depth, depth_m, depth (ft), z ...) */
  const char *depth_unit;  /* "m" or "ft"; NULL: from the heading or property name; refused when nothing
                              tells (NMEA says its own) */
  const char *system;      /* "EPSG:32616" for projected x/y columns; NULL: longitude and latitude */
  lw_day day;              /* for logs that tell the time but no date; LW_NO_DAY or 0: not told */
  const char *geo_program; /* lakeward-geo; NULL: found */
  /* where the water is, to tell swapped, mis-zoned and foreign files from good ones; all 0: not told */
  double west, south, east, north;
  double deepest_likely_m; /* 0: not told */
  /* the field holds elevations of the bed, in the depth's unit: depth = surface_elevation_m - elevation.
     Without this a field of elevations is refused. */
  bool elevations;
  double surface_elevation_m; /* of the water when it was sounded */
} lw_soundings_how;

enum { LW_SOUNDINGS_MOST = 5000000, LW_SOUNDINGS_BYTES = 512 * 1024 * 1024 };

/* By content and ending. Causes that must be named: empty; truncated (last line cut, unclosed JSON);
 * longitude and latitude swapped; other zone or system (x/y that are no degrees; all fixes far from the water
 * by a constant shift; sign of the longitude lost); NaN or text in a number; feet read as metres or the other
 * way (against deepest_likely_m, or a heading that says another unit than --depth-unit); elevations given for
 * depths (all negative or all far above); no depth field (names those that are there); times that run
 * backwards throughout (shuffled: warned by `track` -1 and time order restored, refused when times repeat
 * senselessly). */
LW_MUST_CHECK lw_status lw_soundings_read(lw_fixes *out, const char *path, const lw_soundings_how *how,
                                          lw_arena *arena, lw_error *err);

/* As above from memory; `name` with its ending is for messages and to tell the format. Formats that need
 * lakeward-geo are refused here. */
LW_MUST_CHECK lw_status lw_soundings_parse(lw_fixes *out, const char *name, const char *text, size_t length,
                                           const lw_soundings_how *how, lw_arena *arena, lw_error *err);

/* The text under which the store keeps soundings: CSV with the heading
 * "longitude,latitude,depth (m),time,track", 8, 8, 3 and 3 decimals (time in seconds since 1970, empty when
 * unknown; track empty when -1). Write then read gives back the same numbers; 1,000,000 in under a second.
 * parse refuses anything else with line and column. */
LW_MUST_CHECK lw_status lw_fixes_write(char **out, size_t *out_length, const lw_fix *fixes, size_t count,
                                       lw_arena *arena, lw_error *err);
LW_MUST_CHECK lw_status lw_fixes_parse(lw_fix **out, size_t *out_count, const char *text, size_t length,
                                       lw_arena *arena, lw_error *err);

#endif
