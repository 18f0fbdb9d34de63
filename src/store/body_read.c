/* SPDX-License-Identifier: Apache-2.0 */
/* Reading the body of a version. A body is one flat JSON object (RFC 8259) of texts, numbers and
 * true/false, so a small reader of our own suffices; unlike the JSON library it can tell a shortage of
 * memory from a damaged text, and only the latter may be called damage. */
#include "store/internal.h"

#include <math.h>
#include <string.h>

typedef struct reader {
  const char *at;
  lw_arena *arena;
  lw_error *err;
} reader;

static lw_status fail_json(const reader *in, const char *expected)
{
  return lw_fail(in->err, LW_CORRUPT,
                 "the body of the version is not a JSON object: %s expected at "
                 "'%.20s'",
                 expected, in->at);
}

static void skip_space(reader *in)
{
  in->at += strspn(in->at, " \t\r\n");
}

/* Takes `sign` where it comes next, spaces before it aside. */
static bool take(reader *in, char sign)
{
  skip_space(in);
  if (*in->at != sign) {
    return false;
  }
  in->at++;
  return true;
}

/* ---- strings ---- */

/* Four hexadecimal digits; false where there are none. */
static bool read_hex(const char *text, unsigned *out)
{
  *out = 0;
  for (int i = 0; i < 4; i++) {
    const char *digits = "0123456789abcdef0123456789ABCDEF";
    const char *digit = text[i] ? strchr(digits, text[i]) : NULL;
    if (!digit) {
      return false;
    }
    *out = *out * 16 + (unsigned)(digit - digits) % 16;
  }
  return true;
}

static size_t put_utf8(unsigned code, char *out)
{
  if (code < 0x80u) {
    out[0] = (char)code;
    return 1;
  }
  size_t length = code < 0x800u ? 2 : code < 0x10000u ? 3 : 4;
  static const unsigned char leads[] = {0, 0, 0xC0u, 0xE0u, 0xF0u};
  for (size_t i = length - 1; i > 0; i--) {
    out[i] = (char)(0x80u | (code & 0x3Fu));
    code >>= 6;
  }
  out[0] = (char)(leads[length] | code);
  return length;
}

/* After "\\u": a character, of two escapes where it lies beyond the basic plane. 0 is a fault. */
static size_t take_unicode(reader *in, char *out)
{
  unsigned code = 0;
  unsigned low = 0;
  if (!read_hex(in->at, &code)) {
    return 0;
  }
  in->at += 4;
  if (code >= 0xD800u && code < 0xDC00u) {
    if (in->at[0] != '\\' || in->at[1] != 'u' || !read_hex(in->at + 2, &low) || low < 0xDC00u ||
        low > 0xDFFFu) {
      return 0;
    }
    in->at += 6;
    code = 0x10000u + ((code - 0xD800u) << 10) + (low - 0xDC00u);
  }
  return code ? put_utf8(code, out) : 0;
}

/* After a backslash. 0 is a fault. */
static size_t take_escape(reader *in, char *out)
{
  static const char signs[] = "\"\\/bfnrt";
  static const char meant[] = "\"\\/\b\f\n\r\t";
  char sign = *in->at++;
  if (sign == 'u') {
    return take_unicode(in, out);
  }
  const char *found = sign ? strchr(signs, sign) : NULL;
  if (!found) {
    return 0;
  }
  *out = meant[found - signs];
  return 1;
}

/* Where the string that begins at `text` (after its quote) ends; NULL when it does not. */
static const char *string_end(const char *text)
{
  while (*text && *text != '"') {
    text += text[0] == '\\' && text[1] ? 2 : 1;
  }
  return *text ? text : NULL;
}

static lw_status read_string(reader *in, const char **out)
{
  if (!take(in, '"')) {
    return fail_json(in, "a text");
  }
  const char *end = string_end(in->at);
  if (!end) {
    return fail_json(in, "the end of a text");
  }
  char *text = lw_arena_alloc(in->arena, (size_t)(end - in->at) + 1, 1);
  if (!text) {
    return lw_fail_memory(in->err);
  }
  size_t length = 0;
  while (in->at < end) {
    char sign = *in->at++;
    size_t n = 1;
    if (sign == '\\') {
      n = take_escape(in, text + length); /* never longer than it is written */
    } else {
      text[length] = sign;
    }
    if (n == 0) {
      return fail_json(in, "an escaped character");
    }
    length += n;
  }
  in->at = end + 1;
  *out = text;
  return lw_text_is_clean(text, length) ? LW_OK : fail_json(in, "clean text");
}

/* ---- values ---- */

static lw_status read_number(reader *in, double *out)
{
  skip_space(in);
  size_t length = strspn(in->at, "+-.0123456789eE");
  const char *end = NULL;
  bool number = length > 0 && *in->at != '+' && lw_read_number(in->at, false, out, &end);
  if (!number || end != in->at + length) {
    return fail_json(in, "a number");
  }
  in->at = end;
  return LW_OK;
}

static lw_status read_truth(reader *in, bool *out)
{
  skip_space(in);
  *out = lw_starts_with(in->at, "true");
  if (!*out && !lw_starts_with(in->at, "false")) {
    return fail_json(in, "true or false");
  }
  in->at += *out ? 4 : 5;
  return LW_OK;
}

static lw_status read_date(reader *in, const char *name, lw_day *out)
{
  const char *text = NULL;
  lw_status status = read_string(in, &text);
  if (status == LW_OK && lw_date_parse(out, name, text, NULL) != LW_OK) {
    status =
        lw_fail(in->err, LW_CORRUPT, "%s in the body is '%.40s', not a date such as 2026-04-15", name, text);
  }
  return status;
}

static lw_status read_id(reader *in, const char *name, lw_id *out)
{
  const double largest = 9007199254740992.0; /* 2^53: whole numbers are exact up to here */
  double number = 0;
  lw_status status = read_number(in, &number);
  if (status == LW_OK && (number < 1 || number > largest || number != floor(number))) {
    status = lw_fail(in->err, LW_CORRUPT, "%s in the body is not the id of a record", name);
  }
  *out = status == LW_OK ? (lw_id)number : 0;
  return status;
}

static lw_status read_value(reader *in, const lw_column *column, void *member)
{
  switch (column->type) {
  case LW_COLUMN_TEXT:
  case LW_COLUMN_OUTLINE:
  case LW_COLUMN_SOUNDINGS:
    return read_string(in, (const char **)member);
  case LW_COLUMN_NUMBER:
    return read_number(in, (double *)member);
  case LW_COLUMN_MAYBE:
  case LW_COLUMN_MAYBE_WHOLE:
    ((lw_maybe *)member)->known = true;
    return read_number(in, &((lw_maybe *)member)->value);
  case LW_COLUMN_BOOLEAN:
    return read_truth(in, (bool *)member);
  case LW_COLUMN_DATE:
  case LW_COLUMN_MAYBE_DATE:
    return read_date(in, column->name, (lw_day *)member);
  case LW_COLUMN_REFERENCE:
    return read_id(in, column->name, (lw_id *)member);
  }
  return fail_json(in, "a known type");
}

/* ---- the object ---- */

static lw_status read_member(reader *in, lw_kind_id kind, void *kept, uint64_t *seen)
{
  const lw_kind *description = &lw_kinds[kind];
  const char *key = NULL;
  lw_status status = read_string(in, &key);
  if (status != LW_OK) {
    return status;
  }
  const lw_column *column = lw_kind_column(description, key);
  if (!column) {
    return lw_fail(in->err, LW_CORRUPT, "the body holds '%.60s', which a %s does not have", key,
                   description->name);
  }
  uint64_t bit = (uint64_t)1 << (column - description->columns);
  if (*seen & bit) {
    return lw_fail(in->err, LW_CORRUPT, "the body holds '%s' twice", column->name);
  }
  *seen |= bit;
  if (!take(in, ':')) {
    return fail_json(in, "a colon");
  }
  return read_value(in, column, lw_member_of(kept, column));
}

lw_status lw_body_read(lw_kind_id kind, const char *body, lw_arena *arena, void *kept, lw_error *err)
{
  reader in = {body, arena, err};
  uint64_t seen = 0;
  lw_kind_clear(kind, kept);
  if (!take(&in, '{')) {
    return fail_json(&in, "an opening brace");
  }
  bool more = !take(&in, '}');
  while (more) {
    lw_status status = read_member(&in, kind, kept, &seen);
    if (status != LW_OK) {
      return status;
    }
    more = take(&in, ',');
    if (!more && !take(&in, '}')) {
      return fail_json(&in, "a comma or the closing brace");
    }
  }
  skip_space(&in);
  return *in.at == '\0' ? LW_OK : fail_json(&in, "the end");
}
