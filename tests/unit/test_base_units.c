/* SPDX-License-Identifier: Apache-2.0 */
/* The unit table against exact decimals reckoned apart from it (rational arithmetic on the definitions of
 * NIST SP 811 (2008), appendix B: in 0.0254 m, ft 0.3048 m, lb 0.45359237 kg, gal 231 in3, acre 43,560 ft2,
 * lbf = lb x 9.80665 m/s2), every spelling, every pair, and what is no unit. */
#include "check.h"

#include "base/text.h"
#include "base/units.h"

#include <ctype.h>
#include <stdlib.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

enum { WORD = 64 };

typedef struct factor {
  const char *symbol, *exact; /* to 22 digits */
} factor;

/* mmHg and inHg as SP 811 rounds them; degree and money are counted, not measured. */
static const factor factors[] = {{"m", "1"},
                                 {"cm", "0.01"},
                                 {"mm", "0.001"},
                                 {"km", "1000"},
                                 {"in", "0.0254"},
                                 {"ft", "0.3048"},
                                 {"yd", "0.9144"},
                                 {"mi", "1609.344"},
                                 {"m2", "1"},
                                 {"ha", "10000"},
                                 {"km2", "1000000"},
                                 {"acre", "4046.8564224"},
                                 {"ft2", "0.09290304"},
                                 {"yd2", "0.83612736"},
                                 {"mi2", "2589988.110336"},
                                 {"m3", "1"},
                                 {"L", "0.001"},
                                 {"mL", "0.000001"},
                                 {"gal", "0.003785411784"},
                                 {"qt", "0.000946352946"},
                                 {"pt", "0.000473176473"},
                                 {"fl-oz", "0.0000295735295625"},
                                 {"MG", "3785.411784"},
                                 {"acre-ft", "1233.48183754752"},
                                 {"acre-in", "102.79015312896"},
                                 {"ft3", "0.028316846592"},
                                 {"yd3", "0.764554857984"},
                                 {"kg", "1"},
                                 {"g", "0.001"},
                                 {"mg", "0.000001"},
                                 {"ug", "1e-9"},
                                 {"t", "1000"},
                                 {"lb", "0.45359237"},
                                 {"oz", "0.028349523125"},
                                 {"ton", "907.18474"},
                                 {"s", "1"},
                                 {"min", "60"},
                                 {"h", "3600"},
                                 {"day", "86400"},
                                 {"week", "604800"},
                                 {"yr", "31557600"},
                                 {"cfs", "0.028316846592"},
                                 {"gpm", "0.0000630901964"},
                                 {"mgd", "0.04381263638888888888889"},
                                 {"mph", "0.44704"},
                                 {"kn", "0.5144444444444444444444"},
                                 {"degC", "1"},
                                 {"degF", "0.5555555555555555555556"},
                                 {"K", "1"},
                                 {"Pa", "1"},
                                 {"hPa", "100"},
                                 {"kPa", "1000"},
                                 {"bar", "100000"},
                                 {"atm", "101325"},
                                 {"psi", "6894.757293168361336723"},
                                 {"mmHg", "133.3224"},
                                 {"inHg", "3386.389"},
                                 {"ppm", "0.001"},
                                 {"ppb", "0.000001"},
                                 {"gpg", "0.01711806104527094693484"},
                                 {"J", "1"},
                                 {"kJ", "1000"},
                                 {"MJ", "1000000"},
                                 {"kWh", "3600000"},
                                 {"W", "1"},
                                 {"kW", "1000"},
                                 {"hp", "745.69987158227022"},
                                 {"$", "1"},
                                 {"1", "1"},
                                 {"%", "0.01"},
                                 {"degree", "1"}};

static lw_unit parsed(const char *text)
{
  lw_unit unit = {.factor = 0};
  lw_error err = {0};
  if (lw_unit_parse(&unit, text, &err) != LW_OK) {
    print_error("'%s': %s\n", text, err.message);
    fail();
  }
  return unit;
}

static bool same_unit(const lw_unit *a, const lw_unit *b)
{
  return lw_unit_same_dimension(a, b) && a->factor == b->factor && a->offset == b->offset;
}

/* The n-th word of a '|' list; false past its end. */
static bool word_of(const char *list, size_t n, char out[WORD])
{
  for (; n && *list; n--) {
    list += strcspn(list, "|");
    list += *list == '|';
  }
  size_t length = strcspn(list, "|");
  assert_true(length < WORD);
  memcpy(out, list, length);
  out[length] = '\0';
  return length > 0;
}

/* ---- the table ---- */

static void holds_the_exact_factors(void **state)
{
  (void)state;
  assert_int_equal(COUNT(factors), lw_unit_row_count);
  for (size_t i = 0; i < COUNT(factors); i++) {
    const lw_unit_row *row = &lw_unit_rows[i];
    double want = strtod(factors[i].exact, NULL);
    assert_string_equal(row->symbol, factors[i].symbol);
    assert_close(row->unit.factor, want, 3e-16 * want); /* the product of the definitions, rounded */
    assert_true(row->exact == (strcmp(row->symbol, "mmHg") != 0 && strcmp(row->symbol, "inHg") != 0));
    bool has_offset = strcmp(row->symbol, "degC") == 0 || strcmp(row->symbol, "degF") == 0;
    assert_true((row->unit.offset != 0) == has_offset);
  }
}

static void reads_every_spelling_as_its_row(void **state)
{
  (void)state;
  size_t spellings = 0;
  for (size_t i = 0; i < lw_unit_row_count; i++) {
    const lw_unit_row *row = &lw_unit_rows[i];
    char word[WORD];
    char wide[WORD + 8];
    lw_unit unit = parsed(row->symbol);
    assert_true(same_unit(&unit, &row->unit));
    for (size_t k = 0; word_of(row->spellings, k, word); k++) {
      unit = parsed(word);
      assert_true(same_unit(&unit, &row->unit));
      (void)snprintf(wide, sizeof wide, "  %s\t ", word);
      unit = parsed(wide);
      assert_true(same_unit(&unit, &row->unit));
      spellings++;
    }
  }
  assert_true(spellings > 200);
}

static void spells_no_unit_twice(void **state)
{
  (void)state;
  for (size_t i = 0; i < lw_unit_row_count; i++) {
    char word[WORD];
    for (size_t k = 0; word_of(lw_unit_rows[i].spellings, k, word); k++) {
      for (size_t j = 0; j < lw_unit_row_count; j++) {
        char other[WORD];
        assert_true(strcmp(lw_unit_rows[j].symbol, word) != 0);
        for (size_t n = 0; word_of(lw_unit_rows[j].spellings, n, other); n++) {
          assert_true((i == j && k == n) || strcmp(word, other) != 0);
        }
      }
    }
  }
}

/* In capitals or small letters a spelling is its own unit, or refused where it could be two (Mg): only
 * mg in capitals is another unit, millions of gallons. */
static void takes_capitals_where_they_are_clear(void **state)
{
  (void)state;
  for (size_t i = 0; i < lw_unit_row_count; i++) {
    const lw_unit_row *row = &lw_unit_rows[i];
    for (int up = 0; up < 2; up++) {
      char word[WORD];
      lw_unit unit;
      (void)snprintf(word, sizeof word, "%s", row->symbol);
      for (char *p = word; *p; p++) {
        *p = (char)(up ? toupper((unsigned char)*p) : tolower((unsigned char)*p));
      }
      unit = parsed(word);
      assert_true(same_unit(&unit, &row->unit) || strcmp(word, "MG") == 0 || strcmp(word, "mg") == 0);
    }
  }
  lw_unit unit;
  assert_int_equal(lw_unit_parse(&unit, "Mg", NULL), LW_INVALID);
  unit = parsed("MG");
  assert_int_equal(unit.dimension.length, 3);
  unit = parsed("mg");
  assert_int_equal(unit.dimension.mass, 1);
  unit = parsed("Lb/Acre");
  lw_unit small = parsed("lb/acre");
  assert_true(same_unit(&unit, &small));
}

/* ---- pairs ---- */

/* Once there and back: a value is the same to 1e-15, a temperature to 1e-15 of its distance from absolute
 * zero. */
static void check_pair(const lw_unit_row *a, const lw_unit_row *b)
{
  static const double values[] = {0, 1, -3, 12.5, 1e-9, 98.6, 123456.789, 1e12};
  for (size_t i = 0; i < COUNT(values); i++) {
    double there = NAN;
    double back = NAN;
    double x = values[i];
    assert_int_equal(lw_convert(&there, x, a->symbol, b->symbol, NULL), LW_OK);
    assert_int_equal(lw_convert(&back, there, b->symbol, a->symbol, NULL), LW_OK);
    double from_zero = fabs(x) + (a->unit.offset != 0 || b->unit.offset != 0 ? 460 : 0);
    assert_close(back, x, 1e-15 * from_zero);
    double by_si = lw_unit_from_si(&b->unit, lw_unit_to_si(&a->unit, x));
    assert_close(there, by_si, 1e-15 * (fabs(by_si) + (from_zero > fabs(x) ? 460 : 0)));
  }
}

static void converts_every_pair_both_ways(void **state)
{
  (void)state;
  size_t same = 0;
  for (size_t i = 0; i < lw_unit_row_count; i++) {
    for (size_t j = 0; j < lw_unit_row_count; j++) {
      const lw_unit_row *a = &lw_unit_rows[i];
      const lw_unit_row *b = &lw_unit_rows[j];
      if (lw_unit_same_dimension(&a->unit, &b->unit)) {
        check_pair(a, b);
        same++;
        continue;
      }
      double out = -77;
      lw_error err = {0};
      assert_int_equal(lw_convert(&out, 1, a->symbol, b->symbol, &err), LW_INVALID);
      assert_holds(err.message, "they measure different things");
      assert_true(out == -77);
    }
  }
  assert_true(same > 400);
}

static void leaves_a_value_alone_in_its_own_unit(void **state)
{
  (void)state;
  for (size_t i = 0; i < lw_unit_row_count; i++) {
    double out = 0;
    assert_int_equal(lw_convert(&out, 0.1 + 0.2, lw_unit_rows[i].symbol, lw_unit_rows[i].symbol, NULL),
                     LW_OK);
    assert_true(out == 0.1 + 0.2);
  }
}

/* ---- compounds ---- */

static void combines_units(void **state)
{
  (void)state;
  static const struct {
    double value;
    const char *from, *to;
    double want; /* exact, from rational arithmetic */
  } cases[] = {{1, "lb/acre", "kg/ha", 1.1208511561944561},
               {1, "ton/acre", "t/ha", 2.2417023123889122},
               {1, "gal per acre", "L/ha", 9.3539562289562284},
               {34, "mg/L", "ppm", 34},
               {1, "ug/L", "ppb", 1},
               {1, "g/m3", "mg/L", 1},
               {1, "MJ/m2/day", "W/m2", 11.574074074074074},
               {12, "ft3/s", "cfs", 12},
               {720, "ft3/min", "cfs", 12},
               {1, "acre-ft/day", "cfs", 0.50416666666666667},
               {1, "acre-ft", "gal", 325851.42857142857},
               {1, "MG/day", "mgd", 1},
               {1, "lb per acre per day", "kg/ha/day", 1.1208511561944561},
               {0.4, "1/m", "1/ft", 0.12192},
               {2, "$/lb", "$/kg", 4.4092452436975516},
               {50, "%", "1", 0.5},
               {1, "m3/s", "cfs", 35.314666721488592},
               {1, "in/day", "mm/h", 1.0583333333333333},
               {9, "degF/day", "degC/day", 5}};
  for (size_t i = 0; i < COUNT(cases); i++) {
    double got = NAN;
    assert_int_equal(lw_convert(&got, cases[i].value, cases[i].from, cases[i].to, NULL), LW_OK);
    assert_close(got, cases[i].want, 1e-15 * cases[i].want);
  }
  lw_unit plain = parsed("");
  lw_unit one = parsed("1");
  assert_true(same_unit(&plain, &one));
  assert_true(plain.factor == 1 && plain.offset == 0);
}

static void knows_fixed_points_of_temperature(void **state)
{
  (void)state;
  static const double pairs[][2] = {{32, 0}, {212, 100}, {-40, -40}, {68, 20}, {-459.67, -273.15}};
  for (size_t i = 0; i < COUNT(pairs); i++) {
    double got = NAN;
    assert_int_equal(lw_convert(&got, pairs[i][0], "degF", "degC", NULL), LW_OK);
    assert_close(got, pairs[i][1], 1e-13);
    assert_int_equal(lw_convert(&got, pairs[i][1], "degC", "degF", NULL), LW_OK);
    assert_close(got, pairs[i][0], 2e-13);
    assert_int_equal(lw_convert(&got, pairs[i][1], "degC", "K", NULL), LW_OK);
    assert_close(got, pairs[i][1] + 273.15, 1e-13);
  }
}

/* ---- refusals ---- */

static void refuses_what_is_no_unit(void **state)
{
  (void)state;
  static const struct {
    const char *text, *piece;
  } cases[] = {{"furlong", "'furlong'"},
               {"lb/", "'/' in 'lb/'"},
               {"lb/acre/", "'/'"},
               {"/acre", "'/acre'"},
               {"/", "is not a unit"},
               {"lb//acre", "is not a unit"},
               {"lb per", "is not a unit"},
               {"per acre", "is not a unit"},
               {"lb/furlong", "'furlong' in 'lb/furlong'"},
               {"lb*acre", "is not a unit"},
               {"lb acre", "is not a unit"},
               {"m4", "is not a unit"},
               {"12", "is not a unit"},
               {"kgg", "is not a unit"},
               {"Mg", "is not a unit"},
               {"acre-", "is not a unit"},
               {"lb\xff", "'lb?'"},
               {"lb|lbs", "is not a unit"},
               {"mmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmm", "too long"}};
  for (size_t i = 0; i < COUNT(cases); i++) {
    lw_unit unit;
    lw_error err = {0};
    if (lw_unit_parse(&unit, cases[i].text, &err) != LW_INVALID) {
      print_error("'%s' was accepted\n", cases[i].text);
      fail();
    }
    assert_holds(err.message, cases[i].piece);
  }
}

/* The longest compounds that fit stay finite, and their exponents do not wrap into another unit. */
static void keeps_long_compounds_apart(void **state)
{
  (void)state;
  lw_text text = LW_TEXT(100);
  lw_text_add(&text, "1");
  for (int i = 0; i < 30; i++) {
    lw_text_add(&text, "/L");
  }
  lw_unit unit = parsed(lw_text_view(&text));
  assert_int_equal(unit.dimension.length, -90);
  assert_close(unit.factor / 1e90, 1, 1e-14);
  double out = 0;
  assert_int_equal(lw_convert(&out, 1e300, lw_text_view(&text), lw_text_view(&text), NULL), LW_OK);
  assert_int_equal(lw_convert(&out, 1e300, lw_text_view(&text), "1/m3", NULL), LW_INVALID);
  lw_text_free(&text);
  lw_error err = {0};
  assert_int_equal(lw_convert(&out, 1e306, "km", "mm", &err), LW_INVALID);
  assert_holds(err.message, "out of range");
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(holds_the_exact_factors),
      cmocka_unit_test(reads_every_spelling_as_its_row),
      cmocka_unit_test(spells_no_unit_twice),
      cmocka_unit_test(takes_capitals_where_they_are_clear),
      cmocka_unit_test(converts_every_pair_both_ways),
      cmocka_unit_test(leaves_a_value_alone_in_its_own_unit),
      cmocka_unit_test(combines_units),
      cmocka_unit_test(knows_fixed_points_of_temperature),
      cmocka_unit_test(refuses_what_is_no_unit),
      cmocka_unit_test(keeps_long_compounds_apart),
  };
  return cmocka_run_group_tests_name("base units", tests, NULL, NULL);
}
