/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/span.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

static bool is_space(char c)
{
  return c == ' ' || c == '\t' || c == '\r';
}

static bool is_digit(char c)
{
  return c >= '0' && c <= '9';
}

lw_span lw_span_trim(lw_span span)
{
  while (span.at < span.end && is_space(*span.at)) {
    span.at++;
  }
  while (span.at < span.end && is_space(span.end[-1])) {
    span.end--;
  }
  return span;
}

bool lw_span_is(lw_span span, const char *word)
{
  size_t n = strlen(word);
  return lw_span_length(span) == n && strncasecmp(span.at, word, n) == 0;
}

/* --- numbers --- */

typedef struct decimal {
  uint64_t digits; /* without the point, at most 19 of them */
  int scale;       /* digits after the point */
  int count;       /* digits seen, leading zeros apart */
  bool any;
} decimal;

static const char *take_digits(const char *at, const char *end, decimal *d, bool after_point)
{
  for (; at < end && is_digit(*at); at++) {
    d->any = true;
    d->count += d->count || *at != '0' ? 1 : 0;
    if (d->count <= 19) {
      d->digits = d->digits * 10 + (uint64_t)(*at - '0');
      d->scale += after_point ? 1 : 0;
    }
  }
  return at;
}

/* The slow and general way, for exponents and long numbers. The characters are known to be a decimal's. */
static bool by_library(lw_span span, bool comma, double *out)
{
  char copy[64];
  size_t n = lw_span_length(span);
  if (n >= sizeof copy) {
    return false;
  }
  memcpy(copy, span.at, n);
  copy[n] = '\0';
  char *mark = comma ? strchr(copy, ',') : NULL;
  if (mark) {
    *mark = '.';
  }
  char *end = NULL;
  *out = strtod(copy, &end);
  return end == copy + n && isfinite(*out);
}

static bool is_exponent(const char *at, const char *end)
{
  if (at == end || (*at != 'e' && *at != 'E')) {
    return false;
  }
  at++;
  at += at < end && (*at == '+' || *at == '-') ? 1 : 0;
  const char *first = at;
  while (at < end && is_digit(*at)) {
    at++;
  }
  return at == end && at > first;
}

bool lw_span_number(lw_span span, bool comma, double *out)
{
  static const double powers[] = {1e0, 1e1, 1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                  1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};
  const char *at = span.at;
  bool negative = at < span.end && *at == '-';
  at += at < span.end && (*at == '-' || *at == '+') ? 1 : 0;
  decimal d = {0};
  at = take_digits(at, span.end, &d, false);
  if (at < span.end && (*at == '.' || (comma && *at == ','))) {
    at = take_digits(at + 1, span.end, &d, true);
  }
  if (!d.any || (at < span.end && !is_exponent(at, span.end))) {
    return false;
  }
  /* both whole numbers are exact doubles here, so that the division gives the nearest one */
  if (at == span.end && d.count <= 15 && d.scale <= 15) {
    double value = (double)d.digits / powers[d.scale];
    *out = negative ? -value : value;
    return true;
  }
  return by_library(span, comma, out);
}

int lw_digits(const char *at, int digits)
{
  int value = 0;
  for (int i = 0; i < digits; i++) {
    if (!is_digit(at[i])) {
      return -1;
    }
    value = value * 10 + (at[i] - '0');
  }
  return value;
}

const char *lw_span_text(lw_span span, char *out, size_t size)
{
  size_t n = lw_span_length(span);
  n = n < size - 1 ? n : size - 1;
  if (n) {
    memcpy(out, span.at, n);
  }
  out[n] = '\0';
  return out;
}
