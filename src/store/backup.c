/* SPDX-License-Identifier: Apache-2.0 */
/* A copy of the whole file while others go on reading and writing: SQLite's backup interface takes
 * one moment of it. The copy is looked through before it gets its name. */
#include "store/internal.h"

#include <stdlib.h>

static lw_status copy_pages(lw_store *store, lw_store *copy, lw_error *err)
{
  enum { PAUSE_MS = 20, TRIES = LW_BUSY_WAIT_MS / PAUSE_MS };
  sqlite3_backup *backup = sqlite3_backup_init(copy->db, "main", store->db, "main");
  if (!backup) {
    return lw_sql_fail(copy, sqlite3_extended_errcode(copy->db), "begin the backup", err);
  }
  int code = sqlite3_backup_step(backup, -1);
  for (int i = 0; i < TRIES && ((code & 0xff) == SQLITE_BUSY || (code & 0xff) == SQLITE_LOCKED); i++) {
    (void)sqlite3_sleep(PAUSE_MS);
    code = sqlite3_backup_step(backup, -1);
  }
  (void)sqlite3_backup_finish(backup);
  return code == SQLITE_DONE ? LW_OK : lw_sql_fail(copy, code, "copy the store", err);
}

static lw_status look_through(lw_store *copy, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  bool row = false;
  lw_status status = lw_sql_prepare(copy, "PRAGMA quick_check(1)", &stmt, err);
  if (status == LW_OK) {
    status = lw_sql_step(copy, stmt, &row, "look through the copy", err);
  }
  if (status == LW_OK && row) {
    const char *finding = NULL;
    status = lw_integrity_read(copy, stmt, &finding, err);
    if (status == LW_OK && finding) {
      status = lw_fail(err, LW_CORRUPT,
                       "the copy of the store is damaged (%.200s), and so may be the "
                       "store: run the check on it; no backup was written",
                       finding);
    }
  }
  (void)sqlite3_finalize(stmt);
  return status;
}

static lw_status build(lw_store *store, const char *temporary, lw_error *err)
{
  lw_store *copy = NULL;
  lw_status status = lw_store_attach(&copy, temporary, true, err);
  if (status == LW_OK) {
    status = copy_pages(store, copy, err);
  }
  if (status == LW_OK) {
    status = look_through(copy, err);
  }
  lw_store_close(copy);
  return status;
}

lw_status lw_store_backup(lw_store *store, const char *path, lw_error *err)
{
  char *temporary = NULL;
  if (store->change) {
    return lw_fail(err, LW_INTERNAL, "a backup was asked for inside an unfinished change");
  }
  lw_status status = lw_place_free(path, err);
  if (status == LW_OK) {
    status = lw_place_temporary(path, &temporary, err);
  }
  if (status == LW_OK) {
    status = build(store, temporary, err);
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
