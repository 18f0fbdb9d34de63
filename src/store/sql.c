/* SPDX-License-Identifier: Apache-2.0 */
/* Statements and transactions: prepared once a handle, stepped, reset; and the one place where
 * SQLite's result codes become sentences. */
#include "store/internal.h"

static lw_status fail_io(lw_store *store, int code, const char *doing, lw_error *err)
{
  const char *reason = sqlite3_errmsg(store->db);
  switch (code & 0xff) {
  case SQLITE_FULL:
    return lw_fail(err, LW_IO,
                   "could not %s in '%.300s': the disk is full; free some space and try "
                   "again, nothing was changed",
                   doing, store->path);
  case SQLITE_READONLY:
  case SQLITE_PERM:
  case SQLITE_AUTH:
    return lw_fail(err, LW_IO,
                   "could not %s in '%.300s': it may not be written here; check the "
                   "permissions of the file and its folder",
                   doing, store->path);
  default:
    return lw_fail(err, LW_IO, "could not %s in '%.300s': %.120s; check the disk and the folder", doing,
                   store->path, reason);
  }
}

lw_status lw_sql_fail(lw_store *store, int code, const char *doing, lw_error *err)
{
  const char *reason = store->db ? sqlite3_errmsg(store->db) : sqlite3_errstr(code);
  switch (code == SQLITE_IOERR_NOMEM ? SQLITE_NOMEM : code & 0xff) {
  case SQLITE_BUSY:
  case SQLITE_LOCKED:
    return lw_fail(err, LW_BUSY,
                   "could not %s: another program is writing to '%.300s' (waited %d "
                   "s); let it finish and try again",
                   doing, store->path, LW_BUSY_WAIT_MS / 1000);
  case SQLITE_CORRUPT:
  case SQLITE_NOTADB:
    return lw_fail(err, LW_CORRUPT,
                   "could not %s: '%.300s' is damaged (%.120s); keep the file as it "
                   "is and go back to a backup",
                   doing, store->path, reason);
  case SQLITE_NOMEM:
    return lw_fail(err, LW_MEMORY, "could not %s: no memory", doing);
  case SQLITE_TOOBIG:
    return lw_fail(err, LW_LIMIT, "could not %s: a value is too large; shorten it", doing);
  case SQLITE_FULL:
  case SQLITE_READONLY:
  case SQLITE_PERM:
  case SQLITE_AUTH:
  case SQLITE_IOERR:
  case SQLITE_CANTOPEN:
  case SQLITE_PROTOCOL:
    return fail_io(store, code, doing, err);
  default:
    return lw_fail(err, LW_INTERNAL, "could not %s in '%.300s': %.200s (code %d)", doing, store->path, reason,
                   code);
  }
}

lw_status lw_sql_run(lw_store *store, const char *sql, const char *doing, lw_error *err)
{
  int code = sqlite3_exec(store->db, sql, NULL, NULL, NULL);
  return code == SQLITE_OK ? LW_OK : lw_sql_fail(store, code, doing, err);
}

lw_status lw_sql_prepare(lw_store *store, const char *sql, sqlite3_stmt **out, lw_error *err)
{
  int code = sqlite3_prepare_v3(store->db, sql, -1, SQLITE_PREPARE_PERSISTENT, out, NULL);
  if ((code & 0xff) == SQLITE_ERROR) { /* our own SQL is right: so the tables are not */
    return lw_fail(err, LW_CORRUPT,
                   "the tables in '%.300s' are not those of a store (%.120s); keep "
                   "the file as it is and go back to a backup",
                   store->path, sqlite3_errmsg(store->db));
  }
  return code == SQLITE_OK ? LW_OK : lw_sql_fail(store, code, "read the store's tables", err);
}

lw_status lw_sql_fixed(lw_store *store, lw_fixed_sql which, sqlite3_stmt **out, lw_error *err)
{
  lw_status status = LW_OK;
  if (!store->fixed[which]) {
    status = lw_sql_prepare(store, lw_sql_fixed_text(which), &store->fixed[which], err);
  }
  *out = store->fixed[which];
  return status;
}

lw_status lw_sql_of_kind(lw_store *store, lw_kind_id kind, lw_kind_sql which, sqlite3_stmt **out,
                         lw_error *err)
{
  sqlite3_stmt **kept = &store->of_kind[kind][which];
  lw_status status = LW_OK;
  if (!*kept) {
    lw_text sql = LW_TEXT(16384);
    lw_sql_write(&sql, &lw_kinds[kind], which);
    status = sql.failed ? lw_fail(err, LW_MEMORY, "no memory for a query of the store")
                        : lw_sql_prepare(store, lw_text_view(&sql), kept, err);
    lw_text_free(&sql);
  }
  *out = *kept;
  return status;
}

void lw_sql_reset(sqlite3_stmt *stmt)
{
  if (stmt) {
    (void)sqlite3_reset(stmt);
    (void)sqlite3_clear_bindings(stmt);
  }
}

lw_status lw_sql_step(lw_store *store, sqlite3_stmt *stmt, bool *row, const char *doing, lw_error *err)
{
  int code = sqlite3_step(stmt);
  *row = code == SQLITE_ROW;
  lw_status status = LW_OK;
  if (code != SQLITE_ROW && code != SQLITE_DONE) {
    status = lw_sql_fail(store, code, doing, err);
  }
  if (code != SQLITE_ROW) {
    lw_sql_reset(stmt);
  }
  return status;
}

lw_status lw_sql_done(lw_store *store, sqlite3_stmt *stmt, const char *doing, lw_error *err)
{
  bool row = false;
  lw_status status = lw_sql_step(store, stmt, &row, doing, err);
  if (row) {
    lw_sql_reset(stmt);
  }
  return status;
}

lw_status lw_sql_number(lw_store *store, sqlite3_stmt *stmt, int64_t *out, const char *doing, lw_error *err)
{
  bool row = false;
  *out = 0;
  lw_status status = lw_sql_step(store, stmt, &row, doing, err);
  if (row) {
    *out = sqlite3_column_int64(stmt, 0);
    lw_sql_reset(stmt);
  }
  return status;
}

void lw_sql_bind_text(sqlite3_stmt *stmt, int index, const char *text)
{
  (void)sqlite3_bind_text(stmt, index, text, -1, SQLITE_STATIC);
}

const char *lw_sql_text(sqlite3_stmt *stmt, int column)
{
  return (const char *)sqlite3_column_text(stmt, column);
}

lw_status lw_sql_read(sqlite3_stmt *stmt, int column, const char **out, lw_error *err)
{
  bool missing = sqlite3_column_type(stmt, column) == SQLITE_NULL;
  *out = lw_sql_text(stmt, column);
  if (missing) {
    return lw_fail(err, LW_CORRUPT,
                   "the store holds nothing in column %s, where a text must be; go "
                   "back to a backup",
                   sqlite3_column_name(stmt, column));
  }
  return *out ? LW_OK : lw_fail_memory(err);
}

lw_status lw_sql_copy(sqlite3_stmt *stmt, int column, lw_arena *arena, const char **out, lw_error *err)
{
  const char *text = NULL;
  lw_status status = lw_sql_read(stmt, column, &text, err);
  *out = status == LW_OK ? lw_arena_copy(arena, text) : NULL;
  return status == LW_OK && !*out ? lw_fail_memory(err) : status;
}

lw_status lw_fail_memory(lw_error *err)
{
  return lw_fail(err, LW_MEMORY, "there is not enough memory for the store's records");
}

/* ---- transactions ---- */

/* The way out is made ready before the way in: an open transaction that cannot be ended because
 * memory is short would keep its locks. */
lw_status lw_sql_begin(lw_store *store, lw_fixed_sql how, const char *doing, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  lw_status status = lw_sql_fixed(store, LW_SQL_ROLLBACK, &stmt, err);
  if (status == LW_OK) {
    status = lw_sql_fixed(store, how, &stmt, err);
  }
  return status == LW_OK ? lw_sql_done(store, stmt, doing, err) : status;
}

void lw_sql_rollback(lw_store *store)
{
  sqlite3_stmt *stmt = store->fixed[LW_SQL_ROLLBACK];
  if (stmt && !sqlite3_get_autocommit(store->db)) {
    (void)sqlite3_step(stmt);
    lw_sql_reset(stmt);
  }
}

lw_status lw_read_begin(lw_store *store, bool *own, lw_error *err)
{
  *own = sqlite3_get_autocommit(store->db) != 0;
  return *own ? lw_sql_begin(store, LW_SQL_BEGIN_READ, "read the store", err) : LW_OK;
}

void lw_read_end(lw_store *store, bool own)
{
  if (own) {
    lw_sql_rollback(store);
  }
}
