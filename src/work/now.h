/* SPDX-License-Identifier: Apache-2.0 */
/* Today's advice for all waters or one, and the season sheet. */
#ifndef LW_WORK_NOW_H
#define LW_WORK_NOW_H

#include "advice/advice.h"
#include "advice/season.h"
#include "work/desk.h"

typedef struct lw_now {
  lw_day as_of;
  lw_water_advice *waters; /* most urgent first */
  size_t count;
  int64_t revision;
} lw_now;

/* `water` NULL: all of them. */
LW_MUST_CHECK lw_status lw_work_now(lw_now *out, const lw_desk *desk, lw_day on, const char *water,
                                    lw_error *err);

typedef struct lw_season_sheet {
  const char *water;
  lw_unit_system units;
  const char *money;
  lw_season_plan plan;
} lw_season_sheet;

LW_MUST_CHECK lw_status lw_work_season(lw_season_sheet *out, const lw_desk *desk, lw_day on,
                                       const char *water, lw_error *err);

#endif
