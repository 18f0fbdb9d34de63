/* SPDX-License-Identifier: Apache-2.0 */
#include "work/import_csv.h"

#include "work/json.h"

static json_t *remarks_json(const lw_import_list *list)
{
  json_t *array = json_array();
  for (size_t i = 0; i < list->listed; i++) {
    const lw_import_remark *r = &list->items[i];
    (void)json_array_append_new(array, json_pack("{s:I,s:I,s:s}", "line", (json_int_t)r->line, "column",
                                                 (json_int_t)r->column, "message", r->message));
  }
  return array;
}

static json_t *tallies_json(const lw_import_report *report)
{
  json_t *array = json_array();
  for (size_t i = 0; i < report->tally_count; i++) {
    const lw_import_tally *t = &report->tallies[i];
    json_t *object =
        json_pack("{s:s,s:s,s:I}", "water", t->water, "what", t->what, "count", (json_int_t)t->count);
    lw_json_set(object, "first", lw_day_json(t->first));
    lw_json_set(object, "last", lw_day_json(t->last));
    (void)json_array_append_new(array, object);
  }
  return array;
}

static void set_list(json_t *json, const char *key, const char *count_key, const lw_import_list *list)
{
  lw_json_set(json, key, remarks_json(list));
  lw_json_set(json, count_key, json_integer((json_int_t)list->count));
}

json_t *lw_import_json(const lw_import_report *report)
{
  json_t *json = json_object();
  if (!json) {
    return NULL;
  }
  lw_json_set(json, "file", json_string(report->file));
  lw_json_set(json, "kind", json_string(report->kind));
  lw_json_set(json, "rows", json_integer((json_int_t)report->rows));
  lw_json_set(json, "added", json_integer((json_int_t)report->added));
  lw_json_set(json, "skipped", json_integer((json_int_t)report->skipped));
  lw_json_set(json, "dry_run", json_boolean(report->dry_run));
  set_list(json, "faults", "fault_count", &report->faults);
  set_list(json, "duplicates", "duplicate_count", &report->duplicates);
  set_list(json, "questions", "question_count", &report->questions);
  lw_json_set(json, "tallies", tallies_json(report));
  lw_json_set(json, "change", report->change ? json_integer((json_int_t)report->change) : NULL);
  lw_json_set(json, "revision", report->revision ? json_integer((json_int_t)report->revision) : NULL);
  return json;
}
