/* SPDX-License-Identifier: Apache-2.0 */
/* What advice needs of a sounded water's shape: a small table of area and volume against the pool's
 * level. The tables of all waters are kept together as one entry of the store's cache, each under the key
 * of its bed, so that advice for many waters reads no map. */
#ifndef LW_WORK_BASIN_FACTS_H
#define LW_WORK_BASIN_FACTS_H

#include "work/basin_parts.h"

typedef struct lw_facts_list lw_facts_list;

/* An empty list, read from the cache when first asked. NULL when memory is short. */
lw_facts_list *lw_facts_new(lw_arena *arena);

/* Makes the entry with the tables the newest of the cache: to be called after another one was put there, lest
 * maps push it out, without which advice would have to reckon them all again. */
void lw_facts_refresh(const lw_desk *desk);

/* The table of a water, reckoned and kept when the list has none for its present records: *out stays NULL
 * for a water without soundings in use, and *out_fault says why where they cannot be used (then the
 * depths told stand). Fails only for want of memory or a broken store. */
LW_MUST_CHECK lw_status lw_facts_find(const lw_depth_table **out, const char **out_fault, lw_facts_list *list,
                                      const lw_bed_sources *sources, const lw_desk *desk, lw_error *err);

#endif
