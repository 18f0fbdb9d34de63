/* SPDX-License-Identifier: Apache-2.0 */
/* Rules for feeding the bloom that look at the water: clarity, colour, temperature, chemistry, weeds,
 * oxygen. */
#include "advice/danger.h"
#include "advice/rules_feed.h"
#include "advice/sources.h"
#include "advice/words.h"

#define SUBJECT "feeding the bloom"

enum { CHEMISTRY_AGAIN = 30 }; /* days until a change in the water's chemistry shows */

static const lw_seen *seen(const lw_view *v, lw_quantity_id quantity)
{
  return &v->latest.seen[quantity];
}

/* ---- fish in danger ---- */

static void judge_oxygen(const lw_view *v, lw_finding *out)
{
  const lw_seen *o = seen(v, LW_OXYGEN);
  if (!lw_oxygen_is_low(v)) {
    return;
  }
  lw_cite(v, out, LW_OXYGEN);
  out->caution = "Fish were short of oxygen: any feed, and the night after it, can kill them.";
  if (!o->fresh) {
    lw_finding_asks(out,
                    lw_say(v, "The last oxygen reading was %s, %s. Read it again before any feed.",
                           lw_show(v, LW_OXYGEN, o->value), lw_show_age(v, o->age_day)),
                    "oxygen");
    return;
  }
  lw_finding_holds(out,
                   lw_say(v, "Oxygen was %s %s: no feed while fish are short of breath.",
                          lw_show(v, LW_OXYGEN, o->value), lw_show_age(v, o->age_day)),
                   v->facts->today + 3);
}

const lw_rule lw_rule_feed_oxygen = {
    "feed-oxygen-low",
    SUBJECT,
    "Dissolved oxygen was read at or under the watch mark: holds while fresh, asks for two weeks after",
    LW_SRC_JENSEN,
    "read",
    judge_oxygen};

static void judge_too_green(const lw_view *v, lw_finding *out)
{
  const lw_seen *s = seen(v, LW_SECCHI);
  if (!lw_water_is_too_green(v)) {
    return;
  }
  lw_cite(v, out, LW_SECCHI);
  lw_finding_holds(out,
                   lw_say(v, "The disk is at %s, greener than %s: stop feeding.",
                          lw_show(v, LW_SECCHI, s->value), lw_show(v, LW_SECCHI, v->facts->program.alarm_m)),
                   v->facts->today + 3);
}

const lw_rule lw_rule_feed_too_green = {
    "feed-too-green",
    SUBJECT,
    "The disk is shallower than the too-green mark and the water is not muddy or stained",
    LW_SRC_ALABAMA ", time-release page: under 12 in is excessively green",
    "read",
    judge_too_green};

static void judge_crash(const lw_view *v, lw_finding *out)
{
  lw_seen from;
  if (!lw_clearing_is_sudden(v, &from)) {
    return;
  }
  const lw_seen *before = &from;
  lw_cite(v, out, LW_SECCHI);
  lw_cite_fact(v, out, "secchi before", before->value, "m", lw_show(v, LW_SECCHI, before->value),
               before->day);
  lw_finding_holds(
      out,
      lw_say(v,
             "The water cleared from %s to %s in %d days: a bloom that dies takes the oxygen with it. "
             "Watch the fish before you feed.",
             lw_show(v, LW_SECCHI, before->value), lw_show(v, LW_SECCHI, seen(v, LW_SECCHI)->value),
             seen(v, LW_SECCHI)->day - before->day),
      v->facts->today + 4);
}

const lw_rule lw_rule_feed_crash = {
    "feed-sudden-clearing",
    SUBJECT,
    "A green water cleared by 16 in or more within ten days (a bloom crash, or a flush)",
    LW_SRC_WURTS ": bloom crash; the marks are " LW_SRC_PRACTICE,
    "common practice",
    judge_crash};

static void judge_ammonia(const lw_view *v, lw_finding *out)
{
  double harmful = 0;
  if (!lw_ammonia_is_harmful(v, &harmful)) {
    return;
  }
  lw_cite(v, out, LW_AMMONIA);
  lw_cite(v, out, LW_PH);
  lw_finding_holds(
      out, lw_say(v, "Un-ionized ammonia works out at %.2f mg/L, enough to harm fish: no feed.", harmful),
      v->facts->today + 3);
}

const lw_rule lw_rule_feed_ammonia = {"feed-ammonia",
                                      SUBJECT,
                                      "Un-ionized ammonia is 0.05 mg/L or more",
                                      LW_SRC_IFAS ", figure 2; Emerson et al. 1975",
                                      "read",
                                      judge_ammonia};

static void judge_weed_kill(const lw_view *v, lw_finding *out)
{
  int days = lw_days_since_weed_kill(v);
  if (days < 0 || days >= LW_WEED_KILL_DAYS) {
    return;
  }
  lw_cite_fact(v, out, "weeds treated", days, "day", lw_show_age(v, days), v->facts->today - days);
  lw_finding_holds(out,
                   lw_say(v, "Weeds were treated %s: while they rot they take oxygen and feed the water.",
                          lw_show_age(v, days)),
                   v->facts->today - days + LW_WEED_KILL_DAYS);
}

const lw_rule lw_rule_feed_weed_kill = {"feed-after-weed-kill",
                                        SUBJECT,
                                        "Weeds were treated in the last two weeks",
                                        LW_SRC_B866
                                        ": treatment can deplete oxygen; the two weeks are " LW_SRC_PRACTICE,
                                        "common practice",
                                        judge_weed_kill};

/* ---- what the water is ---- */

static void judge_mud(const lw_view *v, lw_finding *out)
{
  if (!lw_color_is(v, LW_BROWN_MUD)) {
    return;
  }
  lw_cite(v, out, LW_WATER_COLOR);
  lw_cite(v, out, LW_SECCHI);
  lw_finding_holds(out,
                   "The water is brown with mud: clay shuts out the light and binds the phosphorus. "
                   "Clear the mud first.",
                   v->facts->today + 7);
}

const lw_rule lw_rule_feed_mud = {"feed-mud",         SUBJECT, "The water was judged muddy brown",
                                  LW_SRC_MISSISSIPPI, "read",  judge_mud};

static void judge_stain(const lw_view *v, lw_finding *out)
{
  if (!lw_color_is(v, LW_TEA)) {
    return;
  }
  lw_cite(v, out, LW_WATER_COLOR);
  lw_finding_holds(out,
                   "The water is stained like tea: the stain, not a lack of feed, keeps the light "
                   "out. Test alkalinity and the inflow before any money goes in.",
                   v->facts->today + 14);
}

const lw_rule lw_rule_feed_stain = {"feed-stain",    SUBJECT,           "The water was judged tea-stained",
                                    LW_SRC_PRACTICE, "common practice", judge_stain};

static void judge_color_unknown(const lw_view *v, lw_finding *out)
{
  const lw_seen *s = seen(v, LW_SECCHI);
  const lw_seen *c = seen(v, LW_WATER_COLOR);
  const lw_program *p = &v->facts->program;
  bool was_mud = c->known && (int)c->value == LW_BROWN_MUD;
  bool matters = s->known && s->fresh && s->value > p->aim_high_m && (s->value < p->clear_m || was_mud);
  if (!matters || (c->known && c->fresh)) {
    return;
  }
  lw_cite(v, out, LW_SECCHI);
  lw_finding_asks(out,
                  lw_say(v, "The disk is at %s. Is that green or mud? A muddy water must not be fed.",
                         lw_show(v, LW_SECCHI, s->value)),
                  "water-color");
}

const lw_rule lw_rule_feed_color = {
    "feed-color-unknown",
    SUBJECT,
    "The disk hangs between the aim and the clear mark, or the water was last muddy, and nobody judged the "
    "colour lately",
    LW_SRC_ARKANSAS ": not to be started under 36 in",
    "read",
    judge_color_unknown};

static void judge_temperature(const lw_view *v, lw_finding *out)
{
  const lw_seen *t = seen(v, LW_TEMPERATURE);
  double start = v->facts->program.start_temperature_c;
  if (t->known && t->fresh) {
    lw_cite(v, out, LW_TEMPERATURE);
    if (t->value < start) {
      lw_finding_holds(out,
                       lw_say(v, "The water is %s; it should reach and hold %s first.",
                              lw_show(v, LW_TEMPERATURE, t->value), lw_show(v, LW_TEMPERATURE, start)),
                       v->facts->today + 7);
    } else {
      lw_finding_notes(out, lw_say(v, "The water is %s, warm enough.", lw_show(v, LW_TEMPERATURE, t->value)));
    }
    return;
  }
  if (lw_deep_season(v)) {
    lw_finding_asks(out,
                    "How warm is the water? By the calendar it is warm enough, but hot water holds so "
                    "little oxygen that feed can kill.",
                    "temperature");
    return;
  }
  lw_finding_asks(out,
                  lw_say(v, "How warm is the water? It should reach and hold %s before feeding.",
                         lw_show(v, LW_TEMPERATURE, start)),
                  "temperature");
}

const lw_rule lw_rule_feed_temperature = {"feed-temperature",
                                          SUBJECT,
                                          "Surface water under the start temperature holds; unknown asks",
                                          LW_SRC_ALABAMA ": 60 F; Texas A&M 60-65 F; " LW_SRC_ARKANSAS
                                                         ": 65 F. Used: your start temperature, "
                                                         "60 F unless changed",
                                          "read",
                                          judge_temperature};

static void judge_alkalinity(const lw_view *v, lw_finding *out)
{
  const lw_seen *a = seen(v, LW_ALKALINITY);
  const lw_program *p = &v->facts->program;
  lw_cite(v, out, LW_ALKALINITY);
  if (!a->known || !a->fresh) {
    lw_finding_asks(out,
                    a->known ? lw_say(v, "The last alkalinity test is from %s, too old to lean on.",
                                      lw_show_day(v, a->day))
                             : "Alkalinity was never tested: under 20 mg/L feed is wasted and pH swings "
                               "hurt fish.",
                    "alkalinity");
  } else if (a->value < p->alkalinity_min_mg_l) {
    lw_finding_holds(out,
                     lw_say(v, "Alkalinity is %s; under %s feed is wasted. Lime first.",
                            lw_show(v, LW_ALKALINITY, a->value),
                            lw_show(v, LW_ALKALINITY, p->alkalinity_min_mg_l)),
                     v->facts->today + CHEMISTRY_AGAIN);
  } else {
    lw_finding_notes(
        out, lw_say(v, "Alkalinity is %s, enough to answer to feed.", lw_show(v, LW_ALKALINITY, a->value)));
  }
}

const lw_rule lw_rule_feed_alkalinity = {"feed-alkalinity",
                                         SUBJECT,
                                         "Total alkalinity under 20 mg/L holds; untested or old asks",
                                         LW_SRC_SRAC_4100 "; " LW_SRC_AUBURN "; " LW_SRC_TEXAS,
                                         "read",
                                         judge_alkalinity};

static void judge_hardness(const lw_view *v, lw_finding *out)
{
  const lw_seen *h = seen(v, LW_HARDNESS);
  const lw_program *p = &v->facts->program;
  if (!h->known || !h->fresh) {
    lw_finding_notes(out, "Hardness is not known; the rate for soft water is used. Hard water takes more.");
    return;
  }
  lw_cite(v, out, LW_HARDNESS);
  lw_cite(v, out, LW_ALKALINITY);
  if (h->value < p->alkalinity_min_mg_l) {
    const lw_seen *alkalinity = seen(v, LW_ALKALINITY);
    bool soft = alkalinity->known && alkalinity->value < p->alkalinity_min_mg_l;
    lw_finding_holds(
        out,
        lw_say(v,
               "Hardness is %s. With so little calcium a bloom can drive the pH to where it burns "
               "fish. %s",
               lw_show(v, LW_HARDNESS, h->value),
               soft ? "Limestone first."
                    : "Raise the hardness first: gypsum is common practice; the extension office "
                      "knows the dose."),
        v->facts->today + CHEMISTRY_AGAIN);
    const lw_seen *a = seen(v, LW_ALKALINITY);
    if (a->known && a->fresh && a->value >= p->alkalinity_min_mg_l) {
      out->caution = "Feed in water of high alkalinity and low hardness can push pH to where fish die.";
    }
  } else if (h->value > p->hardness_high_mg_l) {
    lw_finding_notes(out, lw_say(v,
                                 "Hardness is %s: calcium ties phosphorus up, so the upper end of the "
                                 "rate is used (Arkansas would go to double).",
                                 lw_show(v, LW_HARDNESS, h->value)));
  }
}

const lw_rule lw_rule_feed_hardness = {"feed-hardness",
                                       SUBJECT,
                                       "Hardness under 20 mg/L holds; over 50 mg/L takes the upper rate",
                                       LW_SRC_SEAFWA_1978 "; " LW_SRC_TEXAS "; " LW_SRC_ARKANSAS,
                                       "read",
                                       judge_hardness};

static void judge_ph(const lw_view *v, lw_finding *out)
{
  const lw_seen *ph = seen(v, LW_PH);
  if (!ph->known || !ph->fresh || ph->value <= v->facts->program.ph_high) {
    return;
  }
  lw_cite(v, out, LW_PH);
  lw_finding_holds(out,
                   lw_say(v, "pH is %s; a stronger bloom would push it higher. Read it again at dawn.",
                          lw_show(v, LW_PH, ph->value)),
                   v->facts->today + 3);
}

const lw_rule lw_rule_feed_ph = {"feed-ph-high",
                                 SUBJECT,
                                 "pH was read over 9 in the last days",
                                 "University of Florida IFAS FA028: 6-9 is desirable for most warmwater "
                                 "fish",
                                 "read",
                                 judge_ph};

static void judge_weeds(const lw_view *v, lw_finding *out)
{
  const lw_seen *w = seen(v, LW_WEED_COVER);
  double limit = v->facts->program.weed_hold_pct;
  if (!w->known || !w->fresh) {
    if (v->latest.in_season) {
      lw_finding_notes(out, "Weed cover was not judged lately; feeding weeds is the classic error.");
    }
    return;
  }
  lw_cite(v, out, LW_WEED_COVER);
  if (w->value > limit) {
    lw_finding_holds(out,
                     lw_say(v, "Weeds cover %s: the feed would go to them. Deal with the weeds first.",
                            lw_show(v, LW_WEED_COVER, w->value)),
                     v->facts->today + 14);
  } else {
    lw_finding_notes(out, lw_say(v, "Weeds cover %s, few enough.", lw_show(v, LW_WEED_COVER, w->value)));
  }
}

const lw_rule lw_rule_feed_weeds = {"feed-weeds",
                                    SUBJECT,
                                    "Rooted weeds or filamentous algae cover more than the hold mark",
                                    LW_SRC_TEXAS
                                    "; " LW_SRC_GEORGIA
                                    ": the bloom must stand before weeds grow; the share is " LW_SRC_PRACTICE,
                                    "read",
                                    judge_weeds};

/* ---- the disk ---- */

static void judge_clarity(const lw_view *v, lw_finding *out)
{
  const lw_seen *s = seen(v, LW_SECCHI);
  const lw_program *p = &v->facts->program;
  if (!s->known || !s->fresh) {
    lw_finding_asks(out,
                    s->known ? lw_say(v, "The last disk reading is from %s (%d days). Lower the disk.",
                                      lw_show_day(v, s->day), s->age_day)
                             : "Nobody has lowered the disk yet.",
                    "secchi");
    lw_cite(v, out, LW_SECCHI);
    return;
  }
  lw_cite(v, out, LW_SECCHI);
  const char *disk = lw_show(v, LW_SECCHI, s->value);
  const char *low = lw_show(v, LW_SECCHI, p->aim_low_m);
  const char *high = lw_show(v, LW_SECCHI, p->aim_high_m);
  bool judged = seen(v, LW_WATER_COLOR)->known && seen(v, LW_WATER_COLOR)->fresh;
  const char *doubt = judged ? "" : " (if that is a bloom and not mud)";
  if (s->value > p->aim_high_m) {
    lw_finding_favours(out,
                       lw_say(v, "The disk is at %s, deeper than your aim of %s to %s.", disk, low, high));
  } else if (s->value >= p->aim_low_m) {
    lw_finding_holds(out,
                     lw_say(v, "The disk is at %s, inside your aim of %s to %s%s.", disk, low, high, doubt),
                     v->facts->today + 7);
  } else {
    lw_finding_holds(out,
                     lw_say(v, "The disk is at %s, shallower than your aim of %s to %s: green enough%s.",
                            disk, low, high, doubt),
                     v->facts->today + 7);
  }
}

const lw_rule lw_rule_feed_clarity = {
    "feed-clarity",
    SUBJECT,
    "A fresh disk reading deeper than the aim speaks for feeding, inside or shallower holds, none asks",
    LW_SRC_TEXAS
    ": not under 18 in; 18-24 in is the common southern range (second hand); " LW_SRC_ALABAMA_LEAFLET
    " prints 12-18 in. Used: your aim",
    "read",
    judge_clarity};
