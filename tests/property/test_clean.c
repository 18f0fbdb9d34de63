/* SPDX-License-Identifier: Apache-2.0 */
/* Laws of the cleaning on seeded surveys of every kind of invented lake: planted spikes are found, true
 * depths are let be, cleaning twice changes nothing. */
#include "check.h"

#include "lakes.h"

#include <stdbool.h>

typedef struct score {
  size_t spikes, found, clean, wrong;
} score;

/* Surveys the ensemble's lake `member` with soundings at most 3 m apart and cleans it. */
static void clean_one(score *sum, uint32_t member, lw_sailing flaws, bool *out_same)
{
  lw_arena *arena = lw_arena_new(0);
  lw_lake_ask ask;
  lw_sailing how;
  lw_lake lake;
  lw_sailed got;
  lw_cleaning_report report;
  lw_cleaning usual = lw_cleaning_usual();
  lw_lakes_draw(&ask, &how, 20260501, member);
  how.tracks = false;
  how.spacing_m = fmin(how.spacing_m, 3);
  how.spikes = flaws.spikes;
  how.spike_least_m = fmax(1, 6 * hypot(how.noise_m, how.drift_m));
  how.spike_most_m = how.spike_least_m + 3;
  how.dropouts = flaws.dropouts;
  how.double_echoes = flaws.double_echoes;
  how.place_m = flaws.place_m;
  how.resolution_m = flaws.resolution_m;
  how.timeless = flaws.timeless;
  assert_int_equal(lw_lake_make(&lake, &ask, arena, NULL), LW_OK);
  assert_int_equal(lw_lake_sail(&got, &lake, &how, arena, NULL), LW_OK);
  assert_int_equal(lw_soundings_clean(got.soundings, got.count, &lake.shore, &usual, &report, arena, NULL),
                   LW_OK);
  uint8_t *flaw = LW_NEW(arena, uint8_t, got.count);
  size_t counted = 0;
  for (size_t k = 0; k < got.count; k++) {
    const lw_sounding *s = &got.soundings[k];
    bool aside = s->flaw != LW_SOUNDING_GOOD;
    double off = fabs((double)s->depth_m - got.truth_m[k]);
    bool spike = got.planted[k] == LW_SOUNDING_SPIKE && off > how.spike_least_m;
    sum->spikes += spike;
    sum->found += spike && aside;
    sum->clean += got.planted[k] == LW_SOUNDING_GOOD;
    sum->wrong += got.planted[k] == LW_SOUNDING_GOOD && aside;
    flaw[k] = s->flaw;
    counted += aside;
  }
  assert_int_equal(counted, got.count - report.count[LW_SOUNDING_GOOD]);
  assert_int_equal(lw_soundings_clean(got.soundings, got.count, &lake.shore, &usual, &report, arena, NULL),
                   LW_OK);
  for (size_t k = 0; k < got.count; k++) {
    *out_same = *out_same && got.soundings[k].flaw == flaw[k];
  }
  lw_arena_free(arena);
}

static score clean_kind(lw_lake_kind kind, lw_sailing flaws)
{
  score sum = {0};
  bool same = true;
  for (uint32_t member = (uint32_t)kind; member < 80; member += LW_LAKE_KINDS) {
    clean_one(&sum, member, flaws, &same);
  }
  assert_true(same);
  return sum;
}

static void true_depths_are_let_be(void **state)
{
  (void)state;
  const lw_sailing cases[] = {{.spikes = 0}, {.place_m = 1}, {.resolution_m = 0.05}, {.resolution_m = 0.1}};
  for (size_t c = 0; c < sizeof(cases) / sizeof(cases[0]); c++) {
    for (int kind = 0; kind < LW_LAKE_KINDS; kind++) {
      score s = clean_kind((lw_lake_kind)kind, cases[c]);
      print_message("# case %zu, lake %d: %zu of %zu set aside\n", c, kind, s.wrong, s.clean);
      assert_true(s.clean > 5000);
      assert_true((double)s.wrong <= 0.0005 * (double)s.clean); /* ten times below the 0.5 % asked */
    }
  }
}

static void spikes_are_found(void **state)
{
  (void)state;
  const lw_sailing cases[] = {{.spikes = 0.005},
                              {.spikes = 0.02},
                              {.spikes = 0.02, .dropouts = 0.01, .double_echoes = 0.01, .resolution_m = 0.05},
                              {.spikes = 0.02, .place_m = 1}};
  for (size_t c = 0; c < sizeof(cases) / sizeof(cases[0]); c++) {
    score all = {0};
    for (int kind = 0; kind < LW_LAKE_KINDS; kind++) {
      score s = clean_kind((lw_lake_kind)kind, cases[c]);
      print_message("# case %zu, lake %d: found %zu of %zu, wrong %zu of %zu\n", c, kind, s.found, s.spikes,
                    s.wrong, s.clean);
      all.found += s.found;
      all.spikes += s.spikes;
      assert_true((double)s.wrong <= 0.005 * (double)s.clean);
    }
    print_message("# case %zu: recall %.4f\n", c, (double)all.found / (double)all.spikes);
    assert_true(all.spikes > 500 && (double)all.found >= 0.95 * (double)all.spikes);
  }
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(true_depths_are_let_be),
      cmocka_unit_test(spikes_are_found),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
