/* SPDX-License-Identifier: Apache-2.0 */
#include "work/api_form.h"

#include "base/text.h"

#include <stdlib.h>
#include <string.h>

static bool is_about_the_request(const char *key)
{
  static const char *const keys[] = {"who", "why", "water", "material"};
  for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++) {
    if (strcmp(keys[i], key) == 0) {
      return true;
    }
  }
  return false;
}

static lw_status field_text(const char **out, const char *key, json_t *value, const lw_desk *desk,
                            lw_error *err)
{
  char number[LW_NUMBER_MAX];
  *out = NULL;
  if (json_is_null(value)) {
    return LW_OK;
  }
  if (json_is_string(value)) {
    *out = lw_arena_copy(desk->arena, json_string_value(value));
  } else if (json_is_number(value)) {
    *out = lw_arena_copy(desk->arena, lw_number_text(json_number_value(value), number));
  } else if (json_is_boolean(value)) {
    *out = json_is_true(value) ? "true" : "false";
  } else if (json_is_object(value)) {
    char *text = json_dumps(value, JSON_COMPACT | JSON_REAL_PRECISION(15));
    *out = lw_arena_copy(desk->arena, text);
    free(text);
  } else {
    return lw_fail(err, LW_INVALID, "%s: a list is not expected here", key);
  }
  return *out ? LW_OK : lw_fail(err, LW_MEMORY, "no memory for %s", key);
}

lw_status lw_api_form(lw_form *out, json_t *body, const lw_desk *desk, lw_error *err)
{
  lw_field *fields = LW_NEW(desk->arena, lw_field, LW_API_FIELDS);
  const char *key = NULL;
  json_t *value = NULL;
  *out = (lw_form){.fields = fields};
  if (!fields) {
    return lw_fail(err, LW_MEMORY, "no memory for the form");
  }
  if (!json_is_object(body)) {
    return lw_fail(err, LW_INVALID, "the body must be a JSON object");
  }
  json_object_foreach(body, key, value)
  {
    if (is_about_the_request(key)) {
      continue;
    }
    size_t length = strlen(key);
    if (length > 4 && (strcmp(key + length - 5, "-file") == 0 || strcmp(key + length - 5, "_file") == 0)) {
      /* the command line may name files of its own user; a request may not */
      return lw_fail(err, LW_INVALID, "%.60s: a request cannot name a file; send the contents", key);
    }
    if (out->count == LW_API_FIELDS) {
      return lw_fail(err, LW_LIMIT, "more than %d fields", LW_API_FIELDS);
    }
    lw_field *f = &fields[out->count++];
    f->key = lw_arena_copy(desk->arena, key);
    lw_status s = f->key ? field_text(&f->text, key, value, desk, err)
                         : lw_fail(err, LW_MEMORY, "no memory for the form");
    if (s != LW_OK) {
      return s;
    }
  }
  return LW_OK;
}

lw_status lw_api_id(lw_id *out, json_t *body, const char *key, lw_id fallback, lw_error *err)
{
  json_t *value = json_object_get(body, key);
  if (!value || json_is_null(value)) {
    *out = fallback;
    return fallback >= 0 ? LW_OK : lw_fail(err, LW_INVALID, "%s is missing: give its number", key);
  }
  *out = (lw_id)json_integer_value(value);
  return json_is_integer(value) && *out >= 0
             ? LW_OK
             : lw_fail(err, LW_INVALID, "%s must be a whole number of 0 or more", key);
}

lw_status lw_api_text(const char **out, json_t *body, const char *key, lw_error *err)
{
  json_t *value = json_object_get(body, key);
  *out = json_string_value(value);
  return !value || json_is_null(value) || *out ? LW_OK : lw_fail(err, LW_INVALID, "%s must be a text", key);
}
