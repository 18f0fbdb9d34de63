/* SPDX-License-Identifier: Apache-2.0 */
/* A recorded log of sentences: its positions with their times, its depths without, in the order of the lines.
 * Private to nmea_log.c, nmea_choose.c and soundings_nmea.c. */
#ifndef LW_EXCHANGE_NMEA_LOG_H
#define LW_EXCHANGE_NMEA_LOG_H

#include "exchange/nmea.h"
#include "exchange/soundings_read.h"

#include <stdint.h>

enum { LW_LOG_SOURCES = 64 }; /* different talker-and-formatter names in one log */

#define LW_LOG_GAP_S 5.0 /* no position is made up over a longer gap */

typedef struct lw_log_position {
  double longitude, latitude;
  double time_s; /* since 1970 where the log tells the day, else since the midnight before its first */
  size_t order;  /* among all sentences */
  size_t last;   /* the same for the last sentence that repeats its instant; itself when none does */
  uint8_t source;
} lw_log_position;

typedef struct lw_log_depth {
  double depth_m, offset_m;
  size_t order;
  long line;
  uint8_t source;
} lw_log_depth;

typedef struct lw_log_source {
  char name[6]; /* "SDDPT" */
  bool checked; /* it has sent checksums: one without is a cut sentence */
  size_t count; /* positions or depths taken from it */
  size_t steps, backward;
  double last_time_s;
} lw_log_source;

typedef struct lw_log {
  lw_log_position *positions; /* malloc'ed, as are the depths */
  size_t position_count, position_capacity;
  lw_log_depth *depths;
  size_t depth_count, depth_capacity;
  lw_log_source sources[LW_LOG_SOURCES];
  size_t source_count;
  size_t without_fix; /* sentences of position of a receiver that had none */
  double clock_s;     /* the last time seen; NAN at first */
  bool dated;         /* the day is known */
} lw_log;

/* Reads the whole text. LW_INVALID for a log cut short; single bad sentences are counted in r->out. */
LW_MUST_CHECK lw_status lw_log_read(lw_log *log, lw_soundings_reading *r);
void lw_log_free(lw_log *log);

/* Leaves one chain of positions (of several receivers and of GGA, RMC and GLL for the same instant) and one
 * kind of depths (of DPT, DBS and DBT for the same ping). */
LW_MUST_CHECK lw_status lw_log_choose(lw_log *log, lw_soundings_reading *r);

#endif
