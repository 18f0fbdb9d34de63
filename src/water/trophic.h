/* SPDX-License-Identifier: Apache-2.0 */
/* Carlson's trophic state index: one scale for clarity, chlorophyll and phosphorus, on which ten
 * units halve the clarity. Natural logarithms. Source: Carlson 1977, Limnol. Oceanogr. 22:361. */
#ifndef LW_WATER_TROPHIC_H
#define LW_WATER_TROPHIC_H

#include "base/status.h"

#define LW_TROPHIC_SECCHI_LOW_M 0.01
#define LW_TROPHIC_SECCHI_HIGH_M 100.0
#define LW_TROPHIC_UG_L_LOW 0.001
#define LW_TROPHIC_UG_L_HIGH 50000.0

/* Disk depth in m (0.01-100), chlorophyll a and total phosphorus in ug/L (0.001-50,000). */
LW_MUST_CHECK lw_status lw_trophic_from_secchi(double *out, double secchi_m, lw_error *err);
LW_MUST_CHECK lw_status lw_trophic_from_chlorophyll(double *out, double chlorophyll_ug_l, lw_error *err);
LW_MUST_CHECK lw_status lw_trophic_from_phosphorus(double *out, double phosphorus_ug_l, lw_error *err);

#endif
