/* SPDX-License-Identifier: Apache-2.0 */
/* Export and import: the same store comes back, record for record and version for version; and an
 * export that was altered is refused at the place of the alteration. */
#include "store_fixture.h"

static const char *beside(fixture *f, const char *name)
{
  return lw_arena_format(f->arena, "%s/%s", f->folder, name);
}

/* Everything a query gives, as one text. */
static void tell(lw_store *store, const char *sql, lw_text *out)
{
  sqlite3_stmt *stmt = NULL;
  int code = SQLITE_OK;
  assert_int_equal(lw_sql_prepare(store, sql, &stmt, NULL), LW_OK);
  while ((code = sqlite3_step(stmt)) == SQLITE_ROW) {
    for (int i = 0; i < sqlite3_column_count(stmt); i++) {
      const char *text = lw_sql_text(stmt, i);
      lw_text_addf(out, "%d:%s|", sqlite3_column_type(stmt, i), text ? text : "");
    }
    lw_text_add(out, "\n");
  }
  assert_int_equal(code, SQLITE_DONE);
  (void)sqlite3_finalize(stmt);
}

/* Every row of every table, numbers to the last bit. */
static void tell_everything(lw_store *store, lw_text *out)
{
  tell(store, "SELECT id, at, who, why, action, undoes, hex(digest) FROM change ORDER BY id", out);
  tell(store, "SELECT * FROM record_version ORDER BY kind, record, version", out);
  tell(store, "SELECT * FROM outline ORDER BY digest", out);
  tell(store, "SELECT * FROM soundings ORDER BY digest", out);
  for (int kind = 0; kind < LW_KIND_COUNT; kind++) {
    lw_text sql = LW_TEXT(8192);
    lw_text_add(&sql, "SELECT id");
    for (size_t i = 0; i < lw_kinds[kind].column_count; i++) {
      const lw_column *column = &lw_kinds[kind].columns[i];
      bool real = column->type == LW_COLUMN_NUMBER || column->type == LW_COLUMN_MAYBE;
      lw_text_addf(&sql, real ? ", printf('%%.17g', \"%s\")" : ", \"%s\"", column->name);
    }
    lw_text_addf(&sql, " FROM \"%s\" ORDER BY id", lw_kinds[kind].name);
    tell(store, lw_text_view(&sql), out);
    lw_text_free(&sql);
  }
}

static void assert_same_store(lw_store *a, lw_store *b)
{
  lw_text x = LW_TEXT(1 << 26);
  lw_text y = LW_TEXT(1 << 26);
  tell_everything(a, &x);
  tell_everything(b, &y);
  assert_false(x.failed || y.failed);
  assert_true(x.length > 0);
  assert_string_equal(lw_text_view(&x), lw_text_view(&y));
  lw_text_free(&x);
  lw_text_free(&y);
}

/* A history with updates, removals, undos, awkward texts and awkward numbers. */
static void write_history(fixture *f)
{
  static const char *const texts[] = {"comma, quote \" and\nline",
                                      "=1+1",
                                      "'",
                                      "\"",
                                      ",",
                                      "\xc3\xa9",
                                      "\xf0\x9f\x90\x9f fish",
                                      "a\ttab",
                                      "{\"json\":1}",
                                      "\\n"};
  static const double values[] = {0.1, 1.0 / 3, 1e-300, 19.999999999999996, 0, 2.5e-5};
  fill_every_kind(f);
  for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
    lw_change change = {"first hand", texts[i], texts[i], 1776247200000 + (lw_instant)i};
    lw_note note = {.water = i % 2 ? 1 : 0, .day = day_of(2026, 5, 1), .text = texts[i], .by = "keeper"};
    lw_id id = 0;
    assert_ok(f, lw_store_begin(f->store, &change, &f->err));
    assert_ok(f, lw_store_add(f->store, LW_KIND_NOTE, &note, &id, &f->err));
    assert_ok(f, lw_store_commit(f->store, &id, &f->err));
  }
  for (size_t i = 0; i < sizeof values / sizeof values[0]; i++) {
    lw_reading reading = reading_of(1, "alkalinity", values[i], day_of(2026, 5, 1));
    reading.depth_m = lw_known(values[i]);
    (void)add_one(f, LW_KIND_READING, &reading);
  }
  (void)remove_one(f, LW_KIND_NOTE, 3);
  (void)remove_one(f, LW_KIND_NOTE, 11); /* the last id of its kind must not come again */
  lw_history_entry entry;
  assert_ok(f, lw_store_undo(f->store, &fixture_change, 0, f->arena, &entry, &f->err));
  assert_ok(f, lw_store_undo(f->store, &fixture_change, entry.undone_by, f->arena, &entry, &f->err));
  lw_water water = full_water("Upper Sedge");
  water.outline = "{\"type\":\"Polygon\",\"coordinates\":[[[-85,33],[-84,33],[-84,34],[-85,33]]]}";
  (void)update_one(f, LW_KIND_WATER, 1, &water);
}

static void the_same_store_comes_back(void **state)
{
  fixture *f = *state;
  lw_store *copy = NULL;
  write_history(f);
  assert_ok(f, lw_store_export(f->store, beside(f, "out"), &f->err));
  assert_ok(f, lw_store_import(beside(f, "out"), beside(f, "copy"), &f->err));
  assert_ok(f, lw_store_open(&copy, beside(f, "copy"), &f->err));
  assert_same_store(f->store, copy);
  assert_whole(f, copy);
  assert_int_equal(f->err.line, 0);
  /* and goes on as the first would */
  lw_note note = {.day = day_of(2026, 6, 1), .text = "x", .by = ""};
  lw_id expected = add_one(f, LW_KIND_NOTE, &note);
  lw_store *first = f->store;
  f->store = copy;
  assert_int_equal(add_one(f, LW_KIND_NOTE, &note), expected);
  assert_same_store(first, copy);
  f->store = first;
  lw_store_close(copy);
}

static void an_export_of_the_import_is_the_same(void **state)
{
  fixture *f = *state;
  lw_store *copy = NULL;
  write_history(f);
  assert_ok(f, lw_store_export(f->store, beside(f, "one"), &f->err));
  assert_ok(f, lw_store_import(beside(f, "one"), beside(f, "copy"), &f->err));
  assert_ok(f, lw_store_open(&copy, beside(f, "copy"), &f->err));
  assert_ok(f, lw_store_export(copy, beside(f, "two"), &f->err));
  lw_store_close(copy);
  char command[400];
  (void)snprintf(command, sizeof command, "diff -r '%s' '%s'", beside(f, "one"), beside(f, "two"));
  assert_int_equal(system(command), 0);
}

static void an_empty_store_comes_back_too(void **state)
{
  fixture *f = *state;
  lw_store *copy = NULL;
  assert_int_equal(mkdir(beside(f, "out"), 0700), 0); /* an empty folder will do */
  assert_ok(f, lw_store_export(f->store, beside(f, "out/"), &f->err));
  assert_ok(f, lw_store_import(beside(f, "out"), beside(f, "copy"), &f->err));
  assert_ok(f, lw_store_open(&copy, beside(f, "copy"), &f->err));
  assert_whole(f, copy);
  lw_store_close(copy);
}

/* Tables of more than one part: long notes past the size of a part. */
static void long_tables_go_on_in_parts(void **state)
{
  fixture *f = *state;
  lw_store *copy = NULL;
  char *text = calloc(1, 8001);
  lw_id id = 0;
  assert_ok(f, lw_store_begin(f->store, &fixture_change, &f->err));
  for (int i = 0; i < 1300; i++) {
    memset(text, 'a' + i % 26, 8000);
    lw_note note = {.day = day_of(2026, 5, 1), .text = text, .by = ""};
    assert_ok(f, lw_store_add(f->store, LW_KIND_NOTE, &note, &id, &f->err));
  }
  assert_ok(f, lw_store_commit(f->store, &id, &f->err));
  free(text);
  assert_ok(f, lw_store_export(f->store, beside(f, "out"), &f->err));
  assert_int_equal(access(beside(f, "out/versions-2.csv"), F_OK), 0);
  assert_int_equal(access(beside(f, "out/notes-2.csv"), F_OK), 0);
  assert_ok(f, lw_store_import(beside(f, "out"), beside(f, "copy"), &f->err));
  assert_ok(f, lw_store_open(&copy, beside(f, "copy"), &f->err));
  assert_same_store(f->store, copy);
  lw_store_close(copy);
  assert_int_equal(unlink(beside(f, "out/notes-2.csv")), 0);
  assert_refused(f, lw_store_import(beside(f, "out"), beside(f, "copy2"), &f->err), LW_CORRUPT,
                 "missing from notes.csv");
  assert_int_equal(unlink(beside(f, "out/versions-2.csv")), 0);
  assert_refused(f, lw_store_import(beside(f, "out"), beside(f, "copy2"), &f->err), LW_CORRUPT,
                 "does not match its digest");
}

static void tables_tell_units(void **state)
{
  fixture *f = *state;
  char line[400] = "";
  write_history(f);
  assert_ok(f, lw_store_export(f->store, beside(f, "out"), &f->err));
  FILE *file = fopen(beside(f, "out/readings.csv"), "r");
  assert_non_null(file);
  assert_non_null(fgets(line, sizeof line, file));
  assert_holds(line, "id,water,quantity,value,unit or word,depth (m),day,minute of the day (min),by,"
                     "way,note");
  assert_non_null(fgets(line, sizeof line, file));
  assert_holds(line, "1,1,secchi,1.016,m,0.3,2026-04-15,725,first hand,disk,clear");
  assert_non_null(fgets(line, sizeof line, file));
  assert_holds(line, "2,1,water-color,1,brown-mud,,2026-04-15,,,,");
  (void)fclose(file);
}

static void folders_are_not_written_over(void **state)
{
  fixture *f = *state;
  write_history(f);
  assert_refused(f, lw_store_export(f->store, f->folder, &f->err), LW_CONFLICT, "is not empty");
  assert_refused(f, lw_store_export(f->store, f->path, &f->err), LW_CONFLICT, "is a file");
  assert_refused(f, lw_store_export(f->store, "", &f->err), LW_INVALID, "is empty");
  assert_refused(f, lw_store_export(f->store, beside(f, "a/b/c"), &f->err), LW_IO, "a/b/c");
  assert_ok(f, lw_store_begin(f->store, &fixture_change, &f->err));
  assert_refused(f, lw_store_export(f->store, beside(f, "out"), &f->err), LW_INTERNAL, "unfinished");
  lw_store_rollback(f->store);
  assert_ok(f, lw_store_export(f->store, beside(f, "out"), &f->err));
  assert_refused(f, lw_store_import(beside(f, "out"), f->path, &f->err), LW_CONFLICT, "exists");
  assert_refused(f, lw_store_import(beside(f, "none"), beside(f, "x"), &f->err), LW_NOT_FOUND, "no folder");
  assert_int_equal(mkdir(beside(f, "bare"), 0700), 0);
  assert_refused(f, lw_store_import(beside(f, "bare"), beside(f, "x"), &f->err), LW_NOT_FOUND,
                 "no about.csv");
}

/* ---- altered exports ---- */

typedef struct alteration {
  const char *file, *old, *new; /* the first `old` becomes `new`; old NULL: the file is removed */
  const char *said;
  const char *at; /* the file named with line and column; NULL where there is none */
  long line, column;
} alteration;

static char *read_text(fixture *f, const char *path)
{
  char *text = lw_arena_alloc(f->arena, 1 << 20, 1);
  FILE *file = fopen(path, "rb");
  assert_non_null(file);
  size_t length = fread(text, 1, (1 << 20) - 1, file);
  text[length] = '\0';
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

static void alter(fixture *f, const char *path, const alteration *what, const char *text)
{
  if (!what->old) {
    assert_int_equal(unlink(path), 0);
    return;
  }
  const char *at = strstr(text, what->old);
  if (!at) {
    fail_msg("%s does not hold %s", path, what->old);
  }
  write_text(
      path, lw_arena_format(f->arena, "%.*s%s%s", (int)(at - text), text, what->new, at + strlen(what->old)));
}

static void altered_exports_are_refused_at_their_place(void **state)
{
  static const alteration alterations[] = {
      {"about.csv", NULL, NULL, "no about.csv", NULL, 0, 0},
      {"about.csv", "format,2", "format,3", "reads formats 1 to 2; update", "about.csv", 2, 24},
      {"about.csv", "lakeward export", "another export", "not an export of Lakeward", NULL, 0, 0},
      {"about.csv", "changes,", "changes,1", "part of the export is missing", "about.csv", 3, 9},
      {"about.csv", "records,", "records,1", "part of the export is missing", "about.csv", 5, 9},
      {"about.csv", "digest,", "digest,0", "the history was altered", "about.csv", 6, 13},
      {"changes.csv", NULL, NULL, "changes.csv", NULL, 0, 0},
      {"changes.csv", "change,at", "change,when", "the heading is 'when'", "changes.csv", 1, 8},
      {"changes.csv", "2026-04-15T10:00:00.000Z", "2026-04-15T10:00:00.001Z", "its digest", "changes.csv", 2,
       59},
      {"changes.csv", "2026-04-15T10:00:00.000Z", "yesterday", "yesterday", "changes.csv", 2, 3},
      {"changes.csv", "keeper", "nobody", "change 1 does not match its digest", "changes.csv", 2, 59},
      {"changes.csv", "\n2,", "\n9,", "change 9 stands where change 2 should be", "changes.csv", 3, 1},
      {"changes.csv", "\n2,", "\nx,", "'x' is not a whole number", "changes.csv", 3, 1},
      {"changes.csv", "test,,", "test,7,", "change 1 cannot undo change 7", "changes.csv", 2, 58},
      {"changes.csv", ",test,,", ",te,st,,", "", "changes.csv", 2, 0},
      {"versions.csv", NULL, NULL, "versions.csv", NULL, 0, 0},
      {"versions.csv", "\"\"elevation_m\"\":212.5", "\"\"elevation_m\"\":213.5",
       "change 1 does not match its digest", "changes.csv", 2, 59},
      {"versions.csv", "\"\"elevation_m\"\":212.5", "\"\"elevation_m\"\":21250",
       "water elevation is 21250 m; it must be between", "versions.csv", 2, 16},
      {"versions.csv", "\"\"elevation_m\"\":212.5", "\"\"elevation\"\":212.5", "which a water does not have",
       "versions.csv", 2, 16},
      {"versions.csv", "\"\"elevation_m\"\":212.5", "\"\"elevation_m\"\":\"\"high\"\"",
       "a number expected at", "versions.csv", 2, 16},
      {"versions.csv", "\"\"elevation_m\"\":212.5", "\"\"elevation_m\"\":", "a number expected at ',",
       "versions.csv", 2, 16},
      {"versions.csv", "1,water,1,1,no", "1,boat,1,1,no", "'boat' is no kind", "versions.csv", 2, 3},
      {"versions.csv", "1,water,1,1,no", "1,water,1,2,no", "version 2 of water 1 does not follow",
       "versions.csv", 2, 11},
      {"versions.csv", "1,water,1,1,no", "1,water,0,1,no", "'0' is not a whole number", "versions.csv", 2, 9},
      {"versions.csv", "1,water,1,1,no", "1,water,1,1,maybe", "neither yes nor no", "versions.csv", 2, 13},
      {"versions.csv", "2,zone,1,1,no", "1,zone,1,1,no", "change 1 does not match its digest", "changes.csv",
       2, 59},
      {"versions.csv", "3,reading,1", "1,reading,1", "change 1 stands after change 2", "versions.csv", 0, 1},
      {"versions.csv", "body\r\n", "body\r\n1,water,1,1,no,{}\n", "name is missing", "versions.csv", 2, 16},
      {"waters.csv", NULL, NULL, "waters.csv", NULL, 0, 0},
      {"waters.csv", "Upper Sedge", "Upper Hedge",
       "name is 'Upper Hedge' here but 'Upper Sedge' in the history", "waters.csv", 2, 3},
      {"waters.csv", "mean depth (m)", "mean depth (ft)", "the heading is 'mean depth (ft)'", "waters.csv", 1,
       0},
      {"lots.csv", "\n1,1,", "\n1,1,2026-04-15,12,60,shed\n2,1,", "", "lots.csv", 3, 0},
      {"settings.csv", "1,units,us\r\n", "", "setting 1 is missing from settings.csv", NULL, 0, 0},
      {"settings.csv", "us\r\n", "us\r\n2,money,USD\n", "setting '2' is not in the history", "settings.csv",
       3, 1},
  };
  fixture *f = *state;
  write_history(f);
  const char *folder = beside(f, "out");
  assert_ok(f, lw_store_export(f->store, folder, &f->err));
  for (size_t i = 0; i < sizeof alterations / sizeof alterations[0]; i++) {
    const alteration *what = &alterations[i];
    const char *path = lw_arena_format(f->arena, "%s/%s", folder, what->file);
    char *text = read_text(f, path);
    alter(f, path, what, text);
    f->err = (lw_error){0};
    lw_status status = lw_store_import(folder, beside(f, "copy"), &f->err);
    write_text(path, text);
    bool placed = !what->at || (strstr(f->err.file, what->at) && f->err.line > 0 && f->err.column > 0 &&
                                (!what->line || f->err.line == what->line) &&
                                (!what->column || f->err.column == what->column));
    if (status == LW_OK || status == LW_INTERNAL || !strstr(f->err.message, what->said) || !placed) {
      fail_msg("%zu: %s with '%s': %s, %s:%ld:%ld: %s", i, what->file, what->new ? what->new : "gone",
               lw_status_id(status), f->err.file, f->err.line, f->err.column, f->err.message);
    }
    assert_int_equal(access(beside(f, "copy"), F_OK), -1);
  }
  DIR *entries = opendir(f->folder); /* no half-made file is left */
  for (struct dirent *entry; (entry = readdir(entries)) != NULL;) {
    assert_null(strstr(entry->d_name, "part"));
  }
  (void)closedir(entries);
  assert_ok(f, lw_store_import(folder, beside(f, "copy"), &f->err)); /* all is as it was */
}

static void altered_outlines_are_refused(void **state)
{
  fixture *f = *state;
  write_history(f);
  assert_ok(f, lw_store_export(f->store, beside(f, "out"), &f->err));
  char digest[LW_DIGEST_HEX];
  lw_large_digest(fixture_outline, strlen(fixture_outline), digest);
  const char *path = lw_arena_format(f->arena, "%s/out/outlines/%s.geojson", f->folder, digest);
  char *text = read_text(f, path);
  assert_string_equal(text, fixture_outline);
  text[60] = '9';
  write_text(path, text);
  assert_refused(f, lw_store_import(beside(f, "out"), beside(f, "copy"), &f->err), LW_CORRUPT,
                 "was altered: it does not match its name");
  assert_int_equal(f->err.line, 2);
  assert_int_equal(unlink(path), 0);
  assert_refused(f, lw_store_import(beside(f, "out"), beside(f, "copy"), &f->err), LW_CORRUPT, ".geojson");
  assert_int_equal(f->err.line, 2);
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      store_test(the_same_store_comes_back),
      store_test(an_export_of_the_import_is_the_same),
      store_test(an_empty_store_comes_back_too),
      store_test(long_tables_go_on_in_parts),
      store_test(tables_tell_units),
      store_test(folders_are_not_written_over),
      store_test(altered_exports_are_refused_at_their_place),
      store_test(altered_outlines_are_refused),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
