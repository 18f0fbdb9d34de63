/* SPDX-License-Identifier: Apache-2.0 */
/* The split into track lines: lines as sailed come back as lines, whatever the boat does between them. */
#include "check.h"

#include "base/random.h"
#include "lakes.h"

#include <stdbool.h>
#include <stdlib.h>

static const lw_spot square_spots[] = {{0, 0}, {400, 0}, {400, 400}, {0, 400}};
static const size_t square_start[] = {0, 4};
static const lw_shore square = {square_spots, square_start, 1, 4};

enum { MOST = 40000 };

typedef struct trip {
  lw_arena *arena;
  lw_sounding at[MOST];
  int planned[MOST]; /* line sailed, -1 on the way between two */
  size_t count, tracks;
  double place_m;
} trip;

static int set_up(void **state)
{
  trip *t = calloc(1, sizeof(*t));
  *state = t;
  t->arena = lw_arena_new(0);
  return t->arena ? 0 : -1;
}

static int tear_down(void **state)
{
  trip *t = *state;
  lw_arena_free(t->arena);
  free(t);
  return 0;
}

static void put(trip *t, double x, double y, int planned)
{
  double east = lw_random_normal(&(lw_random){5, 1}, t->count);
  double north = lw_random_normal(&(lw_random){5, 2}, t->count);
  t->planned[t->count] = planned;
  t->at[t->count] = (lw_sounding){.x_m = x + t->place_m * east,
                                  .y_m = y + t->place_m * north,
                                  .time_s = 1.7e9 + (double)t->count,
                                  .depth_m = 3,
                                  .track = -1};
  t->count++;
}

/* From (x, y) to (to_x, to_y), the last spot left to who goes on. */
static void go(trip *t, lw_spot from, lw_spot to, double step, int planned)
{
  double length = hypot(to.x_m - from.x_m, to.y_m - from.y_m);
  for (double at = 0; at < length; at += step) {
    put(t, from.x_m + (to.x_m - from.x_m) * at / length, from.y_m + (to.y_m - from.y_m) * at / length,
        planned);
  }
}

static void split(trip *t)
{
  lw_error err = {0};
  if (lw_soundings_split(t->at, t->count, &square, &t->tracks, t->arena, &err) != LW_OK) {
    print_error("%s\n", err.message);
    fail();
  }
  bool *seen = calloc(t->tracks + 1, 1);
  for (size_t k = 0; k < t->count; k++) {
    assert_true(t->at[k].track >= 0 && (size_t)t->at[k].track < t->tracks);
    seen[t->at[k].track] = true;
  }
  for (size_t k = 0; k < t->tracks; k++) {
    assert_true(seen[k]); /* numbered from 0 without a hole */
  }
  free(seen);
}

/* Share of the soundings on planned lines that carry their line's commonest track, which no other line has
 * as its commonest. */
static double agreement(const trip *t, int lines)
{
  size_t right = 0;
  size_t all = 0;
  bool *taken = calloc(t->tracks, 1);
  for (int line = 0; line < lines; line++) {
    size_t *votes = calloc(t->tracks, sizeof(size_t));
    size_t best = 0;
    for (size_t k = 0; k < t->count; k++) {
      if (t->planned[k] == line) {
        all++;
        votes[t->at[k].track]++;
        best = votes[t->at[k].track] > votes[best] ? (size_t)t->at[k].track : best;
      }
    }
    right += taken[best] ? 0 : votes[best];
    taken[best] = true;
    free(votes);
  }
  free(taken);
  return (double)right / (double)all;
}

/* ---- lines ---- */

/* To and fro, the turns recorded too. */
static void to_and_fro(trip *t, int lines, double apart, double step)
{
  for (int line = 0; line < lines; line++) {
    double y = 40 + apart * line;
    lw_spot west = {30, y};
    lw_spot east = {370, y};
    go(t, line % 2 ? east : west, line % 2 ? west : east, step, line);
    lw_spot end = line % 2 ? west : east;
    go(t, end, (lw_spot){end.x_m, y + apart}, step, -1);
  }
}

static void turns_part_lines(void **state)
{
  trip *t = *state;
  const double cases[][3] = {{2, 20, 0}, {2, 6, 0}, {0.4, 12, 0.3}, {1, 15, 1}, {5, 25, 0.5}};
  for (size_t c = 0; c < sizeof(cases) / sizeof(cases[0]); c++) {
    t->count = 0;
    t->place_m = cases[c][2];
    to_and_fro(t, 10, cases[c][1], cases[c][0]);
    split(t);
    print_message("# step %g m, lines %g m apart, places +-%g m: %zu tracks, agreement %.3f\n", cases[c][0],
                  cases[c][1], cases[c][2], t->tracks, agreement(t, 10));
    assert_true(t->tracks >= 10 && t->tracks <= 20);
    assert_true(agreement(t, 10) > 0.95);
  }
}

static void zigzag_legs_are_lines(void **state)
{
  trip *t = *state;
  for (int line = 0; line < 12; line++) {
    lw_spot a = {line % 2 ? 370 : 30, 30 + 28.0 * line};
    lw_spot b = {line % 2 ? 30 : 370, 30 + 28.0 * (line + 1)};
    go(t, a, b, 2, line);
  }
  split(t);
  assert_int_equal(t->tracks, 12);
  assert_true(agreement(t, 12) > 0.98);
}

static void a_weave_is_one_line(void **state)
{
  trip *t = *state;
  for (int k = 0; k < 340; k++) {
    put(t, 30 + k, 200 + 3 * sin(k / 6.0), 0);
  }
  split(t);
  assert_int_equal(t->tracks, 1);
}

static void a_ring_is_several_lines(void **state)
{
  trip *t = *state;
  for (int k = 0; k < 628; k++) {
    put(t, 200 + 150 * cos(k * 0.01), 200 + 150 * sin(k * 0.01), 0);
  }
  split(t);
  assert_true(t->tracks >= 4 && t->tracks <= 8);
}

static void gaps_part_lines(void **state)
{
  trip *t = *state;
  go(t, (lw_spot){20, 50}, (lw_spot){120, 50}, 2, 0);
  go(t, (lw_spot){180, 50}, (lw_spot){300, 50}, 2, 1); /* in place */
  for (size_t k = t->count - 30; k < t->count; k++) {
    t->at[k].time_s += 600; /* in time */
    t->planned[k] = 2;
  }
  split(t);
  assert_int_equal(t->tracks, 3);
  assert_close(agreement(t, 3), 1, 0);
}

static void surveys_part_lines(void **state)
{
  trip *t = *state;
  go(t, (lw_spot){20, 50}, (lw_spot){300, 50}, 2, 0);
  for (size_t k = 70; k < t->count; k++) {
    t->at[k].survey = 3;
    t->planned[k] = 1;
  }
  split(t);
  assert_int_equal(t->tracks, 2);
  assert_close(agreement(t, 2), 1, 0);
}

static void short_lines_join(void **state)
{
  trip *t = *state;
  go(t, (lw_spot){20, 350}, (lw_spot){25, 350}, 2, -1); /* 3 soundings, then a gap */
  go(t, (lw_spot){20, 50}, (lw_spot){300, 50}, 2, 0);
  go(t, (lw_spot){20, 150}, (lw_spot){23, 150}, 2, -1);
  go(t, (lw_spot){300, 250}, (lw_spot){20, 250}, 2, 1);
  go(t, (lw_spot){300, 350}, (lw_spot){299, 350}, 2, -1);
  split(t);
  assert_int_equal(t->tracks, 2);
  assert_int_equal(t->at[0].track, 0);
  assert_int_equal(t->at[t->count - 1].track, 1);
  t->count = 3; /* a survey that is short itself */
  t->at[0].track = t->at[1].track = t->at[2].track = -1;
  split(t);
  assert_int_equal(t->tracks, 1);
}

/* ---- numbers ---- */

static void given_lines_stay_and_are_told_apart(void **state)
{
  trip *t = *state;
  to_and_fro(t, 4, 20, 2);
  for (size_t k = 0; k < t->count; k++) {
    t->at[k].survey = k < 400 ? 0 : 1;
    t->at[k].track = k % 400 < 200 ? 7 : k < 400 ? 2 : -1; /* both surveys have a line 7 */
  }
  split(t);
  assert_int_equal(t->at[0].track, 0);
  assert_int_equal(t->at[199].track, 0);
  assert_int_equal(t->at[200].track, 1);
  assert_int_equal(t->at[399].track, 1);
  assert_int_equal(t->at[400].track, 2);
  assert_int_equal(t->at[599].track, 2);
  assert_true(t->at[600].track >= 3);
}

static void splitting_again_changes_nothing(void **state)
{
  trip *t = *state;
  t->place_m = 0.3;
  to_and_fro(t, 8, 15, 2);
  split(t);
  int32_t was[4000];
  for (size_t k = 0; k < t->count; k++) {
    was[k] = t->at[k].track;
  }
  size_t tracks = t->tracks;
  split(t);
  assert_int_equal(t->tracks, tracks);
  for (size_t k = 0; k < t->count; k++) {
    assert_int_equal(t->at[k].track, was[k]);
  }
}

static void what_is_set_aside_parts_nothing(void **state)
{
  trip *t = *state;
  go(t, (lw_spot){20, 50}, (lw_spot){300, 50}, 2, 0);
  t->at[0].flaw = LW_SOUNDING_SPIKE;
  t->at[40].flaw = LW_SOUNDING_OUTSIDE;
  t->at[40].x_m = NAN;
  t->at[41].flaw = LW_SOUNDING_OUTSIDE;
  t->at[41].y_m = 1e300;
  size_t good = t->count;
  go(t, (lw_spot){300, 250}, (lw_spot){20, 250}, 2, -1);
  for (size_t k = good; k < t->count; k++) {
    t->at[k].flaw = LW_SOUNDING_SPIKE;
    t->at[k].survey = 1; /* a survey with nothing good */
  }
  split(t);
  assert_int_equal(t->tracks, 2);
  assert_int_equal(t->at[0].track, 0);
  assert_int_equal(t->at[41].track, 0);
  assert_int_equal(t->at[good].track, 1);
}

static void scattered_soundings_are_parted_by_place(void **state)
{
  trip *t = *state;
  for (uint64_t k = 0; k < 2000; k++) {
    put(t, 400 * lw_random_uniform(&(lw_random){3, 1}, k), 400 * lw_random_uniform(&(lw_random){3, 2}, k), 0);
    t->at[k].time_s = NAN;
  }
  split(t);
  assert_int_equal(t->tracks, 100);
  for (size_t k = 0; k < t->count; k++) {
    for (size_t m = k + 1; m < t->count; m += 37) {
      double far = hypot(t->at[k].x_m - t->at[m].x_m, t->at[k].y_m - t->at[m].y_m);
      assert_true(t->at[k].track != t->at[m].track || far < 57);
    }
  }
}

/* Times put a shuffled log back in order. */
static void a_shuffled_log_is_split_by_its_times(void **state)
{
  trip *t = *state;
  to_and_fro(t, 6, 20, 2);
  size_t n = t->count;
  lw_sounding *was = malloc(n * sizeof(*was));
  int *planned = malloc(n * sizeof(*planned));
  memcpy(was, t->at, n * sizeof(*was));
  memcpy(planned, t->planned, n * sizeof(*planned));
  for (size_t k = 0; k < n; k++) {
    t->at[(k * 7919 + 13) % n] = was[k];
    t->planned[(k * 7919 + 13) % n] = planned[k];
  }
  split(t);
  assert_true(t->tracks >= 6 && t->tracks <= 12);
  assert_true(agreement(t, 6) > 0.95);
  free(was);
  free(planned);
}

static void limits(void **state)
{
  trip *t = *state;
  lw_error err = {0};
  assert_int_equal(lw_soundings_split(t->at, 0, &square, &t->tracks, t->arena, &err), LW_OK);
  assert_int_equal(t->tracks, 0);
  assert_int_equal(lw_soundings_split(t->at, 5000001, &square, &t->tracks, t->arena, &err), LW_LIMIT);
  to_and_fro(t, 2, 20, 2);
  lw_arena *small = lw_arena_new(4096);
  assert_int_equal(lw_soundings_split(t->at, t->count, &square, &t->tracks, small, &err), LW_MEMORY);
  lw_arena_free(small);
}

#define TEST(f) cmocka_unit_test_setup_teardown(f, set_up, tear_down)

int main(void)
{
  const struct CMUnitTest tests[] = {
      TEST(turns_part_lines),
      TEST(zigzag_legs_are_lines),
      TEST(a_weave_is_one_line),
      TEST(a_ring_is_several_lines),
      TEST(gaps_part_lines),
      TEST(surveys_part_lines),
      TEST(short_lines_join),
      TEST(given_lines_stay_and_are_told_apart),
      TEST(splitting_again_changes_nothing),
      TEST(what_is_set_aside_parts_nothing),
      TEST(scattered_soundings_are_parted_by_place),
      TEST(a_shuffled_log_is_split_by_its_times),
      TEST(limits),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
