/* SPDX-License-Identifier: Apache-2.0 */
/* Rules for weeds. */
#include "advice/danger.h"
#include "advice/rules_feed.h"
#include "advice/rules_other.h"
#include "advice/sources.h"
#include "advice/words.h"

#include <math.h>

#define SUBJECT "weeds"

static const lw_seen *seen(const lw_view *v, lw_quantity_id quantity)
{
  return &v->latest.seen[quantity];
}

static void judge_cover(const lw_view *v, lw_finding *out)
{
  const lw_seen *w = seen(v, LW_WEED_COVER);
  const lw_program *p = &v->facts->program;
  if (!w->known || !w->fresh) {
    if (v->latest.in_season) {
      lw_finding_asks(out, "Weed cover was not judged this month.", "weed-cover");
    } else {
      lw_finding_holds(out, "Out of season; weeds are judged from spring on.", v->latest.season_start);
    }
    return;
  }
  lw_cite(v, out, LW_WEED_COVER);
  const char *shown = lw_show(v, LW_WEED_COVER, w->value);
  if (w->value >= p->weed_treat_pct) {
    lw_finding_favours(out, lw_say(v, "Weeds cover %s of the water.", shown));
  } else if (w->value > p->weed_hold_pct) {
    lw_finding_holds(out,
                     lw_say(v,
                            "Weeds cover %s: pull or rake what is in the way and judge again; weeds "
                            "surge before a bloom shades them out.",
                            shown),
                     w->day + 14);
  } else {
    lw_finding_holds(out, lw_say(v, "Weeds cover %s: nothing to do.", shown), w->day + 30);
  }
}

const lw_rule lw_rule_weeds_cover = {
    "weeds-cover",
    SUBJECT,
    "Weeds over the treat mark speak for dealing with them; unjudged in season asks",
    LW_SRC_CR9202 ": not under 25 % cover; that weeds surge before they fade is " LW_SRC_PRACTICE,
    "read",
    judge_cover};

static bool many_weeds(const lw_view *v)
{
  const lw_seen *w = seen(v, LW_WEED_COVER);
  return w->known && w->fresh && w->value >= v->facts->program.weed_treat_pct;
}

static void judge_breath(const lw_view *v, lw_finding *out)
{
  bool low = lw_oxygen_is_low(v);
  if (!many_weeds(v) || !(low || lw_water_is_too_green(v) || lw_clearing_is_sudden(v, NULL))) {
    return;
  }
  lw_cite(v, out, low ? LW_OXYGEN : LW_SECCHI);
  lw_finding_holds(
      out,
      low ? "Fish are short of oxygen, or were within two weeks: rotting weeds would take the rest."
          : "The bloom is too thick or has just died: rotting weeds would take what oxygen is left.",
      v->facts->today + 7);
  out->urgency = 1;
}

const lw_rule lw_rule_weeds_breath = {
    "weeds-short-of-oxygen",
    SUBJECT,
    "Many weeds while oxygen is low, the water too green or the bloom just died",
    LW_SRC_B866 ": treatment can deplete oxygen; " LW_SRC_WURTS,
    "read",
    judge_breath};

static void judge_again(const lw_view *v, lw_finding *out)
{
  int days = lw_days_since_weed_kill(v);
  if (!many_weeds(v) || days < 0 || days >= LW_WEED_KILL_DAYS) {
    return;
  }
  lw_cite_fact(v, out, "weeds treated", days, "day", lw_show_age(v, days), v->facts->today - days);
  lw_finding_holds(out,
                   lw_say(v, "Weeds were treated %s; the next part waits two weeks.", lw_show_age(v, days)),
                   v->facts->today - days + LW_WEED_KILL_DAYS);
}

const lw_rule lw_rule_weeds_again = {"weeds-treated-lately",
                                     SUBJECT,
                                     "A part of the weeds was treated in the last two weeks",
                                     "SRAC 361 (Oklahoma reprint): a quarter to a third at one time; 14 days "
                                     "between parts: copper labels, second "
                                     "hand",
                                     "read",
                                     judge_again};

static void judge_warmth_unknown(const lw_view *v, lw_finding *out)
{
  const lw_seen *t = seen(v, LW_TEMPERATURE);
  if (many_weeds(v) && lw_deep_season(v) && !(t->known && t->fresh)) {
    lw_finding_asks(out, "How warm is the water? Killing weeds in hot water can take the fishes' oxygen.",
                    "temperature");
  }
}

const lw_rule lw_rule_weeds_warmth = {"weeds-warmth-unknown",
                                      SUBJECT,
                                      "Many weeds in mid-season and the temperature was not read",
                                      LW_SRC_B866,
                                      "read",
                                      judge_warmth_unknown};

static void judge_hot(const lw_view *v, lw_finding *out)
{
  const lw_seen *t = seen(v, LW_TEMPERATURE);
  const lw_program *p = &v->facts->program;
  if (!many_weeds(v) || !t->known || !t->fresh || t->value < p->hot_temperature_c) {
    return;
  }
  lw_cite(v, out, LW_TEMPERATURE);
  lw_finding_holds(out,
                   lw_say(v,
                          "The water is %s: killing weeds now could take the oxygen the fish live on. "
                          "Rake by hand, or wait for cooler water.",
                          lw_show(v, LW_TEMPERATURE, t->value)),
                   v->facts->today + 14);
  out->urgency = 1;
}

const lw_rule lw_rule_weeds_hot = {"weeds-hot-water",
                                   SUBJECT,
                                   "Many weeds in water at 86 F or more",
                                   LW_SRC_B866 ": summer treatment can deplete oxygen; 86 F: " LW_SRC_WURTS,
                                   "read",
                                   judge_hot};

static void judge_copper(const lw_view *v, lw_finding *out)
{
  const lw_seen *a = seen(v, LW_ALKALINITY);
  if (!many_weeds(v)) {
    return;
  }
  lw_cite(v, out, LW_ALKALINITY);
  if (!a->known || !a->fresh) {
    lw_finding_notes(out, "Alkalinity is not known: no copper until it is tested.");
  } else if (a->value < 50) {
    lw_finding_notes(out, lw_say(v, "Alkalinity is %s: no copper here, under 50 mg/L it kills fish.",
                                 lw_show(v, LW_ALKALINITY, a->value)));
  }
}

const lw_rule lw_rule_weeds_copper = {"weeds-copper-soft-water",
                                      SUBJECT,
                                      "Copper is not used under 50 mg/L alkalinity",
                                      "University of Florida IFAS FA008: none under 50 mg/L (Georgia prints "
                                      "40)",
                                      "read",
                                      judge_copper};

static void judge_shade(const lw_view *v, lw_finding *out)
{
  const lw_seen *s = seen(v, LW_SECCHI);
  if (!s->known || !s->fresh || !v->latest.in_season) {
    return;
  }
  /* Caffrey, Hoyer & Canfield 2007: log10 MDC = 0.66 log10 SD + 0.31 */
  double depth_m = pow(10, 0.66 * log10(s->value) + 0.31);
  lw_maybe share = lw_share_shallower(&v->latest, v->facts, depth_m);
  const char *reach =
      share.known ? lw_say(v, ", which is %.0f %% of this water (from the depth map)", 100 * share.value)
                  : "";
  lw_cite(v, out, LW_SECCHI);
  lw_finding_notes(out,
                   lw_say(v,
                          "With the disk at %s rooted weeds can usually grow down to about %s%s; "
                          "shallower edges need deepening, raking or other means.",
                          lw_show(v, LW_SECCHI, s->value), lw_show_value(v, depth_m, "m", "ft", "m"), reach));
}

const lw_rule lw_rule_weeds_shade = {
    "weeds-shade-depth",
    SUBJECT,
    "How deep weeds can grow at today's clarity",
    "Caffrey, Hoyer & Canfield 2007, Lake and Reservoir Management 23 (abstract): 279 lake-years, R2 0.68",
    "read",
    judge_shade};
