/* SPDX-License-Identifier: Apache-2.0 */
/* Laws that hold whatever the numbers: no method of the registry ever gives a value that is not finite,
 * more oxygen fits in colder water, doses scale with the area, slices of a cone give the cone. Draws are
 * counter-based: what failed once fails again. */
#include "evaluate.h"

#include "base/quantity.h"
#include "base/random.h"
#include "base/text.h"
#include "base/units.h"
#include "basin/slices.h"
#include "water/ammonia.h"
#include "water/dose.h"
#include "water/flow.h"
#include "water/lime.h"
#include "water/oxygen.h"

enum { DRAWS = 2000, PI_SLICES = 400 };

/* A stream of draws; each test has its own. */
typedef struct source {
  lw_random random;
  uint64_t index;
} source;

static source source_of(uint32_t stream)
{
  return (source){.random = {.seed = 20260415, .stream = stream}};
}

static double draw(source *s, double low, double high)
{
  return low + (high - low) * lw_random_uniform(&s->random, s->index++);
}

static bool chance(source *s, double probability)
{
  return draw(s, 0, 1) < probability;
}

static int draw_int(source *s, int low, int high)
{
  int n = low + (int)draw(s, 0, high - low + 1);
  return n > high ? high : n;
}

/* ---- every method, any input in its range ---- */

/* Ends of the range, and sizes near each end, matter more than the middle. */
static double draw_in_range(source *s, const lw_input *in)
{
  double width = in->high - in->low;
  switch (draw_int(s, 0, 4)) {
  case 0:
    return chance(s, 0.5) ? in->low : in->high;
  case 1:
    return fmin(in->high, in->low + width * pow(10, draw(s, -12, 0)));
  default:
    return draw(s, in->low, in->high);
  }
}

static int ascending(const void *a, const void *b)
{
  double x = *(const double *)a;
  double y = *(const double *)b;
  return (x > y) - (x < y);
}

static void draw_list(source *s, const lw_input *in, int count, lw_text *out)
{
  double values[40];
  int order = draw_int(s, 0, 2);
  for (int i = 0; i < count; i++) {
    values[i] = draw_in_range(s, in);
  }
  if (order > 0) {
    qsort(values, (size_t)count, sizeof values[0], ascending);
  }
  for (int i = 0; i < count; i++) {
    char number[LW_NUMBER_MAX];
    lw_text_addf(out, "%s%s", i ? "," : "", lw_number_text(values[order == 2 ? count - 1 - i : i], number));
  }
}

static void draw_text(source *s, const lw_input *in, lw_text *out)
{
  static const char *const words[] = {
      "12-48-8", "0-46-0", "100-0-0", "33.3-33.3-33.4", "0-0-0",   "4 lb/acre", "10 ha", "40 acre-ft",
      "gal",     "acre",   "m3",      "kg/ha",          "68 degF", "degC"};
  char word[LW_SHOWN_MAX];
  if (!in->choices) {
    lw_text_add(out, words[draw_int(s, 0, (int)(sizeof words / sizeof words[0]) - 1)]);
    return;
  }
  int count = 1;
  for (const char *p = in->choices; *p; p++) {
    count += *p == '|';
  }
  lw_text_add(out, lw_choice_word(in->choices, draw_int(s, 0, count - 1), word, sizeof word));
}

static void draw_input(source *s, const lw_input *in, int list_count, lw_text *out)
{
  char number[LW_NUMBER_MAX];
  /* drawn one after the other: the order of a call's arguments is the compiler's */
  int a = 0;
  int b = 0;
  switch (in->kind) {
  case LW_INPUT_NUMBER:
    lw_text_add(out, lw_number_text(draw_in_range(s, in), number));
    break;
  case LW_INPUT_LIST:
    draw_list(s, in, list_count, out);
    break;
  case LW_INPUT_TEXT:
    draw_text(s, in, out);
    break;
  case LW_INPUT_DATE:
    a = draw_int(s, 1900, 2199);
    b = draw_int(s, 1, 12);
    lw_text_addf(out, "%04d-%02d-%02d", a, b, draw_int(s, 1, lw_days_in_month(a, b)));
    break;
  case LW_INPUT_CLOCK:
    a = draw_int(s, 0, 23);
    lw_text_addf(out, "%02d:%02d", a, draw_int(s, 0, 59));
    break;
  }
}

/* One draw. True when the method answered; a refusal must speak, and must not be the registry's catch
 * of a value that is not finite. */
static bool draw_evaluation(source *s, const lw_method *m, lw_evaluation *e)
{
  lw_error err = {0};
  lw_text inputs = LW_TEXT(20000);
  lw_status status = LW_OK;
  int list_count = draw_int(s, 1, 30);
  lw_evaluation_begin(e, m);
  for (size_t i = 0; i < lw_method_input_count(m) && status == LW_OK; i++) {
    const lw_input *in = &m->inputs[i];
    if (in->optional && chance(s, 0.4)) {
      continue;
    }
    lw_text value = LW_TEXT(10000);
    draw_input(s, in, list_count, &value);
    lw_text_addf(&inputs, "%s=%s; ", in->name, lw_text_view(&value));
    status = lw_evaluation_set(e, in->name, lw_text_view(&value), &err);
    lw_text_free(&value);
  }
  if (status == LW_OK) {
    status = lw_evaluation_run(e, &err);
  }
  bool fault = status != LW_OK && (status != LW_INVALID || strstr(err.message, "comes out of range") ||
                                   strlen(err.message) < 20);
  if (fault) {
    print_error("%s %s -> %s\n", m->name, lw_text_view(&inputs), err.message);
  }
  lw_text_free(&inputs);
  assert_false(fault);
  return status == LW_OK;
}

static void test_no_method_gives_nonsense(void **state)
{
  (void)state;
  lw_evaluation *e = calloc(1, sizeof *e);
  assert_non_null(e);
  uint32_t stream = 100;
  for (const lw_method *const *m = lw_methods; *m; m++) {
    source s = source_of(stream++);
    int answered = 0;
    for (int i = 0; i < DRAWS; i++) {
      answered += draw_evaluation(&s, *m, e);
    }
    print_message("# %s answered %d of %d\n", (*m)->name, answered, DRAWS);
    assert_true(answered > 0);
  }
  free(e);
}

/* ---- oxygen, ammonia ---- */

static double saturation(double c, double atm, double salt)
{
  double out = NAN;
  assert_int_equal(lw_oxygen_saturation_mg_l(&out, c, atm, salt, NULL), LW_OK);
  return out;
}

static double kpa(double elevation_m)
{
  double out = NAN;
  assert_int_equal(lw_air_pressure_kpa(&out, elevation_m, NULL), LW_OK);
  return out;
}

static void test_saturation_falls(void **state)
{
  (void)state;
  source s = source_of(1);
  for (int i = 0; i < DRAWS; i++) {
    double c = draw(&s, 0, 39.9);
    double z = draw(&s, -400, 4900);
    double salt = draw(&s, 0, 39);
    double atm = kpa(z) / LW_KPA_PER_ATM;
    double here = saturation(c, atm, salt);
    assert_true(here > 0 && here < 20);
    assert_true(saturation(c + 0.1, atm, salt) < here);
    assert_true(saturation(c, kpa(z + 100) / LW_KPA_PER_ATM, salt) < here);
    assert_true(saturation(c, atm, salt + 1) < here);
    /* close to a plain share of pressure: the second-order terms are small */
    assert_close(here / saturation(c, 1, salt), atm, 0.05);
  }
}

static void test_ammonia_rises(void **state)
{
  (void)state;
  source s = source_of(2);
  for (int i = 0; i < DRAWS; i++) {
    double c = draw(&s, 0, 49);
    double ph = draw(&s, 0, 13.8);
    double here = NAN;
    double warmer = NAN;
    double more = NAN;
    assert_int_equal(lw_unionized_ammonia_fraction(&here, c, ph, NULL), LW_OK);
    assert_int_equal(lw_unionized_ammonia_fraction(&warmer, c + 1, ph, NULL), LW_OK);
    assert_int_equal(lw_unionized_ammonia_fraction(&more, c, ph + 0.1, NULL), LW_OK);
    assert_true(here > 0 && here < 1 && warmer > here && more > here);
    /* one unit of pH is tenfold in the ratio of the two forms */
    double down = NAN;
    assert_int_equal(lw_unionized_ammonia_fraction(&down, c, ph / 2, NULL), LW_OK);
    assert_close(log10(here / (1 - here)) - log10(down / (1 - down)), ph / 2, 1e-3);
  }
}

/* The straight line is the safer of the two projections, and both lie under the second reading. */
static void test_dawn_order(void **state)
{
  (void)state;
  source s = source_of(3);
  for (int i = 0; i < DRAWS; i++) {
    double first = draw(&s, 0, 20);
    int start = draw_int(&s, 0, 1439);
    int later = draw_int(&s, 1, 720);
    int dawn = draw_int(&s, later, 1080);
    lw_night_readings night = {.first_mg_l = first,
                               .second_mg_l = first * draw(&s, 0, 1),
                               .first_minute = start,
                               .second_minute = (start + later) % 1440,
                               .dawn_minute = (start + dawn) % 1440};
    lw_dawn_oxygen out = {NAN, NAN};
    assert_int_equal(lw_oxygen_at_dawn(&out, &night, NULL), LW_OK);
    assert_true(out.straight_mg_l >= 0 && out.straight_mg_l <= out.exponential_mg_l + 1e-9);
    assert_true(out.exponential_mg_l <= night.second_mg_l + 1e-9);
  }
}

static void test_transfer_is_linear_in_the_deficit(void **state)
{
  (void)state;
  source s = source_of(4);
  for (int i = 0; i < DRAWS; i++) {
    lw_aeration a = {.standard_rate_kg_h = draw(&s, 0.1, 100),
                     .temperature_c = draw(&s, 0, 40),
                     .pressure_atm = draw(&s, 0.6, 1.05),
                     .alpha = draw(&s, 0.3, 1.1),
                     .beta = 1,
                     .theta = 1.024};
    double full = saturation(a.temperature_c, a.pressure_atm, 0);
    double share = draw(&s, 0, 2);
    double empty = NAN;
    double here = NAN;
    assert_int_equal(lw_oxygen_transfer_kg_h(&empty, &a, NULL), LW_OK);
    a.oxygen_mg_l = share * full;
    assert_int_equal(lw_oxygen_transfer_kg_h(&here, &a, NULL), LW_OK);
    assert_close(here, empty * (1 - share), 1e-9 * empty);
  }
}

/* ---- doses and lime ---- */

static lw_dose dose_of(const lw_dose_plan *plan)
{
  lw_dose dose;
  assert_int_equal(lw_material_dose(&dose, plan, NULL), LW_OK);
  return dose;
}

static void test_dose_scales_and_conserves(void **state)
{
  (void)state;
  source s = source_of(5);
  for (int i = 0; i < DRAWS; i++) {
    double n = draw(&s, 0, 40);
    double p = draw(&s, 0, 30);
    lw_dose_plan plan = {.area_m2 = draw(&s, 100, 1e6),
                         .rate_kg_ha = draw(&s, 0.1, 500),
                         .grade = {n, p, draw(&s, 0, 30)},
                         .package_kg = draw(&s, 1, 50),
                         .volume_m3 = draw(&s, 10, 1e6)};
    lw_dose one = dose_of(&plan);
    double factor = draw(&s, 1, 10);
    plan.area_m2 *= factor;
    lw_dose more = dose_of(&plan);
    assert_close(more.mass_kg, one.mass_kg * factor, 1e-9 * more.mass_kg);
    assert_close(more.p2o5_kg, one.p2o5_kg * factor, 1e-9 * more.mass_kg);
    assert_true(one.nitrogen_kg + one.p2o5_kg + one.k2o_kg <= one.mass_kg * (1 + 1e-12));
    assert_close(one.phosphorus_kg, one.p2o5_kg * 0.436422, 1e-6 * one.mass_kg);
    assert_close(one.phosphorus_added_mg_l * plan.volume_m3, one.phosphorus_kg * 1000, 1e-6 * one.mass_kg);
    assert_true(one.packages * plan.package_kg >= one.mass_kg * (1 - 1e-9));
    assert_true((one.packages - 1) * plan.package_kg < one.mass_kg);
    assert_close(one.packages, round(one.packages), 0);
  }
}

static void test_lime_falls_with_both_ph(void **state)
{
  (void)state;
  source s = source_of(6);
  for (int i = 0; i < DRAWS; i++) {
    double mud = draw(&s, 4.7, 5.65);
    double buffer = draw(&s, 7.0, 7.95);
    double here = NAN;
    double milder_mud = NAN;
    double milder_buffer = NAN;
    assert_int_equal(lw_lime_requirement(&here, mud, buffer, NULL), LW_OK);
    assert_int_equal(lw_lime_requirement(&milder_mud, mud + 0.05, buffer, NULL), LW_OK);
    assert_int_equal(lw_lime_requirement(&milder_buffer, mud, buffer + 0.05, NULL), LW_OK);
    assert_true(here >= 0 && here <= 7056 && milder_mud < here && milder_buffer < here);
  }
}

/* ---- units ---- */

static void test_units_come_back(void **state)
{
  (void)state;
  source s = source_of(7);
  for (size_t i = 0; i < lw_unit_row_count; i++) {
    for (size_t j = 0; j < lw_unit_row_count; j++) {
      double value = draw(&s, 0.01, 1000);
      double there = NAN;
      double back = NAN;
      const char *a = lw_unit_rows[i].symbol;
      const char *b = lw_unit_rows[j].symbol;
      if (lw_convert(&there, value, a, b, NULL) == LW_OK) {
        assert_int_equal(lw_convert(&back, there, b, a, NULL), LW_OK);
        assert_close(back, value, 1e-9 * fmax(value, 1000));
      }
    }
  }
}

/* ---- slices, flow ---- */

static double slices(double (*area)(double), double depth, int count)
{
  double areas[PI_SLICES + 1];
  double depths[PI_SLICES + 1];
  double out = NAN;
  for (int i = 0; i <= count; i++) {
    depths[i] = depth * i / count;
    areas[i] = area((double)i / count);
  }
  assert_int_equal(lw_slices_volume_m3(&out, areas, depths, (size_t)count + 1, NULL), LW_OK);
  return out;
}

static double cone(double share)
{
  return 1000 * (1 - share) * (1 - share);
}

static double paraboloid(double share)
{
  return 1000 * (1 - share);
}

static void test_slices_of_known_bodies(void **state)
{
  (void)state;
  for (int count = 1; count <= PI_SLICES; count++) {
    assert_close(slices(cone, 6, count), 1000 * 6 / 3.0, 1e-6); /* exact however it is cut */
    /* a paraboloid is half its cylinder; frustums fall short by less than a slice's share squared */
    double half = 1000 * 6 / 2.0;
    double got = slices(paraboloid, 6, count);
    assert_true(got < half && half - got < half / pow(count, 1.4));
  }
}

static void test_slices_lie_between_steps(void **state)
{
  (void)state;
  source s = source_of(8);
  for (int i = 0; i < DRAWS; i++) {
    double areas[20];
    double depths[20];
    int count = draw_int(&s, 2, 20);
    double upper = 0;
    double lower = 0;
    double out = NAN;
    areas[0] = draw(&s, 1, 1e6);
    depths[0] = 0;
    for (int k = 1; k < count; k++) {
      areas[k] = areas[k - 1] * draw(&s, 0, 1);
      depths[k] = depths[k - 1] + draw(&s, 0.01, 3);
      upper += areas[k - 1] * (depths[k] - depths[k - 1]);
      lower += areas[k] * (depths[k] - depths[k - 1]);
    }
    assert_int_equal(lw_slices_volume_m3(&out, areas, depths, (size_t)count, NULL), LW_OK);
    assert_true(out > lower && out < upper);
  }
}

static void test_weir_and_retention_scale(void **state)
{
  (void)state;
  source s = source_of(9);
  for (int i = 0; i < DRAWS; i++) {
    lw_weir weir = {.kind = LW_WEIR_KIND_SHARP,
                    .length_m = draw(&s, 5, 100),
                    .head_m = draw(&s, 0.01, 2),
                    .coefficient = LW_WEIR_SHARP};
    double open = NAN;
    double twice = NAN;
    double narrowed = NAN;
    assert_int_equal(lw_weir_flow_m3_s(&open, &weir, NULL), LW_OK);
    weir.contractions = 2;
    assert_int_equal(lw_weir_flow_m3_s(&narrowed, &weir, NULL), LW_OK);
    weir.contractions = 0;
    weir.length_m *= 2;
    assert_int_equal(lw_weir_flow_m3_s(&twice, &weir, NULL), LW_OK);
    assert_close(twice, 2 * open, 1e-9 * twice);
    assert_true(narrowed < open && narrowed > 0);
    double volume = draw(&s, 1, 1e7);
    double days = NAN;
    assert_int_equal(lw_retention_days(&days, volume, open, NULL), LW_OK);
    assert_close(days * 86400 * open, volume, 1e-9 * volume);
  }
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_no_method_gives_nonsense),
      cmocka_unit_test(test_saturation_falls),
      cmocka_unit_test(test_ammonia_rises),
      cmocka_unit_test(test_dawn_order),
      cmocka_unit_test(test_transfer_is_linear_in_the_deficit),
      cmocka_unit_test(test_dose_scales_and_conserves),
      cmocka_unit_test(test_lime_falls_with_both_ph),
      cmocka_unit_test(test_units_come_back),
      cmocka_unit_test(test_slices_of_known_bodies),
      cmocka_unit_test(test_slices_lie_between_steps),
      cmocka_unit_test(test_weir_and_retention_scale),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
