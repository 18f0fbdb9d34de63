/* SPDX-License-Identifier: Apache-2.0 */
#include "work/json.h"

#include <string.h>

static json_t *cited_json(const lw_cited *c)
{
  json_t *o = json_object();
  lw_json_set(o, "name", lw_text_json(c->name));
  lw_json_set(o, "value", json_real(c->value));
  lw_json_set(o, "unit", lw_text_json(c->unit));
  lw_json_set(o, "shown", lw_text_json(c->shown));
  lw_json_set(o, "date", lw_day_json(c->day));
  return o;
}

static json_t *reason_json(const lw_reason *r)
{
  json_t *o = json_object();
  json_t *inputs = json_array();
  for (size_t i = 0; i < r->input_count; i++) {
    (void)json_array_append_new(inputs, cited_json(&r->inputs[i]));
  }
  lw_json_set(o, "rule", lw_text_json(r->rule));
  lw_json_set(o, "text", lw_text_json(r->text));
  lw_json_set(o, "decides", json_boolean(r->decides));
  lw_json_set(o, "set_aside", lw_text_json(r->set_aside));
  lw_json_set(o, "inputs", inputs);
  lw_json_set(o, "source", lw_text_json(r->source));
  lw_json_set(o, "basis", lw_text_json(r->basis));
  return o;
}

static json_t *amount_json(const lw_amount *a)
{
  if (!a->known) {
    return json_null();
  }
  json_t *o = json_object();
  lw_json_set(o, "value", json_real(a->value));
  lw_json_set(o, "unit", lw_text_json(a->unit));
  lw_json_set(o, "low", json_real(a->low));
  lw_json_set(o, "high", json_real(a->high));
  lw_json_set(o, "shown", lw_text_json(a->shown));
  lw_json_set(o, "method", lw_text_json(a->method));
  lw_json_set(o, "query", lw_text_json(a->method_query));
  return o;
}

static json_t *maybe_json(lw_maybe value)
{
  return value.known ? json_real(value.value) : json_null();
}

static json_t *choice_json(const lw_choice *c, const char *active, lw_unit_system units, const char *money)
{
  json_t *o = json_object();
  lw_maybe per_unit = c->price_per_kg_active; /* money per kg, or per lb for US eyes */
  if (units == LW_US) {
    per_unit.value *= 0.45359237;
  }
  lw_json_set(o, "material", lw_text_json(c->material));
  lw_json_set(o, "form", lw_text_json(c->form));
  lw_json_set(o, "grade", lw_text_json(c->grade));
  lw_json_set(o, "mass", lw_value_json(lw_known(c->mass_kg), "kg", "lb", "kg", units));
  lw_maybe volume_m3 = {.known = c->volume_l.known, .value = c->volume_l.value / 1000.0};
  lw_json_set(o, "volume", lw_value_json(volume_m3, "m3", "gal", "L", units));
  lw_json_set(o, "packages", maybe_json(c->packages));
  lw_json_set(o, "left", maybe_json(c->left));
  lw_json_set(o, "to_buy", maybe_json(c->to_buy));
  lw_json_set(o, "cost", lw_money_json(c->cost, money));
  lw_json_set(o, "price_per_active", lw_money_json(per_unit, money));
  lw_json_set(o, "active", lw_text_json(active));
  lw_json_set(o, "active_per", json_string(units == LW_US ? "lb" : "kg"));
  lw_json_set(o, "shown", lw_text_json(c->shown));
  lw_json_set(o, "chosen", json_boolean(c->chosen));
  return o;
}

static json_t *lines_json(const char *const *lines, size_t count)
{
  json_t *list = json_array();
  for (size_t i = 0; i < count; i++) {
    (void)json_array_append_new(list, json_string(lines[i]));
  }
  return list;
}

static json_t *item_json(const lw_item *item, lw_unit_system units, const char *money)
{
  json_t *o = json_object();
  json_t *reasons = json_array();
  json_t *choices = json_array();
  for (size_t i = 0; i < item->reason_count; i++) {
    (void)json_array_append_new(reasons, reason_json(&item->reasons[i]));
  }
  for (size_t i = 0; i < item->choice_count; i++) {
    (void)json_array_append_new(choices, choice_json(&item->choices[i], item->choice_active, units, money));
  }
  lw_json_set(o, "subject", lw_text_json(item->subject));
  lw_json_set(o, "verdict", lw_text_json(lw_verdict_word(item->verdict)));
  lw_json_set(o, "headline", lw_text_json(item->headline));
  lw_json_set(o, "amount", amount_json(&item->amount));
  lw_json_set(o, "by", lw_day_json(item->by));
  lw_json_set(o, "look_again", lw_day_json(item->look_again));
  lw_json_set(o, "urgency", json_integer(item->urgency));
  lw_json_set(o, "measure", lw_text_json(item->measure));
  lw_json_set(o, "reasons", reasons);
  lw_json_set(o, "cautions", lines_json(item->cautions, item->caution_count));
  lw_json_set(o, "steps", lines_json(item->steps, item->step_count));
  lw_json_set(o, "choices", choices);
  return o;
}

json_t *lw_now_json(const lw_now *now)
{
  json_t *waters = json_array();
  for (size_t i = 0; i < now->count; i++) {
    const lw_water_advice *w = &now->waters[i];
    json_t *items = json_array();
    for (size_t k = 0; k < w->item_count; k++) {
      (void)json_array_append_new(items, item_json(&w->items[k], w->units, w->money));
    }
    (void)json_array_append_new(
        waters, json_pack("{s:s,s:I,s:o}", "water", w->water, "id", (json_int_t)w->water_id, "items", items));
  }
  return json_pack("{s:o,s:I,s:o}", "as_of", lw_day_json(now->as_of), "revision", (json_int_t)now->revision,
                   "waters", waters);
}

static json_t *dose_json(const lw_season_dose *d, const lw_season_sheet *sheet)
{
  json_t *o = json_object();
  lw_maybe volume_m3 = {.known = d->volume_l.known, .value = d->volume_l.value / 1000.0};
  lw_json_set(o, "date", lw_day_json(d->day));
  lw_json_set(o, "number", json_integer(d->number));
  lw_json_set(o, "first", json_boolean(d->first));
  lw_json_set(o, "material", lw_text_json(sheet->plan.material));
  lw_json_set(o, "packages", maybe_json(d->packages));
  lw_json_set(o, "mass", lw_value_json(lw_known(d->mass_kg), "kg", "lb", "kg", sheet->units));
  lw_json_set(o, "volume", lw_value_json(volume_m3, "m3", "gal", "L", sheet->units));
  lw_json_set(o, "cost", lw_money_json(d->cost, sheet->money));
  return o;
}

json_t *lw_season_json(const lw_season_sheet *sheet)
{
  const lw_season_plan *p = &sheet->plan;
  json_t *doses = json_array();
  for (size_t i = 0; i < p->dose_count; i++) {
    (void)json_array_append_new(doses, dose_json(&p->doses[i], sheet));
  }
  json_t *o = json_object();
  json_t *total = json_object();
  lw_json_set(total, "packages", maybe_json(p->packages));
  lw_json_set(total, "cost", lw_money_json(p->cost, sheet->money));
  lw_json_set(total, "left", maybe_json(p->left));
  lw_json_set(o, "water", lw_text_json(sheet->water));
  lw_json_set(o, "from", lw_day_json(p->from));
  lw_json_set(o, "to", lw_day_json(p->to));
  lw_json_set(o, "doses", doses);
  lw_json_set(o, "total", total);
  lw_json_set(o, "assumptions", lines_json(p->assumptions, p->assumption_count));
  lw_json_set(o, "note",
              json_string("A calendar by the rules, not a forecast: lower the disk before each dose."));
  return o;
}
