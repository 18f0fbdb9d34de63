/* SPDX-License-Identifier: Apache-2.0 */
/* Rules for too-green water and for oxygen: what can kill fish first. */
#include "advice/danger.h"
#include "advice/rules_other.h"
#include "advice/sources.h"
#include "advice/words.h"

#define GREEN "too-green water"
#define OXYGEN "oxygen"

static const lw_seen *seen(const lw_view *v, lw_quantity_id quantity)
{
  return &v->latest.seen[quantity];
}

static void judge_disk(const lw_view *v, lw_finding *out)
{
  const lw_seen *s = seen(v, LW_SECCHI);
  const lw_seen *c = seen(v, LW_WATER_COLOR);
  const lw_program *p = &v->facts->program;
  if (!s->known || !s->fresh) {
    lw_cite(v, out, LW_SECCHI);
    lw_finding_asks(out,
                    s->known ? lw_say(v, "The last disk reading, %s, is from %s: how green is it now?",
                                      lw_show(v, LW_SECCHI, s->value), lw_show_day(v, s->day))
                             : "Without a disk reading nobody knows how green it is.",
                    "secchi");
    return;
  }
  lw_cite(v, out, LW_SECCHI);
  const char *disk = lw_show(v, LW_SECCHI, s->value);
  if (s->value >= p->alarm_m) {
    lw_finding_holds(out,
                     s->value < p->aim_low_m
                         ? lw_say(v, "The disk is at %s: %s not yet dangerous. Keep the feed shut.", disk,
                                  c->known && c->fresh ? "green," : "if that is green,")
                         : lw_say(v, "The disk is at %s: not too green.", disk),
                     v->facts->today + (s->value < p->aim_low_m ? 4 : 7));
    return;
  }
  if (!c->known || !c->fresh || (int)c->value == LW_CLEAR) {
    lw_finding_asks(out,
                    lw_say(v,
                           "The disk is at only %s. Is it green or mud? Green that thick can "
                           "smother fish overnight.",
                           disk),
                    "water-color");
    out->urgency = 0;
    out->caution = "Until you know, treat it as green: no feed, and watch the fish at dawn.";
    return;
  }
  lw_cite(v, out, LW_WATER_COLOR);
  if ((int)c->value == LW_BROWN_MUD || (int)c->value == LW_TEA) {
    lw_finding_holds(out,
                     lw_say(v, "The disk is at %s, but that is %s, not a bloom.", disk,
                            (int)c->value == LW_BROWN_MUD ? "mud" : "stain"),
                     v->facts->today + 7);
  } else {
    lw_finding_favours(out, lw_say(v,
                                   "The disk is at %s: thick, soupy green. It can use up the oxygen of a "
                                   "night.",
                                   disk));
  }
}

const lw_rule lw_rule_green_disk = {
    "green-disk",
    GREEN,
    "The disk is under the too-green mark in green water; unread or unjudged asks",
    "Alabama Wildlife & Freshwater Fisheries Division, time-release page: under 12 in is excessively green; "
    "Mississippi State text: oxygen danger under 12 in (second hand)",
    "read",
    judge_disk};

static void judge_ammonia(const lw_view *v, lw_finding *out)
{
  double harmful = 0;
  if (!lw_ammonia_is_harmful(v, &harmful)) {
    return;
  }
  lw_cite(v, out, LW_AMMONIA);
  lw_cite(v, out, LW_PH);
  lw_cite(v, out, LW_TEMPERATURE);
  lw_finding_favours(
      out, lw_say(v, "Un-ionized ammonia works out at %.2f mg/L; it can harm fish from 0.05.", harmful));
}

const lw_rule lw_rule_green_ammonia = {"green-ammonia",
                                       GREEN,
                                       "Un-ionized ammonia from total ammonia, pH and temperature is 0.05 "
                                       "mg/L or more",
                                       LW_SRC_IFAS ", figure 2; Emerson et al. 1975",
                                       "read",
                                       judge_ammonia};

/* ---- oxygen ---- */

static void judge_low(const lw_view *v, lw_finding *out)
{
  const lw_seen *o = seen(v, LW_OXYGEN);
  const lw_program *p = &v->facts->program;
  if (!o->known || (!o->fresh && !lw_oxygen_is_low(v))) {
    return;
  }
  lw_cite(v, out, LW_OXYGEN);
  if (!o->fresh) {
    lw_finding_asks(out,
                    lw_say(v, "Oxygen was %s %s. Has it come back? Read it again at dusk and at dawn.",
                           lw_show(v, LW_OXYGEN, o->value), lw_show_age(v, o->age_day)),
                    "oxygen");
    out->urgency = 0;
    return;
  }
  const char *shown = lw_show(v, LW_OXYGEN, o->value);
  if (o->value <= p->oxygen_low_mg_l) {
    lw_finding_favours(out, lw_say(v, "Oxygen was %s %s; at %s or less fish are in danger.", shown,
                                   lw_show_age(v, o->age_day), lw_show(v, LW_OXYGEN, p->oxygen_low_mg_l)));
  } else if (o->value <= p->oxygen_watch_mg_l) {
    lw_finding_favours(out, lw_say(v, "Oxygen was %s %s; start at %s when it is falling fast.", shown,
                                   lw_show_age(v, o->age_day), lw_show(v, LW_OXYGEN, p->oxygen_watch_mg_l)));
  } else {
    lw_finding_holds(out, lw_say(v, "Oxygen was %s %s: enough.", shown, lw_show_age(v, o->age_day)),
                     v->facts->today + 2);
  }
}

const lw_rule lw_rule_oxygen_low = {"oxygen-low",
                                    OXYGEN,
                                    "Dissolved oxygen read at or under 3 mg/L, or 4 when falling",
                                    LW_SRC_JENSEN "; " LW_SRC_WURTS,
                                    "read",
                                    judge_low};

static void judge_crash(const lw_view *v, lw_finding *out)
{
  const lw_seen *o = seen(v, LW_OXYGEN);
  if (!lw_clearing_is_sudden(v, NULL) || (o->known && o->fresh)) {
    return;
  }
  lw_cite(v, out, LW_SECCHI);
  lw_finding_asks(out,
                  "The bloom vanished within days: its rotting can take the oxygen. Read oxygen at dusk "
                  "and two to three hours later.",
                  "oxygen");
  out->urgency = 0;
}

const lw_rule lw_rule_oxygen_crash = {
    "oxygen-after-crash",         OXYGEN, "The bloom vanished within days and oxygen was not read",
    LW_SRC_WURTS ": bloom crash", "read", judge_crash};

static void judge_risk(const lw_view *v, lw_finding *out)
{
  const lw_seen *o = seen(v, LW_OXYGEN);
  const lw_seen *t = seen(v, LW_TEMPERATURE);
  const lw_program *p = &v->facts->program;
  bool thick = lw_water_is_too_green(v);
  bool hot = t->known && t->fresh && t->value >= p->hot_temperature_c;
  if ((o->known && o->fresh) || !(thick || hot)) {
    return;
  }
  lw_cite(v, out, LW_SECCHI);
  lw_cite(v, out, LW_TEMPERATURE);
  lw_finding_asks(out,
                  thick ? "So green a water can run out of oxygen before dawn. Read oxygen at dusk and two "
                          "to three hours later."
                        : "The water is hot. Read oxygen at dusk and two to three hours later when the "
                          "nights are still and cloudy.",
                  "oxygen");
  out->urgency = thick ? 0 : 1;
}

const lw_rule lw_rule_oxygen_risk = {"oxygen-at-risk",
                                     OXYGEN,
                                     "The water is too green or at 86 F or more and oxygen was not read",
                                     LW_SRC_WURTS "; " LW_SRC_JENSEN ": critical from midnight to sunrise",
                                     "read",
                                     judge_risk};
