/* SPDX-License-Identifier: Apache-2.0 */
/* The n-th allocation fails, the n-th operation on the disk fails, for every n until the work goes
 * through: each time the fault is told as what it is, what was said to be saved is saved, and nothing
 * is saved in part. */
#include "fault_memory.h"
#include "fault_vfs.h"
#include "store_fixture.h"

/* How far the work came: what was acknowledged. */
typedef struct progress {
  bool saved_first, saved_second, undone, copied, exported, imported;
} progress;

static const char *beside(const fixture *f, const char *name, char out[300])
{
  (void)snprintf(out, 300, "%s/%s", f->folder, name);
  return out;
}

static lw_status save(lw_store *store, const char *name, lw_error *err)
{
  lw_id id = 0;
  lw_id change = 0;
  lw_water water = full_water(name);
  lw_status status = lw_store_begin(store, &fixture_change, err);
  if (status == LW_OK) {
    status = lw_store_add(store, LW_KIND_WATER, &water, &id, err);
  }
  lw_reading reading = reading_of(id, "secchi", 1.5, day_of(2026, 4, 15));
  if (status == LW_OK) {
    status = lw_store_add(store, LW_KIND_READING, &reading, &id, err);
  }
  return status == LW_OK ? lw_store_commit(store, &change, err) : status;
}

static lw_status read_all(lw_store *store, lw_arena *arena, lw_error *err)
{
  lw_water *waters = NULL;
  lw_water water;
  lw_history_entry *entries = NULL;
  lw_version *versions = NULL;
  lw_check_report report;
  size_t count = 0;
  lw_status status = lw_store_list(store, LW_KIND_WATER, 0, arena, &waters, &count, err);
  if (status == LW_OK) {
    status = lw_store_find_water(store, "FIRST", arena, &water, err);
  }
  if (status == LW_OK) {
    status = lw_store_history(store, 0, arena, &entries, &count, err);
  }
  if (status == LW_OK) {
    status = lw_store_versions(store, LW_KIND_WATER, 1, arena, &versions, &count, err);
  }
  if (status == LW_OK) {
    status = lw_store_check(store, arena, &report, err);
    if (status == LW_OK && report.problem_count) {
      fail_msg("the check says '%s' where there was no memory or disk", report.problems[0]);
    }
  }
  return status;
}

/* Everything the store can do, in one go, until something fails. The handle stays open in f->store. */
static lw_status work(fixture *f, lw_arena *arena, progress *done, lw_error *err)
{
  char path[300];
  char folder[300];
  lw_history_entry entry;
  lw_status status = lw_store_open(&f->store, f->path, err);
  lw_store *store = f->store;
  if (status == LW_OK) {
    status = save(store, "First", err);
    done->saved_first = status == LW_OK;
  }
  if (status == LW_OK) {
    status = save(store, "Second", err);
    done->saved_second = status == LW_OK;
  }
  if (status == LW_OK) {
    status = lw_store_undo(store, &fixture_change, 0, arena, &entry, err);
    done->undone = status == LW_OK;
  }
  if (status == LW_OK) {
    status = read_all(store, arena, err);
  }
  if (status == LW_OK) {
    status = lw_store_backup(store, beside(f, "copy", path), err);
    done->copied = status == LW_OK;
  }
  if (status == LW_OK) {
    status = lw_store_export(store, beside(f, "export", folder), err);
    done->exported = status == LW_OK;
  }
  if (status == LW_OK) {
    status = lw_store_import(folder, beside(f, "import", path), err);
    done->imported = status == LW_OK;
  }
  return status;
}

/* When the trouble is over the same handle goes on: it holds no lock and no half of a change. */
static void assert_usable(fixture *f)
{
  if (f->store) {
    lw_water water = water_named("After all");
    lw_id id = 0;
    lw_store_rollback(f->store); /* as every caller does after a fault */
    assert_true(sqlite3_get_autocommit(f->store->db));
    assert_ok(f, lw_store_begin(f->store, &fixture_change, &f->err));
    assert_ok(f, lw_store_add(f->store, LW_KIND_WATER, &water, &id, &f->err));
    lw_store_rollback(f->store);
  }
  lw_store_close(f->store);
  f->store = NULL;
}

static size_t count_kind(fixture *f, lw_kind_id kind)
{
  void *records = NULL;
  size_t count = 0;
  assert_ok(f, lw_store_list(f->store, kind, 0, f->arena, &records, &count, &f->err));
  return count;
}

static void assert_copy(fixture *f, const char *name, bool promised)
{
  char path[300];
  lw_store *copy = NULL;
  bool there = access(beside(f, name, path), F_OK) == 0;
  assert_true(there || !promised);
  if (there) {
    assert_ok(f, lw_store_open(&copy, path, &f->err));
    assert_whole(f, copy);
    lw_store_close(copy);
  }
}

/* Nothing fails any more: the promises are kept, and nothing is there in part. */
static void assert_promises(fixture *f, const progress *done)
{
  int64_t revision = 0;
  assert_ok(f, lw_store_open(&f->store, f->path, &f->err));
  assert_whole(f, f->store);
  assert_ok(f, lw_store_revision(f->store, &revision, &f->err));
  size_t waters = count_kind(f, LW_KIND_WATER);
  assert_int_equal(count_kind(f, LW_KIND_READING), waters);
  assert_true(revision >= done->saved_first + done->saved_second + done->undone);
  assert_int_equal(waters, revision == 3 ? 1 : (size_t)revision);
  lw_store_close(f->store);
  f->store = NULL;
  assert_copy(f, "copy", done->copied);
  assert_copy(f, "import", done->imported);
  char path[300];
  assert_true(access(beside(f, "export", path), F_OK) == 0 || !done->exported);
}

static void begin_round(void **state)
{
  assert_int_equal(fixture_begin(state), 0);
  fixture *f = *state;
  lw_store_close(f->store);
  f->store = NULL;
}

/* Each of the first sixty, then in steps that grow with the number; every one was tried once. */
static long next_n(long n)
{
  return n + 1 + n / 60;
}

static void every_allocation_may_fail(void **state)
{
  void *round = NULL;
  long tried = 0;
  long told = 0;
  long n = 1;
  long asked = 0;
  (void)state;
  for (bool failed = true; failed; n = next_n(n)) {
    progress done = {0};
    lw_error err = {0};
    begin_round(&round);
    fixture *f = round;
    lw_arena *arena = lw_arena_new(0);
    fault_memory_arm(n);
    lw_status status = work(f, arena, &done, &err);
    failed = fault_memory_failed() != 0;
    asked = fault_memory_asked();
    fault_memory_arm(0);
    lw_arena_free(arena);
    assert_usable(f);
    /* a failed allocation may be one that SQLite can do without; else it is told as what it is */
    bool told_as_memory = status == LW_MEMORY || strstr(err.message, "Cannot allocate memory");
    if (status != LW_OK && !told_as_memory) {
      fail_msg("allocation %ld: %s: %s", n, lw_status_id(status), err.message);
    }
    assert_true(status == LW_OK || failed);
    assert_promises(f, &done);
    (void)fixture_end(&round);
    tried += failed;
    told += status != LW_OK;
  }
  print_message("# of %ld allocations %ld failed, %ld of them ended the work\n", asked, tried, told);
  assert_true(tried > 200);
  assert_true(told > tried / 2);
}

/* Every other time the store is closed while the trouble lasts. */
static bool one_disk_round(long n, int code)
{
  void *round = NULL;
  progress done = {0};
  lw_error err = {0};
  begin_round(&round);
  fixture *f = round;
  lw_arena *arena = lw_arena_new(0);
  fault_vfs_arm(n, code);
  lw_status status = work(f, arena, &done, &err);
  if (n % 2) {
    lw_store_close(f->store);
    f->store = NULL;
  }
  bool failed = fault_vfs_failed() != 0;
  fault_vfs_arm(0, 0);
  lw_arena_free(arena);
  if (status != LW_OK && status != LW_IO) {
    fail_msg("operation %ld: %s: %s", n, lw_status_id(status), err.message);
  }
  assert_true(status == LW_OK || failed);
  assert_usable(f);
  assert_promises(f, &done);
  (void)fixture_end(&round);
  return failed;
}

static void the_disk_may_fail(int code, const char *word)
{
  long n = 1;
  while (one_disk_round(n, code) || n % 2 == 0) {
    n++;
  }
  print_message("# %s: the first to the %ldth disk operation failed, and all after it\n", word, n - 1);
  assert_true(n > 100);
}

static void every_disk_operation_may_fail(void **state)
{
  (void)state;
  the_disk_may_fail(SQLITE_IOERR_WRITE, "disk gone");
}

static void the_disk_may_fill_at_any_moment(void **state)
{
  (void)state;
  the_disk_may_fail(SQLITE_FULL, "disk full");
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(every_allocation_may_fail),
      cmocka_unit_test(every_disk_operation_may_fail),
      cmocka_unit_test(the_disk_may_fill_at_any_moment),
  };
  if (fault_memory_install() != 0 || fault_vfs_install() != 0) {
    return 1;
  }
  return cmocka_run_group_tests(tests, NULL, NULL);
}
