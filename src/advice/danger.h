/* SPDX-License-Identifier: Apache-2.0 */
/* What endangers fish, asked by the rules of several subjects, so that they never disagree. */
#ifndef LW_ADVICE_DANGER_H
#define LW_ADVICE_DANGER_H

#include "advice/rules.h"

/* A green water that cleared by 16 in or more within ten days, in one step or several, up to the
 * newest disk reading; *out_from (may be NULL) is the greenest reading it came from. */
bool lw_clearing_is_sudden(const lw_view *view, lw_seen *out_from);

/* Fresh total ammonia, pH and temperature that make 0.05 mg/L un-ionized ammonia or more (IFAS FA16;
 * Emerson et al. 1975). */
bool lw_ammonia_is_harmful(const lw_view *view, double *out_mg_l);

/* The newest oxygen reading, fresh or of the last two weeks, stands at or under the watch mark. */
bool lw_oxygen_is_low(const lw_view *view);

/* A fresh disk reading under the too-green mark in water that is not muddy or stained. */
bool lw_water_is_too_green(const lw_view *view);

/* A fresh colour reading of that word. */
bool lw_color_is(const lw_view *view, lw_water_color color);

/* Days since weeds were last treated, -1 when never. */
int lw_days_since_weed_kill(const lw_view *view);

/* Weeds are dealt with a part at a time, this many days apart (SRAC 361 family; copper labels). */
enum { LW_WEED_KILL_DAYS = 14 };

#endif
