/* SPDX-License-Identifier: Apache-2.0 */
/* The result structs as JSON (Jansson), for --json and for the page. Every function gives a new
 * reference that the caller ends with json_decref, or NULL when memory is short. */
#ifndef LW_WORK_JSON_H
#define LW_WORK_JSON_H

#include "work/desk.h"
#include "work/now.h"

#include <jansson.h>

json_t *lw_now_json(const lw_now *now);
json_t *lw_season_json(const lw_season_sheet *sheet);
json_t *lw_entry_json(const lw_entry *entry);
json_t *lw_history_json(const lw_history_entry *entries, size_t count);

/* {"value","unit","shown"}; null when not known. */
json_t *lw_value_json(lw_maybe value, const char *unit, const char *us, const char *metric,
                      lw_unit_system system);
json_t *lw_money_json(lw_maybe value, const char *money);
json_t *lw_day_json(lw_day day);        /* null for LW_NO_DAY */
json_t *lw_text_json(const char *text); /* null for NULL */

/* Sets a key and gives up the value, keeping quiet about NULL: a missing value is written as null. */
void lw_json_set(json_t *object, const char *key, json_t *value);

/* The text of a JSON document: sorted as made, numbers as short as they read back. Caller frees. */
char *lw_json_text(const json_t *json, bool pretty);

#endif
