/* SPDX-License-Identifier: Apache-2.0 */
/* The readers of soundings at work: one list that grows, what a column or property is by its name, and
 * the judgement of the whole that follows. Private to exchange: soundings.h is the way in. */
#ifndef LW_EXCHANGE_SOUNDINGS_READ_H
#define LW_EXCHANGE_SOUNDINGS_READ_H

#include "exchange/soundings.h"
#include "exchange/span.h"

typedef struct lw_soundings_reading {
  const char *name; /* of the file, for messages */
  const char *text;
  size_t length;
  const lw_soundings_how *how;
  lw_arena *arena;
  lw_error *err;
  lw_fixes out;  /* the counts; its list is `fixes` below until the end */
  lw_fix *fixes; /* malloc'ed */
  size_t capacity;
  bool unit_told_by_file, in_feet; /* whence the depths' unit, for the judgement */
  bool metric;                     /* the format has its own unit: nothing to misread */
  bool is_grid;                    /* longitude and latitude are x and y of how->system still */
} lw_soundings_reading;

/* Adds one; LW_LIMIT past LW_SOUNDINGS_MOST, LW_MEMORY. */
LW_MUST_CHECK lw_status lw_soundings_add(lw_soundings_reading *r, const lw_fix *fix);

/* The readers. Each fills the list in the order of the file. */
LW_MUST_CHECK lw_status lw_soundings_read_table(lw_soundings_reading *r);
LW_MUST_CHECK lw_status lw_soundings_read_nmea(lw_soundings_reading *r);
LW_MUST_CHECK lw_status lw_soundings_read_gpx(lw_soundings_reading *r);
LW_MUST_CHECK lw_status lw_soundings_read_geojson(lw_soundings_reading *r);

/* As lw_soundings_parse, for text that is `name`'s own or a table made of it by lakeward-geo. */
LW_MUST_CHECK lw_status lw_soundings_take(lw_fixes *out, const char *name, const char *text, size_t length,
                                          const lw_soundings_how *how, lw_arena *arena, lw_error *err);

/* A layer of points by lakeward-geo, which hands it over as a table. */
LW_MUST_CHECK lw_status lw_soundings_through_program(lw_fixes *out, const char *path,
                                                     const lw_soundings_how *how, lw_arena *arena,
                                                     lw_error *err);

/* Is this the text of an NMEA log: do most of its first lines hold a sentence? */
bool lw_soundings_are_nmea(const char *text, size_t length);

/* --- judgement (soundings_judge.c, soundings_where.c): grid to degrees, swapped, foreign, feet, elevations,
   order of time. May reorder and change the list. --- */
LW_MUST_CHECK lw_status lw_soundings_judge(lw_soundings_reading *r);
LW_MUST_CHECK lw_status lw_soundings_judge_place(lw_soundings_reading *r);
LW_MUST_CHECK lw_status lw_soundings_judge_time(lw_soundings_reading *r);

/* --- faults --- */
lw_status lw_soundings_refuse(lw_soundings_reading *r, long line, long column, const char *format, ...)
    LW_PRINTF(4, 5);
lw_status lw_soundings_fail_memory(lw_soundings_reading *r);

/* Refuses a position that is none, with the likely cause. LW_OK for good ones. */
LW_MUST_CHECK lw_status lw_soundings_check_position(lw_soundings_reading *r, double longitude,
                                                    double latitude, long line, long column);

/* --- columns and properties by name (soundings_fields.c) --- */

typedef enum lw_field_kind {
  LW_FIELD_NONE,
  LW_FIELD_LONGITUDE,
  LW_FIELD_LATITUDE,
  LW_FIELD_EASTING,
  LW_FIELD_NORTHING,
  LW_FIELD_DEPTH,
  LW_FIELD_ELEVATION,
  LW_FIELD_TIME,
  LW_FIELD_DATE,
  LW_FIELD_TRACK,
  LW_FIELD_QUALITY,
  LW_FIELD_KINDS
} lw_field_kind;

typedef enum lw_field_unit { LW_FIELD_BARE, LW_FIELD_METRES, LW_FIELD_FEET, LW_FIELD_STRANGE } lw_field_unit;

typedef struct lw_field {
  lw_field_kind kind;
  lw_field_unit unit; /* "depth (ft)", "depth_m", "DepthFeet" */
  int rank;           /* of two columns of a kind the lower is meant */
} lw_field;

lw_field lw_field_of(lw_span name);

/* `name` is the field asked for: the same but for case, with or without the unit behind it. */
bool lw_field_is(lw_span name, const char *asked);

/* Metres in one unit of the depth field, from its own unit and how->depth_unit; refused when they
 * contradict each other or neither tells. */
LW_MUST_CHECK lw_status lw_field_scale(lw_soundings_reading *r, lw_span name, lw_field_unit unit, long line,
                                       long column, double *out);

/* A recorded value as a depth: feet to metres, elevation to depth. false where it is out of all reason. */
bool lw_field_depth(const lw_soundings_reading *r, double value, double scale, double *out);

/* Text that says "nothing was measured": empty, or one of the customary numbers (-9999 ...). */
bool lw_field_is_empty(lw_span cell);
bool lw_field_is_no_depth(double value);

/* --- instants (soundings_time.c) --- */

/* "2026-04-15T10:30:00.5Z", "2026-04-15 10:30:00" (UTC when no zone stands there), seconds or
 * milliseconds since 1970. */
bool lw_read_instant(lw_span cell, double *out_s);
bool lw_read_day(lw_span cell, lw_day *out);           /* "2026-04-15", "20260415", "2026/04/15" */
bool lw_read_time_of_day(lw_span cell, double *out_s); /* "10:30", "10:30:05.25" */

/* how->day when it is told, LW_NO_DAY otherwise. */
lw_day lw_soundings_day(const lw_soundings_how *how);

#endif
