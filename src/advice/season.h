/* SPDX-License-Identifier: Apache-2.0 */
/* The season sheet by the rules: expected dose dates, packages and cost from now (or the season's
 * start) to its end. A calendar, not a forecast: the disk decides each dose when its day comes. */
#ifndef LW_ADVICE_SEASON_H
#define LW_ADVICE_SEASON_H

#include "advice/rules.h"

enum { LW_SEASON_DOSES = 40 };

typedef struct lw_season_dose {
  lw_day day;
  int number; /* in its season, from 1 */
  bool first; /* at the first-dose rate */
  double mass_kg;
  lw_maybe volume_l, packages, cost;
} lw_season_dose;

typedef struct lw_season_plan {
  lw_day from, to;
  const char *material, *form, *grade;
  lw_season_dose doses[LW_SEASON_DOSES];
  size_t dose_count;
  lw_maybe packages, left, cost; /* totals; packages whole for the whole season */
  const char *assumptions[LW_LINES_MAX];
  size_t assumption_count;
} lw_season_plan;

/* Source: opening doses and intervals of the program (Alabama Leaflet 1), rates of
 * lw_feed_rate_for. LW_NOT_FOUND when the area is not known. A water that lime must come to first, or
 * that is not to be fed at all, gets a plan with no doses and the reason as an assumption. */
lw_status lw_season_reckon(lw_season_plan *out, const lw_view *view);

#endif
