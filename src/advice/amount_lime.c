/* SPDX-License-Identifier: Apache-2.0 */
#include "advice/amounts.h"
#include "advice/rules_other.h"
#include "advice/sources.h"
#include "advice/words.h"
#include "base/text.h"

#include "water/dose.h"
#include "water/lime.h"

#include <math.h>
#include <string.h>

enum { BEFORE_SEASON = 60, AT_LEAST = 14 };

static const lw_material reference_lime = {.name = "ground limestone (not on your shelf list)",
                                           .kind = "lime",
                                           .form = "ground",
                                           .grade = "",
                                           .note = ""};

/* Pure, fine calcium carbonate needed, kg/ha. */
typedef struct need {
  double low, high;
  bool from_mud;
} need;

static need find_need(const lw_view *v)
{
  const lw_seen *mud = &v->latest.seen[LW_MUD_PH];
  const lw_seen *buffer = &v->latest.seen[LW_BUFFER_PH];
  need n = {0};
  if (mud->known && mud->fresh && buffer->known && buffer->fresh &&
      lw_lime_requirement(&n.low, mud->value, buffer->value, NULL) == LW_OK && n.low > 0) {
    n.high = n.low;
    n.from_mud = true;
    return n;
  }
  /* the practice where alkalinity is low; sour mud under harder water takes the same range */
  if (lw_lime_from_alkalinity(&n.low, &n.high, 0, NULL) != LW_OK) {
    n = (need){0};
  }
  return n;
}

/* Hydrated and burnt lime: pure dolomite is 109, magnesium carbonate 119; calcium hydroxide 135. */
static bool is_caustic(const lw_material *m)
{
  return strcmp(m->kind, "lime") == 0 &&
         (strcmp(m->form, "hydrated") == 0 || lw_or(m->neutralizing_value_pct, 0) > 119 ||
          (strcmp(m->form, "other") == 0 && !m->neutralizing_value_pct.known));
}

static bool fill_choice(const lw_view *v, lw_choice *c, const lw_stock *stock, const need *n, double area_ha)
{
  const lw_material *m = stock->material;
  double rate = 0;
  if (strcmp(m->kind, "lime") != 0 || is_caustic(m) ||
      lw_lime_material_rate(&rate, n->low, lw_or(m->neutralizing_value_pct, 100), lw_or(m->fineness_pct, 100),
                            NULL) != LW_OK) {
    return false;
  }
  *c = (lw_choice){.material = m->name, .form = m->form, .grade = m->grade, .mass_kg = rate * area_ha};
  double effective = lw_or(m->neutralizing_value_pct, 100) * lw_or(m->fineness_pct, 100) / 1e4;
  if (m->package_kg.known && m->package_kg.value > 0) {
    c->packages = lw_known(lw_whole_packages(c->mass_kg, m->package_kg.value));
    double have = stock->packages_left > 0 ? stock->packages_left : 0;
    double short_by = c->packages.value - have;
    c->to_buy = lw_known(short_by > 0 ? ceil(short_by - 1e-9) : 0);
    if (m->price.known) {
      c->cost = lw_known(m->price.value * c->packages.value);
      c->price_per_kg_active = lw_known(m->price.value / (m->package_kg.value * effective));
    }
  }
  if (stock->counted) {
    c->left = lw_known(stock->packages_left);
  }
  c->shown =
      lw_show_value(v, c->mass_kg, "kg", c->mass_kg > 450 ? "ton" : "lb", c->mass_kg > 1000 ? "t" : "kg");
  return true;
}

static bool better(const lw_choice *a, const lw_choice *b)
{
  if (a->cost.known != b->cost.known) {
    return a->cost.known;
  }
  return a->cost.known && a->cost.value < b->cost.value;
}

static const lw_material *fill_choices(const lw_view *v, lw_item *item, const need *n, double area_ha)
{
  const lw_material *picked = NULL;
  size_t best = 0;
  for (size_t i = 0; i < v->facts->stock_count && item->choice_count < LW_CHOICES_MAX; i++) {
    lw_choice *c = &item->choices[item->choice_count];
    if (fill_choice(v, c, &v->facts->stock[i], n, area_ha)) {
      if (!picked || better(c, &item->choices[best])) {
        best = item->choice_count;
        picked = v->facts->stock[i].material;
      }
      item->choice_count++;
    }
  }
  if (!picked) { /* caustic lime alone is never the advice */
    lw_stock none = {.material = &reference_lime};
    if (item->choice_count < LW_CHOICES_MAX &&
        fill_choice(v, &item->choices[item->choice_count], &none, n, area_ha)) {
      best = item->choice_count++;
      picked = &reference_lime;
    }
  }
  if (picked) {
    item->choices[best].chosen = true;
  }
  return picked;
}

static void set_amount(const lw_view *v, lw_item *item, const lw_material *m, const need *n, double area_m2)
{
  double nv = lw_or(m->neutralizing_value_pct, 100);
  double fine = lw_or(m->fineness_pct, 100);
  double scale = area_m2 / 1e4 / (nv / 100) / (fine / 100);
  item->amount = (lw_amount){
      .known = true, .value = n->low * scale, .low = n->low * scale, .high = n->high * scale, .unit = "kg"};
  char area[LW_NUMBER_MAX];
  (void)lw_rounded_text(area_m2, 8, area);
  bool tons = item->amount.high > 450;
  const char *low = lw_show_value(v, item->amount.low, "kg", tons ? "ton" : "lb", tons ? "t" : "kg");
  const char *high = lw_show_value(v, item->amount.high, "kg", tons ? "ton" : "lb", tons ? "t" : "kg");
  item->amount.shown = n->from_mud ? low : lw_say(v, "%s to %s", low, high);
  if (n->from_mud) {
    item->amount.method = "lime-requirement";
    item->amount.method_query =
        lw_say(v, "mud-ph=%g&buffer-ph=%g&area=%s&neutralizing-value=%g&fineness=%g",
               v->latest.seen[LW_MUD_PH].value, v->latest.seen[LW_BUFFER_PH].value, area, nv, fine);
  } else {
    item->amount.method = "lime-from-alkalinity";
    item->amount.method_query = lw_say(v, "alkalinity=%g&area=%s", v->latest.seen[LW_ALKALINITY].value, area);
  }
}

static void explain(const lw_view *v, lw_item *item, const lw_material *m, const need *n)
{
  if (n->from_mud) {
    lw_item_reason(item, "lime-rate", "Reckoned from mud pH and buffer pH by the pond-mud table.",
                   LW_SRC_BOYD_TABLE, "memory");
  } else {
    lw_item_reason(
        item, "lime-rate",
        v->latest.seen[LW_MUD_PH].known && v->latest.seen[LW_BUFFER_PH].known
            ? "The mud test is old, off the printed table or at odds with the alkalinity: the range of "
              "practice is used, 1 to 2 short tons an acre. Have the mud tested again."
            : "Without mud pH and buffer pH the range of practice is used: 1 to 2 short tons an acre. A "
              "mud test narrows it.",
        "Southern extension practice; Mississippi prints 1-3 tons every three to four "
        "years; " LW_SRC_PRACTICE,
        "common practice");
    lw_item_step(item, "Start with the lower figure and test alkalinity a month later; or send mud for pH "
                       "and buffer pH first.");
  }
  if (!m->neutralizing_value_pct.known || !m->fineness_pct.known) {
    lw_item_step(item, "Neutralizing value or fineness of this lime is not on record: 100 % is reckoned. "
                       "Read the delivery note; a coarse or weak lime needs more.");
  }
  lw_maybe stay = v->latest.retention_day;
  lw_item_step(item,
               stay.known && stay.value < 90
                   ? lw_say(v,
                            "The water stays %.0f days%s, so lime washes out sooner than the usual 3 to "
                            "5 years; test alkalinity every winter.",
                            stay.value, lw_volume_words(&v->latest))
                   : "It lasts 3 to 5 years where some water leaves, longer where none does; a quarter "
                     "of the dose each winter keeps it up.");
  lw_item_reason(item, "lime-lasts", "How long lime lasts depends on how fast the water leaves.",
                 LW_SRC_EXTENSION ": 3-5 years with moderate outflow, almost for ever with none; a quarter "
                                  "yearly",
                 "read");
}

static void caustic_caution(const lw_view *v, lw_item *item)
{
  for (size_t i = 0; i < v->facts->stock_count; i++) {
    if (is_caustic(v->facts->stock[i].material)) {
      lw_item_caution(item,
                      lw_say(v,
                             "Hydrated or burnt lime (%.60s) in a stocked water: not at all (Auburn/ACES), "
                             "or hydrated at most 50 lb an acre at one time with pH read before and after "
                             "(University of Georgia). It burns eyes, skin and lungs and can kill fish.",
                             v->facts->stock[i].material->name));
      return;
    }
  }
}

lw_status lw_amount_lime(const lw_view *view, lw_item *item, lw_error *err)
{
  if (!view->latest.area_m2.known) {
    return lw_fail(err, LW_NOT_FOUND, "the area of the water is not known");
  }
  double area_m2 = view->latest.area_m2.value;
  need n = find_need(view);
  item->choice_active = "CaCO3";
  const lw_material *m = fill_choices(view, item, &n, area_m2 / 1e4);
  if (!m) {
    return lw_fail(err, LW_INTERNAL, "no lime could be reckoned");
  }
  set_amount(view, item, m, &n, area_m2);
  item->headline = lw_say(view, "Lime first: %s of %s.", item->amount.shown, m->name);
  lw_day opens = view->latest.in_season ? view->latest.season_start + 365 : view->latest.season_start;
  lw_day latest = opens - BEFORE_SEASON;
  item->by = latest > view->facts->today + AT_LEAST ? latest : view->facts->today + AT_LEAST;
  lw_item_handling(view, item, "ground", area_m2);
  explain(view, item, m, &n);
  caustic_caution(view, item);
  return LW_OK;
}
