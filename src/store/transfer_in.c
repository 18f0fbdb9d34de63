/* SPDX-License-Identifier: Apache-2.0 */
/* Import. The store is built anew from the history of the export; the current records follow from
 * their latest versions; the whole is checked as any store is, and the tables of the kinds must say
 * the same. Only then does the file get its name. */
#include "store/table_in.h"

#include <stdlib.h>
#include <sys/stat.h>

static const char *const writing = "write the imported store";

/* ---- current records ---- */

static lw_status put_latest(lw_store *store, lw_kind_id kind, sqlite3_stmt *stmt, lw_arena *scratch,
                            lw_error *err)
{
  lw_any_record kept;
  lw_id id = sqlite3_column_int64(stmt, 0);
  const char *body = NULL;
  lw_status status = lw_sql_read(stmt, 2, &body, err);
  if (status != LW_OK || sqlite3_column_int(stmt, 1) != 0) {
    return status;
  }
  status = lw_body_read(kind, body, scratch, &kept, err);
  if (status == LW_OK) {
    status = lw_names_check(store, kind, id, &kept, err);
  }
  return status == LW_OK ? lw_live_put(store, kind, id, &kept, err) : status;
}

static lw_status put_kind(lw_store *store, lw_kind_id kind, lw_arena *scratch, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  bool row = false;
  lw_status status = lw_sql_fixed(store, LW_SQL_ALL_LATEST, &stmt, err);
  if (status == LW_OK) {
    lw_sql_bind_text(stmt, 1, lw_kinds[kind].name);
    status = lw_sql_step(store, stmt, &row, writing, err);
  }
  while (status == LW_OK && row) {
    status = put_latest(store, kind, stmt, scratch, err);
    if (status == LW_OK) {
      status = lw_sql_step(store, stmt, &row, writing, err);
    }
  }
  lw_sql_reset(stmt);
  return status;
}

static lw_status put_records(lw_store *store, lw_error *err)
{
  lw_status status = LW_OK;
  for (int kind = 0; kind < LW_KIND_COUNT && status == LW_OK; kind++) {
    lw_arena *scratch = lw_arena_new(0);
    status = scratch ? put_kind(store, (lw_kind_id)kind, scratch, err) : lw_fail_memory(err);
    lw_arena_free(scratch);
  }
  return status;
}

/* ---- the whole ---- */

static lw_status check_result(lw_store *store, const char *folder, lw_error *err)
{
  lw_check_report report;
  lw_arena *arena = lw_arena_new(0);
  lw_status status = arena ? lw_store_check(store, arena, &report, err) : lw_fail_memory(err);
  if (status == LW_OK && report.problem_count) {
    status = lw_fail(err, LW_CORRUPT, "the export in '%.200s' does not hold together: %.300s", folder,
                     report.problems[0]);
  }
  lw_arena_free(arena);
  return status;
}

static lw_status fill(lw_store *store, const char *folder, lw_error *err)
{
  size_t changes = 0;
  size_t versions = 0;
  lw_status status = lw_sql_begin(store, LW_SQL_BEGIN, writing, err);
  if (status == LW_OK) {
    status = lw_import_history(store, folder, &changes, &versions, err);
  }
  if (status == LW_OK) {
    status = put_records(store, err);
  }
  if (status == LW_OK) {
    status = lw_sql_run(store, "COMMIT", writing, err);
  }
  if (status == LW_OK) {
    status = check_result(store, folder, err);
  }
  return status == LW_OK ? lw_import_compare(store, folder, changes, versions, err) : status;
}

static lw_status build(const char *temporary, const char *folder, lw_error *err)
{
  lw_store *store = NULL;
  lw_status status = lw_store_attach(&store, temporary, true, err);
  if (status == LW_OK) {
    status = lw_schema_create(store, err);
  }
  if (status == LW_OK) { /* synced once, at its end; references are looked at by the check */
    status = lw_sql_run(store, "PRAGMA synchronous = OFF; PRAGMA foreign_keys = OFF", writing, err);
  }
  if (status == LW_OK) {
    status = fill(store, folder, err);
  }
  if (status == LW_OK) {
    status = lw_sql_run(store, "PRAGMA journal_mode = WAL", writing, err);
  }
  lw_store_close(store);
  return status;
}

lw_status lw_store_import(const char *folder, const char *path, lw_error *err)
{
  char *temporary = NULL;
  struct stat info;
  if (stat(folder, &info) != 0 || !S_ISDIR(info.st_mode)) {
    return lw_fail(err, LW_NOT_FOUND, "there is no folder '%.300s'; name the folder of an export", folder);
  }
  int format = 0;
  lw_status status = lw_import_format(folder, &format, err);
  if (status == LW_OK) {
    status = lw_place_free(path, err);
  }
  if (status == LW_OK) {
    status = lw_place_temporary(path, &temporary, err);
  }
  if (status == LW_OK) {
    status = build(temporary, folder, err);
  }
  if (status == LW_OK) {
    status = lw_place_publish(temporary, path, err);
  }
  if (temporary && status != LW_OK) {
    lw_place_discard(temporary);
  }
  free(temporary);
  return status;
}
