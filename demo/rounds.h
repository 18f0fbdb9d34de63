/* SPDX-License-Identifier: Apache-2.0 */
/* Two seasons of rounds, from January 2024 to the middle of March 2026: the hands go round, lower the
 * disk and read what else is due; the keeper feeds Upper Sedge and Long Run when the disk hangs deeper
 * than the aim, the water is warm, the creek is down and two weeks have passed. The bloom follows the
 * doses by a plain curve: an invention for the demonstration, not the bloom model. */
#ifndef LW_DEMO_ROUNDS_H
#define LW_DEMO_ROUNDS_H

#include "demo/weather.h"

enum { LW_DEMO_SEASONS = 2, LW_DEMO_FIRST_SEASON = 2024 };

/* Packages that went into the waters, by season: the shelf is stocked to match. */
typedef struct lw_demo_used {
  double packages[LW_DEMO_MATERIALS][LW_DEMO_SEASONS];
} lw_demo_used;

/* Adds one water's rounds and doses, and what they used. */
void lw_demo_add_rounds(lw_demo_diary *diary, const lw_demo_weather *weather, lw_demo_place place,
                        lw_demo_used *used);

#endif
