/* SPDX-License-Identifier: Apache-2.0 */
#include "base/text.h"

#include "base/utf8.h"

#include <ctype.h>
#include <math.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

static bool reserve(lw_text *text, size_t extra)
{
  if (text->failed || extra > text->max || text->length > text->max - extra) {
    text->failed = true;
    return false;
  }
  size_t need = text->length + extra + 1;
  if (need <= text->capacity) {
    return true;
  }
  size_t capacity = text->capacity ? text->capacity : 256;
  while (capacity < need) {
    capacity *= 2;
  }
  char *data = realloc(text->data, capacity);
  if (!data) {
    text->failed = true;
    return false;
  }
  text->data = data;
  text->capacity = capacity;
  return true;
}

void lw_text_add_n(lw_text *text, const char *piece, size_t length)
{
  if (!reserve(text, length)) {
    return;
  }
  if (length) {
    memcpy(text->data + text->length, piece, length);
  }
  text->length += length;
  text->data[text->length] = '\0';
}

void lw_text_add(lw_text *text, const char *piece)
{
  lw_text_add_n(text, piece, strlen(piece));
}

void lw_text_addf(lw_text *text, const char *format, ...)
{
  va_list args;
  va_start(args, format);
  int n = vsnprintf(NULL, 0, format, args);
  va_end(args);
  if (n < 0 || !reserve(text, (size_t)n)) {
    text->failed = true;
    return;
  }
  va_start(args, format);
  (void)vsnprintf(text->data + text->length, (size_t)n + 1, format, args);
  va_end(args);
  text->length += (size_t)n;
}

void lw_text_clear(lw_text *text)
{
  text->length = 0;
  text->failed = false;
  if (text->data) {
    text->data[0] = '\0';
  }
}

void lw_text_free(lw_text *text)
{
  free(text->data);
  *text = (lw_text){.max = text->max};
}

const char *lw_text_view(const lw_text *text)
{
  return text->data ? text->data : "";
}

char *lw_text_take(lw_text *text)
{
  if (text->failed || !reserve(text, 0)) {
    lw_text_free(text);
    return NULL;
  }
  char *out = text->data;
  out[text->length] = '\0';
  *text = (lw_text){.max = text->max};
  return out;
}

bool lw_same_word(const char *a, const char *b)
{
  return strcasecmp(a, b) == 0;
}

bool lw_starts_with(const char *text, const char *prefix)
{
  return strncmp(text, prefix, strlen(prefix)) == 0;
}

bool lw_text_is_clean(const char *text, size_t length)
{
  const unsigned char *s = (const unsigned char *)text;
  for (size_t i = 0; i < length;) {
    size_t n = lw_utf8_length(text + i, length - i);
    if (n == 0 || (lw_utf8_is_control(text + i, n) && s[i] != '\t' && s[i] != '\n')) {
      return false;
    }
    i += n;
  }
  return true;
}

static const char *digits_end(const char *s)
{
  while (isdigit((unsigned char)*s)) {
    s++;
  }
  return s;
}

/* "1,200,000" -> digits without commas; false where the groups are not of three, and for "0,200",
 * which is somebody's 0.2 and never two hundred. */
static bool copy_with_commas(const char *s, char *buffer, size_t size, const char **end)
{
  const char *first = digits_end(s);
  size_t lead = (size_t)(first - s);
  if (lead == 0 || lead > 3 || *s == '0' || *first != ',') {
    return false;
  }
  size_t n = 0;
  for (; n < lead; n++) {
    buffer[n] = s[n];
  }
  s = first;
  while (*s == ',' && digits_end(s + 1) - (s + 1) == 3 && n + 4 < size) {
    memcpy(buffer + n, s + 1, 3);
    n += 3;
    s += 4;
  }
  if (s == first) {
    return false;
  }
  buffer[n] = '\0';
  *end = s;
  return true;
}

/* The plain decimal at s, by strtod on a copy that holds only a decimal's characters. */
static bool plain_decimal(const char *s, double *out, const char **end)
{
  const char *p = s;
  const char *whole = p;
  p = digits_end(p);
  size_t digits = (size_t)(p - whole);
  if (*p == '.') {
    const char *after = digits_end(p + 1);
    digits += (size_t)(after - (p + 1));
    p = after;
  }
  if (digits == 0) {
    return false;
  }
  if (*p == 'e' || *p == 'E') {
    const char *q = p + 1;
    q += (*q == '+' || *q == '-') ? 1 : 0;
    if (digits_end(q) != q) {
      p = digits_end(q);
    }
  }
  char copy[64];
  size_t n = (size_t)(p - s);
  if (n >= sizeof copy) {
    return false;
  }
  memcpy(copy, s, n);
  copy[n] = '\0';
  *out = strtod(copy, NULL);
  *end = p;
  return isfinite(*out);
}

/* A trailing fraction: "5 1/2" after 5, or "/2" straight after the numerator. */
static void add_fraction(double *value, const char **end)
{
  const char *s = *end;
  double top = *value;
  bool mixed = *s == ' ' && isdigit((unsigned char)s[1]);
  if (mixed) {
    const char *q = NULL;
    if (!plain_decimal(s + 1, &top, &q) || *q != '/') {
      return;
    }
    s = q;
  }
  if (*s != '/' || !isdigit((unsigned char)s[1])) {
    return;
  }
  double bottom = 0;
  const char *q = NULL;
  if (plain_decimal(s + 1, &bottom, &q) && bottom > 0) {
    *value = mixed ? *value + top / bottom : top / bottom;
    *end = q;
  }
}

bool lw_read_number(const char *text, bool commas, double *out, const char **end)
{
  const char *s = text;
  bool negative = *s == '-';
  s += (*s == '-' || *s == '+') ? 1 : 0;
  char joined[48];
  const char *after = NULL;
  double value = 0;
  if (commas && copy_with_commas(s, joined, sizeof joined, &after)) {
    const char *joined_end = NULL;
    if (*after == '.') {
      const char *fraction_end = digits_end(after + 1);
      size_t n = strlen(joined);
      size_t m = (size_t)(fraction_end - after);
      if (n + m >= sizeof joined) {
        return false;
      }
      memcpy(joined + n, after, m);
      joined[n + m] = '\0';
      after = fraction_end;
    }
    if (!plain_decimal(joined, &value, &joined_end)) {
      return false;
    }
  } else {
    if (!plain_decimal(s, &value, &after)) {
      return false;
    }
    add_fraction(&value, &after);
  }
  if (!isfinite(value)) { /* a fraction with a bottom next to nothing */
    return false;
  }
  *out = negative ? -value : value;
  *end = after;
  return true;
}

const char *lw_number_text(double value, char out[LW_NUMBER_MAX])
{
  for (int digits = 15; digits <= 17; digits++) {
    (void)snprintf(out, LW_NUMBER_MAX, "%.*g", digits, value);
    if (strtod(out, NULL) == value) {
      break;
    }
  }
  return out;
}

const char *lw_rounded_text(double value, int digits, char out[LW_NUMBER_MAX])
{
  double size = fabs(value);
  if (size >= 1e15 || (size > 0 && size < 1e-9)) {
    (void)snprintf(out, LW_NUMBER_MAX, "%.*g", digits, value);
    return out;
  }
  int before = size >= 1 ? (int)floor(log10(size)) + 1 : (size > 0 ? (int)floor(log10(size)) + 1 : 1);
  double scale = pow(10, digits - before);
  double rounded = before > digits ? round(value * scale) / scale : value;
  int decimals = digits - before > 0 ? digits - before : 0;
  (void)snprintf(out, LW_NUMBER_MAX, "%.*f", decimals, rounded);
  if (strchr(out, '.')) {
    size_t n = strlen(out);
    while (n && out[n - 1] == '0') {
      out[--n] = '\0';
    }
    if (n && out[n - 1] == '.') {
      out[--n] = '\0';
    }
  }
  if (strcmp(out, "-0") == 0) {
    (void)snprintf(out, LW_NUMBER_MAX, "0");
  }
  return out;
}
