/* SPDX-License-Identifier: Apache-2.0 */
/* What the files of the surveys share. Private to work/surveys*. */
#ifndef LW_WORK_SURVEYS_PARTS_H
#define LW_WORK_SURVEYS_PARTS_H

#include "exchange/soundings.h"
#include "work/numbers.h"
#include "work/surveys.h"

/* Memory for one job with soundings: 5,000,000 of them take about this much at their peak. */
#define LW_SURVEY_ROOM ((size_t)3 << 30)

/* All surveys of a water by day, then id; soundings NULL. */
LW_MUST_CHECK lw_status lw_surveys_read(lw_survey **out, size_t *out_count, const lw_desk *desk, lw_id water,
                                        lw_error *err);

/* Recorded fixes as soundings in the plane, below full pool; `survey` is the index they carry. */
LW_MUST_CHECK lw_status lw_soundings_place(lw_sounding *out, const lw_fix *fixes, size_t count,
                                           const lw_survey *record, int32_t survey, const lw_plane *plane,
                                           lw_arena *scratch, lw_error *err);

/* How this water's soundings are tested: the usual way, with its own greatest depth where it is told. */
lw_cleaning lw_cleaning_for(const lw_water *water);

/* Of the surveys that `wanted` says yes to, cleaned together; tracks are not split. */
LW_MUST_CHECK lw_status lw_soundings_gather(lw_work_soundings_set *out, const lw_desk *desk,
                                            const lw_water *water, const lw_plane *plane,
                                            const lw_shore *shore,
                                            bool (*wanted)(const lw_survey *survey, const void *context),
                                            const void *context, lw_error *err);

/* Whether new soundings (placed, cleaned) can be in the unit they were read in: against those already in use
 * at the same places, and against the mean depth told. LW_INVALID with the likely cause. */
LW_MUST_CHECK lw_status lw_survey_judge_beside(const lw_sounding *fresh, size_t count,
                                               const lw_work_soundings_set *there, const lw_water *water,
                                               lw_arena *scratch, lw_error *err);
LW_MUST_CHECK lw_status lw_survey_judge_mean(const lw_sounding *fresh, size_t count, const lw_water *water,
                                             const char *depth_unit, lw_arena *scratch, lw_error *err);

/* "name", or "name 2", "name 3" ... which no survey of the list has. In the arena; NULL on no memory. */
const char *lw_survey_free_name(const char *name, const lw_survey *surveys, size_t count, lw_arena *arena);

/* The texts of a level and an offset into the record, in range; NULL leaves it. */
LW_MUST_CHECK lw_status lw_survey_set_level(lw_survey *survey, const char *level, const lw_desk *desk,
                                            lw_error *err);
LW_MUST_CHECK lw_status lw_survey_set_offset(lw_survey *survey, const char *offset, const lw_desk *desk,
                                             lw_error *err);

#endif
