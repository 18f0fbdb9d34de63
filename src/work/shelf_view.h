/* SPDX-License-Identifier: Apache-2.0 */
/* The shelf of the whole place: what is left of each material, how long it lasts, what to buy. */
#ifndef LW_WORK_SHELF_VIEW_H
#define LW_WORK_SHELF_VIEW_H

#include "work/book.h"
#include "work/desk.h"

#include <jansson.h>

typedef struct lw_shelf_line {
  const lw_material *material;
  lw_stock stock;
  double bought, used;
  lw_maybe price_per_kg_active; /* of P2O5, or of effective CaCO3 */
  const char *active;
  lw_maybe season_need; /* packages all waters will take till the season's end */
  lw_day enough_until;  /* LW_NO_DAY: for all that is planned, or nothing is planned */
  double to_buy;        /* whole packages */
} lw_shelf_line;

typedef struct lw_shelf {
  lw_book book;
  lw_shelf_line *lines; /* one a material, in the order of names */
  size_t count;
} lw_shelf;

/* Needs: today's lime and the expected doses of every water's season plan, by the material each plan
 * chose. */
LW_MUST_CHECK lw_status lw_work_shelf(lw_shelf *out, const lw_desk *desk, lw_error *err);

json_t *lw_shelf_json(const lw_shelf *shelf);

#endif
