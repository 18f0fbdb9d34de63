/* SPDX-License-Identifier: Apache-2.0 */
#include "work/shelf_view.h"

#include "advice/season.h"
#include "water/cost.h"
#include "work/json.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* One expected use, to find the day on which the shelf runs out. */
typedef struct use {
  lw_day day;
  size_t material;
  double packages;
} use;

typedef struct uses {
  use *list;
  size_t count, capacity;
} uses;

static void add_use(uses *u, const lw_shelf *shelf, lw_day day, const char *material, double mass_kg)
{
  for (size_t i = 0; i < shelf->count && u->count < u->capacity; i++) {
    const lw_material *m = shelf->lines[i].material;
    if (strcmp(m->name, material) == 0 && m->package_kg.known && m->package_kg.value > 0) {
      u->list[u->count++] = (use){day, i, mass_kg / m->package_kg.value};
    }
  }
}

static void add_plan(uses *u, const lw_shelf *shelf, const lw_case *facts, lw_arena *arena)
{
  lw_season_plan plan;
  lw_view view = {.facts = facts, .arena = arena};
  lw_latest_find(&view.latest, facts);
  if (lw_season_reckon(&plan, &view) != LW_OK) {
    return;
  }
  for (size_t i = 0; i < plan.dose_count; i++) {
    add_use(u, shelf, plan.doses[i].day, plan.material, plan.doses[i].mass_kg);
  }
}

static void add_lime(uses *u, const lw_shelf *shelf, const lw_water_advice *advice, lw_day today)
{
  for (size_t i = 0; i < advice->item_count; i++) {
    const lw_item *item = &advice->items[i];
    for (size_t k = 0; item->verdict == LW_DO && k < item->choice_count; k++) {
      if (strcmp(item->subject, "lime") == 0 && item->choices[k].chosen) {
        add_use(u, shelf, today, item->choices[k].material, item->choices[k].mass_kg);
      }
    }
  }
}

static int by_day(const void *a, const void *b)
{
  const use *x = a;
  const use *y = b;
  return x->day != y->day ? (x->day > y->day) - (x->day < y->day)
                          : (x->material > y->material) - (x->material < y->material);
}

static void draw_down(lw_shelf *shelf, const uses *u)
{
  for (size_t i = 0; i < u->count; i++) {
    lw_shelf_line *line = &shelf->lines[u->list[i].material];
    line->season_need = lw_known(line->season_need.value + u->list[i].packages);
    double have = line->stock.packages_left > 0 ? line->stock.packages_left : 0;
    double short_by = line->season_need.value - have;
    if (short_by > 1e-9) {
      line->enough_until = line->enough_until == LW_NO_DAY ? u->list[i].day : line->enough_until;
      line->to_buy = ceil(short_by - 1e-9);
    }
  }
}

static void fill_line(lw_shelf_line *line, const lw_book *book, size_t i)
{
  const lw_material *m = &book->materials[i];
  *line = (lw_shelf_line){
      .material = m, .stock = book->stock[i], .enough_until = LW_NO_DAY, .used = lw_book_used(book, m)};
  line->bought = line->stock.packages_left + line->used;
  lw_grade grade;
  double per_kg = 0;
  if (!m->price.known || !m->package_kg.known || m->package_kg.value <= 0) {
    return;
  }
  if (strcmp(m->kind, "fertilizer") == 0) {
    line->active = "P2O5";
    if (lw_grade_parse(&grade, m->grade, NULL) == LW_OK &&
        lw_phosphorus_cost(&per_kg, m->price.value, m->package_kg.value, &grade, NULL) == LW_OK) {
      line->price_per_kg_active = lw_known(per_kg);
    }
  } else if (strcmp(m->kind, "lime") == 0) {
    double effective = lw_or(m->neutralizing_value_pct, 100) * lw_or(m->fineness_pct, 100) / 1e4;
    line->active = "CaCO3";
    if (effective > 0) {
      line->price_per_kg_active = lw_known(m->price.value / m->package_kg.value / effective);
    }
  }
}

static lw_status find_uses(uses *u, lw_shelf *shelf, const lw_desk *desk, lw_error *err)
{
  u->capacity = shelf->book.water_count * (LW_SEASON_DOSES + 1);
  u->list = LW_NEW(desk->arena, use, u->capacity);
  lw_water_advice *advice = LW_NEW(desk->arena, lw_water_advice, 1);
  if (!u->list || !advice) {
    return lw_fail(err, LW_MEMORY, "no memory for the shelf");
  }
  lw_status s = LW_OK;
  for (size_t i = 0; s == LW_OK && i < shelf->book.water_count; i++) {
    lw_case facts;
    s = lw_book_case(&facts, &shelf->book, i, desk->today, desk, err);
    s = s == LW_OK ? lw_advise(advice, &facts, desk->arena, err) : s;
    if (s == LW_OK) {
      add_lime(u, shelf, advice, desk->today);
      add_plan(u, shelf, &facts, desk->arena);
    }
  }
  return s;
}

lw_status lw_work_shelf(lw_shelf *out, const lw_desk *desk, lw_error *err)
{
  uses u = {0};
  memset(out, 0, sizeof *out);
  lw_status s = lw_book_read(&out->book, desk, 0, err);
  if (s != LW_OK) {
    return s;
  }
  out->count = out->book.material_count;
  out->lines = LW_NEW(desk->arena, lw_shelf_line, out->count);
  if (!out->lines) {
    return lw_fail(err, LW_MEMORY, "no memory for the shelf");
  }
  for (size_t i = 0; i < out->count; i++) {
    fill_line(&out->lines[i], &out->book, i);
  }
  s = find_uses(&u, out, desk, err);
  if (s == LW_OK && u.count) {
    qsort(u.list, u.count, sizeof *u.list, by_day);
    draw_down(out, &u);
  }
  return s;
}

static json_t *lots_json(const lw_shelf *shelf, const lw_material *m)
{
  json_t *list = json_array();
  for (size_t i = 0; i < shelf->book.lot_count; i++) {
    const lw_lot *l = &shelf->book.lots[i];
    if (l->material == m->id) {
      (void)json_array_append_new(list,
                                  json_pack("{s:I,s:o,s:f,s:o,s:s}", "id", (json_int_t)l->id, "date",
                                            lw_day_json(l->day), "packages", l->packages, "price",
                                            lw_money_json(l->price, shelf->book.money), "note", l->note));
    }
  }
  return list;
}

static json_t *package_json(const lw_material *m, lw_unit_system u)
{
  if (m->package_l.known) {
    return lw_value_json(m->package_l, "L", "gal", "L", u);
  }
  bool heavy = m->package_kg.value > 500;
  return lw_value_json(m->package_kg, "kg", heavy ? "ton" : "lb", heavy ? "t" : "kg", u);
}

static json_t *line_json(const lw_shelf *shelf, const lw_shelf_line *line)
{
  const lw_material *m = line->material;
  lw_unit_system u = shelf->book.units;
  lw_maybe per = line->price_per_kg_active;
  per.value *= u == LW_US ? 0.45359237 : 1;
  json_t *o = json_object();
  lw_json_set(o, "id", json_integer((json_int_t)m->id));
  lw_json_set(o, "name", json_string(m->name));
  lw_json_set(o, "kind", json_string(m->kind));
  lw_json_set(o, "form", json_string(m->form));
  lw_json_set(o, "grade", json_string(m->grade));
  lw_json_set(o, "package", package_json(m, u));
  lw_json_set(o, "density", lw_value_json(m->density_kg_l, "kg/L", "lb/gal", "kg/L", u));
  lw_json_set(o, "price", lw_money_json(m->price, shelf->book.money));
  lw_json_set(o, "left", line->stock.counted ? json_real(line->stock.packages_left) : NULL);
  lw_json_set(o, "bought", json_real(line->bought));
  lw_json_set(o, "used", json_real(line->used));
  lw_json_set(o, "price_per_active", lw_money_json(per, shelf->book.money));
  lw_json_set(o, "active", lw_text_json(line->active));
  lw_json_set(o, "active_per", json_string(u == LW_US ? "lb" : "kg"));
  lw_json_set(o, "season_need", line->season_need.known ? json_real(line->season_need.value) : NULL);
  lw_json_set(o, "enough_until", lw_day_json(line->enough_until));
  lw_json_set(o, "neutralizing_value", lw_value_json(m->neutralizing_value_pct, "%", "%", "%", u));
  lw_json_set(o, "fineness", lw_value_json(m->fineness_pct, "%", "%", "%", u));
  lw_json_set(o, "note", json_string(m->note));
  lw_json_set(o, "lots", lots_json(shelf, m));
  return o;
}

json_t *lw_shelf_json(const lw_shelf *shelf)
{
  json_t *materials = json_array();
  json_t *buy = json_array();
  for (size_t i = 0; i < shelf->count; i++) {
    const lw_shelf_line *line = &shelf->lines[i];
    (void)json_array_append_new(materials, line_json(shelf, line));
    if (line->to_buy > 0) {
      lw_maybe cost = {.known = line->material->price.known,
                       .value = line->material->price.value * line->to_buy};
      (void)json_array_append_new(
          buy,
          json_pack("{s:s,s:f,s:o,s:o,s:s}", "material", line->material->name, "packages", line->to_buy,
                    "cost", lw_money_json(cost, shelf->book.money), "by", lw_day_json(line->enough_until),
                    "why", "for today's lime and the doses expected to the end of the season"));
    }
  }
  return json_pack("{s:s,s:o,s:o}", "money", shelf->book.money, "materials", materials, "buy", buy);
}
