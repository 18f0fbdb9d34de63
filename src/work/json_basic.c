/* SPDX-License-Identifier: Apache-2.0 */
#include "work/json.h"

#include "base/text.h"
#include "exchange/json_memory.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

void lw_json_set(json_t *object, const char *key, json_t *value)
{
  if (!value) {
    value = json_null();
  }
  (void)json_object_set_new(object, key, value);
}

json_t *lw_text_json(const char *text)
{
  return text ? json_string(text) : json_null();
}

json_t *lw_day_json(lw_day day)
{
  char text[LW_DATE_TEXT];
  return day == LW_NO_DAY ? json_null() : json_string(lw_date_text(day, text));
}

json_t *lw_value_json(lw_maybe value, const char *unit, const char *us, const char *metric,
                      lw_unit_system system)
{
  if (!value.known) {
    return json_null();
  }
  char shown[LW_SHOWN_MAX];
  (void)lw_value_shown(value.value, unit, system == LW_US ? us : metric, 2, shown);
  return json_pack("{s:f,s:s,s:s}", "value", value.value, "unit", unit, "shown", shown);
}

json_t *lw_money_json(lw_maybe value, const char *money)
{
  if (!value.known) {
    return json_null();
  }
  char shown[LW_SHOWN_MAX];
  (void)snprintf(shown, sizeof shown, fabs(value.value) < 100 ? "%s%.2f" : "%s%.0f", money, value.value);
  return json_pack("{s:f,s:s,s:s}", "value", value.value, "unit", "$", "shown", shown);
}

json_t *lw_entry_json(const lw_entry *entry)
{
  return json_pack("{s:I,s:s?,s:I,s:s,s:s?,s:I}", "change", (json_int_t)entry->change, "kind",
                   entry->kind < LW_KIND_COUNT ? lw_kinds[entry->kind].name : NULL, "id",
                   (json_int_t)entry->id, "shown", entry->shown ? entry->shown : "", "warning",
                   entry->warning, "revision", (json_int_t)entry->revision);
}

json_t *lw_history_json(const lw_history_entry *entries, size_t count)
{
  json_t *list = json_array();
  for (size_t i = 0; i < count; i++) {
    const lw_history_entry *e = &entries[i];
    char at[LW_INSTANT_TEXT];
    (void)json_array_append_new(list, json_pack("{s:I,s:s,s:s,s:s,s:s,s:I,s:I,s:i}", "change",
                                                (json_int_t)e->change, "at", lw_instant_text(e->at, at),
                                                "who", e->who, "why", e->why, "action", e->action, "undoes",
                                                (json_int_t)e->undoes, "undone_by", (json_int_t)e->undone_by,
                                                "records", e->records));
  }
  return json_pack("{s:o}", "entries", list);
}

char *lw_json_text(const json_t *json, bool pretty)
{
  /* 15 digits print 0.1 as 0.1; what the sixteenth would carry is below any reading's worth */
  size_t flags = JSON_REAL_PRECISION(15) | (pretty ? JSON_INDENT(2) : JSON_COMPACT);
  char *text = json_dumps(json, flags);
  if (text && lw_json_ran_short()) { /* something of it was not built: half an answer is none */
    free(text);
    return NULL;
  }
  return text;
}
