/* SPDX-License-Identifier: Apache-2.0 */
/* The body of a version: one line of JSON with what is known of the record. It is written by hand,
 * not by the JSON library, because its bytes are what the digest chain covers: they must be the same
 * on every machine and with every release (shortest numbers, fixed order). Reading is strict. */
#include "store/internal.h"

#include <jansson.h>
#include <math.h>
#include <string.h>

/* ---- writing ---- */

static void add_string(lw_text *out, const char *text)
{
  lw_text_add_n(out, "\"", 1);
  while (*text) {
    size_t plain = 0;
    while ((unsigned char)text[plain] >= 0x20u && text[plain] != '"' && text[plain] != '\\') {
      plain++;
    }
    lw_text_add_n(out, text, plain);
    text += plain;
    if (*text == '"' || *text == '\\') {
      lw_text_addf(out, "\\%c", *text++);
    } else if (*text) {
      lw_text_addf(out, "\\u%04x", (unsigned)(unsigned char)*text++);
    }
  }
  lw_text_add_n(out, "\"", 1);
}

static void add_number(lw_text *out, double value)
{
  char text[LW_NUMBER_MAX];
  /* a negative zero comes back from SQLite as a positive one: write the same */
  lw_text_add(out, lw_number_text(value == 0 ? 0.0 : value, text));
}

static void add_key(lw_text *out, const lw_column *column)
{
  lw_text_addf(out, "%s\"%s\":", out->length > 1 ? "," : "", column->name);
}

static void add_text(lw_text *out, const lw_column *column, const char *text)
{
  if (text && *text) {
    add_key(out, column);
    add_string(out, text);
  }
}

static void add_date(lw_text *out, const lw_column *column, lw_day day)
{
  char text[LW_DATE_TEXT];
  add_text(out, column, day == LW_NO_DAY ? "" : lw_date_text(day, text));
}

static void add_maybe(lw_text *out, const lw_column *column, lw_maybe maybe)
{
  if (maybe.known) {
    add_key(out, column);
    add_number(out, maybe.value);
  }
}

static void add_column(lw_text *out, const lw_column *column, const void *kept)
{
  const void *member = lw_member(kept, column);
  switch (column->type) {
  case LW_COLUMN_TEXT:
  case LW_COLUMN_OUTLINE:
    add_text(out, column, *(const char *const *)member);
    break;
  case LW_COLUMN_NUMBER:
    add_maybe(out, column, lw_known(*(const double *)member));
    break;
  case LW_COLUMN_MAYBE:
  case LW_COLUMN_MAYBE_WHOLE:
    add_maybe(out, column, *(const lw_maybe *)member);
    break;
  case LW_COLUMN_BOOLEAN:
    if (*(const bool *)member) {
      add_key(out, column);
      lw_text_add(out, "true");
    }
    break;
  case LW_COLUMN_DATE:
  case LW_COLUMN_MAYBE_DATE:
    add_date(out, column, *(const lw_day *)member);
    break;
  case LW_COLUMN_REFERENCE:
    if (*(const lw_id *)member) {
      add_key(out, column);
      lw_text_addf(out, "%lld", (long long)*(const lw_id *)member);
    }
    break;
  }
}

void lw_body_write(lw_text *out, lw_kind_id kind, const void *kept)
{
  lw_text_clear(out);
  lw_text_add(out, "{");
  for (size_t i = 0; i < lw_kinds[kind].column_count; i++) {
    add_column(out, &lw_kinds[kind].columns[i], kept);
  }
  lw_text_add(out, "}");
}

/* ---- reading ---- */

static lw_status fail_value(const lw_column *column, const char *expected, lw_error *err)
{
  return lw_fail(err, LW_CORRUPT, "%s in the body is not %s", column->name, expected);
}

static lw_status read_text(const lw_column *column, const json_t *value, lw_arena *arena,
                           const char **member, lw_error *err)
{
  if (!json_is_string(value)) {
    return fail_value(column, "a text", err);
  }
  *member = lw_arena_copy(arena, json_string_value(value));
  return *member ? LW_OK : lw_fail_memory(err);
}

static lw_status read_number(const lw_column *column, const json_t *value, double *member,
                             lw_error *err)
{
  if (!json_is_number(value) || !isfinite(json_number_value(value))) {
    return fail_value(column, "a number", err);
  }
  *member = json_number_value(value);
  return LW_OK;
}

static lw_status read_date(const lw_column *column, const json_t *value, lw_day *member,
                           lw_error *err)
{
  if (!json_is_string(value) ||
      lw_date_parse(member, column->name, json_string_value(value), NULL) != LW_OK) {
    return fail_value(column, "a date such as 2026-04-15", err);
  }
  return LW_OK;
}

static lw_status read_value(const lw_column *column, const json_t *value, lw_arena *arena,
                            void *member, lw_error *err)
{
  switch (column->type) {
  case LW_COLUMN_TEXT:
  case LW_COLUMN_OUTLINE:
    return read_text(column, value, arena, (const char **)member, err);
  case LW_COLUMN_NUMBER:
    return read_number(column, value, (double *)member, err);
  case LW_COLUMN_MAYBE:
  case LW_COLUMN_MAYBE_WHOLE:
    ((lw_maybe *)member)->known = true;
    return read_number(column, value, &((lw_maybe *)member)->value, err);
  case LW_COLUMN_BOOLEAN:
    *(bool *)member = json_is_true(value);
    return json_is_boolean(value) ? LW_OK : fail_value(column, "true or false", err);
  case LW_COLUMN_DATE:
  case LW_COLUMN_MAYBE_DATE:
    return read_date(column, value, (lw_day *)member, err);
  case LW_COLUMN_REFERENCE:
    *(lw_id *)member = json_integer_value(value);
    return *(lw_id *)member > 0 ? LW_OK : fail_value(column, "the id of a record", err);
  }
  return fail_value(column, "of a known type", err);
}

static lw_status read_members(lw_kind_id kind, json_t *object, lw_arena *arena, void *kept,
                              lw_error *err)
{
  const char *key = NULL;
  json_t *value = NULL;
  lw_kind_clear(kind, kept);
  json_object_foreach(object, key, value)
  {
    const lw_column *column = lw_kind_column(&lw_kinds[kind], key);
    if (!column) {
      return lw_fail(err, LW_CORRUPT, "the body holds '%.60s', which a %s does not have", key,
                     lw_kinds[kind].name);
    }
    lw_status status = read_value(column, value, arena, lw_member_of(kept, column), err);
    if (status != LW_OK) {
      return status;
    }
  }
  return LW_OK;
}

lw_status lw_body_read(lw_kind_id kind, const char *body, lw_arena *arena, void *kept,
                       lw_error *err)
{
  json_error_t fault;
  json_t *object = json_loads(body, JSON_REJECT_DUPLICATES, &fault);
  if (!json_is_object(object)) {
    json_decref(object);
    if (json_error_code(&fault) == json_error_out_of_memory) {
      return lw_fail_memory(err);
    }
    return lw_fail(err, LW_CORRUPT, "the body of the version is not a JSON object");
  }
  lw_status status = read_members(kind, object, arena, kept, err);
  json_decref(object);
  return status;
}
