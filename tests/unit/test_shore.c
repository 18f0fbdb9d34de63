/* SPDX-License-Identifier: Apache-2.0 */
/* The shore: areas, inside, shares of cells, long axis, shoreline development, on outlines whose answers
 * are plain geometry, with islands, touching rings, either direction, and grids that lie on the corners. */
#include "check.h"
#include "shores.h"

#include "base/random.h"
#include "basin/shore.h"

#include <time.h>

static void area_is_even_odd_whatever_the_direction(void **state)
{
  lw_arena *arena = *state;
  for (int turn = 0; turn < 4; turn++) {
    shape_builder b = shape_begin(arena);
    add_rectangle(&b, 0, 0, 100, 60, turn & 1);   /* the shore */
    add_rectangle(&b, 10, 10, 50, 40, turn & 2);  /* an island */
    add_rectangle(&b, 20, 15, 30, 25, turn & 1);  /* a pond on it */
    add_rectangle(&b, 200, 0, 210, 10, turn & 2); /* a second part */
    lw_shore shore = shape_end(&b);
    assert_close(lw_shore_area_m2(&shore), 6000 - 1200 + 100 + 100, 1e-9);
    assert_close(lw_shore_length_m(&shore), 320 + 140 + 40 + 40, 1e-9);
    lw_box box = lw_shore_box(&shore);
    assert_close(box.east_m, 210, 0);
    assert_close(box.north_m, 60, 0);
  }
}

static void rings_that_share_an_edge_cancel_along_it(void **state)
{
  shape_builder b = shape_begin(*state);
  add_rectangle(&b, 0, 0, 100, 100, false);
  add_rectangle(&b, 0, 20, 30, 60, false); /* land whose west side is the shore's own */
  lw_shore shore = shape_end(&b);
  assert_close(lw_shore_area_m2(&shore), 10000 - 1200, 1e-9);
  lw_frame frame = {41, 41, 4.0, -20.5, -20.5};
  assert_close(cover_area(&shore, &frame, *state), 8800, 1e-6);
}

static void refuses_what_is_no_shore(void **state)
{
  lw_error err = {0};
  lw_spot two[] = {{0, 0}, {1, 1}};
  size_t starts[] = {0, 2};
  lw_shore shore = {two, starts, 1, 2};
  assert_int_equal(lw_shore_check(&shore, &err), LW_INVALID);
  assert_holds(err.message, "ring 1");
  lw_spot wrong[] = {{0, 0}, {1, 0}, {1, NAN}};
  size_t whole[] = {0, 3};
  shore = (lw_shore){wrong, whole, 1, 3};
  assert_int_equal(lw_shore_check(&shore, &err), LW_INVALID);
  assert_holds(err.message, "point 3");
  wrong[2].y_m = 2e7;
  assert_int_equal(lw_shore_check(&shore, &err), LW_INVALID);
  shore.ring_count = 0;
  assert_int_equal(lw_shore_check(&shore, &err), LW_INVALID);
  wrong[2].y_m = 1;
  shore.ring_count = 1;
  assert_int_equal(lw_shore_check(&shore, &err), LW_OK);
  float *cover;
  lw_frame frame = {1, 5, 1, 0, 0};
  assert_int_equal(lw_shore_cover(&cover, &shore, &frame, *state, &err), LW_INVALID);
  frame = (lw_frame){SIZE_MAX / 2, 5, 1, 0, 0};
  assert_int_equal(lw_shore_cover(&cover, &shore, &frame, *state, &err), LW_LIMIT);
  frame = (lw_frame){5, 5, NAN, 0, 0};
  assert_int_equal(lw_shore_cover(&cover, &shore, &frame, *state, &err), LW_INVALID);
  bool inside;
  lw_spot nowhere = {NAN, 0};
  assert_int_equal(lw_shore_inside(&inside, NULL, &shore, &nowhere, 1, *state, &err), LW_INVALID);
}

static void memory_that_runs_out_is_a_fault(void **state)
{
  shape_builder b = shape_begin(*state);
  add_ring_of(&b, 0, 0, 50, 50, 5000, 0, false);
  lw_shore shore = shape_end(&b);
  lw_arena *small = lw_arena_new(20000);
  lw_error err = {0};
  float *cover;
  bool inside[1];
  double far_m[1];
  lw_spot spot = {1, 1};
  lw_frame frame = {200, 200, 1, -100, -100};
  assert_int_equal(lw_shore_cover(&cover, &shore, &frame, small, &err), LW_MEMORY);
  assert_int_equal(lw_shore_inside(inside, far_m, &shore, &spot, 1, small, &err), LW_MEMORY);
  lw_arena_free(small);
}

static void long_axis_of_turned_rectangles(void **state)
{
  for (int degrees = -85; degrees <= 90; degrees += 5) {
    shape_builder b = shape_begin(*state);
    add_rectangle(&b, -150, -25, 150, 25, degrees % 2);
    lw_shore shore = shape_end(&b);
    turn_shore(&shore, degrees * PI / 180, 3000, -700);
    double angle;
    double ratio;
    lw_shore_long_axis(&shore, &angle, &ratio);
    assert_close(ratio, 6, 1e-6);
    assert_close(angle, degrees * PI / 180, 1e-6);
  }
  shape_builder b = shape_begin(*state);
  add_rectangle(&b, 0, 0, 10, 10, false);
  lw_shore square = shape_end(&b);
  double angle;
  double ratio;
  lw_shore_long_axis(&square, &angle, &ratio);
  assert_close(ratio, 1, 1e-9);
  assert_close(angle, 0, 0);
}

static void development_of_known_figures(void **state)
{
  (void)state;
  double d;
  lw_error err = {0};
  assert_int_equal(lw_shore_development(&d, PI * 50 * 50, 2 * PI * 50, &err), LW_OK);
  assert_close(d, 1, 1e-12);
  assert_int_equal(lw_shore_development(&d, 10000, 400, &err), LW_OK); /* a square: 2 / sqrt(pi) */
  assert_close(d, 2 / sqrt(PI), 1e-12);
  assert_int_equal(lw_shore_development(&d, 10000, 300, &err), LW_INVALID);
  assert_holds(err.message, "shorter");
  assert_int_equal(lw_shore_development(&d, 0, 300, &err), LW_INVALID);
  assert_int_equal(lw_shore_development(&d, NAN, 300, &err), LW_INVALID);
}

/* ---- inside ---- */

/* The plain rule, one spot against every edge. */
static bool inside_plainly(const lw_shore *shore, lw_spot p)
{
  bool in = false;
  for (size_t r = 0; r < shore->ring_count; r++) {
    size_t before = shore->ring_start[r + 1] - 1;
    for (size_t k = shore->ring_start[r]; k < shore->ring_start[r + 1]; before = k++) {
      lw_spot a = shore->spots[before];
      lw_spot b = shore->spots[k];
      if ((a.y_m > p.y_m) != (b.y_m > p.y_m) &&
          p.x_m < (b.x_m - a.x_m) * (p.y_m - a.y_m) / (b.y_m - a.y_m) + a.x_m) {
        in = !in;
      }
    }
  }
  return in;
}

static double distance_plainly(const lw_shore *shore, lw_spot p)
{
  double best = INFINITY;
  for (size_t r = 0; r < shore->ring_count; r++) {
    size_t before = shore->ring_start[r + 1] - 1;
    for (size_t k = shore->ring_start[r]; k < shore->ring_start[r + 1]; before = k++) {
      lw_spot a = shore->spots[before];
      lw_spot b = shore->spots[k];
      double dx = b.x_m - a.x_m;
      double dy = b.y_m - a.y_m;
      double t = ((p.x_m - a.x_m) * dx + (p.y_m - a.y_m) * dy) / (dx * dx + dy * dy);
      t = fmin(1, fmax(0, t));
      best = fmin(best, hypot(a.x_m + t * dx - p.x_m, a.y_m + t * dy - p.y_m));
    }
  }
  return best;
}

static void inside_and_distance_as_plainly_reckoned(void **state)
{
  enum { COUNT = 20000 };
  shape_builder b = shape_begin(*state);
  add_ring_of(&b, 10, -5, 400, 150, 900, 0.3, false);
  add_ring_of(&b, -60, 20, 80, 30, 77, 0.2, true);
  add_ring_of(&b, 900, 0, 20, 20, 3, 0, true);
  lw_shore shore = shape_end(&b);
  lw_random random = {20260501, 1};
  lw_spot *spots = LW_NEW(*state, lw_spot, COUNT);
  bool *inside = LW_NEW(*state, bool, COUNT);
  double *far_m = LW_NEW(*state, double, COUNT);
  for (uint64_t k = 0; k < COUNT; k++) {
    double reach = k % 10 == 0 ? 20 : 1; /* some far away */
    spots[k].x_m = reach * 600 * (2 * lw_random_uniform(&random, 2 * k) - 1);
    spots[k].y_m = reach * 300 * (2 * lw_random_uniform(&random, 2 * k + 1) - 1);
  }
  assert_int_equal(lw_shore_inside(inside, far_m, &shore, spots, COUNT, *state, NULL), LW_OK);
  size_t in = 0;
  for (size_t k = 0; k < COUNT; k++) {
    assert_int_equal(inside[k], inside_plainly(&shore, spots[k]));
    assert_close(far_m[k], inside[k] ? 0 : distance_plainly(&shore, spots[k]), 1e-9);
    in += inside[k];
  }
  assert_true(in > 1000 && in < COUNT - 1000);
}

static void spots_on_the_lines_of_corners(void **state)
{
  shape_builder b = shape_begin(*state);
  add_rectangle(&b, 0, 0, 10, 10, false);
  add_diamond(&b, 20, 5, 5);
  lw_shore shore = shape_end(&b);
  lw_spot spots[] = {{5, 5}, {-1, 0}, {-1, 10}, {-1, 5}, {11, 0}, {11, 5}, {20, 5}, {30, 5}, {14.9, 5}};
  const bool want[] = {true, false, false, false, false, false, true, false, false};
  bool inside[9];
  double far_m[9];
  assert_int_equal(lw_shore_inside(inside, far_m, &shore, spots, 9, *state, NULL), LW_OK);
  for (size_t k = 0; k < 9; k++) {
    assert_int_equal(inside[k], want[k]);
  }
  assert_close(far_m[1], 1, 1e-12);
  assert_close(far_m[7], 5, 1e-12);
}

/* ---- shares of cells ---- */

static void cover_sums_to_the_area_on_any_grid(void **state)
{
  shape_builder b = shape_begin(*state);
  add_ring_of(&b, 0, 0, 400, 150, 900, 0.3, false);
  add_ring_of(&b, -60, 20, 80, 30, 77, 0.2, true);
  lw_shore shore = shape_end(&b);
  double area = lw_shore_area_m2(&shore);
  for (int k = 0; k < 30; k++) {
    double step = 1.7 + 3.1 * k;
    lw_box box = lw_shore_box(&shore);
    lw_frame frame = {.step_m = step, .x0_m = box.west_m - 0.03 * step * k, .y0_m = box.south_m - step / 3};
    frame.nx = (size_t)ceil((box.east_m - frame.x0_m) / step) + 1;
    frame.ny = (size_t)ceil((box.north_m - frame.y0_m) / step) + 1;
    assert_close(cover_area(&shore, &frame, *state), area, 1e-6 * area);
  }
}

static void cover_of_a_window_clips_on_all_sides(void **state)
{
  shape_builder b = shape_begin(*state);
  add_rectangle(&b, -100, -100, 100, 100, false);
  add_diamond(&b, 0, 0, 8);
  lw_shore shore = shape_end(&b);
  lw_frame frame = {11, 11, 2, -5, -5}; /* wholly within the shore, the island sticks out of it */
  double got = cover_area(&shore, &frame, *state);
  /* the window [-5, 15]^2 less the part of |x| + |y| < 8 inside it: 128 - 2 tips of 9 m2, each cut at -5 */
  assert_close(got, 400 - (128 - 2 * 9), 1e-4);
  lw_frame away = {11, 11, 2, 500, 500};
  assert_close(cover_area(&shore, &away, *state), 0, 0);
  lw_frame east = {11, 11, 2, 95.5, 0}; /* half over the shore's east side */
  assert_close(cover_area(&shore, &east, *state), 4.5 * 20, 1e-5);
}

static void cover_is_exact_cell_by_cell(void **state)
{
  shape_builder b = shape_begin(*state);
  add_diamond(&b, 2, 2, 2); /* corners on nodes: four half cells and the like */
  lw_shore shore = shape_end(&b);
  lw_frame frame = {5, 5, 1, 0, 0};
  float *cover;
  assert_int_equal(lw_shore_cover(&cover, &shore, &frame, *state, NULL), LW_OK);
  const double want[16] = {0, 0.5, 0.5, 0, 0.5, 1, 1, 0.5, 0.5, 1, 1, 0.5, 0, 0.5, 0.5, 0};
  for (size_t k = 0; k < 16; k++) {
    assert_close(cover[k], want[k], 0);
  }
  b = shape_begin(*state);
  add_rectangle(&b, 0.25, 0.5, 3.5, 3, true);
  shore = shape_end(&b);
  assert_int_equal(lw_shore_cover(&cover, &shore, &frame, *state, NULL), LW_OK);
  assert_close(cover[0], 0.375, 0);
  assert_close(cover[1], 0.5, 0);
  assert_close(cover[3], 0.25, 0);
  assert_close(cover[4], 0.75, 0);
  assert_close(cover[5], 1, 0);
  assert_close(cover[13], 0, 0);
}

/* The share of each cell against how many of 40 x 40 spots in it are inside. */
static void cover_agrees_with_inside(void **state)
{
  enum { FINE = 40 };
  shape_builder b = shape_begin(*state);
  add_ring_of(&b, 0, 0, 40, 15, 300, 0.3, true);
  add_ring_of(&b, -6, 2, 8, 3, 7, 0.2, true);
  lw_shore shore = shape_end(&b);
  lw_frame frame = {16, 12, 6.3, -48, -35};
  float *cover;
  assert_int_equal(lw_shore_cover(&cover, &shore, &frame, *state, NULL), LW_OK);
  lw_spot *spots = LW_NEW(*state, lw_spot, FINE * FINE);
  bool *inside = LW_NEW(*state, bool, FINE *FINE);
  for (size_t cell = 0; cell < 15 * 11; cell++) {
    for (size_t k = 0; k < FINE * FINE; k++) {
      spots[k].x_m = frame.x0_m + 6.3 * ((double)(cell % 15) + ((double)(k % FINE) + 0.5) / FINE);
      spots[k].y_m = frame.y0_m + 6.3 * ((double)(cell / 15) + ((double)(k / FINE) + 0.5) / FINE);
    }
    assert_int_equal(lw_shore_inside(inside, NULL, &shore, spots, FINE * FINE, *state, NULL), LW_OK);
    size_t in = 0;
    for (size_t k = 0; k < FINE * FINE; k++) {
      in += inside[k];
    }
    assert_close(cover[cell], (double)in / (FINE * FINE), 0.03);
  }
}

/* ---- speed: the bounds are loose, for a busy machine and for builds under a sanitizer ---- */

static double seconds_now(void)
{
  struct timespec t;
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
  return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void a_long_shore_on_a_wide_grid_is_quick(void **state)
{
  enum { SPOTS = 1000000 };
  shape_builder b = shape_begin(*state);
  add_ring_of(&b, 0, 0, 1500, 700, 10000, 0.3, false);
  lw_shore shore = shape_end(&b);
  lw_frame frame = {1001, 1001, 4, -2000, -2000};
  float *cover;
  double begin = seconds_now();
  assert_int_equal(lw_shore_cover(&cover, &shore, &frame, *state, NULL), LW_OK);
  double covered = seconds_now();
  lw_random random = {20260501, 2};
  lw_spot *spots = LW_NEW(*state, lw_spot, SPOTS);
  bool *inside = LW_NEW(*state, bool, SPOTS);
  for (uint64_t k = 0; k < SPOTS; k++) {
    spots[k] = (lw_spot){4000 * lw_random_uniform(&random, 2 * k) - 2000,
                         2000 * lw_random_uniform(&random, 2 * k + 1) - 1000};
  }
  double drawn = seconds_now();
  assert_int_equal(lw_shore_inside(inside, NULL, &shore, spots, SPOTS, *state, NULL), LW_OK);
  double tested = seconds_now();
  double *far_m = LW_NEW(*state, double, SPOTS);
  assert_int_equal(lw_shore_inside(inside, far_m, &shore, spots, SPOTS, *state, NULL), LW_OK);
  print_message(
      "# cover of 10^6 cells, 10^4 edges: %.3f s; inside of 10^6 spots: %.3f s; with distance: %.3f s\n",
      covered - begin, tested - drawn, seconds_now() - tested);
  assert_true(covered - begin < 1);
  assert_true(tested - drawn < 4);
}

static int begin_test(void **state)
{
  *state = lw_arena_new(0);
  return *state ? 0 : -1;
}

static int end_test(void **state)
{
  lw_arena_free(*state);
  return 0;
}

#define WITH_ARENA(test) cmocka_unit_test_setup_teardown(test, begin_test, end_test)

int main(void)
{
  const struct CMUnitTest tests[] = {
      WITH_ARENA(area_is_even_odd_whatever_the_direction),
      WITH_ARENA(rings_that_share_an_edge_cancel_along_it),
      WITH_ARENA(refuses_what_is_no_shore),
      WITH_ARENA(memory_that_runs_out_is_a_fault),
      WITH_ARENA(long_axis_of_turned_rectangles),
      WITH_ARENA(development_of_known_figures),
      WITH_ARENA(inside_and_distance_as_plainly_reckoned),
      WITH_ARENA(spots_on_the_lines_of_corners),
      WITH_ARENA(cover_sums_to_the_area_on_any_grid),
      WITH_ARENA(cover_of_a_window_clips_on_all_sides),
      WITH_ARENA(cover_is_exact_cell_by_cell),
      WITH_ARENA(cover_agrees_with_inside),
      WITH_ARENA(a_long_shore_on_a_wide_grid_is_quick),
  };
  return cmocka_run_group_tests_name("shore", tests, NULL, NULL);
}
