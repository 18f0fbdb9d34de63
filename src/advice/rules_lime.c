/* SPDX-License-Identifier: Apache-2.0 */
/* Rules for lime. */
#include "advice/rules_other.h"
#include "advice/sources.h"
#include "advice/words.h"

#include <string.h>

#define SUBJECT "lime"

enum { RETEST_DAYS = 30 };

static const double mud_ph_sour = 6.0;

static const lw_seen *seen(const lw_view *v, lw_quantity_id quantity)
{
  return &v->latest.seen[quantity];
}

bool lw_mud_is_sour(const lw_view *v)
{
  return seen(v, LW_MUD_PH)->known && seen(v, LW_MUD_PH)->fresh && seen(v, LW_MUD_PH)->value < mud_ph_sour;
}

static void judge_alkalinity(const lw_view *v, lw_finding *out)
{
  const lw_seen *a = seen(v, LW_ALKALINITY);
  const lw_program *p = &v->facts->program;
  lw_cite(v, out, LW_ALKALINITY);
  if (!a->known || !a->fresh) {
    if (!lw_mud_is_sour(v)) {
      lw_finding_asks(out, "Total alkalinity is not known: it decides whether lime is needed at all.",
                      "alkalinity");
    }
    return;
  }
  const char *shown = lw_show(v, LW_ALKALINITY, a->value);
  if (a->value < p->alkalinity_min_mg_l) {
    lw_finding_favours(out, lw_say(v, "Alkalinity is %s, under %s: the water is too sour for feed to work.",
                                   shown, lw_show(v, LW_ALKALINITY, p->alkalinity_min_mg_l)));
    return;
  }
  if (lw_mud_is_sour(v)) {
    return; /* the mud speaks for lime even so */
  }
  lw_finding_holds(out,
                   a->value < 0.8 * p->alkalinity_good_mg_l
                       ? lw_say(v,
                                "Alkalinity is %s: no lime needed. About %s would serve a fed water even "
                                "better.",
                                shown, lw_show(v, LW_ALKALINITY, p->alkalinity_good_mg_l))
                       : lw_say(v, "Alkalinity is %s: no lime needed.", shown),
                   a->day + (lw_day)p->chemistry_fresh_day);
}

const lw_rule lw_rule_lime_alkalinity = {
    "lime-alkalinity",
    SUBJECT,
    "Total alkalinity under 20 mg/L speaks for lime; untested asks",
    LW_SRC_SRAC_4100 "; Boyd 1979 as cited by Bowman & Seim, PD/A CRSP: at or under 20 mg/L",
    "read",
    judge_alkalinity};

static void judge_mud(const lw_view *v, lw_finding *out)
{
  if (!lw_mud_is_sour(v)) {
    return;
  }
  lw_cite(v, out, LW_MUD_PH);
  lw_cite(v, out, LW_BUFFER_PH);
  lw_finding_favours(out, lw_say(v, "The mud is at pH %s; under %.0f it eats the alkalinity of the water.",
                                 lw_show(v, LW_MUD_PH, seen(v, LW_MUD_PH)->value), mud_ph_sour));
}

const lw_rule lw_rule_lime_mud = {"lime-mud-ph",
                                  SUBJECT,
                                  "The mud is under pH 6",
                                  "Boyd 1979 as cited by Bowman & Seim, PD/A CRSP 14th Annual Technical "
                                  "Report",
                                  "read",
                                  judge_mud};

static void judge_recent(const lw_view *v, lw_finding *out)
{
  if (v->latest.last_lime == LW_NO_DAY) {
    return;
  }
  const lw_seen *a = seen(v, LW_ALKALINITY);
  int since = v->facts->today - v->latest.last_lime;
  bool tested_after = a->known && a->day >= v->latest.last_lime + RETEST_DAYS;
  lw_cite_fact(v, out, "last lime", since, "day", lw_show_age(v, since), v->latest.last_lime);
  if (since < RETEST_DAYS) {
    lw_finding_holds(out,
                     lw_say(v, "Lime went in %s; give it until %s, then test alkalinity.",
                            lw_show_age(v, since), lw_show_day(v, v->latest.last_lime + RETEST_DAYS)),
                     v->latest.last_lime + RETEST_DAYS);
  } else if (!tested_after && since < v->facts->program.chemistry_fresh_day) {
    lw_finding_asks(out, "Lime has had a month to work. Test alkalinity before any more goes in.",
                    "alkalinity");
  }
}

const lw_rule lw_rule_lime_recent = {
    "lime-recent",
    SUBJECT,
    "Lime went in during the last month, or its effect was not tested yet",
    LW_SRC_EXTENSION
    ": lime late autumn to winter so that it reacts before the season; the month is " LW_SRC_PRACTICE,
    "common practice",
    judge_recent};

static void judge_retention(const lw_view *v, lw_finding *out)
{
  lw_maybe stay = v->latest.retention_day;
  if (!stay.known || stay.value >= v->facts->program.retention_min_day) {
    return;
  }
  const char *shown = lw_say(v, "%.0f days", stay.value);
  lw_cite_fact(v, out, "retention", stay.value, "day", shown, v->latest.seen[LW_OUTFLOW].day);
  shown = lw_say(v, "%s%s", shown, lw_volume_words(&v->latest));
  lw_finding_holds(out,
                   lw_say(v,
                          "The water stays only %s: lime would wash out. Lime the catchment or wait "
                          "for the dry months.",
                          shown),
                   v->facts->today + 30);
}

const lw_rule lw_rule_lime_retention = {
    "lime-retention",
    SUBJECT,
    "The water stays fewer than three weeks: lime is flushed out",
    "Boyd; SRAC 4100 family (from memory); South Carolina DNR: flow governs how long lime lasts",
    "memory",
    judge_retention};

static void judge_season(const lw_view *v, lw_finding *out)
{
  int wait = (int)v->facts->program.lime_wait_day;
  if (v->latest.last_feed != LW_NO_DAY && v->facts->today - v->latest.last_feed < wait) {
    lw_cite_fact(v, out, "last dose", v->latest.feed_doses, "1", lw_say(v, "dose %d", v->latest.feed_doses),
                 v->latest.last_feed);
    lw_finding_holds(out,
                     lw_say(v,
                            "Feed went in %s; lime now would take it out of the water again. Stop feeding "
                            "and lime from %s on.",
                            lw_show_age(v, v->facts->today - v->latest.last_feed),
                            lw_show_day(v, v->latest.last_feed + wait)),
                     v->latest.last_feed + wait);
  } else {
    lw_finding_notes(out, "Late autumn to winter is best: the lime has months to work into the mud before "
                          "feeding.");
  }
}

const lw_rule lw_rule_lime_season = {
    "lime-season",    SUBJECT, "Lime waits a month after feed, and is best outside the feeding season",
    LW_SRC_EXTENSION, "read",  judge_season};

static void judge_size(const lw_view *v, lw_finding *out)
{
  if (!v->latest.area_m2.known) {
    lw_finding_asks(out, "How big is the water? Give an outline or the acres.", "area");
    return;
  }
  const char *shown = lw_show_value(v, v->latest.area_m2.value, "m2", "acre", "ha");
  lw_cite_fact(v, out, "area", v->latest.area_m2.value, "m2", shown, LW_NO_DAY);
  lw_finding_notes(out, lw_size_words(v, shown));
}

const lw_rule lw_rule_lime_size = {"lime-size",     SUBJECT,           "The area of the water is not known",
                                   LW_SRC_PRACTICE, "common practice", judge_size};
