/* SPDX-License-Identifier: Apache-2.0 */
/* What to measure next: the readings that are missing or too old, the one that would settle most
 * first. */
#include "advice/rules_other.h"
#include "advice/sources.h"
#include "advice/words.h"

#include <stdio.h>
#include <string.h>

typedef struct wanted {
  lw_quantity_id quantity;
  bool only_in_season;
} wanted;

/* In the order in which they settle things: fish first, then what feeding needs. */
static const wanted order[] = {
    {LW_SECCHI, true},    {LW_ALKALINITY, false}, {LW_TEMPERATURE, true}, {LW_WEED_COVER, true},
    {LW_HARDNESS, false}, {LW_WATER_COLOR, true}, {LW_PH, true},          {LW_OUTFLOW, true},
};

static bool is_due(const lw_view *v, const wanted *w)
{
  const lw_seen *s = &v->latest.seen[w->quantity];
  bool soon = v->latest.in_season || v->latest.season_start - v->facts->today <= 30;
  if (w->quantity == LW_OUTFLOW && v->facts->water->outflow_m3_s.known) {
    return false;
  }
  return (!w->only_in_season || soon) && !(s->known && s->fresh);
}

static void judge_due(const lw_view *v, lw_finding *out)
{
  char list[400] = "";
  size_t used = 0;
  size_t due = 0;
  const lw_quantity *first = NULL;
  for (size_t i = 0; i < sizeof order / sizeof order[0]; i++) {
    if (!is_due(v, &order[i])) {
      continue;
    }
    const lw_quantity *q = &lw_quantities[order[i].quantity];
    const lw_seen *s = &v->latest.seen[order[i].quantity];
    int n = snprintf(list + used, sizeof list - used, "%s%s%s", due ? ", " : "", q->label,
                     s->known ? lw_say(v, " (last %s)", lw_show_day(v, s->day)) : "");
    used += n > 0 && (size_t)n < sizeof list - used ? (size_t)n : 0;
    lw_cite(v, out, order[i].quantity);
    first = first ? first : q;
    due++;
  }
  if (!v->latest.area_m2.known) {
    lw_finding_asks(out, "The area of the water is not known; every amount rests on it.", "area");
  } else if (first) {
    lw_finding_asks(out, lw_say(v, "Measure next: %s.", list), first->name);
  } else if (!v->latest.mean_depth_m.known) {
    lw_finding_asks(out, "The mean depth is not known: sound a handful of places with a rope.", "mean-depth");
  } else {
    lw_finding_holds(out, "All readings are fresh.", v->facts->today + 7);
  }
}

const lw_rule lw_rule_measure_due = {
    "measure-due",
    "missing measurements",
    "A reading that a rule leans on is missing or older than the program's days",
    "The days are " LW_SRC_PRACTICE "; SRAC 4100 and Texas A&M ask for alkalinity and hardness before the "
    "season",
    "common practice",
    judge_due};
