/* SPDX-License-Identifier: Apache-2.0 */
/* A boat with an echo sounder and a satellite receiver on an invented bed: where it was each second, and
 * what the sounder made of the depth there. It errs as sounders do: noise, spikes from fish and weeds,
 * echoes of the echo, a bottom lost, a reading that stands still, zeros, and a place that wanders. */
#ifndef LW_DEMO_BOAT_H
#define LW_DEMO_BOAT_H

#include "demo/bed.h"

#include <stdint.h>

/* Parallel lines, evenly spaced from the first to the last; longitude and latitude of both ends. */
typedef struct lw_demo_lines {
  double first[4], last[4];
  int count;
} lw_demo_lines;

enum { LW_DEMO_SETS = 6 };

typedef struct lw_demo_cruise {
  lw_demo_place place;
  const char *day;
  int minute;                       /* local, when the log begins */
  double level_m;                   /* of the pool against full pool that day */
  double ramp[2];                   /* where the log begins, still on the trailer */
  uint32_t stream;                  /* of random numbers: one a cruise */
  lw_demo_lines sets[LW_DEMO_SETS]; /* ended by one of no lines */
} lw_demo_cruise;

typedef enum lw_demo_echo {
  LW_DEMO_ECHO,
  LW_DEMO_LOST,   /* the sounder had no bottom */
  LW_DEMO_NO_PING /* a place only: the line has ended */
} lw_demo_echo;

typedef struct lw_demo_ping {
  double time_s; /* since 1970 UTC, whole seconds */
  double longitude, latitude;
  double depth_m; /* below the surface as the sounder has it; 0 when it read zero */
  double speed_m_s, course_deg;
  int line; /* from 1 */
  lw_demo_echo echo;
} lw_demo_ping;

/* In the arena, in the order of time. Lines end where the water is too thin for the boat. */
LW_MUST_CHECK lw_status lw_demo_sail(lw_demo_ping **out, size_t *out_count, const lw_demo_bed *bed,
                                     const lw_demo_cruise *cruise, uint64_t seed, lw_arena *arena,
                                     lw_error *err);

#endif
