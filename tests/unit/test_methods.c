/* SPDX-License-Identifier: Apache-2.0 */
/* The registry as a whole (every entry complete, names as fixed for callers outside), and the edges of
 * the methods of water and basin: what is refused, in which words, and what is exact. */
#include "evaluate.h"

#include "base/quantity.h"
#include "base/units.h"
#include "water/dose.h"
#include "water/lime.h"
#include "water/oxygen.h"

static void entry_is_complete(const lw_method *m)
{
  static const char *const bases[] = {"read", "memory", "common practice", "computed"};
  bool basis_known = false;
  for (size_t i = 0; i < 4; i++) {
    basis_known = basis_known || strcmp(bases[i], m->basis) == 0;
  }
  assert_true(basis_known);
  assert_true(strlen(m->title) > 3 && strlen(m->purpose) > 20 && strlen(m->formula) > 5);
  assert_true(strlen(m->source) > 5);
  assert_non_null(m->limits);
  assert_non_null(m->evaluate);
  assert_int_equal(strspn(m->name, "abcdefghijklmnopqrstuvwxyz0123456789-"), strlen(m->name));
  assert_true(lw_method_input_count(m) > 0 && lw_method_output_count(m) > 0);
}

static void input_is_sound(const lw_input *in)
{
  lw_unit unit;
  assert_true(in->meaning && strlen(in->meaning) > 3);
  if (in->kind == LW_INPUT_NUMBER || in->kind == LW_INPUT_LIST) {
    assert_int_equal(lw_unit_parse(&unit, in->unit, NULL), LW_OK);
    assert_true(in->low < in->high && isfinite(in->low) && isfinite(in->high));
    assert_true(!in->has_default || (in->fallback >= in->low && in->fallback <= in->high));
  }
  if (in->kind == LW_INPUT_TEXT && in->has_default) {
    assert_true(!in->choices || lw_choice_index(in->choices, in->fallback_text) >= 0);
  }
  assert_true(!in->has_default || in->optional);
}

static void test_every_entry_is_complete(void **state)
{
  (void)state;
  for (const lw_method *const *m = lw_methods; *m; m++) {
    lw_unit unit;
    entry_is_complete(*m);
    assert_ptr_equal(lw_method_find(lw_methods, (*m)->name), *m); /* no name twice */
    for (size_t i = 0; i < lw_method_input_count(*m); i++) {
      input_is_sound(&(*m)->inputs[i]);
    }
    for (size_t i = 0; i < lw_method_output_count(*m); i++) {
      assert_true((*m)->outputs[i].meaning != NULL);
      assert_int_equal(lw_unit_parse(&unit, (*m)->outputs[i].unit, NULL), LW_OK);
    }
  }
}

/* method, inputs and outputs with their units, as callers outside rely on them; '?' is optional */
static const char *const contract[][3] = {
    {"material-dose", "area:m2 rate:kg/ha grade: ?density:kg/L ?package:kg ?volume:m3",
     "mass:kg packages:1 nitrogen:kg p2o5:kg phosphorus:kg k2o:kg p2o5-rate:kg/ha "
     "phosphorus-added:mg/L"},
    {"water-dose", "volume:m3 concentration:mg/L ?active-fraction:1", "mass:kg"},
    {"lime-requirement", "mud-ph:1 buffer-ph:1 ?area:m2 ?neutralizing-value:% ?fineness:%",
     "calcium-carbonate-rate:kg/ha material-rate:kg/ha material-mass:kg"},
    {"lime-fineness", "passing-60-mesh:% mesh-20-60:% mesh-8-20:% over-8-mesh:% ?rating:", "efficiency:%"},
    {"oxygen-saturation", "temperature:degC ?elevation:m ?pressure:kPa ?salinity:g/kg", "oxygen:mg/L"},
    {"unionized-ammonia", "temperature:degC ph:1 ?total-ammonia:mg/L", "fraction:1 unionized:mg/L"},
    {"trophic-state", "?secchi:m ?chlorophyll:ug/L ?phosphorus:ug/L",
     "index-secchi:1 index-chlorophyll:1 index-phosphorus:1"},
    {"light-attenuation", "secchi:m ?factor:1", "attenuation:1/m depth-one-percent:m"},
    {"retention", "volume:m3 outflow:m3/s", "time:day"},
    {"weir-flow", "kind: length:m head:m ?coefficient:1 ?contractions:1", "flow:m3/s"},
    {"basin-slices", "areas:m2 depths:m", "volume:m3"},
    {"oxygen-at-dawn", "first-oxygen:mg/L second-oxygen:mg/L first-time: second-time: dawn:",
     "oxygen-straight:mg/L oxygen-exponential:mg/L"},
    {"oxygen-transfer",
     "standard-rate:kg/h temperature:degC oxygen:mg/L ?elevation:m ?alpha:1 ?beta:1 ?theta:1",
     "actual-rate:kg/h"},
};

static void test_contract_names_and_units(void **state)
{
  (void)state;
  for (size_t c = 0; c < sizeof contract / sizeof contract[0]; c++) {
    const lw_method *m = lw_method_find(lw_methods, contract[c][0]);
    assert_non_null(m);
    char inputs[600] = "";
    char outputs[600] = "";
    size_t n = 0;
    for (size_t i = 0; i < lw_method_input_count(m); i++) {
      const lw_input *in = &m->inputs[i];
      n += (size_t)snprintf(inputs + n, sizeof inputs - n, "%s%s%s:%s", i ? " " : "", in->optional ? "?" : "",
                            in->name, in->unit ? in->unit : "");
      assert_true(n < sizeof inputs);
    }
    n = 0;
    for (size_t i = 0; i < lw_method_output_count(m); i++) {
      n += (size_t)snprintf(outputs + n, sizeof outputs - n, "%s%s:%s", i ? " " : "", m->outputs[i].name,
                            m->outputs[i].unit);
      assert_true(n < sizeof outputs);
    }
    assert_string_equal(inputs, contract[c][1]);
    assert_string_equal(outputs, contract[c][2]);
  }
}

static void test_grade(void **state)
{
  (void)state;
  static const char *const bad[] = {"",       "12",       "12-48",   "12-48-8-1", "12--8",    "-12-48-8",
                                    "a-b-c",  "12-48-8x", "1e1-2-3", "12-48-101", "12 -48-8", "1,2-3-4",
                                    "12-48-", "1/2-3-4",  "0x1-2-3", "nan-1-1",   "...-1-1"};
  lw_grade grade;
  lw_error err = {0};
  assert_int_equal(lw_grade_parse(&grade, "12-48-8", &err), LW_OK);
  assert_close(grade.nitrogen_percent, 12, 0);
  assert_close(grade.p2o5_percent, 48, 0);
  assert_close(grade.k2o_percent, 8, 0);
  assert_int_equal(lw_grade_parse(&grade, "10.5-34.25-0", &err), LW_OK);
  assert_close(grade.p2o5_percent, 34.25, 0);
  for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
    assert_int_equal(lw_grade_parse(&grade, bad[i], &err), LW_INVALID);
    assert_holds(err.message, "12-48-8 or 0-46-0");
  }
  assert_int_equal(lw_grade_parse(&grade, "40-40-21", &err), LW_INVALID);
  assert_holds(err.message, "more than 100");
}

static void test_packages_are_whole(void **state)
{
  (void)state;
  double bag_kg = 50 * 0.45359237;
  for (int n = 0; n <= 5000; n++) {
    assert_close(lw_whole_packages(n * bag_kg, bag_kg), n, 0);
    assert_close(lw_whole_packages(n * 0.1, 0.1), n, 0);
    assert_close(lw_whole_packages((n + 0.001) * bag_kg, bag_kg), n + 1, 0);
  }
}

static void test_dose_of_a_liquid(void **state)
{
  (void)state;
  double kg =
      evaluate("material-dose", "mass", "area=38 acre; rate=1 gal/acre; grade=10-34-0; density=11.65 lb/gal");
  assert_close(kg, 38 * 11.65 * 0.45359237, 1e-9);
  assert_refused("material-dose", "area=1 acre; rate=1 gal/acre; grade=10-34-0", "density");
  assert_refused("material-dose", "area=1 acre; rate=4 lb; grade=10-34-0", "rate");
  assert_refused("material-dose", "area=1 acre; rate=99999 in; grade=10-34-0; density=1", "check its unit");
  assert_refused("material-dose", "area=1 acre; rate=4; grade=twelve", "grade is 'twelve'");
  double out = 0;
  lw_error err = {0};
  assert_int_equal(try_evaluate(&out, "material-dose", "packages", "area=1 ha; rate=4; grade=0-46-0", &err),
                   LW_NOT_FOUND);
}

static void test_lime_table_cells(void **state)
{
  (void)state;
  /* first, middle and last cell of each row; the published rows hold more */
  static const double cells[][4] = {{5.7, 91, 454, 908},    {5.6, 126, 630, 1260},  {5.4, 290, 1449, 2898},
                                    {5.3, 340, 1701, 3402}, {5.2, 391, 1954, 3906}, {5.0, 504, 2520, 5040},
                                    {4.9, 656, 3276, 6552}, {4.7, 706, 3528, 7056}};
  for (size_t i = 0; i < sizeof cells / sizeof cells[0]; i++) {
    static const double buffers[] = {7.9, 7.5, 7.0};
    for (size_t b = 0; b < 3; b++) {
      double kg_ha = 0;
      assert_int_equal(lw_lime_requirement(&kg_ha, cells[i][0], buffers[b], NULL), LW_OK);
      assert_close(kg_ha, cells[i][b + 1], 0);
    }
    double none = -1;
    assert_int_equal(lw_lime_requirement(&none, cells[i][0], 8.0, NULL), LW_OK);
    assert_close(none, 0, 0);
  }
  double between = 0;
  assert_int_equal(lw_lime_requirement(&between, 5.1, 7.45, NULL), LW_OK);
  assert_close(between, (1954 + 2344 + 2520 + 3024) / 4.0, 1e-9);
}

/* Along a row the printed cells keep to a straight line but for their rounding: a slip in copying one
 * would stand out. */
static void test_lime_rows_are_straight(void **state)
{
  (void)state;
  static const double muds[] = {5.7, 5.6, 5.4, 5.3, 5.2, 5.0, 4.9, 4.7};
  for (size_t i = 0; i < sizeof muds / sizeof muds[0]; i++) {
    double last = 0;
    assert_int_equal(lw_lime_requirement(&last, muds[i], 7.0, NULL), LW_OK);
    for (int tenths = 1; tenths < 10; tenths++) {
      double kg_ha = 0;
      assert_int_equal(lw_lime_requirement(&kg_ha, muds[i], 8.0 - tenths / 10.0, NULL), LW_OK);
      assert_close(kg_ha, last * tenths / 10.0, 1.3);
      assert_close(kg_ha, round(kg_ha), 0); /* a cell, not a value between two */
    }
  }
}

static void test_lime_outside_the_table(void **state)
{
  (void)state;
  assert_refused("lime-requirement", "mud-ph=5.85; buffer-ph=7.5", "mud-ph=5.7");
  assert_refused("lime-requirement", "mud-ph=7; buffer-ph=7.5", "needs no lime");
  assert_refused("lime-requirement", "mud-ph=4.5; buffer-ph=7.5", "mud-ph=4.7 as a minimum");
  assert_refused("lime-requirement", "mud-ph=5; buffer-ph=6.8", "half the mud");
  assert_refused("lime-requirement", "mud-ph=5; buffer-ph=8.2", "cannot raise");
  assert_refused("lime-requirement", "mud-ph=5; buffer-ph=7; fineness=0", "fineness");
  assert_refused("lime-fineness", "passing-60-mesh=90; mesh-20-60=90; mesh-8-20=0; over-8-mesh=0", "add up");
  assert_refused("neutralizing-value", "material=chalk", "calcium-carbonate");
}

static void test_lime_from_alkalinity(void **state)
{
  (void)state;
  assert_close(evaluate("lime-from-alkalinity", "mass-high", "alkalinity=9; area=6 acre"), 12 * 907.18474,
               1e-6);
  assert_close(evaluate("lime-from-alkalinity", "rate-low", "alkalinity=20"), 907.18474 / 0.40468564224,
               1e-9);
  assert_close(evaluate("lime-from-alkalinity", "rate-high", "alkalinity=20.1"), 0, 0);
}

static void test_saturation(void **state)
{
  (void)state;
  double plain = evaluate("oxygen-saturation", "oxygen", "temperature=20");
  assert_close(plain, evaluate("oxygen-saturation", "oxygen", "temperature=68 degF; pressure=1 atm"), 1e-12);
  double kpa = evaluate("air-pressure", "pressure", "elevation=1800");
  assert_close(evaluate("oxygen-saturation", "oxygen", "temperature=20; elevation=1800"),
               evaluate("oxygen-saturation", "oxygen", "temperature=20; pressure=%.17g", kpa), 1e-12);
  assert_refused("oxygen-saturation", "temperature=20; elevation=0; pressure=101", "not both");
  assert_refused("oxygen-saturation", "temperature=68", "temperature");
  assert_refused("oxygen-saturation", "temperature=-1", "temperature");
}

static void test_dawn(void **state)
{
  (void)state;
  static const char midnight[] = "first-time=23:30; second-time=01:30; dawn=05:30";
  assert_close(evaluate("oxygen-at-dawn", "oxygen-straight", "first-oxygen=8; second-oxygen=6; %s", midnight),
               2, 1e-12);
  assert_close(
      evaluate("oxygen-at-dawn", "oxygen-exponential", "first-oxygen=8; second-oxygen=6; %s", midnight),
      8 * 0.75 * 0.75 * 0.75, 1e-12);
  assert_close(evaluate("oxygen-at-dawn", "oxygen-straight", "first-oxygen=8; second-oxygen=3; %s", midnight),
               0, 0);
  assert_close(
      evaluate("oxygen-at-dawn", "oxygen-exponential", "first-oxygen=8; second-oxygen=0; %s", midnight), 0,
      0);
  assert_close(
      evaluate("oxygen-at-dawn", "oxygen-exponential", "first-oxygen=0; second-oxygen=0; %s", midnight), 0,
      0);
  assert_refused("oxygen-at-dawn",
                 "first-oxygen=5; second-oxygen=6; first-time=18:00; second-time=21:00; dawn=06:00", "rose");
  assert_refused("oxygen-at-dawn",
                 "first-oxygen=6; second-oxygen=5; first-time=18:00; second-time=18:00; dawn=06:00",
                 "second-time");
  assert_refused("oxygen-at-dawn",
                 "first-oxygen=6; second-oxygen=5; first-time=18:00; second-time=07:00; dawn=09:00",
                 "within 12 h");
  assert_refused("oxygen-at-dawn",
                 "first-oxygen=6; second-oxygen=5; first-time=18:00; second-time=21:00; dawn=20:00", "dawn");
}

static void test_aerator(void **state)
{
  (void)state;
  double full = evaluate("oxygen-saturation", "oxygen", "temperature=28");
  assert_close(
      evaluate("oxygen-transfer", "actual-rate", "standard-rate=10; temperature=28; oxygen=%.17g", full), 0,
      1e-12);
  assert_true(evaluate("oxygen-transfer", "actual-rate", "standard-rate=10; temperature=28; oxygen=14") < 0);
}

static void test_weir_and_retention(void **state)
{
  (void)state;
  assert_refused("weir-flow", "kind=broad; length=2; head=0.2; contractions=2", "sharp crest");
  assert_refused("weir-flow", "kind=sharp; length=1; head=9; contractions=2", "no length is left");
  assert_refused("weir-flow", "kind=round; length=1; head=1", "broad|sharp");
  assert_close(evaluate("weir-flow", "flow", "kind=sharp; length=1; head=0"), 0, 0);
  assert_refused("retention", "volume=1000; outflow=0", "has no retention");
}

static void test_slices_refuse(void **state)
{
  (void)state;
  assert_refused("basin-slices", "areas=3,2; depths=0,1,2", "one depth for each");
  assert_refused("basin-slices", "areas=3; depths=0", "at least two");
  assert_refused("basin-slices", "areas=3,2; depths=1,1", "must grow");
  assert_refused("basin-slices", "areas=2,3; depths=0,1", "must not grow");
  assert_close(evaluate("basin-slices", "volume", "areas=2,2; depths=1,3"), 4, 1e-12);
}

static void test_the_rest_refuse(void **state)
{
  (void)state;
  assert_refused("trophic-state", "secchi=0", "secchi");
  assert_refused("phosphorus-cost", "price=40; package=50 lb; grade=12-0-8", "no P2O5");
  assert_refused("convert", "quantity=5; to=m", "without a unit");
  assert_refused("convert", "quantity=5 ft; to=kg", "quantity");
  assert_refused("convert", "quantity=5 ft; to=furlongs", "furlongs");
  assert_refused("water-dose", "volume=1; concentration=1; active-fraction=0", "active-fraction");
  const lw_method *m = lw_method_find(lw_methods, "trophic-state");
  lw_evaluation *e = calloc(1, sizeof *e);
  assert_non_null(e);
  lw_error err = {0};
  lw_evaluation_begin(e, m);
  assert_int_equal(lw_evaluation_run(e, &err), LW_INVALID);
  assert_holds(err.message, "at least one");
  free(e);
}

/* A function called from elsewhere with a hole in its data must refuse it, not pass it on. */
static void test_not_a_number_is_refused(void **state)
{
  (void)state;
  double out = 0;
  lw_error err = {0};
  assert_int_equal(lw_oxygen_saturation_mg_l(&out, NAN, 1, 0, &err), LW_INVALID);
  assert_holds(err.message, "not a number");
  assert_int_equal(lw_water_dose(&out, NAN, 1, 1, &err), LW_INVALID);
  assert_int_equal(lw_lime_requirement(&out, 5, NAN, &err), LW_INVALID);
  assert_int_equal(lw_air_pressure_kpa(&out, INFINITY, &err), LW_INVALID);
  lw_dose dose;
  lw_dose_plan plan = {.area_m2 = 1, .rate_kg_ha = NAN};
  assert_int_equal(lw_material_dose(&dose, &plan, &err), LW_INVALID);
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_every_entry_is_complete),
      cmocka_unit_test(test_contract_names_and_units),
      cmocka_unit_test(test_grade),
      cmocka_unit_test(test_packages_are_whole),
      cmocka_unit_test(test_dose_of_a_liquid),
      cmocka_unit_test(test_lime_table_cells),
      cmocka_unit_test(test_lime_rows_are_straight),
      cmocka_unit_test(test_lime_outside_the_table),
      cmocka_unit_test(test_lime_from_alkalinity),
      cmocka_unit_test(test_saturation),
      cmocka_unit_test(test_dawn),
      cmocka_unit_test(test_aerator),
      cmocka_unit_test(test_weir_and_retention),
      cmocka_unit_test(test_slices_refuse),
      cmocka_unit_test(test_the_rest_refuse),
      cmocka_unit_test(test_not_a_number_is_refused),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
