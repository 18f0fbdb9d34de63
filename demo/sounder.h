/* SPDX-License-Identifier: Apache-2.0 */
/* What the boat's instruments write: a log of NMEA 0183 sentences, once a second, or a table. A few
 * sentences come through with a wrong checksum, a few rows of the table twice. */
#ifndef LW_DEMO_SOUNDER_H
#define LW_DEMO_SOUNDER_H

#include "base/text.h"
#include "demo/boat.h"

typedef enum lw_demo_format {
  LW_DEMO_NMEA_DPT, /* RMC, GGA, DPT with the transducer's offset, DBT */
  LW_DEMO_NMEA_DBT, /* GGA, RMC, DBT: the offset is for the owner to tell */
  LW_DEMO_TABLE     /* CSV: time, longitude, latitude, depth below the surface in feet, line */
} lw_demo_format;

typedef struct lw_demo_sounder {
  lw_demo_format format;
  double transducer_m; /* below the surface */
  uint64_t seed;
  uint32_t stream;
} lw_demo_sounder;

/* Adds to `out`; LW_MEMORY when it is full. */
LW_MUST_CHECK lw_status lw_demo_log(lw_text *out, const lw_demo_ping *pings, size_t count,
                                    const lw_demo_sounder *sounder, lw_error *err);

#endif
