/* SPDX-License-Identifier: Apache-2.0 */
/* The store as a file: made, opened, refused, shared by several handles, copied, brought forward from
 * an older schema. Damage is in test_store_damage.c. */
#include "store_fixture.h"

#include <pthread.h>
#include <sys/wait.h>
#include <time.h>

static const char *beside(fixture *f, const char *name)
{
  return lw_arena_format(f->arena, "%s/%s", f->folder, name);
}

static void write_bytes(const char *path, const void *bytes, size_t length)
{
  FILE *file = fopen(path, "wb");
  assert_non_null(file);
  assert_int_equal(fwrite(bytes, 1, length, file), length);
  assert_int_equal(fclose(file), 0);
}

/* Runs SQL on a database of our own making, outside the store's functions. */
static void run_sql(const char *path, const char *sql)
{
  sqlite3 *db = NULL;
  char *fault = NULL;
  assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
  if (sqlite3_exec(db, sql, NULL, NULL, &fault) != SQLITE_OK) {
    fail_msg("%s: %s", sql, fault);
  }
  assert_int_equal(sqlite3_close(db), SQLITE_OK);
}

static size_t count_files(const char *folder)
{
  size_t count = 0;
  DIR *entries = opendir(folder);
  while (entries && readdir(entries)) {
    count++;
  }
  (void)closedir(entries);
  return count - 2; /* . and .. */
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

/* ---- making and opening ---- */

static void a_new_store_is_set_up(void **state)
{
  fixture *f = *state;
  assert_int_equal(number(f->store, "PRAGMA application_id"), LW_APPLICATION_ID);
  assert_int_equal(number(f->store, "PRAGMA user_version"), LW_SCHEMA_VERSION);
  assert_int_equal(number(f->store, "PRAGMA synchronous"), 2); /* FULL */
  assert_int_equal(number(f->store, "PRAGMA foreign_keys"), 1);
  assert_int_equal(number(f->store, "PRAGMA trusted_schema"), 0);
  assert_int_equal(number(f->store, "PRAGMA busy_timeout"), 5000);
  assert_int_equal(number(f->store, "SELECT count(*) FROM pragma_journal_mode "
                                    "WHERE journal_mode = 'wal'"),
                   1);
  assert_int_equal(number(f->store, "SELECT count(*) FROM pragma_table_list "
                                    "WHERE strict = 0 AND schema = 'main' AND name NOT LIKE "
                                    "'sqlite_%'"),
                   0);
  assert_int_equal(
      lw_sql_run(f->store, "PRAGMA writable_schema = ON; DELETE FROM sqlite_schema", "test", NULL),
      LW_INTERNAL); /* defensive */
  assert_whole(f, f->store);
}

static void nothing_is_written_over(void **state)
{
  fixture *f = *state;
  assert_refused(f, lw_store_create(f->path, &f->err), LW_CONFLICT, "exists already");
  const char *left_over = beside(f, "old.lakeward-wal");
  write_bytes(left_over, "x", 1);
  assert_refused(f, lw_store_create(beside(f, "old.lakeward"), &f->err), LW_CONFLICT,
                 "left over from a store of that name");
  assert_refused(f, lw_store_create("", &f->err), LW_INVALID, "name is empty");
  assert_refused(f, lw_store_create(beside(f, "no/such/farm.lakeward"), &f->err), LW_IO, "no/such");
  assert_int_equal(symlink("nowhere", beside(f, "link")), 0);
  assert_refused(f, lw_store_create(beside(f, "link"), &f->err), LW_CONFLICT, "exists already");
}

static void making_leaves_one_file(void **state)
{
  fixture *f = *state;
  lw_store_close(f->store);
  f->store = NULL;
  assert_int_equal(count_files(f->folder), 1);
  assert_ok(f, lw_store_create(beside(f, "second.lakeward"), &f->err));
  assert_int_equal(count_files(f->folder), 2);
}

static void what_is_no_store_is_refused(void **state)
{
  fixture *f = *state;
  lw_store *store = NULL;
  assert_refused(f, lw_store_open(&store, beside(f, "none"), &f->err), LW_NOT_FOUND, "no store");
  assert_refused(f, lw_store_open(&store, beside(f, "farm.lakeward/in"), &f->err), LW_NOT_FOUND, "no store");
  assert_refused(f, lw_store_open(&store, f->folder, &f->err), LW_INVALID, "is a folder");
  assert_int_equal(mkfifo(beside(f, "pipe"), 0600), 0);
  assert_refused(f, lw_store_open(&store, beside(f, "pipe"), &f->err), LW_INVALID, "a pipe");
  char bytes[9000];
  memset(bytes, 'x', sizeof bytes);
  static const size_t sizes[] = {0, 1, 15, 99, 100, 512, 4096, 9000};
  for (size_t i = 0; i < sizeof sizes / sizeof sizes[0]; i++) {
    write_bytes(beside(f, "garbage"), bytes, sizes[i]);
    assert_refused(f, lw_store_open(&store, beside(f, "garbage"), &f->err), LW_CORRUPT,
                   "not a Lakeward store");
    assert_null(store);
  }
}

static void another_programs_database_is_left_alone(void **state)
{
  fixture *f = *state;
  lw_store *store = NULL;
  const char *path = beside(f, "other.db");
  run_sql(path, "PRAGMA journal_mode = WAL; CREATE TABLE water (id); PRAGMA user_version = 1;");
  struct stat old;
  struct stat now;
  assert_int_equal(stat(path, &old), 0);
  assert_refused(f, lw_store_open(&store, path, &f->err), LW_CORRUPT, "of another program");
  assert_int_equal(stat(path, &now), 0);
  assert_int_equal(old.st_mtim.tv_nsec, now.st_mtim.tv_nsec);
  assert_int_equal(old.st_size, now.st_size);
  assert_int_equal(access(beside(f, "other.db-wal"), F_OK), -1);
}

/* ---- schema versions ---- */

/* A store as schema version 1 wrote it, from SQL kept with the tests. */
static const char *version_1(fixture *f)
{
  const char *root = getenv("LW_SOURCE_ROOT");
  assert_non_null(root);
  const char *path = lw_arena_format(f->arena, "%s/tests/unit/data/store-v1.sql", root);
  FILE *file = fopen(path, "rb");
  assert_non_null(file);
  char *sql = lw_arena_alloc(f->arena, 1 << 20, 1);
  size_t length = fread(sql, 1, (1 << 20) - 1, file);
  assert_true(length > 1000 && length < (1 << 20) - 1);
  (void)fclose(file);
  run_sql(beside(f, "v1.lakeward"), sql);
  return beside(f, "v1.lakeward");
}

static void schema_text(lw_store *store, lw_text *out)
{
  sqlite3_stmt *stmt = NULL;
  assert_int_equal(lw_sql_prepare(store,
                                  "SELECT replace(replace(sql, '\"', ''), 'IF NOT EXISTS ', "
                                  "'') FROM sqlite_schema WHERE sql IS NOT NULL "
                                  "ORDER BY type, name",
                                  &stmt, NULL),
                   LW_OK);
  while (sqlite3_step(stmt) == SQLITE_ROW) {
    lw_text_addf(out, "%s\n", lw_sql_text(stmt, 0));
  }
  (void)sqlite3_finalize(stmt);
}

/* Fails when kinds.c and the steps of schema.c do not lead to the same tables. */
static void a_version_1_store_opens(void **state)
{
  fixture *f = *state;
  lw_store *old = NULL;
  assert_ok(f, lw_store_open(&old, version_1(f), &f->err));
  assert_int_equal(number(old, "PRAGMA user_version"), LW_SCHEMA_VERSION);
  assert_whole(f, old);
  lw_water water;
  assert_ok(f, lw_store_find_water(old, "upper sedge", f->arena, &water, &f->err));
  assert_string_equal(water.note, "second version");
  assert_close(water.mean_depth_m.value, 2.1, 0);
  assert_string_equal(water.outline, fixture_outline);
  lw_history_entry entry;
  assert_ok(f, lw_store_undo(old, &fixture_change, 0, f->arena, &entry, &f->err));
  assert_int_equal(entry.change, 13);
  assert_whole(f, old);
  lw_text got = LW_TEXT(1 << 20);
  lw_text expected = LW_TEXT(1 << 20);
  schema_text(old, &got);
  schema_text(f->store, &expected);
  assert_string_equal(lw_text_view(&got), lw_text_view(&expected));
  lw_text_free(&got);
  lw_text_free(&expected);
  lw_store_close(old);
}

static void steps_bring_an_old_file_forward(void **state)
{
  fixture *f = *state;
  static const lw_schema_step steps[] = {
      {2, "ALTER TABLE water ADD COLUMN shade REAL; CREATE TABLE boat (id INTEGER PRIMARY KEY) STRICT"},
      {3, "UPDATE water SET shade = 0.25; INSERT INTO boat VALUES (7)"}};
  lw_store *old = NULL;
  assert_ok(f, lw_store_open(&old, version_1(f), &f->err));
  assert_ok(f, lw_schema_migrate(old, steps, 2, 4, &f->err));
  assert_int_equal(number(old, "PRAGMA user_version"), 4);
  assert_int_equal(number(old, "SELECT count(*) FROM water WHERE shade = 0.25"), 1);
  assert_int_equal(number(old, "SELECT id FROM boat"), 7);
  assert_ok(f, lw_schema_migrate(old, steps, 2, 4, &f->err)); /* nothing is left to do */
  lw_store_close(old);
  assert_refused(f, lw_store_open(&old, beside(f, "v1.lakeward"), &f->err), LW_INVALID,
                 "newer Lakeward (schema version 4");
}

static void a_step_that_fails_changes_nothing(void **state)
{
  fixture *f = *state;
  static const lw_schema_step steps[] = {{2, "ALTER TABLE water ADD COLUMN shade REAL"},
                                         {3, "UPDATE no_such_table SET x = 1"}};
  lw_store *old = NULL;
  assert_ok(f, lw_store_open(&old, version_1(f), &f->err));
  assert_refused(f, lw_schema_migrate(old, steps, 2, 4, &f->err), LW_INTERNAL, "up to date");
  assert_int_equal(number(old, "PRAGMA user_version"), 2);
  assert_int_equal(number(old, "SELECT count(*) FROM pragma_table_info('water') "
                               "WHERE name = 'shade'"),
                   0);
  assert_refused(f, lw_schema_migrate(old, steps, 1, 4, &f->err), LW_CORRUPT, "schema version 3");
  assert_int_equal(number(old, "PRAGMA user_version"), 2);
  assert_whole(f, old);
  lw_store_close(old);
}

/* ---- several handles ---- */

static void a_reader_never_waits_for_a_writer(void **state)
{
  fixture *f = *state;
  lw_store *other = NULL;
  assert_ok(f, lw_store_open(&other, f->path, &f->err));
  lw_water water = water_named("Upper Sedge");
  lw_water *waters = NULL;
  size_t count = 0;
  lw_id id = 0;
  assert_ok(f, lw_store_begin(f->store, &fixture_change, &f->err));
  assert_ok(f, lw_store_add(f->store, LW_KIND_WATER, &water, &id, &f->err));
  assert_ok(f, lw_store_list(other, LW_KIND_WATER, 0, f->arena, &waters, &count, &f->err));
  assert_int_equal(count, 0); /* not yet */
  assert_ok(f, lw_store_list(f->store, LW_KIND_WATER, 0, f->arena, &waters, &count, &f->err));
  assert_int_equal(count, 1); /* its own work */
  int64_t revision = -1;
  assert_ok(f, lw_store_revision(other, &revision, &f->err));
  assert_int_equal(revision, 0);
  assert_ok(f, lw_store_commit(f->store, &id, &f->err));
  assert_ok(f, lw_store_revision(other, &revision, &f->err));
  assert_int_equal(revision, 1);
  assert_ok(f, lw_store_list(other, LW_KIND_WATER, 0, f->arena, &waters, &count, &f->err));
  assert_int_equal(count, 1);
  lw_store_close(other);
}

static void a_second_writer_is_told_to_wait(void **state)
{
  fixture *f = *state;
  lw_store *other = NULL;
  assert_ok(f, lw_store_open(&other, f->path, &f->err));
  (void)sqlite3_busy_timeout(other->db, 30);
  assert_ok(f, lw_store_begin(f->store, &fixture_change, &f->err));
  assert_refused(f, lw_store_begin(other, &fixture_change, &f->err), LW_BUSY, "another program");
  lw_store_rollback(f->store);
  assert_ok(f, lw_store_begin(other, &fixture_change, &f->err));
  lw_store_close(other);
}

/* Holds the write lock for a while and then commits. */
static void *write_slowly(void *argument)
{
  fixture *f = argument;
  struct timespec pause = {0, 300000000};
  lw_id id = 0;
  lw_water water = water_named("Slow");
  lw_status status = lw_store_add(f->store, LW_KIND_WATER, &water, &id, NULL);
  (void)nanosleep(&pause, NULL);
  if (status == LW_OK) {
    status = lw_store_commit(f->store, &id, NULL);
  }
  return status == LW_OK ? NULL : argument;
}

static void a_writer_waits_for_another(void **state)
{
  fixture *f = *state;
  lw_store *other = NULL;
  pthread_t thread;
  void *failed = NULL;
  assert_ok(f, lw_store_open(&other, f->path, &f->err));
  assert_ok(f, lw_store_begin(f->store, &fixture_change, &f->err));
  assert_int_equal(pthread_create(&thread, NULL, write_slowly, f), 0);
  assert_ok(f, lw_store_begin(other, &fixture_change, &f->err)); /* waits */
  assert_int_equal(pthread_join(thread, &failed), 0);
  assert_null(failed);
  lw_water water = water_named("slow");
  lw_id id = 0;
  assert_refused(f, lw_store_add(other, LW_KIND_WATER, &water, &id, &f->err), LW_CONFLICT, "taken");
  lw_store_close(other);
  assert_whole(f, f->store);
}

/* Whether another process can take the write lock now. */
static lw_status begin_elsewhere(const char *path)
{
  pid_t child = fork();
  if (child == 0) {
    lw_store *store = NULL;
    lw_status status = lw_store_open(&store, path, NULL);
    if (status == LW_OK) {
      (void)sqlite3_busy_timeout(store->db, 30);
      status = lw_store_begin(store, &fixture_change, NULL);
    }
    _exit((int)status);
  }
  int result = 0;
  assert_int_equal(waitpid(child, &result, 0), child);
  return (lw_status)WEXITSTATUS(result);
}

/* POSIX drops all locks of a process on a file when it closes any descriptor of it: opening and
 * closing a second handle must not free what the first holds. */
static void a_second_handle_keeps_the_locks_of_the_first(void **state)
{
  fixture *f = *state;
  lw_store *other = NULL;
  assert_int_equal(begin_elsewhere(f->path), LW_OK);
  assert_ok(f, lw_store_begin(f->store, &fixture_change, &f->err));
  assert_int_equal(begin_elsewhere(f->path), LW_BUSY);
  assert_ok(f, lw_store_open(&other, f->path, &f->err));
  lw_store_close(other);
  assert_int_equal(begin_elsewhere(f->path), LW_BUSY);
  lw_store_rollback(f->store);
}

/* ---- backup ---- */

static void a_backup_is_the_same_store(void **state)
{
  fixture *f = *state;
  fill_every_kind(f);
  lw_store *copy = NULL;
  const char *path = beside(f, "copy.lakeward");
  assert_ok(f, lw_store_backup(f->store, path, &f->err));
  assert_ok(f, lw_store_open(&copy, path, &f->err));
  assert_whole(f, copy);
  int64_t a = 0;
  int64_t b = 0;
  assert_ok(f, lw_store_revision(f->store, &a, &f->err));
  assert_ok(f, lw_store_revision(copy, &b, &f->err));
  assert_int_equal(a, b);
  unsigned char digest[2][LW_DIGEST_BYTES];
  assert_ok(f, lw_digest_stored(f->store, a, digest[0], &f->err));
  assert_ok(f, lw_digest_stored(copy, b, digest[1], &f->err));
  assert_memory_equal(digest[0], digest[1], LW_DIGEST_BYTES);
  lw_water water = water_named("Only in the copy");
  lw_id id = 0;
  assert_ok(f, lw_store_begin(copy, &fixture_change, &f->err));
  assert_ok(f, lw_store_add(copy, LW_KIND_WATER, &water, &id, &f->err));
  assert_ok(f, lw_store_commit(copy, &id, &f->err));
  lw_store_close(copy);
  assert_refused(f, lw_store_backup(f->store, path, &f->err), LW_CONFLICT, "exists already");
  assert_refused(f, lw_store_backup(f->store, beside(f, "no/copy"), &f->err), LW_IO, "no/copy");
  lw_store_close(f->store);
  f->store = NULL;
  assert_int_equal(count_files(f->folder), 2);
}

static void a_backup_goes_on_beside_a_writer(void **state)
{
  fixture *f = *state;
  lw_store *other = NULL;
  lw_store *copy = NULL;
  fill_every_kind(f);
  assert_ok(f, lw_store_open(&other, f->path, &f->err));
  lw_water water = water_named("Not yet");
  lw_id id = 0;
  assert_ok(f, lw_store_begin(other, &fixture_change, &f->err));
  assert_ok(f, lw_store_add(other, LW_KIND_WATER, &water, &id, &f->err));
  assert_ok(f, lw_store_backup(f->store, beside(f, "copy"), &f->err));
  assert_refused(f, lw_store_backup(other, beside(f, "copy2"), &f->err), LW_INTERNAL, "unfinished");
  lw_store_close(other);
  assert_ok(f, lw_store_open(&copy, beside(f, "copy"), &f->err));
  assert_whole(f, copy);
  assert_refused(f, lw_store_find_water(copy, "Not yet", f->arena, &water, &f->err), LW_NOT_FOUND,
                 "no water named");
  lw_store_close(copy);
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      store_test(a_new_store_is_set_up),
      store_test(nothing_is_written_over),
      store_test(making_leaves_one_file),
      store_test(what_is_no_store_is_refused),
      store_test(another_programs_database_is_left_alone),
      store_test(a_version_1_store_opens),
      store_test(steps_bring_an_old_file_forward),
      store_test(a_step_that_fails_changes_nothing),
      store_test(a_reader_never_waits_for_a_writer),
      store_test(a_second_writer_is_told_to_wait),
      store_test(a_writer_waits_for_another),
      store_test(a_second_handle_keeps_the_locks_of_the_first),
      store_test(a_backup_is_the_same_store),
      store_test(a_backup_goes_on_beside_a_writer),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
