/* SPDX-License-Identifier: Apache-2.0 */
/* A growing text buffer with a maximum given at birth, and the few text and number helpers that
 * every reader and writer needs. The point is always '.': no part of Lakeward sets a locale. */
#ifndef LW_BASE_TEXT_H
#define LW_BASE_TEXT_H

#include "base/status.h"

#include <stdbool.h>
#include <stddef.h>

/* Always NUL-terminated once something was added; `failed` sticks, so that a writer may add many
 * pieces and check once. Start with LW_TEXT(max). */
typedef struct lw_text {
  char *data;
  size_t length, capacity, max;
  bool failed;
} lw_text;

#define LW_TEXT(maximum) ((lw_text){.max = (maximum)})

void lw_text_add(lw_text *text, const char *piece);
void lw_text_add_n(lw_text *text, const char *piece, size_t length);
void lw_text_addf(lw_text *text, const char *format, ...) LW_PRINTF(2, 3);
void lw_text_clear(lw_text *text);             /* empties, keeps the memory */
void lw_text_free(lw_text *text);              /* releases; the buffer may be used again */
const char *lw_text_view(const lw_text *text); /* "" when empty; valid until the next change */
char *lw_text_take(lw_text *text); /* hands the malloc'ed text to the caller; NULL after a failure */

/* Whole-word comparisons that ignore ASCII case. */
bool lw_same_word(const char *a, const char *b);
bool lw_starts_with(const char *text, const char *prefix);

/* true when `text` is well-formed UTF-8 without control characters other than tab and newline. */
bool lw_text_is_clean(const char *text, size_t length);

/* Reads a finite decimal number at `text` ("12", "-3.5e2", "1,200", "1/2", "5 1/2"; never hex, inf
 * or nan). On success *end is the first character not used. `commas` allows thousands commas.
 * Returns false when no number stands there or it is out of a double's range. */
bool lw_read_number(const char *text, bool commas, double *out, const char **end);

/* The shortest decimal that reads back as the same double ("0.1", "4046.8564224"). `value` must be
 * finite. `out` is at least LW_NUMBER_MAX bytes. */
enum { LW_NUMBER_MAX = 40 };
const char *lw_number_text(double value, char out[LW_NUMBER_MAX]);

/* `value` with `digits` significant digits and no trailing zeros, never in exponent form for the
 * sizes people write ("41", "0.25", "12300"). */
const char *lw_rounded_text(double value, int digits, char out[LW_NUMBER_MAX]);

#endif
