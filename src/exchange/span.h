/* SPDX-License-Identifier: Apache-2.0 */
/* Pieces of a text that ends by its length, not by a NUL, and the numbers in them: files of soundings
 * are long, and nothing of them is copied before it is understood. Private to exchange. */
#ifndef LW_EXCHANGE_SPAN_H
#define LW_EXCHANGE_SPAN_H

#include <stdbool.h>
#include <stddef.h>

typedef struct lw_span {
  const char *at, *end;
} lw_span;

/* Without spaces, tabs and carriage returns at both ends. */
lw_span lw_span_trim(lw_span span);

static inline size_t lw_span_length(lw_span span)
{
  return (size_t)(span.end - span.at);
}

/* The same word, ASCII case apart. */
bool lw_span_is(lw_span span, const char *word);

/* The whole span as a finite decimal ("12", "-3.5e2", "+7."); never hex, inf or nan. The nearest
 * double. With `comma` a decimal comma is read as a point. */
bool lw_span_number(lw_span span, bool comma, double *out);

/* Exactly `digits` digits from `at`, which has that many characters; -1 when they are no digits. */
int lw_digits(const char *at, int digits);

/* NUL-terminated copy of the beginning of the span, for lw_excerpt and the like. */
const char *lw_span_text(lw_span span, char *out, size_t size);

#endif
