/* SPDX-License-Identifier: Apache-2.0 */
#include "demo/sounder.h"

#include "base/random.h"

#include <math.h>
#include <stdio.h>

#define FOOT 0.3048
#define FATHOM 1.8288
#define KNOT 0.514444444444 /* m/s */

enum { SENTENCE = 160, CLOCK = 24, PLACE = 64, DAY_S = 86400 };

static const double damaged_share = 0.0015; /* of the sentences */
static const double twice_share = 0.004;    /* of the rows */

typedef struct writer {
  lw_text *out;
  const lw_demo_sounder *sounder;
  uint64_t drawn;
} writer;

static bool happens(writer *w, double share)
{
  const lw_random random = {w->sounder->seed, w->sounder->stream};
  return lw_random_uniform(&random, w->drawn++) < share;
}

/* ---- sentences ---- */

/* "$...*hh": the checksum is the exclusive or of all between the signs. */
static void add_sentence(writer *w, const char *body)
{
  unsigned sum = 0;
  for (const char *at = body; *at; at++) {
    sum ^= (unsigned char)*at;
  }
  if (happens(w, damaged_share)) { /* one bit fell over on the cable */
    sum ^= 4U;
  }
  lw_text_addf(w->out, "$%s*%02X\r\n", body, sum);
}

static void clock_text(char out[CLOCK], double time_s)
{
  long second = (long)fmod(time_s, DAY_S);
  (void)snprintf(out, CLOCK, "%02ld%02ld%02ld.00", second / 3600 % 24, second / 60 % 60, second % 60);
}

/* "3303.12345,N,08607.12345,W"; rounded as a whole, so that no minute reads 60. */
static void place_text(char out[PLACE], const lw_demo_ping *p)
{
  const long degree = 6000000; /* hundred-thousandths of a minute */
  long north = lround(fabs(p->latitude) * (double)degree);
  long east = lround(fabs(p->longitude) * (double)degree);
  (void)snprintf(out, PLACE, "%02ld%02ld.%05ld,%c,%03ld%02ld.%05ld,%c", north / degree,
                 north % degree / 100000, north % 100000, p->latitude < 0 ? 'S' : 'N', east / degree,
                 east % degree / 100000, east % 100000, p->longitude < 0 ? 'W' : 'E');
}

static void add_place(writer *w, const lw_demo_ping *p)
{
  char body[SENTENCE];
  char clock[CLOCK];
  char place[PLACE];
  lw_civil day = lw_civil_from_day((lw_day)floor(p->time_s / DAY_S));
  clock_text(clock, p->time_s);
  place_text(place, p);
  (void)snprintf(body, sizeof body, "GPRMC,%s,A,%s,%.2f,%.1f,%02d%02d%02d,,,A", clock, place,
                 p->speed_m_s / KNOT, p->course_deg, day.day, day.month, day.year % 100);
  add_sentence(w, body);
  (void)snprintf(body, sizeof body, "GPGGA,%s,%s,1,09,0.9,214.0,M,-29.6,M,,", clock, place);
  add_sentence(w, body);
}

static void add_depth(writer *w, const lw_demo_ping *p)
{
  char body[SENTENCE];
  double depth = fmax(p->depth_m - w->sounder->transducer_m, 0);
  bool lost = p->echo == LW_DEMO_LOST;
  if (w->sounder->format == LW_DEMO_NMEA_DPT) {
    char reading[CLOCK] = "";
    if (!lost) {
      (void)snprintf(reading, sizeof reading, "%.2f", depth);
    }
    (void)snprintf(body, sizeof body, "SDDPT,%s,%.2f", reading, w->sounder->transducer_m);
    add_sentence(w, body);
  }
  (void)snprintf(body, sizeof body, "SDDBT,%.1f,f,%.2f,M,%.1f,F", depth / FOOT, depth, depth / FATHOM);
  add_sentence(w, lost ? "SDDBT,,f,,M,,F" : body);
}

/* ---- the table ---- */

static void add_row(writer *w, const lw_demo_ping *p)
{
  lw_civil day = lw_civil_from_day((lw_day)floor(p->time_s / DAY_S));
  long second = (long)fmod(p->time_s, DAY_S);
  char depth[CLOCK] = "";
  if (p->echo == LW_DEMO_ECHO) {
    (void)snprintf(depth, sizeof depth, "%.1f", p->depth_m / FOOT);
  }
  for (int times = happens(w, twice_share) ? 2 : 1; times > 0; times--) {
    lw_text_addf(w->out, "%04d-%02d-%02dT%02ld:%02ld:%02ldZ,%.7f,%.7f,%s,%d\n", day.year, day.month, day.day,
                 second / 3600, second / 60 % 60, second % 60, p->longitude, p->latitude, depth, p->line);
  }
}

lw_status lw_demo_log(lw_text *out, const lw_demo_ping *pings, size_t count, const lw_demo_sounder *sounder,
                      lw_error *err)
{
  writer w = {.out = out, .sounder = sounder};
  if (sounder->format == LW_DEMO_TABLE) {
    lw_text_add(out, "time,longitude,latitude,depth (ft),line\n");
  }
  for (size_t i = 0; i < count; i++) {
    if (sounder->format == LW_DEMO_TABLE) {
      if (pings[i].echo != LW_DEMO_NO_PING) {
        add_row(&w, &pings[i]);
      }
      continue;
    }
    add_place(&w, &pings[i]);
    if (pings[i].echo != LW_DEMO_NO_PING) {
      add_depth(&w, &pings[i]);
    }
  }
  return out->failed ? lw_fail(err, LW_MEMORY, "no memory for the demonstration") : LW_OK;
}
