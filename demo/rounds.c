/* SPDX-License-Identifier: Apache-2.0 */
#include "demo/rounds.h"

#include "base/quantity.h"
#include "base/units.h"
#include "demo/places.h"

#include <math.h>

enum { SEASON_FROM = 3, SEASON_TO = 10, LAST_DOSE_MONTH = 9, DOSES_MOST = 16 };
enum { NOON = 720, DUSK = 19 * 60 + 40, AFTERNOON = 15 * 60 };

/* How often a water is visited and what it looks like unfed; inches of disk. */
typedef struct habit {
  int gap_least, gap_spread;
  double clear_winter_in, clear_summer_in;
  double weeds_pct, ph;
} habit;

static const habit habits[LW_DEMO_WATERS] = {
    [LW_DEMO_UPPER_SEDGE] = {5, 6, 104, 62, 4, 7.2},
    [LW_DEMO_HERON_POOL] = {12, 10, 92, 70, 6, 6.1},
    [LW_DEMO_LONG_RUN] = {6, 6, 88, 52, 6, 7.1},
    [LW_DEMO_BRICKYARD] = {11, 9, 44, 26, 1, 7.4},
};

/* A dose's share of a full bloom, the season's first and the later ones; the disk in a full bloom. */
static const double first_share = 0.5;
static const double later_share = 0.7;
static const double full_bloom_in = 18;
static const double feed_deeper_than_in = 24;
static const double warm_enough_f = 61;
static const double creek_most_cfs = 15;
static const double mud_rain_in = 0.9;

typedef struct season_log {
  lw_day doses[DOSES_MOST];
  int count, year;
} season_log;

typedef struct watch {
  lw_demo_diary *diary;
  const lw_demo_weather *weather;
  lw_demo_place place;
  lw_demo_used *used;
  season_log log;
  int rounds, weed_month;
} watch;

/* ---- the bloom ---- */

/* Nothing for three days, full on the twelfth, then fading by a quarter a week. */
static double answer_to_dose(int age)
{
  if (age < 3) {
    return 0;
  }
  return age < 12 ? (age - 3) / 9.0 : exp(-(age - 12) / 22.0);
}

static double bloom(const season_log *log, lw_day day)
{
  double sum = 0;
  for (int i = 0; i < log->count; i++) {
    sum += (i == 0 ? first_share : later_share) * answer_to_dose(day - log->doses[i]);
  }
  return fmin(sum, 1);
}

static bool is_muddy(const watch *w, lw_day day)
{
  return w->place == LW_DEMO_BRICKYARD && lw_demo_rain_over_in(w->weather, day, 9) >= mud_rain_in;
}

static double disk_in(const watch *w, lw_day day)
{
  const habit *h = &habits[w->place];
  double noise = exp(0.05 * lw_demo_normal(w->weather->seed, LW_DEMO_DISK, w->place, day));
  if (is_muddy(w, day)) {
    return round(10.5 * pow(noise, 4));
  }
  double summer = 0.5 - 0.5 * cos(6.283185307179586477 * (lw_day_of_year(day) - 45) / 365.25);
  double clear = h->clear_winter_in + (h->clear_summer_in - h->clear_winter_in) * summer;
  double b = bloom(&w->log, day);
  return round(pow(clear, 1 - b) * pow(full_bloom_in, b) * noise);
}

/* ---- readings ---- */

static const char *hand(const watch *w, lw_day day)
{
  double u = lw_demo_uniform(w->weather->seed, LW_DEMO_HAND, w->place, day);
  return u < 0.45 ? "first hand" : u < 0.85 ? "second hand" : "the keeper";
}

/* `value` in `unit`, the one that is read off. */
static void read_off(const watch *w, lw_day day, lw_quantity_id quantity, double value, const char *unit,
                     int minute, const char *way)
{
  lw_demo_diary *d = w->diary;
  lw_reading r = {
      .quantity = lw_quantities[quantity].name, .day = day, .by = hand(w, day), .way = way, .note = ""};
  if (minute) {
    r.minute = lw_known(minute);
  }
  lw_status s = lw_convert(&r.value, value, unit, lw_quantities[quantity].unit, d->err);
  d->status = d->status == LW_OK ? s : d->status;
  lw_demo_add_reading(d, w->place, &r);
}

static double draw(const watch *w, lw_day day, int use)
{
  enum { USES = 8 };
  return lw_demo_uniform(w->weather->seed, LW_DEMO_OTHER, w->place, day * USES + use);
}

static void read_color(const watch *w, lw_day day)
{
  const char *word = is_muddy(w, day)                                              ? "brown-mud"
                     : bloom(&w->log, day) > 0.35 || w->place == LW_DEMO_BRICKYARD ? "green"
                                                                                   : "clear";
  int index = lw_choice_index(lw_quantities[LW_WATER_COLOR].choices, word);
  read_off(w, day, LW_WATER_COLOR, index, "1", 0, "");
}

/* Weeds come up before a bloom shades them and go down under it. */
static void read_weeds(watch *w, lw_day day, int month)
{
  double rise = month <= 6 ? month - SEASON_FROM : SEASON_TO - month;
  double pct = habits[w->place].weeds_pct * (0.7 + 0.25 * rise) * (1 - 0.5 * bloom(&w->log, day));
  read_off(w, day, LW_WEED_COVER, round(fmax(pct, 0)), "%", 0, "judged from the boat");
  w->weed_month = month;
}

static void read_oxygen(const watch *w, lw_day day)
{
  double mg_l = 7.2 + 2.2 * bloom(&w->log, day) + 1.2 * (draw(w, day, 0) - 0.5);
  read_off(w, day, LW_OXYGEN, round(mg_l * 10) / 10, "mg/L", DUSK, "meter, a foot under");
}

static void read_creek(const watch *w, lw_day day)
{
  double cfs = round(w->weather->creek_cfs[day - w->weather->first]);
  read_off(w, day, LW_OUTFLOW, cfs, "cfs", 0, "head over the weir");
}

static void read_in_season(watch *w, lw_day day, int month)
{
  double ph = habits[w->place].ph + 1.1 * bloom(&w->log, day) + 0.3 * (draw(w, day, 1) - 0.5);
  if (w->rounds % 2 == 0 || is_muddy(w, day)) {
    read_color(w, day);
  }
  if (w->rounds % 3 == 0) {
    read_off(w, day, LW_PH, round(ph * 10) / 10, "1", AFTERNOON, "meter");
  }
  if (month != w->weed_month) {
    read_weeds(w, day, month);
  }
  if (month >= 6 && month <= 9 && draw(w, day, 2) < 0.25) {
    read_oxygen(w, day);
  }
}

static bool in_season(int month)
{
  return month >= SEASON_FROM && month <= SEASON_TO;
}

static void go_round(watch *w, lw_day day)
{
  int month = lw_civil_from_day(day).month;
  int minute = NOON - 60 + 5 * (int)(draw(w, day, 3) * 24);
  read_off(w, day, LW_SECCHI, disk_in(w, day), "in", minute, "disk");
  read_off(w, day, LW_TEMPERATURE, lw_demo_surface_f(w->weather, w->place, day), "degF", minute,
           "thermometer, a foot under");
  if (in_season(month)) {
    read_in_season(w, day, month);
  }
  if (w->place == LW_DEMO_LONG_RUN && (w->rounds % 2 == 1 || !in_season(month))) {
    read_creek(w, day);
  }
  w->rounds++;
}

/* ---- doses ---- */

typedef struct dose {
  lw_demo_material material;
  double first, repeat; /* packages */
  const char *how;
} dose;

/* Long Run was fed by the gallon in the first season, by the sack in the second. */
static dose dose_of(lw_demo_place place, int year)
{
  if (place == LW_DEMO_UPPER_SEDGE) {
    return (dose){LW_DEMO_POWDER, 5, 4, "Washed out behind the propeller, two loads."};
  }
  return year == LW_DEMO_FIRST_SEASON
             ? (dose){LW_DEMO_LIQUID, 96, 72, "Thinned with lake water ten to one, four loads."}
             : (dose){LW_DEMO_POWDER, 12, 9,
                      "Washed out behind the propeller, three loads; none near the weir."};
}

static bool wants_feed(const watch *w, lw_day day)
{
  lw_civil c = lw_civil_from_day(day);
  const season_log *log = &w->log;
  bool fed = w->place == LW_DEMO_UPPER_SEDGE || w->place == LW_DEMO_LONG_RUN;
  if (!fed || !in_season(c.month) || c.month > LAST_DOSE_MONTH || log->count == DOSES_MOST ||
      lw_demo_surface_f(w->weather, w->place, day) < warm_enough_f) {
    return false;
  }
  if (log->count && day - log->doses[log->count - 1] < 14) {
    return false;
  }
  bool creek_up =
      w->place == LW_DEMO_LONG_RUN && w->weather->creek_cfs[day - w->weather->first] > creek_most_cfs;
  return !creek_up && disk_in(w, day) > feed_deeper_than_in;
}

static void feed(watch *w, lw_day day)
{
  int year = lw_civil_from_day(day).year;
  dose d = dose_of(w->place, year);
  double packages = w->log.count == 0 ? d.first : d.repeat;
  double litres = packages * lw_demo_package_l(d.material);
  lw_demo_line line = {.kind = LW_KIND_TREATMENT, .place = w->place, .material = d.material, .day = day};
  line.record.treatment = (lw_treatment){.mass_kg = packages * lw_demo_package_kg(d.material),
                                         .purpose = "feed",
                                         .volume_l = {litres, litres > 0},
                                         .note = d.how,
                                         .by = hand(w, day),
                                         .conditions = lw_demo_conditions(w->weather, day, w->diary->arena)};
  lw_demo_add(w->diary, &line);
  w->log.doses[w->log.count++] = day;
  w->used->packages[d.material][year - LW_DEMO_FIRST_SEASON] += packages;
}

/* The first of the next days that is dry and stays dry; where none is, the next round decides again. */
static void feed_on_a_dry_day(watch *w, lw_day round_day)
{
  for (lw_day day = round_day + 1; day <= round_day + 4; day++) {
    if (lw_demo_rain_in(w->weather, day) < 0.1 && lw_demo_rain_in(w->weather, day + 1) < 0.4) {
      feed(w, day);
      return;
    }
  }
}

static int days_to_next(const watch *w, lw_day day)
{
  double u = lw_demo_uniform(w->weather->seed, LW_DEMO_ROUND, w->place, day);
  const habit *h = &habits[w->place];
  return in_season(lw_civil_from_day(day).month) ? h->gap_least + (int)(u * (h->gap_spread + 1))
                                                 : 26 + (int)(u * 8);
}

void lw_demo_add_rounds(lw_demo_diary *diary, const lw_demo_weather *weather, lw_demo_place place,
                        lw_demo_used *used)
{
  watch w = {.diary = diary, .weather = weather, .place = place, .used = used};
  lw_day last = weather->first + LW_DEMO_DAYS - 1;
  for (lw_day day = weather->first + 15 + (int)place; day <= last; day += days_to_next(&w, day)) {
    int year = lw_civil_from_day(day).year;
    if (year != w.log.year) {
      w.log = (season_log){.year = year};
    }
    go_round(&w, day);
    if (wants_feed(&w, day)) {
      feed_on_a_dry_day(&w, day);
    }
  }
}
