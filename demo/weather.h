/* SPDX-License-Identifier: Apache-2.0 */
/* Invented weather of the club: daily rain, the creek it feeds, surface temperature, a breeze. Plain
 * seasonal curves with noise, made to look right on a chart; no statement about any climate. */
#ifndef LW_DEMO_WEATHER_H
#define LW_DEMO_WEATHER_H

#include "demo/diary.h"

enum { LW_DEMO_DAYS = 805 }; /* 2024-01-01 to 2026-03-15; the last weeks stand in story.c */

typedef struct lw_demo_weather {
  uint64_t seed;
  lw_day first;
  double rain_in[LW_DEMO_DAYS];
  double creek_cfs[LW_DEMO_DAYS]; /* over Long Run's weir */
} lw_demo_weather;

/* One use of the random numbers each, so that a change to one leaves the others as they were. */
typedef enum lw_demo_stream {
  LW_DEMO_RAIN,
  LW_DEMO_HEAT,
  LW_DEMO_BREEZE,
  LW_DEMO_ROUND,
  LW_DEMO_HAND,
  LW_DEMO_DISK,
  LW_DEMO_OTHER
} lw_demo_stream;

/* Draws of one day at one place: uniform in (0, 1), standard normal. */
double lw_demo_uniform(uint64_t seed, lw_demo_stream stream, lw_demo_place place, lw_day day);
double lw_demo_normal(uint64_t seed, lw_demo_stream stream, lw_demo_place place, lw_day day);

void lw_demo_make_weather(lw_demo_weather *out, uint64_t seed);

/* Inches on a day and over `days` days ending on it; 0 outside the weather made. */
double lw_demo_rain_in(const lw_demo_weather *weather, lw_day day);
double lw_demo_rain_over_in(const lw_demo_weather *weather, lw_day last, int days);

/* Surface water, whole degrees Fahrenheit. */
double lw_demo_surface_f(const lw_demo_weather *weather, lw_demo_place place, lw_day day);

/* "wind SW 6 mph, dry", in the arena; "" without memory. */
const char *lw_demo_conditions(const lw_demo_weather *weather, lw_day day, lw_arena *arena);

/* The gauge's readings of 0.3 in and more, for the whole club. */
void lw_demo_add_rain(lw_demo_diary *diary, const lw_demo_weather *weather);

#endif
