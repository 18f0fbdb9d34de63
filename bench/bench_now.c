/* SPDX-License-Identifier: Apache-2.0 */
/* Today's advice for many waters: the whole command, and the same work inside this process in its parts,
 * against a bare loop of SQLite's C interface over the same rows and columns in the same run.
 *   bench_now LAKEWARD [WATERS [YEARS [TURNS]]]    (300 waters, 5 years, 9 turns)
 * The figures are for reading, no threshold is judged. */
#include "clock.h"
#include "place.h"

#include "store/store.h"
#include "work/book.h"
#include "work/now.h"

#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { TURNS_MAX = 1000, DAY = 20740 /* 2026-10-14 */ };

typedef enum part { BARE, READ, ADVISE, WORK, COMMAND, COMMAND_JSON, COMMAND_ONE, PARTS } part;

typedef struct figures {
  double ms[PARTS][TURNS_MAX];
  double peak_mib;
  size_t rows;
} figures;

/* What advice reads, in the order it reads it. */
static const lw_kind_id kinds[] = {LW_KIND_SETTING,   LW_KIND_WATER,    LW_KIND_READING, LW_KIND_OVERRIDE,
                                   LW_KIND_TREATMENT, LW_KIND_MATERIAL, LW_KIND_LOT,     LW_KIND_WEATHER};

static lw_status report(lw_status status, const lw_error *err)
{
  if (status != LW_OK) {
    (void)fprintf(stderr, "bench_now: %s: %s\n", lw_status_id(status), err->message);
  }
  return status;
}

/* ---- the yardstick ---- */

static volatile double kept; /* so that no column is optimised away */

static void take_columns(sqlite3_stmt *stmt)
{
  double sum = 0;
  int columns = sqlite3_column_count(stmt);
  for (int i = 0; i < columns; i++) {
    switch (sqlite3_column_type(stmt, i)) {
    case SQLITE_INTEGER:
      sum += (double)sqlite3_column_int64(stmt, i);
      break;
    case SQLITE_FLOAT:
      sum += sqlite3_column_double(stmt, i);
      break;
    case SQLITE_TEXT:
      sum += sqlite3_column_text(stmt, i)[0];
      break;
    default:
      break;
    }
  }
  kept = sum;
}

static bool select_kind(sqlite3 *db, const lw_kind *kind, size_t *rows)
{
  sqlite3_stmt *stmt = NULL;
  lw_text sql = LW_TEXT(4096);
  lw_text_add(&sql, "SELECT \"id\"");
  for (size_t i = 0; i < kind->column_count; i++) {
    lw_text_addf(&sql, ", \"%s\"", kind->columns[i].name);
  }
  lw_text_addf(&sql, " FROM \"%s\"", kind->name);
  int code = sqlite3_prepare_v2(db, lw_text_view(&sql), -1, &stmt, NULL);
  lw_text_free(&sql);
  while (code == SQLITE_OK || code == SQLITE_ROW) {
    code = sqlite3_step(stmt);
    if (code == SQLITE_ROW) {
      take_columns(stmt);
      (*rows)++;
    }
  }
  (void)sqlite3_finalize(stmt);
  return code == SQLITE_DONE;
}

static bool read_bare(const char *path, size_t *rows)
{
  sqlite3 *db = NULL;
  *rows = 0;
  bool good = sqlite3_open_v2(path, &db, SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX, NULL) == SQLITE_OK;
  for (size_t i = 0; i < sizeof kinds / sizeof kinds[0] && good; i++) {
    good = select_kind(db, &lw_kinds[kinds[i]], rows);
  }
  (void)sqlite3_close(db);
  return good;
}

/* ---- Lakeward ---- */

static lw_status advise_all(const lw_book *book, const lw_desk *desk, lw_error *err)
{
  lw_status status = LW_OK;
  lw_water_advice *advice = LW_NEW(desk->arena, lw_water_advice, book->water_count);
  status = advice ? LW_OK : lw_fail(err, LW_MEMORY, "no memory for the advice");
  for (size_t i = 0; i < book->water_count && status == LW_OK; i++) {
    lw_case facts;
    status = lw_book_case(&facts, book, i, DAY, desk, err);
    status = status == LW_OK ? lw_advise(&advice[i], &facts, desk->arena, err) : status;
  }
  return status;
}

/* In this process: opening and reading the book, then advice on it; and all of it as the command has it. */
static lw_status measure_work(const char *path, figures *f, size_t turn, lw_error *err)
{
  lw_book book;
  lw_now now;
  lw_desk desk = {.arena = lw_arena_new(0), .today = DAY, .who = "", .why = ""};
  double start = clock_ms();
  lw_status status = lw_store_open(&desk.store, path, err);
  status = status == LW_OK ? lw_book_read(&book, &desk, 0, err) : status;
  f->ms[READ][turn] = clock_ms() - start;
  start = clock_ms();
  status = status == LW_OK ? advise_all(&book, &desk, err) : status;
  f->ms[ADVISE][turn] = clock_ms() - start;
  lw_store_close(desk.store);
  lw_arena_free(desk.arena);
  desk = (lw_desk){.arena = lw_arena_new(0), .today = DAY, .who = "", .why = ""};
  start = clock_ms();
  status = status == LW_OK ? lw_store_open(&desk.store, path, err) : status;
  status = status == LW_OK ? lw_work_now(&now, &desk, DAY, NULL, err) : status;
  lw_store_close(desk.store);
  lw_arena_free(desk.arena);
  f->ms[WORK][turn] = clock_ms() - start;
  return status;
}

static bool measure_command(char *lakeward, char *path, figures *f, size_t turn)
{
  char option[] = "--store";
  char now[] = "now";
  char json[] = "--json";
  char water[] = "--water";
  char name[] = "Water 007";
  char *all[] = {lakeward, option, path, now, NULL};
  char *as_json[] = {lakeward, option, path, now, json, NULL};
  char *one[] = {lakeward, option, path, now, water, name, NULL};
  f->ms[COMMAND][turn] = run_ms(all, &f->peak_mib);
  f->ms[COMMAND_JSON][turn] = run_ms(as_json, NULL);
  f->ms[COMMAND_ONE][turn] = run_ms(one, NULL);
  return f->ms[COMMAND][turn] > 0 && f->ms[COMMAND_JSON][turn] > 0 && f->ms[COMMAND_ONE][turn] > 0;
}

static bool measure(char *lakeward, char *path, size_t turns, figures *f)
{
  lw_error err = {.status = LW_OK};
  for (size_t i = 0; i < turns; i++) {
    double start = clock_ms();
    if (!read_bare(path, &f->rows)) {
      (void)fprintf(stderr, "bench_now: the bare loop could not read the store\n");
      return false;
    }
    f->ms[BARE][i] = clock_ms() - start;
    if (report(measure_work(path, f, i, &err), &err) != LW_OK || !measure_command(lakeward, path, f, i)) {
      return false;
    }
  }
  return true;
}

static void print_figures(figures *f, size_t turns)
{
  static const char *const names[PARTS] = {[BARE] = "bare SQLite loop over the same columns",
                                           [READ] = "  open and read the book",
                                           [ADVISE] = "  advise, all waters",
                                           [WORK] = "open, read, advise, close, in process",
                                           [COMMAND] = "lakeward now",
                                           [COMMAND_JSON] = "lakeward now --json",
                                           [COMMAND_ONE] = "lakeward now --water, one"};
  double bare = median_of(f->ms[BARE], turns);
  (void)printf("%-44s %9s %9s\n", "", "median ms", "x bare");
  for (int i = 0; i < PARTS; i++) {
    double median = median_of(f->ms[i], turns);
    (void)printf("%-44s %9.1f %9.2f\n", names[i], median, median / bare);
  }
  (void)printf("%zu rows; the command's memory at its height: %.0f MiB\n", f->rows, f->peak_mib);
}

static bool bench(char *lakeward, char *path, size_t waters, int years, size_t turns)
{
  static figures f;
  size_t records = 0;
  lw_error err = {.status = LW_OK};
  double start = clock_ms();
  if (report(place_make(path, waters, years, &records, &err), &err) != LW_OK) {
    return false;
  }
  double took = clock_ms() - start;
  (void)printf("advice on %zu waters with %d years of records, %zu turns\n", waters, years, turns);
  (void)printf("(the store was written in %.1f s: %.0f records a second, a change a water)\n", took / 1000,
               (double)records / took * 1000);
  (void)setenv("LAKEWARD_TODAY", "2026-10-14", 1);
  if (!measure(lakeward, path, turns, &f)) {
    return false;
  }
  print_figures(&f, turns);
  return true;
}

int main(int count, char **arguments)
{
  long waters = count > 2 ? strtol(arguments[2], NULL, 10) : 300;
  long years = count > 3 ? strtol(arguments[3], NULL, 10) : 5;
  long turns = count > 4 ? strtol(arguments[4], NULL, 10) : 9;
  char folder[] = "/tmp/lakeward-bench-XXXXXX";
  char path[64];
  if (count < 2 || waters < 7 || waters > 900 || years < 1 || years > 100 || turns < 1 || turns > TURNS_MAX) {
    (void)fprintf(stderr, "usage: bench_now LAKEWARD [WATERS (7-900) [YEARS (1-100) [TURNS (1-1000)]]]\n");
    return 2;
  }
  if (!mkdtemp(folder)) {
    perror("bench_now: no folder for the store");
    return 1;
  }
  (void)snprintf(path, sizeof path, "%s/place.lake", folder);
  bool good = bench(arguments[1], path, (size_t)waters, (int)years, (size_t)turns);
  static const char *const endings[] = {"", "-wal", "-shm"};
  for (size_t i = 0; i < 3; i++) {
    char file[80];
    (void)snprintf(file, sizeof file, "%s%s", path, endings[i]);
    (void)unlink(file);
  }
  (void)rmdir(folder);
  return good ? 0 : 1;
}
