/* SPDX-License-Identifier: Apache-2.0 */
/* The quantities read off a water: the table itself, what is accepted, refused or asked about, and how
 * values are shown. */
#include "check.h"

#include "base/quantity.h"
#include "base/text.h"
#include "base/units.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* ---- the table ---- */

static void is_in_order_and_consistent(void **state)
{
  (void)state;
  for (int i = 0; i < LW_QUANTITY_COUNT; i++) {
    const lw_quantity *q = &lw_quantities[i];
    lw_unit kept;
    lw_unit us;
    lw_unit metric;
    assert_int_equal(q->id, i);
    assert_int_equal(lw_unit_parse(&kept, q->unit, NULL), LW_OK);
    assert_int_equal(lw_unit_parse(&us, q->us_unit, NULL), LW_OK);
    assert_int_equal(lw_unit_parse(&metric, q->metric_unit, NULL), LW_OK);
    assert_true(lw_unit_same_dimension(&kept, &us) && lw_unit_same_dimension(&kept, &metric));
    assert_true(q->possible_low <= q->usual_low && q->usual_low < q->usual_high &&
                q->usual_high <= q->possible_high);
    assert_in_range(q->digits, 1, 6);
    assert_true(strlen(q->label) > 1 && strlen(q->how) > 10);
    assert_true(lw_text_is_clean(q->how, strlen(q->how)));
    assert_ptr_equal(lw_quantity_find(q->name), q);
    for (const char *p = q->name; *p; p++) { /* fixed names: used in files and on the command line */
      assert_true((*p >= 'a' && *p <= 'z') || *p == '-');
    }
  }
  assert_ptr_equal(lw_quantity_find("WEED-Cover"), &lw_quantities[LW_WEED_COVER]);
  assert_null(lw_quantity_find("weed cover"));
  assert_null(lw_quantity_find(""));
}

/* Both ends of the possible range are accepted, the next numbers outside are not. */
static void refuses_beyond_the_possible(void **state)
{
  (void)state;
  for (int i = 0; i < LW_QUANTITY_COUNT; i++) {
    const lw_quantity *q = &lw_quantities[i];
    const double ends[] = {q->possible_low, q->possible_high};
    for (size_t k = 0; k < 2 && !q->choices; k++) {
      char text[LW_NUMBER_MAX];
      double got = NAN;
      lw_error err = {0};
      assert_int_equal(lw_quantity_read(&got, NULL, q, lw_number_text(ends[k], text), &err), LW_OK);
      assert_true(got == ends[k]);
      double outside = ends[k] + (k ? 1e-6 : -1e-6) * (1 + fabs(ends[k]));
      assert_int_equal(lw_quantity_read(&got, NULL, q, lw_number_text(outside, text), &err), LW_INVALID);
      assert_holds(err.message, q->label);
      assert_holds(err.message, "is not possible; expected between");
      assert_holds(err.message, text);
    }
  }
}

static void asks_about_the_unusual(void **state)
{
  (void)state;
  static const struct {
    const char *name, *text;
    double value;
    bool unusual;
  } cases[] = {{"secchi", "40 in", 1.016, false},
               {"secchi", "2 in", 0.0508, true},
               {"secchi", "15 ft", 4.572, true},
               {"ph", "7.2", 7.2, false},
               {"ph", "11", 11, true},
               {"alkalinity", "34 ppm", 34, false},
               {"alkalinity", "900", 900, true},
               {"alkalinity", "2 gpg", 34.236122090541894, false},
               {"temperature", "60 F", 15.555555555555555, false},
               {"temperature", "41 degC", 41, true},
               {"weed-cover", "100", 100, false},
               {"phosphorus", "0.05 mg/L", 50, false},
               {"phosphorus", "3 mg/L", 3000, true},
               {"outflow", "12 cfs", 0.339802159104, false},
               {"level", "-6 in", -0.1524, false},
               {"level", "-0 ft 6 in", -0.1524, false},
               {"level", "4 ft", 1.2192, true},
               {"oxygen", "20", 20, true}};
  for (size_t i = 0; i < COUNT(cases); i++) {
    double got = NAN;
    bool unusual = !cases[i].unusual;
    lw_error err = {0};
    lw_status status = lw_quantity_read(&got, &unusual, lw_quantity_find(cases[i].name), cases[i].text, &err);
    if (status != LW_OK || unusual != cases[i].unusual ||
        !(fabs(got - cases[i].value) <= 1e-13 * (1 + fabs(got)))) {
      print_error("%s '%s': got %.17g, unusual %d; %s\n", cases[i].name, cases[i].text, got, unusual,
                  err.message);
      fail();
    }
  }
}

static void refuses_wrong_units_and_words(void **state)
{
  (void)state;
  static const struct {
    const char *name, *text, *piece;
  } cases[] = {{"secchi", "40 lb", "secchi: '40 lb' is in lb"},
               {"secchi", "deep", "secchi: 'deep' is not a number"},
               {"secchi", "-3 in", "not possible"},
               {"secchi", "", "is not a number"},
               {"alkalinity", "34 MG/L", "is in MG/L"},
               {"temperature", "60 degrees", "is in degrees"},
               {"water-color", "purple", "must be one of green|brown-mud|tea|clear"},
               {"water-color", "0", "must be one of"},
               {"water-color", "", "must be one of"},
               {"weed-cover", "101", "not possible"},
               {"weed-cover", "-1", "not possible"}};
  for (size_t i = 0; i < COUNT(cases); i++) {
    double got = 0;
    bool unusual = true;
    lw_error err = {0};
    assert_int_equal(lw_quantity_read(&got, &unusual, lw_quantity_find(cases[i].name), cases[i].text, &err),
                     LW_INVALID);
    assert_holds(err.message, cases[i].piece);
    assert_false(unusual);
  }
}

/* ---- words ---- */

static void turns_words_into_numbers_and_back(void **state)
{
  (void)state;
  const lw_quantity *color = &lw_quantities[LW_WATER_COLOR];
  static const char *const words[] = {"green", "brown-mud", "tea", "clear"};
  for (int i = 0; i < 4; i++) {
    double got = -1;
    char shown[LW_SHOWN_MAX];
    assert_int_equal(lw_quantity_read(&got, NULL, color, words[i], NULL), LW_OK);
    assert_true(got == i);
    assert_string_equal(lw_quantity_shown(color, got, LW_US, shown), words[i]);
    assert_int_equal(lw_choice_index(color->choices, words[i]), i);
  }
  char out[LW_SHOWN_MAX];
  assert_null(lw_choice_word(color->choices, 4, out, sizeof out));
  assert_null(lw_choice_word(color->choices, -1, out, sizeof out));
  assert_null(lw_choice_word("a|much-too-long|c", 1, out, 5)); /* does not fit: no half words */
  assert_string_equal(lw_choice_word("a|much-too-long|c", 2, out, 5), "c");
  assert_int_equal(lw_choice_index(color->choices, "Brown-Mud"), 1);
  assert_int_equal(lw_choice_index(color->choices, "brown"), -1);
  assert_int_equal(lw_choice_index("a|b", "a|b"), -1);
  assert_string_equal(lw_quantity_shown(color, 9, LW_US, out), "");
}

/* ---- showing ---- */

static void shows_values_for_people(void **state)
{
  (void)state;
  static const struct {
    double value;
    const char *unit, *shown_unit;
    int digits;
    const char *text;
  } cases[] = {{1.016, "m", "in", 2, "40 in"},     {1.016, "m", "cm", 2, "102 cm"},
               {34, "mg/L", "mg/L", 2, "34 mg/L"}, {15.6, "degC", "degF", 2, "60 °F"},
               {15.6, "degC", "degC", 2, "16 °C"}, {25, "%", "%", 2, "25%"},
               {7.2, "1", "1", 2, "7.2"},          {0, "m", "in", 2, "0 in"},
               {-0.1524, "m", "in", 2, "-6 in"},   {153780.54, "m2", "acre", 2, "38 acre"},
               {567, "kg", "lb", 2, "1250 lb"},    {5670, "kg", "lb", 2, "13000 lb"},
               {0.254, "m", "in", 3, "10 in"},     {0.0254, "m", "ft", 2, "0.083 ft"},
               {5, "kg", "acre", 2, "5 kg"},       {5, "kg", "", 2, "5 kg"},
               {0.9996, "m", "cm", 2, "100 cm"},   {3, "", "", 2, "3"}};
  for (size_t i = 0; i < COUNT(cases); i++) {
    char out[LW_SHOWN_MAX];
    assert_string_equal(
        lw_value_shown(cases[i].value, cases[i].unit, cases[i].shown_unit, cases[i].digits, out),
        cases[i].text);
  }
  char out[LW_SHOWN_MAX];
  assert_string_equal(lw_quantity_shown(&lw_quantities[LW_SECCHI], 0.4572, LW_US, out), "18 in");
  assert_string_equal(lw_quantity_shown(&lw_quantities[LW_SECCHI], 0.4572, LW_METRIC, out), "46 cm");
  assert_string_equal(lw_quantity_shown(&lw_quantities[LW_TEMPERATURE], -1, LW_US, out), "30 °F");
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(is_in_order_and_consistent),
      cmocka_unit_test(refuses_beyond_the_possible),
      cmocka_unit_test(asks_about_the_unusual),
      cmocka_unit_test(refuses_wrong_units_and_words),
      cmocka_unit_test(turns_words_into_numbers_and_back),
      cmocka_unit_test(shows_values_for_people),
  };
  return cmocka_run_group_tests_name("base quantity", tests, NULL, NULL);
}
