/* SPDX-License-Identifier: Apache-2.0 */
#include "advice/program.h"

#include "base/text.h"
#include "base/units.h"

#include <string.h>

#define IN 0.0254
#define F(f) (((f)-32.0) / 1.8)
#define LB_ACRE (0.45359237 / 0.40468564224)

#define ALABAMA                                                                                              \
  "Alabama Wildlife & Freshwater Fisheries Div., Fertilizing Ponds (Sportfish Management in "                \
  "Alabama Ponds)"
#define PRACTICE "common practice, no source"

#define AT(member) offsetof(lw_program, member)

const lw_program_row lw_program_rows[] = {
    {"aim-low", "shallowest disk depth of the aim", "m", "in", "cm", 18 * IN, 0.1, 5, AT(aim_low_m),
     "Univ. Georgia Coop. Ext., Pond Fertilization and Liming: a bloom limits light from about 18 in",
     "read"},
    {"aim-high", "deepest disk depth of the aim; deeper means feed again", "m", "in", "cm", 24 * IN, 0.1, 5,
     AT(aim_high_m),
     "18-24 in is the common southern range (extension columns, second hand); Harders, Proc. SEAFWA "
     "(abstract), accepted 60 cm",
     "read"},
    {"too-green", "disk depth under which the water is dangerously green", "m", "in", "cm", 12 * IN, 0.05, 2,
     AT(alarm_m), ALABAMA ", time-release page: under 12 in is excessively green", "read"},
    {"clear", "disk depth from which the water's colour no longer matters", "m", "in", "cm", 36 * IN, 0.3, 10,
     AT(clear_m), "Univ. Arkansas at Pine Bluff, Fertilization: not to be started under 36 in", "read"},
    {"start-temperature", "surface water at which feeding may begin", "degC", "degF", "degC", F(60), 0, 35,
     AT(start_temperature_c), ALABAMA ": above 60 F (Texas 60-65 F, Arkansas 65 F)", "read"},
    {"hot-temperature", "surface water from which hot still weather is dangerous", "degC", "degF", "degC",
     F(86), 20, 40, AT(hot_temperature_c),
     "Wurts, Low Oxygen and Pond Aeration, Kentucky State Univ. "
     "WKY-211",
     "read"},
    {"alkalinity-least", "total alkalinity under which lime comes before feed", "mg/L", "mg/L", "mg/L", 20, 0,
     200, AT(alkalinity_min_mg_l), "Wurts & Masser, SRAC 4100 (2013); Auburn/ACES; Texas A&M AgriLife",
     "read"},
    {"alkalinity-good", "total alkalinity at which a fed water does better", "mg/L", "mg/L", "mg/L", 50, 0,
     400, AT(alkalinity_good_mg_l), "Boyd et al., review of liming materials (abstract): about 50", "read"},
    {"hardness-high", "calcium hardness from which more phosphorus is needed", "mg/L", "mg/L", "mg/L", 50, 0,
     1000, AT(hardness_high_mg_l), "Univ. Arkansas at Pine Bluff, Fertilization, rate table", "read"},
    {"retention-least", "stay of the water under which feed is flushed out", "day", "day", "day", 21, 0, 400,
     AT(retention_min_day),
     "Boyd; SRAC 471 family: three to four weeks; Clemson HGIC 1710: not above 5 % of the volume a day",
     "memory"},
    {"retention-good", "stay of the water from which flushing is no worry", "day", "day", "day", 28, 0, 400,
     AT(retention_good_day), "Boyd; SRAC 471 family: three to four weeks", "memory"},
    {"weed-hold", "weed cover from which feeding waits", "%", "%", "%", 10, 0, 100, AT(weed_hold_pct),
     "Texas A&M AgriLife: no fertilizing where rooted weeds or filamentous algae stand; the share "
     "is " PRACTICE,
     "common practice"},
    {"weed-treat", "weed cover from which weeds are dealt with", "%", "%", "%", 25, 0, 100,
     AT(weed_treat_pct), "Oklahoma State Univ. Ext. CR-9202 (2018): grass carp not under 25 % cover", "read"},
    {"pellets-most", "fish feed a day above which fertilizer adds nothing", "kg/ha", "lb/acre", "kg/ha",
     10 * LB_ACRE, 0, 500, AT(pellets_max_kg_ha_day),
     "Brunson, Stone & Hargreaves, SRAC 471 (1999) and Clemson HGIC 1710: well-fed ponds need none; 10 "
     "lb/acre a day from an Alabama-derived pond guide (second hand)",
     "read"},
    {"rain-hold", "forecast rain in three days that would wash a dose out", "mm", "in", "mm", 25.4, 1, 500,
     AT(rain_hold_mm), PRACTICE, "common practice"},
    {"wind-hold", "forecast wind too strong for a small boat and an even spread", "m/s", "mph", "m/s",
     15 * 0.44704, 1, 40, AT(wind_hold_m_s), PRACTICE, "common practice"},
    {"oxygen-low", "dissolved oxygen at which fish are in danger", "mg/L", "mg/L", "mg/L", 3, 0.5, 10,
     AT(oxygen_low_mg_l), "Jensen, Pond Aeration, Alabama Coop. Ext.; Wurts WKY-211", "read"},
    {"oxygen-watch", "dissolved oxygen from which to watch", "mg/L", "mg/L", "mg/L", 4, 0.5, 12,
     AT(oxygen_watch_mg_l), "Jensen, Pond Aeration, Alabama Coop. Ext.: start at 4 when falling fast",
     "read"},
    {"ph-high", "pH over which feeding waits", "1", "1", "1", 9, 7, 11, AT(ph_high),
     "Univ. Florida IFAS FA028: 6-9 is desirable for most warmwater fish", "read"},
    {"opening-doses", "doses that open a season", "1", "1", "1", 3, 1, 6, AT(opening_doses),
     "Alabama Dept. Conservation, Fisheries Leaflet No. 1: three", "read"},
    {"opening-interval", "least days between two doses", "day", "day", "day", 14, 5, 60,
     AT(opening_interval_day), "Alabama Dept. Conservation, Fisheries Leaflet No. 1: two weeks", "read"},
    {"routine-interval", "usual days between later doses", "day", "day", "day", 28, 7, 90,
     AT(routine_interval_day), "Alabama Dept. Conservation, Fisheries Leaflet No. 1: three to four weeks",
     "read"},
    {"lime-wait", "days between lime and feed", "day", "day", "day", 30, 0, 200, AT(lime_wait_day),
     "eXtension Freshwater Aquaculture: lime takes phosphorus out, not in the same weeks; the days "
     "are " PRACTICE,
     "common practice"},
    {"fresh-clarity", "days a disk reading is good for", "day", "day", "day", 10, 1, 60, AT(secchi_fresh_day),
     PRACTICE, "common practice"},
    {"fresh-color", "days a colour is good for", "day", "day", "day", 21, 1, 90, AT(color_fresh_day),
     PRACTICE, "common practice"},
    {"fresh-temperature", "days a temperature is good for", "day", "day", "day", 10, 1, 60,
     AT(temperature_fresh_day), PRACTICE, "common practice"},
    {"fresh-chemistry", "days an alkalinity or hardness is good for", "day", "day", "day", 400, 30, 1500,
     AT(chemistry_fresh_day), PRACTICE ": once a year, before the season", "common practice"},
    {"fresh-weeds", "days a weed cover is good for", "day", "day", "day", 30, 1, 120, AT(weed_fresh_day),
     PRACTICE, "common practice"},
    {"fresh-outflow", "days an outflow is good for", "day", "day", "day", 30, 1, 400, AT(outflow_fresh_day),
     PRACTICE, "common practice"},
    {"fresh-oxygen", "days an oxygen reading is good for", "day", "day", "day", 2, 0, 10,
     AT(oxygen_fresh_day), PRACTICE, "common practice"},
};

const size_t lw_program_row_count = sizeof lw_program_rows / sizeof lw_program_rows[0];

static double *member(lw_program *program, const lw_program_row *row)
{
  return (double *)(void *)((char *)program + row->offset);
}

void lw_program_default(lw_program *out)
{
  for (size_t i = 0; i < lw_program_row_count; i++) {
    *member(out, &lw_program_rows[i]) = lw_program_rows[i].fallback;
  }
}

const lw_program_row *lw_program_find(const char *key)
{
  for (size_t i = 0; i < lw_program_row_count; i++) {
    if (strcmp(lw_program_rows[i].key, key) == 0) {
      return &lw_program_rows[i];
    }
  }
  return NULL;
}

lw_status lw_program_set(lw_program *program, const char *key, const char *text, lw_error *err)
{
  const lw_program_row *row = lw_program_find(key);
  if (!row) {
    return lw_fail(err, LW_NOT_FOUND, "there is no setting '%.60s'; 'lakeward settings' lists them", key);
  }
  double value = 0;
  lw_status s = lw_quantity_parse(&value, key, text, row->unit, err);
  if (s != LW_OK) {
    return s;
  }
  if (value < row->low || value > row->high) {
    char low[LW_NUMBER_MAX];
    char high[LW_NUMBER_MAX];
    return lw_fail(err, LW_INVALID, "%s: '%.40s' is outside %s to %s %s", key, text,
                   lw_rounded_text(row->low, 4, low), lw_rounded_text(row->high, 4, high), row->unit);
  }
  *member(program, row) = value;
  return LW_OK;
}

lw_status lw_program_for_water(lw_program *program, const lw_water *water, lw_error *err)
{
  program->aim_low_m = lw_or(water->aim_low_m, program->aim_low_m);
  program->aim_high_m = lw_or(water->aim_high_m, program->aim_high_m);
  program->alarm_m = lw_or(water->alarm_m, program->alarm_m);
  program->start_temperature_c = lw_or(water->start_temperature_c, program->start_temperature_c);
  if (program->aim_low_m > program->aim_high_m || program->alarm_m > program->aim_low_m) {
    return lw_fail(err, LW_INVALID,
                   "%s: the aim runs from %.0f to %.0f cm with too green under %.0f cm; the order must "
                   "be too green, aim low, aim high from shallow to deep",
                   water->name, program->aim_low_m * 100, program->aim_high_m * 100, program->alarm_m * 100);
  }
  return LW_OK;
}
