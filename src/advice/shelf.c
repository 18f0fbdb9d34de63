/* SPDX-License-Identifier: Apache-2.0 */
#include "advice/shelf.h"

#include "advice/amounts.h"
#include "advice/rules_other.h"
#include "advice/season.h"
#include "advice/sources.h"
#include "advice/words.h"

#include <math.h>
#include <string.h>

enum { ORDER_AHEAD = 30 }; /* days before a dose that a shortage becomes something to do */

static void judge_nothing(const lw_view *view, lw_finding *out)
{
  (void)view;
  (void)out; /* the item is built from the others: see lw_item_stock */
}

const lw_rule lw_rule_stock_need = {
    "stock-need",
    "stock on the shelf",
    "What today's doses and the season's expected doses need, against the packages left",
    "Arithmetic of purchases less treatments; expected doses by feed-interval",
    "computed",
    judge_nothing};

static const lw_choice *chosen(const lw_item *item)
{
  for (size_t i = 0; item->verdict == LW_DO && i < item->choice_count; i++) {
    if (item->choices[i].chosen) {
      return &item->choices[i];
    }
  }
  return NULL;
}

static void say(const lw_view *v, lw_item *out, const char *text, lw_verdict verdict)
{
  (void)v;
  if (out->reason_count == 0 || verdict > out->verdict) {
    out->headline = text;
    out->verdict = verdict;
  }
  lw_item_reason(out, lw_rule_stock_need.id, text, lw_rule_stock_need.source, lw_rule_stock_need.basis);
}

static void need_today(const lw_view *v, lw_item *out, const lw_choice *c, const char *what, lw_day by)
{
  if (!c->left.known) {
    say(v, out, lw_say(v, "%s needs %s of %s; none is booked on the shelf.", what, c->shown, c->material),
        LW_DO);
  } else if (c->to_buy.known && c->to_buy.value > 0) {
    say(v, out,
        lw_say(v, "Buy %.0f packages of %s: %s needs %.0f, %.3g %s left.", c->to_buy.value, c->material, what,
               c->packages.value, c->left.value, c->left.value == 1 ? "is" : "are"),
        LW_DO);
  } else {
    say(v, out,
        lw_say(v, "%s is covered: %.0f packages of %s needed, %.3g left.", what, c->packages.value,
               c->material, c->left.value),
        LW_HOLD);
    return;
  }
  out->by = by;
  out->amount = (lw_amount){.known = c->to_buy.known || !c->left.known,
                            .value = c->to_buy.known ? c->to_buy.value : c->mass_kg,
                            .unit = c->to_buy.known ? "1" : "kg",
                            .shown = c->to_buy.known ? lw_say(v, "%.0f to buy", c->to_buy.value) : c->shown};
  out->amount.low = out->amount.high = out->amount.value;
}

/* The day of the first planned dose that what is left does not cover; LW_NO_DAY when all are. */
static lw_day runs_out(const lw_season_plan *plan)
{
  double left = plan->left.value > 0 ? plan->left.value : 0;
  for (size_t i = 0; i < plan->dose_count; i++) {
    left -= plan->doses[i].packages.value;
    if (left < -1e-9) {
      return plan->doses[i].day;
    }
  }
  return LW_NO_DAY;
}

static void need_season(const lw_view *v, lw_item *out)
{
  lw_season_plan plan;
  if (lw_season_reckon(&plan, v) != LW_OK || plan.dose_count == 0 || !plan.packages.known ||
      !plan.left.known) {
    return;
  }
  lw_day out_on = runs_out(&plan);
  if (out_on == LW_NO_DAY) {
    say(v, out,
        lw_say(v, "The rest of the season needs about %.0f packages of %s; %.3g left.", plan.packages.value,
               plan.material, plan.left.value),
        LW_HOLD);
    return;
  }
  bool soon = out_on - v->facts->today <= ORDER_AHEAD;
  say(v, out,
      lw_say(v,
             "The rest of the season needs about %.0f packages of %s (%zu doses); %.3g left, short "
             "from the dose of %s. The shelf serves all waters.",
             plan.packages.value, plan.material, plan.dose_count, plan.left.value > 0 ? plan.left.value : 0,
             lw_show_day(v, out_on)),
      soon ? LW_DO : LW_HOLD);
  if (out->by == LW_NO_DAY && soon) {
    out->by = out_on > v->facts->today ? out_on : v->facts->today + 3;
  }
}

/* A book below zero cannot be reckoned with: it asks before anything else is said. */
static bool book_is_wrong(const lw_view *v, lw_item *out)
{
  for (size_t i = 0; i < v->facts->stock_count; i++) {
    const lw_stock *s = &v->facts->stock[i];
    if (s->counted && s->packages_left < -1e-9) {
      say(v, out,
          lw_say(v,
                 "The book says %.3g packages of %s: more was used than bought. Count the shelf and "
                 "enter the difference as a lot.",
                 s->packages_left, s->material->name),
          LW_ASK);
    }
  }
  return out->reason_count > 0;
}

void lw_item_stock(const lw_view *view, const lw_item *feed, const lw_item *lime, lw_item *out)
{
  *out = (lw_item){.subject = lw_rule_stock_need.subject,
                   .by = LW_NO_DAY,
                   .look_again = LW_NO_DAY,
                   .urgency = 2,
                   .headline = "Nothing is needed from the shelf today."};
  const lw_choice *lime_choice = chosen(lime);
  const lw_choice *feed_choice = chosen(feed);
  if (book_is_wrong(view, out)) {
    out->reasons[0].decides = true;
    lw_item_step(
        out, "Count the packages on the shelf and enter the difference: lakeward lot add MATERIAL NUMBER, "
             "with a minus for what is gone.");
    return;
  }
  if (lime_choice) {
    need_today(view, out, lime_choice, "Liming", lime->by);
  }
  if (feed_choice) {
    need_today(view, out, feed_choice, "Today's feeding", feed->by);
  }
  if (!lime_choice) {
    need_season(view, out);
  }
  if (out->reason_count == 0) {
    lw_item_reason(out, lw_rule_stock_need.id, out->headline, lw_rule_stock_need.source,
                   lw_rule_stock_need.basis);
  }
  out->reasons[0].decides = true;
  if (out->verdict == LW_HOLD) {
    out->look_again = view->facts->today + 14;
  } else if (out->verdict == LW_DO) {
    lw_item_caution(
        out, "Keep it dry and locked, away from children, fuel and the water's edge, as the label says; do "
             "not lift more than you safely can.");
  }
}
