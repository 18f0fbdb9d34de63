/* SPDX-License-Identifier: Apache-2.0 */
/* Words and marks of each kind of zone. Private to draw. */
#ifndef LW_DRAW_ZONE_MARKS_H
#define LW_DRAW_ZONE_MARKS_H

#include "draw/sheet.h"

bool lw_zone_kind_known(const char *kind);

/* Hazards: in the alarm tone, and first. */
bool lw_zone_hurts(const lw_map_zone *zone);

/* "Old timber (hazard)"; the kind is not said twice: "Boat launch". NULL on no memory. */
const char *lw_zone_words(const lw_map_zone *zone, lw_arena *arena);

/* The zone's outline, line, or marks of `size` points. */
void lw_zone_mark(lw_sheet *sheet, const lw_map_zone *zone, double size);

#endif
