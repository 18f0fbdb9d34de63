/* SPDX-License-Identifier: Apache-2.0 */
/* Is a text a GeoJSON geometry (RFC 7946) at all? Whether its rings close and do not cross is for its
 * reader; here only what has no business in the store is turned away. The text may be megabytes, so it
 * is walked through once and nothing is built; and unlike the JSON libraries at hand this cannot take
 * a shortage of memory for a fault of the text. */
#include "store/internal.h"

#include <string.h>

enum { DEEPEST = 32 };

typedef struct walker {
  const char *text, *at;
} walker;

static bool take(walker *in, char sign)
{
  in->at += strspn(in->at, " \t\r\n");
  if (*in->at != sign) {
    return false;
  }
  in->at++;
  return true;
}

/* A string; *out is its first character, past the quote, and *length runs to the closing one. */
static bool walk_string(walker *in, const char **out, size_t *length)
{
  if (!take(in, '"')) {
    return false;
  }
  *out = in->at;
  while (*in->at != '"') {
    if ((unsigned char)*in->at < 0x20u ||
        (*in->at == '\\' && (!in->at[1] || !strchr("\"\\/bfnrtu", in->at[1])))) {
      return false; /* the end of the text is such a character too */
    }
    in->at += *in->at == '\\' ? 2 : 1;
  }
  *length = (size_t)(in->at - *out);
  in->at++;
  return true;
}

static bool walk_number_or_word(walker *in)
{
  static const char *const words[] = {"true", "false", "null"};
  in->at += strspn(in->at, " \t\r\n");
  for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
    if (lw_starts_with(in->at, words[i])) {
      in->at += strlen(words[i]);
      return true;
    }
  }
  double number = 0;
  const char *end = NULL;
  size_t length = strspn(in->at, "+-.0123456789eE");
  bool good =
      length > 0 && *in->at != '+' && lw_read_number(in->at, false, &number, &end) && end == in->at + length;
  in->at = good ? end : in->at;
  return good;
}

static bool walk_value(walker *in, int depth);

static bool walk_member(walker *in, int depth)
{
  const char *key = NULL;
  size_t length = 0;
  return walk_string(in, &key, &length) && take(in, ':') && walk_value(in, depth);
}

/* After the opening sign: items between commas up to `closing`. */
static bool walk_items(walker *in, char closing, int depth)
{
  if (take(in, closing)) {
    return true;
  }
  do {
    if (!(closing == '}' ? walk_member(in, depth) : walk_value(in, depth))) {
      return false;
    }
  } while (take(in, ','));
  return take(in, closing);
}

static bool walk_value(walker *in, int depth)
{
  const char *text = NULL;
  size_t length = 0;
  if (depth == 0) {
    return false;
  }
  if (take(in, '{')) {
    return walk_items(in, '}', depth - 1);
  }
  if (take(in, '[')) {
    return walk_items(in, ']', depth - 1);
  }
  return *in->at == '"' ? walk_string(in, &text, &length) : walk_number_or_word(in);
}

static bool is(const char *text, size_t length, const char *word)
{
  return strlen(word) == length && memcmp(text, word, length) == 0;
}

static bool is_geometry_type(const char *text, size_t length)
{
  static const char *const types[] = {"Polygon",         "MultiPolygon", "LineString",
                                      "MultiLineString", "Point",        "MultiPoint"};
  for (size_t i = 0; i < sizeof types / sizeof types[0]; i++) {
    if (is(text, length, types[i])) {
      return true;
    }
  }
  return false;
}

/* The members of the outermost object: finds a known type and an array of coordinates. */
static bool walk_geometry(walker *in, bool *type, bool *coordinates)
{
  if (!take(in, '{')) {
    return false;
  }
  do {
    const char *key = NULL;
    size_t key_length = 0;
    if (!walk_string(in, &key, &key_length) || !take(in, ':')) {
      return false;
    }
    in->at += strspn(in->at, " \t\r\n");
    const char *value = in->at;
    if (!walk_value(in, DEEPEST)) {
      return false;
    }
    if (is(key, key_length, "type")) {
      size_t quotes = 2;
      size_t length = (size_t)(in->at - value);
      *type = *value == '"' && is_geometry_type(value + 1, length - quotes);
    } else if (is(key, key_length, "coordinates")) {
      *coordinates = *value == '[';
    }
  } while (take(in, ','));
  return take(in, '}') && in->at[strspn(in->at, " \t\r\n")] == '\0';
}

static lw_status fail_place(const walker *in, lw_error *err)
{
  long line = 1;
  const char *start = in->text;
  for (const char *p = in->text; p < in->at; p++) {
    if (*p == '\n') {
      line++;
      start = p + 1;
    }
  }
  return lw_fail(err, LW_INVALID,
                 "the outline is not JSON (line %ld, byte %ld); give a GeoJSON "
                 "geometry",
                 line, (long)(in->at - start) + 1);
}

lw_status lw_outline_check(const char *geojson, size_t length, lw_error *err)
{
  walker in = {geojson, geojson};
  bool type = false;
  bool coordinates = false;
  if (length > LW_OUTLINE_MAX) {
    return lw_fail(err, LW_LIMIT,
                   "the outline is %zu bytes long; at most %d are kept: use fewer "
                   "points",
                   length, LW_OUTLINE_MAX);
  }
  if (!lw_text_is_clean(geojson, length)) {
    return lw_fail(err, LW_INVALID,
                   "the outline holds bytes that are not text (UTF-8); export it "
                   "again as GeoJSON");
  }
  if (!walk_geometry(&in, &type, &coordinates)) {
    return fail_place(&in, err);
  }
  return type && coordinates ? LW_OK
                             : lw_fail(err, LW_INVALID,
                                       "the outline is not a GeoJSON geometry with a type and "
                                       "coordinates; give a Polygon or MultiPolygon");
}
