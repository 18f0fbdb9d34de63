/* SPDX-License-Identifier: Apache-2.0 */
#include "web/body.h"

#include "base/text.h"

#include <stdbool.h>
#include <string.h>

/* Past the closing quote of the string that opens at `at`, or `length` when it does not close. */
static size_t skip_string(const char *text, size_t at, size_t length)
{
  for (at++; at < length && text[at] != '"'; at++) {
    if (text[at] == '\\') {
      at++;
    }
  }
  return at < length ? at + 1 : length;
}

/* Nesting and number of values, told before the parser recurses or allocates. Brackets inside
 * strings do not count. */
static lw_status check_size(const char *text, size_t length, lw_error *err)
{
  size_t depth = 0;
  size_t values = 1;
  for (size_t i = 0; i < length;) {
    char c = text[i];
    if (c == '"') {
      i = skip_string(text, i, length);
      continue;
    }
    if (c == '{' || c == '[') {
      depth++;
      values++;
    } else if ((c == '}' || c == ']') && depth) {
      depth--;
    } else if (c == ',') {
      values++;
    }
    if (depth > LW_WEB_DEPTH_MAX) {
      return lw_fail(err, LW_LIMIT, "the body is nested more than %d deep", LW_WEB_DEPTH_MAX);
    }
    if (values > LW_WEB_VALUES_MAX) {
      return lw_fail(err, LW_LIMIT, "the body holds more than %d values; send less at once",
                     LW_WEB_VALUES_MAX);
    }
    i++;
  }
  return LW_OK;
}

/* Moves the text under `key` out of the object into the arena. */
static lw_status take_text(const char **out, json_t *object, const char *key, size_t max, lw_arena *arena,
                           lw_error *err)
{
  json_t *value = json_object_get(object, key);
  *out = "";
  if (!value) {
    return LW_OK;
  }
  size_t length = json_string_length(value);
  if (!json_is_null(value) &&
      (!json_is_string(value) || length > max || !lw_text_is_clean(json_string_value(value), length))) {
    return lw_fail(err, LW_INVALID, "\"%s\" must be plain text of at most %zu bytes", key, max);
  }
  if (json_is_string(value)) {
    *out = lw_arena_copy(arena, json_string_value(value));
  }
  if (!*out) {
    return lw_fail(err, LW_MEMORY, "no memory to read the body");
  }
  return json_object_del(object, key) == 0 ? LW_OK : lw_fail(err, LW_INTERNAL, "\"%s\" stuck", key);
}

static lw_status parse(json_t **out, const char *text, size_t length, lw_error *err)
{
  json_error_t where;
  *out = json_loadb(text, length, JSON_REJECT_DUPLICATES, &where);
  if (!*out) {
    return lw_fail(err, LW_INVALID, "the body is not JSON: %s at line %d, column %d", where.text, where.line,
                   where.column);
  }
  if (!json_is_object(*out)) {
    return lw_fail(err, LW_INVALID, "the body must be a JSON object: {\"key\": value, ...}");
  }
  return LW_OK;
}

/* The command line may name a file to read; a request may not: no path comes in over HTTP. */
static lw_status refuse_files(json_t *object, lw_error *err)
{
  const char *key;
  json_t *value;
  json_object_foreach(object, key, value)
  {
    size_t n = strlen(key);
    if (n >= 5 && (key[n - 5] == '-' || key[n - 5] == '_') && strcmp(key + n - 4, "file") == 0) {
      return lw_fail(err, LW_INVALID,
                     "\"%.60s\" names a file, which a request may not; send what the "
                     "file holds",
                     key);
    }
  }
  return LW_OK;
}

lw_status lw_web_body_read(lw_web_body *out, const char *text, size_t length, lw_arena *arena, lw_error *err)
{
  *out = (lw_web_body){.who = "", .why = ""};
  if (length == 0) {
    return LW_OK;
  }
  lw_status s = check_size(text, length, err);
  if (s == LW_OK) {
    s = parse(&out->json, text, length, err);
  }
  if (s == LW_OK) {
    s = refuse_files(out->json, err);
  }
  if (s == LW_OK) {
    s = take_text(&out->who, out->json, "who", LW_WEB_WHO_MAX, arena, err);
  }
  if (s == LW_OK) {
    s = take_text(&out->why, out->json, "why", LW_WEB_WHY_MAX, arena, err);
  }
  if (s != LW_OK) {
    json_decref(out->json);
    out->json = NULL;
  }
  return s;
}
