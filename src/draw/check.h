/* SPDX-License-Identifier: Apache-2.0 */
/* What is looked at before a map is drawn. Private to draw. */
#ifndef LW_DRAW_CHECK_H
#define LW_DRAW_CHECK_H

#include "draw/lake_map.h"

LW_MUST_CHECK lw_status lw_lake_map_check(const lw_lake_map *map, lw_error *err);

#endif
