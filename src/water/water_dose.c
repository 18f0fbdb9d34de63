/* SPDX-License-Identifier: Apache-2.0 */
#include "base/method.h"
#include "water/check.h"
#include "water/dose.h"

#define ACTIVE_MIN 0.0001
#define CONCENTRATION_MAX_MG_L 10000.0
#define G_PER_KG 1000.0

lw_status lw_water_dose(double *out_kg, double volume_m3, double concentration_mg_l, double active_fraction,
                        lw_error *err)
{
  lw_status s = lw_within("volume", volume_m3, 0, LW_DOSE_VOLUME_MAX_M3, "m3", err);
  if (s == LW_OK) {
    s = lw_within("concentration", concentration_mg_l, 0, CONCENTRATION_MAX_MG_L, "mg/L", err);
  }
  if (s == LW_OK) {
    s = lw_within("active-fraction", active_fraction, ACTIVE_MIN, 1, "", err);
  }
  if (s == LW_OK) {
    *out_kg = volume_m3 * concentration_mg_l / G_PER_KG / active_fraction;
  }
  return s;
}

static lw_status evaluate(const lw_argument *a, lw_result *r, lw_error *err)
{
  r[0].known = true;
  return lw_water_dose(&r[0].value, a[0].number, a[1].number, a[2].number, err);
}

const lw_method lw_method_water_dose = {
    .name = "water-dose",
    .title = "Treatment by volume",
    .purpose = "How much of a product brings a volume of water to a wanted concentration of its active "
               "ingredient.",
    .formula = "mass = volume x concentration / active fraction (1 mg/L = 1 g/m3; 2.719 lb per "
               "acre-foot)",
    .source = "definition of mg/L; Spellman, Mathematics and Statistics for the Environment, examples "
              "23.19-23.21; Texas Parks & Wildlife, Estimating the Size of Your Pond (2.7 lb per "
              "acre-foot and ppm)",
    .basis = "read",
    .limits = "The label of a registered product is law and states the dose, the share of the water "
              "that may be treated at once and the waiting times. Killing heavy weeds takes oxygen: a "
              "quarter to a third at a time.",
    .inputs = {{.name = "volume",
                .meaning = "volume of the water treated",
                .unit = "m3",
                .low = 0,
                .high = LW_DOSE_VOLUME_MAX_M3},
               {.name = "concentration",
                .meaning = "active ingredient wanted in the water",
                .unit = "mg/L",
                .low = 0,
                .high = CONCENTRATION_MAX_MG_L},
               {.name = "active-fraction",
                .meaning = "share of the product that is active ingredient",
                .unit = "1",
                .low = ACTIVE_MIN,
                .high = 1,
                .optional = true,
                .has_default = true,
                .fallback = 1}},
    .outputs = {{"mass", "product to put in", "kg"}},
    .evaluate = evaluate,
};
