/* SPDX-License-Identifier: Apache-2.0 */
/* Contours as clean polygons: known areas, islands and hollows as holes, level lines through nodes,
 * saddles, walls where the shore stops the line, rough beds tried edge against edge. */
#include "maps.h"

#include "base/random.h"

#include <time.h>

static lw_contour *contours_of(const lw_depth_map *map, const double *depth_m, size_t count, lw_arena *arena)
{
  lw_contour *list = NULL;
  lw_error err = {0};
  if (lw_map_contours(&list, map, map->shore, depth_m, count, arena, &err) != LW_OK) {
    fail_msg("%s", err.message);
  }
  for (size_t k = 0; k < count; k++) {
    assert_close(list[k].depth_m, depth_m[k], 0);
    check_clean(&list[k]);
  }
  return list;
}

static double cone(double x_m, double y_m, const void *context)
{
  return *(const double *)context * (1 - hypot(x_m, y_m) / 50);
}

static double tank(double x_m, double y_m, const void *context)
{
  (void)x_m;
  (void)y_m;
  return *(const double *)context;
}

static void a_cone_has_circles(void **state)
{
  shape_builder b = shape_begin(*state);
  add_ring_of(&b, 0, 0, 50, 50, 720, 0, true);
  lw_shore shore = shape_end(&b);
  const double depth = 5;
  const double levels[] = {0, 0.5, 1, 2, 3, 4, 4.9, 5, 6};
  lw_depth_map map = map_of(&shore, frame_about(&shore, 1, 0.5, 0.5), cone, &depth, *state);
  lw_contour *list = contours_of(&map, levels, 9, *state);
  for (size_t k = 0; k < 7; k++) {
    double r = 50 * (1 - levels[k] / 5);
    assert_int_equal(list[k].ring_count, 1);
    assert_false(list[k].rings[0].hole);
    assert_close(list[k].area_m2, PI * r * r, 0.003 * PI * r * r + 0.6);
    for (size_t s = 0; k > 0 && k < 6 && s < list[k].rings[0].count; s++) {
      lw_spot p = list[k].rings[0].spots[s];
      assert_close(hypot(p.x_m, p.y_m), r, 0.03);
    }
  }
  assert_int_equal(list[0].rings[0].count, 720); /* the shore itself */
  assert_int_equal(list[7].ring_count, 0);
  assert_int_equal(list[8].ring_count, 0);
}

static void an_island_is_a_hole_and_a_pond_on_it_a_ring(void **state)
{
  shape_builder b = shape_begin(*state);
  add_rectangle(&b, 0, 0, 60, 40, false);
  add_rectangle(&b, 10.2, 10.1, 40.3, 30.3, false);
  add_rectangle(&b, 20, 15, 30, 25, true);
  lw_shore shore = shape_end(&b);
  const double depth = 2;
  const double levels[] = {0, 1, 1.5};
  for (int k = 0; k < 10; k++) { /* k 0: the grid lies on the walls of shore and pond */
    lw_depth_map map = map_of(&shore, frame_about(&shore, 1, 0.1 * k, 0.07 * k), tank, &depth, *state);
    lw_contour *list = contours_of(&map, levels, 3, *state);
    for (size_t c = 0; c < 3; c++) {
      assert_int_equal(list[c].ring_count, 3);
      assert_false(list[c].rings[0].hole);
      assert_int_equal(list[c].rings[0].hole + list[c].rings[1].hole + list[c].rings[2].hole, 1);
      assert_close(list[c].area_m2, 2400 - 30.1 * 20.2 + 100, c == 0 ? 1e-6 : 3);
    }
  }
}

/* With the shore's own corners inside the cells, the line along a wall is the wall. */
static void along_a_wall_the_line_is_the_shore(void **state)
{
  shape_builder b = shape_begin(*state);
  add_ring_of(&b, 0, 0, 50, 30, 400, 0.2, false);
  lw_shore shore = shape_end(&b);
  const double depth = 2;
  const double level = 1;
  lw_depth_map map = map_of(&shore, frame_about(&shore, 2, 0.31, 0.77), tank, &depth, *state);
  lw_contour *list = contours_of(&map, &level, 1, *state);
  assert_int_equal(list->ring_count, 1);
  assert_close(list->area_m2, lw_shore_area_m2(&shore), 1e-3 * lw_shore_area_m2(&shore));
  assert_true(list->rings[0].count > 400);
}

/* A bed whose nodes stand at whole metres: lines pass exactly through nodes. */
static double steps(double x_m, double y_m, const void *context)
{
  const lw_random *random = context;
  double words = lw_random_uniform(random, (uint64_t)((int)round(x_m) + 1000) * 5000u +
                                               (uint64_t)((int)round(y_m) + 1000));
  return floor(words * 5);
}

static void lines_through_nodes_stay_clean(void **state)
{
  shape_builder b = shape_begin(*state);
  add_rectangle(&b, 0, 0, 24, 20, false);
  lw_shore shore = shape_end(&b);
  const double levels[] = {0, 1, 2, 3, 4};
  for (uint32_t k = 0; k < 20; k++) {
    lw_random random = {20260503, k};
    lw_depth_map map = map_of(&shore, frame_about(&shore, 1, 0, 0), steps, &random, *state);
    (void)contours_of(&map, levels, 5, *state);
  }
}

/* Two hollows with a sill between: joined above the saddle, parted below it. */
static double two_hollows(double x_m, double y_m, const void *context)
{
  (void)context;
  return 4 * exp(-(pow(x_m - 10, 2) + pow(y_m - 10, 2)) / 60) +
         4 * exp(-(pow(x_m + 10, 2) + pow(y_m + 10, 2)) / 60);
}

static void a_sill_parts_two_hollows(void **state)
{
  shape_builder b = shape_begin(*state);
  add_rectangle(&b, -30, -30, 30, 30, false);
  lw_shore shore = shape_end(&b);
  double sill = two_hollows(0, 0, NULL);
  const double levels[] = {0.5 * sill, 0.97 * sill, 1.03 * sill, 2 * sill};
  lw_depth_map map = map_of(&shore, frame_about(&shore, 1, 0.4, 0.4), two_hollows, NULL, *state);
  lw_contour *list = contours_of(&map, levels, 4, *state);
  assert_int_equal(list[0].ring_count, 1);
  assert_int_equal(list[1].ring_count, 1);
  assert_int_equal(list[2].ring_count, 2);
  assert_int_equal(list[3].ring_count, 2);
}

/* One cell whose corners are high and low by turns: the bilinear saddle decides. */
static double saddle(double x_m, double y_m, const void *context)
{
  double middle = *(const double *)context;
  return middle + (x_m - 0.5) * (y_m - 0.5) * 4;
}

static void a_saddle_is_parted_as_its_bed_is(void **state)
{
  shape_builder b = shape_begin(*state);
  add_rectangle(&b, -0.4, -0.4, 1.4, 1.4, false);
  lw_shore shore = shape_end(&b);
  const double level = 2;
  for (int deep = 0; deep < 2; deep++) {
    double middle = deep ? 2.05 : 1.95;
    lw_depth_map map = map_of(&shore, (lw_frame){4, 4, 1, -1, -1}, saddle, &middle, *state);
    lw_contour *list = contours_of(&map, &level, 1, *state);
    assert_int_equal(list->ring_count, deep ? 1 : 2);
  }
}

static double rough(double x_m, double y_m, const void *context)
{
  const lw_random *random = context;
  double depth = 3 * (1 - (x_m * x_m / 2500 + y_m * y_m / 900));
  for (uint64_t k = 0; k < 12; k++) {
    double a = 0.6 * lw_random_normal(random, 3 * k);
    double u = 0.5 * lw_random_normal(random, 3 * k + 1);
    double v = 0.5 * lw_random_normal(random, 3 * k + 2);
    depth += a * sin(u * x_m + (double)k) * cos(v * y_m);
  }
  return depth;
}

/* Noise of the size of a cell under a ragged shore with islands: every rule of clean polygons, and the area
 * the curve gives. The bed is deep at the shore in places and dry inside it in others. */
static void rough_beds_give_clean_polygons(void **state)
{
  const double levels[] = {0.01, 0.5, 1, 1.7, 2.5, 3.5};
  for (uint32_t k = 0; k < 12; k++) {
    shape_builder b = shape_begin(*state);
    add_ring_of(&b, 0, 0, 50, 30, 150 + 30 * k, 0.3, k % 2);
    add_ring_of(&b, -12, 3, 6, 4, 5 + k, 0.2, k % 3 == 0);
    add_ring_of(&b, 15, -4, 0.4, 0.6, 6, 0, k % 3 == 0);
    lw_shore shore = shape_end(&b);
    lw_random random = {20260503, 100 + k};
    double step = 1 + 0.2 * k;
    lw_depth_map map = map_of(&shore, frame_about(&shore, step, 0.08 * k, 0.03 * k), rough, &random, *state);
    lw_contour *list = contours_of(&map, levels, 6, *state);
    for (size_t c = 0; c < 6; c++) {
      double shore_cells = lw_shore_length_m(&shore) * step;
      assert_close(list[c].area_m2, area_at(&map, NULL, levels[c]), 0.1 * shore_cells + 0.1 * step * step);
    }
  }
}

static void the_shore_of_islands_is_the_contour_at_full_pool(void **state)
{
  shape_builder b = shape_begin(*state);
  add_rectangle(&b, 200, 0, 210, 10, true); /* a part before its island's ring */
  add_rectangle(&b, 10, 10, 50, 40, false);
  add_rectangle(&b, 203, 3, 206, 6, false);
  add_rectangle(&b, 0, 0, 100, 60, true);
  add_rectangle(&b, 20, 15, 30, 25, true);
  lw_shore shore = shape_end(&b);
  const double depth = 1;
  const double level = 0;
  lw_depth_map map = map_of(&shore, frame_about(&shore, 5, 0.2, 0.2), tank, &depth, *state);
  lw_contour *list = contours_of(&map, &level, 1, *state);
  assert_int_equal(list->ring_count, 5);
  assert_close(list->area_m2, lw_shore_area_m2(&shore), 1e-9);
  assert_true(!list->rings[0].hole && list->rings[1].hole);
  assert_close(ring_area(&list->rings[1]), -9, 1e-9);
}

static void refuses_depths_that_cannot_be(void **state)
{
  shape_builder b = shape_begin(*state);
  add_rectangle(&b, 0, 0, 20, 10, false);
  lw_shore shore = shape_end(&b);
  const double depth = 3;
  lw_depth_map map = map_of(&shore, frame_about(&shore, 1, 0.5, 0.5), tank, &depth, *state);
  lw_contour *list = NULL;
  lw_error err = {0};
  double many[LW_CONTOURS_MOST + 1];
  for (size_t k = 0; k <= LW_CONTOURS_MOST; k++) {
    many[k] = 0.01 * (double)k;
  }
  assert_int_equal(lw_map_contours(&list, &map, &shore, many, LW_CONTOURS_MOST + 1, *state, &err), LW_LIMIT);
  assert_int_equal(lw_map_contours(&list, &map, &shore, many, LW_CONTOURS_MOST, *state, &err), LW_OK);
  assert_int_equal(lw_map_contours(&list, &map, &shore, (double[]){1, 1}, 2, *state, &err), LW_INVALID);
  assert_holds(err.message, "contour 2");
  assert_int_equal(lw_map_contours(&list, &map, &shore, (double[]){-1}, 1, *state, &err), LW_INVALID);
  assert_int_equal(lw_map_contours(&list, &map, &shore, (double[]){NAN}, 1, *state, &err), LW_INVALID);
  lw_arena *small = lw_arena_new(1000);
  assert_int_equal(lw_map_contours(&list, &map, &shore, many, 20, small, &err), LW_MEMORY);
  lw_arena_free(small);
  map.depth_m[5 * map.frame.nx + 5] = NAN; /* a hole in the map counts as land, and nothing breaks */
  assert_int_equal(lw_map_contours(&list, &map, &shore, (double[]){1}, 1, *state, &err), LW_OK);
  check_clean(list);
}

static double hummocks(double x_m, double y_m, const void *context)
{
  (void)context;
  return 20 * (1 - (x_m * x_m / 4.4e6 + y_m * y_m / 2.2e6)) + 0.5 * sin(x_m / 30) * cos(y_m / 20);
}

static void contours_of_a_large_map_are_quick(void **state)
{
  enum { LEVELS = 60 };
  shape_builder b = shape_begin(*state);
  add_ring_of(&b, 0, 0, 1900, 1300, 10000, 0.05, false);
  lw_shore shore = shape_end(&b);
  lw_depth_map map = map_of(&shore, (lw_frame){1001, 1001, 4, -2000, -2000}, hummocks, NULL, *state);
  double levels[LEVELS];
  for (size_t k = 0; k < LEVELS; k++) {
    levels[k] = 20.5 * (double)k / LEVELS;
  }
  lw_contour *list = NULL;
  clock_t begin = clock();
  assert_int_equal(lw_map_contours(&list, &map, &shore, levels, LEVELS, *state, NULL), LW_OK);
  double took = (double)(clock() - begin) / CLOCKS_PER_SEC;
  size_t spots = 0;
  for (size_t k = 0; k < LEVELS; k++) {
    for (size_t r = 0; r < list[k].ring_count; r++) {
      spots += list[k].rings[r].count;
    }
  }
  print_message("# %d contours of 10^6 cells, %zu spots: %.3f s\n", LEVELS, spots, took);
  assert_true(took < 6); /* loose: for a busy machine and under a sanitizer */
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
      WITH_ARENA(a_cone_has_circles),
      WITH_ARENA(an_island_is_a_hole_and_a_pond_on_it_a_ring),
      WITH_ARENA(along_a_wall_the_line_is_the_shore),
      WITH_ARENA(lines_through_nodes_stay_clean),
      WITH_ARENA(a_sill_parts_two_hollows),
      WITH_ARENA(a_saddle_is_parted_as_its_bed_is),
      WITH_ARENA(rough_beds_give_clean_polygons),
      WITH_ARENA(the_shore_of_islands_is_the_contour_at_full_pool),
      WITH_ARENA(refuses_depths_that_cannot_be),
      WITH_ARENA(contours_of_a_large_map_are_quick),
  };
  return cmocka_run_group_tests_name("contours", tests, NULL, NULL);
}
