/* SPDX-License-Identifier: Apache-2.0 */
/* Surveys, the report of an import and what is set aside, as JSON. */
#include "work/json.h"
#include "work/surveys.h"

#include <math.h>

static json_t *set_aside_json(const size_t flaws[LW_SOUNDING_FLAW_COUNT])
{
  json_t *list = json_array();
  for (int flaw = 0; flaw < LW_SOUNDING_FLAW_COUNT; flaw++) {
    if (flaw != LW_SOUNDING_GOOD && flaws[flaw]) {
      (void)json_array_append_new(
          list, json_pack("{s:s,s:s,s:I}", "reason", lw_sounding_flaw_id((lw_sounding_flaw)flaw), "text",
                          lw_sounding_flaw_text((lw_sounding_flaw)flaw), "count", (json_int_t)flaws[flaw]));
    }
  }
  return list;
}

static json_t *length_json(lw_maybe length_m, lw_unit_system units)
{
  return lw_value_json(length_m, "m", "ft", "m", units);
}

json_t *lw_survey_json(const lw_survey *survey, const lw_survey_tally *tally, lw_unit_system units)
{
  static const size_t none[LW_SOUNDING_FLAW_COUNT];
  json_t *o = json_object();
  size_t all = survey->used ? (size_t)survey->sounding_count : 0;
  lw_json_set(o, "id", json_integer((json_int_t)survey->id));
  lw_json_set(o, "name", json_string(survey->name));
  lw_json_set(o, "date", lw_day_json(survey->day));
  lw_json_set(o, "level", length_json(survey->level_m, units));
  lw_json_set(o, "offset", length_json(survey->offset_m, units));
  lw_json_set(o, "used", json_boolean(survey->used));
  lw_json_set(o, "source", json_string(survey->source));
  lw_json_set(o, "note", json_string(survey->note));
  lw_json_set(o, "soundings", json_integer((json_int_t)survey->sounding_count));
  lw_json_set(o, "used_soundings", json_integer((json_int_t)(tally ? tally->flaws[LW_SOUNDING_GOOD] : all)));
  lw_json_set(o, "kept", json_string(survey->kept));
  lw_json_set(o, "dropped", json_string(survey->dropped));
  lw_json_set(o, "set_aside", set_aside_json(tally ? tally->flaws : none));
  return o;
}

json_t *lw_surveys_json(const lw_survey_list *list, const char *fault)
{
  json_t *surveys = json_array();
  for (size_t i = 0; i < list->count; i++) {
    (void)json_array_append_new(surveys, lw_survey_json(&list->surveys[i], &list->tallies[i], list->units));
  }
  return json_pack("{s:o,s:o}", "surveys", surveys, "fault", lw_text_json(fault));
}

static json_t *skipped_json(const lw_survey_report *report)
{
  json_t *list = json_array();
  for (size_t i = 0; i < report->skipped_count; i++) {
    (void)json_array_append_new(list, json_pack("{s:s,s:I}", "what", report->skipped[i].what, "count",
                                                (json_int_t)report->skipped[i].count));
  }
  return list;
}

json_t *lw_survey_report_json(const lw_survey_report *report, lw_unit_system units)
{
  json_t *warnings = json_array();
  for (size_t i = 0; i < report->warning_count; i++) {
    (void)json_array_append_new(warnings, json_string(report->warnings[i]));
  }
  json_t *o = json_object();
  lw_json_set(o, "name", json_string(report->survey.name));
  lw_json_set(o, "format", json_string(report->format));
  lw_json_set(o, "read", json_integer((json_int_t)report->read));
  lw_json_set(o, "used", json_integer((json_int_t)report->cleaning.count[LW_SOUNDING_GOOD]));
  lw_json_set(o, "set_aside", set_aside_json(report->cleaning.count));
  lw_json_set(o, "skipped", skipped_json(report));
  lw_json_set(o, "date", lw_day_json(report->survey.day));
  lw_json_set(o, "level", length_json(report->survey.level_m, units));
  lw_json_set(o, "offset", length_json(report->survey.offset_m, units));
  lw_json_set(o, "warnings", warnings);
  return json_pack("{s:o,s:o}", "entry", report->written ? lw_entry_json(&report->entry) : json_null(),
                   "report", o);
}

json_t *lw_removed_json(const lw_removed_list *list)
{
  const double degree = 1e-7; /* about a centimetre */
  json_t *items = json_array();
  for (size_t i = 0; i < list->count; i++) {
    const lw_removed *r = &list->items[i];
    json_t *o = json_object();
    lw_json_set(o, "survey", json_string(r->survey->name));
    lw_json_set(o, "id", json_integer((json_int_t)r->survey->id));
    lw_json_set(o, "number", json_integer((json_int_t)r->number));
    lw_json_set(o, "latitude", json_real(round(r->latitude / degree) * degree));
    lw_json_set(o, "longitude", json_real(round(r->longitude / degree) * degree));
    lw_json_set(o, "depth", length_json(lw_known(round(r->depth_m * 1000) / 1000), list->units));
    lw_json_set(o, "reason", json_string(lw_sounding_flaw_id(r->flaw)));
    lw_json_set(o, "text", json_string(lw_sounding_flaw_text(r->flaw)));
    (void)json_array_append_new(items, o);
  }
  return json_pack("{s:o}", "removed", items);
}
