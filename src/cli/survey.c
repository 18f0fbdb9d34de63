/* SPDX-License-Identifier: Apache-2.0 */
/* Commands about soundings: surveys from files, depths read with a rope, and the owner's word on what the
 * tests set aside. */
#include "cli/commands.h"

#include "work/basin.h"
#include "work/surveys.h"
#include "work/write.h"

#include <string.h>

#define END                                                                                                  \
  {                                                                                                          \
    NULL, NULL, NULL                                                                                         \
  }

/* ---- import ---- */

static const cli_option import_options[] = {
    {"depth-field", "NAME", "column or property that holds the depth (default: found by its name)"},
    {"depth-unit", "m|ft", "unit of the depths, where the file does not tell it"},
    {"level", "L", "the pool against full pool that day: \"-0.4 m\", \"-1.5 ft\" (default: full pool)"},
    {"date", "DATE", "day of the survey (default: from the file, else today)"},
    {"offset", "D", "transducer below the surface, added to the depths: \"0.3 m\", \"10 in\""},
    {"crs", "SYSTEM", "system of projected x and y, such as EPSG:32616 (default: degrees)"},
    {"name", "NAME", "name of the survey (default: from the file's name)"},
    {"note", "TEXT", "a remark"},
    {"dry-run", NULL, "read and test everything, say what would be added, change nothing"},
    END};

static const char *plural(size_t count)
{
  return count == 1 ? "" : "s";
}

static void print_flaws(lw_text *out, const size_t flaws[LW_SOUNDING_FLAW_COUNT])
{
  for (int flaw = 0; flaw < LW_SOUNDING_FLAW_COUNT; flaw++) {
    if (flaw != LW_SOUNDING_GOOD && flaws[flaw]) {
      lw_text_addf(out, "  set aside %7zu  %s\n", flaws[flaw], lw_sounding_flaw_text((lw_sounding_flaw)flaw));
    }
  }
}

static void print_report(lw_text *out, const lw_survey_report *r, const char *water)
{
  char date[LW_DATE_TEXT];
  size_t used = r->cleaning.count[LW_SOUNDING_GOOD];
  size_t aside = r->read - used;
  lw_text_addf(out, "%s: %zu sounding%s read, %zu used, %zu set aside.\n", r->survey.source, r->read,
               plural(r->read), used, aside);
  print_flaws(out, r->cleaning.count);
  for (size_t i = 0; i < r->skipped_count; i++) {
    lw_text_addf(out, "  left out  %7zu  %s\n", r->skipped[i].count, r->skipped[i].what);
  }
  for (size_t i = 0; i < r->warning_count; i++) {
    lw_text_addf(out, "  Note: %s\n", r->warnings[i]);
  }
  lw_text_addf(out, "Survey '%s' of %s, %s.\n", r->survey.name, water, lw_date_text(r->survey.day, date));
  if (aside) {
    lw_text_add(out, "'lakeward survey removed' lists what was set aside; 'survey restore' puts it back.\n");
  }
}

/* What the soundings make of the water: reckoned now, so that the next question finds it ready. The import
 * stands whether or not this succeeds. */
static void print_volume(cli_call *call)
{
  lw_error ignored = {0};
  lw_basin_sheet sheet;
  const lw_basin_options full_pool = {0};
  char area[LW_SHOWN_MAX];
  char volume[LW_SHOWN_MAX];
  if (lw_work_basin(&sheet, &call->desk, call->arguments[0], 0, &full_pool, &ignored) == LW_OK) {
    bool us = sheet.units == LW_US;
    lw_text_addf(call->out, "%s now: %s, %s at full pool. 'lakeward basin \"%s\"' shows the rest.\n",
                 sheet.water.name, lw_value_shown(sheet.pool.area_m2, "m2", us ? "acre" : "ha", 3, area),
                 lw_value_shown(sheet.pool.volume.value_m3, "m3", us ? "acre-ft" : "m3", 3, volume),
                 sheet.water.name);
  } else {
    lw_text_addf(call->out, "The depth map is not there yet: %s\n", ignored.message);
  }
  lw_basin_close(&sheet);
}

static lw_status run_import(cli_call *call, lw_error *err)
{
  lw_id water = 0;
  lw_survey_report report;
  lw_unit_system units = LW_US;
  const lw_survey_import what = {.path = call->arguments[1],
                                 .depth_field = cli_option_text(call, "depth-field"),
                                 .depth_unit = cli_option_text(call, "depth-unit"),
                                 .system = cli_option_text(call, "crs"),
                                 .level = cli_option_text(call, "level"),
                                 .offset = cli_option_text(call, "offset"),
                                 .date = cli_option_text(call, "date"),
                                 .name = cli_option_text(call, "name"),
                                 .note = cli_option_text(call, "note"),
                                 .dry_run = cli_option_text(call, "dry-run") != NULL};
  lw_status s = cli_water_id(&water, call, call->arguments[0], err);
  s = s == LW_OK ? lw_desk_units(&units, &call->desk, water, err) : s;
  s = s == LW_OK ? lw_import_survey(&report, &call->desk, water, &what, err) : s;
  if (s != LW_OK) {
    return s;
  }
  if (call->json) {
    return cli_print_json(call, lw_survey_report_json(&report, units), err);
  }
  print_report(call->out, &report, call->arguments[0]);
  if (!report.written) {
    lw_text_add(call->out, "Nothing was changed.\n");
    return LW_OK;
  }
  s = cli_print_entry(call, &report.entry, err);
  if (s == LW_OK) {
    print_volume(call);
  }
  return s;
}

const cli_command cli_survey_import = {"survey import",
                                       "WATER FILE",
                                       "Read soundings from CSV, NMEA 0183, GPX, GeoJSON or a point layer.",
                                       import_options,
                                       2,
                                       2,
                                       CLI_STORE,
                                       run_import};

/* ---- list ---- */

static const cli_option none[] = {END};

static const char *level_shown(const lw_survey *survey, lw_unit_system units, char out[LW_SHOWN_MAX])
{
  return survey->level_m.known
             ? lw_value_shown(survey->level_m.value, "m", units == LW_US ? "ft" : "m", 3, out)
             : "not told";
}

static void print_surveys(lw_text *out, const lw_survey_list *list, const char *fault)
{
  for (size_t i = 0; i < list->count; i++) {
    const lw_survey *survey = &list->surveys[i];
    const size_t *flaws = list->tallies[i].flaws;
    char date[LW_DATE_TEXT];
    char level[LW_SHOWN_MAX];
    lw_text_addf(out, "%s  %s, %.0f sounding%s from %s, pool level %s\n", lw_date_text(survey->day, date),
                 survey->name, survey->sounding_count, plural((size_t)survey->sounding_count), survey->source,
                 level_shown(survey, list->units, level));
    if (!survey->used) {
      lw_text_add(out, "  not used\n");
    } else if (!fault) {
      lw_text_addf(out, "  used      %7zu\n", flaws[LW_SOUNDING_GOOD]);
      print_flaws(out, flaws);
    }
  }
  if (fault) {
    lw_text_addf(out, "The soundings could not be tested: %s\n", fault);
  }
  if (list->count == 0) {
    lw_text_add(out, "No surveys yet: lakeward survey import WATER FILE\n");
  }
}

static lw_status run_list(cli_call *call, lw_error *err)
{
  lw_id water = 0;
  lw_survey_list list;
  const char *fault = NULL;
  lw_status s = cli_water_id(&water, call, call->arguments[0], err);
  s = s == LW_OK ? lw_list_surveys(&list, &call->desk, water, &fault, err) : s;
  if (s != LW_OK || call->json) {
    return s == LW_OK ? cli_print_json(call, lw_surveys_json(&list, fault), err) : s;
  }
  print_surveys(call->out, &list, fault);
  return LW_OK;
}

const cli_command cli_survey_list = {
    "survey list", "WATER", "Surveys of a water and what became of their soundings.", none, 1, 1,
    CLI_STORE,     run_list};

/* ---- the owner's word ---- */

static lw_status find_survey(lw_survey *out, cli_call *call, lw_error *err)
{
  lw_id water = 0;
  lw_status s = cli_water_id(&water, call, call->arguments[0], err);
  return s == LW_OK ? lw_find_survey(out, &call->desk, water, call->arguments[1], err) : s;
}

static const cli_option set_options[] = {
    {"use", "yes|no", "does it shape the depth map?"},
    {"level", "L", "the pool against full pool that day: \"-0.4 m\", \"-1.5 ft\""},
    {"offset", "D", "transducer below the surface, added to the depths"},
    {"date", "DATE", "day of the survey"},
    {"rename", "NAME", "another name"},
    {"note", "TEXT", "a remark"},
    END};

static lw_status run_set(cli_call *call, lw_error *err)
{
  lw_survey survey;
  lw_entry entry;
  const lw_form form = cli_form(call);
  lw_status s = find_survey(&survey, call, err);
  s = s == LW_OK ? lw_change_survey(&entry, &call->desk, survey.id, &form, err) : s;
  return s == LW_OK ? cli_print_entry(call, &entry, err) : s;
}

const cli_command cli_survey_set = {
    "survey set", "WATER NAME", "Change what is told of a survey.", set_options, 2, 2, CLI_STORE, run_set};

static lw_status run_remove(cli_call *call, lw_error *err)
{
  lw_survey survey;
  lw_entry entry;
  lw_status s = find_survey(&survey, call, err);
  s = s == LW_OK ? lw_remove_survey(&entry, &call->desk, survey.id, err) : s;
  return s == LW_OK ? cli_print_entry(call, &entry, err) : s;
}

const cli_command cli_survey_remove = {
    "survey remove", "WATER NAME", "Take a survey out (undo brings it back).", none, 2, 2,
    CLI_STORE,       run_remove};

static lw_status run_restore(cli_call *call, lw_error *err)
{
  lw_survey survey;
  lw_entry entry;
  lw_status s = find_survey(&survey, call, err);
  s = s == LW_OK ? lw_restore_soundings(&entry, &call->desk, survey.id, call->arguments[2], err) : s;
  return s == LW_OK ? cli_print_entry(call, &entry, err) : s;
}

const cli_command cli_survey_restore = {"survey restore",
                                        "WATER NAME NUMBERS",
                                        "Use soundings whatever the tests say: numbers such as 3,17-20.",
                                        none,
                                        3,
                                        3,
                                        CLI_STORE,
                                        run_restore};

static lw_status run_drop(cli_call *call, lw_error *err)
{
  lw_survey survey;
  lw_entry entry;
  lw_status s = find_survey(&survey, call, err);
  s = s == LW_OK ? lw_drop_soundings(&entry, &call->desk, survey.id, call->arguments[2], err) : s;
  return s == LW_OK ? cli_print_entry(call, &entry, err) : s;
}

const cli_command cli_survey_drop = {"survey drop",
                                     "WATER NAME NUMBERS",
                                     "Set soundings aside: numbers such as 3,17-20.",
                                     none,
                                     3,
                                     3,
                                     CLI_STORE,
                                     run_drop};

/* ---- what is set aside ---- */

static lw_status run_removed(cli_call *call, lw_error *err)
{
  lw_id water = 0;
  lw_removed_list list;
  const char *name = call->argument_count > 1 ? call->arguments[1] : NULL;
  lw_status s = cli_water_id(&water, call, call->arguments[0], err);
  s = s == LW_OK ? lw_list_removed(&list, &call->desk, water, name, err) : s;
  if (s != LW_OK || call->json) {
    return s == LW_OK ? cli_print_json(call, lw_removed_json(&list), err) : s;
  }
  for (size_t i = 0; i < list.count; i++) {
    const lw_removed *r = &list.items[i];
    char depth[LW_SHOWN_MAX];
    lw_text_addf(call->out, "%-20s %7zu  %.6f,%.6f  %-10s %s\n", r->survey->name, r->number, r->latitude,
                 r->longitude, lw_value_shown(r->depth_m, "m", list.units == LW_US ? "ft" : "m", 3, depth),
                 lw_sounding_flaw_text(r->flaw));
  }
  if (list.count == 0) {
    lw_text_add(call->out, "Nothing is set aside.\n");
  }
  return LW_OK;
}

const cli_command cli_survey_removed = {"survey removed",
                                        "WATER [NAME]",
                                        "Every sounding that is set aside, with its number and the reason.",
                                        none,
                                        1,
                                        2,
                                        CLI_STORE,
                                        run_removed};

/* ---- a rope ---- */

static const cli_option sounding_options[] = {
    {"on", "DATE", "day it was read (default: today)"},
    {"level", "L", "the pool against full pool that day: \"-0.4 m\", \"-1.5 ft\""},
    END};

static lw_status run_sounding(cli_call *call, lw_error *err)
{
  lw_id water = 0;
  lw_entry entry;
  lw_status s = cli_water_id(&water, call, call->arguments[0], err);
  call->fields[call->field_count++] = (lw_field){"place", call->arguments[1]};
  call->fields[call->field_count++] = (lw_field){"depth", call->arguments[2]};
  const lw_form form = cli_form(call);
  s = s == LW_OK ? lw_add_sounding(&entry, &call->desk, water, &form, err) : s;
  return s == LW_OK ? cli_print_entry(call, &entry, err) : s;
}

const cli_command cli_sounding_add = {"sounding add",
                                      "WATER LAT,LON DEPTH",
                                      "Add one depth read with a rope, for example 33.1,-86.4 \"9 ft\".",
                                      sounding_options,
                                      3,
                                      3,
                                      CLI_STORE,
                                      run_sounding};
