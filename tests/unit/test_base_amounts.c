/* SPDX-License-Identifier: Apache-2.0 */
/* What people write for an amount: numbers with units, feet and inches, fractions, commas; and what is
 * refused, with the field named. */
#include "check.h"

#include "base/units.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

typedef struct amount {
  const char *text, *unit;
  double want;
} amount;

static void check_amount(const amount *a)
{
  double got = NAN;
  lw_error err = {0};
  lw_status status = lw_quantity_parse(&got, "amount", a->text, a->unit, &err);
  if (status != LW_OK || !(fabs(got - a->want) <= 4e-16 * fabs(a->want))) {
    print_error("'%s' in %s: got %.17g, want %.17g; %s\n", a->text, a->unit, got, a->want, err.message);
    fail();
  }
}

static void check_amounts(const amount *amounts, size_t count)
{
  for (size_t i = 0; i < count; i++) {
    check_amount(&amounts[i]);
  }
}

static void reads_numbers_with_units(void **state)
{
  (void)state;
  static const amount cases[] = {{"40 in", "m", 1.016},
                                 {"40in", "m", 1.016},
                                 {"  40   in ", "m", 1.016},
                                 {"40", "m", 40},
                                 {"4 lb/acre", "lb/acre", 4},
                                 {"4 lb per acre", "kg/ha", 4.4834046247778245},
                                 {"1.5 tons/acre", "ton/acre", 1.5},
                                 {"0.5 gal/acre", "gal/acre", 0.5},
                                 {"40 acre-ft", "acre-ft", 40},
                                 {"40 acre ft", "acre-ft", 40},
                                 {"12 cfs", "ft3/s", 12},
                                 {"8 mph", "mi/h", 8},
                                 {"3 ppm", "mg/L", 3},
                                 {"12 ft3", "ft3", 12},
                                 {"12 ft^3", "ft3", 12},
                                 {"12 ft\xc2\xb3", "ft3", 12},
                                 {"25%", "%", 25},
                                 {"25 percent", "1", 0.25},
                                 {"-3 in", "in", -3},
                                 {"+3 in", "in", 3},
                                 {"1e3lb", "lb", 1000},
                                 {"1e3 lb", "lb", 1000},
                                 {"-0", "m", 0},
                                 {"7.2", "1", 7.2},
                                 {"7.2", "", 7.2},
                                 {"50 #", "lb", 50},
                                 {"$5/lb", "$/lb", 5},
                                 {"$1,234.50", "$", 1234.5},
                                 {"5 dollars", "$", 5},
                                 {"$-5", "$", -5}};
  check_amounts(cases, COUNT(cases));
}

static void reads_fractions_and_commas(void **state)
{
  (void)state;
  static const amount cases[] = {{"1/2 acre", "acre", 0.5},  {"5 1/2 ft", "ft", 5.5},
                                 {"-5 1/2 ft", "ft", -5.5},  {"3 1/4\"", "in", 3.25},
                                 {"1/3", "1", 1.0 / 3},      {"1/2", "ft", 0.5},
                                 {"5 1/2", "ft", 5.5},       {"1,200 lb", "lb", 1200},
                                 {"1,200", "lb", 1200},      {"1,234,567.5 gal", "gal", 1234567.5},
                                 {"-1,200 lb", "lb", -1200}, {"12,345", "lb", 12345},
                                 {"0.200 kg", "kg", 0.2}};
  check_amounts(cases, COUNT(cases));
}

static void adds_feet_and_inches(void **state)
{
  (void)state;
  static const amount cases[] = {{"5 ft 6 in", "ft", 5.5},
                                 {"5ft 6in", "ft", 5.5},
                                 {"5'6\"", "ft", 5.5},
                                 {"5' 6\"", "ft", 5.5},
                                 {"5 feet 6 inches", "ft", 5.5},
                                 {"5\xe2\x80\xb2 6\xe2\x80\xb3", "ft", 5.5},
                                 {"5 ft 6 1/2 in", "in", 66.5},
                                 {"5 ft 0 in", "ft", 5},
                                 {"0 ft 6 in", "ft", 0.5},
                                 {"1 yd 1 ft 6 in", "ft", 4.5},
                                 {"1 mi 10 ft", "ft", 5290},
                                 {"1 m 50 cm", "m", 1.5},
                                 {"12'", "ft", 12},
                                 {"18\"", "in", 18},
                                 {"-5 ft 6 in", "ft", -5.5},
                                 {"-5'6\"", "ft", -5.5},
                                 {"-0 ft 6 in", "ft", -0.5},
                                 {"-0'6\"", "in", -6},
                                 {"5 ft 6 in", "m", 1.6764}};
  check_amounts(cases, COUNT(cases));
}

static void reads_temperatures(void **state)
{
  (void)state;
  static const char *const cases[] = {"68degF",   "68 degF", "68 F", "68 f",       "68°F",
                                      "68 deg F", "20 degC", "20C",  "20 celsius", "20"};
  for (size_t i = 0; i < COUNT(cases); i++) {
    double got = NAN;
    assert_int_equal(lw_quantity_parse(&got, "water", cases[i], "degC", NULL), LW_OK);
    assert_close(got, 20, 1e-13);
  }
}

static void refuses_what_is_no_amount(void **state)
{
  (void)state;
  static const struct {
    const char *text, *unit, *piece;
  } cases[] = {
      {"", "ft", "is not a number with a unit of ft"},
      {"   ", "ft", "is not a number"},
      {"ft", "ft", "is not a number"},
      {"five ft", "ft", "is not a number"},
      {"nan ft", "ft", "is not a number"},
      {"inf", "ft", "is not a number"},
      {"0x10 ft", "ft", "'x10 ft'"},
      {"1e400 ft", "ft", "is not a number"},
      {"1e308 km", "mm", "is not a number"},
      {"1/1e-320 ft", "ft", "is not a number"},
      {"5 kg", "ft", "is in kg, which is not a measure of depth"},
      {"5 %", "ft", "is in %"},
      {"5 furlong", "ft", "depth: 'furlong'"},
      {"5 lb/", "lb", "depth: '/'"},
      {"5 ft 6", "in", "depth: '5 ft 6'"},
      {"5 ft 6 kg", "ft", "adds things that are not feet and inches"},
      {"5 ft -6 in", "ft", "is not a unit"},
      {"5 ft 6 in 7", "ft", "is not a number"},
      {"5 kg 3 g", "kg", "is not a number"},
      {"10 acre 5 acre", "acre", "is not a number"},
      {"5 6 in", "in", "is not a number"},
      {"1,20 lb", "lb", "is not a unit"},
      {"0,5 lb", "lb", "is not a unit"},
      {"0,200 lb", "lb", "is not a unit"},
      {"1.200.000 lb", "lb", "is not a unit"},
      {"1 000 lb", "lb", "is not a number"},
      {"1/0 ft", "ft", "is not a unit"},
      {"5 ft, 6 in", "ft", "is not a unit"},
      {"--5 ft", "ft", "is not a number"},
      {"5 ft 6 in", "kg", "is not a measure"},
      {"$5", "ft", "is not a measure"},
      {"$$5", "$", "is not a number"},
      {"$5 $5", "$", "is not a"},
      {"5 mmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmmm", "m", "is not a number"},
      {"5 \x1b[2J", "m", "'?[2J'"}};
  for (size_t i = 0; i < COUNT(cases); i++) {
    double got = -77;
    lw_error err = {0};
    lw_status status = lw_quantity_parse(&got, "depth", cases[i].text, cases[i].unit, &err);
    if (status != LW_INVALID || !strstr(err.message, cases[i].piece) || !strstr(err.message, "depth")) {
      print_error("'%s' in %s: %s, got %g, '%s'\n", cases[i].text, cases[i].unit, lw_status_id(status), got,
                  err.message);
      fail();
    }
  }
}

/* The unit asked for is the programmer's: it must be one, and is checked first. */
static void refuses_an_unknown_target(void **state)
{
  (void)state;
  double got = 0;
  lw_error err = {0};
  assert_int_equal(lw_quantity_parse(&got, "x", "5 ft", "cubits", &err), LW_INVALID);
  assert_holds(err.message, "'cubits'");
  assert_int_equal(lw_convert(&got, 1, "cubits", "ft", &err), LW_INVALID);
  assert_int_equal(lw_convert(&got, 1, "ft", "cubits", &err), LW_INVALID);
}

static void takes_one_of_two_dimensions(void **state)
{
  (void)state;
  double got = 0;
  int which = -1;
  lw_error err = {0};
  assert_int_equal(lw_quantity_parse_either(&got, &which, "dose", "50 lb", "kg", "L", &err), LW_OK);
  assert_int_equal(which, 0);
  assert_close(got, 22.6796185, 1e-14);
  assert_int_equal(lw_quantity_parse_either(&got, &which, "dose", "2 gal", "kg", "L", &err), LW_OK);
  assert_int_equal(which, 1);
  assert_close(got, 7.570823568, 1e-14);
  assert_string_equal(err.message, ""); /* the first try left nothing behind */
  assert_int_equal(err.status, LW_OK);
  assert_int_equal(lw_quantity_parse_either(&got, &which, "dose", "7", "kg", "L", NULL), LW_OK);
  assert_int_equal(which, 0);
  assert_int_equal(lw_quantity_parse_either(&got, &which, "dose", "7 acre", "kg", "L", &err), LW_INVALID);
  assert_holds(err.message, "give it in kg");
  assert_int_equal(lw_quantity_parse_either(&got, &which, "dose", "7 gal", "kg", NULL, &err), LW_INVALID);
  assert_int_equal(lw_quantity_parse_either(&got, &which, "dose", "7 gil", "kg", "L", &err), LW_INVALID);
  assert_holds(err.message, "'gil'");
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(reads_numbers_with_units),    cmocka_unit_test(reads_fractions_and_commas),
      cmocka_unit_test(adds_feet_and_inches),        cmocka_unit_test(reads_temperatures),
      cmocka_unit_test(refuses_what_is_no_amount),   cmocka_unit_test(refuses_an_unknown_target),
      cmocka_unit_test(takes_one_of_two_dimensions),
  };
  return cmocka_run_group_tests_name("base amounts", tests, NULL, NULL);
}
