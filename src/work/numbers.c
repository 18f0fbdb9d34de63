/* SPDX-License-Identifier: Apache-2.0 */
#include "work/numbers.h"

#include "base/text.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { TEXT_MOST = 200000, DIGITS_MOST = 9 };

static lw_status no_memory(lw_error *err)
{
  return lw_fail(err, LW_MEMORY, "no memory for the numbers of soundings");
}

static int by_first(const void *a, const void *b)
{
  size_t x = ((const lw_number_range *)a)->first;
  size_t y = ((const lw_number_range *)b)->first;
  return (x > y) - (x < y);
}

/* Sorts, and makes one of ranges that overlap or touch. */
static void tidy(lw_numbers *numbers)
{
  size_t kept = 0;
  if (numbers->count > 1) {
    qsort(numbers->ranges, numbers->count, sizeof *numbers->ranges, by_first);
  }
  for (size_t i = 0; i < numbers->count; i++) {
    const lw_number_range range = numbers->ranges[i];
    lw_number_range *last = kept ? &numbers->ranges[kept - 1] : NULL;
    if (last && range.first <= last->last + 1) {
      last->last = range.last > last->last ? range.last : last->last;
    } else {
      numbers->ranges[kept++] = range;
    }
  }
  numbers->count = kept;
}

/* ---- reading ---- */

static const char *read_one(const char *at, size_t *out)
{
  size_t digits = strspn(at, "0123456789");
  *out = digits && digits <= DIGITS_MOST ? (size_t)strtoul(at, NULL, 10) : 0;
  return at + digits;
}

static lw_status check_range(const lw_number_range *range, const char *field, const char *piece, size_t most,
                             lw_error *err)
{
  int shown = (int)strcspn(piece, ", \t\n");
  if (range->first < 1 || range->last < range->first) {
    return lw_fail(err, LW_INVALID,
                   "%s: '%.*s' is no number of a sounding; give numbers from 1 and ranges, such as 3,17-20",
                   field, shown > 40 ? 40 : shown, piece);
  }
  if (range->last > most) {
    return lw_fail(err, LW_INVALID, "%s: there is no sounding %zu; the survey has %zu", field, range->last,
                   most);
  }
  return LW_OK;
}

static lw_status read_piece(lw_number_range *out, const char **at, const char *field, size_t most,
                            lw_error *err)
{
  const char *piece = *at;
  const char *end = read_one(piece, &out->first);
  out->last = out->first;
  if (*end == '-') {
    end = read_one(end + 1, &out->last);
  }
  if (*end && !strchr(", \t\n", *end)) {
    out->first = 0;
  }
  *at = end;
  return check_range(out, field, piece, most, err);
}

static size_t count_pieces(const char *text)
{
  size_t pieces = 0;
  for (const char *at = text; *(at += strspn(at, ", \t\n")); at += strcspn(at, ", \t\n")) {
    pieces++;
  }
  return pieces;
}

lw_status lw_numbers_parse(lw_numbers *out, const char *field, const char *text, size_t most, lw_arena *arena,
                           lw_error *err)
{
  size_t pieces = count_pieces(text);
  *out = (lw_numbers){.count = 0};
  if (pieces > LW_NUMBERS_RANGES) {
    return lw_fail(err, LW_LIMIT, "%s: %zu numbers and ranges are more than %d; join them into ranges", field,
                   pieces, LW_NUMBERS_RANGES);
  }
  out->ranges = LW_NEW(arena, lw_number_range, pieces);
  if (!out->ranges) {
    return no_memory(err);
  }
  const char *at = text;
  while (*(at += strspn(at, ", \t\n"))) {
    lw_status s = read_piece(&out->ranges[out->count++], &at, field, most, err);
    if (s != LW_OK) {
      return s;
    }
  }
  tidy(out);
  return LW_OK;
}

/* ---- sets ---- */

lw_status lw_numbers_join(lw_numbers *out, const lw_numbers *a, const lw_numbers *b, lw_arena *arena,
                          lw_error *err)
{
  lw_number_range *ranges = LW_NEW(arena, lw_number_range, a->count + b->count);
  if (!ranges) {
    return no_memory(err);
  }
  if (a->count) {
    memcpy(ranges, a->ranges, a->count * sizeof *ranges);
  }
  if (b->count) {
    memcpy(ranges + a->count, b->ranges, b->count * sizeof *ranges);
  }
  *out = (lw_numbers){.ranges = ranges, .count = a->count + b->count}; /* out may be a or b */
  tidy(out);
  return LW_OK;
}

/* What is left of `range` once b is taken out; *at is the first range of b that may matter. */
static void add_rest(lw_numbers *out, lw_number_range range, const lw_numbers *b, size_t *at)
{
  while (*at < b->count && b->ranges[*at].last < range.first) {
    (*at)++;
  }
  for (size_t k = *at; k < b->count && b->ranges[k].first <= range.last; k++) {
    if (b->ranges[k].first > range.first) {
      out->ranges[out->count++] = (lw_number_range){range.first, b->ranges[k].first - 1};
    }
    range.first = b->ranges[k].last + 1;
  }
  if (range.first <= range.last) {
    out->ranges[out->count++] = range;
  }
}

lw_status lw_numbers_without(lw_numbers *out, const lw_numbers *a, const lw_numbers *b, lw_arena *arena,
                             lw_error *err)
{
  lw_numbers rest = {.ranges = LW_NEW(arena, lw_number_range, a->count + b->count)};
  if (!rest.ranges) {
    return no_memory(err);
  }
  size_t at = 0;
  for (size_t i = 0; i < a->count; i++) {
    add_rest(&rest, a->ranges[i], b, &at);
  }
  *out = rest; /* which may be a or b */
  return LW_OK;
}

size_t lw_numbers_size(const lw_numbers *numbers)
{
  size_t size = 0;
  for (size_t i = 0; i < numbers->count; i++) {
    size += numbers->ranges[i].last - numbers->ranges[i].first + 1;
  }
  return size;
}

lw_status lw_numbers_text(const char **out, const lw_numbers *numbers, lw_arena *arena, lw_error *err)
{
  lw_text text = LW_TEXT(TEXT_MOST);
  for (size_t i = 0; i < numbers->count && !text.failed; i++) {
    const lw_number_range *range = &numbers->ranges[i];
    lw_text_addf(&text, "%s%zu", i ? "," : "", range->first);
    if (range->last > range->first) {
      lw_text_addf(&text, "-%zu", range->last);
    }
  }
  *out = text.failed ? NULL : lw_arena_copy(arena, lw_text_view(&text));
  lw_status s = LW_OK;
  if (text.failed) {
    s = lw_fail(err, LW_LIMIT,
                "the owner's word on single soundings grew past %d characters; drop or restore whole ranges",
                TEXT_MOST);
  } else if (!*out) {
    s = no_memory(err);
  }
  lw_text_free(&text);
  return s;
}
