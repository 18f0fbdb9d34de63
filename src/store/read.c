/* SPDX-License-Identifier: Apache-2.0 */
/* Current records, singly and in bulk. Lists are read in the order of the table, which is the
 * fastest, and sorted afterwards (sort.c). */
#include "store/internal.h"

#include <string.h>

static const char *const reading = "read the store";

static lw_status check_kind(lw_kind_id kind, lw_error *err)
{
  return lw_kind_known(kind) ? LW_OK : lw_fail(err, LW_INTERNAL, "no kind of record was named");
}

/* The one row of a borrowed statement, with its large text. *found tells whether there was one. */
static lw_status read_one(lw_store *store, sqlite3_stmt *stmt, lw_kind_id kind, lw_arena *arena, void *record,
                          bool *found, lw_error *err)
{
  lw_status status = lw_sql_step(store, stmt, found, reading, err);
  if (status != LW_OK || !*found) {
    return status;
  }
  status = lw_row_read(stmt, kind, arena, record, NULL, err);
  lw_sql_reset(stmt);
  return status == LW_OK ? lw_large_fetch(store, kind, false, arena, record, err) : status;
}

lw_status lw_store_get(lw_store *store, lw_kind_id kind, lw_id id, lw_arena *arena, void *record,
                       lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  bool found = false;
  lw_status status = check_kind(kind, err);
  if (status == LW_OK) {
    status = lw_sql_of_kind(store, kind, LW_SQL_ONE, &stmt, err);
  }
  if (status == LW_OK) {
    (void)sqlite3_bind_int64(stmt, 1, id);
    status = read_one(store, stmt, kind, arena, record, &found, err);
  }
  if (status == LW_OK && !found) {
    status = lw_fail(err, LW_NOT_FOUND, "there is no %s %lld; list the %s to see which there are",
                     lw_kinds[kind].name, (long long)id, lw_kinds[kind].plural);
  }
  return status;
}

lw_status lw_store_latest(lw_store *store, lw_kind_id kind, lw_id id, lw_id *out_change, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  bool row = false;
  *out_change = 0;
  lw_status status = check_kind(kind, err);
  if (status == LW_OK) {
    status = lw_sql_fixed(store, LW_SQL_LATEST, &stmt, err);
  }
  if (status != LW_OK) {
    return status;
  }
  lw_sql_bind_text(stmt, 1, lw_kinds[kind].name);
  (void)sqlite3_bind_int64(stmt, 2, id);
  status = lw_sql_step(store, stmt, &row, reading, err);
  if (row) {
    *out_change = sqlite3_column_int64(stmt, 3);
    lw_sql_reset(stmt);
  }
  return status == LW_OK && !row
             ? lw_fail(err, LW_NOT_FOUND, "there never was a %s %lld", lw_kinds[kind].name, (long long)id)
             : status;
}

lw_status lw_store_revision(lw_store *store, int64_t *out, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  *out = 0;
  lw_status status = lw_sql_fixed(store, LW_SQL_REVISION, &stmt, err);
  return status == LW_OK ? lw_sql_number(store, stmt, out, reading, err) : status;
}

/* ---- lists ---- */

/* Records one after another in the arena; moved to a larger place when they outgrow it. */
typedef struct pile {
  lw_arena *arena;
  char *data;
  size_t count, capacity, size;
} pile;

static lw_status make_room(pile *rows, size_t capacity, lw_error *err)
{
  if (capacity <= rows->capacity) {
    return LW_OK;
  }
  char *data = lw_arena_alloc(rows->arena, capacity, rows->size);
  if (!data) {
    return lw_fail_memory(err);
  }
  if (rows->count) {
    memcpy(data, rows->data, rows->count * rows->size);
  }
  rows->data = data;
  rows->capacity = capacity;
  return LW_OK;
}

static lw_status read_rows(lw_store *store, sqlite3_stmt *stmt, lw_kind_id kind, pile *rows, lw_error *err)
{
  bool row = false;
  lw_status status = lw_sql_step(store, stmt, &row, reading, err);
  while (status == LW_OK && row) {
    if (rows->count == rows->capacity) {
      status = make_room(rows, rows->capacity ? rows->capacity * 2 : 64, err);
    }
    if (status == LW_OK) {
      char *record = rows->data + rows->size * rows->count;
      const char *before = rows->count ? record - rows->size : NULL;
      status = lw_row_read(stmt, kind, rows->arena, record, before, err);
      rows->count++;
    }
    if (status == LW_OK) {
      status = lw_sql_step(store, stmt, &row, reading, err);
    }
  }
  lw_sql_reset(stmt);
  return status;
}

/* The whole kind is counted first, so that it is read into its place at once. */
static lw_status select_rows(lw_store *store, lw_kind_id kind, lw_id water, pile *rows, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  int64_t count = 0;
  if (water > 0 && lw_kind_column(&lw_kinds[kind], "water")) {
    lw_status status = lw_sql_of_kind(store, kind, LW_SQL_OF_WATER, &stmt, err);
    if (status == LW_OK) {
      (void)sqlite3_bind_int64(stmt, 1, water);
      status = read_rows(store, stmt, kind, rows, err);
    }
    return status;
  }
  lw_status status = lw_sql_of_kind(store, kind, LW_SQL_COUNT, &stmt, err);
  if (status == LW_OK) {
    status = lw_sql_number(store, stmt, &count, reading, err);
  }
  if (status == LW_OK) {
    status = make_room(rows, (size_t)count, err);
  }
  if (status == LW_OK) {
    status = lw_sql_of_kind(store, kind, LW_SQL_ALL, &stmt, err);
  }
  return status == LW_OK ? read_rows(store, stmt, kind, rows, err) : status;
}

static lw_status fetch_large(lw_store *store, lw_kind_id kind, const pile *rows, lw_error *err)
{
  lw_status status = LW_OK;
  if (lw_large_column(&lw_kinds[kind])) {
    for (size_t i = 0; i < rows->count && status == LW_OK; i++) {
      status = lw_large_fetch(store, kind, true, rows->arena, rows->data + i * rows->size, err);
    }
  }
  return status;
}

lw_status lw_store_list(lw_store *store, lw_kind_id kind, lw_id water, lw_arena *arena, void *out_array,
                        size_t *out_count, lw_error *err)
{
  bool own = false;
  lw_status status = check_kind(kind, err);
  if (status != LW_OK) {
    return status;
  }
  pile rows = {.arena = arena, .size = lw_kinds[kind].size};
  status = make_room(&rows, 1, err); /* an empty list is an array too */
  if (status == LW_OK) {
    status = lw_read_begin(store, &own, err); /* counting and outlines are further queries */
  }
  if (status == LW_OK) {
    status = select_rows(store, kind, water, &rows, err);
    if (status == LW_OK) {
      status = fetch_large(store, kind, &rows, err);
    }
    lw_read_end(store, own);
  }
  if (status == LW_OK) {
    status = lw_records_sort(kind, rows.data, rows.count, err);
  }
  if (status == LW_OK) {
    memcpy(out_array, &rows.data, sizeof rows.data);
    *out_count = rows.count;
  }
  return status;
}
