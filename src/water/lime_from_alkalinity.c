/* SPDX-License-Identifier: Apache-2.0 */
#include "base/method.h"
#include "water/check.h"
#include "water/lime.h"

#define ALKALINITY_MAX_MG_L 2000.0
#define SHORT_TON_KG (2000.0 * 0.45359237)
#define ACRE_HA 0.40468564224

lw_status lw_lime_from_alkalinity(double *out_low_kg_ha, double *out_high_kg_ha, double alkalinity_mg_l,
                                  lw_error *err)
{
  lw_status s = lw_within("alkalinity", alkalinity_mg_l, 0, ALKALINITY_MAX_MG_L, "mg/L", err);
  if (s == LW_OK) {
    double tons = alkalinity_mg_l <= LW_LIME_ALKALINITY_MG_L ? 1.0 : 0.0;
    *out_low_kg_ha = tons * SHORT_TON_KG / ACRE_HA;
    *out_high_kg_ha = 2.0 * *out_low_kg_ha;
  }
  return s;
}

static lw_status evaluate(const lw_argument *a, lw_result *r, lw_error *err)
{
  r[0].known = r[1].known = true;
  lw_status s = lw_lime_from_alkalinity(&r[0].value, &r[1].value, a[0].number, err);
  if (s == LW_OK && a[1].given) {
    double ha = a[1].number / 10000.0;
    r[2] = (lw_result){true, r[0].value * ha};
    r[3] = (lw_result){true, r[1].value * ha};
  }
  return s;
}

const lw_method lw_method_lime_from_alkalinity = {
    .name = "lime-from-alkalinity",
    .title = "Lime without a mud test",
    .purpose = "The first guess of lime for a soft water when only its alkalinity is known, to plan the "
               "order; a mud test then says the true figure.",
    .formula = "alkalinity at or below 20 mg/L: 1 to 2 short tons an acre of agricultural limestone; "
               "above 20 mg/L: none",
    .source = "common practice, no source (southern extension practice); trigger of 20 mg/L: Boyd 1979; "
              "Wurts & Masser, SRAC 4100 (rev. 2013), p. 1",
    .basis = "common practice",
    .limits = "Acid mud can need several times this: test it. About 50 mg/L serves fertilized ponds "
              "better. Ground limestone only, never quick or hydrated lime in a stocked pond. Dust: "
              "mask, gloves and eyes.",
    .inputs = {{.name = "alkalinity",
                .meaning = "total alkalinity as calcium carbonate",
                .unit = "mg/L",
                .low = 0,
                .high = ALKALINITY_MAX_MG_L},
               {.name = "area",
                .meaning = "water surface to lime",
                .unit = "m2",
                .low = 0,
                .high = LW_LIME_AREA_MAX_M2,
                .optional = true}},
    .outputs = {{"rate-low", "agricultural limestone per area, low", "kg/ha"},
                {"rate-high", "agricultural limestone per area, high", "kg/ha"},
                {"mass-low", "agricultural limestone for the area, low", "kg"},
                {"mass-high", "agricultural limestone for the area, high", "kg"}},
    .evaluate = evaluate,
};
