/* SPDX-License-Identifier: Apache-2.0 */
/* Mean, deviation and quantiles against values known by analysis, against the NIST Statistical Reference
 * Datasets for numerical accuracy (NumAcc1-4: certified mean and deviation; the sets are short rules and
 * are built here, certified values from memory), and against the same sums in long double. */
#include "check.h"

#include "base/random.h"
#include "base/stats.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

enum { MANY = 1001 };

static double mean_of(const double *values, size_t n)
{
  double out = NAN;
  assert_int_equal(lw_mean(&out, values, n, NULL), LW_OK);
  return out;
}

static double deviation_of(const double *values, size_t n)
{
  double out = NAN;
  assert_int_equal(lw_deviation(&out, values, n, NULL), LW_OK);
  return out;
}

static double quantile_of(const double *values, size_t n, double p)
{
  double out = NAN;
  assert_int_equal(lw_quantile(&out, values, n, p, NULL), LW_OK);
  return out;
}

/* ---- mean and deviation ---- */

static void knows_simple_sets(void **state)
{
  (void)state;
  static const double set[] = {2, 4, 4, 4, 5, 5, 7, 9};
  assert_close(mean_of(set, COUNT(set)), 5, 0);
  assert_close(deviation_of(set, COUNT(set)), sqrt(32.0 / 7), 1e-15);
  assert_close(mean_of(set, 1), 2, 0);
  static const double pair[] = {-1.5, 1.5};
  assert_close(mean_of(pair, 2), 0, 0);
  assert_close(deviation_of(pair, 2), 1.5 * sqrt(2), 1e-15);
  static const double same[] = {0.1, 0.1, 0.1};
  assert_close(deviation_of(same, 3), 0, 1e-16);
}

/* 1..n: mean (n+1)/2, variance n(n+1)/12. */
static void knows_arithmetic_series(void **state)
{
  (void)state;
  double values[MANY];
  for (size_t n = 2; n <= MANY; n += 111) {
    for (size_t i = 0; i < n; i++) {
      values[i] = (double)(i + 1);
    }
    assert_close(mean_of(values, n), ((double)n + 1) / 2, 1e-12);
    assert_close(deviation_of(values, n), sqrt((double)n * ((double)n + 1) / 12), 1e-12);
  }
}

static void meets_the_certified_values(void **state)
{
  (void)state;
  static const double first[] = {10000001, 10000003, 10000002};
  assert_close(mean_of(first, 3), 10000002, 0);
  assert_close(deviation_of(first, 3), 1, 0);
  static const struct {
    double centre, reachable; /* the data themselves are rounded to doubles: so much of 0.1 is lost */
  } sets[] = {{1.2, 1e-15}, {1000000.2, 1e-10}, {10000000.2, 1e-9}};
  for (size_t s = 0; s < COUNT(sets); s++) {
    double values[MANY] = {sets[s].centre};
    for (size_t i = 1; i < MANY; i++) {
      values[i] = sets[s].centre + (i % 2 ? -0.1 : 0.1);
    }
    assert_close(mean_of(values, MANY), sets[s].centre, 1e-15 * sets[s].centre);
    assert_close(deviation_of(values, MANY), 0.1, sets[s].reachable);
  }
}

static void agrees_with_wider_arithmetic(void **state)
{
  (void)state;
  const lw_random random = {.seed = 20260415, .stream = 41};
  double values[MANY];
  for (int round = 0; round < 40; round++) {
    long double sum = 0;
    for (size_t i = 0; i < MANY; i++) { /* sizes from 1e-8 to 1e8, of both signs */
      uint64_t index = (uint64_t)round * 2 * MANY + 2 * i;
      values[i] = lw_random_normal(&random, index) * pow(10, 16 * lw_random_uniform(&random, index + 1) - 8);
      sum += values[i];
    }
    long double mean = sum / MANY;
    long double squares = 0;
    for (size_t i = 0; i < MANY; i++) {
      squares += (values[i] - mean) * (values[i] - mean);
    }
    double deviation = (double)sqrtl(squares / (MANY - 1));
    assert_close(mean_of(values, MANY), (double)mean, 2e-16 * fabs((double)mean) + 1e-17 * deviation);
    assert_close(deviation_of(values, MANY), deviation, 1e-14 * deviation);
  }
}

/* What plain addition loses: 1 between two giants, and many small after a large. */
static void keeps_what_plain_sums_lose(void **state)
{
  (void)state;
  static const double cancelling[] = {1, 1e100, 1, -1e100};
  assert_close(mean_of(cancelling, 4), 0.5, 0);
  double values[MANY] = {1e16};
  for (size_t i = 1; i < MANY; i++) {
    values[i] = 1;
  }
  assert_close(mean_of(values, MANY), (1e16 + 1000) / MANY, 0.002);
  double plain = 0;
  for (size_t i = 0; i < MANY; i++) {
    plain += values[i];
  }
  assert_true(plain == 1e16); /* so the test tells the two apart */
}

/* ---- quantiles ---- */

/* Type 7 of Hyndman & Fan 1996: h = (n - 1) p + 1, between the order statistics around h. */
static void interpolates_between_order_statistics(void **state)
{
  (void)state;
  static const double set[] = {1, 2, 4, 8, 16};
  static const double want[][2] = {{0, 1},     {0.25, 2},   {0.5, 4},   {0.75, 8},  {1, 16},
                                   {0.1, 1.4}, {0.9, 12.8}, {0.625, 6}, {0.05, 1.2}};
  for (size_t i = 0; i < COUNT(want); i++) {
    assert_close(quantile_of(set, COUNT(set), want[i][0]), want[i][1], 4e-15);
  }
  assert_close(quantile_of(set, 4, 0.5), 3, 0); /* an even count: half way */
  assert_close(quantile_of(set, 1, 0), 1, 0);
  assert_close(quantile_of(set, 1, 0.3), 1, 0);
  assert_close(quantile_of(set, 1, 1), 1, 0);
}

static void rises_with_the_probability(void **state)
{
  (void)state;
  const lw_random random = {.seed = 20260415, .stream = 42};
  double values[101];
  for (size_t i = 0; i < 101; i++) {
    values[i] = lw_random_normal(&random, i);
  }
  lw_sort(values, 101);
  double before = values[0];
  for (int i = 0; i <= 1000; i++) {
    double now = quantile_of(values, 101, i / 1000.0);
    assert_true(now >= before - 1e-15 && now >= values[0] && now <= values[100]);
    before = now;
  }
  for (size_t i = 0; i <= 100; i++) {
    assert_close(quantile_of(values, 101, (double)i / 100), values[i], 1e-13);
  }
}

static void sorts_upwards(void **state)
{
  (void)state;
  const lw_random random = {.seed = 20260415, .stream = 43};
  double values[MANY];
  double sum = 0;
  for (size_t i = 0; i < MANY; i++) {
    values[i] = floor(100 * lw_random_uniform(&random, i)); /* with many equal ones */
    sum += values[i];
  }
  lw_sort(values, MANY);
  for (size_t i = 1; i < MANY; i++) {
    assert_true(values[i - 1] <= values[i]);
  }
  assert_close(mean_of(values, MANY), sum / MANY, 1e-12);
  lw_sort(values, 1);
  lw_sort(NULL, 0);
}

/* ---- refusals ---- */

static void refuses_what_has_no_answer(void **state)
{
  (void)state;
  static const double one[] = {1, 2};
  static const double huge[] = {1.7e308, 1.7e308};
  static const double apart[] = {-1.7e308, 1.7e308};
  double out = -77;
  lw_error err = {0};
  assert_int_equal(lw_mean(&out, one, 0, &err), LW_INVALID);
  assert_holds(err.message, "at least one value");
  assert_int_equal(lw_deviation(&out, one, 0, &err), LW_INVALID);
  assert_int_equal(lw_deviation(&out, one, 1, &err), LW_INVALID);
  assert_holds(err.message, "at least two values; 1 given");
  assert_int_equal(lw_quantile(&out, one, 0, 0.5, &err), LW_INVALID);
  assert_int_equal(lw_quantile(&out, one, 2, -0.01, &err), LW_INVALID);
  assert_int_equal(lw_quantile(&out, one, 2, 1.01, &err), LW_INVALID);
  assert_holds(err.message, "1.01");
  assert_int_equal(lw_quantile(&out, one, 2, NAN, &err), LW_INVALID);
  assert_true(out == -77);
  assert_int_equal(lw_mean(&out, huge, 2, &err), LW_INVALID);
  assert_holds(err.message, "out of range");
  assert_int_equal(lw_deviation(&out, apart, 2, &err), LW_INVALID);
  assert_int_equal(lw_quantile(&out, apart, 2, 0, &err), LW_INVALID); /* 0 x infinity is no number */
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(knows_simple_sets),          cmocka_unit_test(knows_arithmetic_series),
      cmocka_unit_test(meets_the_certified_values), cmocka_unit_test(agrees_with_wider_arithmetic),
      cmocka_unit_test(keeps_what_plain_sums_lose), cmocka_unit_test(interpolates_between_order_statistics),
      cmocka_unit_test(rises_with_the_probability), cmocka_unit_test(sorts_upwards),
      cmocka_unit_test(refuses_what_has_no_answer),
  };
  return cmocka_run_group_tests_name("base stats", tests, NULL, NULL);
}
