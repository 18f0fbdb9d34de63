/* SPDX-License-Identifier: Apache-2.0 */
#include "work/api_routes.h"

#include "work/entries.h"
#include "work/json.h"
#include "work/surveys.h"
#include "work/form.h"
#include "work/write.h"

#include <string.h>

#define ARGUMENTS                                                                                            \
  const lw_api_request *request, const lw_api_target *target, const lw_desk *desk, json_t **out, lw_error *err

static lw_status done(lw_status s, const lw_entry *entry, json_t **out)
{
  *out = s == LW_OK ? lw_entry_json(entry) : NULL;
  return s;
}

static lw_status add_water(ARGUMENTS)
{
  (void)target;
  lw_form form;
  lw_entry entry;
  lw_status s = lw_api_form(&form, request->body, desk, err);
  s = s == LW_OK ? lw_add_water(&entry, desk, &form, err) : s;
  return done(s, &entry, out);
}

static lw_status change_water(ARGUMENTS)
{
  lw_form form;
  lw_entry entry;
  lw_status s = lw_api_form(&form, request->body, desk, err);
  s = s == LW_OK ? lw_change_water(&entry, desk, target->id, &form, err) : s;
  return done(s, &entry, out);
}

static lw_status add_reading(ARGUMENTS)
{
  (void)target;
  lw_form form;
  lw_entry entry;
  lw_id water = 0;
  const char *quantity = NULL;
  lw_status s = lw_api_form(&form, request->body, desk, err);
  s = s == LW_OK ? lw_api_id(&water, request->body, "water", -1, err) : s;
  s = s == LW_OK ? lw_api_text(&quantity, request->body, "quantity", err) : s;
  s = s == LW_OK ? lw_add_reading(&entry, desk, water, quantity ? quantity : "", &form, err) : s;
  return done(s, &entry, out);
}

static lw_status add_treatment(ARGUMENTS)
{
  (void)target;
  lw_form form;
  lw_entry entry;
  lw_id water = 0;
  lw_id material = 0;
  lw_status s = lw_api_form(&form, request->body, desk, err);
  s = s == LW_OK ? lw_api_id(&water, request->body, "water", -1, err) : s;
  s = s == LW_OK ? lw_api_id(&material, request->body, "material", -1, err) : s;
  s = s == LW_OK ? lw_add_treatment(&entry, desk, water, material, &form, err) : s;
  return done(s, &entry, out);
}

/* Notes, weather, overrides and zones: a water (0 where all are meant) and a form. */
typedef lw_status (*of_water)(lw_entry *, const lw_desk *, lw_id, const lw_form *, lw_error *);

static lw_status add_of_water(const lw_api_request *request, const lw_desk *desk, json_t **out, of_water add,
                              lw_id fallback, lw_error *err)
{
  lw_form form;
  lw_entry entry;
  lw_id water = 0;
  lw_status s = lw_api_form(&form, request->body, desk, err);
  s = s == LW_OK ? lw_api_id(&water, request->body, "water", fallback, err) : s;
  s = s == LW_OK ? add(&entry, desk, water, &form, err) : s;
  return done(s, &entry, out);
}

static lw_status add_note(ARGUMENTS)
{
  (void)target;
  return add_of_water(request, desk, out, lw_add_note, 0, err);
}

static lw_status add_weather(ARGUMENTS)
{
  (void)target;
  return add_of_water(request, desk, out, lw_add_weather, 0, err);
}

static lw_status add_override(ARGUMENTS)
{
  (void)target;
  return add_of_water(request, desk, out, lw_add_override, -1, err);
}

static lw_status add_zone(ARGUMENTS)
{
  (void)target;
  return add_of_water(request, desk, out, lw_add_zone, -1, err);
}

static lw_status change_zone(ARGUMENTS)
{
  lw_form form;
  lw_entry entry;
  lw_status s = lw_api_form(&form, request->body, desk, err);
  s = s == LW_OK ? lw_change_zone(&entry, desk, target->id, &form, err) : s;
  return done(s, &entry, out);
}

/* ---- surveys ---- */

static lw_status check_survey_keys(const lw_form *form, lw_error *err)
{
  static const char *const known[] = {"name", "text", "depth_unit", "depth_field", "crs",         "level",
                                      "date", "note", "offset",     "dry_run",     "survey_name", NULL};
  for (size_t i = 0; i < form->count; i++) {
    bool found = false;
    for (size_t k = 0; known[k]; k++) {
      found = found || strcmp(form->fields[i].key, known[k]) == 0;
    }
    if (!found) {
      return lw_fail(err, LW_INVALID,
                     "a survey has no '%.60s'; it has name, text, depth_unit, depth_field, crs, level, date, "
                     "offset, survey_name, note and dry_run",
                     form->fields[i].key);
    }
  }
  return LW_OK;
}

static lw_status read_survey(lw_survey_import *out, const lw_form *form, lw_error *err)
{
  *out = (lw_survey_import){.file = lw_form_get(form, "name"),
                            .text = lw_form_get(form, "text"),
                            .depth_field = lw_form_get(form, "depth_field"),
                            .depth_unit = lw_form_get(form, "depth_unit"),
                            .system = lw_form_get(form, "crs"),
                            .level = lw_form_get(form, "level"),
                            .offset = lw_form_get(form, "offset"),
                            .date = lw_form_get(form, "date"),
                            .name = lw_form_get(form, "survey_name"),
                            .note = lw_form_get(form, "note")};
  if (!out->file || !*out->file || !out->text) {
    return lw_fail(err, LW_INVALID, "a survey needs the file's name and its text");
  }
  out->length = strlen(out->text);
  return lw_form_yes(&out->dry_run, "dry_run", lw_form_get(form, "dry_run"), err);
}

static lw_status list_surveys(ARGUMENTS)
{
  lw_survey_list list;
  const char *fault = NULL;
  (void)request;
  lw_status s = lw_list_surveys(&list, desk, target->id, &fault, err);
  *out = s == LW_OK ? lw_surveys_json(&list, fault) : NULL;
  return s == LW_OK && !*out ? lw_fail(err, LW_MEMORY, "no memory for the surveys") : s;
}

static lw_status add_survey(ARGUMENTS)
{
  lw_form form;
  lw_survey_import what;
  lw_survey_report report;
  lw_unit_system units = LW_US;
  lw_status s = lw_api_form(&form, request->body, desk, err);
  s = s == LW_OK ? check_survey_keys(&form, err) : s;
  s = s == LW_OK ? read_survey(&what, &form, err) : s;
  s = s == LW_OK ? lw_desk_units(&units, desk, target->id, err) : s;
  s = s == LW_OK ? lw_import_survey(&report, desk, target->id, &what, err) : s;
  *out = s == LW_OK ? lw_survey_report_json(&report, units) : NULL;
  return s;
}

static lw_status change_survey(ARGUMENTS)
{
  lw_form form;
  lw_entry entry;
  lw_status s = lw_api_form(&form, request->body, desk, err);
  s = s == LW_OK ? lw_change_survey(&entry, desk, target->id, &form, err) : s;
  return done(s, &entry, out);
}

static lw_status remove_survey(ARGUMENTS)
{
  (void)request;
  lw_entry entry;
  return done(lw_remove_survey(&entry, desk, target->id, err), &entry, out);
}

static lw_status add_depth(ARGUMENTS)
{
  lw_form form;
  lw_entry entry;
  lw_status s = lw_api_form(&form, request->body, desk, err);
  s = s == LW_OK ? lw_add_sounding(&entry, desk, target->id, &form, err) : s;
  return done(s, &entry, out);
}

/* ---- the shelf ---- */

static lw_status add_material(ARGUMENTS)
{
  (void)target;
  lw_form form;
  lw_entry entry;
  lw_status s = lw_api_form(&form, request->body, desk, err);
  s = s == LW_OK ? lw_add_material(&entry, desk, &form, err) : s;
  return done(s, &entry, out);
}

static lw_status change_material(ARGUMENTS)
{
  lw_form form;
  lw_entry entry;
  lw_status s = lw_api_form(&form, request->body, desk, err);
  s = s == LW_OK ? lw_change_material(&entry, desk, target->id, &form, err) : s;
  return done(s, &entry, out);
}

static lw_status add_lot(ARGUMENTS)
{
  (void)target;
  lw_form form;
  lw_entry entry;
  lw_id material = 0;
  lw_status s = lw_api_form(&form, request->body, desk, err);
  s = s == LW_OK ? lw_api_id(&material, request->body, "material", -1, err) : s;
  s = s == LW_OK ? lw_add_lot(&entry, desk, material, &form, err) : s;
  return done(s, &entry, out);
}

static lw_status put_settings(ARGUMENTS)
{
  (void)target;
  lw_form form;
  lw_entry entry;
  lw_status s = lw_api_form(&form, request->body, desk, err);
  s = s == LW_OK ? lw_set_settings(&entry, desk, &form, err) : s;
  return done(s, &entry, out);
}

static lw_status undo(ARGUMENTS)
{
  (void)target;
  lw_entry entry;
  lw_id change = 0;
  lw_status s = request->body ? lw_api_id(&change, request->body, "change", 0, err) : LW_OK;
  s = s == LW_OK ? lw_undo(&entry, desk, change, err) : s;
  return done(s, &entry, out);
}

#define REMOVER(word, kind)                                                                                  \
  static lw_status remove_##word(ARGUMENTS)                                                                  \
  {                                                                                                          \
    (void)request;                                                                                           \
    lw_entry entry;                                                                                          \
    return done(lw_remove_record(&entry, desk, kind, target->id, err), &entry, out);                         \
  }
REMOVER(water, LW_KIND_WATER)
REMOVER(zone, LW_KIND_ZONE)
REMOVER(reading, LW_KIND_READING)
REMOVER(treatment, LW_KIND_TREATMENT)
REMOVER(note, LW_KIND_NOTE)
REMOVER(material, LW_KIND_MATERIAL)
REMOVER(lot, LW_KIND_LOT)
REMOVER(override, LW_KIND_OVERRIDE)

const lw_api_route lw_api_routes[] = {
    {"GET", "/version", lw_api_version},
    {"GET", "/now", lw_api_now},
    {"GET", "/waters", lw_api_waters},
    {"POST", "/waters", add_water},
    {"GET", "/waters/ID", lw_api_water},
    {"PATCH", "/waters/ID", change_water},
    {"DELETE", "/waters/ID", remove_water},
    {"GET", "/waters/ID/basin", lw_api_basin},
    {"GET", "/waters/ID/basin/map", lw_api_basin_map},
    {"GET", "/waters/ID/basin/contours", lw_api_basin_contours},
    {"GET", "/waters/ID/soundings", lw_api_soundings},
    {"POST", "/zones", add_zone},
    {"PATCH", "/zones/ID", change_zone},
    {"DELETE", "/zones/ID", remove_zone},
    {"GET", "/waters/ID/surveys", list_surveys},
    {"POST", "/waters/ID/surveys", add_survey},
    {"POST", "/waters/ID/depths", add_depth},
    {"PATCH", "/surveys/ID", change_survey},
    {"DELETE", "/surveys/ID", remove_survey},
    {"POST", "/readings", add_reading},
    {"DELETE", "/readings/ID", remove_reading},
    {"POST", "/treatments", add_treatment},
    {"DELETE", "/treatments/ID", remove_treatment},
    {"POST", "/notes", add_note},
    {"DELETE", "/notes/ID", remove_note},
    {"POST", "/weather", add_weather},
    {"POST", "/overrides", add_override},
    {"DELETE", "/overrides/ID", remove_override},
    {"GET", "/shelf", lw_api_shelf},
    {"POST", "/materials", add_material},
    {"PATCH", "/materials/ID", change_material},
    {"DELETE", "/materials/ID", remove_material},
    {"POST", "/lots", add_lot},
    {"DELETE", "/lots/ID", remove_lot},
    {"GET", "/log", lw_api_log},
    {"POST", "/undo", undo},
    {"GET", "/quantities", lw_api_quantities},
    {"GET", "/methods", lw_api_methods},
    {"GET", "/methods/NAME", lw_api_method},
    {"GET", "/rules", lw_api_rules},
    {"GET", "/season/ID", lw_api_season},
    {"GET", "/settings", lw_api_settings},
    {"PUT", "/settings", put_settings},
    {NULL, NULL, NULL},
};
