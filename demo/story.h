/* SPDX-License-Identifier: Apache-2.0 */
/* What is told and not drawn: water tests, notes, a trial that failed, an override, what was bought,
 * and the spring of 2026 that leads to the four stories. */
#ifndef LW_DEMO_STORY_H
#define LW_DEMO_STORY_H

#include "demo/rounds.h"

/* Readings, notes, the trial at Heron Pool and the override, up to the end of March 2026. */
void lw_demo_add_story(lw_demo_diary *diary);

/* Two winters' purchases: what the seasons used and what is left at the end (8 sacks of powder: enough
 * for a first dose at Upper Sedge, too few for Long Run). */
void lw_demo_add_lots(lw_demo_diary *diary, const lw_demo_used *used);

/* The first week of April 2026, each entry its own change as it was logged, one slip taken back. */
LW_MUST_CHECK lw_status lw_demo_write_last_days(lw_store *store, const lw_demo_ids *ids, lw_arena *arena,
                                                lw_error *err);

#endif
