/* SPDX-License-Identifier: Apache-2.0 */
#include "store/records_json.h"

#include "base/quantity.h"
#include "store/internal.h"

#include <math.h>

static json_t *number_json(double value)
{
  const double exact = 9007199254740992.0; /* 2^53: whole doubles below are whole numbers in JSON */
  if (!isfinite(value)) {
    return json_null();
  }
  if (value == floor(value) && fabs(value) < exact) {
    return json_integer((json_int_t)value);
  }
  return json_real(value);
}

static json_t *text_json(const char *text)
{
  return text && *text ? json_string(text) : json_null();
}

static json_t *date_json(lw_day day)
{
  char text[LW_DATE_TEXT];
  return day == LW_NO_DAY ? json_null() : json_string(lw_date_text(day, text));
}

static json_t *column_json(const lw_column *column, const void *record)
{
  const void *member = lw_member(record, column);
  switch (column->type) {
  case LW_COLUMN_TEXT:
    return text_json(*(const char *const *)member);
  case LW_COLUMN_NUMBER:
    return number_json(*(const double *)member);
  case LW_COLUMN_MAYBE:
  case LW_COLUMN_MAYBE_WHOLE: {
    lw_maybe maybe = *(const lw_maybe *)member;
    return maybe.known ? number_json(maybe.value) : json_null();
  }
  case LW_COLUMN_BOOLEAN:
    return json_boolean(*(const bool *)member);
  case LW_COLUMN_DATE:
  case LW_COLUMN_MAYBE_DATE:
    return date_json(*(const lw_day *)member);
  case LW_COLUMN_REFERENCE: {
    lw_id id = *(const lw_id *)member;
    return id ? json_integer(id) : json_null();
  }
  case LW_COLUMN_SOUNDINGS:
    return json_null(); /* not written: see below */
  case LW_COLUMN_OUTLINE: {
    const char *geojson = *(const char *const *)member;
    return geojson ? json_loads(geojson, 0, NULL) : json_null();
  }
  }
  return NULL;
}

/* The unit of a value that depends on the quantity it is of, and its word. */
static int add_unit(json_t *object, const lw_kind *kind, const lw_column *column, const void *record)
{
  const lw_column *name = lw_kind_column(kind, "quantity");
  const lw_quantity *quantity = name ? lw_quantity_find(*(const char *const *)lw_member(record, name)) : NULL;
  if (!quantity) {
    return 0;
  }
  if (json_object_set_new(object, "unit", json_string(quantity->unit)) != 0) {
    return -1;
  }
  double value = *(const double *)lw_member(record, column);
  char word[LW_SHOWN_MAX];
  if (!quantity->choices || !(value >= 0 && value <= quantity->possible_high) ||
      !lw_choice_word(quantity->choices, (int)value, word, sizeof word)) {
    return 0;
  }
  return json_object_set_new(object, "word", json_string(word));
}

json_t *lw_store_record_json(lw_kind_id kind, const void *record)
{
  json_t *object = json_object();
  if (!object || !lw_kind_known(kind)) {
    json_decref(object);
    return NULL;
  }
  const lw_kind *description = &lw_kinds[kind];
  int failed = json_object_set_new(object, "id", json_integer(lw_record_id(record)));
  for (size_t i = 0; i < description->column_count && failed == 0; i++) {
    const lw_column *column = &description->columns[i];
    if (column->type == LW_COLUMN_SOUNDINGS) {
      continue; /* a million rows are no member of an answer */
    }
    failed = json_object_set_new(object, column->name, column_json(column, record));
    if (failed == 0 && column->rule == LW_RULE_QUANTITY_VALUE) {
      failed = add_unit(object, description, column, record);
    }
  }
  if (failed != 0) {
    json_decref(object);
    return NULL;
  }
  return object;
}
