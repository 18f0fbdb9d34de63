/* SPDX-License-Identifier: Apache-2.0 */
/* What is measured on a depth map: depth at a place, curves, layers, shares, zones, on beds whose answers
 * are plain geometry, and the refusals. */
#include "maps.h"

#include "base/random.h"
#include "basin/depth_map_cell.h"
#include "basin/slices.h"

#include <time.h>

/* ---- one cell ---- */

/* The middle of 800 x 800 small squares. */
static lw_cell_part cell_plainly(lw_cell_bed b, double level)
{
  enum { FINE = 800 };
  lw_cell_part sum = {0, 0};
  for (int k = 0; k < FINE * FINE; k++) {
    double x = (k % FINE + 0.5) / FINE;
    double y = (double)(k / FINE) / FINE + 0.5 / FINE;
    double d = (b.sw * (1 - x) + b.se * x) * (1 - y) + (b.nw * (1 - x) + b.ne * x) * y - level;
    sum.share += d > 0;
    sum.volume += fmax(d, 0);
  }
  return (lw_cell_part){sum.share / (FINE * FINE), sum.volume / (FINE * FINE)};
}

static void a_cut_cell_is_as_its_small_squares(void **state)
{
  (void)state;
  lw_random random = {20260502, 1};
  for (uint64_t k = 0; k < 60; k++) {
    double d[4];
    for (uint64_t c = 0; c < 4; c++) {
      d[c] = lw_random_normal(&random, 4 * k + c);
      d[c] = k % 7 == 0 ? round(d[c]) : d[c]; /* equal corners, levels through corners */
    }
    lw_cell_bed bed = {d[0], d[1], d[2], d[3]};
    double level = k % 7 == 0 ? 0 : 0.3 * lw_random_normal(&random, 1000 + k);
    lw_cell_part got = lw_cell_deeper(bed, level);
    lw_cell_part want = cell_plainly(bed, level);
    if (!(bed.sw == 0 && bed.se == 0 && bed.nw == 0) && !(bed.ne == 0 && bed.se == 0 && bed.nw == 0)) {
      assert_close(got.share, want.share, 3e-3);
    }
    assert_close(got.volume, want.volume, 1e-3);
  }
}

static void a_plane_cell_is_exact(void **state)
{
  (void)state;
  lw_cell_bed bed = {0, 1, 0, 1};
  lw_cell_part part = lw_cell_deeper(bed, 0.25);
  assert_close(part.share, 0.75, 1e-12);
  assert_close(part.volume, 0.75 * 0.75 / 2, 1e-12);
  bed = (lw_cell_bed){0, 1, 1, 2}; /* across the corner */
  part = lw_cell_deeper(bed, 1.5);
  assert_close(part.share, 0.125, 1e-12);
  assert_close(part.volume, 0.125 * 0.5 / 3, 1e-12);
  bed = (lw_cell_bed){3, 3, 3, 3};
  assert_close(lw_cell_deeper(bed, 3).volume, 0, 0);
  assert_close(lw_cell_deeper(bed, 2).volume, 1, 1e-12);
}

/* A bed along the shore and one across it, the wet part a triangle or a strip. */
static void the_wet_part_of_a_cell(void **state)
{
  (void)state;
  const lw_cell_bed eastwards = {0, 1, 0, 1};
  lw_cell_part part = lw_cell_deeper_within(eastwards, (lw_cell_side){0, 1, 0.7}, 0.25); /* y >= 0.7 */
  assert_close(part.share, 0.3 * 0.75, 1e-12);
  assert_close(part.volume, 0.3 * 0.75 * 0.75 / 2, 1e-12);
  part = lw_cell_deeper_within(eastwards, (lw_cell_side){0, -1, -0.3}, 0.25); /* y <= 0.3 */
  assert_close(part.share, 0.3 * 0.75, 1e-12);
  part = lw_cell_deeper_within(eastwards, (lw_cell_side){1, 0, 0.6}, 0.25); /* x >= 0.6 */
  assert_close(part.share, 0.4, 1e-12);
  assert_close(part.volume, 0.4 * 0.55, 1e-12);
  part = lw_cell_deeper_within(eastwards, (lw_cell_side){-1, 0, -0.6}, 0.25); /* x <= 0.6 */
  assert_close(part.share, 0.35, 1e-12);
  double s = sqrt(0.5); /* x + y >= 1.5: a corner of an eighth, its middle at x = 5/6 */
  part = lw_cell_deeper_within(eastwards, (lw_cell_side){s, s, 1.5 * s}, 0);
  assert_close(part.share, 0.125, 1e-12);
  assert_close(part.volume, 0.125 * 5 / 6, 1e-12);
  part = lw_cell_deeper_within(eastwards, (lw_cell_side){-s, -s, -1.5 * s}, 0); /* all but that corner */
  assert_close(part.share, 0.875, 1e-12);
  assert_close(part.volume, 0.5 - 0.125 * 5 / 6, 1e-12);
}

/* ---- whole waters ---- */

/* context: lengths */
static double tank(double x_m, double y_m, const void *context)
{
  (void)x_m;
  (void)y_m;
  return *(const double *)context;
}

/* Deepening eastwards from 0 at the west side. */
static double wedge(double x_m, double y_m, const void *context)
{
  (void)y_m;
  return x_m * *(const double *)context;
}

static void a_tank_with_upright_walls(void **state)
{
  shape_builder b = shape_begin(*state);
  add_rectangle(&b, 0, 0, 20, 10, false);
  lw_shore shore = shape_end(&b);
  const double depth = 3;
  for (int k = 0; k < 10; k++) { /* k 0: the grid lies on the walls */
    lw_depth_map map = map_of(&shore, frame_about(&shore, 1, 0.1 * k, 0.07 * k), tank, &depth, *state);
    const double levels[] = {-2, 0, 0, 1, 2.5, 3, 4};
    double area[7];
    double volume[7];
    assert_int_equal(lw_map_curve(area, volume, &map, NULL, levels, 7, NULL), LW_OK);
    const double want[] = {200 * 5, 600, 600, 400, 100, 0, 0};
    for (size_t i = 0; i < 7; i++) {
      assert_close(volume[i], want[i], 1e-4);
      assert_close(area[i], levels[i] < 3 ? 200 : 0, 1e-4);
    }
    assert_close(lw_map_deepest_m(&map), 3, 1e-6);
  }
}

static void a_wedge_in_every_measure(void **state)
{
  shape_builder b = shape_begin(*state);
  add_rectangle(&b, 0, 0, 100, 40, false);
  lw_shore shore = shape_end(&b);
  const double slope = 0.05; /* 5 m at the east wall */
  lw_depth_map map = map_of(&shore, frame_about(&shore, 3, 0.3, 0.6), wedge, &slope, *state);
  for (double down = 0; down <= 5; down += 0.25) {
    double left = 100 - down / slope;
    assert_close(area_at(&map, NULL, down), 40 * left, 2); /* the corners of the walls are rounded off */
    assert_close(volume_at(&map, NULL, down), 40 * left * left * slope / 2, 0.1);
  }
  assert_close(area_at(&map, NULL, 6), 0, 0);
  const double depths[] = {0, 1, 2, 5, 9};
  double share[5];
  assert_int_equal(lw_map_shallower(share, &map, 0, depths, 5, NULL), LW_OK);
  assert_close(share[0], 0, 0);
  assert_close(share[1], 0.2, 3e-5);
  assert_close(share[2], 0.4, 3e-5);
  assert_close(share[3], 1, 1e-3);
  assert_close(share[4], 1, 0);
  assert_int_equal(lw_map_shallower(share, &map, 1, depths, 3, NULL), LW_OK);
  assert_close(share[1], 0.25, 3e-5);
  double above;
  double below;
  assert_int_equal(lw_map_layers(&above, &below, &map, 1, 2, NULL), LW_OK);
  assert_close(below, 40 * 40 * 2 / 2.0, 0.1);
  assert_close(above + below, 40 * 80 * 4 / 2.0, 0.1);
}

static void depth_at_a_place(void **state)
{
  shape_builder b = shape_begin(*state);
  add_rectangle(&b, 0, 0, 100, 40, false);
  lw_shore shore = shape_end(&b);
  const double slope = 0.05;
  lw_depth_map map = map_of(&shore, frame_about(&shore, 3, 0.3, 0.6), wedge, &slope, *state);
  double depth;
  double error;
  lw_error err = {0};
  assert_int_equal(lw_map_depth_at(&depth, &error, &map, (lw_spot){50.5, 20}, &err), LW_OK);
  assert_close(depth, 2.525, 1e-5);
  assert_true(isnan(error));
  map.error_m = LW_NEW(*state, float, map.frame.nx *map.frame.ny);
  for (size_t k = 0; k < map.frame.nx * map.frame.ny; k++) {
    map.error_m[k] = 0.25f;
  }
  assert_int_equal(lw_map_depth_at(&depth, &error, &map, (lw_spot){99.9, 39.9}, &err), LW_OK);
  assert_close(error, 0.25, 1e-6);
  assert_int_equal(lw_map_depth_at(&depth, &error, &map, (lw_spot){-0.5, 20}, &err), LW_OK);
  assert_close(depth, 0, 0); /* on the bank, in a cell the shore passes */
  const lw_spot dry[] = {{-50, 20}, {120, 20}, {50, 60}, {NAN, 2}, {-3.5, 20}, {INFINITY, 1}};
  for (size_t k = 0; k < 6; k++) {
    assert_int_equal(lw_map_depth_at(&depth, &error, &map, dry[k], &err), LW_NOT_FOUND);
  }
  lw_frame f = map.frame; /* the very last corner of the grid is on the grid */
  lw_spot last = {f.x0_m + (double)(f.nx - 1) * f.step_m, f.y0_m + (double)(f.ny - 1) * f.step_m};
  map.cover[(f.nx - 1) * (f.ny - 1) - 1] = 1;
  map.depth_m[f.nx * f.ny - 1] = map.depth_m[f.nx * f.ny - 2] = 7;
  map.depth_m[f.nx * (f.ny - 1) - 1] = map.depth_m[f.nx * (f.ny - 1) - 2] = 7;
  assert_int_equal(lw_map_depth_at(&depth, &error, &map, last, &err), LW_OK);
  assert_close(depth, 7, 1e-6);
}

/* A bed that is not quite 0 at the shore: all that the shore encloses is water at full pool even so. */
static void full_pool_is_the_whole_outline(void **state)
{
  shape_builder b = shape_begin(*state);
  add_ring_of(&b, 0, 0, 50, 30, 200, 0.2, false);
  lw_shore shore = shape_end(&b);
  const double shallow = -0.2;
  lw_depth_map map = map_of(&shore, frame_about(&shore, 2, 0, 0), tank, &shallow, *state);
  assert_close(area_at(&map, NULL, 0), lw_shore_area_m2(&shore), 1e-3);
  assert_close(area_at(&map, NULL, -1), lw_shore_area_m2(&shore), 1e-3);
  assert_close(volume_at(&map, NULL, 0), 0, 0);
  assert_close(volume_at(&map, NULL, -1), lw_shore_area_m2(&shore), 1e-3);
  assert_close(area_at(&map, NULL, 0.001), 0, 0);
}

/* ---- zones ---- */

static void zones_that_divide_a_water_add_up(void **state)
{
  shape_builder b = shape_begin(*state);
  add_ring_of(&b, 0, 0, 50, 30, 200, 0.2, false);
  lw_shore shore = shape_end(&b);
  const double slope = 0.04;
  lw_depth_map map = map_of(&shore, frame_about(&shore, 2, 0.2, 0.9), wedge, &slope, *state);
  for (int k = 0; k < 9; k++) {
    double cut = -40 + 10.37 * k;
    float *west;
    float *east;
    shape_builder w = shape_begin(*state);
    add_rectangle(&w, -100, -100, cut, 100, true);
    lw_shore west_shore = shape_end(&w);
    shape_builder e = shape_begin(*state);
    add_rectangle(&e, cut, -100, 100, 100, false);
    lw_shore east_shore = shape_end(&e);
    assert_int_equal(lw_zone_cover(&west, &map, &west_shore, *state, NULL), LW_OK);
    assert_int_equal(lw_zone_cover(&east, &map, &east_shore, *state, NULL), LW_OK);
    for (double down = -1; down < 1.5; down += 0.25) {
      assert_close(area_at(&map, west, down) + area_at(&map, east, down), area_at(&map, NULL, down), 1e-2);
      assert_close(volume_at(&map, west, down) + volume_at(&map, east, down), volume_at(&map, NULL, down),
                   1e-2);
    }
  }
}

static void a_zone_drawn_along_the_shore_is_all_of_it(void **state)
{
  shape_builder b = shape_begin(*state);
  add_ring_of(&b, 0, 0, 50, 30, 200, 0.2, false);
  add_diamond(&b, 5, 5, 4);
  lw_shore shore = shape_end(&b);
  const double slope = 0.04;
  lw_depth_map map = map_of(&shore, frame_about(&shore, 2, 0.2, 0.9), wedge, &slope, *state);
  float *zone;
  assert_int_equal(lw_zone_cover(&zone, &map, &shore, *state, NULL), LW_OK);
  assert_close(area_at(&map, zone, 0), area_at(&map, NULL, 0), 0.1);
  map.shore = NULL;
  assert_int_equal(lw_zone_cover(&zone, &map, &shore, *state, NULL), LW_OK);
  assert_close(area_at(&map, zone, 0), area_at(&map, NULL, 0), 0.1);
}

static void the_common_part_of_a_cell_is_measured(void **state)
{
  shape_builder b = shape_begin(*state);
  add_rectangle(&b, 0.5, 0.5, 7.5, 7.5, false);
  lw_shore shore = shape_end(&b);
  const double depth = 1;
  lw_depth_map map = map_of(&shore, (lw_frame){9, 9, 1, 0, 0}, tank, &depth, *state);
  shape_builder z = shape_begin(*state);
  add_rectangle(&z, -3, -3, 0.75, 0.75, false); /* a quarter by a quarter of the corner cell */
  lw_shore zone = shape_end(&z);
  float *cover;
  assert_int_equal(lw_zone_cover(&cover, &map, &zone, *state, NULL), LW_OK);
  assert_close(cover[0], 0.0625, 1e-6);
  assert_close(area_at(&map, cover, 0), 0.0625, 1e-6);
  z = shape_begin(*state);
  add_rectangle(&z, 2.25, 3, 4, 4.5, true); /* within the water */
  zone = shape_end(&z);
  assert_int_equal(lw_zone_cover(&cover, &map, &zone, *state, NULL), LW_OK);
  assert_close(area_at(&map, cover, 0), 1.75 * 1.5, 1e-5);
  assert_close(area_at(&map, cover, 0.5), 1.75 * 1.5, 1e-5);
  z = shape_begin(*state);
  add_rectangle(&z, 20, 3, 24, 4.5, true); /* elsewhere */
  zone = shape_end(&z);
  assert_int_equal(lw_zone_cover(&cover, &map, &zone, *state, NULL), LW_OK);
  assert_close(area_at(&map, cover, 0), 0, 0);
}

/* ---- by hand: contour areas and soundings without a map ---- */

static void volumes_and_means_by_hand(void **state)
{
  (void)state;
  double out = -1;
  lw_error err = {0};
  const double areas[] = {400, 100, 0};
  const double depths[] = {0, 2, 5};
  assert_int_equal(lw_end_areas_volume_m3(&out, areas, depths, 3, &err), LW_OK);
  assert_close(out, 500 + 150, 1e-12);
  assert_int_equal(lw_end_areas_volume_m3(&out, areas, depths, 1, &err), LW_INVALID);
  assert_int_equal(lw_end_areas_volume_m3(&out, areas, (double[]){0, 2, 2}, 3, &err), LW_INVALID);
  assert_holds(err.message, "must grow");
  assert_int_equal(lw_end_areas_volume_m3(&out, (double[]){1, 2}, depths, 2, &err), LW_INVALID);
  assert_int_equal(lw_end_areas_volume_m3(&out, (double[]){NAN, 2}, depths, 2, &err), LW_INVALID);
  assert_int_equal(lw_mean_depth_m(&out, (double[]){0, 1, 2.5, 0}, 4, &err), LW_OK);
  assert_close(out, 0.875, 1e-12);
  assert_int_equal(lw_mean_depth_m(&out, (double[]){0, -1}, 2, &err), LW_INVALID);
  assert_holds(err.message, "sounding 2");
  assert_int_equal(lw_mean_depth_m(&out, (double[]){NAN}, 1, &err), LW_INVALID);
  assert_int_equal(lw_mean_depth_m(&out, areas, 0, &err), LW_INVALID);
}

/* ---- refusals ---- */

static void refuses_levels_and_maps_that_cannot_be(void **state)
{
  shape_builder b = shape_begin(*state);
  add_rectangle(&b, 0, 0, 20, 10, false);
  lw_shore shore = shape_end(&b);
  const double depth = 3;
  lw_depth_map map = map_of(&shore, frame_about(&shore, 1, 0.5, 0.5), tank, &depth, *state);
  double area[3];
  double volume[3];
  lw_error err = {0};
  assert_int_equal(lw_map_curve(area, volume, &map, NULL, (double[]){0, 2, 1}, 3, &err), LW_INVALID);
  assert_holds(err.message, "level 3");
  assert_int_equal(lw_map_curve(area, volume, &map, NULL, (double[]){0, NAN}, 2, &err), LW_INVALID);
  assert_int_equal(lw_map_curve(area, volume, &map, NULL, (double[]){-20000}, 1, &err), LW_INVALID);
  assert_int_equal(lw_map_curve(area, volume, &map, NULL, area, SIZE_MAX, &err), LW_LIMIT);
  assert_int_equal(lw_map_curve(area, volume, &map, NULL, NULL, 0, &err), LW_OK);
  assert_int_equal(lw_map_shallower(area, &map, 0, (double[]){-1}, 1, &err), LW_INVALID);
  assert_int_equal(lw_map_shallower(area, &map, 5, (double[]){1}, 1, &err), LW_INVALID);
  assert_holds(err.message, "no water is left");
  assert_int_equal(lw_map_shallower(area, &map, 0, area, SIZE_MAX / 8, &err), LW_MEMORY);
  assert_int_equal(lw_map_layers(area, volume, &map, 0, -1, &err), LW_INVALID);
  assert_int_equal(lw_map_layers(area, volume, &map, 0, NAN, &err), LW_INVALID);
  map.depth_m[3 * map.frame.nx + 4] = NAN;
  assert_int_equal(lw_map_curve(area, volume, &map, NULL, (double[]){0}, 1, &err), LW_INTERNAL);
  assert_int_equal(
      lw_map_depth_at(area, volume, &map, (lw_spot){map.frame.x0_m + 3.5, map.frame.y0_m + 3.5}, &err),
      LW_INTERNAL);
}

/* ---- speed ---- */

static double hummocks(double x_m, double y_m, const void *context)
{
  (void)context;
  return 20 * (1 - (x_m * x_m / 4.4e6 + y_m * y_m / 2.2e6)) + 0.5 * sin(x_m / 30) * cos(y_m / 20);
}

static void many_levels_of_a_large_map_are_quick(void **state)
{
  enum { LEVELS = 120 };
  shape_builder b = shape_begin(*state);
  add_rectangle(&b, -1990, -1990, 1990, 1990, false);
  lw_shore shore = shape_end(&b);
  lw_depth_map map = map_of(&shore, (lw_frame){1001, 1001, 4, -2000, -2000}, hummocks, NULL, *state);
  double levels[LEVELS];
  double area[LEVELS];
  double volume[LEVELS];
  for (size_t k = 0; k < LEVELS; k++) {
    levels[k] = 20.5 * (double)k / LEVELS;
  }
  clock_t begin = clock();
  assert_int_equal(lw_map_curve(area, volume, &map, NULL, levels, LEVELS, NULL), LW_OK);
  double took = (double)(clock() - begin) / CLOCKS_PER_SEC;
  print_message("# %d levels of 10^6 cells: %.3f s\n", LEVELS, took);
  assert_true(took < 3); /* loose: for a busy machine and under a sanitizer */
  for (size_t k = 1; k < LEVELS; k++) {
    assert_true(area[k] <= area[k - 1] && volume[k] <= volume[k - 1]);
  }
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
      cmocka_unit_test(a_cut_cell_is_as_its_small_squares),
      cmocka_unit_test(a_plane_cell_is_exact),
      cmocka_unit_test(the_wet_part_of_a_cell),
      WITH_ARENA(a_tank_with_upright_walls),
      WITH_ARENA(a_wedge_in_every_measure),
      WITH_ARENA(depth_at_a_place),
      WITH_ARENA(full_pool_is_the_whole_outline),
      WITH_ARENA(zones_that_divide_a_water_add_up),
      WITH_ARENA(a_zone_drawn_along_the_shore_is_all_of_it),
      WITH_ARENA(the_common_part_of_a_cell_is_measured),
      cmocka_unit_test(volumes_and_means_by_hand),
      WITH_ARENA(refuses_levels_and_maps_that_cannot_be),
      WITH_ARENA(many_levels_of_a_large_map_are_quick),
  };
  return cmocka_run_group_tests_name("depth map", tests, NULL, NULL);
}
