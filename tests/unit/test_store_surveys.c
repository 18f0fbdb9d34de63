/* SPDX-License-Identifier: Apache-2.0 */
/* Surveys: their soundings are kept once, read only when asked for, checked, exported and brought back;
 * and the place for derived results beside the records. */
#include "store_fixture.h"

static const char *beside(fixture *f, const char *name)
{
  return lw_arena_format(f->arena, "%s/%s", f->folder, name);
}

static int64_t number(lw_store *store, const char *sql)
{
  sqlite3_stmt *stmt = NULL;
  int64_t out = -1;
  assert_int_equal(lw_sql_prepare(store, sql, &stmt, NULL), LW_OK);
  assert_int_equal(lw_sql_number(store, stmt, &out, "test", NULL), LW_OK);
  (void)sqlite3_finalize(stmt);
  return out;
}

static lw_id with_water(fixture *f)
{
  lw_water water = full_water("Upper Sedge");
  return add_one(f, LW_KIND_WATER, &water);
}

static lw_survey survey_of(fixture *f, lw_id id)
{
  lw_survey got;
  assert_ok(f, lw_store_get(f->store, LW_KIND_SURVEY, id, f->arena, &got, &f->err));
  return got;
}

static void a_survey_comes_back_whole(void **state)
{
  fixture *f = *state;
  lw_survey survey = full_survey(with_water(f));
  lw_id id = add_one(f, LW_KIND_SURVEY, &survey);
  fixture_reopen(f);
  lw_survey got = survey_of(f, id);
  assert_int_equal(got.id, id);
  assert_int_equal(got.water, survey.water);
  assert_string_equal(got.name, "run3");
  assert_int_equal(got.day, survey.day);
  assert_true(got.level_m.known && got.offset_m.known && got.used);
  assert_close(got.level_m.value, -0.4, 0);
  assert_close(got.offset_m.value, 0.2, 0);
  assert_close(got.sounding_count, 3, 0);
  assert_string_equal(got.soundings, fixture_soundings);
  assert_string_equal(got.kept, "1");
  assert_string_equal(got.dropped, "2-3");
  assert_string_equal(got.source, "run3.nmea (NMEA 0183)");
  assert_string_equal(got.note, "calm");
  assert_whole(f, f->store);
}

static void lists_go_without_the_soundings(void **state)
{
  fixture *f = *state;
  lw_id water = with_water(f);
  lw_survey survey = full_survey(water);
  lw_id id = add_one(f, LW_KIND_SURVEY, &survey);
  lw_survey *surveys = NULL;
  size_t count = 0;
  assert_ok(f, lw_store_list(f->store, LW_KIND_SURVEY, water, f->arena, &surveys, &count, &f->err));
  assert_int_equal(count, 1);
  assert_null(surveys[0].soundings);
  assert_close(surveys[0].sounding_count, 3, 0);
  surveys[0].used = false; /* one out of a list may be written back: its soundings stay */
  (void)update_one(f, LW_KIND_SURVEY, id, &surveys[0]);
  lw_survey got = survey_of(f, id);
  assert_false(got.used);
  assert_string_equal(got.soundings, fixture_soundings);
  assert_int_equal(update_one(f, LW_KIND_SURVEY, id, &surveys[0]), 0); /* nothing differs */
  assert_whole(f, f->store);
}

static void soundings_are_kept_once(void **state)
{
  fixture *f = *state;
  lw_survey survey = full_survey(with_water(f));
  lw_id id = add_one(f, LW_KIND_SURVEY, &survey);
  survey.name = "the same again";
  (void)add_one(f, LW_KIND_SURVEY, &survey);
  for (int i = 0; i < 5; i++) {
    survey.name = "run3";
    survey.note = lw_arena_format(f->arena, "note %d", i);
    (void)update_one(f, LW_KIND_SURVEY, id, &survey);
  }
  assert_int_equal(number(f->store, "SELECT count(*) FROM soundings"), 1);
  assert_int_equal(number(f->store, "SELECT count(*) FROM record_version WHERE kind = 'survey'"), 7);
  assert_int_equal(number(f->store, "SELECT count(*) FROM record_version WHERE kind = 'survey' AND "
                                    "instr(body, '-85.09')"),
                   0);
  lw_version *versions = NULL;
  size_t count = 0;
  assert_ok(f, lw_store_versions(f->store, LW_KIND_SURVEY, id, f->arena, &versions, &count, &f->err));
  assert_int_equal(count, 6);
  char digest[LW_DIGEST_HEX];
  lw_large_digest(fixture_soundings, strlen(fixture_soundings), digest);
  assert_holds(versions[0].body, digest);
}

#define HEAD "longitude,latitude,depth (m),time,track\n"

static void what_are_no_soundings_is_refused(void **state)
{
  static const struct {
    const char *text, *said;
  } refused[] = {
      {NULL, "soundings is missing"},
      {"", "must begin with the line"},
      {"longitude,latitude,depth (ft),time,track\n-85,33,1,,\n", "must begin with the line"},
      {HEAD, "no soundings below their heading"},
      {HEAD "-85.1,33.1,2,,", "line 2 of the soundings, '-85.1,33.1,2,,', must have five cells"},
      {HEAD "-85.1,33.1,2,\n", "line 2"},
      {HEAD "-85.1,33.1,2,,\n-85.1,33.1,2,,,\n", "line 3"},
      {HEAD "-85.1,33.1,,,\n", "a cell that is no number"},
      {HEAD "-85.1,33.1,nan,,\n", "a cell that is no number"},
      {HEAD "-85.1,33.1,2,,\n\n", "line 3"},
      {HEAD "-85.1,33.1,2,,\r\n", "five cells"},
      {HEAD "-85.1,33.1,2;,,\n", "five cells"},
      {HEAD "-85.1,33.1,2.00000000000000000000000000000000000000001,,\n", "a cell that is no number"},
  };
  fixture *f = *state;
  lw_survey survey = full_survey(with_water(f));
  for (size_t i = 0; i < sizeof refused / sizeof refused[0]; i++) {
    survey.soundings = refused[i].text;
    assert_add_refused(f, LW_KIND_SURVEY, &survey, LW_INVALID, refused[i].said);
  }
  assert_int_equal(number(f->store, "SELECT count(*) FROM soundings"), 0);
  assert_whole(f, f->store);
}

/* The text itself is not made: the size is looked at before the first byte. */
static void more_than_a_survey_holds_is_refused(void **state)
{
  fixture *f = *state;
  assert_refused(f, lw_soundings_check("", (size_t)LW_SOUNDINGS_TEXT_MAX + 1, &f->err), LW_LIMIT,
                 "take 320 MiB; a survey holds at most 320");
  assert_true(sqlite3_limit(f->store->db, SQLITE_LIMIT_LENGTH, -1) > LW_SOUNDINGS_TEXT_MAX);
}

static void members_are_checked(void **state)
{
  static const char *const bad_numbers[] = {"0",   "03",    "3,",    ",3",    "3,3",         "4,3", "3-3",
                                            "5-3", "1-2-3", "3 , 4", "three", "99999999999", "-1",  "3--4"};
  static const char *const good_numbers[] = {"", "1", "1,2", "1-2", "3,17-20,21,30-31", "2147483647"};
  fixture *f = *state;
  lw_id water = with_water(f);
  for (size_t i = 0; i < sizeof bad_numbers / sizeof bad_numbers[0]; i++) {
    lw_survey survey = full_survey(water);
    survey.kept = bad_numbers[i];
    assert_add_refused(f, LW_KIND_SURVEY, &survey, LW_INVALID, "kept by the owner");
  }
  for (size_t i = 0; i < sizeof good_numbers / sizeof good_numbers[0]; i++) {
    lw_survey survey = full_survey(water);
    survey.name = lw_arena_format(f->arena, "run %zu", i);
    survey.dropped = good_numbers[i];
    (void)add_one(f, LW_KIND_SURVEY, &survey);
  }
  lw_survey survey = full_survey(water);
  survey.name = "RUN 1";
  assert_add_refused(f, LW_KIND_SURVEY, &survey, LW_CONFLICT, "is taken by survey 2");
  survey = full_survey(99);
  assert_add_refused(f, LW_KIND_SURVEY, &survey, LW_INVALID, "there is no water 99");
  survey = full_survey(water);
  survey.level_m = lw_known(-400);
  assert_add_refused(f, LW_KIND_SURVEY, &survey, LW_INVALID, "level of the pool is -400 m");
  survey = full_survey(water);
  survey.day = LW_NO_DAY;
  assert_add_refused(f, LW_KIND_SURVEY, &survey, LW_INVALID, "day is missing");
  survey = full_survey(water);
  survey.sounding_count = 0;
  assert_add_refused(f, LW_KIND_SURVEY, &survey, LW_INVALID, "number of soundings is 0");
  assert_whole(f, f->store);
}

static void a_survey_that_is_not_there_is_not_updated(void **state)
{
  fixture *f = *state;
  lw_survey survey = full_survey(with_water(f));
  survey.soundings = NULL;
  assert_ok(f, lw_store_begin(f->store, &fixture_change, &f->err));
  assert_refused(f, lw_store_update(f->store, LW_KIND_SURVEY, 7, &survey, &f->err), LW_NOT_FOUND,
                 "there is no survey 7");
  lw_store_rollback(f->store);
}

static void undo_brings_a_survey_back(void **state)
{
  fixture *f = *state;
  lw_id water = with_water(f);
  lw_survey survey = full_survey(water);
  lw_id id = add_one(f, LW_KIND_SURVEY, &survey);
  assert_ok(f, lw_store_begin(f->store, &fixture_change, &f->err));
  assert_refused(f, lw_store_remove(f->store, LW_KIND_WATER, water, &f->err), LW_CONFLICT,
                 "still used by 1 survey");
  lw_store_rollback(f->store);
  lw_id change = 0;
  assert_ok(f, lw_store_latest(f->store, LW_KIND_SURVEY, id, &change, &f->err));
  assert_int_equal(change, 2);
  lw_id removal = remove_one(f, LW_KIND_SURVEY, id);
  assert_ok(f, lw_store_latest(f->store, LW_KIND_SURVEY, id, &change, &f->err));
  assert_int_equal(change, removal);
  lw_history_entry entry;
  assert_ok(f, lw_store_undo(f->store, &fixture_change, 0, f->arena, &entry, &f->err));
  assert_string_equal(survey_of(f, id).soundings, fixture_soundings);
  assert_ok(f, lw_store_latest(f->store, LW_KIND_SURVEY, id, &change, &f->err));
  assert_int_equal(change, entry.undone_by);
  assert_refused(f, lw_store_latest(f->store, LW_KIND_SURVEY, 9, &change, &f->err), LW_NOT_FOUND,
                 "never was a survey 9");
  assert_whole(f, f->store);
}

static void first_problem_is(fixture *f, const char *said)
{
  lw_check_report report;
  assert_ok(f, lw_store_check(f->store, f->arena, &report, &f->err));
  assert_true(report.problem_count > 0);
  for (size_t i = 0; i < report.problem_count; i++) {
    if (strstr(report.problems[i], said)) {
      return;
    }
  }
  fail_msg("no problem says '%s' but '%s'", said, report.problems[0]);
}

static void the_check_finds_altered_and_missing_soundings(void **state)
{
  fixture *f = *state;
  lw_survey survey = full_survey(with_water(f));
  lw_id id = add_one(f, LW_KIND_SURVEY, &survey);
  assert_ok(
      f, lw_sql_run(f->store, "UPDATE soundings SET csv = replace(csv, '2.500', '5.200')", "test", &f->err));
  first_problem_is(f, "the text of soundings");
  assert_ok(f, lw_sql_run(f->store, "PRAGMA foreign_keys = OFF; DELETE FROM soundings", "test", &f->err));
  first_problem_is(f, "version 1 of survey 1: its text of soundings is missing");
  lw_survey got;
  assert_refused(f, lw_store_get(f->store, LW_KIND_SURVEY, id, f->arena, &got, &f->err), LW_CORRUPT,
                 "the text of soundings of survey 1 is missing");
}

/* ---- export and import ---- */

static char *read_text(fixture *f, const char *path)
{
  char *text = lw_arena_alloc(f->arena, 1 << 16, 1);
  FILE *file = fopen(path, "rb");
  assert_non_null(file);
  (void)fread(text, 1, (1 << 16) - 1, file);
  (void)fclose(file);
  return text;
}

static void write_text(const char *path, const char *text)
{
  FILE *file = fopen(path, "wb");
  assert_non_null(file);
  assert_int_equal(fwrite(text, 1, strlen(text), file), strlen(text));
  assert_int_equal(fclose(file), 0);
}

static const char *soundings_file(fixture *f)
{
  char digest[LW_DIGEST_HEX];
  lw_large_digest(fixture_soundings, strlen(fixture_soundings), digest);
  return lw_arena_format(f->arena, "%s/out/soundings/%s.csv", f->folder, digest);
}

static void an_export_holds_the_soundings(void **state)
{
  fixture *f = *state;
  lw_survey survey = full_survey(with_water(f));
  (void)add_one(f, LW_KIND_SURVEY, &survey);
  assert_ok(f, lw_store_export(f->store, beside(f, "out"), &f->err));
  assert_string_equal(read_text(f, soundings_file(f)), fixture_soundings);
  assert_holds(read_text(f, beside(f, "out/surveys.csv")),
               "id,water,name,day,level of the pool (m),depth of the transducer (m),used,soundings,number of "
               "soundings,kept by the owner,dropped by the owner,source,note\r\n"
               "1,1,run3,2026-04-15,-0.4,0.2,yes,soundings/");
  assert_ok(f, lw_store_import(beside(f, "out"), beside(f, "copy"), &f->err));
  lw_store *copy = NULL;
  lw_survey got;
  assert_ok(f, lw_store_open(&copy, beside(f, "copy"), &f->err));
  assert_ok(f, lw_store_get(copy, LW_KIND_SURVEY, 1, f->arena, &got, &f->err));
  assert_string_equal(got.soundings, fixture_soundings);
  assert_whole(f, copy);
  lw_store_close(copy);
}

static void altered_soundings_are_refused(void **state)
{
  fixture *f = *state;
  lw_survey survey = full_survey(with_water(f));
  (void)add_one(f, LW_KIND_SURVEY, &survey);
  assert_ok(f, lw_store_export(f->store, beside(f, "out"), &f->err));
  char *text = read_text(f, soundings_file(f));
  text[strlen(text) - 5] = '9';
  write_text(soundings_file(f), text);
  assert_refused(f, lw_store_import(beside(f, "out"), beside(f, "copy"), &f->err), LW_CORRUPT,
                 "the text of soundings in");
  assert_int_equal(unlink(soundings_file(f)), 0);
  assert_refused(f, lw_store_import(beside(f, "out"), beside(f, "copy"), &f->err), LW_CORRUPT, ".csv");
  assert_int_equal(access(beside(f, "copy"), F_OK), -1);
}

/* As an earlier release wrote it: no table of surveys, no folder of soundings. */
static void an_export_of_format_1_is_read(void **state)
{
  fixture *f = *state;
  (void)with_water(f);
  assert_ok(f, lw_store_export(f->store, beside(f, "out"), &f->err));
  char *about = read_text(f, beside(f, "out/about.csv"));
  char *format = strstr(about, "format,2");
  assert_non_null(format);
  assert_int_equal(unlink(beside(f, "out/surveys.csv")), 0);
  assert_int_equal(rmdir(beside(f, "out/soundings")), 0);
  assert_refused(f, lw_store_import(beside(f, "out"), beside(f, "copy"), &f->err), LW_NOT_FOUND,
                 "surveys.csv");
  format[7] = '1';
  write_text(beside(f, "out/about.csv"), about);
  assert_ok(f, lw_store_import(beside(f, "out"), beside(f, "copy"), &f->err));
}

/* ---- derived results ---- */

static void put_ok(fixture *f, const char *key, const void *data, size_t length)
{
  assert_ok(f, lw_store_cache_put(f->store, key, data, length, &f->err));
}

static const char *got_under(fixture *f, const char *key, size_t *length)
{
  const void *data = NULL;
  assert_ok(f, lw_store_cache_get(f->store, key, f->arena, &data, length, &f->err));
  return data;
}

static void derived_results_are_kept_beside_the_history(void **state)
{
  fixture *f = *state;
  size_t length = 9;
  assert_null(got_under(f, "map 1", &length));
  assert_int_equal(length, 0);
  put_ok(f, "map 1", "a\0b", 3);
  assert_memory_equal(got_under(f, "map 1", &length), "a\0b", 3);
  assert_int_equal(length, 3);
  put_ok(f, "map 1", "other", 5);
  assert_memory_equal(got_under(f, "map 1", &length), "other", 5);
  int64_t revision = -1;
  assert_ok(f, lw_store_revision(f->store, &revision, &f->err));
  assert_int_equal(revision, 0);
  fixture_reopen(f);
  assert_memory_equal(got_under(f, "map 1", &length), "other", 5);
  assert_whole(f, f->store);
  assert_ok(f, lw_store_export(f->store, beside(f, "out"), &f->err));
  assert_int_equal(access(beside(f, "out/cache.csv"), F_OK), -1);
}

static void the_newest_results_stay(void **state)
{
  fixture *f = *state;
  size_t length = 0;
  for (int i = 0; i < LW_CACHE_ENTRIES + 5; i++) {
    put_ok(f, lw_arena_format(f->arena, "map %d", i), &i, sizeof i);
  }
  assert_int_equal(number(f->store, "SELECT count(*) FROM cache"), LW_CACHE_ENTRIES);
  assert_null(got_under(f, "map 4", &length));
  assert_non_null(got_under(f, "map 5", &length));
  char *large = calloc(1, 30u << 20);
  assert_non_null(large);
  put_ok(f, "large 1", large, 30u << 20);
  assert_non_null(got_under(f, "map 44", &length));
  put_ok(f, "large 2", large, 30u << 20);
  put_ok(f, "large 3", large, 30u << 20);
  free(large);
  assert_null(got_under(f, "large 1", &length));
  assert_null(got_under(f, "map 44", &length)); /* older than what had to go */
  assert_int_equal(number(f->store, "SELECT count(*) FROM cache"), 2);
}

static void a_damaged_result_is_none(void **state)
{
  fixture *f = *state;
  size_t length = 0;
  put_ok(f, "map 1", "abc", 3);
  assert_ok(f, lw_sql_run(f->store, "UPDATE cache SET data = x'616264'", "test", &f->err));
  assert_null(got_under(f, "map 1", &length));
  put_ok(f, "map 1", "abc", 3);
  assert_non_null(got_under(f, "map 1", &length));
}

static void results_that_cannot_be_kept_are_told_at_once(void **state)
{
  fixture *f = *state;
  size_t length = 0;
  lw_store *other = NULL;
  lw_water water = water_named("Brickyard");
  lw_id id = 0;
  char key[LW_CACHE_KEY + 2] = "";
  memset(key, 'k', sizeof key - 1);
  assert_refused(f, lw_store_cache_put(f->store, "", "a", 1, &f->err), LW_INVALID, "has 0 bytes");
  assert_refused(f, lw_store_cache_put(f->store, key, "a", 1, &f->err), LW_INVALID, "has 201 bytes");
  assert_refused(f, lw_store_cache_put(f->store, "k", "", 0, &f->err), LW_LIMIT, "0 bytes");
  assert_refused(f, lw_store_cache_put(f->store, "k", "", (size_t)LW_CACHE_BYTES + 1, &f->err), LW_LIMIT,
                 "is not kept");
  assert_ok(f, lw_store_open(&other, f->path, &f->err));
  assert_ok(f, lw_store_begin(other, &fixture_change, &f->err));
  assert_refused(f, lw_store_cache_put(f->store, "map", "a", 1, &f->err), LW_BUSY, "another program");
  assert_refused(f, lw_store_cache_put(other, "map", "a", 1, &f->err), LW_BUSY, "while a change is open");
  assert_ok(f, lw_store_add(other, LW_KIND_WATER, &water, &id, &f->err)); /* the change goes on */
  assert_ok(f, lw_store_commit(other, &id, &f->err));
  assert_null(got_under(f, "map", &length));
  put_ok(f, "map", "a", 1);
  lw_store_close(other);
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      store_test(a_survey_comes_back_whole),
      store_test(lists_go_without_the_soundings),
      store_test(soundings_are_kept_once),
      store_test(what_are_no_soundings_is_refused),
      store_test(more_than_a_survey_holds_is_refused),
      store_test(members_are_checked),
      store_test(a_survey_that_is_not_there_is_not_updated),
      store_test(undo_brings_a_survey_back),
      store_test(the_check_finds_altered_and_missing_soundings),
      store_test(an_export_holds_the_soundings),
      store_test(altered_soundings_are_refused),
      store_test(an_export_of_format_1_is_read),
      store_test(derived_results_are_kept_beside_the_history),
      store_test(the_newest_results_stay),
      store_test(a_damaged_result_is_none),
      store_test(results_that_cannot_be_kept_are_told_at_once),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
