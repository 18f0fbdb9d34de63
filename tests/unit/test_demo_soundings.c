/* SPDX-License-Identifier: Apache-2.0 */
/* The demonstration's soundings: read in as any file, with every fault a sounder has, and a map made of
 * them that holds the water that the invented bed holds. */
#include "demo_fixture.h"

#include "demo/bed.h"
#include "demo/soundings.h"
#include "work/basin.h"
#include "work/surveys.h"

static lw_water water_of(club *c, lw_demo_place place)
{
  lw_water w;
  assert_ok(&c->f, lw_store_find_water(c->f.store, lw_demo_names[place], c->f.arena, &w, &c->f.err));
  return w;
}

static lw_survey_list surveys_of(club *c, lw_demo_place place)
{
  lw_survey_list list;
  const char *fault = NULL;
  assert_ok(&c->f, lw_list_surveys(&list, &c->desk, water_of(c, place).id, &fault, &c->f.err));
  assert_null(fault);
  return list;
}

/* ---- what came in ---- */

typedef struct expected {
  lw_demo_place place;
  const char *name, *source, *day;
  double level_ft, offset_ft; /* 0: none told */
  size_t least, most;
  size_t flaw_least[LW_SOUNDING_FLAW_COUNT], flaw_most[LW_SOUNDING_FLAW_COUNT];
} expected;

#define OUTSIDE [LW_SOUNDING_OUTSIDE]
#define DUPLICATE [LW_SOUNDING_DUPLICATE]
#define DROPOUT [LW_SOUNDING_DROPOUT]
#define ZERO [LW_SOUNDING_ZERO]
#define SPIKE [LW_SOUNDING_SPIKE]
#define DOUBLE_ECHO [LW_SOUNDING_DOUBLE_ECHO]
#define USED [LW_SOUNDING_GOOD]

static const expected surveys[] = {
    {LW_DEMO_UPPER_SEDGE, "upper-sedge", "upper-sedge.nmea (NMEA 0183)", "2025-10-18", -1.2, 0, 2500, 3500,
     {USED = 2400, OUTSIDE = 10, DROPOUT = 10, ZERO = 3, SPIKE = 5, DOUBLE_ECHO = 3},
     {USED = 3400, OUTSIDE = 16, DROPOUT = 60, ZERO = 25, SPIKE = 50, DOUBLE_ECHO = 30}},
    {LW_DEMO_LONG_RUN, "long-run", "long-run.nmea (NMEA 0183)", "2025-05-10", 0, 1, 2900, 4000,
     {USED = 2800, OUTSIDE = 10, ZERO = 3, SPIKE = 5, DOUBLE_ECHO = 3},
     {USED = 3900, OUTSIDE = 16, DROPOUT = 60, ZERO = 25, SPIKE = 50, DOUBLE_ECHO = 30}},
    {LW_DEMO_LONG_RUN, "long-run-arms", "long-run-arms.csv (CSV)", "2024-09-21", -0.8, 0, 1200, 2000,
     {USED = 1100, OUTSIDE = 10, DUPLICATE = 2, ZERO = 1, SPIKE = 3, DOUBLE_ECHO = 1},
     {USED = 1900, OUTSIDE = 16, DUPLICATE = 15, DROPOUT = 60, ZERO = 15, SPIKE = 30, DOUBLE_ECHO = 20}},
    {LW_DEMO_HERON_POOL, "By rope 2026-03-22", "rope", "2026-03-22", 0, 0, 12, 12, {USED = 12}, {USED = 12}},
};

static void assert_survey(const lw_survey *s, const lw_survey_tally *tally, const expected *want)
{
  const double ft_m = 0.3048;
  char day[LW_DATE_TEXT];
  assert_string_equal(s->source, want->source);
  assert_string_equal(lw_date_text(s->day, day), want->day);
  assert_true(s->used && s->level_m.known);
  assert_close(s->level_m.value, want->level_ft * ft_m, 1e-9);
  assert_int_equal(s->offset_m.known, want->offset_ft > 0);
  assert_close(lw_or(s->offset_m, 0), want->offset_ft * ft_m, 1e-9);
  assert_true(s->sounding_count >= (double)want->least && s->sounding_count <= (double)want->most);
  for (int flaw = 0; flaw < LW_SOUNDING_FLAW_COUNT; flaw++) {
    if (tally->flaws[flaw] < want->flaw_least[flaw] || tally->flaws[flaw] > want->flaw_most[flaw]) {
      fail_msg("%s: %zu soundings: %s", s->name, tally->flaws[flaw],
               lw_sounding_flaw_text((lw_sounding_flaw)flaw));
    }
  }
}

static void every_survey_is_there(void **state)
{
  club *c = *state;
  for (size_t i = 0; i < sizeof surveys / sizeof surveys[0]; i++) {
    lw_survey_list list = surveys_of(c, surveys[i].place);
    size_t found = list.count;
    for (size_t k = 0; k < list.count; k++) {
      found = strcmp(list.surveys[k].name, surveys[i].name) == 0 ? k : found;
    }
    assert_true(found < list.count);
    assert_survey(&list.surveys[found], &list.tallies[found], &surveys[i]);
  }
  assert_int_equal(surveys_of(c, LW_DEMO_UPPER_SEDGE).count, 1);
  assert_int_equal(surveys_of(c, LW_DEMO_LONG_RUN).count, 2);
  assert_int_equal(surveys_of(c, LW_DEMO_HERON_POOL).count, 1);
  assert_int_equal(surveys_of(c, LW_DEMO_BRICKYARD).count, 0);
}

/* ---- the map against the bed ---- */

typedef struct truth {
  double volume_m3, area_m2, deepest_m;
} truth;

static truth truth_of(club *c, lw_demo_place place)
{
  const double step_m = 2;
  lw_demo_bed bed;
  truth out = {0};
  assert_ok(&c->f, lw_demo_bed_open(&bed, place, c->f.arena, &c->f.err));
  lw_box box = lw_shore_box(&bed.shore);
  for (double y = box.south_m; y < box.north_m; y += step_m) {
    for (double x = box.west_m; x < box.east_m; x += step_m) {
      double depth = lw_demo_bed_depth_m(&bed, (lw_spot){x, y});
      out.volume_m3 += depth * step_m * step_m;
      out.deepest_m = fmax(out.deepest_m, depth);
    }
  }
  out.area_m2 = lw_shore_area_m2(&bed.shore);
  lw_demo_bed_close(&bed);
  return out;
}

static void basin_of(lw_basin_sheet *out, club *c, lw_demo_place place)
{
  lw_basin_options options;
  const lw_basin_words words = {.level = NULL};
  assert_ok(&c->f, lw_basin_options_read(&options, &words, &c->f.err));
  assert_ok(&c->f, lw_work_basin(out, &c->desk, lw_demo_names[place], 0, &options, &c->f.err));
}

/* Within 3 % of the truth, and the interval holds it; what was told is off by a tenth and more. */
static void the_map_holds_the_water_of_the_bed(void **state)
{
  club *c = *state;
  static const lw_demo_place sounded[] = {LW_DEMO_UPPER_SEDGE, LW_DEMO_LONG_RUN};
  for (size_t i = 0; i < 2; i++) {
    truth t = truth_of(c, sounded[i]);
    lw_water w = water_of(c, sounded[i]);
    lw_basin_sheet sheet;
    basin_of(&sheet, c, sounded[i]);
    const lw_pool *pool = &sheet.pool;
    double told = w.mean_depth_m.value * t.area_m2 / t.volume_m3;
    print_message("# %s: bed %.0f m3, mean %.2f ft, deepest %.2f ft; map %.0f m3 (%.0f-%.0f), mean %.2f ft, "
                  "deepest %.2f ft; told %.3f of the bed\n",
                  w.name, t.volume_m3, t.volume_m3 / t.area_m2 / 0.3048, t.deepest_m / 0.3048,
                  pool->volume.value_m3, pool->volume.low_m3, pool->volume.high_m3,
                  pool->mean_depth_m / 0.3048, pool->max_depth_m / 0.3048, told);
    assert_int_equal(sheet.bed.basin.way, LW_BASIN_SOUNDED);
    assert_close(pool->volume.value_m3, t.volume_m3, 0.03 * t.volume_m3);
    assert_true(pool->volume.low_m3 < t.volume_m3 && t.volume_m3 < pool->volume.high_m3);
    assert_true(fabs(told - 1) > 0.1 && fabs(told - 1) < 0.15);
    assert_close(w.max_depth_m.value, t.deepest_m, 0.05 * t.deepest_m);
    lw_basin_close(&sheet);
  }
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(every_survey_is_there),
      cmocka_unit_test(the_map_holds_the_water_of_the_bed),
  };
  return cmocka_run_group_tests(tests, begin, end);
}
