/* SPDX-License-Identifier: Apache-2.0 */
/* The unit table against UDUNITS-2, a second opinion kept by others. Where it differs it is by a known
 * reason: its acre is of the retired survey foot, its gallon, ounce, acre-foot and horsepower are rounded,
 * its year is the tropical one, and it reads some short words as other units altogether. Skipped where the
 * library is not installed; Lakeward itself does not use it. */
#include "check.h"

#ifndef LW_HAVE_UDUNITS

int main(void)
{
  (void)puts("1..0 # SKIP libudunits2-dev is not installed: no second opinion on the unit table");
  return 0;
}

#else

#include "base/units.h"

#include <stdbool.h>
#include <udunits2.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))
#define SURVEY_FOOT (1200.0 / 3937.0)
#define SURVEY_ACRE (SURVEY_FOOT * SURVEY_FOOT / (0.3048 * 0.3048))
#define ROUNDED_GALLON (3.785412 / 3.785411784)

enum { WORD = 64 };

static int begin(void **state)
{
  (void)ut_set_error_message_handler(ut_ignore);
  *state = ut_read_xml(NULL);
  return *state ? 0 : -1;
}

static int end(void **state)
{
  ut_free_system(*state);
  return 0;
}

/* ---- every row under UDUNITS's own name ---- */

typedef struct named {
  const char *symbol, *theirs;
  double ratio; /* theirs to ours */
} named;

static const named names[] = {{"m", "meter", 1},
                              {"cm", "centimeter", 1},
                              {"mm", "millimeter", 1},
                              {"km", "kilometer", 1},
                              {"in", "international_inch", 1},
                              {"ft", "international_foot", 1},
                              {"yd", "international_yard", 1},
                              {"mi", "international_mile", 1},
                              {"m2", "meter2", 1},
                              {"ha", "hectare", 1},
                              {"km2", "kilometer2", 1},
                              {"acre", "acre", SURVEY_ACRE},
                              {"ft2", "international_foot2", 1},
                              {"yd2", "international_yard2", 1},
                              {"mi2", "international_mile2", 1},
                              {"m3", "meter3", 1},
                              {"L", "liter", 1},
                              {"mL", "milliliter", 1},
                              {"gal", "US_liquid_gallon", ROUNDED_GALLON},
                              {"qt", "US_liquid_quart", ROUNDED_GALLON},
                              {"pt", "US_liquid_pint", ROUNDED_GALLON},
                              {"fl-oz", "US_fluid_ounce", ROUNDED_GALLON},
                              {"MG", "1e6 US_liquid_gallon", ROUNDED_GALLON},
                              {"acre-ft", "acre_foot", 1233.489 / 1233.48183754752},
                              {"acre-ft", "acre.international_foot", SURVEY_ACRE},
                              {"acre-in", "acre.international_inch", SURVEY_ACRE},
                              {"ft3", "international_foot3", 1},
                              {"yd3", "international_yard3", 1},
                              {"kg", "kilogram", 1},
                              {"g", "gram", 1},
                              {"mg", "milligram", 1},
                              {"ug", "microgram", 1},
                              {"t", "metric_ton", 1},
                              {"lb", "avoirdupois_pound", 1},
                              {"oz", "avoirdupois_ounce", 0.02834952 / 0.028349523125},
                              {"oz", "avoirdupois_pound/16", 1},
                              {"ton", "short_ton", 1},
                              {"s", "second", 1},
                              {"min", "minute", 1},
                              {"h", "hour", 1},
                              {"day", "day", 1},
                              {"week", "week", 1},
                              {"yr", "year", 31556925.9747 / 31557600},
                              {"yr", "Julian_year", 1},
                              {"cfs", "international_foot3/second", 1},
                              {"gpm", "US_liquid_gallon/minute", ROUNDED_GALLON},
                              {"mgd", "1e6 US_liquid_gallon/day", ROUNDED_GALLON},
                              {"mph", "international_mile/hour", 1},
                              {"kn", "international_knot", 1},
                              {"degC", "degree_Celsius", 1},
                              {"degF", "degree_Fahrenheit", 1},
                              {"K", "kelvin", 1},
                              {"Pa", "pascal", 1},
                              {"hPa", "hectopascal", 1},
                              {"kPa", "kilopascal", 1},
                              {"bar", "bar", 1},
                              {"atm", "standard_atmosphere", 1},
                              {"psi", "psi", 1},
                              {"mmHg", "mmHg", 133.322387415 / 133.3224},
                              {"inHg", "inHg", 3386.388640341 / 3386.389},
                              {"ppm", "milligram/liter", 1},
                              {"ppb", "microgram/liter", 1},
                              {"gpg", "grain/US_liquid_gallon", 1 / ROUNDED_GALLON},
                              {"J", "joule", 1},
                              {"kJ", "kilojoule", 1},
                              {"MJ", "megajoule", 1},
                              {"kWh", "kilowatt.hour", 1},
                              {"W", "watt", 1},
                              {"kW", "kilowatt", 1},
                              {"hp", "horsepower", 745.6999 / 745.69987158227022},
                              {"1", "1", 1},
                              {"%", "percent", 1}};

/* theirs = factor x si-value + offset */
typedef struct opinion {
  bool read, same_dimension;
  double factor, offset;
} opinion;

static opinion ask(ut_system *system, const char *word, const lw_dimension *dimension)
{
  char si_text[64];
  opinion out = {0};
  ut_unit *unit = ut_parse(system, word, UT_UTF8);
  if (!unit) {
    return out;
  }
  (void)snprintf(si_text, sizeof si_text, "m%d.kg%d.s%d.K%d", dimension->length, dimension->mass,
                 dimension->time, dimension->temperature);
  ut_unit *si = ut_parse(system, si_text, UT_UTF8);
  assert_non_null(si);
  out.read = true;
  cv_converter *converter =
      dimension->money || !ut_are_convertible(unit, si) ? NULL : ut_get_converter(unit, si);
  if (converter) {
    out.same_dimension = true;
    out.offset = cv_convert_double(converter, 0);
    /* far from 0, so that the offset of a temperature does not eat the digits of the difference */
    out.factor = (cv_convert_double(converter, 1e6) - cv_convert_double(converter, -1e6)) / 2e6;
    cv_free(converter);
  }
  ut_free(si);
  ut_free(unit);
  return out;
}

static const lw_unit_row *row_of(const char *symbol)
{
  for (size_t i = 0; i < lw_unit_row_count; i++) {
    if (strcmp(lw_unit_rows[i].symbol, symbol) == 0) {
      return &lw_unit_rows[i];
    }
  }
  return NULL;
}

static void agrees_under_their_own_names(void **state)
{
  for (size_t i = 0; i < COUNT(names); i++) {
    const lw_unit_row *row = row_of(names[i].symbol);
    assert_non_null(row);
    opinion theirs = ask(*state, names[i].theirs, &row->unit.dimension);
    if (!theirs.same_dimension) {
      print_error("UDUNITS does not read '%s' as a measure of %s\n", names[i].theirs, row->name);
      fail();
    }
    double want = row->unit.factor * names[i].ratio;
    check_close(theirs.factor, want, 1e-12 * want, names[i].theirs, __FILE__, __LINE__);
    check_close(theirs.offset, row->unit.offset, 1e-12 * fabs(row->unit.offset), names[i].theirs, __FILE__,
                __LINE__);
  }
}

/* Nothing was left out but what is counted here otherwise: money, and degrees of arc kept as degrees. */
static void asks_about_every_row(void **state)
{
  (void)state;
  for (size_t i = 0; i < lw_unit_row_count; i++) {
    const char *symbol = lw_unit_rows[i].symbol;
    bool asked = strcmp(symbol, "$") == 0 || strcmp(symbol, "degree") == 0;
    for (size_t k = 0; k < COUNT(names) && !asked; k++) {
      asked = strcmp(names[k].symbol, symbol) == 0;
    }
    assert_true(asked);
  }
}

/* ---- every spelling of ours, as UDUNITS would read it ---- */

/* Words that are another unit there: arc minutes, galileos, millibarns, micro-second-gallons... */
static const char *const other_things[] = {
    "\"",        "\xe2\x80\xb3", "'",       "\xe2\x80\xb2", "gal",        "us gallon", "us gallons",
    "fl-oz",     "fl oz",        "cu ft",   "cu yd",        "kilos",      "oz",        "us tons",
    "a",         "second-feet",  "gal/min", "mph",          "C",          "degrees C", "F",
    "degrees F", "mb",           "ppm",     "grain/gal",    "grains/gal", "ppb"};

static bool is_other_thing(const char *word)
{
  for (size_t i = 0; i < COUNT(other_things); i++) {
    if (strcmp(other_things[i], word) == 0) {
      return true;
    }
  }
  return false;
}

static bool is_known_ratio(const char *symbol, double ratio)
{
  for (size_t i = 0; i < COUNT(names); i++) {
    if (strcmp(names[i].symbol, symbol) == 0 && fabs(ratio / names[i].ratio - 1) <= 1e-12) {
      return true;
    }
  }
  /* arc degrees in radians; "degrees celsius" is a degree of arc times a degree there */
  return fabs(ratio * 180 / acos(-1.0) - 1) <= 1e-12 &&
         (strcmp(symbol, "degree") == 0 || strncmp(symbol, "deg", 3) == 0);
}

static bool check_word(ut_system *system, const char *word, const lw_unit_row *row)
{
  opinion theirs = ask(system, word, &row->unit.dimension);
  if (theirs.read && !theirs.same_dimension && !is_other_thing(word)) {
    print_error("'%s' is no measure of %s to UDUNITS\n", word, row->name);
    fail();
  }
  if (theirs.same_dimension && !is_known_ratio(row->symbol, theirs.factor / row->unit.factor)) {
    print_error("'%s': theirs %.17g, ours %.17g\n", word, theirs.factor, row->unit.factor);
    fail();
  }
  return theirs.same_dimension;
}

static void agrees_on_every_spelling_it_reads(void **state)
{
  size_t agreed = 0;
  for (size_t i = 0; i < lw_unit_row_count; i++) {
    const lw_unit_row *row = &lw_unit_rows[i];
    agreed += row->unit.dimension.money ? 0 : check_word(*state, row->symbol, row);
    for (const char *p = row->spellings; *p && !row->unit.dimension.money;) {
      char word[WORD];
      size_t n = strcspn(p, "|");
      assert_true(n < WORD);
      memcpy(word, p, n);
      word[n] = '\0';
      agreed += check_word(*state, word, row);
      p += n + (p[n] == '|');
    }
  }
  assert_true(agreed > 150);
}

/* What our documentation says of UDUNITS, so that nobody takes it for the better table. */
static void differs_as_documented(void **state)
{
  const lw_dimension acceleration = {.length = 1, .time = -2};
  const lw_dimension area = {.length = 2};
  const lw_dimension volume = {.length = 3};
  assert_true(ask(*state, "gal", &acceleration).same_dimension);
  assert_false(ask(*state, "gal", &volume).same_dimension);
  assert_false(ask(*state, "cfs", &volume).read);
  assert_close(ask(*state, "acre", &area).factor, 4046.8726098742518, 1e-9);
  assert_close(ask(*state, "gallon", &volume).factor, 0.003785412, 1e-15);
  assert_close(ask(*state, "acre_foot", &volume).factor, 1233.489, 1e-9);
  assert_true(row_of("acre")->unit.factor < 4046.85642241);
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(agrees_under_their_own_names),
      cmocka_unit_test(asks_about_every_row),
      cmocka_unit_test(agrees_on_every_spelling_it_reads),
      cmocka_unit_test(differs_as_documented),
  };
  return cmocka_run_group_tests_name("base udunits", tests, begin, end);
}

#endif
