/* SPDX-License-Identifier: Apache-2.0 */
/* Surveys as their owner meets them: from a text to soundings in the plane below full pool, with his
 * word on each; what is refused leaves the store alone. */
#include "store_fixture.h"

#include "work/basin_bed.h"
#include "work/surveys.h"

enum { LINES = 9, ON_A_LINE = 20, ALL = LINES * ON_A_LINE };
#define MIDDLE_LONGITUDE (-86.0)
#define MIDDLE_LATITUDE 33.0
#define METRES_EAST 93453.0 /* a degree of longitude at 33 N, WGS 84, to a metre */
#define METRES_NORTH 110908.0
#define RADIUS_M 100.0

/* The invented pond: round, a paraboloid 4 m deep. */
typedef struct pond {
  fixture f; /* first: the store's setup and teardown work on it */
  lw_desk desk;
  lw_water water;
  lw_ground ground;
} pond;

static double longitude_of(double x_m)
{
  return MIDDLE_LONGITUDE + x_m / METRES_EAST;
}

static double latitude_of(double y_m)
{
  return MIDDLE_LATITUDE + y_m / METRES_NORTH;
}

static char *pond_outline(lw_arena *arena)
{
  enum { CORNERS = 72 };
  lw_text text = LW_TEXT(20000);
  lw_text_add(&text, "{\"type\":\"Polygon\",\"coordinates\":[[");
  for (int k = 0; k <= CORNERS; k++) {
    double angle = 2 * 3.14159265358979 * (k % CORNERS) / CORNERS;
    lw_text_addf(&text, "%s[%.8f,%.8f]", k ? "," : "", longitude_of(RADIUS_M * cos(angle)),
                 latitude_of(RADIUS_M * sin(angle)));
  }
  lw_text_add(&text, "]]}");
  char *out = lw_arena_copy(arena, lw_text_view(&text));
  lw_text_free(&text);
  return out;
}

static int pond_begin(void **state)
{
  if (fixture_begin(state) != 0) {
    return -1;
  }
  pond *p = realloc(*state, sizeof *p);
  if (!p) {
    return -1;
  }
  memset((char *)p + sizeof p->f, 0, sizeof *p - sizeof p->f);
  *state = p;
  p->desk = (lw_desk){.store = p->f.store,
                      .arena = p->f.arena,
                      .today = day_of(2026, 4, 20),
                      .now = 1776700000000,
                      .who = "keeper",
                      .why = ""};
  lw_water water = water_named("Pond");
  water.outline = pond_outline(p->f.arena);
  p->water = water;
  p->water.id = add_one(&p->f, LW_KIND_WATER, &water);
  return lw_ground_open(&p->ground, &p->water, &p->desk, &p->f.err) == LW_OK ? 0 : -1;
}

static int pond_end(void **state)
{
  pond *p = *state;
  lw_plane_close(p->ground.plane);
  return fixture_end(state);
}

#define pond_test(name) cmocka_unit_test_setup_teardown(name, pond_begin, pond_end)

/* Sounding n (from 0) of the lines; numbers 91 and 111 are spikes where asked for. */
static const char *soundings_text(pond *p, bool spikes, double shift_m)
{
  lw_text text = LW_TEXT(1 << 20);
  lw_text_add(&text, "longitude,latitude,depth (m)\n");
  for (int n = 0; n < ALL; n++) {
    double y = (n / ON_A_LINE - LINES / 2) * 20.0;
    double half = 0.95 * sqrt(RADIUS_M * RADIUS_M - y * y);
    int step = (n / ON_A_LINE) % 2 ? ON_A_LINE - 1 - n % ON_A_LINE : n % ON_A_LINE;
    double x = -half + 2 * half * step / (ON_A_LINE - 1);
    double depth = 4 * (1 - (x * x + y * y) / (RADIUS_M * RADIUS_M));
    depth += spikes && (n == 90 || n == 110) ? 6 : 0;
    lw_text_addf(&text, "%.8f,%.8f,%.3f\n", longitude_of(x + shift_m), latitude_of(y),
                 depth < 0.1 ? 0.1 : depth);
  }
  const char *out = lw_arena_copy(p->f.arena, lw_text_view(&text));
  lw_text_free(&text);
  return out;
}

static lw_survey_import of_text(const char *file, const char *text)
{
  return (lw_survey_import){.file = file, .text = text, .length = strlen(text), .date = "2026-04-15"};
}

static lw_survey_report import_ok(pond *p, const lw_survey_import *what)
{
  lw_survey_report report;
  assert_ok(&p->f, lw_import_survey(&report, &p->desk, p->water.id, what, &p->f.err));
  return report;
}

static lw_work_soundings_set gather(pond *p)
{
  lw_work_soundings_set set;
  assert_ok(&p->f,
            lw_work_soundings(&set, &p->desk, &p->water, p->ground.plane, &p->ground.shore, &p->f.err));
  return set;
}

static int64_t revision(pond *p)
{
  int64_t out = -1;
  assert_ok(&p->f, lw_store_revision(p->f.store, &out, &p->f.err));
  return out;
}

/* ---- from text to soundings ---- */

static void soundings_lie_in_the_plane_below_full_pool(void **state)
{
  pond *p = *state;
  lw_survey_import what = of_text("lines.csv", soundings_text(p, false, 0));
  what.level = "-0.5 m"; /* the pool was down half a metre: full, each is half a metre deeper */
  what.offset = "20 cm";
  const lw_survey_report report = import_ok(p, &what);
  assert_true(report.written);
  assert_int_equal(report.read, ALL);
  assert_string_equal(report.survey.name, "lines");
  assert_string_equal(report.survey.source, "lines.csv (CSV)");
  assert_int_equal(report.warning_count, 0);
  const lw_work_soundings_set set = gather(p);
  assert_int_equal(set.count, ALL);
  assert_int_equal(set.survey_count, 1);
  assert_true(set.tracks >= 2);
  const lw_sounding *middle = &set.soundings[4 * ON_A_LINE + 9]; /* of the line through the middle */
  double x = -95 + 190.0 * 9 / 19;
  assert_close(middle->x_m, x, 0.05);
  assert_close(middle->y_m, 0, 0.05);
  assert_close(middle->depth_m, 4 * (1 - x * x / 1e4) + 0.5 + 0.2, 0.002);
  assert_true(isnan(middle->time_s));
  for (size_t i = 0; i < set.count; i++) {
    assert_int_equal(lw_sounding_number(&set, i), i + 1);
    assert_true(set.soundings[i].track >= 0 && (size_t)set.soundings[i].track < set.tracks);
  }
  assert_whole(&p->f, p->f.store);
}

static void surveys_come_by_day_and_only_those_in_use(void **state)
{
  pond *p = *state;
  lw_survey_import later = of_text("later.csv", soundings_text(p, false, 0));
  lw_survey_import earlier = of_text("earlier.csv", soundings_text(p, false, 1.5));
  later.date = "2026-04-19";
  lw_id first = import_ok(p, &later).entry.id;
  lw_id second = import_ok(p, &earlier).entry.id;
  lw_work_soundings_set set = gather(p);
  assert_int_equal(set.survey_count, 2);
  assert_int_equal(set.surveys[0].id, second);
  assert_int_equal(set.surveys[1].id, first);
  assert_int_equal(set.first[1], ALL);
  assert_int_equal(set.first[2], 2 * ALL);
  assert_int_equal(set.soundings[ALL].survey, 1);
  assert_int_equal(lw_sounding_number(&set, ALL), 1);
  const lw_field no = {"use", "no"};
  const lw_form form = {&no, 1};
  lw_entry entry;
  assert_ok(&p->f, lw_change_survey(&entry, &p->desk, second, &form, &p->f.err));
  set = gather(p);
  assert_int_equal(set.survey_count, 1);
  assert_int_equal(set.surveys[0].id, first);
  assert_ok(&p->f, lw_change_survey(&entry, &p->desk, first, &form, &p->f.err));
  set = gather(p);
  assert_int_equal(set.count, 0);
  assert_int_equal(set.survey_count, 0);
}

/* ---- the owner's word ---- */

static lw_survey_tally tally_of(pond *p, lw_id id)
{
  lw_survey_list list;
  const char *fault = NULL;
  assert_ok(&p->f, lw_list_surveys(&list, &p->desk, p->water.id, &fault, &p->f.err));
  assert_null(fault);
  for (size_t i = 0; i < list.count; i++) {
    if (list.surveys[i].id == id) {
      return list.tallies[i];
    }
  }
  fail_msg("survey %lld is not listed", (long long)id);
  return (lw_survey_tally){.id = 0};
}

static void the_owner_has_the_last_word(void **state)
{
  pond *p = *state;
  lw_entry entry;
  lw_survey survey;
  const lw_survey_import what = of_text("lines.csv", soundings_text(p, true, 0));
  lw_id id = import_ok(p, &what).entry.id;
  lw_work_soundings_set set = gather(p);
  assert_int_not_equal(set.soundings[90].flaw, LW_SOUNDING_GOOD);
  assert_int_not_equal(set.soundings[110].flaw, LW_SOUNDING_GOOD);
  assert_int_equal(tally_of(p, id).flaws[LW_SOUNDING_GOOD], ALL - 2);
  assert_ok(&p->f, lw_restore_soundings(&entry, &p->desk, id, "91", &p->f.err));
  assert_ok(&p->f, lw_drop_soundings(&entry, &p->desk, id, "5, 1-3", &p->f.err));
  set = gather(p);
  assert_int_equal(set.soundings[90].flaw, LW_SOUNDING_GOOD);
  assert_int_equal(set.soundings[4].flaw, LW_SOUNDING_BY_OWNER);
  assert_int_equal(tally_of(p, id).flaws[LW_SOUNDING_BY_OWNER], 4);
  assert_int_equal(tally_of(p, id).flaws[LW_SOUNDING_GOOD], ALL - 5);
  assert_ok(&p->f, lw_restore_soundings(&entry, &p->desk, id, "2-5", &p->f.err)); /* changes his mind */
  assert_ok(&p->f, lw_get_survey(&survey, &p->desk, id, &p->f.err));
  assert_string_equal(survey.kept, "2-5,91");
  assert_string_equal(survey.dropped, "1");
  const lw_field fields[] = {{"kept", NULL}, {"dropped", "91"}};
  const lw_form form = {fields, 2};
  assert_ok(&p->f, lw_change_survey(&entry, &p->desk, id, &form, &p->f.err));
  assert_ok(&p->f, lw_get_survey(&survey, &p->desk, id, &p->f.err));
  assert_string_equal(survey.kept, "");
  assert_string_equal(survey.dropped, "91");
  assert_int_equal(gather(p).soundings[90].flaw, LW_SOUNDING_BY_OWNER);
}

static void what_is_set_aside_is_listed(void **state)
{
  pond *p = *state;
  lw_removed_list list;
  const lw_survey_import what = of_text("lines.csv", soundings_text(p, true, 0));
  lw_id id = import_ok(p, &what).entry.id;
  assert_ok(&p->f, lw_list_removed(&list, &p->desk, p->water.id, NULL, &p->f.err));
  assert_int_equal(list.count, 2);
  assert_int_equal(list.items[0].survey->id, id);
  assert_int_equal(list.items[0].number, 91);
  assert_int_equal(list.items[1].number, 111);
  assert_close(list.items[0].latitude, latitude_of(0), 1e-6);
  assert_close(list.items[0].longitude, longitude_of(-95 + 190.0 * 10 / 19), 1e-6);
  assert_true(list.items[0].depth_m > 9);
  assert_refused(&p->f, lw_list_removed(&list, &p->desk, p->water.id, "none", &p->f.err), LW_NOT_FOUND,
                 "there is 'lines'");
}

/* What was counted stays in the cache until one of its records changes. */
static void counts_follow_the_records(void **state)
{
  pond *p = *state;
  lw_entry entry;
  const lw_survey_import what = of_text("lines.csv", soundings_text(p, true, 0));
  lw_id id = import_ok(p, &what).entry.id;
  for (int i = 0; i < 2; i++) { /* counted, then from the cache */
    assert_int_equal(tally_of(p, id).flaws[LW_SOUNDING_GOOD], ALL - 2);
  }
  assert_ok(&p->f, lw_drop_soundings(&entry, &p->desk, id, "1", &p->f.err));
  assert_int_equal(tally_of(p, id).flaws[LW_SOUNDING_GOOD], ALL - 3);
  lw_history_entry taken;
  assert_ok(&p->f, lw_store_undo(p->f.store, &fixture_change, 0, p->f.arena, &taken, &p->f.err));
  assert_int_equal(tally_of(p, id).flaws[LW_SOUNDING_GOOD], ALL - 2);
  lw_water bare = p->water;
  bare.outline = NULL;
  (void)update_one(&p->f, LW_KIND_WATER, p->water.id, &bare);
  lw_survey_list list;
  const char *fault = NULL;
  assert_ok(&p->f, lw_list_surveys(&list, &p->desk, p->water.id, &fault, &p->f.err));
  assert_holds(fault, "has no outline");
  assert_int_equal(list.count, 1);
}

/* ---- refusals ---- */

static void a_dry_run_tells_the_same_and_writes_nothing(void **state)
{
  pond *p = *state;
  lw_survey_import what = of_text("lines.csv", soundings_text(p, true, 0));
  int64_t before = revision(p);
  what.dry_run = true;
  const lw_survey_report tried = import_ok(p, &what);
  assert_false(tried.written);
  assert_int_equal(revision(p), before);
  what.dry_run = false;
  const lw_survey_report done = import_ok(p, &what);
  assert_true(done.written);
  assert_memory_equal(&tried.cleaning, &done.cleaning, sizeof tried.cleaning);
  what.dry_run = true;
  lw_survey_report report;
  assert_refused(&p->f, lw_import_survey(&report, &p->desk, p->water.id, &what, &p->f.err), LW_CONFLICT,
                 "on record already as survey 'lines'");
}

static void what_cannot_be_a_survey_changes_nothing(void **state)
{
  pond *p = *state;
  const char *good = soundings_text(p, false, 0);
  const struct {
    lw_survey_import what;
    lw_status status;
    const char *said;
  } rows[] = {
      {of_text("away.csv", soundings_text(p, false, 260)), LW_INVALID, "outline"},
      {of_text("x.csv", ""), LW_INVALID, "empty"},
      {{.file = "x.csv", .text = good, .length = strlen(good), .date = "2026-04-21"}, LW_INVALID, "future"},
      {{.file = "x.csv", .text = good, .length = strlen(good), .level = "low"}, LW_INVALID, "level"},
      {{.file = "x.csv", .text = good, .length = strlen(good), .offset = "60 m"}, LW_INVALID, "transducer"},
      {{.file = "x.csv", .text = good, .length = strlen(good), .name = "a\tb"}, LW_INVALID, "name"},
      {{.path = "/no/such/file.csv"}, LW_NOT_FOUND, "file.csv"},
  };
  int64_t before = revision(p);
  lw_survey_report report;
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    assert_refused(&p->f, lw_import_survey(&report, &p->desk, p->water.id, &rows[i].what, &p->f.err),
                   rows[i].status, rows[i].said);
    assert_false(report.written);
  }
  const lw_survey_import what = of_text("lines.csv", good);
  assert_refused(&p->f, lw_import_survey(&report, &p->desk, 99, &what, &p->f.err), LW_NOT_FOUND, "water 99");
  assert_int_equal(revision(p), before);
}

static void names_come_from_files_and_are_made_unique(void **state)
{
  static const char *const rows[][2] = {{"run3.csv", "run3"},
                                        {"RUN3.csv", "RUN3 2"},
                                        {"C:\\logs\\run3.csv", "run3 3"},
                                        {"/home/keeper/my lines.csv", "my lines"},
                                        {".csv", ".csv"}};
  pond *p = *state;
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    const lw_survey_import what = of_text(rows[i][0], soundings_text(p, false, 0.1 * (double)i));
    assert_string_equal(import_ok(p, &what).survey.name, rows[i][1]);
  }
}

/* ---- a rope ---- */

static void depths_by_rope_gather_by_day_and_level(void **state)
{
  pond *p = *state;
  lw_entry entry;
  static const char *const rows[][4] = {{"33.0001,-86.0001", "9 ft", "2026-04-15", NULL},
                                        {" 33.0002 , -86.0002 ", "3 m", "2026-04-15", NULL},
                                        {"33.0001,-86.0003", "9 ft", "2026-04-15", "-1 ft"},
                                        {"33.0003,-86.0001", "8 ft", "2026-04-16", NULL},
                                        {"33.0004,-86.0001", "7 ft", "2026-04-15", "-1 ft"}};
  static const double counts[] = {1, 2, 1, 1, 2};
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    const lw_field fields[] = {
        {"place", rows[i][0]}, {"depth", rows[i][1]}, {"on", rows[i][2]}, {"level", rows[i][3]}};
    const lw_form form = {fields, 4};
    lw_survey survey;
    assert_ok(&p->f, lw_add_sounding(&entry, &p->desk, p->water.id, &form, &p->f.err));
    assert_ok(&p->f, lw_get_survey(&survey, &p->desk, entry.id, &p->f.err));
    assert_close(survey.sounding_count, counts[i], 0);
    assert_true(lw_starts_with(survey.name, "By rope 2026-04-1"));
  }
  const lw_work_soundings_set set = gather(p);
  assert_int_equal(set.survey_count, 3);
  assert_int_equal(set.count, 6 - 1);
  assert_close(set.soundings[0].depth_m, 9 * 0.3048, 1e-3);
  assert_close(set.soundings[2].depth_m, 10 * 0.3048, 1e-3); /* read with the pool down a foot */
  assert_whole(&p->f, p->f.store);
}

/* ---- many ---- */

static const char *many_soundings(lw_arena *arena, size_t count, size_t *length)
{
  char *text = lw_arena_alloc(arena, count + 1, 40);
  size_t n = (size_t)sprintf(text, "longitude,latitude,depth (m)\n");
  for (size_t i = 0; i < count; i++) { /* a spiral from the middle outwards */
    double share = (double)i / (double)count;
    double r = 98 * sqrt(share);
    double angle = 400 * share * 6.2831853;
    n += (size_t)sprintf(text + n, "%.8f,%.8f,%.2f\n", longitude_of(r * cos(angle)),
                         latitude_of(r * sin(angle)), 4 * (1 - r * r / 1e4) + 0.2);
  }
  *length = n;
  return text;
}

static void a_long_survey_is_kept_and_listed(void **state)
{
  enum { MANY = 200000 };
  pond *p = *state;
  lw_survey_import what = {.file = "long.csv", .date = "2026-04-15"};
  what.text = many_soundings(p->f.arena, MANY, &what.length);
  const lw_survey_report report = import_ok(p, &what);
  assert_int_equal(report.read, MANY);
  assert_true(report.cleaning.count[LW_SOUNDING_GOOD] > MANY / 100 * 95);
  assert_int_equal(tally_of(p, report.entry.id).flaws[LW_SOUNDING_GOOD],
                   report.cleaning.count[LW_SOUNDING_GOOD]);
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      pond_test(soundings_lie_in_the_plane_below_full_pool),
      pond_test(surveys_come_by_day_and_only_those_in_use),
      pond_test(the_owner_has_the_last_word),
      pond_test(what_is_set_aside_is_listed),
      pond_test(counts_follow_the_records),
      pond_test(a_dry_run_tells_the_same_and_writes_nothing),
      pond_test(what_cannot_be_a_survey_changes_nothing),
      pond_test(names_come_from_files_and_are_made_unique),
      pond_test(depths_by_rope_gather_by_day_and_level),
      pond_test(a_long_survey_is_kept_and_listed),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
