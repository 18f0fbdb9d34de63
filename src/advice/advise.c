/* SPDX-License-Identifier: Apache-2.0 */
/* One water, all subjects: judges each, puts amounts to what is to be done, orders by urgency. */
#include "advice/advice.h"

#include "advice/amounts.h"
#include "advice/judge.h"
#include "advice/shelf.h"
#include "advice/words.h"

#include <string.h>

const char *lw_verdict_word(lw_verdict verdict)
{
  return verdict == LW_DO ? "do" : verdict == LW_ASK ? "ask" : "hold";
}

/* How to get the missing reading, from the table of quantities. */
static void say_how_to_measure(lw_item *item)
{
  const lw_quantity *q = item->measure ? lw_quantity_find(item->measure) : NULL;
  if (q) {
    lw_item_step(item, q->how);
  } else if (item->measure && strcmp(item->measure, "area") == 0) {
    lw_item_step(item, "Walk the shore with a GPS and import the track, draw it on any map and save it as "
                       "GeoJSON or KML, or give the acres.");
  } else if (item->measure && strcmp(item->measure, "downstream") == 0) {
    lw_item_step(item, "Ask the next owner along the stream and the county extension office; then note it in "
                       "the facts of this water.");
  }
}

/* An amount that cannot be reckoned turns 'do' into the question that would settle it. */
static void ask_for_area(lw_item *item)
{
  item->verdict = LW_ASK;
  item->measure = "area";
  item->headline = "How big is the water? Without its area no dose can be reckoned.";
}

static void feed(const lw_view *v, lw_item *item)
{
  lw_judge_subject(v, "feeding the bloom", LW_CAREFUL, item);
  if (item->verdict == LW_DO) {
    item->urgency = 1;
    if (lw_amount_feed(v, item, NULL) != LW_OK) {
      ask_for_area(item);
    }
  }
}

static void lime(const lw_view *v, lw_item *item)
{
  lw_judge_subject(v, "lime", LW_CAREFUL, item);
  if (item->verdict == LW_DO) {
    item->urgency = 1;
    if (lw_amount_lime(v, item, NULL) != LW_OK) {
      ask_for_area(item);
    }
  }
}

static void too_green(const lw_view *v, lw_item *item)
{
  lw_judge_subject(v, "too-green water", LW_ALARM, item);
  if (item->verdict != LW_DO) {
    return;
  }
  item->urgency = 0;
  item->by = v->facts->today;
  item->headline = lw_say(v, "%s Stop all feed and watch oxygen tonight.", item->headline);
  lw_item_step(item, "Stop fertilizer and fish feed; take controlled-release bags out.");
  lw_item_step(item,
               "Read oxygen at dusk and again two to three hours later; if the line points to 3 mg/L or "
               "less before sunrise, start the aerator before midnight.");
  lw_item_step(item, "Let it thin by itself; do not kill the algae now: the rotting takes more oxygen.");
  lw_item_caution(item, "Fish can die before dawn in water this green, above all after hot, still, cloudy "
                        "days.");
  lw_item_caution(item, "Aerators: electricity and water kill. Wiring is for a licensed electrician, with "
                        "ground-fault protection, by local code.");
}

static void weeds(const lw_view *v, lw_item *item)
{
  lw_judge_subject(v, "weeds", LW_CAREFUL, item);
  if (item->verdict != LW_DO) {
    return;
  }
  item->urgency = 1;
  item->by = v->facts->today + 7;
  item->headline = lw_say(v, "%s Treat a quarter to a third at a time, two weeks apart.", item->headline);
  lw_item_step(item, "Have the plant named first: the extension office does it from a fresh piece.");
  lw_item_step(item,
               "Rake or cut paths and the water round docks; a herbicide only on a quarter to a third of "
               "the surface at a time (SRAC 361), two weeks apart.");
  lw_item_step(item, lw_say(v,
                            "Grass carp, where your state permits them: 10 for each acre of weeds, 8 in or "
                            "longer where bass live (%s).",
                            "Oklahoma State CR-9202"));
  lw_item_caution(item,
                  "Rotting weeds take oxygen: never the whole water at once, never in hot weather without "
                  "an aerator at hand.");
  lw_item_caution(item,
                  "The label of a herbicide is the law: dose, fishing, swimming, watering and stock are "
                  "in it; many states want a licensed applicator and a permit.");
  lw_item_caution(item, "Grass carp: state permit, sterile (triploid) fish only, a screen on the spillway.");
}

static bool oxygen(const lw_view *v, lw_item *item)
{
  lw_judge_subject(v, "oxygen", LW_ALARM, item);
  if (item->reason_count == 0) {
    return false;
  }
  if (item->verdict == LW_DO) {
    item->urgency = 0;
    item->by = v->facts->today;
    item->headline = lw_say(v, "%s Aerate tonight, stop feeding.", item->headline);
    lw_item_step(item, "Start emergency aeration before midnight: 1 to 2 hp an acre is common practice, no "
                       "source; run it until after sunrise.");
    lw_item_step(item, "Stop fertilizer and fish feed until two mornings read above 4 mg/L.");
    lw_item_caution(item,
                    "Electricity and water kill: wiring is for a licensed electrician, with ground-fault "
                    "protection, by local code. Keep people off the water near a running aerator.");
  }
  return true;
}

int lw_item_pressure(const lw_item *item)
{
  enum { SHELF = 6, NOTHING = 9 };
  if (item->verdict == LW_HOLD) {
    return NOTHING;
  }
  bool shelf = strcmp(item->subject, "stock on the shelf") == 0;
  return shelf ? SHELF : item->urgency * 2 + (item->verdict == LW_ASK);
}

static void sort_items(lw_water_advice *out)
{
  for (size_t i = 1; i < out->item_count; i++) { /* stable insertion: at most eight items */
    lw_item moving = out->items[i];
    size_t j = i;
    for (; j > 0 && lw_item_pressure(&out->items[j - 1]) > lw_item_pressure(&moving); j--) {
      out->items[j] = out->items[j - 1];
    }
    out->items[j] = moving;
  }
}

lw_status lw_advise(lw_water_advice *out, const lw_case *facts, lw_arena *arena, lw_error *err)
{
  if (!facts->water) {
    return lw_fail(err, LW_INVALID, "advice needs a water");
  }
  out->water = facts->water->name;
  out->water_id = facts->water->id;
  out->units = facts->units;
  out->money = facts->money ? facts->money : "$";
  lw_view view = {.facts = facts, .arena = arena};
  lw_latest_find(&view.latest, facts);
  size_t n = 0;
  n += oxygen(&view, &out->items[n]) ? 1 : 0;
  too_green(&view, &out->items[n++]);
  lw_item *feed_item = &out->items[n++];
  feed(&view, feed_item);
  lw_item *lime_item = &out->items[n++];
  lime(&view, lime_item);
  weeds(&view, &out->items[n++]);
  lw_judge_subject(&view, "missing measurements", LW_ALARM, &out->items[n++]);
  lw_item_stock(&view, feed_item, lime_item, &out->items[n++]);
  out->item_count = n;
  for (size_t i = 0; i < n; i++) {
    say_how_to_measure(&out->items[i]);
  }
  sort_items(out);
  return LW_OK;
}
