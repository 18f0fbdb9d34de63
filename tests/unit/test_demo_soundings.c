/* SPDX-License-Identifier: Apache-2.0 */
/* The demonstration's soundings: read in as any file, with every fault a sounder has, and a map made of
 * them that holds the water that the invented bed holds. */
#include "demo_fixture.h"

#include "demo/bed.h"
#include "demo/soundings.h"
#include "exchange/files.h"
#include "exchange/soundings.h"
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
    {LW_DEMO_UPPER_SEDGE,
     "upper-sedge",
     "upper-sedge.nmea (NMEA 0183)",
     "2025-10-18",
     -1.2,
     0,
     2500,
     3500,
     {USED = 2400, OUTSIDE = 10, DROPOUT = 10, ZERO = 3, SPIKE = 5, DOUBLE_ECHO = 3},
     {USED = 3400, OUTSIDE = 16, DROPOUT = 60, ZERO = 25, SPIKE = 50, DOUBLE_ECHO = 30}},
    {LW_DEMO_LONG_RUN,
     "long-run",
     "long-run.nmea (NMEA 0183)",
     "2025-05-10",
     0,
     1,
     2900,
     4000,
     {USED = 2800, OUTSIDE = 10, ZERO = 3, SPIKE = 5, DOUBLE_ECHO = 3},
     {USED = 3900, OUTSIDE = 16, DROPOUT = 60, ZERO = 25, SPIKE = 50, DOUBLE_ECHO = 30}},
    {LW_DEMO_LONG_RUN,
     "long-run-arms",
     "long-run-arms.csv (CSV)",
     "2024-09-21",
     -0.8,
     0,
     1200,
     2000,
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
    assert_int_equal(sheet.bed.basin.way, LW_BASIN_SOUNDED);
    assert_close(pool->volume.value_m3, t.volume_m3, 0.03 * t.volume_m3);
    assert_true(pool->volume.low_m3 < t.volume_m3 && t.volume_m3 < pool->volume.high_m3);
    assert_true(fabs(told - 1) > 0.1 && fabs(told - 1) < 0.15);
    assert_close(w.max_depth_m.value, t.deepest_m, 0.05 * t.deepest_m);
    lw_basin_close(&sheet);
  }
}

static double mapped_m(club *c, const lw_basin_sheet *sheet, double x_m, double y_m)
{
  double depth = 0;
  double error = 0;
  assert_ok(&c->f, lw_map_depth_at(&depth, &error, &sheet->bed.basin.map, (lw_spot){x_m, y_m}, &c->f.err));
  return depth;
}

/* The creek's bed shows on the map, though most lines cross it once: the owner's channel line leads. */
static void the_map_shows_the_creek(void **state)
{
  const double aside_m = 25;
  club *c = *state;
  lw_basin_sheet sheet;
  lw_demo_bed bed;
  double cut = 0;
  basin_of(&sheet, c, LW_DEMO_LONG_RUN);
  assert_ok(&c->f, lw_demo_bed_open(&bed, LW_DEMO_UPPER_SEDGE, c->f.arena, &c->f.err));
  assert_int_equal(bed.creek_count, 0);
  lw_demo_bed_close(&bed);
  assert_ok(&c->f, lw_demo_bed_open(&bed, LW_DEMO_LONG_RUN, c->f.arena, &c->f.err));
  assert_true(bed.creek_count > 20);
  for (size_t i = 8; i + 2 < bed.creek_count; i++) { /* where the water is wide enough */
    lw_spot at = bed.creek[i];
    double west = mapped_m(c, &sheet, at.x_m - aside_m, at.y_m);
    double east = mapped_m(c, &sheet, at.x_m + aside_m, at.y_m);
    cut += (mapped_m(c, &sheet, at.x_m, at.y_m) - (west + east) / 2) / (double)(bed.creek_count - 10);
  }
  assert_true(cut > 0.35 && cut < 1.1);
  lw_demo_bed_close(&bed);
  lw_basin_close(&sheet);
}

/* ---- the files ---- */

static void read_log(club *c, size_t index, lw_fixes *out)
{
  lw_text text = LW_TEXT(64 * 1024 * 1024);
  const lw_soundings_how how = {.day = LW_NO_DAY};
  assert_ok(&c->f, lw_demo_log_text(&text, index, LW_DEMO_SEED, &c->f.err));
  assert_ok(&c->f, lw_soundings_parse(out, lw_demo_log_files[index].file, lw_text_view(&text), text.length,
                                      &how, c->f.arena, &c->f.err));
  lw_text_free(&text);
}

/* What a log loses before anything is judged: damaged sentences, a bottom lost. */
static void the_logs_are_as_sounders_write_them(void **state)
{
  club *c = *state;
  lw_fixes logs[LW_DEMO_LOGS];
  for (size_t i = 0; i < LW_DEMO_LOGS; i++) {
    read_log(c, i, &logs[i]);
    assert_true(logs[i].has_time);
    assert_true(logs[i].without_depth > 0 && logs[i].without_depth < 100);
  }
  assert_string_equal(logs[0].format, "NMEA 0183");
  assert_true(logs[0].offset_known && !logs[1].offset_known && !logs[2].offset_known);
  assert_close(logs[0].offset_m, 0.25, 1e-9);
  assert_true(logs[0].bad_checksum > 3 && logs[0].bad_checksum < 60);
  assert_true(logs[1].bad_checksum > 3 && logs[1].bad_checksum < 60);
  assert_int_equal(logs[0].bad_sentence + logs[1].bad_sentence, 0);
  assert_string_equal(logs[2].format, "CSV");
}

static void writes_the_files_or_none(void **state)
{
  club *c = *state;
  char folder[200];
  char path[300];
  (void)snprintf(folder, sizeof folder, "%.120s/raw", c->f.folder);
  assert_ok(&c->f, lw_demo_write_logs(folder, LW_DEMO_SEED, &c->f.err));
  for (size_t i = 0; i < LW_DEMO_LOGS; i++) {
    lw_text text = LW_TEXT(64 * 1024 * 1024);
    char *data = NULL;
    size_t length = 0;
    (void)snprintf(path, sizeof path, "%s/%s", folder, lw_demo_log_files[i].file);
    assert_ok(&c->f, lw_demo_log_text(&text, i, LW_DEMO_SEED, &c->f.err));
    assert_ok(&c->f, lw_file_read(path, 64 * 1024 * 1024, c->f.arena, &data, &length, &c->f.err));
    assert_true(length == text.length && memcmp(data, lw_text_view(&text), length) == 0);
    lw_text_free(&text);
  }
  (void)snprintf(path, sizeof path, "%s/%s", folder, lw_demo_log_files[0].file);
  assert_int_equal(unlink(path), 0);
  assert_refused(&c->f, lw_demo_write_logs(folder, LW_DEMO_SEED, &c->f.err), LW_CONFLICT, "long-run.nmea");
  assert_int_not_equal(access(path, F_OK), 0); /* not written before the refusal */
}

/* By hand: the club's own copy away, the file in again, and the water is the same. */
static void a_file_can_be_read_in_by_hand(void **state)
{
  club *c = *state;
  lw_basin_sheet sheet;
  basin_of(&sheet, c, LW_DEMO_UPPER_SEDGE);
  double before_m3 = sheet.pool.volume.value_m3;
  lw_basin_close(&sheet);
  lw_survey_list list = surveys_of(c, LW_DEMO_UPPER_SEDGE);
  const lw_demo_log_file *f = &lw_demo_log_files[0];
  lw_text text = LW_TEXT(64 * 1024 * 1024);
  lw_survey_report report;
  lw_entry entry;
  assert_ok(&c->f, lw_demo_log_text(&text, 0, LW_DEMO_SEED, &c->f.err));
  const lw_survey_import what = {
      .file = f->file, .text = lw_text_view(&text), .length = text.length, .level = f->level};
  lw_id water = list.surveys[0].water;
  assert_refused(&c->f, lw_import_survey(&report, &c->desk, water, &what, &c->f.err), LW_CONFLICT,
                 "on record already");
  assert_ok(&c->f, lw_remove_survey(&entry, &c->desk, list.surveys[0].id, &c->f.err));
  assert_ok(&c->f, lw_import_survey(&report, &c->desk, water, &what, &c->f.err));
  assert_string_equal(report.survey.name, f->survey);
  basin_of(&sheet, c, LW_DEMO_UPPER_SEDGE);
  assert_close(sheet.pool.volume.value_m3, before_m3, 1e-6 * before_m3);
  lw_basin_close(&sheet);
  lw_text_free(&text);
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(every_survey_is_there),    cmocka_unit_test(the_map_holds_the_water_of_the_bed),
      cmocka_unit_test(the_map_shows_the_creek),  cmocka_unit_test(the_logs_are_as_sounders_write_them),
      cmocka_unit_test(writes_the_files_or_none), cmocka_unit_test(a_file_can_be_read_in_by_hand),
  };
  return cmocka_run_group_tests(tests, begin, end);
}
