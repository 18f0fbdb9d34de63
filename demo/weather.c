/* SPDX-License-Identifier: Apache-2.0 */
#include "demo/weather.h"

#include "base/random.h"

#include <math.h>

#define TURN 6.283185307179586477
#define YEAR_DAYS 365.25

static const double inch_mm = 25.4;
static const double worth_writing_in = 0.3;

static lw_random source_of(uint64_t seed, lw_demo_stream stream, lw_demo_place place)
{
  return (lw_random){.seed = seed, .stream = (uint32_t)stream * LW_DEMO_PLACES + (uint32_t)place};
}

double lw_demo_uniform(uint64_t seed, lw_demo_stream stream, lw_demo_place place, lw_day day)
{
  lw_random random = source_of(seed, stream, place);
  return lw_random_uniform(&random, (uint64_t)day);
}

double lw_demo_normal(uint64_t seed, lw_demo_stream stream, lw_demo_place place, lw_day day)
{
  lw_random random = source_of(seed, stream, place);
  return lw_random_normal(&random, (uint64_t)day);
}

/* A cosine over the year that stands at 1 on `peak`. */
static double yearly(lw_day day, int peak)
{
  return cos(TURN * (lw_day_of_year(day) - peak) / YEAR_DAYS);
}

static double rain_of(uint64_t seed, lw_day day)
{
  enum { WETTEST = 60 };
  double wet = lw_demo_uniform(seed, LW_DEMO_RAIN, LW_DEMO_CLUB, day);
  double amount = lw_demo_uniform(seed, LW_DEMO_RAIN, LW_DEMO_UPPER_SEDGE, day);
  if (wet > 0.17 + 0.06 * yearly(day, WETTEST)) {
    return 0;
  }
  return fmin(round(-log(amount) * 0.5 * 20) / 20, 3); /* the gauge is read to 0.05 in */
}

/* Base flow high in early spring, and a flood that runs off over a week. */
void lw_demo_make_weather(lw_demo_weather *out, uint64_t seed)
{
  enum { FULLEST = 65 };
  double flood = 0;
  out->seed = seed;
  out->first = lw_day_from_civil((lw_civil){2024, 1, 1});
  for (int i = 0; i < LW_DEMO_DAYS; i++) {
    lw_day day = out->first + i;
    double rain = rain_of(seed, day);
    flood = flood * 0.8 + 8 * fmax(0, rain - 0.4);
    out->rain_in[i] = rain;
    out->creek_cfs[i] = 7.5 + 5 * yearly(day, FULLEST) + flood;
  }
}

double lw_demo_rain_in(const lw_demo_weather *weather, lw_day day)
{
  int i = day - weather->first;
  return i >= 0 && i < LW_DEMO_DAYS ? weather->rain_in[i] : 0;
}

double lw_demo_rain_over_in(const lw_demo_weather *weather, lw_day last, int days)
{
  double sum = 0;
  for (int i = 0; i < days; i++) {
    sum += lw_demo_rain_in(weather, last - i);
  }
  return sum;
}

double lw_demo_surface_f(const lw_demo_weather *weather, lw_demo_place place, lw_day day)
{
  enum { COLDEST = 22, SPELL = 23 };
  double phase = lw_demo_uniform(weather->seed, LW_DEMO_HEAT, LW_DEMO_CLUB, 0);
  double spell = sin(TURN * ((double)(day % SPELL) / SPELL + phase));
  double small_water = place == LW_DEMO_HERON_POOL || place == LW_DEMO_BRICKYARD ? 1 : 0;
  double noise = lw_demo_normal(weather->seed, LW_DEMO_HEAT, place, day);
  return round(66.5 - 20.5 * yearly(day, COLDEST) + 2 * spell + small_water + 0.7 * noise);
}

const char *lw_demo_conditions(const lw_demo_weather *weather, lw_day day, lw_arena *arena)
{
  static const char *const from[] = {"S", "SW", "SW", "W", "NW", "N", "SE", "E"};
  double u = lw_demo_uniform(weather->seed, LW_DEMO_BREEZE, LW_DEMO_CLUB, day);
  double v = lw_demo_uniform(weather->seed, LW_DEMO_BREEZE, LW_DEMO_UPPER_SEDGE, day);
  const char *text = lw_arena_format(arena, "wind %s %.0f mph, dry", from[(int)(u * 8)], 2 + 7 * v);
  return text ? text : "";
}

void lw_demo_add_rain(lw_demo_diary *diary, const lw_demo_weather *weather)
{
  for (int i = 0; i < LW_DEMO_DAYS; i++) {
    if (weather->rain_in[i] >= worth_writing_in) {
      lw_demo_line line = {.kind = LW_KIND_WEATHER, .place = LW_DEMO_CLUB, .day = weather->first + i};
      line.record.weather = (lw_weather){.day = line.day,
                                         .issued = LW_NO_DAY,
                                         .rain_mm = lw_known(weather->rain_in[i] * inch_mm),
                                         .source = "the gauge at the shed"};
      lw_demo_add(diary, &line);
    }
  }
}
