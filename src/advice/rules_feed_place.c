/* SPDX-License-Identifier: Apache-2.0 */
/* Rules for feeding the bloom that look at the calendar, the use of the water, its size, its outflow,
 * the weather and the doses given. */
#include "advice/rules_feed.h"
#include "advice/sources.h"
#include "advice/words.h"

#include <string.h>

#define SUBJECT "feeding the bloom"

enum { DEEP_AFTER = 60, DEEP_BEFORE = 45, RAIN_DAYS = 3, EARLY_DAYS = 16 };

static const double still_wind_m_s = 2.0; /* about 4-5 mph: leaves hardly move */
static const double cloudy_pct = 70;

bool lw_deep_season(const lw_view *v)
{
  return v->facts->today >= v->latest.season_start + DEEP_AFTER &&
         v->facts->today <= v->latest.season_end - DEEP_BEFORE;
}

bool lw_cleared_early(const lw_view *v)
{
  const lw_treatment *t = v->latest.last_feed_treatment;
  const lw_material *m = t ? lw_case_material(v->facts, t->material) : NULL;
  if (!m || strcmp(m->form, "liquid") != 0 || v->facts->today - t->day > EARLY_DAYS) {
    return false;
  }
  for (size_t i = 0; i < v->facts->reading_count; i++) {
    const lw_reading *r = &v->facts->readings[i];
    if (strcmp(r->quantity, "secchi") == 0 && r->day > t->day && r->day <= v->facts->today &&
        r->value <= v->facts->program.aim_high_m) {
      return v->latest.seen[LW_SECCHI].value > v->facts->program.aim_high_m;
    }
  }
  return false;
}

static void judge_use(const lw_view *v, lw_finding *out)
{
  const char *use = v->facts->water->use;
  if (strcmp(use, "clear-water") == 0 || strcmp(use, "wildlife") == 0 || strcmp(use, "livestock") == 0) {
    lw_finding_holds(out,
                     lw_say(v, "This water is kept for %s: a bloom is not wanted here.",
                            strcmp(use, "clear-water") == 0 ? "clear water" : use),
                     LW_NO_DAY);
  } else if (strcmp(use, "swimming") == 0) {
    lw_finding_notes(out, "People swim here. Oklahoma advises against feeding such water, Alabama calls it "
                          "safe: tell the swimmers, and follow the label.");
  }
}

const lw_rule lw_rule_feed_use = {"feed-use",
                                  SUBJECT,
                                  "The water is kept clear, for livestock or for wildlife only",
                                  LW_SRC_SRAC_471
                                  "; swimming: Oklahoma Dept. Wildlife Conservation against " LW_SRC_ALABAMA,
                                  "read",
                                  judge_use};

static void judge_fish(const lw_view *v, lw_finding *out)
{
  if (strcmp(v->facts->water->fish, "unbalanced") == 0) {
    lw_finding_holds(out,
                     "The fish are out of balance: feed would grow more of the wrong ones. Put the "
                     "fish right first.",
                     LW_NO_DAY);
  }
}

const lw_rule lw_rule_feed_fish = {
    "feed-fish-unbalanced", SUBJECT, "The fish are told to be unwanted or out of balance",
    LW_SRC_SRAC_471,        "read",  judge_fish};

static void judge_harvest(const lw_view *v, lw_finding *out)
{
  if (strcmp(v->facts->water->harvest, "no") == 0) {
    lw_finding_holds(out,
                     "Nobody takes fish out: a fed water grows three to four times the fish, and "
                     "without harvest they crowd and stunt.",
                     LW_NO_DAY);
  } else if (v->facts->water->harvest[0] == '\0' && v->latest.feed_doses == 0) {
    lw_finding_notes(out, "Is there somebody to harvest? A fed water grows three to four times the fish.");
  }
}

const lw_rule lw_rule_feed_harvest = {"feed-nobody-harvests", SUBJECT, "Nobody harvests fish",
                                      LW_SRC_MISSISSIPPI,     "read",  judge_harvest};

static void judge_pellets(const lw_view *v, lw_finding *out)
{
  lw_maybe pellets = v->facts->water->pellets_kg_ha_day;
  if (pellets.known && pellets.value > v->facts->program.pellets_max_kg_ha_day) {
    const char *shown = lw_show_value(v, pellets.value, "kg/ha", "lb/acre", "kg/ha");
    lw_cite_fact(v, out, "pellets", pellets.value, "kg/ha/day", shown, LW_NO_DAY);
    lw_finding_holds(out,
                     lw_say(v,
                            "Fish get %s of pellets a day: what they leave feeds the bloom "
                            "already.",
                            shown),
                     v->facts->today + 30);
  }
}

const lw_rule lw_rule_feed_pellets = {
    "feed-pellets",
    SUBJECT,
    "Pellets fed per acre and day are over the mark",
    LW_SRC_SRAC_471 ": fed ponds normally need none; 10 lb/acre a day from an Alabama-derived pond guide, "
                    "second hand",
    "read",
    judge_pellets};

static void judge_size(const lw_view *v, lw_finding *out)
{
  if (!v->latest.area_m2.known) {
    lw_finding_asks(out,
                    "How big is the water? Without its area no dose can be reckoned: give an outline "
                    "or the acres.",
                    "area");
    return;
  }
  const char *shown = lw_show_value(v, v->latest.area_m2.value, "m2", "acre", "ha");
  lw_cite_fact(v, out, "area", v->latest.area_m2.value, "m2", shown, LW_NO_DAY);
  lw_finding_notes(out, lw_size_words(v, shown));
}

const lw_rule lw_rule_feed_size = {"feed-size",     SUBJECT,           "The area of the water is not known",
                                   LW_SRC_PRACTICE, "common practice", judge_size};

static void judge_season(const lw_view *v, lw_finding *out)
{
  if (v->latest.in_season) {
    return;
  }
  lw_cite_fact(v, out, "season start", v->latest.season_start, "day", lw_show_day(v, v->latest.season_start),
               v->latest.season_start);
  lw_finding_holds(out,
                   lw_say(v, "Out of season: feeding opens %s, once the water is warm.",
                          lw_show_day(v, v->latest.season_start)),
                   v->latest.season_start);
}

const lw_rule lw_rule_feed_season = {
    "feed-season",
    SUBJECT,
    "Today is outside the water's feeding season",
    LW_SRC_ALABAMA_LEAFLET ": late February or later to November; practice: late April or early May "
                           "through October (" LW_SRC_PRACTICE "). Used: 20 February to 31 October unless "
                           "the water has its own dates; the temperature decides inside",
    "read",
    judge_season};

static bool controlled_release_given(const lw_view *v)
{
  for (size_t i = 0; i < v->facts->treatment_count; i++) {
    const lw_treatment *t = &v->facts->treatments[i];
    const lw_material *m = lw_case_material(v->facts, t->material);
    if (strcmp(t->purpose, "feed") == 0 && m && strcmp(m->form, "controlled-release") == 0 &&
        t->day <= v->facts->today && t->day >= v->latest.first_feed && v->latest.first_feed != LW_NO_DAY) {
      return true;
    }
  }
  return false;
}

static void judge_interval(const lw_view *v, lw_finding *out)
{
  if (v->latest.last_feed == LW_NO_DAY) {
    return;
  }
  int since = v->facts->today - v->latest.last_feed;
  int least = (int)v->facts->program.opening_interval_day;
  bool slow = controlled_release_given(v);
  lw_cite_fact(v, out, "last dose", v->latest.feed_doses, "1", lw_say(v, "dose %d", v->latest.feed_doses),
               v->latest.last_feed);
  if (slow) {
    lw_finding_holds(out, "Controlled-release feed went in this season; it lasts to its end.",
                     v->facts->today + 14);
  } else if (since < least) {
    lw_finding_holds(out,
                     lw_say(v,
                            "Dose %d went in %s. One dose rarely makes the bloom; look again %s and "
                            "repeat if the disk is still deep.",
                            v->latest.feed_doses, lw_show_age(v, since),
                            lw_show_day(v, v->latest.last_feed + least)),
                     v->latest.last_feed + least);
  } else {
    lw_finding_notes(out, lw_say(v, "Dose %d went in %s.", v->latest.feed_doses, lw_show_age(v, since)));
  }
}

const lw_rule lw_rule_feed_interval = {
    "feed-interval",
    SUBJECT,
    "Fewer than two weeks since the last dose; controlled-release is given once a season",
    LW_SRC_ALABAMA_LEAFLET ": three doses two weeks apart, later every three to four weeks or when it "
                           "clears",
    "read",
    judge_interval};

static void judge_lime(const lw_view *v, lw_finding *out)
{
  int wait = (int)v->facts->program.lime_wait_day;
  if (v->latest.last_lime == LW_NO_DAY || v->facts->today - v->latest.last_lime >= wait) {
    return;
  }
  lw_cite_fact(v, out, "last lime", v->facts->today - v->latest.last_lime, "day",
               lw_show_age(v, v->facts->today - v->latest.last_lime), v->latest.last_lime);
  lw_finding_holds(out,
                   lw_say(v,
                          "Lime went in %s; it takes phosphorus out of the water. Wait until %s and "
                          "test alkalinity again.",
                          lw_show_age(v, v->facts->today - v->latest.last_lime),
                          lw_show_day(v, v->latest.last_lime + wait)),
                   v->latest.last_lime + wait);
}

const lw_rule lw_rule_feed_lime = {"feed-after-lime",
                                   SUBJECT,
                                   "Lime went in during the last weeks",
                                   LW_SRC_EXTENSION "; the thirty days are " LW_SRC_PRACTICE,
                                   "read",
                                   judge_lime};

static void judge_retention(const lw_view *v, lw_finding *out)
{
  const lw_program *p = &v->facts->program;
  if (!v->latest.retention_day.known) {
    if (!v->latest.outflow_m3_s.known) {
      lw_finding_notes(out, "How long the water stays is not known; under three to four weeks the feed goes "
                            "over the spillway.");
    }
    return;
  }
  double days = v->latest.retention_day.value;
  const char *shown = lw_say(v, "%.0f days", days);
  lw_cite_fact(v, out, "retention", days, "day", shown, v->latest.seen[LW_OUTFLOW].day);
  shown = lw_say(v, "%s%s", shown, lw_volume_words(&v->latest));
  if (days < p->retention_min_day) {
    lw_finding_holds(out,
                     lw_say(v,
                            "The water stays only %s: the feed would go over the spillway. Wait for "
                            "a drier spell.",
                            shown),
                     v->facts->today + 7);
  } else if (days < p->retention_good_day) {
    lw_finding_notes(out,
                     lw_say(v, "The water stays %s: part of the feed will go over the spillway.", shown));
  } else {
    lw_finding_notes(out, lw_say(v, "The water stays %s.", shown));
  }
}

const lw_rule lw_rule_feed_retention = {
    "feed-retention",
    SUBJECT,
    "The water stays fewer than three to four weeks",
    LW_SRC_ALABAMA ": not where much water leaves; Clemson HGIC 1710: not above 5 % of the volume a day "
                   "(20 days); three to four weeks: Boyd and SRAC 471 family, from memory",
    "memory",
    judge_retention};

static void judge_downstream(const lw_view *v, lw_finding *out)
{
  const char *d = v->facts->water->downstream;
  lw_maybe flow = v->latest.outflow_m3_s;
  bool leaves = flow.known && flow.value > 0;
  if (strcmp(d, "permit-needed") == 0) {
    lw_finding_holds(out, "A permit is needed for what leaves this water. Get it before feeding.",
                     v->facts->today + 14);
  } else if (strcmp(d, "neighbours") == 0) {
    lw_finding_notes(out, "Neighbours take this water downstream.");
    out->caution = leaves ? "Water is leaving: tell the neighbours downstream, keep feed off the last "
                            "third before the spillway, and follow local rules on discharge."
                          : "Neighbours live downstream: do not feed when the spillway is about to run.";
  } else if (*d == '\0' && leaves) {
    lw_finding_asks(out, "Water is leaving. Who lives or draws water downstream, and is a permit needed?",
                    "downstream");
  }
}

const lw_rule lw_rule_feed_downstream = {
    "feed-downstream",
    SUBJECT,
    "A permit is still needed for the outflow, or water leaves and nobody said who lives downstream",
    "Local discharge rules decide; " LW_SRC_PRACTICE,
    "common practice",
    judge_downstream};

/* The forecast that stands for a day: the water's own before the one for all, the newest entry of each. */
static lw_maybe forecast_of_day(const lw_view *v, lw_day day, bool rain)
{
  lw_maybe found = {0};
  bool own = false;
  lw_id newest = 0;
  for (size_t i = 0; i < v->facts->weather_count; i++) {
    const lw_weather *w = &v->facts->weather[i];
    lw_maybe value = rain ? w->rain_mm : w->wind_m_s;
    bool mine = w->water != 0;
    if (w->forecast && value.known && w->day == day && (mine > own || (mine == own && w->id >= newest))) {
      found = value;
      own = mine;
      newest = w->id;
    }
  }
  return found;
}

/* Rain over the next days together, or the strongest wind of today and tomorrow; forecasts only. */
static lw_maybe forecast(const lw_view *v, int days, bool rain)
{
  lw_maybe sum = {0};
  for (lw_day day = v->facts->today; day <= v->facts->today + days; day++) {
    lw_maybe value = forecast_of_day(v, day, rain);
    if (value.known) {
      sum.value = rain ? sum.value + value.value : (value.value > sum.value ? value.value : sum.value);
      sum.known = true;
    }
  }
  return sum;
}

static void judge_rain(const lw_view *v, lw_finding *out)
{
  lw_maybe rain = forecast(v, RAIN_DAYS, true);
  if (!rain.known || rain.value < v->facts->program.rain_hold_mm) {
    return;
  }
  const char *shown = lw_show_value(v, rain.value, "mm", "in", "mm");
  lw_cite_fact(v, out, "rain forecast", rain.value, "mm", shown, v->facts->today);
  lw_finding_holds(out,
                   lw_say(v,
                          "%s of rain is forecast within three days: it would dilute the dose and "
                          "run the spillway.",
                          shown),
                   v->facts->today + RAIN_DAYS + 1);
}

const lw_rule lw_rule_feed_rain = {
    "feed-rain",     SUBJECT,           "Heavy rain is forecast within three days",
    LW_SRC_PRACTICE, "common practice", judge_rain};

static void judge_wind(const lw_view *v, lw_finding *out)
{
  lw_maybe wind = forecast(v, 1, false);
  if (!wind.known || wind.value < v->facts->program.wind_hold_m_s) {
    return;
  }
  const char *shown = lw_show_value(v, wind.value, "m/s", "mph", "m/s");
  lw_cite_fact(v, out, "wind forecast", wind.value, "m/s", shown, v->facts->today);
  lw_finding_holds(out,
                   lw_say(v,
                          "Wind of %s is forecast: unsafe in a loaded boat, and the feed would pile "
                          "up on one shore.",
                          shown),
                   v->facts->today + 2);
}

const lw_rule lw_rule_feed_wind = {
    "feed-wind",     SUBJECT,           "Strong wind is forecast today or tomorrow",
    LW_SRC_PRACTICE, "common practice", judge_wind};

static bool still_and_cloudy(const lw_view *v)
{
  for (size_t i = 0; i < v->facts->weather_count; i++) {
    const lw_weather *w = &v->facts->weather[i];
    if (w->forecast && w->day >= v->facts->today && w->day <= v->facts->today + RAIN_DAYS &&
        w->cloud_pct.known && w->cloud_pct.value >= cloudy_pct &&
        lw_or(w->wind_m_s, still_wind_m_s) <= still_wind_m_s) {
      return true;
    }
  }
  return false;
}

static void judge_hot(const lw_view *v, lw_finding *out)
{
  const lw_seen *t = &v->latest.seen[LW_TEMPERATURE];
  if (!t->known || !t->fresh || t->value < v->facts->program.hot_temperature_c) {
    return;
  }
  lw_cite(v, out, LW_TEMPERATURE);
  if (still_and_cloudy(v)) {
    lw_finding_holds(out,
                     lw_say(v,
                            "The water is %s and still, cloudy days are forecast: oxygen can run out "
                            "before dawn.",
                            lw_show(v, LW_TEMPERATURE, t->value)),
                     v->facts->today + 3);
  } else if (!(v->latest.seen[LW_OXYGEN].known && v->latest.seen[LW_OXYGEN].fresh)) {
    lw_finding_asks(
        out, lw_say(v, "The water is %s: read oxygen before any feed.", lw_show(v, LW_TEMPERATURE, t->value)),
        "oxygen");
  } else {
    lw_finding_notes(out, lw_say(v, "The water is %s: hot water holds little oxygen.",
                                 lw_show(v, LW_TEMPERATURE, t->value)));
    out->caution = "If still, cloudy days are coming, do not feed: oxygen can run out before dawn.";
  }
}

const lw_rule lw_rule_feed_hot = {
    "feed-hot-still",
    SUBJECT,
    "Surface water at 86 F or more: holds with still, cloudy days forecast, asks when oxygen was not read",
    LW_SRC_WURTS,
    "read",
    judge_hot};

static void judge_rate(const lw_view *v, lw_finding *out)
{
  lw_finding_notes(out, v->latest.feed_doses == 0
                            ? "First dose of the season: the larger first rate is used."
                            : lw_say(v, "Repeat dose (number %d this season).", v->latest.feed_doses + 1));
}

const lw_rule lw_rule_feed_rate = {
    "feed-first-or-repeat",
    SUBJECT,
    "A season's first dose takes the larger rate",
    "Practice: 10-52-4 at 4-8 lb/acre the first time, about 4 lb/acre after (" LW_SRC_PRACTICE
    "); " LW_SRC_ALABAMA ": 4-6 lb/acre",
    "common practice",
    judge_rate};

static void judge_clears_early(const lw_view *v, lw_finding *out)
{
  if (lw_cleared_early(v)) {
    lw_finding_notes(out, "The liquid dose faded within two weeks: half the rate every two weeks holds the "
                          "bloom better.");
  }
}

const lw_rule lw_rule_feed_clears_early = {
    "feed-clears-early",
    SUBJECT,
    "A liquid dose made the bloom and it cleared inside two weeks",
    "Alabama Wildlife & Freshwater Fisheries Division, Liquid Fertilizer page: half rate at two-week "
    "intervals",
    "read",
    judge_clears_early};
