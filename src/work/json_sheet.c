/* SPDX-License-Identifier: Apache-2.0 */
#include "work/json.h"
#include "work/sheet.h"

#include <stdlib.h>
#include <stdio.h>
#include <string.h>

enum { CLARITY_HISTORY = 8 };

static json_t *quantity_json(const lw_quantity *q, double value, lw_unit_system units)
{
  char shown[LW_SHOWN_MAX];
  return json_pack("{s:f,s:s,s:s}", "value", value, "unit", q->unit, "shown",
                   lw_quantity_shown(q, value, units, shown));
}

static json_t *reading_json(const lw_reading *r, lw_unit_system units)
{
  const lw_quantity *q = lw_quantity_find(r->quantity);
  json_t *o = q ? quantity_json(q, r->value, units) : json_object();
  char word[LW_SHOWN_MAX];
  lw_json_set(o, "id", json_integer((json_int_t)r->id));
  lw_json_set(o, "quantity", json_string(r->quantity));
  lw_json_set(o, "word",
              q && q->choices ? lw_text_json(lw_choice_word(q->choices, (int)r->value, word, sizeof word))
                              : json_null());
  lw_json_set(o, "date", lw_day_json(r->day));
  lw_json_set(o, "depth", lw_value_json(r->depth_m, "m", "ft", "m", units));
  lw_json_set(o, "by", json_string(r->by));
  lw_json_set(o, "note", json_string(r->note));
  return o;
}

json_t *lw_sheet_readings_json(const lw_water_sheet *sheet, const char *only)
{
  json_t *list = json_array();
  for (size_t i = 0; i < sheet->reading_count; i++) {
    const lw_reading *r = &sheet->readings[i];
    if (!only || strcmp(only, r->quantity) == 0) {
      (void)json_array_append_new(list, reading_json(r, sheet->units));
    }
  }
  return json_pack("{s:o}", "readings", list);
}

static json_t *treatments_json(const lw_water_sheet *s)
{
  json_t *list = json_array();
  for (size_t i = 0; i < s->treatment_count; i++) {
    const lw_treatment *t = &s->treatments[i];
    const lw_material *m = lw_sheet_material(s, t->material);
    lw_maybe volume_m3 = {.known = t->volume_l.known, .value = t->volume_l.value / 1000.0};
    char shown[2 * LW_SHOWN_MAX];
    json_t *o = json_object();
    lw_json_set(o, "id", json_integer((json_int_t)t->id));
    lw_json_set(o, "material", json_string(m ? m->name : ""));
    lw_json_set(o, "grade", json_string(m ? m->grade : ""));
    lw_json_set(o, "purpose", json_string(t->purpose));
    lw_json_set(o, "mass", lw_value_json(lw_known(t->mass_kg), "kg", "lb", "kg", s->units));
    lw_json_set(o, "volume", lw_value_json(volume_m3, "m3", "gal", "L", s->units));
    lw_json_set(o, "shown", json_string(lw_treatment_shown(t, m, s->units, shown, sizeof shown)));
    lw_json_set(o, "date", lw_day_json(t->day));
    lw_json_set(o, "by", json_string(t->by));
    lw_json_set(o, "conditions", json_string(t->conditions));
    lw_json_set(o, "note", json_string(t->note));
    (void)json_array_append_new(list, o);
  }
  return list;
}

static json_t *latest_json(const lw_water_sheet *s)
{
  json_t *list = json_array();
  for (int q = 0; q < LW_QUANTITY_COUNT; q++) {
    const lw_seen *seen = &s->latest.seen[q];
    if (!seen->known) {
      continue;
    }
    json_t *o = quantity_json(&lw_quantities[q], seen->value, s->units);
    lw_json_set(o, "quantity", json_string(lw_quantities[q].name));
    lw_json_set(o, "label", json_string(lw_quantities[q].label));
    lw_json_set(o, "date", lw_day_json(seen->day));
    lw_json_set(o, "fresh", json_boolean(seen->fresh));
    (void)json_array_append_new(list, o);
  }
  return list;
}

static json_t *notes_json(const lw_water_sheet *s)
{
  json_t *list = json_array();
  for (size_t i = 0; i < s->note_count; i++) {
    const lw_note *n = &s->notes[i];
    (void)json_array_append_new(list, json_pack("{s:I,s:o,s:s,s:s}", "id", (json_int_t)n->id, "date",
                                                lw_day_json(n->day), "text", n->text, "by", n->by));
  }
  return list;
}

static json_t *overrides_json(const lw_water_sheet *s)
{
  json_t *list = json_array();
  for (size_t i = 0; i < s->override_count; i++) {
    const lw_override *x = &s->overrides[i];
    (void)json_array_append_new(list, json_pack("{s:I,s:s,s:s,s:o,s:o,s:s}", "id", (json_int_t)x->id, "rule",
                                                x->rule, "reason", x->reason, "date", lw_day_json(x->day),
                                                "until", lw_day_json(x->until), "by", x->by));
  }
  return list;
}

static json_t *zones_json(const lw_water_sheet *s)
{
  json_t *list = json_array();
  for (size_t i = 0; i < s->zone_count; i++) {
    const lw_zone *z = &s->zones[i];
    json_t *outline = z->outline ? json_loads(z->outline, 0, NULL) : json_null();
    (void)json_array_append_new(list, json_pack("{s:I,s:s,s:s,s:o,s:o,s:s}", "id", (json_int_t)z->id, "name",
                                                z->name, "kind", z->kind, "area",
                                                lw_value_json(z->area_m2, "m2", "acre", "ha", s->units),
                                                "outline", outline ? outline : json_null(), "note", z->note));
  }
  return list;
}

static json_t *word_json(const char *text)
{
  return text && *text ? json_string(text) : json_null();
}

static json_t *facts_json(const lw_water_sheet *s)
{
  const lw_water *w = &s->water;
  lw_unit_system u = s->units;
  json_t *o = json_object();
  json_t *outline = w->outline ? json_loads(w->outline, 0, NULL) : NULL;
  char place[80] = "";
  if (w->latitude.known && w->longitude.known) {
    (void)snprintf(place, sizeof place, "%.5f,%.5f", w->latitude.value, w->longitude.value);
  }
  lw_json_set(o, "name", json_string(w->name));
  lw_json_set(o, "place", word_json(place));
  lw_json_set(o, "elevation", lw_value_json(w->elevation_m, "m", "ft", "m", u));
  lw_json_set(o, "area", lw_value_json(w->area_m2, "m2", "acre", "ha", u));
  lw_json_set(o, "mean_depth", lw_value_json(w->mean_depth_m, "m", "ft", "m", u));
  lw_json_set(o, "max_depth", lw_value_json(w->max_depth_m, "m", "ft", "m", u));
  lw_json_set(o, "outline", outline);
  lw_json_set(o, "aim_low", lw_value_json(w->aim_low_m, "m", "in", "cm", u));
  lw_json_set(o, "aim_high", lw_value_json(w->aim_high_m, "m", "in", "cm", u));
  lw_json_set(o, "alarm", lw_value_json(w->alarm_m, "m", "in", "cm", u));
  lw_json_set(o, "start_temperature", lw_value_json(w->start_temperature_c, "degC", "degF", "degC", u));
  lw_json_set(o, "season_start", word_json(w->season_start));
  lw_json_set(o, "season_end", word_json(w->season_end));
  lw_json_set(o, "outflow", lw_value_json(w->outflow_m3_s, "m3/s", "cfs", "L/s", u));
  lw_json_set(o, "pellets", lw_value_json(w->pellets_kg_ha_day, "kg/ha/day", "lb/acre/day", "kg/ha/day", u));
  lw_json_set(o, "use", word_json(w->use));
  lw_json_set(o, "harvest", word_json(w->harvest));
  lw_json_set(o, "downstream", word_json(w->downstream));
  lw_json_set(o, "fish", word_json(w->fish));
  lw_json_set(o, "units", word_json(w->units));
  lw_json_set(o, "note", word_json(w->note));
  return o;
}

static json_t *aim_json(const lw_program *p, lw_unit_system u)
{
  return json_pack("{s:o,s:o,s:o}", "low", lw_value_json(lw_known(p->aim_low_m), "m", "in", "cm", u), "high",
                   lw_value_json(lw_known(p->aim_high_m), "m", "in", "cm", u), "alarm",
                   lw_value_json(lw_known(p->alarm_m), "m", "in", "cm", u));
}

json_t *lw_sheet_json(const lw_water_sheet *s)
{
  lw_unit_system u = s->units;
  const lw_latest *l = &s->latest;
  json_t *o = json_object();
  lw_json_set(o, "id", json_integer((json_int_t)s->water.id));
  lw_json_set(o, "name", json_string(s->water.name));
  lw_json_set(o, "units", json_string(u == LW_US ? "us" : "metric"));
  lw_json_set(o, "facts", facts_json(s));
  lw_json_set(o, "area", lw_value_json(l->area_m2, "m2", "acre", "ha", u));
  lw_json_set(o, "area_from", word_json(l->area_from));
  lw_json_set(o, "perimeter", lw_value_json(s->water.outline_perimeter_m, "m", "ft", "m", u));
  lw_json_set(o, "mean_depth", lw_value_json(l->mean_depth_m, "m", "ft", "m", u));
  lw_json_set(o, "volume", lw_value_json(l->volume_m3, "m3", "acre-ft", "m3", u));
  lw_json_set(o, "volume_from", word_json(l->volume_from));
  lw_json_set(o, "retention", lw_value_json(l->retention_day, "day", "day", "day", u));
  lw_json_set(o, "aim", aim_json(&s->program, u));
  lw_json_set(o, "season",
              json_pack("{s:o,s:o,s:i}", "from", lw_day_json(l->season_start), "to",
                        lw_day_json(l->season_end), "doses", l->feed_doses));
  lw_json_set(o, "latest", latest_json(s));
  json_t *readings = lw_sheet_readings_json(s, NULL);
  lw_json_set(o, "readings", json_incref(json_object_get(readings, "readings")));
  json_decref(readings);
  lw_json_set(o, "treatments", treatments_json(s));
  lw_json_set(o, "notes", notes_json(s));
  lw_json_set(o, "overrides", overrides_json(s));
  lw_json_set(o, "zones", zones_json(s));
  return o;
}

static json_t *clarity_json(const lw_reading *readings, size_t count, lw_unit_system units)
{
  json_t *list = json_array();
  for (size_t i = count; i > 0 && json_array_size(list) < CLARITY_HISTORY; i--) {
    const lw_reading *r = &readings[i - 1];
    if (strcmp(r->quantity, "secchi") == 0) {
      json_t *o = quantity_json(&lw_quantities[LW_SECCHI], r->value, units);
      lw_json_set(o, "date", lw_day_json(r->day));
      (void)json_array_insert_new(list, 0, o);
    }
  }
  return list;
}

static json_t *line_json(const lw_case *c)
{
  lw_latest l;
  lw_latest_find(&l, c);
  json_t *o = json_object();
  json_t *history = clarity_json(c->readings, c->reading_count, c->units);
  size_t n = json_array_size(history);
  lw_json_set(o, "id", json_integer((json_int_t)c->water->id));
  lw_json_set(o, "name", json_string(c->water->name));
  lw_json_set(o, "units", json_string(c->units == LW_US ? "us" : "metric"));
  lw_json_set(o, "area", lw_value_json(l.area_m2, "m2", "acre", "ha", c->units));
  lw_json_set(o, "mean_depth", lw_value_json(l.mean_depth_m, "m", "ft", "m", c->units));
  lw_json_set(o, "volume", lw_value_json(l.volume_m3, "m3", "acre-ft", "m3", c->units));
  lw_json_set(o, "aim_low", lw_value_json(lw_known(c->program.aim_low_m), "m", "in", "cm", c->units));
  lw_json_set(o, "aim_high", lw_value_json(lw_known(c->program.aim_high_m), "m", "in", "cm", c->units));
  lw_json_set(o, "alarm", lw_value_json(lw_known(c->program.alarm_m), "m", "in", "cm", c->units));
  lw_json_set(o, "clarity", n ? json_incref(json_array_get(history, n - 1)) : NULL);
  lw_json_set(o, "clarity_history", history);
  return o;
}

static int by_name(const void *a, const void *b)
{
  return strcmp((*(const lw_case *const *)a)->water->name, (*(const lw_case *const *)b)->water->name);
}

lw_status lw_work_waters_json(json_t **out, const lw_desk *desk, lw_error *err)
{
  lw_book book;
  *out = NULL;
  lw_status s = lw_book_read(&book, desk, 0, err);
  if (s != LW_OK) {
    return s;
  }
  lw_case *cases = LW_NEW(desk->arena, lw_case, book.water_count);
  const lw_case **order = LW_NEW(desk->arena, const lw_case *, book.water_count);
  if (!cases || !order) {
    return lw_fail(err, LW_MEMORY, "no memory for the list of waters");
  }
  for (size_t i = 0; s == LW_OK && i < book.water_count; i++) {
    s = lw_book_case(&cases[i], &book, i, desk->today, desk, err);
    order[i] = &cases[i];
  }
  if (s != LW_OK) {
    return s;
  }
  qsort(order, book.water_count, sizeof order[0], by_name);
  json_t *waters = json_array();
  for (size_t i = 0; i < book.water_count; i++) {
    (void)json_array_append_new(waters, line_json(order[i]));
  }
  *out = json_pack("{s:o}", "waters", waters);
  return LW_OK;
}
