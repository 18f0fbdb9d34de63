/* SPDX-License-Identifier: Apache-2.0 */
/* The cleaning, case by case: each reason for setting a sounding aside, and the true features that look
 * like one. A lake of 400 m by 400 m, a boat going to and fro. */
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
  size_t count;
  lw_cleaning_report report;
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

static lw_sounding *put(trip *t, double x, double y, double depth)
{
  lw_sounding *s = &t->at[t->count];
  *s = (lw_sounding){
      .x_m = x, .y_m = y, .time_s = 1.7e9 + 2.0 * (double)t->count, .depth_m = (float)depth, .track = -1};
  t->count++;
  return s;
}

static double noise(uint64_t k)
{
  return 0.03 * lw_random_normal(&(lw_random){11, 77}, k);
}

/* `lines` west to east, `apart` m from each other, every 2 m, over a bed of 3 m with slope eastwards. */
static void sail(trip *t, size_t lines, double apart, double slope)
{
  for (size_t line = 0; line < lines; line++) {
    for (size_t k = 0; k < 180; k++) {
      double x = line % 2 ? 380 - 2.0 * (double)k : 20 + 2.0 * (double)k;
      put(t, x, 100 + apart * (double)line, 3 + slope * (x - 20) + noise(t->count));
    }
  }
}

static lw_status clean_with(trip *t, lw_cleaning how, lw_error *err)
{
  return lw_soundings_clean(t->at, t->count, &square, &how, &t->report, t->arena, err);
}

static void clean(trip *t)
{
  lw_error err = {0};
  if (clean_with(t, lw_cleaning_usual(), &err) != LW_OK) {
    print_error("%s\n", err.message);
    fail();
  }
}

static size_t aside(const trip *t)
{
  return t->count - t->report.count[LW_SOUNDING_GOOD];
}

/* ---- reasons ---- */

static void every_reason_has_its_words(void **state)
{
  (void)state;
  for (int f = 0; f < LW_SOUNDING_FLAW_COUNT; f++) {
    assert_true(strlen(lw_sounding_flaw_id((lw_sounding_flaw)f)) > 3);
    assert_true(strlen(lw_sounding_flaw_text((lw_sounding_flaw)f)) > 3);
  }
  assert_string_equal(lw_sounding_flaw_id(LW_SOUNDING_DOUBLE_ECHO), "double-echo");
  assert_string_equal(lw_sounding_flaw_id((lw_sounding_flaw)99), "unknown");
}

static void each_reason_is_found(void **state)
{
  trip *t = *state;
  sail(t, 6, 15, 0.005);
  assert_int_equal(t->count, 1080);
  t->at[50].y_m = -30;
  t->at[51].y_m = -4; /* within the tolerance */
  t->at[150].depth_m = NAN;
  t->at[250].depth_m = -99;
  t->at[350].depth_m = 0;
  t->at[351].depth_m = 0.04F;
  t->at[450].depth_m += 1.2F;
  t->at[550].depth_m -= 1.2F;
  t->at[650].depth_m *= 2;
  t->at[750].depth_m = 55;
  t->at[850].owner = 2;
  t->at[950].depth_m = 65535;
  *put(t, 0, 0, 0) = t->at[700];
  lw_cleaning how = lw_cleaning_usual();
  how.deepest_m = 20;
  assert_int_equal(clean_with(t, how, NULL), LW_OK);
  const struct {
    size_t at;
    lw_sounding_flaw flaw;
  } want[] = {{50, LW_SOUNDING_OUTSIDE},    {51, LW_SOUNDING_GOOD},      {150, LW_SOUNDING_DROPOUT},
              {250, LW_SOUNDING_DROPOUT},   {350, LW_SOUNDING_ZERO},     {351, LW_SOUNDING_ZERO},
              {450, LW_SOUNDING_SPIKE},     {550, LW_SOUNDING_SPIKE},    {650, LW_SOUNDING_DOUBLE_ECHO},
              {750, LW_SOUNDING_TOO_DEEP},  {850, LW_SOUNDING_BY_OWNER}, {950, LW_SOUNDING_DROPOUT},
              {1080, LW_SOUNDING_DUPLICATE}};
  for (size_t k = 0; k < sizeof(want) / sizeof(want[0]); k++) {
    assert_int_equal(t->at[want[k].at].flaw, want[k].flaw);
  }
  assert_int_equal(aside(t), 12); /* and nothing else */
  assert_int_equal(t->report.count[LW_SOUNDING_SPIKE], 2);
}

static void the_owners_word_wins(void **state)
{
  trip *t = *state;
  sail(t, 3, 15, 0);
  t->at[50].depth_m += 4;
  t->at[50].owner = 1;
  t->at[51].y_m = -200;
  t->at[51].owner = 1;
  t->at[60].owner = 2;
  t->at[70].depth_m = NAN;
  t->at[70].owner = 1; /* no word makes it a depth */
  t->at[80] = t->at[79];
  t->at[80].owner = 1; /* of the two, the one that is kept */
  t->at[90].depth_m = 0;
  t->at[90].owner = 1;
  t->at[100].depth_m += 4;
  clean(t);
  assert_int_equal(t->at[50].flaw, LW_SOUNDING_GOOD);
  assert_int_equal(t->at[51].flaw, LW_SOUNDING_GOOD);
  assert_int_equal(t->at[60].flaw, LW_SOUNDING_BY_OWNER);
  assert_int_equal(t->at[70].flaw, LW_SOUNDING_DROPOUT);
  assert_int_equal(t->at[79].flaw, LW_SOUNDING_DUPLICATE);
  assert_int_equal(t->at[80].flaw, LW_SOUNDING_GOOD);
  assert_int_equal(t->at[90].flaw, LW_SOUNDING_GOOD);
  assert_int_equal(t->at[100].flaw, LW_SOUNDING_SPIKE);
  assert_int_equal(aside(t), 4);
  t->at[100].owner = 1; /* restored: and what was cleaned before says nothing */
  clean(t);
  assert_int_equal(aside(t), 3);
}

/* ---- refusals ---- */

static void another_water_is_named(void **state)
{
  trip *t = *state;
  const struct {
    double east_m;
    const char *cause;
  } cases[] = {
      {5e6, "swapped"}, {50000, "another coordinate system"}, {2000, "of another water"}, {330, "shifted"}};
  for (size_t c = 0; c < 4; c++) {
    t->count = 0;
    sail(t, 3, 15, 0);
    for (size_t k = 0; k < t->count; k++) {
      t->at[k].x_m += cases[c].east_m;
    }
    lw_error err = {0};
    assert_int_equal(clean_with(t, lw_cleaning_usual(), &err), LW_INVALID);
    assert_holds(err.message, cases[c].cause);
    assert_holds(err.message, "of 540 soundings");
  }
}

static void what_cannot_be_cleaned_is_refused(void **state)
{
  trip *t = *state;
  lw_error err = {0};
  assert_int_equal(clean_with(t, lw_cleaning_usual(), &err), LW_INVALID);
  assert_holds(err.message, "no soundings");
  sail(t, 1, 15, 0);
  for (size_t k = 0; k < t->count; k++) {
    t->at[k].depth_m = NAN;
  }
  assert_int_equal(clean_with(t, lw_cleaning_usual(), &err), LW_INVALID);
  assert_holds(err.message, "none of the 180 soundings is left");
  assert_holds(err.message, "lost the bottom");
  lw_cleaning how = lw_cleaning_usual();
  how.spike_factor = NAN;
  assert_int_equal(clean_with(t, how, &err), LW_INVALID);
  assert_holds(err.message, "spike factor");
  t->at[3].survey = -1;
  t->at[3].depth_m = 3;
  assert_int_equal(clean_with(t, lw_cleaning_usual(), &err), LW_INVALID);
  assert_holds(err.message, "survey -1");
  lw_cleaning usual = lw_cleaning_usual();
  lw_arena *small = lw_arena_new(4096);
  assert_int_equal(lw_soundings_clean(t->at, t->count, &square, &usual, &t->report, small, &err), LW_MEMORY);
  lw_arena_free(small);
  assert_int_equal(lw_soundings_clean(t->at, 5000001, &square, &usual, &t->report, t->arena, &err), LW_LIMIT);
}

static void wild_places_do_no_harm(void **state)
{
  trip *t = *state;
  sail(t, 3, 15, 0);
  t->at[10].x_m = NAN;
  t->at[11].y_m = INFINITY;
  t->at[12].x_m = 1e300;
  t->at[12].owner = 1;
  t->at[13].time_s = 1e300;
  t->at[14].time_s = -INFINITY;
  clean(t);
  for (size_t k = 10; k < 13; k++) {
    assert_int_equal(t->at[k].flaw, LW_SOUNDING_OUTSIDE);
  }
  assert_int_equal(aside(t), 3);
}

/* ---- true features ---- */

static void depths_by_rope_are_let_be(void **state)
{
  trip *t = *state;
  const double depths[] = {1.2, 3, 0.4, 4.5, 2, 8, 0.05};
  for (size_t k = 0; k < 7; k++) {
    put(t, 40 + 50.0 * (double)k, 60 + 47.0 * (double)(k * k % 5), depths[k]);
  }
  clean(t);
  assert_int_equal(aside(t), 0);
  for (size_t k = 0; k < 12; k++) { /* 19 now: still far apart */
    put(t, 30 + 28.0 * (double)k, 350 - 61.0 * (double)(k * 7 % 5), 1 + (double)(k * 5 % 7));
  }
  clean(t);
  assert_int_equal(aside(t), 0);
}

/* Stumps 1 m high and one sounding wide, along x = 200. */
static void stumps_that_two_passes_see_survive(void **state)
{
  trip *t = *state;
  sail(t, 6, 5, 0);
  size_t stumps = 0;
  for (size_t k = 0; k < t->count; k++) {
    if (t->at[k].x_m == 200) {
      t->at[k].depth_m -= 1;
      stumps++;
    }
  }
  assert_int_equal(stumps, 6);
  clean(t);
  assert_int_equal(aside(t), 0);
}

static void a_stump_of_one_pass_is_set_aside(void **state)
{
  trip *t = *state;
  sail(t, 6, 15, 0);
  t->at[300].depth_m -= 1;
  clean(t);
  assert_int_equal(t->at[300].flaw, LW_SOUNDING_SPIKE);
  assert_int_equal(aside(t), 1);
}

/* One line over what a bed can be: creek with upright banks, ledge, ridge, ditch with sloping sides. */
static void beds_survive_a_single_line(void **state)
{
  trip *t = *state;
  for (size_t k = 0; k < 180; k++) {
    double x = 20 + 2.0 * (double)k;
    double z = 2;
    z += x >= 60 && x <= 64 ? 1.5 : 0;                    /* creek: three soundings wide */
    z += x >= 120 ? 2.5 : 0;                              /* ledge */
    z -= fmax(0, 1.5 - 0.25 * fabs(x - 180));             /* ridge, 1 in 4 */
    z += 1.6 * exp(-(x - 240) * (x - 240) / (2.5 * 2.5)); /* ditch */
    z -= x > 300 ? fmin((x - 300) * 0.6, 4) : 0;          /* bank of 1 in 1.7 */
    put(t, x, 200, z + noise(k));
  }
  clean(t);
  assert_int_equal(aside(t), 0);
}

static void coarse_sounder_on_a_flat_bed(void **state)
{
  trip *t = *state;
  sail(t, 4, 15, 0);
  for (size_t k = 0; k < t->count; k++) {
    t->at[k].depth_m = (float)(0.05 * round((double)t->at[k].depth_m / 0.05));
  }
  for (size_t k = 0; k < 180; k++) {
    t->at[k].depth_m = 3;
  }
  clean(t);
  assert_int_equal(aside(t), 0);
  t->at[90].depth_m = 3.35F; /* a deviation of 0 makes no spike of 0.3 m ... */
  t->at[60].depth_m = 3.25F;
  clean(t);
  assert_int_equal(t->at[90].flaw, LW_SOUNDING_SPIKE);
  assert_int_equal(aside(t), 1);
}

/* ---- repeats ---- */

static void a_boat_at_anchor_repeats_nothing(void **state)
{
  trip *t = *state;
  sail(t, 2, 15, 0);
  for (size_t k = 0; k < 20000; k++) {
    put(t, 380, 130, 3 + 0.05 * (double)(k % 3));
  }
  clean(t);
  assert_int_equal(aside(t), 0);
}

static void two_depths_at_one_place_are_both_kept(void **state)
{
  trip *t = *state;
  sail(t, 3, 15, 0);
  *put(t, 0, 0, 0) = t->at[100];
  t->at[t->count - 1].depth_m += 0.1F;
  clean(t);
  assert_int_equal(aside(t), 0);
}

static void a_file_read_twice(void **state)
{
  trip *t = *state;
  for (int timeless = 0; timeless < 3; timeless++) {
    t->count = 0;
    sail(t, 4, 15, 0.003);
    size_t once = t->count;
    for (size_t k = 0; k < once; k++) {
      *put(t, 0, 0, 0) = t->at[k];
      lw_sounding *s = &t->at[t->count - 1];
      s->survey = 1;
      s->x_m += k % 2 ? 0.02 : -0.02; /* as places written with fewer figures */
      s->time_s = timeless > 0 ? (double)NAN : s->time_s;
      t->at[k].time_s = timeless > 1 ? (double)NAN : t->at[k].time_s;
    }
    clean(t);
    assert_int_equal(t->report.count[LW_SOUNDING_DUPLICATE], once);
    for (size_t k = 0; k < once; k++) {
      assert_int_equal(t->at[k].flaw, LW_SOUNDING_GOOD);
    }
  }
}

/* ---- runs ---- */

static void zeros_far_from_the_shore_go_and_shallows_stay(void **state)
{
  trip *t = *state;
  for (size_t k = 0; k < 195; k++) { /* from the west bank over a flat to 3 m, and to the east bank */
    double x = 5 + 2.0 * (double)k;
    double z = fmin(fmin(0.05 * x, 0.05 * (400 - x)), 3);
    z = x > 60 && x < 100 ? fmax(0.02, 0.15 * fabs(x - 80)) : z; /* a shoal almost dry */
    put(t, x, 200, z);
  }
  clean(t);
  assert_int_equal(aside(t), 0);
  for (size_t k = 100; k < 130; k++) {
    t->at[k].depth_m = 0;
  }
  t->at[0].depth_m = 0;
  clean(t);
  assert_int_equal(t->report.count[LW_SOUNDING_ZERO], 30);
  assert_int_equal(aside(t), 30);
}

/* The recorder's zero with 0.3 m of transducer and the pool 0.6 m down added. */
static void raised_zeros(void **state)
{
  trip *t = *state;
  sail(t, 4, 15, 0.002);
  for (size_t k = 0; k < t->count; k++) {
    bool lost = (k > 60 && k < 70) || k == 200 || (k > 400 && k < 425);
    t->at[k].depth_m = lost ? 0.9F : t->at[k].depth_m;
  }
  clean(t);
  assert_int_equal(t->report.count[LW_SOUNDING_ZERO], 34);
  assert_int_equal(aside(t), 34);
}

static void echoes_of_the_echo_in_a_run(void **state)
{
  trip *t = *state;
  sail(t, 4, 15, 0.004);
  for (size_t k = 250; k < 262; k++) {
    t->at[k].depth_m *= 2;
  }
  clean(t);
  assert_int_equal(t->report.count[LW_SOUNDING_DOUBLE_ECHO], 12);
  assert_int_equal(aside(t), 12);
}

static void a_reading_that_stood_still(void **state)
{
  trip *t = *state;
  sail(t, 4, 15, 0.02);
  for (size_t k = 261; k < 300; k++) {
    t->at[k].depth_m = t->at[260].depth_m;
  }
  clean(t);
  assert_int_equal(t->report.count[LW_SOUNDING_DROPOUT], 39);
  assert_int_equal(aside(t), 39);
}

/* ---- order ---- */

static void spoil(trip *t)
{
  sail(t, 12, 8, 0.004);
  for (size_t j = 0; j < 34; j++) {
    t->at[30 + 61 * j + j * j * 17 % 40].depth_m += j % 3 ? 1.5F : -1.5F;
  }
}

/* A reordering and its undoing: sounding k goes to place (k * 7919 + 13) mod count. */
static size_t shuffled(const trip *t, size_t k)
{
  return (k * 7919 + 13) % t->count;
}

static void check_shuffled(trip *t, bool timed)
{
  lw_sounding *was = malloc(t->count * sizeof(*was));
  uint8_t *flaw = malloc(t->count);
  assert_true(was && flaw);
  for (size_t k = 0; k < t->count; k++) {
    t->at[k].time_s = timed ? t->at[k].time_s : (double)NAN;
  }
  if (!timed) { /* no order to begin with either */
    memcpy(was, t->at, t->count * sizeof(*was));
    for (size_t k = 0; k < t->count; k++) {
      t->at[(k * 4271 + 5) % t->count] = was[k];
    }
  }
  clean(t);
  assert_true(aside(t) > 150 && aside(t) < 40 * 5);
  for (size_t k = 0; k < t->count; k++) {
    flaw[k] = t->at[k].flaw;
    was[k] = t->at[k];
  }
  for (size_t k = 0; k < t->count; k++) {
    t->at[shuffled(t, k)] = was[k];
  }
  clean(t);
  for (size_t k = 0; k < t->count; k++) {
    assert_int_equal(t->at[shuffled(t, k)].flaw, flaw[k]);
  }
  free(was);
  free(flaw);
}

static void a_shuffled_log_is_cleaned_by_its_times(void **state)
{
  trip *t = *state;
  spoil(t);
  for (size_t k = 5; k < t->count; k += 13) {
    t->at[k].depth_m += 1.7F;
  }
  check_shuffled(t, true);
}

static void scattered_soundings_are_cleaned_by_place(void **state)
{
  trip *t = *state;
  spoil(t);
  for (size_t k = 5; k < t->count; k += 13) {
    t->at[k].depth_m += 1.7F;
  }
  check_shuffled(t, false);
}

static void cleaning_twice_changes_nothing(void **state)
{
  trip *t = *state;
  spoil(t);
  clean(t);
  assert_true(aside(t) >= 31 && aside(t) <= 34);
  uint8_t flaw[4000];
  for (size_t k = 0; k < t->count; k++) {
    flaw[k] = t->at[k].flaw;
  }
  size_t tracks = 0;
  assert_int_equal(lw_soundings_split(t->at, t->count, &square, &tracks, t->arena, NULL), LW_OK);
  clean(t);
  for (size_t k = 0; k < t->count; k++) {
    assert_int_equal(t->at[k].flaw, flaw[k]);
  }
}

#define TEST(f) cmocka_unit_test_setup_teardown(f, set_up, tear_down)

int main(void)
{
  const struct CMUnitTest tests[] = {
      TEST(every_reason_has_its_words),
      TEST(each_reason_is_found),
      TEST(the_owners_word_wins),
      TEST(another_water_is_named),
      TEST(what_cannot_be_cleaned_is_refused),
      TEST(wild_places_do_no_harm),
      TEST(depths_by_rope_are_let_be),
      TEST(stumps_that_two_passes_see_survive),
      TEST(a_stump_of_one_pass_is_set_aside),
      TEST(beds_survive_a_single_line),
      TEST(coarse_sounder_on_a_flat_bed),
      TEST(a_boat_at_anchor_repeats_nothing),
      TEST(two_depths_at_one_place_are_both_kept),
      TEST(a_file_read_twice),
      TEST(zeros_far_from_the_shore_go_and_shallows_stay),
      TEST(raised_zeros),
      TEST(echoes_of_the_echo_in_a_run),
      TEST(a_reading_that_stood_still),
      TEST(a_shuffled_log_is_cleaned_by_its_times),
      TEST(scattered_soundings_are_cleaned_by_place),
      TEST(cleaning_twice_changes_nothing),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
