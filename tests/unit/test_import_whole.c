/* SPDX-License-Identifier: Apache-2.0 */
/* A table as a whole: duplicates, questions, dry runs, one change, the report, size. */
#include "import_fixture.h"

#include <jansson.h>
#include <time.h>

/* ---- duplicates, questions, dry runs ---- */

static const char two_days[] =
    "water,date,secchi (in)\nUpper Sedge,2026-04-01,40\nUpper Sedge,2026-04-02,21\n";

static void duplicates_are_left_out_when_asked(void **state)
{
  place *p = *state;
  lw_reading *r = NULL;
  assert_imported(p, "readings", two_days);
  const char *more = "water,date,secchi (in)\nUpper Sedge,2026-04-02,53.34 cm\nUpper Sedge,2026-04-03,36\n"
                     "UPPER SEDGE,2026-04-03,36\n";
  int64_t before = revision(p);
  assert_int_equal(import(p, "readings", more), LW_INVALID);
  assert_int_equal(p->report.faults.count, 2);
  assert_fault(p, 0, 2, 24,
               "the same reading is on record already (reading 2)"); /* 21 in, up to the last bit */
  assert_fault(p, 1, 4, 24, "the same reading stands on line 3 too");
  assert_int_equal(revision(p), before);
  assert_int_equal(import_with(p, "readings", more, (lw_import_options){.skip_duplicates = true}), LW_OK);
  assert_int_equal(p->report.added, 1);
  assert_int_equal(p->report.skipped, 2);
  assert_duplicate(p, 1, 4, 24, "line 3");
  assert_int_equal(readings(p, &r), 3);
  before = revision(p);
  assert_int_equal(import_with(p, "readings", more, (lw_import_options){.skip_duplicates = true}), LW_OK);
  assert_int_equal(p->report.added, 0);
  assert_int_equal(p->report.change, 0);
  assert_int_equal(revision(p), before); /* nothing new is no change */
}

static void unusual_values_are_asked_about(void **state)
{
  place *p = *state;
  lw_reading *r = NULL;
  const char *text = "water,date,secchi (ft)\nUpper Sedge,2026-04-01,40\nUpper Sedge,2026-04-02,3\n";
  assert_int_equal(import(p, "readings", text), LW_INVALID);
  assert_int_equal(p->report.faults.count, 0);
  assert_question(p, 0, 2, 24, "clarity (disk depth) of 40 ft? Usual is 3.9 in to 157 in.");
  assert_int_equal(p->f.err.line, 2);
  assert_holds(p->f.err.message, "--accept-unusual");
  assert_int_equal(readings(p, &r), 0);
  assert_int_equal(import_with(p, "readings", text, (lw_import_options){.accept_unusual = true}), LW_OK);
  assert_int_equal(p->report.questions.count, 1);
  assert_int_equal(readings(p, &r), 2);
  /* what is on record was asked about then */
  assert_int_equal(import_with(p, "readings", text, (lw_import_options){.skip_duplicates = true}), LW_OK);
  assert_int_equal(p->report.questions.count, 0);
}

/* Poured twice or written down twice? Only the person knows. */
static void the_same_with_another_remark_is_asked_about(void **state)
{
  place *p = *state;
  lw_treatment *t = NULL;
  const char *text =
      "water,date,material,amount,note\nUpper Sedge,2026-04-01,Powder 12-48-8,200 lb,first load\n"
      "Upper Sedge,2026-04-01,Powder 12-48-8,200 lb,second load\n";
  assert_int_equal(import(p, "treatments", text), LW_INVALID);
  assert_question(p, 0, 3, 24, "the same treatment stands on line 2 too, with other remarks");
  assert_int_equal(import_with(p, "treatments", text, (lw_import_options){.accept_unusual = true}), LW_OK);
  assert_int_equal(treatments(p, &t), 2);
}

static void a_dry_run_tells_and_writes_nothing(void **state)
{
  place *p = *state;
  assert_imported(p, "readings", two_days);
  char *before = export_text(p);
  const char *text = "water,date,secchi (in),temperature (degC)\nUpper Sedge,2026-04-02,21,19\n"
                     "Heron Pool,2026-03-01,30,\nHeron Pool,2026-04-05,31,\nHeron Pool,2026-04-06,900,\n"
                     "Heron Pool,2026-04-07,200,\n";
  assert_int_equal(import_with(p, "readings", text, (lw_import_options){.dry_run = true}), LW_INVALID);
  assert_fault(p, 0, 5, 23, "not possible"); /* 900 in of clarity */
  assert_int_equal(p->report.added, 0);
  char *clean = lw_arena_copy(p->f.arena, text);
  memcpy(strstr(clean, "900"), "32 ", 3);
  assert_int_equal(import_with(p, "readings", clean, (lw_import_options){.dry_run = true}), LW_OK);
  assert_int_equal(p->report.added, 5);
  assert_int_equal(p->report.change, 0);
  assert_int_equal(p->report.duplicates.count, 1);
  assert_duplicate(p, 0, 2, 24, "reading 2");
  assert_question(p, 0, 6, 23, "200 in?");
  assert_int_equal(p->report.tally_count, 2);
  const lw_import_tally *tally = &p->report.tallies[0];
  assert_string_equal(tally->water, "Heron Pool");
  assert_string_equal(tally->what, "secchi");
  assert_int_equal(tally->count, 4);
  assert_int_equal(tally->first, day_of(2026, 3, 1));
  assert_int_equal(tally->last, day_of(2026, 4, 7));
  char *after = export_text(p);
  assert_string_equal(before, after);
  free(before);
  free(after);
}

static void an_import_is_one_change_and_undone_as_one(void **state)
{
  place *p = *state;
  lw_reading *r = NULL;
  lw_entry entry;
  lw_history_entry *history = NULL;
  size_t n = 0;
  int64_t before = revision(p);
  assert_imported(p, "readings", two_days);
  assert_int_equal(revision(p), before + 1);
  assert_int_equal(p->report.revision, before + 1);
  assert_ok(&p->f, lw_store_history(p->f.store, 1, p->f.arena, &history, &n, &p->f.err));
  assert_int_equal(history[0].change, p->report.change);
  assert_int_equal(history[0].records, 2);
  assert_string_equal(history[0].action, "readings from sheet.csv");
  assert_string_equal(history[0].who, "keeper");
  assert_ok(&p->f, lw_undo(&entry, &p->desk, p->report.change, &p->f.err));
  assert_int_equal(readings(p, &r), 0);
  assert_whole(&p->f, p->f.store);
}

static void the_report_as_json(void **state)
{
  place *p = *state;
  assert_int_equal(import(p, "readings", "water,date,secchi\nUpper Sedge,2026-04-01,40\n"), LW_INVALID);
  json_t *json = lw_import_json(&p->report);
  assert_non_null(json);
  json_t *fault = json_array_get(json_object_get(json, "faults"), 0);
  assert_int_equal(json_integer_value(json_object_get(fault, "line")), 2);
  assert_int_equal(json_integer_value(json_object_get(fault, "column")), 24);
  assert_holds(json_string_value(json_object_get(fault, "message")), "no unit");
  assert_string_equal(json_string_value(json_object_get(json, "kind")), "readings");
  assert_true(json_is_null(json_object_get(json, "change")));
  assert_true(json_is_false(json_object_get(json, "dry_run")));
  json_decref(json);
}

/* ---- size ---- */

static double seconds(void)
{
  struct timespec now;
  (void)clock_gettime(CLOCK_MONOTONIC, &now);
  return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}

static void a_hundred_thousand_rows(void **state)
{
  enum { ROWS = 100000 };
  place *p = *state;
  char path[200];
  lw_reading *r = NULL;
  const lw_import_options options = {0};
  (void)snprintf(path, sizeof path, "%s/long.csv", p->f.folder);
  FILE *file = fopen(path, "wb");
  assert_non_null(file);
  (void)fputs("water,date,time,quantity,value,unit,by\n", file);
  for (int i = 0; i < ROWS; i++) {
    char date[LW_DATE_TEXT];
    (void)fprintf(file, "%s,%s,%02d:%02d,temperature,%d.%d,degF,logger\n",
                  i % 2 ? "Upper Sedge" : "Heron Pool", lw_date_text(day_of(2024, 1, 1) + i / 288, date),
                  i / 12 % 24, i % 12 * 5, 50 + i % 30, i % 10);
  }
  assert_int_equal(fclose(file), 0);
  double start = seconds();
  assert_ok(&p->f, lw_import_csv(&p->report, &p->desk, "readings", path, &options, &p->f.err));
  double took = seconds() - start;
  print_message("# %d rows in %.2f s\n", ROWS, took);
  assert_int_equal(p->report.added, ROWS);
  assert_int_equal(readings(p, &r), ROWS);
  assert_true(took < 60); /* a few seconds on an idle machine; a sanitizer takes longer */
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      import_test(duplicates_are_left_out_when_asked),
      import_test(unusual_values_are_asked_about),
      import_test(the_same_with_another_remark_is_asked_about),
      import_test(a_dry_run_tells_and_writes_nothing),
      import_test(an_import_is_one_change_and_undone_as_one),
      import_test(the_report_as_json),
      import_test(a_hundred_thousand_rows),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
