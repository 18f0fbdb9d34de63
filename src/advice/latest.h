/* SPDX-License-Identifier: Apache-2.0 */
/* Picks out of a case what the rules look at: the newest reading of each quantity and its age, the
 * doses of this season, the size of the water, how long its water stays. */
#ifndef LW_ADVICE_LATEST_H
#define LW_ADVICE_LATEST_H

#include "advice/advice.h"

typedef struct lw_seen {
  bool known;
  bool fresh; /* within the program's days */
  double value;
  lw_day day;
  int age_day;
} lw_seen;

typedef struct lw_latest {
  lw_seen seen[LW_QUANTITY_COUNT]; /* surface readings: no depth, or within 1 m */
  lw_maybe area_m2, mean_depth_m, volume_m3;
  const char *area_from; /* "outline", "as given", "depth map of 2 surveys, 2026-03-14" */
  const char *volume_from;
  bool from_map;                          /* the three above are measured, at pool_level_m */
  double pool_level_m;                    /* the newest level read where it is fresh, else 0: full pool */
  lw_maybe volume_low_m3, volume_high_m3; /* 90 % interval, where measured */
  lw_maybe outflow_m3_s, retention_day;
  lw_day season_start, season_end; /* the season that holds today, or the next one */
  bool in_season;
  int feed_doses;               /* this season */
  lw_day last_feed, first_feed; /* this season's; LW_NO_DAY */
  const lw_treatment *last_feed_treatment;
  lw_day last_lime; /* ever; LW_NO_DAY */
} lw_latest;

void lw_latest_find(lw_latest *out, const lw_case *facts);

/* " (volume from the depth map)" where it is, else "": for the sentences of rules that rest on it. */
const char *lw_volume_words(const lw_latest *latest);

/* Share (0 to 1) of the water's area that is shallower than `depth_m` at today's level; unknown where the
 * water is not sounded. */
lw_maybe lw_share_shallower(const lw_latest *latest, const lw_case *facts, double depth_m);

/* The material record of a treatment, NULL when unknown. */
const lw_material *lw_case_material(const lw_case *facts, lw_id material);

#endif
