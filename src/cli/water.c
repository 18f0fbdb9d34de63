/* SPDX-License-Identifier: Apache-2.0 */
/* Commands about waters. */
#include "cli/commands.h"

#include "exchange/outline.h"
#include "work/entries.h"
#include "work/json.h"
#include "work/sheet.h"

#include <string.h>

#define END                                                                                                  \
  {                                                                                                          \
    NULL, NULL, NULL                                                                                         \
  }

static const cli_option facts[] = {
    {"outline", "FILE", "outline from GeoJSON, KML, GPX, Shapefile or GeoPackage"},
    {"area", "A", "surface, for example \"12 acre\" (default: from the outline)"},
    {"mean-depth", "D", "mean depth, for example \"6 ft\""},
    {"max-depth", "D", "greatest depth"},
    {"place", "LAT,LON", "degrees north and east, for example 33.1,-86.4"},
    {"elevation", "H", "above the sea"},
    {"aim-low", "D", "shallowest disk depth of the aim (default 18 in)"},
    {"aim-high", "D", "deepest disk depth of the aim (default 24 in)"},
    {"alarm", "D", "disk depth under which it is too green (default 12 in)"},
    {"start-temperature", "T", "water temperature at which feeding may begin (default 60 degF)"},
    {"season-start", "MM-DD", "first day of the feeding season"},
    {"season-end", "MM-DD", "last day of the feeding season"},
    {"outflow", "Q", "usual outflow in the season, for example \"1.2 cfs\""},
    {"pellets", "R", "fish feed given, for example \"5 lb/acre/day\""},
    {"use", "USE", "fishing, clear-water, wildlife, livestock or swimming"},
    {"harvest", "yes|no", "does anybody take fish out?"},
    {"downstream", "WHO", "nobody, neighbours, permit-needed or permit-held"},
    {"fish", "STATE", "stocked, none or unbalanced"},
    {"units", "us|metric", "units for this water"},
    {"note", "TEXT", "a remark"},
    {"dry-run", NULL, "say what would be done and change nothing"},
    END};

/* --outline names a file here; the page sends the geometry itself. "name" is the argument. */
static lw_form facts_form(cli_call *call, const char *name)
{
  size_t n = 0;
  for (size_t i = 0; i < call->field_count; i++) {
    lw_field f = call->fields[i];
    if (strcmp(f.key, "dry-run") == 0) {
      continue;
    }
    if (strcmp(f.key, "outline") == 0) {
      f.key = "outline-file";
    }
    call->fields[n++] = f;
  }
  if (name) {
    call->fields[n++] = (lw_field){"name", name};
  }
  call->field_count = n;
  return cli_form(call);
}

static lw_status dry_run(cli_call *call, lw_error *err)
{
  const char *file = cli_option_text(call, "outline");
  lw_text_addf(call->out, "Would add %s. Nothing was changed.\n", call->arguments[0]);
  if (!file) {
    return LW_OK;
  }
  lw_outline o;
  char area[LW_SHOWN_MAX];
  char shore[LW_SHOWN_MAX];
  lw_status s = lw_outline_read(&o, file, call->desk.geo_program, call->desk.arena, err);
  if (s == LW_OK) {
    lw_text_addf(call->out, "Outline: %s, shore %s, %zu part%s, %zu island%s, %zu points.\n",
                 lw_value_shown(o.area_m2, "m2", "acre", 4, area),
                 lw_value_shown(o.perimeter_m, "m", "ft", 4, shore), o.parts, o.parts == 1 ? "" : "s",
                 o.islands, o.islands == 1 ? "" : "s", o.points);
  }
  return s;
}

static lw_status run_add(cli_call *call, lw_error *err)
{
  lw_entry entry;
  if (cli_option_text(call, "dry-run")) {
    return dry_run(call, err);
  }
  const lw_form form = facts_form(call, call->arguments[0]);
  lw_status s = lw_add_water(&entry, &call->desk, &form, err);
  return s == LW_OK ? cli_print_entry(call, &entry, err) : s;
}

const cli_command cli_water_add = {"water add", "NAME", "Add a water with what is known of it.", facts, 1, 1,
                                   CLI_STORE,   run_add};

static lw_status run_set(cli_call *call, lw_error *err)
{
  lw_id id = 0;
  lw_entry entry;
  lw_status s = cli_water_id(&id, call, call->arguments[0], err);
  const lw_form form = facts_form(call, NULL);
  if (s == LW_OK && form.count == 0) {
    s = lw_fail(err, LW_INVALID, "nothing to change was given; see 'lakeward help water set'");
  }
  s = s == LW_OK ? lw_change_water(&entry, &call->desk, id, &form, err) : s;
  return s == LW_OK ? cli_print_entry(call, &entry, err) : s;
}

const cli_command cli_water_set = {"water set", "NAME", "Change facts of a water.", facts, 1, 1,
                                   CLI_STORE,   run_set};

static void print_fact(lw_text *out, const char *label, lw_maybe value, const char *unit,
                       const char *shown_unit, const char *from)
{
  char shown[LW_SHOWN_MAX];
  if (value.known) {
    lw_text_addf(out, "  %-12s %s%s%s%s\n", label, lw_value_shown(value.value, unit, shown_unit, 3, shown),
                 *from ? " (" : "", from, *from ? ")" : "");
  }
}

static void print_sheet(lw_text *out, const lw_water_sheet *s)
{
  bool us = s->units == LW_US;
  const lw_latest *l = &s->latest;
  lw_text_addf(out, "%s\n", s->water.name);
  print_fact(out, "area", l->area_m2, "m2", us ? "acre" : "ha", l->area_from);
  print_fact(out, "shore", s->water.outline_perimeter_m, "m", us ? "ft" : "m", "");
  print_fact(out, "mean depth", l->mean_depth_m, "m", us ? "ft" : "m", "");
  print_fact(out, "volume", l->volume_m3, "m3", us ? "acre-ft" : "m3", l->volume_from);
  print_fact(out, "stay", l->retention_day, "day", "day", "volume / outflow");
  lw_text_add(out, "Latest readings\n");
  for (int q = 0; q < LW_QUANTITY_COUNT; q++) {
    const lw_seen *seen = &l->seen[q];
    char shown[LW_SHOWN_MAX];
    char day[LW_DATE_TEXT];
    if (seen->known) {
      lw_text_addf(out, "  %-24s %-12s %s%s\n", lw_quantities[q].label,
                   lw_quantity_shown(&lw_quantities[q], seen->value, s->units, shown),
                   lw_date_text(seen->day, day), seen->fresh ? "" : "  (old)");
    }
  }
  lw_text_addf(out, "Treatments this season: %d; on record: %zu\n", l->feed_doses, s->treatment_count);
}

static lw_status run_show(cli_call *call, lw_error *err)
{
  lw_water_sheet *sheet = LW_NEW(call->desk.arena, lw_water_sheet, 1);
  if (!sheet) {
    return lw_fail(err, LW_MEMORY, "no memory for the water");
  }
  lw_status s = lw_work_sheet(sheet, &call->desk, call->arguments[0], 0, err);
  if (s != LW_OK) {
    return s;
  }
  if (call->json) {
    return cli_print_json(call, lw_sheet_json(sheet), err);
  }
  print_sheet(call->out, sheet);
  return LW_OK;
}

static const cli_option none[] = {END};

const cli_command cli_water_show = {"water show", "NAME",  "All that is known of a water.", none, 1, 1,
                                    CLI_STORE,    run_show};

static lw_status run_list(cli_call *call, lw_error *err)
{
  json_t *json = NULL;
  lw_status s = lw_work_waters_json(&json, &call->desk, err);
  if (s != LW_OK || call->json) {
    return s == LW_OK ? cli_print_json(call, json, err) : s;
  }
  json_t *list = json_object_get(json, "waters");
  for (size_t i = 0; i < json_array_size(list); i++) {
    json_t *w = json_array_get(list, i);
    const char *area = json_string_value(json_object_get(json_object_get(w, "area"), "shown"));
    const char *disk = json_string_value(json_object_get(json_object_get(w, "clarity"), "shown"));
    const char *day = json_string_value(json_object_get(json_object_get(w, "clarity"), "date"));
    lw_text_addf(call->out, "%-24s %-12s %s%s%s\n", json_string_value(json_object_get(w, "name")),
                 area ? area : "-", disk ? disk : "no disk reading", day ? " on " : "", day ? day : "");
  }
  if (json_array_size(list) == 0) {
    lw_text_add(call->out,
                "No waters yet: lakeward water add \"Name\" --area \"12 acre\" --mean-depth \"6 ft\"\n");
  }
  json_decref(json);
  return LW_OK;
}

const cli_command cli_water_list = {"water list", "",      "All waters with area and clarity.", none, 0, 0,
                                    CLI_STORE,    run_list};

static lw_status run_remove(cli_call *call, lw_error *err)
{
  lw_id id = 0;
  lw_entry entry;
  lw_status s = cli_water_id(&id, call, call->arguments[0], err);
  s = s == LW_OK ? lw_remove_record(&entry, &call->desk, LW_KIND_WATER, id, err) : s;
  return s == LW_OK ? cli_print_entry(call, &entry, err) : s;
}

const cli_command cli_water_remove = {"water remove",
                                      "NAME",
                                      "Take a water without records out (undo brings it "
                                      "back).",
                                      none,
                                      1,
                                      1,
                                      CLI_STORE,
                                      run_remove};
