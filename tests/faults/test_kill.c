/* SPDX-License-Identifier: Apache-2.0 */
/* The store and SIGKILL. A writer process (this program again) makes changes and tells each one that
 * was committed; it is killed at drawn moments, many times over the same store. After every kill the
 * store opens, the check is clean, every change that was told is there, and no change is there in
 * part. The same for copies: a file that has its final name is whole. */
#include "store_fixture.h"

#include "base/random.h"

#include <signal.h>
#include <sys/wait.h>
#include <time.h>

enum { WRITES = 200, MOST_ROUNDS = 60, LEAST_ROUNDS = 12, SECONDS = 9 };

static const lw_random dice = {.seed = 20260415, .stream = 1};

static double seconds_now(void)
{
  struct timespec now;
  (void)clock_gettime(CLOCK_MONOTONIC, &now);
  return (double)now.tv_sec + (double)now.tv_nsec / 1e9;
}

/* ---- the writer ---- */

/* Change number `n`: a note, a reading and the water's own note, all three or none. */
static lw_status write_change(lw_store *store, lw_arena *arena, long n, lw_id *out_note, lw_id *out_change)
{
  char text[40];
  lw_water water;
  lw_id reading_id = 0;
  (void)snprintf(text, sizeof text, "write %ld", n);
  lw_note note = {.water = 1, .day = day_of(2026, 4, 15), .text = text, .by = "first hand"};
  lw_reading reading = reading_of(1, "secchi", 0.1 + (double)(n % 1000) / 100, day_of(2026, 4, 15));
  lw_status status = lw_store_begin(store, &fixture_change, NULL);
  if (status == LW_OK) {
    status = lw_store_get(store, LW_KIND_WATER, 1, arena, &water, NULL);
  }
  if (status == LW_OK) {
    water.note = text;
    status = lw_store_update(store, LW_KIND_WATER, 1, &water, NULL);
  }
  if (status == LW_OK) {
    status = lw_store_add(store, LW_KIND_NOTE, &note, out_note, NULL);
  }
  if (status == LW_OK) {
    status = lw_store_add(store, LW_KIND_READING, &reading, &reading_id, NULL);
  }
  return status == LW_OK ? lw_store_commit(store, out_change, NULL) : status;
}

static int run_writer(const char *path, long first)
{
  lw_store *store = NULL;
  lw_arena *arena = lw_arena_new(0);
  if (!arena || lw_store_open(&store, path, NULL) != LW_OK) {
    return 3;
  }
  for (long n = first; n < first + WRITES; n++) {
    char line[80];
    lw_id note = 0;
    lw_id change = 0;
    if (write_change(store, arena, n, &note, &change) != LW_OK) {
      return 4;
    }
    int length = snprintf(line, sizeof line, "%ld %lld %lld\n", n, (long long)note, (long long)change);
    if (write(STDOUT_FILENO, line, (size_t)length) != length) {
      return 5;
    }
  }
  lw_store_close(store);
  lw_arena_free(arena);
  return 0;
}

/* Copies the store under new names until it is killed: backup, export and import in turn. */
static int run_copier(const char *path, long first)
{
  lw_store *store = NULL;
  if (lw_store_open(&store, path, NULL) != LW_OK) {
    return 3;
  }
  for (long n = first; n < first + WRITES; n++) {
    char copy[300];
    char folder[300];
    char import[300];
    (void)snprintf(copy, sizeof copy, "%s.backup-%ld", path, n);
    (void)snprintf(folder, sizeof folder, "%s.export-%ld", path, n);
    (void)snprintf(import, sizeof import, "%s.import-%ld", path, n);
    if (lw_store_backup(store, copy, NULL) != LW_OK || lw_store_export(store, folder, NULL) != LW_OK ||
        lw_store_import(folder, import, NULL) != LW_OK) {
      return 4;
    }
  }
  return 0;
}

/* ---- the one who kills ---- */

typedef struct told {
  long n;
  lw_id note, change;
} told;

typedef struct ledger {
  told *entries;
  size_t count, capacity;
} ledger;

static void remember(ledger *all, const char *line)
{
  long long note = 0;
  long long change = 0;
  told entry = {0, 0, 0};
  if (all->count == all->capacity) {
    all->capacity = all->capacity ? all->capacity * 2 : 256;
    all->entries = realloc(all->entries, all->capacity * sizeof *all->entries);
    assert_non_null(all->entries);
  }
  assert_int_equal(sscanf(line, "%ld %lld %lld", &entry.n, &note, &change), 3);
  entry.note = note;
  entry.change = change;
  all->entries[all->count++] = entry;
}

static pid_t start(const char *mode, const char *path, long first, FILE **out)
{
  int ends[2];
  char number[32];
  (void)snprintf(number, sizeof number, "%ld", first);
  assert_int_equal(pipe(ends), 0);
  pid_t child = fork();
  if (child == 0) {
    (void)dup2(ends[1], STDOUT_FILENO);
    (void)close(ends[0]);
    (void)close(ends[1]);
    (void)execl("/proc/self/exe", "test_kill", mode, path, number, (char *)NULL);
    _exit(9);
  }
  (void)close(ends[1]);
  *out = fdopen(ends[0], "r");
  assert_non_null(*out);
  return child;
}

static void pause_for(double seconds)
{
  struct timespec pause = {(time_t)seconds, (long)((seconds - (double)(time_t)seconds) * 1e9)};
  (void)nanosleep(&pause, NULL);
}

/* Whole lines only: a line cut by the kill was still told, for write() of so few bytes to a pipe is
 * one piece. */
static bool killed(pid_t child)
{
  int result = 0;
  assert_int_equal(kill(child, SIGKILL), 0);
  assert_int_equal(waitpid(child, &result, 0), child);
  if (WIFEXITED(result) && WEXITSTATUS(result) != 0) {
    fail_msg("the writer ended by itself with %d", WEXITSTATUS(result));
  }
  return WIFSIGNALED(result);
}

/* Kills after `after` told changes and a moment more; gives how many were told. */
static size_t kill_writer(fixture *f, ledger *all, long first, long after, double moment, bool *by_signal)
{
  FILE *lines = NULL;
  char line[100];
  size_t count = all->count;
  pid_t child = start("--writer", f->path, first, &lines);
  for (long i = 0; i < after && fgets(line, sizeof line, lines); i++) {
    remember(all, line);
  }
  pause_for(moment);
  *by_signal = killed(child);
  while (fgets(line, sizeof line, lines)) {
    remember(all, line);
  }
  (void)fclose(lines);
  return all->count - count;
}

/* Everything told is there; nothing is there in part. Gives the next number to write. */
static long assert_told(fixture *f, const ledger *all)
{
  lw_arena *arena = lw_arena_new(0);
  lw_note *notes = NULL;
  lw_reading *readings = NULL;
  lw_water water;
  size_t note_count = 0;
  size_t reading_count = 0;
  int64_t revision = 0;
  assert_ok(f, lw_store_open(&f->store, f->path, &f->err));
  assert_whole(f, f->store);
  assert_ok(f, lw_store_list(f->store, LW_KIND_NOTE, 0, arena, &notes, &note_count, &f->err));
  assert_ok(f, lw_store_list(f->store, LW_KIND_READING, 0, arena, &readings, &reading_count, &f->err));
  assert_ok(f, lw_store_revision(f->store, &revision, &f->err));
  assert_int_equal(note_count, reading_count);
  assert_int_equal(revision, (int64_t)note_count + 1); /* the water's own change came first */
  assert_true(note_count >= all->count);
  for (size_t i = 0; i < all->count; i++) {
    char expected[40];
    const told *entry = &all->entries[i];
    (void)snprintf(expected, sizeof expected, "write %ld", entry->n);
    assert_true(entry->note >= 1 && (size_t)entry->note <= note_count);
    assert_int_equal(notes[entry->note - 1].id, entry->note);
    assert_string_equal(notes[entry->note - 1].text, expected);
    assert_true(entry->change <= revision);
  }
  assert_ok(f, lw_store_get(f->store, LW_KIND_WATER, 1, arena, &water, &f->err));
  assert_string_equal(water.note, note_count ? notes[note_count - 1].text : "");
  lw_store_close(f->store);
  f->store = NULL;
  lw_arena_free(arena);
  return (long)note_count;
}

static void every_told_change_survives_a_kill(void **state)
{
  fixture *f = *state;
  ledger all = {NULL, 0, 0};
  lw_water water = water_named("Upper Sedge");
  (void)add_one(f, LW_KIND_WATER, &water);
  lw_store_close(f->store);
  f->store = NULL;
  double begin = seconds_now();
  long next = 0;
  int round = 0;
  int signals = 0;
  size_t untold = 0;
  for (; round < MOST_ROUNDS && (round < LEAST_ROUNDS || seconds_now() - begin < SECONDS); round++) {
    bool by_signal = false;
    /* most kills early, so that opening and recovery are hit too; some late in the run */
    double drawn = lw_random_uniform(&dice, (uint64_t)round * 2);
    long after = (long)(drawn * drawn * WRITES);
    double moment = lw_random_uniform(&dice, (uint64_t)round * 2 + 1) * (round % 4 ? 0.004 : 0.02);
    size_t before = all.count;
    (void)kill_writer(f, &all, next, after, moment, &by_signal);
    signals += by_signal;
    long now = assert_told(f, &all);
    untold += (size_t)(now - next) - (all.count - before);
    next = now;
  }
  print_message("# %d rounds, %d killed at work, %zu changes told and all found, %zu more committed "
                "before they could be told\n",
                round, signals, all.count, untold);
  assert_true(signals >= LEAST_ROUNDS / 2);
  assert_true(all.count > 50);
  free(all.entries);
}

static void a_copy_has_its_name_only_when_whole(void **state)
{
  fixture *f = *state;
  enum { ROUNDS = 10 };
  size_t whole = 0;
  fill_every_kind(f);
  lw_store_close(f->store);
  f->store = NULL;
  for (int round = 0; round < ROUNDS; round++) {
    FILE *lines = NULL;
    pid_t child = start("--copier", f->path, round * WRITES, &lines);
    pause_for(0.02 + 0.12 * lw_random_uniform(&dice, 1000 + (uint64_t)round));
    assert_true(killed(child));
    (void)fclose(lines);
  }
  DIR *entries = opendir(f->folder);
  assert_non_null(entries);
  for (struct dirent *entry; (entry = readdir(entries)) != NULL;) {
    char path[600];
    const char *name = strrchr(entry->d_name, '.');
    bool store = name && (strncmp(name, ".backup-", 8) == 0 || strncmp(name, ".import-", 8) == 0) &&
                 !strstr(name, "-wal") && !strstr(name, "-shm");
    bool folder = name && strncmp(name, ".export-", 8) == 0;
    (void)snprintf(path, sizeof path, "%s/%s", f->folder, entry->d_name);
    if (store) {
      assert_ok(f, lw_store_open(&f->store, path, &f->err));
      assert_whole(f, f->store);
      lw_store_close(f->store);
      f->store = NULL;
    } else if (folder) {
      char copy[620];
      (void)snprintf(copy, sizeof copy, "%s.again", path);
      assert_ok(f, lw_store_import(path, copy, &f->err));
    }
    whole += store || folder;
  }
  (void)closedir(entries);
  print_message("# %zu copies had their name after %d kills, all whole\n", whole, ROUNDS);
  assert_true(whole > 0);
}

int main(int argc, char **argv)
{
  if (argc == 4 && strcmp(argv[1], "--writer") == 0) {
    return run_writer(argv[2], strtol(argv[3], NULL, 10));
  }
  if (argc == 4 && strcmp(argv[1], "--copier") == 0) {
    return run_copier(argv[2], strtol(argv[3], NULL, 10));
  }
  (void)setenv("TMPDIR", "/tmp", 0); /* a disk, where there is a choice */
  const struct CMUnitTest tests[] = {
      store_test(every_told_change_survives_a_kill),
      store_test(a_copy_has_its_name_only_when_whole),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
