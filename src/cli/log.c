/* SPDX-License-Identifier: Apache-2.0 */
/* Commands that write down what was seen. */
#include "cli/commands.h"

#include "work/entries.h"
#include "work/json.h"
#include "work/sheet.h"

#include <stdlib.h>
#include <string.h>

#define ON                                                                                                   \
  {                                                                                                          \
    "on", "DATE", "the day, 2026-04-15 (default: today)"                                                     \
  }
#define BY                                                                                                   \
  {                                                                                                          \
    "by", "NAME", "who read or did it"                                                                       \
  }
#define NOTE                                                                                                 \
  {                                                                                                          \
    "note", "TEXT", "a remark"                                                                               \
  }
#define END                                                                                                  \
  {                                                                                                          \
    NULL, NULL, NULL                                                                                         \
  }

static const cli_option reading_options[] = {ON,   {"depth", "D", "depth of the probe under the surface"},
                                             BY,   {"way", "TEXT", "how it was measured"},
                                             NOTE, END};

static lw_status run_reading_add(cli_call *call, lw_error *err)
{
  lw_id water = 0;
  lw_entry entry;
  lw_status s = cli_water_id(&water, call, call->arguments[0], err);
  if (s != LW_OK) {
    return s;
  }
  call->fields[call->field_count++] = (lw_field){"value", call->arguments[2]};
  const lw_form form = cli_form(call);
  s = lw_add_reading(&entry, &call->desk, water, call->arguments[1], &form, err);
  return s == LW_OK ? cli_print_entry(call, &entry, err) : s;
}

const cli_command cli_reading_add = {
    "reading add",
    "WATER QUANTITY VALUE",
    "Write a reading down: secchi \"40 in\", water-color green|brown-mud|tea|clear, alkalinity, hardness, "
    "ph, "
    "temperature, oxygen, weed-cover, phosphorus, chlorophyll, ammonia, mud-ph, buffer-ph, outflow, level.",
    reading_options,
    3,
    3,
    CLI_STORE,
    run_reading_add};

static const cli_option reading_list_options[] = {{"quantity", "NAME", "only this quantity"}, END};

static lw_status run_reading_list(cli_call *call, lw_error *err)
{
  lw_water_sheet sheet;
  lw_status s = lw_work_sheet(&sheet, &call->desk, call->arguments[0], 0, err);
  const char *only = cli_option_text(call, "quantity");
  if (s == LW_OK && only && !lw_quantity_find(only)) {
    s = lw_fail(err, LW_INVALID, "'%.60s' is not a quantity Lakeward keeps", only);
  }
  if (s != LW_OK || call->json) {
    return s == LW_OK ? cli_print_json(call, lw_sheet_readings_json(&sheet, only), err) : s;
  }
  for (size_t i = 0; i < sheet.reading_count; i++) {
    const lw_reading *r = &sheet.readings[i];
    char day[LW_DATE_TEXT];
    char shown[LW_SHOWN_MAX];
    const lw_quantity *q = lw_quantity_find(r->quantity);
    if (q && (!only || lw_same_word(only, r->quantity))) {
      lw_text_addf(call->out, "%s  %-12s %-14s %s%s%s  [%lld]\n", lw_date_text(r->day, day), r->quantity,
                   lw_quantity_shown(q, r->value, sheet.units, shown), r->by, *r->note ? "  " : "", r->note,
                   (long long)r->id);
    }
  }
  return LW_OK;
}

const cli_command cli_reading_list = {
    "reading list", "WATER",         "The readings of a water, oldest first.", reading_list_options, 1, 1,
    CLI_STORE,      run_reading_list};

static lw_status remove_by_id(cli_call *call, lw_kind_id kind, lw_error *err)
{
  char *end = NULL;
  long long id = strtoll(call->arguments[0], &end, 10);
  if (*end || id <= 0) {
    return lw_fail(err, LW_INVALID, "'%.40s' is not a record number; the lists show it in brackets",
                   call->arguments[0]);
  }
  lw_entry entry;
  lw_status s = lw_remove_record(&entry, &call->desk, kind, id, err);
  return s == LW_OK ? cli_print_entry(call, &entry, err) : s;
}

static const cli_option no_options[] = {END};

static lw_status run_reading_remove(cli_call *call, lw_error *err)
{
  return remove_by_id(call, LW_KIND_READING, err);
}

const cli_command cli_reading_remove = {
    "reading remove", "NUMBER",          "Take a reading out (undo brings it back).", no_options, 1, 1,
    CLI_STORE,        run_reading_remove};

static lw_status run_treatment_remove(cli_call *call, lw_error *err)
{
  return remove_by_id(call, LW_KIND_TREATMENT, err);
}

const cli_command cli_treatment_remove = {
    "treatment remove",  "NUMBER", "Take a treatment out (undo brings it back).", no_options, 1, 1, CLI_STORE,
    run_treatment_remove};

static const cli_option note_options[] = {ON, BY, END};

static lw_status run_note_add(cli_call *call, lw_error *err)
{
  lw_id water = 0;
  lw_entry entry;
  lw_status s = LW_OK;
  if (strcmp(call->arguments[0], "-") != 0) {
    s = cli_water_id(&water, call, call->arguments[0], err);
  }
  call->fields[call->field_count++] = (lw_field){"text", call->arguments[1]};
  const lw_form form = cli_form(call);
  s = s == LW_OK ? lw_add_note(&entry, &call->desk, water, &form, err) : s;
  return s == LW_OK ? cli_print_entry(call, &entry, err) : s;
}

const cli_command cli_note_add = {
    "note add", "WATER|- TEXT", "A note about a water, or '-' for the whole place.", note_options, 2, 2,
    CLI_STORE,  run_note_add};

static const cli_option weather_options[] = {
    ON,
    {"rain", "R", "rain, for example \"1.5 in\""},
    {"wind", "W", "wind, for example \"12 mph\""},
    {"air", "T", "air temperature"},
    {"cloud", "C", "cloud cover, for example \"90 %\""},
    {"forecast", "yes|no", "a forecast (default yes) or what was seen"},
    {"source", "TEXT", "where it comes from"},
    END};

static lw_status run_weather_add(cli_call *call, lw_error *err)
{
  lw_id water = 0;
  lw_entry entry;
  lw_status s = LW_OK;
  if (call->argument_count == 1 && strcmp(call->arguments[0], "-") != 0) {
    s = cli_water_id(&water, call, call->arguments[0], err);
  }
  const lw_form form = cli_form(call);
  s = s == LW_OK ? lw_add_weather(&entry, &call->desk, water, &form, err) : s;
  return s == LW_OK ? cli_print_entry(call, &entry, err) : s;
}

const cli_command cli_weather_add = {"weather add",
                                     "[WATER]",
                                     "Enter a forecast (or weather seen) that the rules should heed.",
                                     weather_options,
                                     0,
                                     1,
                                     CLI_STORE,
                                     run_weather_add};

static const cli_option override_options[] = {{"until", "DATE", "last day it holds (default: until removed)"},
                                              END};

static lw_status run_override_add(cli_call *call, lw_error *err)
{
  lw_id water = 0;
  lw_entry entry;
  lw_status s = cli_water_id(&water, call, call->arguments[0], err);
  call->fields[call->field_count++] = (lw_field){"rule", call->arguments[1]};
  call->fields[call->field_count++] = (lw_field){"reason", call->arguments[2]};
  const lw_form form = cli_form(call);
  s = s == LW_OK ? lw_add_override(&entry, &call->desk, water, &form, err) : s;
  return s == LW_OK ? cli_print_entry(call, &entry, err) : s;
}

const cli_command cli_override_add = {"override add",
                                      "WATER RULE REASON",
                                      "Set a rule aside for a water; the reason is kept and shown.",
                                      override_options,
                                      3,
                                      3,
                                      CLI_STORE,
                                      run_override_add};

static lw_status run_override_remove(cli_call *call, lw_error *err)
{
  return remove_by_id(call, LW_KIND_OVERRIDE, err);
}

const cli_command cli_override_remove = {
    "override remove", "NUMBER", "Let a rule stand again.", no_options, 1, 1, CLI_STORE, run_override_remove};
