/* SPDX-License-Identifier: Apache-2.0 */
/* The shape of a water from soundings, from a handful of depths and from a word, against lakes whose truth
 * is known. */
#include "basin/basin.h"
#include "lakes.h"

#include "check.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct fixture {
  lw_arena *arena;
  lw_error err;
  lw_lake lake;
  lw_sailed sailed;
  lw_basin basin;
} fixture;

static int set_up(void **state)
{
  fixture *f = calloc(1, sizeof *f);
  if (f) {
    f->arena = lw_arena_new(0);
  }
  *state = f;
  return f && f->arena ? 0 : -1;
}

static int tear_down(void **state)
{
  fixture *f = *state;
  lw_arena_free(f->arena);
  free(f);
  return 0;
}

#define assert_fine(f, call) check_fine(&(f)->err, (call), __LINE__)

static void check_fine(const lw_error *err, lw_status status, int line)
{
  if (status != LW_OK) {
    print_error("%s\n", err->message);
    _fail(__FILE__, line);
  }
}

static void make(fixture *f, lw_lake_kind kind, size_t lines)
{
  const lw_lake_ask ask = {.kind = kind, .size_m = 150, .depth_m = 4, .turn = 0.4, .seed = 1};
  const lw_sailing how = {
      .lines = lines, .spacing_m = 3, .heading = 0.9, .noise_m = 0.05, .tracks = true, .seed = 3};
  assert_fine(f, lw_lake_make(&f->lake, &ask, f->arena, &f->err));
  assert_fine(f, lw_lake_sail(&f->sailed, &f->lake, &how, f->arena, &f->err));
}

static lw_basin_input input_of(const fixture *f)
{
  return (lw_basin_input){
      .shore = f->lake.shore, .soundings = f->sailed.soundings, .sounding_count = f->sailed.count, .seed = 1};
}

static void thirty_lines_give_area_and_volume_within_one_percent(void **state)
{
  fixture *f = *state;
  for (int kind = 0; kind < LW_LAKE_KINDS; kind++) {
    make(f, (lw_lake_kind)kind, 30);
    const lw_basin_input in = input_of(f);
    assert_fine(f, lw_basin_reckon(&f->basin, &in, f->arena, &f->err));
    const lw_basin *b = &f->basin;
    assert_int_equal(b->way, LW_BASIN_SOUNDED);
    assert_close(b->area_m2, f->lake.area_m2, 1e-5 * f->lake.area_m2);
    assert_close(b->volume_m3, f->lake.volume_m3, 0.01 * f->lake.volume_m3);
    assert_true(b->volume_low_m3 < f->lake.volume_m3 && f->lake.volume_m3 < b->volume_high_m3);
    assert_true(b->volume_high_m3 - b->volume_low_m3 < 0.1 * b->volume_m3);
    assert_close(b->mean_depth_m * b->area_m2, b->volume_m3, 1e-9 * b->volume_m3);
    assert_true(b->cross_validated && b->folds == 10 && b->used == f->sailed.count);
    assert_true(b->rmse_m > 0.04 && b->rmse_m < 0.3 && fabs(b->bias_m) < 0.03);
  }
}

/* Residuals are those of a map that has not seen the line. */
static void residuals_make_the_root_mean_square(void **state)
{
  fixture *f = *state;
  make(f, LW_LAKE_ISLAND, 20);
  f->sailed.soundings[7].flaw = LW_SOUNDING_SPIKE;
  f->sailed.soundings[7].depth_m = 90;
  const lw_basin_input in = input_of(f);
  assert_fine(f, lw_basin_reckon(&f->basin, &in, f->arena, &f->err));
  double squares = 0;
  double sum = 0;
  size_t n = 0;
  for (size_t k = 0; k < in.sounding_count; k++) {
    double r = (double)f->basin.residual_m[k];
    squares += isnan(r) ? 0 : r * r;
    sum += isnan(r) ? 0 : r;
    n += isnan(r) ? 0 : 1;
  }
  assert_true(isnan(f->basin.residual_m[7]));
  assert_int_equal(n, f->basin.used);
  assert_int_equal(n, f->sailed.count - 1);
  assert_close(sqrt(squares / (double)n), f->basin.rmse_m, 1e-4);
  assert_close(sum / (double)n, f->basin.bias_m, 1e-4);
}

static void the_error_grows_away_from_the_lines(void **state)
{
  fixture *f = *state;
  double here = 0;
  double there = 0;
  double depth = 0;
  make(f, LW_LAKE_ROUGH, 24);
  for (size_t k = 0; k < f->sailed.count; k++) {
    lw_sounding *z = &f->sailed.soundings[k];
    z->flaw = z->x_m > 0 ? LW_SOUNDING_BY_OWNER : LW_SOUNDING_GOOD;
  }
  const lw_basin_input in = input_of(f);
  assert_fine(f, lw_basin_reckon(&f->basin, &in, f->arena, &f->err));
  assert_fine(f, lw_map_depth_at(&depth, &here, &f->basin.map, (lw_spot){-60, 0}, &f->err));
  assert_fine(f, lw_map_depth_at(&depth, &there, &f->basin.map, (lw_spot){75, 0}, &f->err));
  assert_true(here > 0 && there > 2 * here);
}

static void same_input_same_answer(void **state)
{
  fixture *f = *state;
  make(f, LW_LAKE_ROUGH, 12);
  const lw_basin_input in = input_of(f);
  lw_basin *again = LW_NEW(f->arena, lw_basin, 1);
  assert_fine(f, lw_basin_reckon(&f->basin, &in, f->arena, &f->err));
  assert_fine(f, lw_basin_reckon(again, &in, f->arena, &f->err));
  assert_memory_equal(f->basin.member_volume_m3, again->member_volume_m3, sizeof again->member_volume_m3);
  assert_memory_equal(f->basin.map.depth_m, again->map.depth_m,
                      again->map.frame.nx * again->map.frame.ny * sizeof(float));
}

/* The deepest spot of each cross-section, every ten metres, as an owner would trace it. */
static size_t trace_channel(lw_spot *line, const lw_lake *lake)
{
  size_t n = 0;
  for (int k = 1; k <= 29; k++) {
    double best = 0;
    for (int m = -800; m <= 800; m++) {
      lw_spot at = {10 * k * cos(0.4) - 0.1 * m * sin(0.4), 10 * k * sin(0.4) + 0.1 * m * cos(0.4)};
      double depth = lw_lake_depth_m(lake, at);
      line[n] = depth > best ? at : line[n];
      best = fmax(best, depth);
    }
    n += best > 0.2;
  }
  return n;
}

static void a_channel_line_helps(void **state)
{
  fixture *f = *state;
  lw_spot line[30];
  make(f, LW_LAKE_VALLEY, 15);
  lw_basin_input in = input_of(f);
  assert_fine(f, lw_basin_reckon(&f->basin, &in, f->arena, &f->err));
  double without = f->basin.rmse_m;
  const lw_channel channel = {line, trace_channel(line, &f->lake)};
  assert_true(channel.count > 20);
  in.channels = &channel;
  in.channel_count = 1;
  assert_fine(f, lw_basin_reckon(&f->basin, &in, f->arena, &f->err));
  assert_true(f->basin.direction > 0);
  assert_true(f->basin.rmse_m < 0.98 * without);
}

/* A flat bed at 3 m between banks as steep as 1 : 1, sounded clean: lines at the wall cannot be predicted
 * when left out, and must not make the rest of the map any worse. */
static void steep_banks_leave_the_bed_alone(void **state)
{
  fixture *f = *state;
  static const lw_spot wall[4] = {{-200, -100}, {200, -100}, {200, 100}, {-200, 100}};
  static const size_t ring[2] = {0, 4};
  /* the bed less its banks: prism of the perimeter, its corners taken once */
  const double truth = 80000 * 3.0 - 1200 * 4.5 + 4 * 9;
  lw_sounding *z = LW_NEW(f->arena, lw_sounding, 30 * 99);
  assert_non_null(z);
  for (size_t k = 0; k < 30 * 99; k++) {
    double x = -200 + 400.0 / 30 * ((double)(k / 99) + 0.5);
    double y = -98 + 2 * (double)(k % 99);
    double shore = fmin(200 - fabs(x), 100 - fabs(y));
    z[k] = (lw_sounding){.x_m = x, .y_m = y, .time_s = NAN, .track = (int32_t)(k / 99)};
    z[k].depth_m = (float)fmin(3, shore);
  }
  const lw_basin_input in = {
      .shore = {wall, ring, 1, 4}, .soundings = z, .sounding_count = (size_t)30 * 99, .seed = 1};
  assert_fine(f, lw_basin_reckon(&f->basin, &in, f->arena, &f->err));
  double depth = 0;
  double error = 0;
  assert_fine(f, lw_map_depth_at(&depth, &error, &f->basin.map, (lw_spot){0, 0}, &f->err));
  assert_close(depth, 3, 0.1);
  assert_close(f->basin.volume_m3, truth, 0.04 * truth);
  assert_true(f->basin.volume_low_m3 < truth && truth < f->basin.volume_high_m3);
}

/* ---- less ---- */

static void a_handful_of_depths_is_enough_to_start(void **state)
{
  fixture *f = *state;
  make(f, LW_LAKE_PARABOLOID, 30);
  lw_sounding rope[9] = {{0}};
  for (size_t k = 0; k < 9; k++) {
    lw_spot at = {60.0 * ((double)(k % 3) - 1), 60.0 * ((double)(k / 3) - 1)};
    rope[k] = (lw_sounding){.x_m = at.x_m, .y_m = at.y_m, .time_s = NAN, .track = -1};
    rope[k].depth_m = (float)lw_lake_depth_m(&f->lake, at);
  }
  lw_basin_input in = input_of(f);
  in.soundings = rope;
  for (size_t count = 1; count <= 9; count += 4) {
    in.sounding_count = count;
    assert_fine(f, lw_basin_reckon(&f->basin, &in, f->arena, &f->err));
    assert_int_equal(f->basin.way, LW_BASIN_FEW);
    assert_int_equal(f->basin.cross_validated, count >= 4);
    assert_true(f->basin.volume_low_m3 < f->lake.volume_m3 && f->lake.volume_m3 < f->basin.volume_high_m3);
  }
  assert_close(f->basin.volume_m3, f->lake.volume_m3, 0.1 * f->lake.volume_m3);
}

static void a_word_gives_a_wide_range(void **state)
{
  fixture *f = *state;
  make(f, LW_LAKE_ISLAND, 3);
  lw_basin_input in = {.shore = f->lake.shore, .max_depth_m = lw_known(4)};
  assert_fine(f, lw_basin_reckon(&f->basin, &in, f->arena, &f->err));
  assert_int_equal(f->basin.way, LW_BASIN_TOLD_MAX);
  assert_close(f->basin.max_depth_m, 4, 0.05);
  assert_close(f->basin.mean_depth_m, 1.6, 0.02);
  assert_true(f->basin.volume_high_m3 > 1.3 * f->basin.volume_m3 &&
              f->basin.volume_low_m3 < 0.7 * f->basin.volume_m3);
  in.mean_depth_m = lw_known(2);
  assert_fine(f, lw_basin_reckon(&f->basin, &in, f->arena, &f->err));
  assert_close(f->basin.max_depth_m, 4, 0.05);
  assert_close(f->basin.mean_depth_m, 2, 0.02);
  in = (lw_basin_input){.shore = f->lake.shore, .mean_depth_m = lw_known(2.1)};
  assert_fine(f, lw_basin_reckon(&f->basin, &in, f->arena, &f->err));
  assert_int_equal(f->basin.way, LW_BASIN_TOLD_MEAN);
  assert_close(f->basin.mean_depth_m, 2.1, 0.01);
}

static void the_interval_closes_as_the_pool_falls(void **state)
{
  fixture *f = *state;
  make(f, LW_LAKE_CONE, 20);
  const lw_basin_input in = input_of(f);
  assert_fine(f, lw_basin_reckon(&f->basin, &in, f->arena, &f->err));
  double before = INFINITY;
  for (int k = 0; k <= 40; k++) {
    double down = f->basin.max_depth_m * k / 40;
    double low = 0;
    double high = 0;
    double area = 0;
    double volume = 0;
    lw_basin_interval(&f->basin, down, &low, &high);
    assert_fine(f, lw_map_curve(&area, &volume, &f->basin.map, NULL, &down, 1, &f->err));
    assert_true(low >= 0 && low <= volume + 0.01 * f->basin.volume_m3 &&
                high >= volume - 0.01 * f->basin.volume_m3);
    assert_true(high < before);
    before = high;
  }
}

/* ---- refusals ---- */

static bool stop_at_half(void *context, double done)
{
  double *most = context;
  *most = fmax(*most, done);
  return done < 0.5;
}

static void a_long_run_can_be_cancelled(void **state)
{
  fixture *f = *state;
  double most = 0;
  make(f, LW_LAKE_CONE, 12);
  lw_basin_input in = input_of(f);
  in.go_on = stop_at_half;
  in.context = &most;
  assert_int_equal(lw_basin_reckon(&f->basin, &in, f->arena, &f->err), LW_CONFLICT);
  assert_holds(f->err.message, "cancelled");
  assert_true(most >= 0.5 && most <= 1);
}

static void nothing_to_go_by_is_said(void **state)
{
  fixture *f = *state;
  make(f, LW_LAKE_CONE, 12);
  lw_basin_input in = {.shore = f->lake.shore};
  assert_int_equal(lw_basin_reckon(&f->basin, &in, f->arena, &f->err), LW_INVALID);
  assert_holds(f->err.message, "rope");
  in.max_depth_m = lw_known(-2);
  assert_int_equal(lw_basin_reckon(&f->basin, &in, f->arena, &f->err), LW_INVALID);
  assert_holds(f->err.message, "greatest depth");
  in = input_of(f);
  in.step_m = 0.01;
  assert_int_equal(lw_basin_reckon(&f->basin, &in, f->arena, &f->err), LW_INVALID);
  in.step_m = 0.1;
  assert_int_equal(lw_basin_reckon(&f->basin, &in, f->arena, &f->err), LW_LIMIT);
  assert_holds(f->err.message, "wider step");
  in.step_m = 100;
  assert_int_equal(lw_basin_reckon(&f->basin, &in, f->arena, &f->err), LW_INVALID);
  assert_holds(f->err.message, "too wide");
  in.step_m = 0;
  f->sailed.soundings[3].depth_m = NAN;
  assert_int_equal(lw_basin_reckon(&f->basin, &in, f->arena, &f->err), LW_INVALID);
  assert_holds(f->err.message, "sounding 4");
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
  const struct CMUnitTest tests[] = {
      TEST(thirty_lines_give_area_and_volume_within_one_percent),
      TEST(residuals_make_the_root_mean_square),
      TEST(the_error_grows_away_from_the_lines),
      TEST(same_input_same_answer),
      TEST(a_channel_line_helps),
      TEST(steep_banks_leave_the_bed_alone),
      TEST(a_handful_of_depths_is_enough_to_start),
      TEST(a_word_gives_a_wide_range),
      TEST(the_interval_closes_as_the_pool_falls),
      TEST(a_long_run_can_be_cancelled),
      TEST(nothing_to_go_by_is_said),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
