/* SPDX-License-Identifier: Apache-2.0 */
/* The invented lakes keep their promise: what they call their volume, area and depth is what adding up
 * small squares finds, and the surveyor stays on the water and brings back what was ordered. */
#include "check.h"

#include "lakes.h"

#include <stdbool.h>
#include <stdlib.h>

static lw_arena *arena;

static int set_up(void **state)
{
  (void)state;
  arena = lw_arena_new(0);
  return arena ? 0 : -1;
}

static int tear_down(void **state)
{
  (void)state;
  lw_arena_free(arena);
  return 0;
}

static lw_lake lake_of(lw_lake_kind kind)
{
  lw_lake lake;
  lw_lake_ask ask = {.kind = kind, .size_m = 150, .depth_m = 5, .turn = 0.4, .seed = 7};
  assert_int_equal(lw_lake_make(&lake, &ask, arena, NULL), LW_OK);
  return lake;
}

/* Midpoints of squares of 0.5 m over everything: knows nothing of the formulas. */
static void volumes_are_what_squares_add_up_to(void **state)
{
  (void)state;
  for (int kind = 0; kind < LW_LAKE_KINDS; kind++) {
    lw_lake lake = lake_of((lw_lake_kind)kind);
    double volume = 0;
    double area = 0;
    double deepest = 0;
    double step = 0.5;
    for (double y = -450; y < 450; y += step) {
      for (double x = -450; x < 450; x += step) {
        double d = lw_lake_depth_m(&lake, (lw_spot){x, y});
        volume += d * step * step;
        area += d > 0 ? step * step : 0;
        deepest = fmax(deepest, d);
      }
    }
    print_message("# %s: area %.6f volume %.6f of stated\n", lake.name, area / lake.area_m2,
                  volume / lake.volume_m3);
    assert_close(volume / lake.volume_m3, 1, 1e-5);
    assert_close(area / lake.area_m2, 1, 3e-4);
    assert_close(lake.deepest_m, 5, 1e-12);
    assert_close(deepest, 5, 0.02);
  }
}

static void textbook_volumes(void **state)
{
  (void)state;
  double pi = acos(-1);
  assert_close(lake_of(LW_LAKE_CONE).volume_m3, pi * 150 * 150 * 5 / 3, 1e-6);
  assert_close(lake_of(LW_LAKE_PARABOLOID).volume_m3, pi * 150 * 150 * 5 / 2, 1e-6);
  assert_close(lake_of(LW_LAKE_CONE).area_m2, pi * 150 * 150, 1e-6);
  assert_close(lake_of(LW_LAKE_BOWL).area_m2, pi * 150 * 150 * 0.55, 1e-6);
  assert_close(lake_of(LW_LAKE_WEDGE).area_m2, 150 * 300, 1e-6);
  assert_int_equal(lake_of(LW_LAKE_ISLAND).shore.ring_count, 2);
}

static void surveyor_brings_what_was_ordered(void **state)
{
  (void)state;
  for (int kind = 0; kind < LW_LAKE_KINDS; kind++) {
    lw_lake lake = lake_of((lw_lake_kind)kind);
    lw_sailing how = {.lines = 20,
                      .spacing_m = 2,
                      .noise_m = 0.05,
                      .spikes = 0.02,
                      .spike_least_m = 1,
                      .spike_most_m = 3,
                      .dropouts = 0.01,
                      .double_echoes = 0.01,
                      .heading = 1.1,
                      .seed = 3};
    lw_sailed got;
    lw_sailed again;
    assert_int_equal(lw_lake_sail(&got, &lake, &how, arena, NULL), LW_OK);
    assert_int_equal(lw_lake_sail(&again, &lake, &how, arena, NULL), LW_OK);
    assert_int_equal(got.count, again.count);
    assert_memory_equal(got.soundings, again.soundings, got.count * sizeof(*got.soundings));
    assert_true(got.pieces >= 18 && got.pieces <= 60);
    assert_true((double)got.count * 2 * 15 > 0.5 * lake.area_m2 / 15 && got.count > 500);
    double squares = 0;
    size_t good = 0;
    for (size_t i = 0; i < got.count; i++) {
      assert_true(got.truth_m[i] > 0);
      double off = (double)got.soundings[i].depth_m - got.truth_m[i];
      squares += got.planted[i] == LW_SOUNDING_GOOD ? off * off : 0;
      good += got.planted[i] == LW_SOUNDING_GOOD;
    }
    assert_close(sqrt(squares / (double)good), 0.05, 0.005);
    assert_close((double)(got.count - good) / (double)got.count, 0.04, 0.03);
  }
}

static void ensemble_varies(void **state)
{
  (void)state;
  double scale = 0;
  double level = 0;
  for (uint32_t k = 0; k < LW_ENSEMBLE; k++) {
    lw_lake_ask ask;
    lw_sailing how;
    lw_lakes_draw(&ask, &how, 1, k);
    scale += how.scale_error * how.scale_error / LW_ENSEMBLE;
    level += how.level_error_m * how.level_error_m / LW_ENSEMBLE;
    assert_true(how.lines >= 8 && how.lines <= 40);
    lw_lake lake;
    lw_sailed got;
    assert_int_equal(lw_lake_make(&lake, &ask, arena, NULL), LW_OK);
    assert_int_equal(lw_lake_sail(&got, &lake, &how, arena, NULL), LW_OK);
    assert_true(got.count > 50 && got.pieces >= how.lines / 2);
  }
  assert_close(sqrt(scale), 0.01, 0.0015);
  assert_close(sqrt(level), 0.02, 0.003);
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(volumes_are_what_squares_add_up_to, set_up, tear_down),
      cmocka_unit_test_setup_teardown(textbook_volumes, set_up, tear_down),
      cmocka_unit_test_setup_teardown(surveyor_brings_what_was_ordered, set_up, tear_down),
      cmocka_unit_test_setup_teardown(ensemble_varies, set_up, tear_down),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
