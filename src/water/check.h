/* SPDX-License-Identifier: Apache-2.0 */
/* The one range check of the water sciences, so that a function called from anywhere refuses what it
 * cannot compute and says so in the person's terms. */
#ifndef LW_WATER_CHECK_H
#define LW_WATER_CHECK_H

#include "base/status.h"

/* LW_INVALID, naming field, value and range, unless low <= value <= high. Not-a-number is refused.
 * `unit` is "" for plain numbers. */
LW_MUST_CHECK lw_status lw_within(const char *field, double value, double low, double high, const char *unit,
                                  lw_error *err);

#endif
