/* SPDX-License-Identifier: Apache-2.0 */
#include "work/form.h"

#include "base/text.h"
#include "base/units.h"

#include <math.h>
#include <string.h>

static bool same_key(const char *a, const char *b)
{
  for (; *a && *b; a++, b++) {
    bool both_joins = (*a == '-' || *a == '_') && (*b == '-' || *b == '_');
    if (*a != *b && !both_joins) {
      return false;
    }
  }
  return *a == *b;
}

const char *lw_form_get(const lw_form *form, const char *key)
{
  for (size_t i = 0; i < form->count; i++) {
    if (same_key(form->fields[i].key, key)) {
      return form->fields[i].text;
    }
  }
  return NULL;
}

bool lw_form_has(const lw_form *form, const char *key)
{
  for (size_t i = 0; i < form->count; i++) {
    if (same_key(form->fields[i].key, key)) {
      return true;
    }
  }
  return false;
}

/* "mean_depth_m" is asked for as "mean-depth": the unit suffix is not part of the key. */
static bool column_has_key(const lw_column *column, const char *key)
{
  static const char *const suffixes[] = {"_m", "_m2",   "_m3_s",      "_c",  "_pct", "_kg",
                                         "_l", "_kg_l", "_kg_ha_day", "_mm", "_m_s"};
  if (same_key(column->name, key)) {
    return true;
  }
  size_t n = strlen(key);
  char head[64];
  if (n >= sizeof head || strlen(column->name) <= n) {
    return false;
  }
  memcpy(head, column->name, n);
  head[n] = '\0';
  if (!same_key(head, key)) {
    return false;
  }
  for (size_t i = 0; i < sizeof suffixes / sizeof suffixes[0]; i++) {
    if (strcmp(column->name + n, suffixes[i]) == 0) {
      return true;
    }
  }
  return false;
}

static const lw_column *find_column(const lw_kind *kind, const char *key)
{
  for (size_t i = 0; i < kind->column_count; i++) {
    if (column_has_key(&kind->columns[i], key)) {
      return &kind->columns[i];
    }
  }
  return NULL;
}

lw_status lw_form_day(lw_day *out, const char *field, const char *text, bool may_be_future,
                      const lw_desk *desk, lw_error *err)
{
  if (!text) {
    *out = desk->today;
    return LW_OK;
  }
  lw_status s = lw_date_parse(out, field, text, err);
  if (s == LW_OK && !may_be_future && *out > desk->today) {
    char today[LW_DATE_TEXT];
    return lw_fail(err, LW_INVALID,
                   "%s: %s is in the future (today is %s); what was seen or done needs a "
                   "day up to today",
                   field, text, lw_date_text(desk->today, today));
  }
  return s;
}

static lw_status set_number(const lw_column *column, lw_maybe *member, const char *text, lw_error *err)
{
  double value = 0;
  const char *unit = column->unit && strcmp(column->unit, "deg") != 0 ? column->unit : "";
  lw_status s = lw_quantity_parse(&value, column->label, text, unit, err);
  if (s != LW_OK) {
    return s;
  }
  if (value < column->low || value > column->high) {
    char low[LW_NUMBER_MAX];
    char high[LW_NUMBER_MAX];
    return lw_fail(err, LW_INVALID, "%s: '%.60s' is outside what is possible (%s to %s %s)", column->label,
                   text, lw_number_text(column->low, low), lw_number_text(column->high, high), unit);
  }
  *member = lw_known(value);
  return LW_OK;
}

static lw_status set_text(const lw_column *column, const char **member, const char *text, const lw_desk *desk,
                          lw_error *err)
{
  if (column->choices && *text && lw_choice_index(column->choices, text) < 0) {
    return lw_fail(err, LW_INVALID, "%s is '%.60s'; it must be one of %s", column->label, text,
                   column->choices);
  }
  char word[LW_SHOWN_MAX];
  if (column->choices && *text) {
    text = lw_choice_word(column->choices, lw_choice_index(column->choices, text), word, sizeof word);
  }
  *member = lw_arena_copy(desk->arena, text ? text : "");
  return *member ? LW_OK : lw_fail(err, LW_MEMORY, "no memory for %s", column->label);
}

lw_status lw_form_yes(bool *out, const char *field, const char *text, lw_error *err)
{
  int index = text ? lw_choice_index("no|false|yes|true", text) : 0;
  *out = index >= 2;
  return index >= 0 ? LW_OK : lw_fail(err, LW_INVALID, "%s is '%.40s'; it must be yes or no", field, text);
}

static lw_status set_column(const lw_column *column, void *record, const char *text, const lw_desk *desk,
                            lw_error *err)
{
  void *member = (char *)record + column->offset;
  lw_maybe number = {0};
  lw_status s = LW_OK;
  switch (column->type) {
  case LW_COLUMN_TEXT:
    return set_text(column, member, text ? text : "", desk, err);
  case LW_COLUMN_NUMBER:
    s = text ? set_number(column, &number, text, err)
             : lw_fail(err, LW_INVALID, "%s cannot be left empty", column->label);
    if (s == LW_OK) {
      *(double *)member = number.value;
    }
    return s;
  case LW_COLUMN_MAYBE:
  case LW_COLUMN_MAYBE_WHOLE:
    s = text ? set_number(column, &number, text, err) : LW_OK;
    if (s == LW_OK) {
      *(lw_maybe *)member = number;
    }
    return s;
  case LW_COLUMN_DATE:
    return lw_form_day(member, column->label, text, true, desk, err);
  case LW_COLUMN_MAYBE_DATE:
    if (!text) {
      *(lw_day *)member = LW_NO_DAY;
      return LW_OK;
    }
    return lw_date_parse(member, column->label, text, err);
  case LW_COLUMN_BOOLEAN:
    return lw_form_yes((bool *)member, column->label, text, err);
  case LW_COLUMN_REFERENCE:
  case LW_COLUMN_OUTLINE:
  case LW_COLUMN_SOUNDINGS:
    break;
  }
  return lw_fail(err, LW_INVALID, "%s cannot be given this way", column->label);
}

static lw_status unknown_key(const lw_kind *kind, const char *key, lw_error *err)
{
  lw_text names = LW_TEXT(600);
  for (size_t i = 0; i < kind->column_count; i++) {
    lw_text_addf(&names, "%s%s", i ? ", " : "", kind->columns[i].name);
  }
  (void)lw_fail(err, LW_INVALID, "a %s has no '%.60s'; it has %s", kind->name, key, lw_text_view(&names));
  lw_text_free(&names);
  return LW_INVALID;
}

lw_status lw_form_apply(const lw_form *form, lw_kind_id kind, void *record, const char *const *skip,
                        const lw_desk *desk, lw_error *err)
{
  for (size_t i = 0; i < form->count; i++) {
    const lw_field *field = &form->fields[i];
    bool skipped = false;
    for (size_t k = 0; skip[k]; k++) {
      skipped = skipped || same_key(skip[k], field->key);
    }
    if (skipped) {
      continue;
    }
    const lw_column *column = find_column(&lw_kinds[kind], field->key);
    if (!column) {
      return unknown_key(&lw_kinds[kind], field->key, err);
    }
    lw_status s = set_column(column, record, field->text, desk, err);
    if (s != LW_OK) {
      return s;
    }
  }
  return LW_OK;
}
