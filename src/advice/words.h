/* SPDX-License-Identifier: Apache-2.0 */
/* Texts and citations for findings: how values are shown to this owner, in the arena of the view.
 * When memory runs out a text becomes a fixed sentence; the advice stays well formed. */
#ifndef LW_ADVICE_WORDS_H
#define LW_ADVICE_WORDS_H

#include "advice/rules.h"

/* printf into the view's arena. Never NULL. */
const char *lw_say(const lw_view *view, const char *format, ...) LW_PRINTF(2, 3);

/* A value of a quantity in the owner's unit: "40 in". */
const char *lw_show(const lw_view *view, lw_quantity_id quantity, double value);

/* A value in `unit`, shown in `us` or `metric`: "12 acre". */
const char *lw_show_value(const lw_view *view, double value, const char *unit, const char *us,
                          const char *metric);

/* "Reckoned on 12 acre (outline).": the area as `shown`, with the volume where it is measured. */
const char *lw_size_words(const lw_view *view, const char *shown);

/* "15 Apr" */
const char *lw_show_day(const lw_view *view, lw_day day);

/* "today", "yesterday", "6 days ago" */
const char *lw_show_age(const lw_view *view, int days);

/* Adds the newest reading of a quantity to the inputs of a finding (nothing when not known). */
void lw_cite(const lw_view *view, lw_finding *finding, lw_quantity_id quantity);

/* Adds a fact; `day` LW_NO_DAY when it has none. */
void lw_cite_fact(const lw_view *view, lw_finding *finding, const char *name, double value, const char *unit,
                  const char *shown, lw_day day);

/* Words in place of a finding's members, so that a rule reads as one sentence. */
void lw_finding_holds(lw_finding *finding, const char *text, lw_day look_again);
void lw_finding_asks(lw_finding *finding, const char *text, const char *measure);
void lw_finding_notes(lw_finding *finding, const char *text);
void lw_finding_favours(lw_finding *finding, const char *text);

#endif
