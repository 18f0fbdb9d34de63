/* SPDX-License-Identifier: Apache-2.0 */
/* The part of total ammonia that poisons fish. */
#ifndef LW_WATER_AMMONIA_H
#define LW_WATER_AMMONIA_H

#include "base/status.h"

/* Share (0-1) of total ammonia that is un-ionized NH3 in fresh water. temperature_c 0 to 50, ph 0 to
 * 14. Source: Emerson, Russo, Lund & Thurston 1975, J. Fish. Res. Board Can. 32:2379. */
LW_MUST_CHECK lw_status lw_unionized_ammonia_fraction(double *out, double temperature_c, double ph,
                                                      lw_error *err);

#endif
