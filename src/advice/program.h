/* SPDX-License-Identifier: Apache-2.0 */
/* The numbers the rules judge by. Extension services differ, so each has a published default, its
 * source, and can be changed for the whole place (a setting) or, where the water record has the
 * field, for one water. SI units. */
#ifndef LW_ADVICE_PROGRAM_H
#define LW_ADVICE_PROGRAM_H

#include "base/records.h"
#include "base/status.h"

#include <stddef.h>

typedef struct lw_program {
  double aim_low_m, aim_high_m; /* disk inside: fertile enough */
  double alarm_m;               /* greener: too green */
  double clear_m;               /* colour no longer matters above this */
  double start_temperature_c;   /* surface water warm enough */
  double hot_temperature_c;     /* hot still weather is dangerous from here */
  double alkalinity_min_mg_l;   /* lime below */
  double alkalinity_good_mg_l;
  double hardness_high_mg_l; /* calcium ties up phosphorus above */
  double retention_min_day, retention_good_day;
  double weed_hold_pct, weed_treat_pct;
  double pellets_max_kg_ha_day;
  double rain_hold_mm;
  double wind_hold_m_s;
  double oxygen_low_mg_l, oxygen_watch_mg_l;
  double ph_high;
  double opening_doses;        /* doses that open a season */
  double opening_interval_day; /* between them, and least between any two */
  double routine_interval_day; /* later, when the disk stays deep */
  double lime_wait_day;        /* between lime and feed */
  double secchi_fresh_day, color_fresh_day, temperature_fresh_day, chemistry_fresh_day, weed_fresh_day,
      outflow_fresh_day, oxygen_fresh_day;
} lw_program;

typedef struct lw_program_row {
  const char *key; /* "aim-low" */
  const char *meaning;
  const char *unit, *us_unit, *metric_unit;
  double fallback, low, high;
  size_t offset; /* into lw_program */
  const char *source, *basis;
} lw_program_row;

extern const lw_program_row lw_program_rows[];
extern const size_t lw_program_row_count;

/* The published defaults; then a setting by key ("18 in"), LW_NOT_FOUND for other keys. */
void lw_program_default(lw_program *out);
LW_MUST_CHECK lw_status lw_program_set(lw_program *program, const char *key, const char *text, lw_error *err);
const lw_program_row *lw_program_find(const char *key);

/* The water's own aims laid over the place's, refusing an aim band that is upside down. */
LW_MUST_CHECK lw_status lw_program_for_water(lw_program *program, const lw_water *water, lw_error *err);

#endif
