/* SPDX-License-Identifier: Apache-2.0 */
/* Light under water from the disk depth. */
#ifndef LW_WATER_LIGHT_H
#define LW_WATER_LIGHT_H

#include "base/status.h"

#define LW_LIGHT_FACTOR_CLEAR 1.7   /* Poole & Atkins 1929 */
#define LW_LIGHT_FACTOR_TURBID 1.44 /* Holmes 1970 */

/* Attenuation per metre = factor / disk depth, and the depth where 1 % of the surface light is left,
 * ln(100) / attenuation. secchi_m 0.01 to 100, factor 0.5 to 5. */
LW_MUST_CHECK lw_status lw_light_attenuation(double *out_per_m, double *out_one_percent_m, double secchi_m,
                                             double factor, lw_error *err);

#endif
