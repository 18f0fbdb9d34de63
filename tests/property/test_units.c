/* SPDX-License-Identifier: Apache-2.0 */
/* Laws of units and numbers, on random draws: conversion undoes itself, composes and scales; a quantity
 * written out reads back; any double survives its text; no random text gives a number that is not one.
 * Draws are counter-based: what failed once fails again. */
#include "check.h"

#include "base/quantity.h"
#include "base/random.h"
#include "base/text.h"
#include "base/units.h"

#include <stdbool.h>
#include <stdlib.h>

enum { DRAWS = 4000, EXPRESSION = 64 };

typedef struct source {
  lw_random random;
  uint64_t index;
} source;

static source source_of(uint32_t stream)
{
  return (source){.random = {.seed = 20260415, .stream = 1000 + stream}};
}

static double draw(source *s, double low, double high)
{
  return low + (high - low) * lw_random_uniform(&s->random, s->index++);
}

static size_t pick(source *s, size_t count)
{
  size_t n = (size_t)draw(s, 0, (double)count);
  return n < count ? n : count - 1;
}

/* Of any size people meet, and of either sign. */
static double draw_value(source *s)
{
  return draw(s, -1, 1) * pow(10, draw(s, -9, 9));
}

static const lw_unit_row *pick_row(source *s)
{
  return &lw_unit_rows[pick(s, lw_unit_row_count)];
}

static const lw_unit_row *pick_like(source *s, const lw_unit_row *row)
{
  const lw_unit_row *other = NULL;
  do {
    other = pick_row(s);
  } while (!lw_unit_same_dimension(&other->unit, &row->unit));
  return other;
}

static double convert(double value, const char *from, const char *to)
{
  double out = NAN;
  lw_error err = {0};
  if (lw_convert(&out, value, from, to, &err) != LW_OK) {
    print_error("%.17g %s to %s: %s\n", value, from, to, err.message);
    fail();
  }
  return out;
}

static bool has_offset(const lw_unit_row *a, const lw_unit_row *b)
{
  return a->unit.offset != 0 || b->unit.offset != 0;
}

/* ---- conversion ---- */

static void undoes_itself(void **state)
{
  (void)state;
  source s = source_of(1);
  for (int i = 0; i < DRAWS; i++) {
    const lw_unit_row *a = pick_row(&s);
    const lw_unit_row *b = pick_like(&s, a);
    double x = draw_value(&s);
    double scale = fabs(x) + (has_offset(a, b) ? 460 : 0);
    assert_close(convert(convert(x, a->symbol, b->symbol), b->symbol, a->symbol), x, 1e-15 * scale);
  }
}

static void composes_and_scales(void **state)
{
  (void)state;
  source s = source_of(2);
  for (int i = 0; i < DRAWS; i++) {
    const lw_unit_row *a = pick_row(&s);
    const lw_unit_row *b = pick_like(&s, a);
    const lw_unit_row *c = pick_like(&s, a);
    double x = draw_value(&s);
    double there = convert(x, a->symbol, c->symbol);
    double scale = fabs(there) + (has_offset(a, c) || has_offset(a, b) ? 500 : 0);
    assert_close(convert(convert(x, a->symbol, b->symbol), b->symbol, c->symbol), there, 2e-15 * scale);
    if (!has_offset(a, c)) {
      assert_close(convert(2 * x, a->symbol, c->symbol), 2 * there, 0);
      assert_close(convert(-x, a->symbol, c->symbol), -there, 0);
    }
    assert_true(convert(x + fabs(x), a->symbol, c->symbol) >= there); /* more stays more */
  }
}

/* A compound converts by the factors of its pieces; in which order they divide does not matter. */
static void compounds_convert_by_their_pieces(void **state)
{
  (void)state;
  source s = source_of(3);
  for (int i = 0; i < DRAWS; i++) {
    const lw_unit_row *row[6];
    row[0] = pick_row(&s);
    row[1] = pick_row(&s);
    row[2] = pick_row(&s);
    for (size_t k = 0; k < 3; k++) {
      row[3 + k] = pick_like(&s, row[k]);
    }
    char from[EXPRESSION];
    char to[EXPRESSION];
    char swapped[EXPRESSION];
    (void)snprintf(from, sizeof from, "%s/%s per %s", row[0]->symbol, row[1]->symbol, row[2]->symbol);
    (void)snprintf(swapped, sizeof swapped, "%s/%s/%s", row[0]->symbol, row[2]->symbol, row[1]->symbol);
    (void)snprintf(to, sizeof to, "%s/%s/%s", row[3]->symbol, row[4]->symbol, row[5]->symbol);
    double factor = row[0]->unit.factor / row[3]->unit.factor * (row[4]->unit.factor / row[1]->unit.factor) *
                    (row[5]->unit.factor / row[2]->unit.factor);
    double x = draw_value(&s);
    double got = convert(x, from, to);
    assert_close(got, x * factor, 3e-15 * fabs(got));
    assert_close(convert(x, swapped, to), got, 2e-15 * fabs(got));
  }
}

/* ---- quantities written and read ---- */

static void reads_back_what_is_written(void **state)
{
  (void)state;
  source s = source_of(4);
  for (int i = 0; i < DRAWS; i++) {
    const lw_unit_row *a = pick_row(&s);
    const lw_unit_row *b = pick_like(&s, a);
    double x = draw_value(&s);
    char number[LW_NUMBER_MAX];
    char text[128];
    double got = NAN;
    /* "12 acre" and "12acre"; a number without a unit is taken to be in the one asked for */
    bool bare = strcmp(a->symbol, "1") == 0;
    (void)snprintf(text, sizeof text, "%s%s%s", lw_number_text(x, number), draw(&s, 0, 1) < 0.5 ? " " : "",
                   bare ? "" : a->symbol);
    lw_error err = {0};
    if (lw_quantity_parse(&got, "x", text, b->symbol, &err) != LW_OK) {
      print_error("%s\n", err.message);
      fail();
    }
    if (got != (bare ? x : convert(x, a->symbol, b->symbol))) {
      print_error("'%s' read as %.17g %s\n", text, got, b->symbol);
      fail();
    }
  }
}

static void adds_feet_and_inches_exactly_enough(void **state)
{
  (void)state;
  source s = source_of(5);
  for (int i = 0; i < DRAWS; i++) {
    unsigned feet = (unsigned)pick(&s, 2000);
    unsigned inches = (unsigned)pick(&s, 12);
    bool below = draw(&s, 0, 1) < 0.5;
    char text[64];
    double got = NAN;
    (void)snprintf(text, sizeof text, draw(&s, 0, 1) < 0.5 ? "%s%u ft %u in" : "%s%u'%u\"", below ? "-" : "",
                   feet, inches);
    assert_int_equal(lw_quantity_parse(&got, "x", text, "in", NULL), LW_OK);
    double want = (below ? -1 : 1) * (12.0 * feet + inches);
    assert_close(got, want, 1e-15 * (12.0 * feet + 12));
  }
}

static void reads_commas_as_thousands(void **state)
{
  (void)state;
  source s = source_of(6);
  for (int i = 0; i < DRAWS; i++) {
    unsigned millions = 1 + (unsigned)pick(&s, 999);
    unsigned thousands = (unsigned)pick(&s, 1000);
    unsigned units = (unsigned)pick(&s, 1000);
    unsigned cents = (unsigned)pick(&s, 100);
    char grouped[64];
    char plain[64];
    double got = NAN;
    const char *end = NULL;
    (void)snprintf(grouped, sizeof grouped, "%u,%03u,%03u.%02u lb", millions, thousands, units, cents);
    (void)snprintf(plain, sizeof plain, "%u%03u%03u.%02u", millions, thousands, units, cents);
    assert_true(lw_read_number(grouped, true, &got, &end));
    assert_true(got == strtod(plain, NULL));
    assert_string_equal(end, " lb");
  }
}

/* ---- numbers ---- */

static double draw_double(source *s)
{
  double value = NAN;
  while (!isfinite(value)) {
    uint32_t words[4];
    lw_random_words(&s->random, s->index++, words);
    memcpy(&value, words, sizeof value);
  }
  return value;
}

static void any_double_survives_its_text(void **state)
{
  (void)state;
  source s = source_of(7);
  for (int i = 0; i < 5 * DRAWS; i++) {
    double value = i % 2 ? draw_double(&s) : draw_value(&s);
    double got = NAN;
    const char *end = NULL;
    char text[LW_NUMBER_MAX];
    assert_true(lw_read_number(lw_number_text(value, text), false, &got, &end));
    assert_true(got == value);
    assert_string_equal(end, "");
  }
}

/* Texts made of the pieces people use, in any order: a number comes out finite or not at all, and every
 * refusal is a sentence. */
static void random_texts_give_numbers_or_sentences(void **state)
{
  (void)state;
  static const char *const pieces[] = {
      "1",      "0",        "12",   ".5", ",200", "-",   "+",   " ",  "/",    "/2",        "e",     "e300",
      "1e-320", "ft",       "in",   "'",  "\"",   "$",   "%",   "lb", "acre", "gal",       " per ", "mg/L",
      "degF",   "\xc2\xb2", "\xff", "\n", "\t",   "nan", "inf", "(",  "MG",   "9999999999"};
  source s = source_of(8);
  size_t accepted = 0;
  for (int i = 0; i < 5 * DRAWS; i++) {
    char text[128] = "";
    for (size_t n = 1 + pick(&s, 8); n; n--) {
      (void)strcat(text, pieces[pick(&s, sizeof pieces / sizeof pieces[0])]);
    }
    double got = 0;
    int which = 0;
    lw_error err = {0};
    lw_status status = lw_quantity_parse_either(&got, &which, "amount", text, "in", "lb", &err);
    accepted += status == LW_OK;
    if (status == LW_OK
            ? !isfinite(got)
            : status != LW_INVALID || !lw_text_is_clean(err.message, strlen(err.message)) || !*err.message) {
      print_error("'%s': %s, %g, '%s'\n", text, lw_status_id(status), got, err.message);
      fail();
    }
  }
  assert_true(accepted > DRAWS / 20 && accepted < 4 * DRAWS);
}

/* What is shown reads back to the digits shown. */
static void shown_values_read_back(void **state)
{
  (void)state;
  source s = source_of(9);
  for (int i = 0; i < DRAWS; i++) {
    const lw_quantity *q = &lw_quantities[pick(&s, LW_QUANTITY_COUNT)];
    if (q->choices) {
      continue;
    }
    double value = draw(&s, q->usual_low, q->usual_high);
    for (int system = LW_US; system <= LW_METRIC; system++) {
      char text[LW_SHOWN_MAX];
      double got = NAN;
      assert_int_equal(lw_quantity_parse(&got, q->name,
                                         lw_quantity_shown(q, value, (lw_unit_system)system, text), q->unit,
                                         NULL),
                       LW_OK);
      assert_close(got, value,
                   0.06 * fabs(value) +
                       (q->id == LW_TEMPERATURE ? 1.9 : 0)); /* two digits, at worst 10 for 10.5 */
    }
  }
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(undoes_itself),
      cmocka_unit_test(composes_and_scales),
      cmocka_unit_test(compounds_convert_by_their_pieces),
      cmocka_unit_test(reads_back_what_is_written),
      cmocka_unit_test(adds_feet_and_inches_exactly_enough),
      cmocka_unit_test(reads_commas_as_thousands),
      cmocka_unit_test(any_double_survives_its_text),
      cmocka_unit_test(random_texts_give_numbers_or_sentences),
      cmocka_unit_test(shown_values_read_back),
  };
  return cmocka_run_group_tests_name("property units", tests, NULL, NULL);
}
