/* SPDX-License-Identifier: Apache-2.0 */
/* Changes: begin takes the write lock, commit seals what was written with its digest and returns
 * when it is on disk, rollback leaves no trace. */
#include "store/internal.h"

static const char *const writing = "write to the store";

static lw_status add_change(lw_store *store, const lw_change *change, lw_id undoes, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  char at[LW_INSTANT_TEXT];
  lw_id id = 0;
  lw_status status = lw_sql_fixed(store, LW_SQL_NEXT_CHANGE, &stmt, err);
  if (status == LW_OK) {
    status = lw_sql_number(store, stmt, &id, writing, err);
  }
  if (status == LW_OK) {
    status = lw_sql_fixed(store, LW_SQL_ADD_CHANGE, &stmt, err);
  }
  if (status != LW_OK) {
    return status;
  }
  (void)sqlite3_bind_int64(stmt, 1, id);
  lw_sql_bind_text(stmt, 2, lw_instant_text(change->at, at));
  lw_sql_bind_text(stmt, 3, change->who);
  lw_sql_bind_text(stmt, 4, change->why);
  lw_sql_bind_text(stmt, 5, change->action);
  if (undoes) {
    (void)sqlite3_bind_int64(stmt, 6, undoes);
  }
  status = lw_sql_done(store, stmt, writing, err);
  store->change = status == LW_OK ? id : 0;
  return status;
}

lw_status lw_change_lock(lw_store *store, const lw_change *change, lw_error *err)
{
  if (store->change || !sqlite3_get_autocommit(store->db)) {
    return lw_fail(err, LW_INTERNAL, "a change was begun while another was open");
  }
  lw_status status = lw_change_check(change, err);
  return status == LW_OK ? lw_sql_begin(store, LW_SQL_BEGIN, writing, err) : status;
}

lw_status lw_change_open(lw_store *store, const lw_change *change, lw_id undoes, lw_error *err)
{
  store->wrote = 0;
  store->keep_empty = undoes != 0;
  store->broken = false;
  return add_change(store, change, undoes, err);
}

lw_status lw_store_begin(lw_store *store, const lw_change *change, lw_error *err)
{
  lw_status status = lw_change_lock(store, change, err);
  if (status == LW_OK) {
    status = lw_change_open(store, change, 0, err);
    if (status != LW_OK) {
      lw_store_rollback(store);
    }
  }
  return status;
}

static lw_status seal(lw_store *store, lw_error *err)
{
  unsigned char before[LW_DIGEST_BYTES];
  unsigned char digest[LW_DIGEST_BYTES];
  sqlite3_stmt *stmt = NULL;
  lw_status status = lw_digest_stored(store, store->change - 1, before, err);
  if (status == LW_OK) {
    status = lw_digest_change(store, store->change, before, digest, err);
  }
  if (status == LW_OK) {
    status = lw_sql_fixed(store, LW_SQL_SEAL_CHANGE, &stmt, err);
  }
  if (status != LW_OK) {
    return status;
  }
  (void)sqlite3_bind_int64(stmt, 1, store->change);
  (void)sqlite3_bind_blob(stmt, 2, digest, sizeof digest, SQLITE_STATIC);
  return lw_sql_done(store, stmt, writing, err);
}

lw_status lw_store_commit(lw_store *store, lw_id *out_change, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  *out_change = 0;
  if (!store->change) {
    return lw_fail(err, LW_INTERNAL, "commit without an open change");
  }
  if (store->broken) {
    lw_store_rollback(store);
    return lw_fail(err, LW_INTERNAL, "a write of this change failed, so none of it was kept");
  }
  if (store->wrote == 0 && !store->keep_empty) {
    lw_store_rollback(store);
    return LW_OK;
  }
  lw_id change = store->change;
  lw_status status = seal(store, err);
  if (status == LW_OK) {
    status = lw_sql_fixed(store, LW_SQL_COMMIT, &stmt, err);
  }
  if (status == LW_OK) {
    status = lw_sql_done(store, stmt, "save the change", err);
  }
  if (status != LW_OK) {
    lw_store_rollback(store);
    return status;
  }
  store->change = 0;
  *out_change = change;
  return LW_OK;
}

void lw_store_rollback(lw_store *store)
{
  lw_sql_rollback(store);
  store->change = 0;
}
