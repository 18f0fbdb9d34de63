/* SPDX-License-Identifier: Apache-2.0 */
/* Laws of the depth map on basins with closed formulas (cone, paraboloid, elliptic bowl, wedge between
 * upright walls, moat about an island), turned and moved at random on the grid: areas and volumes at every
 * level, the order of convergence, layers that add up, zones that add up to the whole, contours that agree
 * with the curve. Draws are counter-based: what failed once fails again. */
#include "maps.h"

#include "base/random.h"

enum { LEVELS = 12, SHORE = 3600 };

typedef enum kind { CONE, PARABOLOID, BOWL, WEDGE, MOAT, KINDS } kind;

static const char *const NAME[KINDS] = {"cone", "paraboloid", "elliptic bowl", "wedge", "moat"};

/* Lengths in m. Half axes 100 and 60 (100 and 100 for cone, paraboloid and moat), island of radius 30. */
#define A 100.0
#define B 60.0
#define ISLE 30.0
#define DEPTH 6.0

typedef struct lake {
  kind kind;
  double angle, east_m, north_m;
  lw_shore shore;
} lake;

static double bed(double x_m, double y_m, const void *context)
{
  const lake *l = context;
  double dx = x_m - l->east_m;
  double dy = y_m - l->north_m;
  double x = dx * cos(l->angle) + dy * sin(l->angle);
  double y = dy * cos(l->angle) - dx * sin(l->angle);
  double r = hypot(x, y);
  switch (l->kind) {
  case CONE:
    return DEPTH * (1 - r / A);
  case PARABOLOID:
    return DEPTH * (1 - r * r / (A * A));
  case BOWL:
    return DEPTH * (1 - pow(x * x / (A * A) + y * y / (B * B), 2));
  case WEDGE:
    return DEPTH * (x + A) / (2 * A);
  default:
    return DEPTH * 4 * (r - ISLE) * (A - r) / ((A - ISLE) * (A - ISLE));
  }
}

static double true_area(kind k, double down_m)
{
  double left = fmax(0, 1 - fmax(0, down_m) / DEPTH);
  switch (k) {
  case CONE:
    return PI * A * A * left * left;
  case PARABOLOID:
    return PI * A * A * left;
  case BOWL:
    return PI * A * B * sqrt(left);
  case WEDGE:
    return 4 * A * B * left;
  default:
    return PI * (A * A - ISLE * ISLE) * sqrt(left);
  }
}

static double true_volume(kind k, double down_m)
{
  double left = fmax(0, 1 - fmax(0, down_m) / DEPTH);
  static const double share[KINDS] = {1 / 3.0, 1 / 2.0, 2 / 3.0, 1 / 2.0, 2 / 3.0};
  return true_area(k, down_m) * left * DEPTH * share[k] + fmax(0, -down_m) * true_area(k, 0);
}

static lake lake_of(kind k, double angle, double east_m, double north_m, lw_arena *arena)
{
  shape_builder b = shape_begin(arena);
  if (k == WEDGE) {
    add_rectangle(&b, -A, -B, A, B, false);
  } else {
    add_ring_of(&b, 0, 0, A, k == BOWL ? B : A, SHORE, 0, false);
  }
  if (k == MOAT) {
    add_ring_of(&b, 0, 0, ISLE, ISLE, SHORE, 0, true);
  }
  lake l = {k, angle, east_m, north_m, shape_end(&b)};
  turn_shore(&l.shore, angle, east_m, north_m);
  return l;
}

/* Numbers 0 to 1, one after the other. */
typedef struct source {
  lw_random random;
  uint64_t index;
} source;

static double draw(source *s)
{
  return lw_random_uniform(&s->random, s->index++);
}

static lake random_lake(kind k, source *s, lw_arena *arena)
{
  double angle = 2 * PI * draw(s);
  double east = 1000 * draw(s);
  return lake_of(k, angle, east, 1000 * draw(s), arena);
}

static lw_depth_map random_map(const lake *l, double step_m, source *s, lw_arena *arena)
{
  double east = draw(s);
  return map_of(&l->shore, frame_about(&l->shore, step_m, east, draw(s)), bed, l, arena);
}

static void areas_and_volumes_at_every_level(void **state)
{
  source s = {{20260504, 1}, 0};
  for (int k = 0; k < 4 * KINDS; k++) {
    lake l = random_lake((kind)(k % KINDS), &s, *state);
    lw_depth_map map = random_map(&l, 2, &s, *state);
    double levels[LEVELS];
    double area[LEVELS];
    double volume[LEVELS];
    for (int i = 0; i < LEVELS; i++) {
      levels[i] = -1 + (DEPTH + 1.5) * i / (LEVELS - 1);
    }
    assert_int_equal(lw_map_curve(area, volume, &map, NULL, levels, LEVELS, NULL), LW_OK);
    for (int i = 0; i < LEVELS; i++) {
      assert_close(area[i], true_area(l.kind, levels[i]), 3e-3 * true_area(l.kind, 0));
      assert_close(volume[i], true_volume(l.kind, levels[i]), 1e-3 * true_volume(l.kind, 0));
      assert_true(i == 0 || (area[i] <= area[i - 1] && volume[i] <= volume[i - 1]));
    }
    assert_close(lw_map_deepest_m(&map), DEPTH, 0.1);
  }
}

/* Root mean square error of the volume at full pool and at a third down, over turns and shifts. */
static double volume_error(kind k, double step_m)
{
  enum { TRIES = 12 };
  source s = {{20260504, 10 + (uint32_t)k}, 0};
  double sum = 0;
  for (int i = 0; i < TRIES; i++) {
    lw_arena *arena = lw_arena_new(0);
    lake l = random_lake(k, &s, arena);
    lw_depth_map map = random_map(&l, step_m, &s, arena);
    sum += pow(volume_at(&map, NULL, 0) - true_volume(k, 0), 2);
    sum += pow(volume_at(&map, NULL, DEPTH / 3) - true_volume(k, DEPTH / 3), 2);
    lw_arena_free(arena);
  }
  return sqrt(sum / (2 * TRIES)) / true_volume(k, 0);
}

static void volumes_converge_with_the_square_of_the_step(void **state)
{
  (void)state;
  for (kind k = 0; k < KINDS; k++) {
    double wide = volume_error(k, 8);
    double narrow = volume_error(k, 2);
    double order = log2(wide / narrow) / 2;
    print_message("# %-14s relative error %.1e at 8 m, %.1e at 2 m: order %.2f\n", NAME[k], wide, narrow,
                  order);
    assert_true(order >= 1.8);
  }
}

static void layers_add_up_and_shares_grow(void **state)
{
  source s = {{20260504, 2}, 0};
  for (int k = 0; k < 4 * KINDS; k++) {
    lake l = random_lake((kind)(k % KINDS), &s, *state);
    lw_depth_map map = random_map(&l, 4, &s, *state);
    double down = 3 * draw(&s) - 0.5;
    double whole = volume_at(&map, NULL, down);
    double last = whole;
    for (double plane = 0; plane < DEPTH; plane += 0.7) {
      double above;
      double below;
      assert_int_equal(lw_map_layers(&above, &below, &map, down, plane, NULL), LW_OK);
      assert_close(above + below, whole, 1e-9 * whole);
      assert_true(below <= last);
      last = below;
    }
    double depths[LEVELS];
    double share[LEVELS];
    for (int i = 0; i < LEVELS; i++) {
      depths[i] = 0.6 * i;
    }
    assert_int_equal(lw_map_shallower(share, &map, down, depths, LEVELS, NULL), LW_OK);
    for (int i = 1; i < LEVELS; i++) {
      assert_true(share[i] >= share[i - 1] && share[i] <= 1 && share[0] >= 0);
    }
  }
}

/* Four zones that meet in a point somewhere and cover all. */
static void zones_of_a_partition_sum_to_the_whole(void **state)
{
  source s = {{20260504, 3}, 0};
  for (int k = 0; k < 3 * KINDS; k++) {
    lake l = random_lake((kind)(k % KINDS), &s, *state);
    lw_depth_map map = random_map(&l, 3, &s, *state);
    lw_spot middle = {l.east_m + 80 * draw(&s) - 40, l.north_m + 80 * draw(&s) - 40};
    double turn = 2 * PI * draw(&s);
    double down = 4 * draw(&s);
    double area = 0;
    double volume = 0;
    for (int q = 0; q < 4; q++) {
      shape_builder b = shape_begin(*state);
      add_rectangle(&b, q % 2 ? -900 : 0, q / 2 ? -900 : 0, q % 2 ? 0 : 900, q / 2 ? 0 : 900, q % 2);
      lw_shore zone = shape_end(&b);
      turn_shore(&zone, turn, middle.x_m, middle.y_m);
      float *cover;
      assert_int_equal(lw_zone_cover(&cover, &map, &zone, *state, NULL), LW_OK);
      area += area_at(&map, cover, down);
      volume += volume_at(&map, cover, down);
    }
    assert_close(area, area_at(&map, NULL, down), 1e-5 * true_area(l.kind, 0));
    assert_close(volume, volume_at(&map, NULL, down), 1e-5 * true_volume(l.kind, 0));
  }
}

/* A grid that moves along with its lake measures the same. */
static void moved_lakes_measure_the_same(void **state)
{
  source s = {{20260504, 4}, 0};
  for (kind k = 0; k < KINDS; k++) {
    double angle = 2 * PI * draw(&s);
    lake here = lake_of(k, angle, 0, 0, *state);
    lake there = lake_of(k, angle, 4096, -8192, *state);
    lw_depth_map a = map_of(&here.shore, frame_about(&here.shore, 4, 0.5, 0.25), bed, &here, *state);
    lw_depth_map b = map_of(&there.shore, frame_about(&there.shore, 4, 0.5, 0.25), bed, &there, *state);
    for (double down = 0; down < DEPTH; down += 0.8) {
      assert_close(area_at(&a, NULL, down), area_at(&b, NULL, down), 1e-4 * true_area(k, 0));
      assert_close(volume_at(&a, NULL, down), volume_at(&b, NULL, down), 1e-6 * true_volume(k, 0));
    }
  }
}

/* Turned by a right angle the cells are the same cells: only rounding may differ. */
static void lakes_turned_by_a_right_angle_measure_the_same(void **state)
{
  for (kind k = 0; k < KINDS; k++) {
    lake a = lake_of(k, 0.4, 0, 0, *state);
    lake b = lake_of(k, 0.4 + PI / 2, 0, 0, *state);
    lw_frame frame = {61, 61, 4, -120, -120};
    lw_depth_map first = map_of(&a.shore, frame, bed, &a, *state);
    lw_depth_map second = map_of(&b.shore, frame, bed, &b, *state);
    for (double down = 0; down < DEPTH; down += 0.8) {
      assert_close(area_at(&first, NULL, down), area_at(&second, NULL, down), 1e-4 * true_area(k, 0));
      assert_close(volume_at(&first, NULL, down), volume_at(&second, NULL, down), 1e-5 * true_volume(k, 0));
    }
  }
}

static void contours_agree_with_the_curve(void **state)
{
  const double levels[] = {0, 0.25, 1, 2, 3.3, 5, 5.5};
  source s = {{20260504, 5}, 0};
  for (int k = 0; k < 3 * KINDS; k++) {
    lake l = random_lake((kind)(k % KINDS), &s, *state);
    lw_depth_map map = random_map(&l, 3, &s, *state);
    lw_contour *list;
    assert_int_equal(lw_map_contours(&list, &map, &l.shore, levels, 7, *state, NULL), LW_OK);
    for (size_t c = 0; c < 7; c++) {
      size_t rings = l.kind == MOAT ? 2 : 1;
      assert_int_equal(list[c].ring_count, rings);
      assert_int_equal(list[c].rings[rings - 1].hole, l.kind == MOAT);
      assert_close(list[c].area_m2, area_at(&map, NULL, levels[c]), 2e-3 * true_area(l.kind, 0));
      if (c > 0) { /* the shore itself has too many spots to try edge against edge */
        check_clean(&list[c]);
      }
    }
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
      WITH_ARENA(areas_and_volumes_at_every_level),
      WITH_ARENA(volumes_converge_with_the_square_of_the_step),
      WITH_ARENA(layers_add_up_and_shares_grow),
      WITH_ARENA(zones_of_a_partition_sum_to_the_whole),
      WITH_ARENA(moved_lakes_measure_the_same),
      WITH_ARENA(lakes_turned_by_a_right_angle_measure_the_same),
      WITH_ARENA(contours_agree_with_the_curve),
  };
  return cmocka_run_group_tests_name("basin shapes", tests, NULL, NULL);
}
