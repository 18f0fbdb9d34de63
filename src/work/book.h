/* SPDX-License-Identifier: Apache-2.0 */
/* The whole book of a place, read once: every record that advice looks at, grouped by water, with the
 * shelf reckoned. From it comes the plain case of any water. */
#ifndef LW_WORK_BOOK_H
#define LW_WORK_BOOK_H

#include "advice/advice.h"
#include "work/basin_facts.h"
#include "work/desk.h"

typedef struct lw_span {
  size_t first, count;
} lw_span;

typedef struct lw_book {
  lw_water *waters;
  size_t water_count;
  lw_reading *readings; /* grouped by water, each group by day */
  lw_treatment *treatments;
  lw_override *overrides;
  lw_weather *weather; /* all of it: water 0 is for all */
  size_t weather_count, treatment_count;
  lw_survey *surveys;                                               /* soundings not read */
  lw_span *readings_of, *treatments_of, *overrides_of, *surveys_of; /* one span a water */
  lw_facts_list *shapes;
  lw_material *materials;
  size_t material_count;
  lw_lot *lots;
  size_t lot_count;
  lw_stock *stock; /* one a material */
  lw_program program;
  lw_unit_system units;
  const char *money, *place;
} lw_book;

/* Only program, units, money and place; the rest empty. */
LW_MUST_CHECK lw_status lw_book_settings(lw_book *out, const lw_desk *desk, lw_error *err);

/* Reads the book; with `only` > 0 just that water's records. Everything lives in the desk's arena. */
LW_MUST_CHECK lw_status lw_book_read(lw_book *out, const lw_desk *desk, lw_id only, lw_error *err);

/* The case of water number `index` on day `on`. */
LW_MUST_CHECK lw_status lw_book_case(lw_case *out, const lw_book *book, size_t index, lw_day on,
                                     const lw_desk *desk, lw_error *err);

/* Packages used of a material, from its treatments. */
double lw_book_used(const lw_book *book, const lw_material *material);

#endif
