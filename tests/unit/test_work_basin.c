/* SPDX-License-Identifier: Apache-2.0 */
/* The shape of a water through the store: a round bowl of known area and volume, sounded along lines;
 * what is measured on it, what is kept in the cache, and what advice makes of it. */
#include "store_fixture.h"

#include "base/random.h"
#include "exchange/soundings.h"
#include "work/basin.h"
#include "work/basin_facts.h"
#include "work/basin_parts.h"
#include "work/entries.h"
#include "work/json.h"
#include "work/now.h"
#include "work/sheet.h"

#include <jansson.h>

enum { SHORE = 120, LINES = 30 };

static const double middle_longitude = -86.4, middle_latitude = 33.1;
static const double radius_m = 150, deepest_m = 6;

typedef struct pond {
  fixture *f;
  lw_desk desk;
  lw_plane *plane;
  lw_id water;
} pond;

static void pairs_of(const pond *p, double *pairs, const lw_spot *spots, size_t count)
{
  assert_ok(p->f, lw_plane_from(pairs, spots, count, p->plane, &p->f->err));
}

/* A closed ring of GeoJSON round (x, y). */
static const char *circle_text(pond *p, double x_m, double y_m, double r_m)
{
  lw_text text = LW_TEXT(100000);
  lw_spot spots[SHORE];
  double pairs[2 * SHORE];
  for (int i = 0; i < SHORE; i++) {
    double a = 2 * M_PI * i / SHORE;
    spots[i] = (lw_spot){x_m + r_m * cos(a), y_m + r_m * sin(a)};
  }
  pairs_of(p, pairs, spots, SHORE);
  lw_text_add(&text, "{\"type\":\"Polygon\",\"coordinates\":[[");
  for (int i = 0; i <= SHORE; i++) {
    const double *at = &pairs[2 * (i % SHORE)];
    lw_text_addf(&text, "%s[%.9f,%.9f]", i ? "," : "", at[0], at[1]);
  }
  lw_text_add(&text, "]]}");
  const char *copy = lw_arena_copy(p->f->arena, lw_text_view(&text));
  lw_text_free(&text);
  assert_non_null(copy);
  return copy;
}

static double bowl_m(double x, double y)
{
  double r = hypot(x, y) / radius_m;
  return r < 1 ? deepest_m * (1 - r * r) : 0;
}

static double area_m2(void)
{
  return M_PI * radius_m * radius_m * sin(2 * M_PI / SHORE) / (2 * M_PI / SHORE); /* of the polygon */
}

/* The bowl with the pool `down` below full. */
static double bowl_area_m2(double down)
{
  return M_PI * radius_m * radius_m * (1 - down / deepest_m);
}

static double bowl_volume_m3(double down)
{
  return bowl_area_m2(down) * (deepest_m - down) / 2;
}

static void add_survey(pond *p, const char *name, const lw_fix *fixes, size_t count, double level_m,
                       lw_day day)
{
  char *text = NULL;
  size_t length = 0;
  assert_ok(p->f, lw_fixes_write(&text, &length, fixes, count, p->f->arena, &p->f->err));
  lw_survey survey = {.water = p->water,
                      .name = name,
                      .day = day,
                      .level_m = lw_known(level_m),
                      .used = true,
                      .soundings = text,
                      .sounding_count = (double)count,
                      .kept = "",
                      .dropped = "",
                      .source = "made by the test",
                      .note = ""};
  (void)add_one(p->f, LW_KIND_SURVEY, &survey);
}

/* The same soundings give the same bed: what one test reckoned is laid into the next one's cache. Tests of
 * the cache itself begin cold. */
static struct {
  char key[LW_BED_KEY];
  void *blob;
  size_t length;
} warm;

static void key_of(pond *p, char key[LW_BED_KEY], double step)
{
  lw_water *water = LW_NEW(p->f->arena, lw_water, 1);
  lw_bed_sources sources;
  assert_ok(p->f, lw_store_get(p->f->store, LW_KIND_WATER, p->water, p->f->arena, water, &p->f->err));
  assert_ok(p->f, lw_bed_sources_read(&sources, water, &p->desk, &p->f->err));
  assert_ok(p->f, lw_bed_key(key, &sources, step, &p->desk, &p->f->err));
}

static const void *cached(pond *p, const char *key, size_t *length)
{
  const void *blob = NULL;
  assert_ok(p->f, lw_store_cache_get(p->f->store, key, p->f->arena, &blob, length, &p->f->err));
  return blob;
}

static void lay_warm(pond *p)
{
  char key[LW_BED_KEY];
  key_of(p, key, 0);
  if (warm.blob && strcmp(key, warm.key) == 0) {
    assert_ok(p->f, lw_store_cache_put(p->f->store, key, warm.blob, warm.length, &p->f->err));
  }
}

static void keep_warm(pond *p)
{
  size_t length = 0;
  key_of(p, warm.key, 0);
  const void *blob = warm.blob ? NULL : cached(p, warm.key, &length);
  if (blob) {
    warm.blob = malloc(length);
    assert_non_null(warm.blob);
    memcpy(warm.blob, blob, length);
    warm.length = length;
  }
}

/* Along LINES lines from west to east, every 3 m, the pool `level_m` against full. */
static void sound_lines_cold(pond *p, const char *name, double level_m)
{
  lw_fix *fixes = LW_NEW(p->f->arena, lw_fix, 5000);
  lw_random noise = {.seed = 7, .stream = 1};
  size_t n = 0;
  for (int line = 0; line < LINES; line++) {
    double y = radius_m * (-0.95 + 1.9 * line / (LINES - 1));
    for (double x = -radius_m; x <= radius_m; x += 3) {
      double depth = bowl_m(x, y) + level_m + 0.03 * lw_random_normal(&noise, n);
      if (depth > 0.2) {
        double pair[2];
        pairs_of(p, pair, &(lw_spot){x, y}, 1);
        fixes[n] = (lw_fix){
            .longitude = pair[0], .latitude = pair[1], .time_s = NAN, .depth_m = depth, .track = line};
        n++;
      }
    }
  }
  add_survey(p, name, fixes, n, level_m, day_of(2026, 3, 14));
}

static void sound_lines(pond *p, const char *name, double level_m)
{
  sound_lines_cold(p, name, level_m);
  lay_warm(p);
}

static int begin(void **state)
{
  if (fixture_begin(state) != 0) {
    return -1;
  }
  fixture *f = *state;
  pond *p = LW_NEW(f->arena, pond, 1);
  p->f = f;
  p->desk = (lw_desk){.store = f->store,
                      .arena = f->arena,
                      .today = day_of(2026, 4, 8),
                      .now = 1775656800000,
                      .who = "keeper",
                      .why = ""};
  assert_ok(f, lw_plane_open(&p->plane, middle_longitude, middle_latitude, f->arena, &f->err));
  lw_water water = water_named("Bowl");
  water.outline = circle_text(p, 0, 0, radius_m);
  water.area_m2 = lw_known(50000); /* the owner's guess; wrong */
  p->water = add_one(f, LW_KIND_WATER, &water);
  *state = p;
  return 0;
}

static int end(void **state)
{
  pond *p = *state;
  void *f = p->f;
  lw_plane_close(p->plane);
  return fixture_end(&f);
}

static lw_basin_sheet *measure(pond *p, const lw_basin_words *words)
{
  lw_basin_options options;
  lw_basin_sheet *sheet = LW_NEW(p->f->arena, lw_basin_sheet, 1);
  assert_ok(p->f, lw_basin_options_read(&options, words, &p->f->err));
  assert_ok(p->f, lw_work_basin(sheet, &p->desk, "bowl", 0, &options, &p->f->err));
  lw_basin_close(sheet);
  return sheet;
}

/* The first test that reckons the usual lines: the others take its bed. */
static int reckon_once(void **state)
{
  int failed = begin(state);
  if (!failed) {
    sound_lines_cold(*state, "Lines", 0);
    (void)measure(*state, &(lw_basin_words){.level = NULL});
    keep_warm(*state);
    failed = end(state);
  }
  return failed;
}

static int let_go(void **state)
{
  (void)state;
  free(warm.blob);
  return 0;
}

/* ---- figures ---- */

static void sounded(void **state)
{
  pond *p = *state;
  sound_lines(p, "Lines", -0.4);
  const lw_basin_sheet *s = measure(p, &(lw_basin_words){.level = NULL});
  const lw_basin *b = &s->bed.basin;
  assert_int_equal(b->way, LW_BASIN_SOUNDED);
  assert_true(b->cross_validated);
  assert_close(s->pool.area_m2, area_m2(), 0.002 * area_m2());
  assert_close(s->pool.volume.value_m3, bowl_volume_m3(0), 0.01 * bowl_volume_m3(0));
  assert_true(s->pool.volume.low_m3 < bowl_volume_m3(0) && s->pool.volume.high_m3 > bowl_volume_m3(0));
  assert_close(s->pool.max_depth_m, deepest_m, 0.15);
  assert_close(s->pool.mean_depth_m, deepest_m / 2, 0.04);
  assert_close(s->shoreline_development, 1, 0.01);
  assert_int_equal(s->bed.survey_count, 1);
  assert_int_equal(s->bed.surveys[0].flaws[LW_SOUNDING_GOOD], b->used);
  assert_true(b->used > 2000);
}

static void at_a_level(void **state)
{
  pond *p = *state;
  sound_lines(p, "Lines", 0);
  const lw_basin_sheet *s = measure(p, &(lw_basin_words){.level = "-2 m"});
  assert_close(s->pool.area_m2, bowl_area_m2(2), 0.02 * bowl_area_m2(2));
  assert_close(s->pool.volume.value_m3, bowl_volume_m3(2), 0.02 * bowl_volume_m3(2));
  assert_close(s->pool.max_depth_m, deepest_m - 2, 0.15);
  const lw_basin_sheet *above = measure(p, &(lw_basin_words){.level = "0.5"});
  assert_close(above->pool.area_m2, area_m2(), 0.002 * area_m2());
  assert_close(above->pool.volume.value_m3, bowl_volume_m3(0) + 0.5 * area_m2(), 0.01 * bowl_volume_m3(0));
  const lw_basin_sheet *dry =
      measure(p, &(lw_basin_words){.level = "-20", .shallower = "1", .thermocline = "1"});
  assert_close(dry->pool.area_m2, 0, 0);
  assert_close(dry->pool.volume.value_m3, 0, 0);
  assert_close(dry->pool.mean_depth_m, 0, 0);
  assert_close(dry->below_m3, 0, 0);
}

static void curve_and_shares(void **state)
{
  pond *p = *state;
  sound_lines(p, "Lines", 0);
  const lw_basin_sheet *s = measure(p, &(lw_basin_words){.shallower = "3 m", .thermocline = "3 m"});
  assert_true(s->curve_count > 15 && s->curve_count <= LW_BASIN_ROWS);
  for (size_t i = 0; i < s->curve_count; i++) {
    const lw_pool *row = &s->curve[i];
    double down = -row->level_m;
    assert_close(row->volume.value_m3, bowl_volume_m3(down), 0.012 * bowl_volume_m3(0));
    assert_true(row->volume.low_m3 <= row->volume.value_m3 && row->volume.high_m3 >= row->volume.value_m3);
    assert_true(i == 0 || row->volume.value_m3 < s->curve[i - 1].volume.value_m3);
  }
  assert_close(s->curve[s->curve_count - 1].volume.value_m3, 0, 1);
  /* the bowl's area at 3 m is half of it */
  assert_close(s->shallower_share, 0.5, 0.02);
  assert_close(s->below_m3, bowl_volume_m3(3), 0.03 * bowl_volume_m3(3));
  assert_close(s->above_m3 + s->below_m3, s->pool.volume.value_m3, 1e-6 * s->pool.volume.value_m3);
  assert_close(s->shares[0].share, 0, 0.002);
  assert_close(s->shares[s->share_count - 1].share, 1, 1e-3);
}

static void depth_at_a_place(void **state)
{
  pond *p = *state;
  sound_lines(p, "Lines", 0);
  const lw_basin_sheet *s = measure(p, &(lw_basin_words){.at = "33.1,-86.4", .level = "-1 m"});
  assert_close(s->at_depth_m, deepest_m - 1, 0.15);
  assert_true(s->at_error_m.known && s->at_error_m.value > 0 && s->at_error_m.value < 0.5);
  lw_basin_options options;
  lw_basin_sheet *off = LW_NEW(p->f->arena, lw_basin_sheet, 1);
  assert_ok(p->f, lw_basin_options_read(&options, &(lw_basin_words){.at = "-86.4,33.1"}, &p->f->err));
  assert_refused(p->f, lw_work_basin(off, &p->desk, "bowl", 0, &options, &p->f->err), LW_NOT_FOUND,
                 "latitude comes first");
  lw_basin_close(off);
}

static lw_id add_zone(pond *p, const char *name, const char *kind, const char *outline)
{
  lw_zone zone = {.water = p->water, .name = name, .kind = kind, .outline = outline, .note = ""};
  return add_one(p->f, LW_KIND_ZONE, &zone);
}

static void zones(void **state)
{
  pond *p = *state;
  sound_lines(p, "Lines", 0);
  (void)add_zone(p, "All", "bay", circle_text(p, 0, 0, radius_m));
  (void)add_zone(p, "Core", "swimming", circle_text(p, 0, 0, 50));
  (void)add_zone(p, "Ramp", "launch", "{\"type\":\"Point\",\"coordinates\":[-86.4,33.1]}");
  const lw_basin_sheet *s = measure(p, &(lw_basin_words){.level = NULL});
  assert_int_equal(s->zone_count, 3);
  const lw_basin_zone *all = &s->zones[0];
  const lw_basin_zone *core = &s->zones[1];
  assert_string_equal(core->zone.name, "Core");
  assert_close(all->volume.value_m3, s->pool.volume.value_m3, 0.002 * s->pool.volume.value_m3);
  assert_close(all->volume.high_m3 - all->volume.low_m3, s->pool.volume.high_m3 - s->pool.volume.low_m3,
               0.05 * (s->pool.volume.high_m3 - s->pool.volume.low_m3));
  /* integral of the bowl over r < 50 */
  double want = M_PI * 50 * 50 * deepest_m * (1 - 50.0 * 50 / (2 * radius_m * radius_m));
  assert_close(core->volume.value_m3, want, 0.015 * want);
  assert_close(core->area_m2, M_PI * 2500, 0.005 * M_PI * 2500);
  assert_true(core->volume.low_m3 < want && core->volume.high_m3 > want);
  /* no part is better known, in proportion, than the whole */
  assert_true((core->volume.high_m3 - core->volume.low_m3) / core->volume.value_m3 >=
              0.999 * (s->pool.volume.high_m3 - s->pool.volume.low_m3) / s->pool.volume.value_m3);
  assert_false(s->zones[2].measured);
}

static void today_is_the_newest_level(void **state)
{
  pond *p = *state;
  sound_lines(p, "Lines", 0);
  lw_reading old = reading_of(p->water, "level", -3, day_of(2025, 9, 1));
  lw_reading newest = reading_of(p->water, "level", -1, day_of(2026, 4, 1));
  lw_reading future = reading_of(p->water, "level", -2, day_of(2026, 5, 1));
  (void)add_one(p->f, LW_KIND_READING, &newest);
  (void)add_one(p->f, LW_KIND_READING, &old);
  (void)add_one(p->f, LW_KIND_READING, &future);
  const lw_basin_sheet *s = measure(p, &(lw_basin_words){.level = NULL});
  assert_true(s->today_known);
  assert_int_equal(s->today_day, day_of(2026, 4, 1));
  assert_close(s->today.volume.value_m3, bowl_volume_m3(1), 0.02 * bowl_volume_m3(1));
}

/* ---- without soundings ---- */

static void refuse(pond *p, const char *water, const char *piece)
{
  lw_basin_options options = {.level_m = 0};
  lw_basin_sheet *sheet = LW_NEW(p->f->arena, lw_basin_sheet, 1);
  assert_refused(p->f, lw_work_basin(sheet, &p->desk, water, 0, &options, &p->f->err), LW_INVALID, piece);
  lw_basin_close(sheet);
}

static void remedies(void **state)
{
  pond *p = *state;
  lw_water bare = water_named("Bare");
  (void)add_one(p->f, LW_KIND_WATER, &bare);
  refuse(p, "Bare", "--outline FILE");
  refuse(p, "Bowl", "survey import");
  refuse(p, "Bowl", "--max-depth");
}

static void told_depth(void **state)
{
  pond *p = *state;
  lw_water told = water_named("Told");
  told.outline = circle_text(p, 0, 0, radius_m);
  told.max_depth_m = lw_known(6);
  (void)add_one(p->f, LW_KIND_WATER, &told);
  lw_basin_options options = {.level_m = 0};
  lw_basin_sheet *s = LW_NEW(p->f->arena, lw_basin_sheet, 1);
  assert_ok(p->f, lw_work_basin(s, &p->desk, "Told", 0, &options, &p->f->err));
  assert_int_equal(s->bed.basin.way, LW_BASIN_TOLD_MAX);
  assert_true(s->pool.volume.low_m3 < 0.85 * s->pool.volume.value_m3); /* and it says how wide it is */
  assert_false(s->bed.basin.cross_validated);
  assert_true(*s->bed.basin.how);
  lw_basin_close(s);
}

static void few_depths(void **state)
{
  pond *p = *state;
  static const lw_spot spots[] = {{0, 0}, {70, 10}, {-60, 30}, {20, -80}, {-30, -60}};
  lw_fix fixes[5];
  for (size_t i = 0; i < 5; i++) {
    double pair[2];
    pairs_of(p, pair, &spots[i], 1);
    fixes[i] = (lw_fix){.longitude = pair[0],
                        .latitude = pair[1],
                        .time_s = NAN,
                        .depth_m = bowl_m(spots[i].x_m, spots[i].y_m),
                        .track = -1};
  }
  add_survey(p, "By rope", fixes, 5, 0, day_of(2026, 3, 1));
  const lw_basin_sheet *s = measure(p, &(lw_basin_words){.level = NULL});
  assert_int_equal(s->bed.basin.way, LW_BASIN_FEW);
  assert_close(s->pool.volume.value_m3, bowl_volume_m3(0), 0.25 * bowl_volume_m3(0));
  assert_true(s->pool.volume.low_m3 < bowl_volume_m3(0) && s->pool.volume.high_m3 > 0.97 * bowl_volume_m3(0));
  assert_true(s->pool.volume.high_m3 - s->pool.volume.low_m3 > 0.05 * bowl_volume_m3(0));
}

/* ---- options ---- */

static void options(void **state)
{
  pond *p = *state;
  static const struct {
    lw_basin_words words;
    const char *piece;
  } bad[] = {{{.level = "-1.5 lb"}, "level"},      {{.level = "nan"}, "level"},
             {{.level = "31 m"}, "outside"},       {{.step = "0"}, "step"},
             {{.step = "2 km"}, "outside"},        {{.at = "33.1"}, "33.1,-86.4"},
             {{.at = "33.1,-186"}, "latitude"},    {{.at = "33.1,-86.4 x"}, "latitude"},
             {{.thermocline = "-1 m"}, "outside"}, {{.shallower = "deep"}, "shallower"}};
  for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
    lw_basin_options got;
    assert_refused(p->f, lw_basin_options_read(&got, &bad[i].words, &p->f->err), LW_INVALID, bad[i].piece);
  }
  lw_basin_options got;
  assert_ok(p->f, lw_basin_options_read(&got, &(lw_basin_words){.level = "-1.5 ft", .at = "33.1, -86.4"},
                                        &p->f->err));
  assert_close(got.level_m, -1.5 * 0.3048, 1e-12);
  assert_close(got.longitude.value, -86.4, 0);
}

/* ---- the cache ---- */

static lw_survey first_survey(pond *p)
{
  lw_survey *list = NULL;
  lw_survey survey;
  size_t count = 0;
  assert_ok(p->f,
            lw_store_list(p->f->store, LW_KIND_SURVEY, p->water, p->f->arena, &list, &count, &p->f->err));
  assert_true(count > 0);
  assert_ok(p->f, lw_store_get(p->f->store, LW_KIND_SURVEY, list[0].id, p->f->arena, &survey, &p->f->err));
  return survey;
}

static void key_follows_what_matters(void **state)
{
  pond *p = *state;
  sound_lines(p, "Lines", 0);
  char first[LW_BED_KEY];
  char now[LW_BED_KEY];
  key_of(p, first, 0);
  key_of(p, now, 5);
  assert_string_not_equal(first, now);
  lw_survey survey = first_survey(p);
  survey.note = "a windy day"; /* matters to nobody */
  (void)update_one(p->f, LW_KIND_SURVEY, survey.id, &survey);
  (void)add_zone(p, "Core", "bay", circle_text(p, 0, 0, 50));
  key_of(p, now, 0);
  assert_string_equal(first, now);
  survey.dropped = "3,17-20";
  lw_id change = update_one(p->f, LW_KIND_SURVEY, survey.id, &survey);
  key_of(p, now, 0);
  assert_string_not_equal(first, now);
  lw_history_entry undone;
  assert_ok(p->f, lw_store_undo(p->f->store, &fixture_change, change, p->f->arena, &undone, &p->f->err));
  key_of(p, now, 0);
  assert_string_equal(first, now);
  survey.dropped = "";
  survey.level_m = lw_known(-0.1);
  (void)update_one(p->f, LW_KIND_SURVEY, survey.id, &survey);
  key_of(p, now, 0);
  assert_string_not_equal(first, now);
  survey.level_m = lw_known(0);
  (void)update_one(p->f, LW_KIND_SURVEY, survey.id, &survey);
  (void)add_zone(p, "Creek", "channel",
                 "{\"type\":\"LineString\",\"coordinates\":[[-86.401,33.1],[-86.399,33.1]]}");
  key_of(p, now, 0);
  assert_string_not_equal(first, now);
}

/* Floats of a map; NAN equals NAN. */
static void assert_same_map(const lw_basin *a, const lw_basin *b)
{
  const lw_frame *f = &a->map.frame;
  assert_memory_equal(f, &b->map.frame, sizeof *f);
  assert_memory_equal(a->map.depth_m, b->map.depth_m, f->nx * f->ny * sizeof(float));
  assert_memory_equal(a->map.error_m, b->map.error_m, f->nx * f->ny * sizeof(float));
  assert_memory_equal(a->map.cover, b->map.cover, (f->nx - 1) * (f->ny - 1) * sizeof(float));
  assert_memory_equal(a->member_volume_m3, b->member_volume_m3, sizeof a->member_volume_m3);
  assert_memory_equal(a->residual_m, b->residual_m, a->used * sizeof(float));
  assert_string_equal(a->how, b->how);
  assert_int_equal(a->folds, b->folds);
  assert_close(a->rmse_m, b->rmse_m, 0);
  assert_close(a->max_high_m, b->max_high_m, 0);
}

static void kept_and_found_again(void **state)
{
  pond *p = *state;
  sound_lines_cold(p, "Lines", 0);
  char key[LW_BED_KEY];
  size_t length = 0;
  key_of(p, key, 0);
  assert_null(cached(p, key, &length));
  const lw_basin_sheet *first = measure(p, &(lw_basin_words){.level = NULL});
  assert_non_null(cached(p, key, &length));
  const lw_basin_sheet *again = measure(p, &(lw_basin_words){.level = NULL});
  assert_same_map(&first->bed.basin, &again->bed.basin);
  assert_int_equal(again->bed.residual_count, first->bed.residual_count);
  assert_memory_equal(first->bed.surveys, again->bed.surveys, sizeof(lw_survey_tally));
  /* that it came from the cache shows when the cache lies */
  lw_bed *bed = LW_NEW(p->f->arena, lw_bed, 1);
  *bed = again->bed;
  bed->basin.how = "from the cache";
  void *blob = NULL;
  assert_ok(p->f, lw_bed_pack(&blob, &length, bed, p->f->arena, &p->f->err));
  assert_ok(p->f, lw_store_cache_put(p->f->store, key, blob, length, &p->f->err));
  assert_string_equal(measure(p, &(lw_basin_words){.level = "-1"})->bed.basin.how, "from the cache");
  /* and a damaged one is reckoned anew */
  assert_ok(p->f, lw_store_cache_put(p->f->store, key, blob, length - 1, &p->f->err));
  const lw_basin_sheet *anew = measure(p, &(lw_basin_words){.level = NULL});
  assert_same_map(&first->bed.basin, &anew->bed.basin);
}

static void damage_is_seen(void **state)
{
  pond *p = *state;
  sound_lines(p, "Lines", 0);
  const lw_basin_sheet *s = measure(p, &(lw_basin_words){.step = "10 m"});
  lw_bed *got = LW_NEW(p->f->arena, lw_bed, 1);
  void *blob = NULL;
  size_t length = 0;
  assert_ok(p->f, lw_bed_pack(&blob, &length, &s->bed, p->f->arena, &p->f->err));
  assert_ok(p->f, lw_bed_unpack(got, blob, length, p->f->arena, &p->f->err));
  unsigned char *bytes = blob;
  for (size_t cut = 0; cut < length; cut += 1 + length / 200) {
    assert_int_equal(lw_bed_unpack(got, bytes, cut, p->f->arena, NULL), LW_CORRUPT);
  }
  /* every byte of the head set to what it is not: refused, or a figure that a water can have */
  for (size_t i = 0; i < 600; i++) {
    unsigned char was = bytes[i];
    bytes[i] = (unsigned char)~was;
    lw_status r = lw_bed_unpack(got, bytes, length, p->f->arena, NULL);
    assert_true(r == LW_CORRUPT || r == LW_OK);
    assert_true(r != LW_OK || isfinite(got->basin.volume_m3));
    bytes[i] = was;
  }
  /* a wet cell without a depth */
  const lw_frame *f = &s->bed.basin.map.frame;
  float *depth = LW_NEW(p->f->arena, float, f->nx * f->ny);
  memcpy(depth, s->bed.basin.map.depth_m, f->nx * f->ny * sizeof(float));
  depth[f->ny / 2 * f->nx + f->nx / 2] = NAN;
  lw_bed holed = s->bed;
  holed.basin.map.depth_m = depth;
  assert_ok(p->f, lw_bed_pack(&blob, &length, &holed, p->f->arena, &p->f->err));
  assert_refused(p->f, lw_bed_unpack(got, blob, length, p->f->arena, &p->f->err), LW_CORRUPT,
                 "reckoned anew");
}

/* ---- JSON ---- */

static double number_at(const json_t *object, const char *key)
{
  const json_t *value = json_object_get(json_object_get(object, key), "value");
  assert_true(json_is_number(value));
  return json_number_value(value);
}

static void as_json(void **state)
{
  pond *p = *state;
  sound_lines(p, "Lines", 0);
  const lw_basin_sheet *s = measure(p, &(lw_basin_words){.at = "33.1,-86.4", .thermocline = "2 m"});
  json_t *o = lw_basin_json(s);
  assert_non_null(o);
  assert_close(number_at(o, "area"), s->pool.area_m2, 0);
  assert_close(number_at(o, "volume"), s->pool.volume.value_m3, 0);
  assert_close(json_number_value(json_object_get(json_object_get(o, "volume"), "low")), s->pool.volume.low_m3,
               0);
  assert_string_equal(json_string_value(json_object_get(o, "way")), "sounded");
  assert_true(json_is_true(json_object_get(o, "full_pool")));
  assert_int_equal(json_array_size(json_object_get(o, "curve")), s->curve_count);
  assert_close(number_at(json_object_get(o, "at"), "depth"), s->at_depth_m, 0);
  assert_true(json_is_null(json_object_get(o, "shallower")));
  assert_true(json_is_null(json_object_get(o, "today")));
  const json_t *survey = json_array_get(json_object_get(o, "surveys"), 0);
  assert_int_equal(json_integer_value(json_object_get(survey, "used_soundings")), s->bed.basin.used);
  assert_holds(json_string_value(json_object_get(o, "caution")), "Not for navigation");
  json_decref(o);
}

static lw_basin_sheet *open_map(pond *p, double step)
{
  lw_basin_sheet *s = LW_NEW(p->f->arena, lw_basin_sheet, 1);
  assert_ok(p->f,
            lw_work_basin_map(s, &p->desk, NULL, p->water, &(lw_basin_options){.step_m = step}, &p->f->err));
  return s;
}

static void map_as_json(void **state)
{
  pond *p = *state;
  sound_lines(p, "Lines", 0);
  lw_basin_sheet *s = open_map(p, 0);
  json_t *o = NULL;
  assert_ok(p->f, lw_basin_map_json(&o, s, 4000, &p->desk, &p->f->err));
  const lw_frame *f = &s->bed.basin.map.frame;
  const json_t *depth = json_object_get(o, "depth");
  assert_int_equal(json_array_size(depth), f->nx * f->ny);
  for (size_t i = 0; i < f->nx * f->ny; i += 7) {
    float want = s->bed.basin.map.depth_m[i];
    const json_t *got = json_array_get(depth, i);
    assert_int_equal(json_is_null(got), !isfinite(want));
    assert_true(json_is_null(got) || fabs((double)json_integer_value(got) - 1000.0 * (double)want) <= 0.51);
  }
  /* the south-west corner is where the frame begins */
  const json_t *corner = json_array_get(json_object_get(o, "corners"), 0);
  const double pair[2] = {json_number_value(json_array_get(corner, 0)),
                          json_number_value(json_array_get(corner, 1))};
  lw_spot spot;
  assert_ok(p->f, lw_plane_to(&spot, pair, 1, s->ground.plane, &p->f->err));
  assert_close(spot.x_m, f->x0_m, 1e-3);
  assert_close(spot.y_m, f->y0_m, 1e-3);
  json_decref(o);
  lw_basin_close(s);
}

/* Sum of cover times cell is the area, and every wet cell has its four depths, however thinned. */
static void thinned_map(void **state)
{
  pond *p = *state;
  sound_lines(p, "Lines", 0);
  lw_basin_sheet *s = open_map(p, 0);
  for (size_t most = 20; most < 120; most += 33) {
    json_t *o = NULL;
    assert_ok(p->f, lw_basin_map_json(&o, s, most, &p->desk, &p->f->err));
    const json_t *frame = json_object_get(o, "frame");
    size_t nx = (size_t)json_integer_value(json_object_get(frame, "nx"));
    size_t ny = (size_t)json_integer_value(json_object_get(frame, "ny"));
    double step = json_number_value(json_object_get(frame, "step"));
    const json_t *depth = json_object_get(o, "depth");
    const json_t *cover = json_object_get(o, "cover");
    double area = 0;
    assert_true(nx <= most && ny <= most && nx > most / 3);
    assert_int_equal(json_array_size(cover), (nx - 1) * (ny - 1));
    for (size_t c = 0; c < (nx - 1) * (ny - 1); c++) {
      json_int_t percent = json_integer_value(json_array_get(cover, c));
      size_t node = c / (nx - 1) * nx + c % (nx - 1);
      area += (double)percent / 100 * step * step;
      assert_true(percent == 0 || (json_is_integer(json_array_get(depth, node)) &&
                                   json_is_integer(json_array_get(depth, node + 1)) &&
                                   json_is_integer(json_array_get(depth, node + nx)) &&
                                   json_is_integer(json_array_get(depth, node + nx + 1))));
    }
    assert_close(area, area_m2(), 0.01 * area_m2());
    json_decref(o);
  }
  lw_basin_close(s);
}

static void contours_as_json(void **state)
{
  pond *p = *state;
  sound_lines(p, "Lines", 0);
  lw_basin_sheet *s = open_map(p, 0);
  json_t *o = NULL;
  assert_ok(p->f, lw_basin_contours_json(&o, s, 1, &p->desk, &p->f->err));
  const json_t *list = json_object_get(o, "contours");
  assert_true(json_array_size(list) >= 5 && json_array_size(list) <= 6);
  assert_close(number_at(json_array_get(list, 2), "depth"), 3, 1e-9);
  const json_t *ring = json_array_get(json_object_get(json_array_get(list, 2), "rings"), 0);
  assert_true(json_array_size(ring) > 20);
  for (size_t i = 0; i < json_array_size(ring); i++) {
    const json_t *spot = json_array_get(ring, i);
    double r = hypot(json_number_value(json_array_get(spot, 0)), json_number_value(json_array_get(spot, 1)));
    assert_close(r, radius_m * sqrt(0.5), 3);
  }
  json_decref(o);
  assert_refused(p->f, lw_basin_contours_json(&o, s, 0.01, &p->desk, &p->f->err), LW_INVALID, "interval");
  lw_basin_close(s);
}

static void soundings_as_json(void **state)
{
  pond *p = *state;
  sound_lines(p, "Lines", 0);
  lw_survey survey = first_survey(p);
  survey.dropped = "5,100-102";
  (void)update_one(p->f, LW_KIND_SURVEY, survey.id, &survey);
  lw_basin_sheet *s = open_map(p, 0);
  json_t *o = NULL;
  assert_ok(p->f, lw_basin_soundings_json(&o, s, 500, &p->desk, &p->f->err));
  assert_int_equal(json_integer_value(json_object_get(o, "count")), (json_int_t)survey.sounding_count);
  assert_int_equal(json_integer_value(json_object_get(o, "shown")), 500);
  const json_t *columns = json_object_get(o, "soundings");
  const json_t *flaw = json_object_get(columns, "flaw");
  const json_t *number = json_object_get(columns, "number");
  assert_int_equal(json_array_size(flaw), 500);
  size_t dropped = 0;
  for (size_t i = 0; i < 500; i++) {
    dropped += strcmp(json_string_value(json_array_get(flaw, i)), "by-owner") == 0;
  }
  assert_int_equal(dropped, 4);
  assert_int_equal(json_integer_value(json_array_get(number, 0)), 5);
  assert_true(json_is_null(json_array_get(json_object_get(columns, "residual"), 0)));
  assert_true(json_is_real(json_array_get(json_object_get(columns, "residual"), 499)));
  json_decref(o);
  lw_basin_close(s);
}

/* ---- advice ---- */

static void advice_takes_the_map(void **state)
{
  pond *p = *state;
  lw_water_sheet *sheet = LW_NEW(p->f->arena, lw_water_sheet, 1);
  assert_ok(p->f, lw_work_sheet(sheet, &p->desk, "bowl", 0, &p->f->err));
  assert_string_equal(sheet->latest.area_from, "as given");
  sound_lines(p, "Lines", 0);
  assert_ok(p->f, lw_work_sheet(sheet, &p->desk, "bowl", 0, &p->f->err));
  assert_string_equal(sheet->latest.volume_from, "depth map of 1 survey, 2026-03-14");
  assert_close(sheet->latest.area_m2.value, area_m2(), 0.002 * area_m2());
  assert_close(sheet->latest.volume_m3.value, bowl_volume_m3(0), 0.01 * bowl_volume_m3(0));
  assert_true(sheet->latest.volume_low_m3.value < sheet->latest.volume_m3.value);
  /* at today's level, where it is fresh */
  lw_reading level = reading_of(p->water, "level", -1.5, day_of(2026, 4, 1));
  (void)add_one(p->f, LW_KIND_READING, &level);
  assert_ok(p->f, lw_work_sheet(sheet, &p->desk, "bowl", 0, &p->f->err));
  assert_close(sheet->latest.volume_m3.value, bowl_volume_m3(1.5), 0.02 * bowl_volume_m3(1.5));
  assert_close(sheet->latest.mean_depth_m.value, (deepest_m - 1.5) / 2, 0.05);
  assert_close(sheet->latest.pool_level_m, -1.5, 0);
  lw_desk later = p->desk;
  later.today = day_of(2026, 8, 1);
  assert_ok(p->f, lw_work_sheet(sheet, &later, "bowl", 0, &p->f->err));
  assert_close(sheet->latest.pool_level_m, 0, 0);
}

static const char *all_reasons(const lw_now *now, lw_arena *arena)
{
  lw_text text = LW_TEXT(1 << 20);
  for (size_t i = 0; i < now->count; i++) {
    for (size_t k = 0; k < now->waters[i].item_count; k++) {
      const lw_item *item = &now->waters[i].items[k];
      for (size_t r = 0; r < item->reason_count; r++) {
        lw_text_addf(&text, "%s\n", item->reasons[r].text);
      }
    }
  }
  const char *copy = lw_arena_copy(arena, lw_text_view(&text));
  lw_text_free(&text);
  return copy;
}

static void rules_say_so(void **state)
{
  pond *p = *state;
  sound_lines(p, "Lines", 0);
  lw_reading outflow = reading_of(p->water, "outflow", 0.1, day_of(2026, 4, 6));
  lw_reading secchi = reading_of(p->water, "secchi", 1, day_of(2026, 4, 6));
  (void)add_one(p->f, LW_KIND_READING, &outflow);
  (void)add_one(p->f, LW_KIND_READING, &secchi);
  lw_now now;
  assert_ok(p->f, lw_work_now(&now, &p->desk, p->desk.today, NULL, &p->f->err));
  const char *said = all_reasons(&now, p->f->arena);
  assert_holds(said, "9 in 10; depth map of 1 survey, 2026-03-14");
  assert_holds(said, "25 days (volume from the depth map)"); /* 212,000 m3 at 0.1 m3/s */
  /* 1 m disk: weeds to 10^0.31 = 2.04 m, which is a third of the bowl's depth and of its area */
  assert_holds(said, "which is 34 % of this water (from the depth map)");
}

/* The facts of all waters lie in one entry: a second look reads no map. */
static void facts_are_kept(void **state)
{
  pond *p = *state;
  sound_lines(p, "Lines", 0);
  lw_now now;
  char key[LW_BED_KEY];
  size_t length = 0;
  assert_ok(p->f, lw_work_now(&now, &p->desk, p->desk.today, NULL, &p->f->err));
  key_of(p, key, 0);
  assert_non_null(cached(p, key, &length));
  static const char nothing[] = "not a map";
  assert_ok(p->f, lw_store_cache_put(p->f->store, key, nothing, sizeof nothing, &p->f->err));
  assert_ok(p->f, lw_work_now(&now, &p->desk, p->desk.today, NULL, &p->f->err));
  (void)cached(p, key, &length);
  assert_int_equal(length, sizeof nothing); /* was not reckoned again */
}

/* However many maps are looked at after it, advice keeps its tables. */
static void facts_outlive_maps(void **state)
{
  pond *p = *state;
  sound_lines(p, "Lines", 0);
  lw_now now;
  size_t length = 0;
  char key[LW_BED_KEY];
  assert_ok(p->f, lw_work_now(&now, &p->desk, p->desk.today, NULL, &p->f->err));
  for (int i = 0; i < LW_CACHE_ENTRIES - 2; i++) {
    (void)snprintf(key, sizeof key, "other %d", i);
    assert_ok(p->f, lw_store_cache_put(p->f->store, key, key, sizeof key, &p->f->err));
  }
  (void)measure(p, &(lw_basin_words){.step = "12 m"}); /* one more map: the tables are renewed with it */
  for (int i = 0; i < LW_CACHE_ENTRIES - 2; i++) {
    (void)snprintf(key, sizeof key, "another %d", i);
    assert_ok(p->f, lw_store_cache_put(p->f->store, key, key, sizeof key, &p->f->err));
  }
  key_of(p, key, 0);
  assert_null(cached(p, key, &length)); /* the map went */
  assert_ok(p->f, lw_work_now(&now, &p->desk, p->desk.today, NULL, &p->f->err));
  assert_null(cached(p, key, &length)); /* and was not needed */
}

/* Soundings of another water: the depth told stands, and it is said. */
static void unusable_soundings(void **state)
{
  pond *p = *state;
  lw_fix fixes[40];
  for (size_t i = 0; i < 40; i++) {
    fixes[i] = (lw_fix){
        .longitude = -80 + 1e-4 * (double)i, .latitude = 30, .time_s = NAN, .depth_m = 2, .track = 0};
  }
  add_survey(p, "Elsewhere", fixes, 40, 0, day_of(2026, 3, 14));
  lw_water water;
  assert_ok(p->f, lw_store_get(p->f->store, LW_KIND_WATER, p->water, p->f->arena, &water, &p->f->err));
  water.mean_depth_m = lw_known(2);
  (void)update_one(p->f, LW_KIND_WATER, p->water, &water);
  lw_water_sheet *sheet = LW_NEW(p->f->arena, lw_water_sheet, 1);
  for (int i = 0; i < 2; i++) { /* reckoned, then from the cache */
    assert_ok(p->f, lw_work_sheet(sheet, &p->desk, "bowl", 0, &p->f->err));
    assert_holds(sheet->latest.volume_from, "soundings cannot be used");
    assert_close(sheet->latest.volume_m3.value, 100000, 1e-6);
  }
  refuse(p, "bowl", "");
}

/* A defect of the reckoning is a fault of one water, not a reason to say nothing of the others. */
static void only_memory_and_the_store_stop_all(void **state)
{
  (void)state;
  for (int s = 0; s < LW_STATUS_COUNT; s++) {
    bool stops = s == LW_OK || s == LW_MEMORY || s == LW_IO || s == LW_BUSY;
    assert_int_equal(lw_fault_of_water((lw_status)s), !stops);
  }
}

#define basin_test(name) cmocka_unit_test_setup_teardown(name, begin, end)

int main(void)
{
  const struct CMUnitTest tests[] = {
      basin_test(only_memory_and_the_store_stop_all),
      basin_test(sounded),
      basin_test(at_a_level),
      basin_test(curve_and_shares),
      basin_test(depth_at_a_place),
      basin_test(zones),
      basin_test(today_is_the_newest_level),
      basin_test(remedies),
      basin_test(told_depth),
      basin_test(few_depths),
      basin_test(options),
      basin_test(key_follows_what_matters),
      basin_test(kept_and_found_again),
      basin_test(damage_is_seen),
      basin_test(as_json),
      basin_test(map_as_json),
      basin_test(thinned_map),
      basin_test(contours_as_json),
      basin_test(soundings_as_json),
      basin_test(advice_takes_the_map),
      basin_test(rules_say_so),
      basin_test(facts_are_kept),
      basin_test(facts_outlive_maps),
      basin_test(unusable_soundings),
  };
  return cmocka_run_group_tests_name("work basin", tests, reckon_once, let_go);
}
