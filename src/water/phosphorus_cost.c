/* SPDX-License-Identifier: Apache-2.0 */
#include "base/method.h"
#include "water/check.h"
#include "water/cost.h"

#define PACKAGE_MIN_KG 0.001

lw_status lw_phosphorus_cost(double *out_per_kg, double price, double package_kg, const lw_grade *grade,
                             lw_error *err)
{
  lw_status s = lw_within("price", price, 0, LW_PRICE_MAX, "$", err);
  if (s == LW_OK) {
    s = lw_within("package", package_kg, PACKAGE_MIN_KG, LW_DOSE_PACKAGE_MAX_KG, "kg", err);
  }
  if (s != LW_OK) {
    return s;
  }
  if (!(grade->p2o5_percent > 0)) {
    return lw_fail(err, LW_INVALID,
                   "grade holds no P2O5 (its middle number is 0), so it has no price per P2O5; compare "
                   "materials that carry phosphate");
  }
  *out_per_kg = price / (package_kg * grade->p2o5_percent / 100.0);
  return LW_OK;
}

static lw_status evaluate(const lw_argument *a, lw_result *r, lw_error *err)
{
  lw_grade grade;
  lw_status s = lw_grade_parse(&grade, a[2].text, err);
  if (s != LW_OK) {
    return s;
  }
  r[0].known = true;
  return lw_phosphorus_cost(&r[0].value, a[0].number, a[1].number, &grade, err);
}

const lw_method lw_method_phosphorus_cost = {
    .name = "phosphorus-cost",
    .title = "Price of phosphate",
    .purpose = "What a kilogram of phosphate (P2O5) costs in a material, so that offers of different "
               "grade and package can be compared.",
    .formula = "price per P2O5 = price / (package x P2O5 / 100)",
    .source = "arithmetic on the label",
    .basis = "computed",
    .limits = "A cheap kilogram that sinks to the mud is no bargain: liquids need about one third of the "
              "granular phosphate (Harders, Proc. SEAFWA).",
    .inputs =
        {{.name = "price", .meaning = "price of one package", .unit = "$", .low = 0, .high = LW_PRICE_MAX},
         {.name = "package",
          .meaning = "weight of one package",
          .unit = "kg",
          .low = PACKAGE_MIN_KG,
          .high = LW_DOSE_PACKAGE_MAX_KG},
         {.name = "grade", .meaning = "label numbers N-P2O5-K2O, as 12-48-8", .kind = LW_INPUT_TEXT}},
    .outputs = {{"price-per-p2o5", "price of a kilogram of P2O5", "$/kg"}},
    .evaluate = evaluate,
};
