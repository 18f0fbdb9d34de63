/* SPDX-License-Identifier: Apache-2.0 */
#include "base/method.h"
#include "water/check.h"
#include "water/trophic.h"

#include <math.h>

lw_status lw_trophic_from_secchi(double *out, double secchi_m, lw_error *err)
{
  lw_status s = lw_within("secchi", secchi_m, LW_TROPHIC_SECCHI_LOW_M, LW_TROPHIC_SECCHI_HIGH_M, "m", err);
  if (s == LW_OK) {
    *out = 60.0 - 14.41 * log(secchi_m);
  }
  return s;
}

lw_status lw_trophic_from_chlorophyll(double *out, double chlorophyll_ug_l, lw_error *err)
{
  lw_status s =
      lw_within("chlorophyll", chlorophyll_ug_l, LW_TROPHIC_UG_L_LOW, LW_TROPHIC_UG_L_HIGH, "ug/L", err);
  if (s == LW_OK) {
    *out = 9.81 * log(chlorophyll_ug_l) + 30.6;
  }
  return s;
}

lw_status lw_trophic_from_phosphorus(double *out, double phosphorus_ug_l, lw_error *err)
{
  lw_status s =
      lw_within("phosphorus", phosphorus_ug_l, LW_TROPHIC_UG_L_LOW, LW_TROPHIC_UG_L_HIGH, "ug/L", err);
  if (s == LW_OK) {
    *out = 14.42 * log(phosphorus_ug_l) + 4.15;
  }
  return s;
}

static lw_status evaluate(const lw_argument *a, lw_result *r, lw_error *err)
{
  static lw_status (*const index[])(double *, double, lw_error *) = {
      lw_trophic_from_secchi, lw_trophic_from_chlorophyll, lw_trophic_from_phosphorus};
  bool any = false;
  for (int i = 0; i < 3; i++) {
    if (!a[i].given) {
      continue;
    }
    any = r[i].known = true;
    lw_status s = index[i](&r[i].value, a[i].number, err);
    if (s != LW_OK) {
      return s;
    }
  }
  return any ? LW_OK
             : lw_fail(err, LW_INVALID,
                       "give at least one of secchi, chlorophyll and phosphorus, for example secchi=24in");
}

const lw_method lw_method_trophic_state = {
    .name = "trophic-state",
    .title = "Trophic state index",
    .purpose = "How fertile a water is on one scale from its clarity, chlorophyll or phosphorus; where "
               "the three disagree, mud, colour or another nutrient is at work.",
    .formula = "60 - 14.41 ln(secchi); 9.81 ln(chlorophyll) + 30.6; 14.42 ln(phosphorus) + 4.15 (m, "
               "ug/L, ug/L; natural logarithm)",
    .source = "Carlson 1977, Limnol. Oceanogr. 22:361-369; Carlson & Simpson 1996 (NALMS)",
    .basis = "read",
    .limits = "For summer surface water. Clarity counts only where the water is green: mud gives a high "
              "index without algae.",
    .inputs = {{.name = "secchi",
                .meaning = "disk depth",
                .unit = "m",
                .low = LW_TROPHIC_SECCHI_LOW_M,
                .high = LW_TROPHIC_SECCHI_HIGH_M,
                .optional = true},
               {.name = "chlorophyll",
                .meaning = "chlorophyll a",
                .unit = "ug/L",
                .low = LW_TROPHIC_UG_L_LOW,
                .high = LW_TROPHIC_UG_L_HIGH,
                .optional = true},
               {.name = "phosphorus",
                .meaning = "total phosphorus, as P",
                .unit = "ug/L",
                .low = LW_TROPHIC_UG_L_LOW,
                .high = LW_TROPHIC_UG_L_HIGH,
                .optional = true}},
    .outputs = {{"index-secchi", "index from clarity", "1"},
                {"index-chlorophyll", "index from chlorophyll", "1"},
                {"index-phosphorus", "index from phosphorus", "1"}},
    .evaluate = evaluate,
};
