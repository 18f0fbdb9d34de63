/* SPDX-License-Identifier: Apache-2.0 */
/* The invented beds of the club's waters: a depth for every place, by formula. The valley floor is drawn
 * through a few told depths, banks and dam rise to the shore, swells lie on it, and the creek that was
 * there before the dam has cut its bed where the zone 'Old creek' says. What the sounders of soundings.h
 * read, and what the depth map made from it is tried against. */
#ifndef LW_DEMO_BED_H
#define LW_DEMO_BED_H

#include "demo/diary.h"
#include "exchange/plane.h"

#include <stdbool.h>

typedef struct lw_demo_bank {
  lw_spot a, b;
  bool dam;
} lw_demo_bank;

typedef struct lw_demo_bed {
  lw_plane *plane; /* about the middle of the outline */
  lw_shore shore;
  lw_demo_bank *banks; /* edges of the shore */
  size_t bank_count;
  lw_spot *floor_at; /* where the floor's depth is told */
  double *floor_m;
  size_t floor_count;
  lw_spot *creek; /* 0 spots: there was none */
  size_t creek_count;
  double bank_m; /* the bank has risen to two thirds of the floor's depth this far from the shore */
} lw_demo_bed;

/* In the arena. LW_INVALID for a place whose bed nobody knows (Brickyard, the club itself); LW_NOT_FOUND
 * without PROJ. The caller ends *out with lw_demo_bed_close, also after a failure. */
LW_MUST_CHECK lw_status lw_demo_bed_open(lw_demo_bed *out, lw_demo_place place, lw_arena *arena,
                                         lw_error *err);
void lw_demo_bed_close(lw_demo_bed *bed);

/* Below full pool, m; 0 off the water. */
double lw_demo_bed_depth_m(const lw_demo_bed *bed, lw_spot spot);

#endif
