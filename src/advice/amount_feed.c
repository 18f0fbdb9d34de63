/* SPDX-License-Identifier: Apache-2.0 */
#include "advice/amounts.h"
#include "advice/sources.h"
#include "advice/words.h"
#include "base/text.h"

#include "water/cost.h"
#include "water/dose.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* The weakest grade printed for ponds is 8-8-2 (Alabama Leaflet 1), and none carries more nitrogen than
 * phosphate. */
#define LEAST_P2O5_PERCENT 8.0

#define ACRE_M2 4046.8564224

static const double litre_per_m3 = 1000.0;

/* What the practitioner would buy when the shelf list is empty. */
static const lw_material reference_powder = {.name = "soluble powder 10-52-4 (not on your shelf list)",
                                             .kind = "fertilizer",
                                             .form = "soluble-powder",
                                             .grade = "10-52-4",
                                             .note = ""};

lw_maybe lw_packages_within(double mass_kg, double low_kg, double high_kg, double package_kg)
{
  double nearest = round(mass_kg / package_kg);
  double guard = 1e-9 * high_kg;
  for (int step = 0; step < 3; step++) { /* nearest, one less, one more */
    double n = nearest + (step == 0 ? 0 : step == 1 ? -1 : 1);
    if (n >= 1 && n * package_kg >= low_kg - guard && n * package_kg <= high_kg + guard) {
      return lw_known(n);
    }
  }
  return (lw_maybe){0};
}

static void fill_packages(lw_choice *c, const lw_material *m, double area_ha, double p2o5_share,
                          const lw_feed_rate *rate)
{
  if (!m->package_kg.known || m->package_kg.value <= 0) {
    return;
  }
  double package = m->package_kg.value;
  lw_maybe whole = lw_packages_within(c->mass_kg, rate->low / p2o5_share * area_ha,
                                      rate->high / p2o5_share * area_ha, package);
  if (whole.known) {
    c->mass_kg = whole.value * package;
    c->packages = whole;
  } else {
    c->packages = lw_known(lw_whole_packages(c->mass_kg, package));
  }
}

static void fill_shelf(lw_choice *c, const lw_stock *stock)
{
  const lw_material *m = stock->material;
  if (stock->counted) {
    c->left = lw_known(stock->packages_left);
  }
  if (!c->packages.known) {
    return;
  }
  double have = stock->packages_left > 0 ? stock->packages_left : 0;
  double need = c->packages.value - have;
  c->to_buy = lw_known(need > 1e-9 ? ceil(need - 1e-9) : 0);
  if (m->price.known) {
    c->cost = lw_known(m->price.value * c->packages.value);
  }
}

static const char *shown_amount(const lw_view *v, const lw_choice *c, const lw_material *m)
{
  const char *mass = c->volume_l.known ? lw_show_value(v, c->volume_l.value / litre_per_m3, "m3", "gal", "L")
                                       : lw_show_value(v, c->mass_kg, "kg", "lb", "kg");
  if (!c->packages.known) {
    return mass;
  }
  bool by_volume = m->package_l.known && c->volume_l.known;
  const char *package = by_volume ? lw_show_value(v, m->package_l.value / litre_per_m3, "m3", "gal", "L")
                                  : lw_show_value(v, m->package_kg.value, "kg", "lb", "kg");
  if (by_volume && m->package_l.value < 8) { /* sold by the gallon or so: the volume says it all */
    return mass;
  }
  double whole = c->packages.value * m->package_kg.value;
  bool opened = whole - c->mass_kg > 1e-6 * whole;
  return opened ? lw_say(v, "%s (out of %.0f x %s)", mass, c->packages.value, package)
                : lw_say(v, "%.0f x %s (%s)", c->packages.value, package, mass);
}

static bool fill_choice(const lw_view *v, lw_choice *c, const lw_stock *stock, double area_m2)
{
  const lw_material *m = stock->material;
  lw_grade grade;
  if (strcmp(m->kind, "fertilizer") != 0 || lw_grade_parse(&grade, m->grade, NULL) != LW_OK ||
      grade.p2o5_percent < LEAST_P2O5_PERCENT || grade.nitrogen_percent > grade.p2o5_percent) {
    return false; /* too much of something else for each pound of phosphate */
  }
  lw_feed_rate rate = lw_feed_rate_now(v, m->form);
  double share = grade.p2o5_percent / 100.0;
  double area_ha = area_m2 / 1e4;
  *c = (lw_choice){
      .material = m->name, .form = m->form, .grade = m->grade, .mass_kg = rate.used / share * area_ha};
  fill_packages(c, m, area_ha, share, &rate);
  if (strcmp(m->form, "liquid") == 0 && m->density_kg_l.known && m->density_kg_l.value > 0) {
    c->volume_l = lw_known(c->mass_kg / m->density_kg_l.value);
  }
  fill_shelf(c, stock);
  double per_kg = 0;
  if (m->price.known && m->package_kg.known &&
      lw_phosphorus_cost(&per_kg, m->price.value, m->package_kg.value, &grade, NULL) == LW_OK) {
    c->price_per_kg_active = lw_known(per_kg);
  }
  c->shown = shown_amount(v, c, m);
  return true;
}

/* Enough on the shelf first, then the cheaper dose, then the one whose price is known. Controlled
 * release is only taken when nothing else is there: it cannot be called back. */
static bool better(const lw_choice *a, const lw_choice *b)
{
  bool slow_a = strcmp(a->form, "controlled-release") == 0;
  bool slow_b = strcmp(b->form, "controlled-release") == 0;
  if (slow_a != slow_b) {
    return slow_b;
  }
  bool have_a = a->to_buy.known && a->to_buy.value <= 0;
  bool have_b = b->to_buy.known && b->to_buy.value <= 0;
  if (have_a != have_b) {
    return have_a;
  }
  if (a->cost.known != b->cost.known) {
    return a->cost.known;
  }
  return a->cost.known && a->cost.value < b->cost.value;
}

size_t lw_feed_choices(const lw_view *view, double area_m2, lw_choice *out, size_t size)
{
  size_t n = 0;
  size_t best = 0;
  for (size_t i = 0; i < view->facts->stock_count && n < size; i++) {
    if (fill_choice(view, &out[n], &view->facts->stock[i], area_m2)) {
      best = n > 0 && better(&out[n], &out[best]) ? n : best;
      n++;
    }
  }
  if (n == 0 && size > 0) {
    lw_stock none = {.material = &reference_powder};
    n = fill_choice(view, &out[0], &none, area_m2) ? 1 : 0;
  }
  if (n > 0) {
    out[best].chosen = true;
  }
  return n;
}

static const lw_choice *chosen(const lw_item *item)
{
  for (size_t i = 0; i < item->choice_count; i++) {
    if (item->choices[i].chosen) {
      return &item->choices[i];
    }
  }
  return NULL;
}

static void set_amount(const lw_view *v, lw_item *item, const lw_choice *c, const lw_feed_rate *rate,
                       double area_m2)
{
  lw_grade grade;
  if (lw_grade_parse(&grade, c->grade, NULL) != LW_OK) {
    return;
  }
  double area_ha = area_m2 / 1e4;
  double share = grade.p2o5_percent / 100.0;
  double scale = c->volume_l.known ? c->volume_l.value / c->mass_kg : 1.0;
  char area[LW_NUMBER_MAX];
  char product_rate[LW_NUMBER_MAX];
  item->amount =
      (lw_amount){.known = true,
                  .value = c->mass_kg * scale,
                  .low = rate->low / share * area_ha * scale,
                  .high = rate->high / share * area_ha * scale,
                  .unit = c->volume_l.known ? "L" : "kg",
                  .shown = c->shown,
                  .method = "material-dose",
                  .method_query = lw_say(v, "area=%s&rate=%s&grade=%s", lw_rounded_text(area_m2, 8, area),
                                         lw_rounded_text(c->mass_kg / area_ha, 6, product_rate), c->grade)};
  if (v->latest.volume_m3.known) {
    char volume[LW_NUMBER_MAX];
    item->amount.method_query = lw_say(v, "%s&volume=%s", item->amount.method_query,
                                       lw_rounded_text(v->latest.volume_m3.value, 8, volume));
  }
}

lw_status lw_amount_feed(const lw_view *view, lw_item *item, lw_error *err)
{
  if (!view->latest.area_m2.known) {
    return lw_fail(err, LW_NOT_FOUND, "the area of the water is not known");
  }
  double area_m2 = view->latest.area_m2.value;
  item->choice_count = lw_feed_choices(view, area_m2, item->choices, LW_CHOICES_MAX);
  item->choice_active = "P2O5";
  const lw_choice *c = chosen(item);
  if (!c) {
    return lw_fail(err, LW_INTERNAL, "no material could be reckoned");
  }
  lw_feed_rate rate = lw_feed_rate_now(view, c->form);
  set_amount(view, item, c, &rate, area_m2);
  item->headline =
      lw_say(view, "Feed %s of %s%s.", c->shown, c->material,
             c->to_buy.known && c->to_buy.value > 0 ? lw_say(view, "; %.0f to buy", c->to_buy.value) : "");
  item->by = view->facts->today + 3;
  lw_item_reason(item, "feed-rate", rate.text, rate.source, rate.basis);
  double wanted = rate.used * area_m2 / 1e4;
  lw_grade grade;
  if (c->packages.known && lw_grade_parse(&grade, c->grade, NULL) == LW_OK &&
      fabs(c->mass_kg * grade.p2o5_percent / 100.0 - wanted) > 0.02 * wanted) {
    lw_item_reason(item, "feed-whole-packages",
                   lw_say(view, "Rounded to whole packages, inside the printed range: %s an acre goes out.",
                          lw_show_value(view, c->mass_kg / (area_m2 / ACRE_M2), "kg", "lb", "kg")),
                   rate.source, "computed");
  }
  lw_item_handling(view, item, c->form, area_m2);
  if (view->latest.feed_doses == 0) { /* after what burns eyes and drowns people */
    lw_item_caution(
        item, "A program once begun must be kept up and the fish harvested: stopping lets the light, and "
              "the weeds, back in.");
  }
  return LW_OK;
}
