/* SPDX-License-Identifier: Apache-2.0 */
#include "work/entries.h"

#include "advice/program.h"
#include "advice/rules.h"
#include "base/text.h"
#include "work/form.h"
#include "work/write.h"

#include <stdio.h>
#include <string.h>

static lw_status no_memory(lw_error *err)
{
  return lw_fail(err, LW_MEMORY, "no memory for this entry");
}

static const char *date(const lw_desk *desk, lw_day day)
{
  char text[LW_DATE_TEXT];
  const char *copy = lw_arena_copy(desk->arena, lw_date_text(day, text));
  return copy ? copy : "";
}

static lw_status find_quantity(const lw_quantity **out, const char *name, lw_error *err)
{
  *out = lw_quantity_find(name);
  if (*out) {
    return LW_OK;
  }
  lw_text names = LW_TEXT(400);
  for (int i = 0; i < LW_QUANTITY_COUNT; i++) {
    lw_text_addf(&names, "%s%s", i ? ", " : "", lw_quantities[i].name);
  }
  (void)lw_fail(err, LW_INVALID, "'%.60s' is not a quantity Lakeward keeps; it keeps %s", name,
                lw_text_view(&names));
  lw_text_free(&names);
  return LW_INVALID;
}

static const char *unusual_question(const lw_desk *desk, const lw_quantity *q, lw_unit_system units,
                                    double value)
{
  char shown[LW_SHOWN_MAX];
  char low[LW_SHOWN_MAX];
  char high[LW_SHOWN_MAX];
  return lw_arena_format(desk->arena, "%s of %s? Usual is %s to %s. Undo it if it was a slip.", q->label,
                         lw_quantity_shown(q, value, units, shown),
                         lw_quantity_shown(q, q->usual_low, units, low),
                         lw_quantity_shown(q, q->usual_high, units, high));
}

/* A bare number takes the unit people of this place use: 18 is inches in US units. */
static lw_status read_value(double *out, bool *unusual, const lw_quantity *q, lw_unit_system units,
                            const char *text, lw_error *err)
{
  const char *end = NULL;
  double bare = 0;
  const char *unit = units == LW_US ? q->us_unit : q->metric_unit;
  char with_unit[120];
  if (!q->choices && lw_read_number(text, true, &bare, &end) && *end == '\0' && strcmp(unit, "1") != 0 &&
      snprintf(with_unit, sizeof with_unit, "%s %s", text, unit) < (int)sizeof with_unit) {
    text = with_unit;
  }
  return lw_quantity_read(out, unusual, q, text, err);
}

lw_status lw_add_reading(lw_entry *out, const lw_desk *desk, lw_id water, const char *quantity,
                         const lw_form *form, lw_error *err)
{
  static const char *const skip[] = {"value", "on", "quantity", NULL};
  const lw_quantity *q = NULL;
  lw_reading r;
  lw_kind_clear(LW_KIND_READING, &r);
  const char *text = lw_form_get(form, "value");
  const char *name = NULL;
  lw_unit_system units = LW_US;
  bool unusual = false;
  lw_status s = find_quantity(&q, quantity, err);
  if (s == LW_OK && !text) {
    s = lw_fail(err, LW_INVALID, "%s needs a value", quantity);
  }
  s = s == LW_OK ? lw_water_name(&name, desk, water, err) : s;
  s = s == LW_OK ? lw_desk_units(&units, desk, water, err) : s;
  s = s == LW_OK ? lw_form_apply(form, LW_KIND_READING, &r, skip, desk, err) : s;
  s = s == LW_OK ? read_value(&r.value, &unusual, q, units, text, err) : s;
  s = s == LW_OK ? lw_form_day(&r.day, "day", lw_form_get(form, "on"), false, desk, err) : s;
  if (s != LW_OK) {
    return s;
  }
  r.water = water;
  r.quantity = q->name;
  char shown_value[LW_SHOWN_MAX];
  const char *shown = lw_arena_format(desk->arena, "%s: %s %s on %s", name, q->label,
                                      lw_quantity_shown(q, r.value, units, shown_value), date(desk, r.day));
  if (!shown) {
    return no_memory(err);
  }
  s = lw_write_record(out, desk, LW_KIND_READING, 0, &r, shown, err);
  out->warning = s == LW_OK && unusual ? unusual_question(desk, q, units, r.value) : NULL;
  return s;
}

lw_status lw_add_note(lw_entry *out, const lw_desk *desk, lw_id water, const lw_form *form, lw_error *err)
{
  static const char *const skip[] = {"on", NULL};
  lw_note note;
  lw_kind_clear(LW_KIND_NOTE, &note);
  const char *name = NULL;
  lw_status s = lw_water_name(&name, desk, water, err);
  s = s == LW_OK ? lw_form_apply(form, LW_KIND_NOTE, &note, skip, desk, err) : s;
  s = s == LW_OK ? lw_form_day(&note.day, "day", lw_form_get(form, "on"), false, desk, err) : s;
  if (s != LW_OK) {
    return s;
  }
  note.water = water;
  const char *shown =
      lw_arena_format(desk->arena, "%s: note on %s: %.60s", name, date(desk, note.day), note.text);
  return shown ? lw_write_record(out, desk, LW_KIND_NOTE, 0, &note, shown, err) : no_memory(err);
}

lw_status lw_add_weather(lw_entry *out, const lw_desk *desk, lw_id water, const lw_form *form, lw_error *err)
{
  static const char *const skip[] = {"on", "forecast", NULL};
  lw_weather w;
  lw_kind_clear(LW_KIND_WEATHER, &w);
  const char *forecast = lw_form_get(form, "forecast");
  const char *name = NULL;
  lw_status s = lw_form_yes(&w.forecast, "forecast", forecast ? forecast : "yes", err);
  s = s == LW_OK ? lw_water_name(&name, desk, water, err) : s;
  s = s == LW_OK ? lw_form_apply(form, LW_KIND_WEATHER, &w, skip, desk, err) : s;
  s = s == LW_OK ? lw_form_day(&w.day, "day", lw_form_get(form, "on"), w.forecast, desk, err) : s;
  if (s == LW_OK && !w.rain_mm.known && !w.wind_m_s.known && !w.air_c.known && !w.cloud_pct.known) {
    s = lw_fail(err, LW_INVALID, "weather needs at least one of rain, wind, air or cloud");
  }
  if (s != LW_OK) {
    return s;
  }
  w.water = water;
  w.issued = desk->today;
  const char *shown = lw_arena_format(desk->arena, "%s: %s for %s", water ? name : "all waters",
                                      w.forecast ? "forecast" : "weather", date(desk, w.day));
  return shown ? lw_write_record(out, desk, LW_KIND_WEATHER, 0, &w, shown, err) : no_memory(err);
}

lw_status lw_add_override(lw_entry *out, const lw_desk *desk, lw_id water, const lw_form *form, lw_error *err)
{
  static const char *const skip[] = {NULL};
  lw_override o;
  lw_kind_clear(LW_KIND_OVERRIDE, &o);
  const char *name = NULL;
  lw_status s = lw_water_name(&name, desk, water, err);
  s = s == LW_OK ? lw_form_apply(form, LW_KIND_OVERRIDE, &o, skip, desk, err) : s;
  if (s == LW_OK && !lw_rule_find(o.rule)) {
    s = lw_fail(err, LW_NOT_FOUND, "there is no rule '%.60s'; 'lakeward rules' lists them", o.rule);
  }
  if (s != LW_OK) {
    return s;
  }
  o.water = water;
  o.day = desk->today;
  if (!*o.by) {
    o.by = desk->who;
  }
  const char *shown = lw_arena_format(desk->arena, "%s: rule %s set aside: %.80s", name, o.rule, o.reason);
  return shown ? lw_write_record(out, desk, LW_KIND_OVERRIDE, 0, &o, shown, err) : no_memory(err);
}

lw_status lw_remove_record(lw_entry *out, const lw_desk *desk, lw_kind_id kind, lw_id id, lw_error *err)
{
  const char *shown = lw_arena_format(desk->arena, "%s %lld removed", lw_kinds[kind].name, (long long)id);
  return shown ? lw_remove_as(out, desk, kind, id, shown, err) : no_memory(err);
}

lw_status lw_undo(lw_entry *out, const lw_desk *desk, lw_id target, lw_error *err)
{
  *out = (lw_entry){.kind = LW_KIND_COUNT};
  const lw_change change = {.who = desk->who, .why = desk->why, .action = "undo", .at = desk->now};
  lw_history_entry taken;
  lw_status s = lw_store_undo(desk->store, &change, target, desk->arena, &taken, err);
  if (s != LW_OK) {
    return s;
  }
  out->change = taken.undone_by;
  out->shown = lw_arena_format(desk->arena, "taken back: %s", taken.action);
  return out->shown ? lw_store_revision(desk->store, &out->revision, err) : no_memory(err);
}
