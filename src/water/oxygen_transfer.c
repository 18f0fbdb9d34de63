/* SPDX-License-Identifier: Apache-2.0 */
#include "base/method.h"
#include "water/check.h"
#include "water/oxygen.h"

#include <math.h>

#define RATE_MAX_KG_H 10000.0
#define SATURATION_20_MG_L 9.09

static lw_status check(const lw_aeration *x, lw_error *err)
{
  lw_status s = lw_within("standard-rate", x->standard_rate_kg_h, 0, RATE_MAX_KG_H, "kg/h", err);
  if (s == LW_OK) {
    s = lw_within("oxygen", x->oxygen_mg_l, 0, LW_OXYGEN_HIGH_MG_L, "mg/L", err);
  }
  if (s == LW_OK) {
    s = lw_within("alpha", x->alpha, 0.1, 2, "", err);
  }
  if (s == LW_OK) {
    s = lw_within("beta", x->beta, 0.5, 1.1, "", err);
  }
  if (s == LW_OK) {
    s = lw_within("theta", x->theta, 1, 1.1, "", err);
  }
  return s;
}

lw_status lw_oxygen_transfer_kg_h(double *out, const lw_aeration *aeration, lw_error *err)
{
  double saturation = 0;
  lw_status s = check(aeration, err);
  if (s == LW_OK) {
    s = lw_oxygen_saturation_mg_l(&saturation, aeration->temperature_c, aeration->pressure_atm, 0, err);
  }
  if (s == LW_OK) {
    double deficit = aeration->beta * saturation - aeration->oxygen_mg_l;
    *out = aeration->standard_rate_kg_h * aeration->alpha * deficit / SATURATION_20_MG_L *
           pow(aeration->theta, aeration->temperature_c - 20.0);
  }
  return s;
}

enum { RATE, TEMPERATURE, OXYGEN, ELEVATION, ALPHA, BETA, THETA };

static lw_status evaluate(const lw_argument *a, lw_result *r, lw_error *err)
{
  lw_aeration x = {.standard_rate_kg_h = a[RATE].number,
                   .temperature_c = a[TEMPERATURE].number,
                   .oxygen_mg_l = a[OXYGEN].number,
                   .alpha = a[ALPHA].number,
                   .beta = a[BETA].number,
                   .theta = a[THETA].number};
  double pressure_kpa = LW_KPA_PER_ATM;
  lw_status s = a[ELEVATION].given ? lw_air_pressure_kpa(&pressure_kpa, a[ELEVATION].number, err) : LW_OK;
  x.pressure_atm = pressure_kpa / LW_KPA_PER_ATM;
  if (s != LW_OK) {
    return s;
  }
  r[0].known = true;
  return lw_oxygen_transfer_kg_h(&r[0].value, &x, err);
}

const lw_method lw_method_oxygen_transfer = {
    .name = "oxygen-transfer",
    .title = "Oxygen an aerator really gives",
    .purpose = "The oxygen an aerator puts into this water now, from its rating in clean, oxygen-free "
               "water at 20 degC: a full water takes little.",
    .formula = "OTR = SOTR x alpha x (beta Cs - C) / 9.09 x theta^(T - 20), Cs from oxygen-saturation",
    .source = "ASCE Standard 2-91 form (second hand); in ponds Boyd 1998, Aquac. Eng. 18:9-40",
    .basis = "read",
    .limits = "Alpha stands at 1 (clean water) unless given; pond water is recalled (memory) at 0.66 to "
              "1.07, mean about 0.94. Below 0: the water holds more than it can keep and the aerator "
              "drives oxygen out; do not run it then. Electricity near water: ground-fault protection "
              "and a licensed electrician.",
    .inputs = {{.name = "standard-rate",
                .meaning = "the aerator's rating (SOTR)",
                .unit = "kg/h",
                .low = 0,
                .high = RATE_MAX_KG_H},
               {.name = "temperature",
                .meaning = "water temperature",
                .unit = "degC",
                .low = LW_WATER_TEMPERATURE_LOW_C,
                .high = LW_WATER_TEMPERATURE_HIGH_C},
               {.name = "oxygen",
                .meaning = "oxygen in the water now",
                .unit = "mg/L",
                .low = 0,
                .high = LW_OXYGEN_HIGH_MG_L},
               {.name = "elevation",
                .meaning = "height above sea level (one atmosphere when left out)",
                .unit = "m",
                .low = LW_ELEVATION_LOW_M,
                .high = LW_ELEVATION_HIGH_M,
                .optional = true},
               {.name = "alpha",
                .meaning = "transfer in this water against clean water",
                .unit = "1",
                .low = 0.1,
                .high = 2,
                .optional = true,
                .has_default = true,
                .fallback = 1},
               {.name = "beta",
                .meaning = "saturation of this water against clean water",
                .unit = "1",
                .low = 0.5,
                .high = 1.1,
                .optional = true,
                .has_default = true,
                .fallback = 1},
               {.name = "theta",
                .meaning = "growth of transfer per degree",
                .unit = "1",
                .low = 1,
                .high = 1.1,
                .optional = true,
                .has_default = true,
                .fallback = 1.024}},
    .outputs = {{"actual-rate", "oxygen transferred in this water", "kg/h"}},
    .evaluate = evaluate,
};
