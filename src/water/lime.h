/* SPDX-License-Identifier: Apache-2.0 */
/* Lime: how much a pond's mud needs, what a liming material is worth against pure calcium carbonate,
 * and the rule of thumb for those who have only an alkalinity reading. Quick and hydrated lime are
 * caustic and do not belong in a stocked pond; the entries say so beside the figure. */
#ifndef LW_WATER_LIME_H
#define LW_WATER_LIME_H

#include "base/status.h"

/* What the table of mud and buffer pH covers. */
#define LW_LIME_MUD_PH_LOW 4.7
#define LW_LIME_MUD_PH_HIGH 5.7
#define LW_LIME_BUFFER_PH_LOW 7.0
#define LW_LIME_BUFFER_PH_HIGH 8.0

/* At or below this alkalinity a fertilized pond wants lime (Boyd 1979; SRAC 4100). */
#define LW_LIME_ALKALINITY_MG_L 20.0

#define LW_LIME_AREA_MAX_M2 1e9
#define LW_NEUTRALIZING_MIN_PERCENT 1.0
#define LW_NEUTRALIZING_MAX_PERCENT 300.0

/* kg/ha of pure, fine calcium carbonate from the pH of the mud in water (4.7 to 5.7) and in the pond
 * mud buffer of pH 8.00 (7.0 to 8.0). The cells of the table are returned as printed; between them
 * the line is straight both ways. Outside: LW_INVALID saying what to do instead.
 * Source: Boyd 1979, Water Quality in Warmwater Fish Ponds, modified Adams-Evans buffer table. */
LW_MUST_CHECK lw_status lw_lime_requirement(double *out_kg_ha, double mud_ph, double buffer_ph,
                                            lw_error *err);

/* kg/ha of a material of that neutralizing value and fineness (per cent, above 0) doing the work of
 * `carbonate_kg_ha`. Source: Boyd 1990. */
LW_MUST_CHECK lw_status lw_lime_material_rate(double *out_kg_ha, double carbonate_kg_ha,
                                              double neutralizing_percent, double fineness_percent,
                                              lw_error *err);

/* Shares by weight of a ground limestone between sieves, per cent. */
typedef struct lw_lime_sieves {
  double passing_60, mesh_20_60, mesh_8_20, over_8;
} lw_lime_sieves;

typedef enum lw_lime_rating {
  LW_LIME_AGRONOMIC, /* Ohio: 100, 60, 20, 0 % */
  LW_LIME_POND       /* Boyd: 100, 52.2, 12.7, 3.6 % */
} lw_lime_rating;

/* Efficiency, per cent. Shares are each 0 or more and add up to at most 101 (rounded reports do not
 * always give 100). */
LW_MUST_CHECK lw_status lw_lime_fineness(double *out_percent, const lw_lime_sieves *shares,
                                         lw_lime_rating rating, lw_error *err);

/* Neutralizing value, per cent of pure calcium carbonate, of a pure material by name
 * ("calcium-hydroxide"); LW_INVALID names the choices. */
LW_MUST_CHECK lw_status lw_neutralizing_value(double *out_percent, const char *material, lw_error *err);

/* The practice of 1 to 2 short tons an acre of agricultural limestone where alkalinity is 20 mg/L or
 * less, nothing above. Common practice, no source; a mud test is better. */
LW_MUST_CHECK lw_status lw_lime_from_alkalinity(double *out_low_kg_ha, double *out_high_kg_ha,
                                                double alkalinity_mg_l, lw_error *err);

#endif
