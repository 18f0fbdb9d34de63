/* SPDX-License-Identifier: Apache-2.0 */
/* What the files of the basin share: the records a bed is reckoned from, and their digest. Private to
 * work/basin*. */
#ifndef LW_WORK_BASIN_PARTS_H
#define LW_WORK_BASIN_PARTS_H

#include "work/basin_bed.h"

typedef struct lw_bed_sources {
  const lw_water *water;
  const lw_survey *surveys; /* of that water, used or not; soundings NULL */
  size_t survey_count;
  const lw_zone *zones; /* of that water */
  size_t zone_count;
} lw_bed_sources;

LW_MUST_CHECK lw_status lw_bed_sources_read(lw_bed_sources *out, const lw_water *water, const lw_desk *desk,
                                            lw_error *err);

size_t lw_surveys_used(const lw_bed_sources *sources);

/* A fault of one water's records, which must not stop the others: any but want of memory and a store that
 * cannot be read or is busy. */
bool lw_fault_of_water(lw_status s);

bool lw_is_channel(const lw_zone *zone);

enum { LW_BED_KEY = 80 };

/* A digest over everything the bed follows from: outline, depths told, the surveys used with their
 * levels and the owner's marks, channels, step, and the version of the reckoning. */
LW_MUST_CHECK lw_status lw_bed_key(char out[LW_BED_KEY], const lw_bed_sources *sources, double step_m,
                                   const lw_desk *desk, lw_error *err);

/* From the cache under `key`, or reckoned and put there; *ground is opened where it must be reckoned and
 * its plane is still NULL. */
LW_MUST_CHECK lw_status lw_bed_take(lw_bed *out, const char *key, const lw_bed_sources *sources,
                                    lw_ground *ground, double step_m, const lw_desk *desk, lw_error *err);

#endif
