/* SPDX-License-Identifier: Apache-2.0 */
#include "base/method.h"
#include "water/check.h"
#include "water/dose.h"

#include <math.h>

#define M2_PER_HA 10000.0
#define G_PER_KG 1000.0

double lw_whole_packages(double mass_kg, double package_kg)
{
  double n = mass_kg / package_kg;
  double nearest = round(n);
  return fabs(n - nearest) <= 1e-9 * fmax(1.0, n) ? nearest : ceil(n);
}

static lw_status check_plan(const lw_dose_plan *plan, lw_error *err)
{
  lw_status s = lw_within("area", plan->area_m2, 0, LW_DOSE_AREA_MAX_M2, "m2", err);
  if (s == LW_OK) {
    s = lw_within("rate", plan->rate_kg_ha, 0, LW_DOSE_RATE_MAX_KG_HA, "kg/ha", err);
  }
  if (s == LW_OK) {
    s = lw_within("package", plan->package_kg, 0, LW_DOSE_PACKAGE_MAX_KG, "kg", err);
  }
  if (s == LW_OK) {
    s = lw_within("volume", plan->volume_m3, 0, LW_DOSE_VOLUME_MAX_M3, "m3", err);
  }
  return s;
}

lw_status lw_material_dose(lw_dose *out, const lw_dose_plan *plan, lw_error *err)
{
  lw_status s = check_plan(plan, err);
  if (s != LW_OK) {
    return s;
  }
  double mass_kg = plan->rate_kg_ha * plan->area_m2 / M2_PER_HA;
  double p2o5_kg = mass_kg * plan->grade.p2o5_percent / 100.0;
  *out = (lw_dose){
      .mass_kg = mass_kg,
      .packages_known = plan->package_kg > 0,
      .nitrogen_kg = mass_kg * plan->grade.nitrogen_percent / 100.0,
      .p2o5_kg = p2o5_kg,
      .phosphorus_kg = p2o5_kg * LW_P_IN_P2O5,
      .k2o_kg = mass_kg * plan->grade.k2o_percent / 100.0,
      .p2o5_rate_kg_ha = plan->rate_kg_ha * plan->grade.p2o5_percent / 100.0,
      .phosphorus_added_known = plan->volume_m3 > 0,
  };
  if (out->packages_known) {
    out->packages = lw_whole_packages(mass_kg, plan->package_kg);
  }
  if (out->phosphorus_added_known) {
    out->phosphorus_added_mg_l = out->phosphorus_kg * G_PER_KG / plan->volume_m3;
  }
  return LW_OK;
}

enum { AREA, RATE, GRADE, DENSITY, PACKAGE, VOLUME };

/* A liquid's rate comes in litres per hectare and needs its density. */
static lw_status rate_kg_ha(const lw_argument *a, double *out, lw_error *err)
{
  *out = a[RATE].number;
  if (!a[RATE].alternative) {
    return LW_OK;
  }
  if (!a[DENSITY].given) {
    return lw_fail(err, LW_INVALID,
                   "rate is a volume, so density is needed to weigh it; add the label's density, for "
                   "example density=\"11.65 lb/gal\"");
  }
  *out = a[RATE].number * a[DENSITY].number;
  return *out <= LW_DOSE_RATE_MAX_KG_HA
             ? LW_OK
             : lw_fail(err, LW_INVALID, "rate comes to %.0f kg/ha, more than %.0f; check its unit", *out,
                       LW_DOSE_RATE_MAX_KG_HA);
}

static lw_status evaluate(const lw_argument *a, lw_result *r, lw_error *err)
{
  lw_dose_plan plan = {.area_m2 = a[AREA].number,
                       .package_kg = a[PACKAGE].given ? a[PACKAGE].number : 0,
                       .volume_m3 = a[VOLUME].given ? a[VOLUME].number : 0};
  lw_status s = rate_kg_ha(a, &plan.rate_kg_ha, err);
  if (s == LW_OK) {
    s = lw_grade_parse(&plan.grade, a[GRADE].text, err);
  }
  lw_dose dose;
  if (s == LW_OK) {
    s = lw_material_dose(&dose, &plan, err);
  }
  if (s != LW_OK) {
    return s;
  }
  r[0] = (lw_result){true, dose.mass_kg};
  r[1] = (lw_result){dose.packages_known, dose.packages};
  r[2] = (lw_result){true, dose.nitrogen_kg};
  r[3] = (lw_result){true, dose.p2o5_kg};
  r[4] = (lw_result){true, dose.phosphorus_kg};
  r[5] = (lw_result){true, dose.k2o_kg};
  r[6] = (lw_result){true, dose.p2o5_rate_kg_ha};
  r[7] = (lw_result){dose.phosphorus_added_known, dose.phosphorus_added_mg_l};
  return LW_OK;
}

const lw_method lw_method_material_dose = {
    .name = "material-dose",
    .title = "Fertilizer for a water",
    .purpose = "How much of a fertilizer to put on an area, in whole packages, and the nitrogen, "
               "phosphate and potash that carries.",
    .formula = "mass = rate x area; liquid: mass = rate x density x area; packages = mass / package, "
               "rounded up; nutrient = mass x grade / 100; P = P2O5 x 2 x 30.973762 / 141.944523; "
               "phosphorus added = P / volume",
    .source = "Alabama Wildlife & Freshwater Fisheries, Fertilizing Ponds (c. 2008), items A-E and its "
              "arithmetic 40 lb x 0.20 = 8 lb; IUPAC standard atomic weights",
    .basis = "read",
    .limits = "Agencies that say 'pounds of phosphorus' mean P2O5; P is 0.436 of it. The phosphorus "
              "added assumes it all dissolves in the whole volume; granules on mud lose most of it. "
              "Gloves and eye protection; follow the product label.",
    .inputs = {{.name = "area",
                .meaning = "water surface to treat",
                .unit = "m2",
                .low = 0,
                .high = LW_DOSE_AREA_MAX_M2},
               {.name = "rate",
                .meaning = "product per area, by weight or for liquids by volume",
                .unit = "kg/ha",
                .alternative = "L/ha",
                .low = 0,
                .high = LW_DOSE_RATE_MAX_KG_HA},
               {.name = "grade", .meaning = "label numbers N-P2O5-K2O, as 12-48-8", .kind = LW_INPUT_TEXT},
               {.name = "density",
                .meaning = "weight of a liquid product per volume",
                .unit = "kg/L",
                .low = LW_DENSITY_MIN_KG_L,
                .high = LW_DENSITY_MAX_KG_L,
                .optional = true},
               {.name = "package",
                .meaning = "weight of one sack or container",
                .unit = "kg",
                .low = 0.001,
                .high = LW_DOSE_PACKAGE_MAX_KG,
                .optional = true},
               {.name = "volume",
                .meaning = "volume of the water, for the phosphorus added",
                .unit = "m3",
                .low = 0.001,
                .high = LW_DOSE_VOLUME_MAX_M3,
                .optional = true}},
    .outputs = {{"mass", "product to put in", "kg"},
                {"packages", "whole packages that hold it", "1"},
                {"nitrogen", "nitrogen in it", "kg"},
                {"p2o5", "phosphate in it, as P2O5", "kg"},
                {"phosphorus", "phosphorus in it, as the element P", "kg"},
                {"k2o", "potash in it, as K2O", "kg"},
                {"p2o5-rate", "phosphate per area, as P2O5", "kg/ha"},
                {"phosphorus-added", "rise of phosphorus (P) in the water if it all dissolved", "mg/L"}},
    .evaluate = evaluate,
};
