/* SPDX-License-Identifier: Apache-2.0 */
/* How much: rates by form of material, first or repeat dose, turned into the owner's materials by
 * P2O5 (or by effective CaCO3), whole packages, shelf and cost. Fills the amount, choices, steps and
 * cautions of an item; the verdict is made elsewhere (decide.c). */
#ifndef LW_ADVICE_AMOUNTS_H
#define LW_ADVICE_AMOUNTS_H

#include "advice/rules.h"

/* kg of P2O5 a hectare for one dose. */
typedef struct lw_feed_rate {
  double low, used, high;
  const char *text, *source, *basis;
} lw_feed_rate;

/* Rate for a form ("liquid", "soluble-powder", "controlled-release", "granular"); other forms take the
 * granular rate. `first`: first dose of the season; `hard`: hardness over the program's mark;
 * `half`: half rate (a liquid that clears early). */
lw_feed_rate lw_feed_rate_for(const char *form, bool first, bool hard, bool half);

/* The rate that this view asks for. */
lw_feed_rate lw_feed_rate_now(const lw_view *view, const char *form);

/* Choices over the shelf for `area_m2` (> 0), the chosen one marked; at least one always (10-52-4
 * where the shelf list has no fertilizer). Returns how many. */
size_t lw_feed_choices(const lw_view *view, double area_m2, lw_choice *out, size_t size);

/* Fills amount, choices, headline, steps and cautions for a 'do'. LW_NOT_FOUND when the area is not
 * known. */
LW_MUST_CHECK lw_status lw_amount_feed(const lw_view *view, lw_item *item, lw_error *err);
LW_MUST_CHECK lw_status lw_amount_lime(const lw_view *view, lw_item *item, lw_error *err);

/* Adds a line while there is room. */
void lw_item_step(lw_item *item, const char *text);
void lw_item_caution(lw_item *item, const char *text);

/* Adds a reason that is no rule's finding: where a rate comes from. */
void lw_item_reason(lw_item *item, const char *rule, const char *text, const char *source, const char *basis);

/* How a form is put out, with the cautions that belong to it. */
void lw_item_handling(const lw_view *view, lw_item *item, const char *form, double area_m2);

/* Whole packages for `mass_kg` that keep the dose between low and high: the nearest whole number
 * inside, else not known. */
lw_maybe lw_packages_within(double mass_kg, double low_kg, double high_kg, double package_kg);

#endif
