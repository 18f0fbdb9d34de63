/* SPDX-License-Identifier: Apache-2.0 */
/* Single sentences of NMEA 0183, "$ttfff,field,field*hh": what they hold, as the standard's public
 * descriptions say (NOAA NCEI, format-dpt.txt for DPT; the telegram descriptions of echo sounders' manuals
 * for DBT and DBS; gpsd's "NMEA Revealed" for GGA, RMC, GLL and ZDA). Private to exchange. */
#ifndef LW_EXCHANGE_NMEA_H
#define LW_EXCHANGE_NMEA_H

#include "base/dates.h"
#include "exchange/span.h"

enum { LW_SENTENCE_FIELDS = 24, LW_SENTENCE_LENGTH = 256 };

typedef enum lw_sentence_state {
  LW_SENTENCE_GOOD,
  LW_SENTENCE_NONE,     /* no more on this line */
  LW_SENTENCE_BROKEN,   /* cut, or holds what no sentence holds */
  LW_SENTENCE_CHECKSUM, /* the checksum does not fit */
  LW_SENTENCE_OTHER     /* proprietary or enclosed: well, but none of ours */
} lw_sentence_state;

typedef struct lw_sentence {
  char name[6]; /* talker and formatter, "SDDPT" */
  bool checked; /* it had a checksum, and it fits */
  size_t count;
  lw_span fields[LW_SENTENCE_FIELDS]; /* without the name */
} lw_sentence;

/* The next sentence of a line; *at moves past it. What stands before a '$' is passed over (a logger's own
 * time); a '$' inside a sentence begins another one. */
lw_sentence_state lw_sentence_next(const char **at, const char *end, lw_sentence *out);

/* Formatter of the sentence: "DPT". */
const char *lw_sentence_kind(const lw_sentence *sentence);

/* Field number `index`, empty when the sentence is shorter. */
lw_span lw_sentence_field(const lw_sentence *sentence, size_t index);

/* "4807.038", "N", "01131.000", "E" at `index` and after it. */
bool lw_sentence_position(const lw_sentence *sentence, size_t index, double *longitude, double *latitude);

/* "123519.50" to seconds of the day; NAN for an empty field; false for anything else. */
bool lw_sentence_time(lw_span field, double *out_s);

/* "230394": day, month, year of two digits, 80 and more in the last century. */
bool lw_sentence_day(lw_span field, lw_day *out);

/* --- positions --- */

typedef struct lw_nmea_fix {
  double longitude, latitude;
  double time_s; /* of the day, UTC; NAN when not told */
  lw_day day;    /* LW_NO_DAY when not told */
} lw_nmea_fix;

typedef enum lw_nmea_answer { LW_NMEA_NO, LW_NMEA_YES, LW_NMEA_EMPTY, LW_NMEA_BAD } lw_nmea_answer;

/* GGA, RMC, GLL. NO: another sentence; EMPTY: the receiver had no fix; BAD: fields that cannot be. */
lw_nmea_answer lw_nmea_position(const lw_sentence *sentence, lw_nmea_fix *out);

/* ZDA: day and time without a position. */
lw_nmea_answer lw_nmea_date(const lw_sentence *sentence, lw_nmea_fix *out);

/* --- depths --- */

typedef struct lw_nmea_depth {
  double depth_m;    /* below the transducer; DBS: below the surface */
  double offset_m;   /* DPT: transducer below the waterline, 0 when not told or told to the keel */
  bool from_surface; /* DBS */
} lw_nmea_depth;

/* DPT, DBT, DBS. EMPTY: the sounder had lost the bottom. */
lw_nmea_answer lw_nmea_depth_of(const lw_sentence *sentence, lw_nmea_depth *out);

#endif
