/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/json_place.h"

#include <string.h>

typedef struct span {
  const char *at, *end;
} span;

static void skip_space(span *s)
{
  while (s->at < s->end && strchr(" \t\r\n", *s->at) && *s->at) {
    s->at++;
  }
}

static bool next_is(const span *s, char c)
{
  return s->at < s->end && *s->at == c;
}

/* Past a string that begins here. */
static void skip_string(span *s)
{
  for (s->at++; s->at < s->end && *s->at != '"'; s->at++) {
    if (*s->at == '\\' && s->at + 1 < s->end) {
      s->at++;
    }
  }
  if (s->at < s->end) {
    s->at++;
  }
}

/* Past one value of any kind: nested brackets are counted, not recursed into. */
static void skip_value(span *s)
{
  size_t open = 0;
  skip_space(s);
  while (s->at < s->end) {
    char c = *s->at;
    if (open == 0 && (c == ',' || c == ']' || c == '}')) {
      return;
    }
    if (c == '"') {
      skip_string(s);
      continue;
    }
    open += c == '[' || c == '{' ? 1 : 0;
    open -= c == ']' || c == '}' ? 1 : 0;
    s->at++;
  }
}

/* To the value of `key` in the object that begins here. An escaped spelling of the key is missed. */
static bool enter_object(span *s, const char *key)
{
  size_t length = strlen(key);
  if (!next_is(s, '{')) {
    return false;
  }
  do {
    s->at++;
    skip_space(s);
    if (!next_is(s, '"')) {
      return false;
    }
    const char *name = s->at + 1;
    skip_string(s);
    bool found = (size_t)(s->at - name) == length + 1 && memcmp(name, key, length) == 0;
    skip_space(s);
    if (!next_is(s, ':')) {
      return false;
    }
    s->at++;
    skip_space(s);
    if (found) {
      return true;
    }
    skip_value(s);
    skip_space(s);
  } while (next_is(s, ','));
  return false;
}

static bool enter_array(span *s, size_t index)
{
  if (!next_is(s, '[')) {
    return false;
  }
  s->at++;
  for (size_t i = 0; i < index; i++) {
    skip_value(s);
    skip_space(s);
    if (!next_is(s, ',')) {
      return false;
    }
    s->at++;
  }
  skip_space(s);
  return s->at < s->end && *s->at != ']';
}

static void count_place(const char *text, const char *at, long *line, long *column)
{
  *line = 1;
  *column = 1;
  for (const char *p = text; p < at; p++) {
    bool continuation = ((unsigned char)*p & 0xC0u) == 0x80u;
    if (*p == '\n') {
      ++*line;
      *column = 1;
    } else if (!continuation) {
      ++*column;
    }
  }
}

bool lw_json_place(const char *text, size_t length, const lw_json_path *path, long *line, long *column)
{
  span s = {.at = text, .end = text + length};
  bool found = true;
  skip_space(&s);
  for (size_t i = 0; found && i < path->depth; i++) {
    const lw_json_step *step = &path->steps[i];
    found = step->key ? enter_object(&s, step->key) : enter_array(&s, step->index);
  }
  *line = 0;
  *column = 0;
  if (found) {
    count_place(text, s.at, line, column);
  }
  return found;
}
