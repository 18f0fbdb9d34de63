/* SPDX-License-Identifier: Apache-2.0 */
/* Doses: how much fertilizer (by area) or treatment (by volume) goes into a water, in how many
 * packages, and what nutrients that carries. Phosphorus is always named as P2O5 (the label) or P (the
 * element): most dosing errors are mix-ups of the two. */
#ifndef LW_WATER_DOSE_H
#define LW_WATER_DOSE_H

#include "base/status.h"

#include <stdbool.h>

/* Mass share of P in P2O5: 2 x 30.973762 / 141.944523 (IUPAC standard atomic weights). */
#define LW_P_IN_P2O5 (2.0 * 30.973762 / 141.944523)

/* Largest values accepted, also the ranges of the method entries. */
#define LW_DOSE_AREA_MAX_M2 1e9
#define LW_DOSE_VOLUME_MAX_M3 1e11
#define LW_DOSE_RATE_MAX_KG_HA 100000.0
#define LW_DOSE_PACKAGE_MAX_KG 100000.0
#define LW_DENSITY_MIN_KG_L 0.3
#define LW_DENSITY_MAX_KG_L 3.0

/* The label: per cent by weight of total nitrogen, available phosphate as P2O5, soluble potash as K2O
 * (the order of the grade that AAPFCO uniform labels use in the United States). */
typedef struct lw_grade {
  double nitrogen_percent, p2o5_percent, k2o_percent;
} lw_grade;

/* Reads "12-48-8": three numbers of 0 to 100, decimals allowed, summing to at most 100. */
LW_MUST_CHECK lw_status lw_grade_parse(lw_grade *out, const char *text, lw_error *err);

/* What to put in. package_kg and volume_m3 are 0 where not known. */
typedef struct lw_dose_plan {
  double area_m2, rate_kg_ha;
  lw_grade grade;
  double package_kg, volume_m3;
} lw_dose_plan;

typedef struct lw_dose {
  double mass_kg;
  bool packages_known;
  double packages; /* whole, rounded up */
  double nitrogen_kg, p2o5_kg, phosphorus_kg, k2o_kg, p2o5_rate_kg_ha;
  bool phosphorus_added_known;
  double phosphorus_added_mg_l; /* elemental P if it all stayed dissolved in the volume */
} lw_dose;

/* Rate x area and the nutrients in it. Sources: the arithmetic of Alabama Wildlife & Freshwater
 * Fisheries, Fertilizing Ponds (40 lb of 20-20-5 carry 8 lb); IUPAC atomic weights. */
LW_MUST_CHECK lw_status lw_material_dose(lw_dose *out, const lw_dose_plan *plan, lw_error *err);

/* Packages to carry: mass / package rounded up, without an extra one for the last bit of a double
 * (exactly three packages' worth is 3). mass_kg >= 0, package_kg > 0. */
double lw_whole_packages(double mass_kg, double package_kg);

/* Mass to bring `volume_m3` to `concentration_mg_l` of active ingredient, with the product holding
 * `active_fraction` (above 0, at most 1) of it. 1 mg/L = 1 g/m3 exactly. */
LW_MUST_CHECK lw_status lw_water_dose(double *out_kg, double volume_m3, double concentration_mg_l,
                                      double active_fraction, lw_error *err);

#endif
