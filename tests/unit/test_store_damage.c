/* SPDX-License-Identifier: Apache-2.0 */
/* Damaged and altered stores. Whatever was done to the file: no crash, no silent wrong record. Either
 * it is refused, or the check names a fault, or everything reads as it was. */
#include "store_fixture.h"

typedef struct bytes {
  unsigned char *data;
  size_t length;
} bytes;

static bytes read_bytes(const char *path)
{
  bytes out = {NULL, 0};
  struct stat info;
  FILE *file = fopen(path, "rb");
  assert_non_null(file);
  assert_int_equal(fstat(fileno(file), &info), 0);
  out.length = (size_t)info.st_size;
  out.data = malloc(out.length);
  assert_int_equal(fread(out.data, 1, out.length, file), out.length);
  (void)fclose(file);
  return out;
}

static void write_bytes(const char *path, const unsigned char *data, size_t length)
{
  FILE *file = fopen(path, "wb");
  assert_non_null(file);
  assert_int_equal(fwrite(data, 1, length, file), length);
  assert_int_equal(fclose(file), 0);
}

/* A store with every kind, some history, and enough readings for several pages; closed. */
static bytes make_store(fixture *f)
{
  fill_every_kind(f);
  lw_id id = 0;
  assert_ok(f, lw_store_begin(f->store, &fixture_change, &f->err));
  for (int i = 0; i < 300; i++) {
    lw_reading reading = reading_of(1, "secchi", 0.3 + i * 0.01, day_of(2025, 1, 1) + i);
    assert_ok(f, lw_store_add(f->store, LW_KIND_READING, &reading, &id, &f->err));
  }
  assert_ok(f, lw_store_commit(f->store, &id, &f->err));
  (void)remove_one(f, LW_KIND_NOTE, 1);
  lw_store_close(f->store);
  f->store = NULL;
  return read_bytes(f->path);
}

/* All current records as one text; false when any list is refused. */
static bool tell_all(lw_store *store, lw_text *out)
{
  lw_arena *arena = lw_arena_new(0);
  lw_text body = LW_TEXT(LW_BODY_MAX);
  lw_status status = LW_OK;
  for (int kind = 0; kind < LW_KIND_COUNT && status == LW_OK; kind++) {
    char *records = NULL;
    size_t count = 0;
    status = lw_store_list(store, (lw_kind_id)kind, 0, arena, &records, &count, NULL);
    for (size_t i = 0; status == LW_OK && i < count; i++) {
      const char *record = records + i * lw_kinds[kind].size;
      lw_body_write(&body, (lw_kind_id)kind, record);
      lw_text_addf(out, "%s %lld %s\n", lw_kinds[kind].name, (long long)lw_record_id(record),
                   lw_text_view(&body));
    }
  }
  lw_text_free(&body);
  lw_arena_free(arena);
  return status == LW_OK;
}

typedef enum outcome { REFUSED, FOUND, UNTOUCHED, WRONG } outcome;

static outcome look(fixture *f, const char *path, const char *expected, char *why, size_t size)
{
  lw_store *store = NULL;
  lw_error err = {0};
  lw_check_report report = {0};
  if (lw_store_open(&store, path, &err) != LW_OK) {
    (void)snprintf(why, size, "%s", err.message);
    return err.status == LW_CORRUPT || err.status == LW_INVALID ? REFUSED : WRONG;
  }
  lw_text all = LW_TEXT(1 << 20);
  bool read = tell_all(store, &all);
  lw_status status = lw_store_check(store, f->arena, &report, &err);
  outcome out = WRONG;
  if (status != LW_OK) {
    (void)snprintf(why, size, "check: %s: %.600s", lw_status_id(status), err.message);
  } else if (report.problem_count) {
    out = FOUND;
    (void)snprintf(why, size, "%s", report.problems[0]);
  } else {
    out = read && strcmp(lw_text_view(&all), expected) == 0 ? UNTOUCHED : WRONG;
    (void)snprintf(why, size, "the check found nothing");
  }
  lw_text_free(&all);
  lw_store_close(store);
  return out;
}

static void a_cut_file_is_noticed(void **state)
{
  fixture *f = *state;
  bytes whole = make_store(f);
  const char *path = lw_arena_format(f->arena, "%s/cut", f->folder);
  const size_t sizes[] = {0,
                          1,
                          99,
                          100,
                          101,
                          1024,
                          4095,
                          4096,
                          4097,
                          8192,
                          whole.length / 3,
                          whole.length / 2,
                          whole.length - 4097,
                          whole.length - 4096,
                          whole.length - 4095,
                          whole.length - 1};
  for (size_t i = 0; i < sizeof sizes / sizeof sizes[0]; i++) {
    char why[LW_MESSAGE_MAX] = "";
    write_bytes(path, whole.data, sizes[i]);
    outcome seen = look(f, path, "", why, sizeof why);
    if (seen != REFUSED && seen != FOUND) {
      fail_msg("cut to %zu of %zu bytes: %s", sizes[i], whole.length, why);
    }
  }
  free(whole.data);
}

static void flipped_bits_are_noticed_or_do_not_matter(void **state)
{
  fixture *f = *state;
  bytes whole = make_store(f);
  const char *path = lw_arena_format(f->arena, "%s/flipped", f->folder);
  lw_text expected = LW_TEXT(1 << 20);
  fixture_reopen(f);
  assert_true(tell_all(f->store, &expected));
  size_t seen[4] = {0};
  uint64_t random = 20260415;
  for (int i = 0; i < 400; i++) {
    char why[LW_MESSAGE_MAX] = "";
    random = random * 6364136223846793005u + 1442695040888963407u;
    size_t at = (size_t)(random >> 24) % whole.length;
    unsigned char bit = (unsigned char)(1u << (random >> 61));
    whole.data[at] ^= bit;
    write_bytes(path, whole.data, whole.length);
    outcome out = look(f, path, lw_text_view(&expected), why, sizeof why);
    seen[out]++;
    if (out == WRONG) {
      fail_msg("byte %zu, bit %u: %s", at, bit, why);
    }
    whole.data[at] ^= bit;
  }
  print_message("# of 400 flipped bits: %zu refused, %zu found by the check, %zu in unused space\n",
                seen[REFUSED], seen[FOUND], seen[UNTOUCHED]);
  assert_true(seen[FOUND] > 100);
  lw_text_free(&expected);
  free(whole.data);
}

/* Whole pages of garbage in place of the store's. */
static void overwritten_pages_are_noticed(void **state)
{
  fixture *f = *state;
  enum { PAGE = 4096 };
  bytes whole = make_store(f);
  const char *path = lw_arena_format(f->arena, "%s/overwritten", f->folder);
  unsigned char kept[PAGE];
  for (size_t page = 0; page < whole.length / PAGE; page++) {
    char why[LW_MESSAGE_MAX] = "";
    memcpy(kept, whole.data + page * PAGE, PAGE);
    memset(whole.data + page * PAGE, 0xA5, PAGE);
    write_bytes(path, whole.data, whole.length);
    outcome out = look(f, path, "", why, sizeof why);
    if (out != REFUSED && out != FOUND) {
      fail_msg("page %zu: %s", page, why);
    }
    memcpy(whole.data + page * PAGE, kept, PAGE);
  }
  free(whole.data);
}

/* What somebody with an SQL tool may do, and what the check must say of it. */
static void edits_past_the_store_are_named(void **state)
{
  fixture *f = *state;
  static const struct {
    const char *sql, *said;
  } edits[] = {
      {"UPDATE water SET note = 'edited'", "water 1 is not what its latest version says"},
      {"UPDATE reading SET value = 2 WHERE id = 5", "reading 5 is not what its latest version says"},
      {"UPDATE reading SET day = 'soon' WHERE id = 5", "which is no date"},
      {"UPDATE reading SET value = 9e999 WHERE id = 5", "no finite number in column value"},
      {"DELETE FROM reading WHERE id = 7", "reading 7 is in the history but not among the records"},
      {"INSERT INTO setting VALUES (9, 'a', 'b')", "setting 9 has no history"},
      {"INSERT INTO note VALUES (1, NULL, '2026-04-15', 'Screen fixed.', 'second hand')",
       "note 1 was removed but is still among the records"},
      {"UPDATE change SET who = 'nobody' WHERE id = 3", "change 3 does not match its digest"},
      {"UPDATE change SET at = '2025-01-01T00:00:00.000Z' WHERE id = 3", "change 3 does not match"},
      {"UPDATE change SET digest = zeroblob(32) WHERE id = 4", "change 4 does not match its digest"},
      {"UPDATE change SET digest = x'00' WHERE id = 4", "change 4 does not match its digest"},
      {"UPDATE change SET undoes = 1 WHERE id = 5", "change 5 does not match its digest"},
      {"UPDATE record_version SET body = replace(body, '0.3', '0.4') WHERE change = 14",
       "change 14 does not match its digest"},
      {"UPDATE record_version SET body = 'x' WHERE kind = 'lot'", "change 6 does not match"},
      {"UPDATE record_version SET change = 2 WHERE kind = 'lot'", "change 2 does not match"},
      {"DELETE FROM record_version WHERE kind = 'note' AND version = 2", "change 15 does not match"},
      {"DELETE FROM record_version WHERE kind = 'note' AND version = 1", "the versions of note 1"},
      {"PRAGMA foreign_keys = OFF; DELETE FROM change WHERE id = 6", "change 6 is missing"},
      {"PRAGMA foreign_keys = OFF; DELETE FROM water", "refers to a water that is not there"},
      {"PRAGMA foreign_keys = OFF; DELETE FROM outline", "its outline is missing"},
      {"PRAGMA foreign_keys = OFF; DELETE FROM soundings", "its text of soundings is missing"},
      {"UPDATE soundings SET csv = csv || '1,1,1,,'", "was altered"},
      {"UPDATE outline SET geojson = '{}'", "was altered"},
      {"INSERT INTO record_version VALUES ('boat', 1, 1, 2, 0, '{}')", "'boat' 1 is of no known kind"},
  };
  bytes whole = make_store(f);
  const char *path = lw_arena_format(f->arena, "%s/edited", f->folder);
  for (size_t i = 0; i < sizeof edits / sizeof edits[0]; i++) {
    lw_store *store = NULL;
    lw_check_report report;
    sqlite3 *db = NULL;
    char *fault = NULL;
    write_bytes(path, whole.data, whole.length);
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    if (sqlite3_exec(db, edits[i].sql, NULL, NULL, &fault) != SQLITE_OK) {
      fail_msg("%s: %s", edits[i].sql, fault);
    }
    assert_int_equal(sqlite3_close(db), SQLITE_OK);
    assert_ok(f, lw_store_open(&store, path, &f->err));
    assert_ok(f, lw_store_check(store, f->arena, &report, &f->err));
    bool said = false;
    for (size_t k = 0; k < report.problem_count; k++) {
      said = said || strstr(report.problems[k], edits[i].said);
    }
    if (!said) {
      fail_msg("after %s the check says '%s', not '%s'", edits[i].sql,
               report.problem_count ? report.problems[0] : "nothing", edits[i].said);
    }
    lw_store_close(store);
  }
  free(whole.data);
}

static void a_report_does_not_grow_without_end(void **state)
{
  fixture *f = *state;
  bytes whole = make_store(f);
  free(whole.data);
  fixture_reopen(f);
  assert_ok(f, lw_sql_run(f->store, "UPDATE reading SET value = value + 1", "test", &f->err));
  lw_check_report report;
  assert_ok(f, lw_store_check(f->store, f->arena, &report, &f->err));
  assert_int_equal(report.problem_count, 101);
  assert_string_equal(report.problems[100], "and 202 more");
  assert_int_equal(report.changes, 15);
  assert_int_equal(report.versions, 314);
  assert_int_equal(report.records, 312);
}

/* A list refuses what the check would name, instead of handing out nonsense. */
static void nonsense_is_not_handed_out(void **state)
{
  fixture *f = *state;
  fill_every_kind(f);
  lw_reading *readings = NULL;
  size_t count = 0;
  assert_ok(f, lw_sql_run(f->store, "UPDATE reading SET value = 9e999", "test", &f->err));
  assert_refused(f, lw_store_list(f->store, LW_KIND_READING, 0, f->arena, &readings, &count, &f->err),
                 LW_CORRUPT, "no finite number");
  assert_ok(f, lw_sql_run(f->store, "PRAGMA foreign_keys = OFF; DELETE FROM outline", "test", &f->err));
  lw_water water;
  assert_refused(f, lw_store_get(f->store, LW_KIND_WATER, 1, f->arena, &water, &f->err), LW_CORRUPT,
                 "the outline of water 1 is missing");
  assert_ok(f, lw_sql_run(f->store, "UPDATE change SET undoes = 11 WHERE id = 3", "test", &f->err));
  lw_history_entry *entries = NULL;
  assert_refused(f, lw_store_history(f->store, 0, f->arena, &entries, &count, &f->err), LW_CORRUPT,
                 "change 3 says that it undoes change 11");
}

/* Reaching the arena's maximum is an ordinary fault. */
static void a_small_arena_is_a_fault_not_a_crash(void **state)
{
  fixture *f = *state;
  bytes whole = make_store(f);
  free(whole.data);
  fixture_reopen(f);
  size_t refused = 0;
  for (size_t max = 16; max < 65536; max *= 2) {
    lw_arena *small = lw_arena_new(max);
    lw_reading *readings = NULL;
    lw_history_entry *entries = NULL;
    lw_version *versions = NULL;
    lw_check_report report;
    size_t count = 0;
    lw_error err = {0};
    refused += lw_store_list(f->store, LW_KIND_READING, 0, small, &readings, &count, &err) == LW_MEMORY;
    refused += lw_store_history(f->store, 0, small, &entries, &count, &err) == LW_MEMORY;
    refused += lw_store_versions(f->store, LW_KIND_WATER, 1, small, &versions, &count, &err) == LW_MEMORY;
    refused += lw_store_check(f->store, small, &report, &err) == LW_MEMORY;
    lw_arena_free(small);
  }
  assert_true(refused >= 12);
  assert_whole(f, f->store);
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      store_test(a_cut_file_is_noticed),
      store_test(flipped_bits_are_noticed_or_do_not_matter),
      store_test(overwritten_pages_are_noticed),
      store_test(edits_past_the_store_are_named),
      store_test(a_report_does_not_grow_without_end),
      store_test(nonsense_is_not_handed_out),
      store_test(a_small_arena_is_a_fault_not_a_crash),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
