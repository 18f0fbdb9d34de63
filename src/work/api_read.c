/* SPDX-License-Identifier: Apache-2.0 */
#include "work/api_routes.h"

#include "advice/methods.h"
#include "work/json.h"
#include "work/method_json.h"
#include "work/sheet.h"
#include "work/shelf_view.h"

#include <stdlib.h>
#include <string.h>

#define ARGUMENTS                                                                                            \
  const lw_api_request *request, const lw_api_target *target, const lw_desk *desk, json_t **out, lw_error *err

const char *lw_api_query(const lw_api_request *request, const char *key)
{
  for (size_t i = 0; i < request->query_count; i++) {
    if (strcmp(request->query_keys[i], key) == 0) {
      return request->query_values[i];
    }
  }
  return NULL;
}

lw_status lw_api_version(ARGUMENTS)
{
  (void)request;
  (void)target;
  lw_book settings;
  int64_t revision = 0;
  lw_status s = lw_book_settings(&settings, desk, err);
  s = s == LW_OK ? lw_store_revision(desk->store, &revision, err) : s;
  if (s == LW_OK) {
    *out = json_pack("{s:s,s:s,s:o,s:I,s:s,s:s,s:s}", "name", "Lakeward", "version", LW_VERSION, "today",
                     lw_day_json(desk->today), "revision", (json_int_t)revision, "units",
                     settings.units == LW_US ? "us" : "metric", "money", settings.money, "place",
                     settings.place);
  }
  return s;
}

lw_status lw_api_now(ARGUMENTS)
{
  (void)target;
  lw_now now;
  lw_day on = desk->today;
  const char *text = lw_api_query(request, "on");
  lw_status s = text ? lw_date_parse(&on, "on", text, err) : LW_OK;
  s = s == LW_OK ? lw_work_now(&now, desk, on, lw_api_query(request, "water"), err) : s;
  *out = s == LW_OK ? lw_now_json(&now) : NULL;
  return s;
}

lw_status lw_api_waters(ARGUMENTS)
{
  (void)request;
  (void)target;
  return lw_work_waters_json(out, desk, err);
}

lw_status lw_api_water(ARGUMENTS)
{
  (void)request;
  lw_water_sheet sheet;
  lw_status s = lw_work_sheet(&sheet, desk, NULL, target->id, err);
  *out = s == LW_OK ? lw_sheet_json(&sheet) : NULL;
  return s;
}

lw_status lw_api_shelf(ARGUMENTS)
{
  (void)request;
  (void)target;
  lw_shelf shelf;
  lw_status s = lw_work_shelf(&shelf, desk, err);
  *out = s == LW_OK ? lw_shelf_json(&shelf) : NULL;
  return s;
}

lw_status lw_api_log(ARGUMENTS)
{
  (void)target;
  lw_history_entry *entries = NULL;
  size_t n = 0;
  const char *text = lw_api_query(request, "limit");
  char *end = NULL;
  long limit = text ? strtol(text, &end, 10) : 50;
  if (text && (*end || limit < 1 || limit > 1000)) {
    return lw_fail(err, LW_INVALID, "limit: '%.40s' is not a number from 1 to 1000", text);
  }
  lw_status s = lw_store_history(desk->store, (size_t)limit, desk->arena, &entries, &n, err);
  *out = s == LW_OK ? lw_history_json(entries, n) : NULL;
  return s;
}

lw_status lw_api_quantities(ARGUMENTS)
{
  (void)request;
  (void)target;
  (void)desk;
  (void)err;
  *out = lw_quantities_json();
  return LW_OK;
}

lw_status lw_api_methods(ARGUMENTS)
{
  (void)request;
  (void)target;
  (void)desk;
  (void)err;
  *out = lw_methods_json();
  return LW_OK;
}

static lw_status evaluate(json_t *into, const lw_method *method, const lw_api_request *request,
                          const lw_desk *desk, lw_error *err)
{
  lw_evaluation *e = LW_NEW(desk->arena, lw_evaluation, 1);
  if (!e) {
    return lw_fail(err, LW_MEMORY, "no memory for the method");
  }
  lw_evaluation_begin(e, method);
  lw_status s = LW_OK;
  for (size_t i = 0; s == LW_OK && i < request->query_count; i++) {
    s = lw_evaluation_set(e, request->query_keys[i], request->query_values[i], err);
  }
  s = s == LW_OK ? lw_evaluation_run(e, err) : s;
  if (s == LW_OK) {
    json_t *values = lw_evaluation_json(e);
    (void)json_object_set(into, "inputs", json_object_get(values, "inputs"));
    (void)json_object_set(into, "outputs", json_object_get(values, "outputs"));
    json_decref(values);
  }
  return s;
}

lw_status lw_api_method(ARGUMENTS)
{
  const lw_method *method = lw_method_find(lw_methods, target->name);
  if (!method) {
    return lw_fail(err, LW_NOT_FOUND, "there is no method '%s'", target->name);
  }
  json_t *o = lw_method_json(method);
  lw_json_set(o, "inputs", NULL);
  lw_json_set(o, "outputs", NULL);
  lw_status s = request->query_count ? evaluate(o, method, request, desk, err) : LW_OK;
  if (s == LW_OK) {
    *out = o;
  } else {
    json_decref(o);
  }
  return s;
}

lw_status lw_api_rules(ARGUMENTS)
{
  (void)request;
  (void)target;
  lw_book settings;
  lw_status s = lw_book_settings(&settings, desk, err);
  *out = s == LW_OK ? lw_rules_json(&settings.program, settings.units) : NULL;
  return s;
}

lw_status lw_api_season(ARGUMENTS)
{
  (void)request;
  lw_water water = {0};
  lw_season_sheet *sheet = LW_NEW(desk->arena, lw_season_sheet, 1);
  lw_status s = sheet ? lw_store_get(desk->store, LW_KIND_WATER, target->id, desk->arena, &water, err)
                      : lw_fail(err, LW_MEMORY, "no memory for the season");
  s = s == LW_OK ? lw_work_season(sheet, desk, desk->today, water.name, err) : s;
  *out = s == LW_OK ? lw_season_json(sheet) : NULL;
  return s;
}

lw_status lw_api_settings(ARGUMENTS)
{
  (void)request;
  (void)target;
  lw_setting *settings = NULL;
  size_t n = 0;
  lw_book book;
  lw_status s = lw_book_settings(&book, desk, err);
  s = s == LW_OK ? lw_store_list(desk->store, LW_KIND_SETTING, 0, desk->arena, &settings, &n, err) : s;
  if (s != LW_OK) {
    return s;
  }
  *out = json_pack("{s:s,s:s,s:s}", "units", book.units == LW_US ? "us" : "metric", "money", book.money,
                   "place", book.place);
  for (size_t i = 0; i < n; i++) {
    lw_json_set(*out, settings[i].key, json_string(settings[i].value));
  }
  return LW_OK;
}
