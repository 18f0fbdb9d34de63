/* SPDX-License-Identifier: Apache-2.0 */
/* Writing records. Each write adds a version to the history and brings the current table up to date.
 * A write that is refused leaves the change as it was; one that stops half way (disk full, no
 * memory) marks it broken, and only rollback is left. */
#include "store/internal.h"

#include <string.h>

static const char *const writing = "write to the store";

/* ---- the steps of a write ---- */

lw_status lw_version_add(lw_store *store, lw_kind_id kind, lw_id id, bool removed, const char *body,
                         lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  int64_t latest = 0;
  lw_status status = lw_sql_fixed(store, LW_SQL_LATEST, &stmt, err);
  if (status == LW_OK) {
    lw_sql_bind_text(stmt, 1, lw_kinds[kind].name);
    (void)sqlite3_bind_int64(stmt, 2, id);
    status = lw_sql_number(store, stmt, &latest, writing, err);
  }
  if (status == LW_OK) {
    status = lw_sql_fixed(store, LW_SQL_ADD_VERSION, &stmt, err);
  }
  if (status != LW_OK) {
    return status;
  }
  lw_sql_bind_text(stmt, 1, lw_kinds[kind].name);
  (void)sqlite3_bind_int64(stmt, 2, id);
  (void)sqlite3_bind_int64(stmt, 3, latest + 1);
  (void)sqlite3_bind_int64(stmt, 4, store->change);
  (void)sqlite3_bind_int(stmt, 5, removed);
  lw_sql_bind_text(stmt, 6, body);
  status = lw_sql_done(store, stmt, writing, err);
  store->wrote += status == LW_OK;
  return status;
}

lw_status lw_live_put(lw_store *store, lw_kind_id kind, lw_id id, const void *kept, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  lw_status status = lw_sql_of_kind(store, kind, LW_SQL_PUT, &stmt, err);
  if (status != LW_OK) {
    return status;
  }
  int code = lw_row_bind(stmt, kind, id, kept);
  if (code != SQLITE_OK) {
    lw_sql_reset(stmt);
    return lw_sql_fail(store, code, writing, err);
  }
  return lw_sql_done(store, stmt, writing, err);
}

lw_status lw_live_delete(lw_store *store, lw_kind_id kind, lw_id id, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  lw_status status = lw_sql_of_kind(store, kind, LW_SQL_DELETE, &stmt, err);
  if (status != LW_OK) {
    return status;
  }
  (void)sqlite3_bind_int64(stmt, 1, id);
  return lw_sql_done(store, stmt, writing, err);
}

/* The latest body into `out` and whether the record is live. */
static lw_status read_latest(lw_store *store, lw_kind_id kind, lw_id id, lw_text *out, bool *live,
                             lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  bool row = false;
  *live = false;
  lw_status status = lw_sql_fixed(store, LW_SQL_LATEST, &stmt, err);
  if (status != LW_OK) {
    return status;
  }
  lw_sql_bind_text(stmt, 1, lw_kinds[kind].name);
  (void)sqlite3_bind_int64(stmt, 2, id);
  status = lw_sql_step(store, stmt, &row, "read the store", err);
  if (!row) {
    return status;
  }
  *live = sqlite3_column_int(stmt, 1) == 0;
  const char *body = NULL;
  status = lw_sql_read(stmt, 2, &body, err);
  lw_text_clear(out);
  lw_text_add(out, status == LW_OK ? body : "");
  lw_sql_reset(stmt);
  return status == LW_OK && out->failed ? lw_fail_memory(err) : status;
}

/* ---- add, update, remove ---- */

static lw_status check_open(const lw_store *store, lw_kind_id kind, const void *record, lw_error *err)
{
  if (!lw_kind_known(kind) || !record) {
    return lw_fail(err, LW_INTERNAL, "a write named no kind of record");
  }
  if (!store->change) {
    return lw_fail(err, LW_INTERNAL, "a %s was written outside a change", lw_kinds[kind].name);
  }
  if (store->broken) {
    return lw_fail(err, LW_INTERNAL, "an earlier write of this change failed; roll it back");
  }
  return LW_OK;
}

/* From here a failure leaves a half-written record. */
static lw_status write_both(lw_store *store, lw_kind_id kind, lw_id id, const void *kept, const char *body,
                            lw_error *err)
{
  lw_status status = lw_version_add(store, kind, id, false, body, err);
  if (status == LW_OK) {
    status = lw_live_put(store, kind, id, kept, err);
  }
  store->broken = status != LW_OK;
  return status;
}

static lw_status write_body(lw_text *body, lw_kind_id kind, const void *kept, lw_error *err)
{
  lw_body_write(body, kind, kept);
  return body->failed ? lw_fail_memory(err) : LW_OK;
}

static lw_status next_record(lw_store *store, lw_kind_id kind, lw_id *out, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  lw_status status = lw_sql_fixed(store, LW_SQL_NEXT_RECORD, &stmt, err);
  if (status != LW_OK) {
    return status;
  }
  lw_sql_bind_text(stmt, 1, lw_kinds[kind].name);
  return lw_sql_number(store, stmt, out, writing, err);
}

static lw_status check_among_others(lw_store *store, lw_kind_id kind, lw_id id, const void *record,
                                    lw_error *err)
{
  lw_status status = lw_references_check(store, kind, record, LW_INVALID, err);
  return status == LW_OK ? lw_names_check(store, kind, id, record, err) : status;
}

lw_status lw_store_add(lw_store *store, lw_kind_id kind, const void *record, lw_id *out_id, lw_error *err)
{
  lw_any_record kept;
  char digest[LW_DIGEST_HEX];
  lw_text body = LW_TEXT(LW_BODY_MAX);
  lw_id id = 0;
  lw_status status = check_open(store, kind, record, err);
  if (status == LW_OK) {
    status = lw_record_check(kind, record, err);
  }
  if (status == LW_OK) {
    status = check_among_others(store, kind, 0, record, err);
  }
  if (status == LW_OK) {
    status = lw_large_keep(store, kind, 0, record, &kept, digest, err);
  }
  if (status == LW_OK) {
    status = next_record(store, kind, &id, err);
  }
  if (status == LW_OK) {
    status = write_body(&body, kind, &kept, err);
  }
  if (status == LW_OK) {
    status = write_both(store, kind, id, &kept, lw_text_view(&body), err);
  }
  lw_text_free(&body);
  if (status == LW_OK && out_id) {
    *out_id = id;
  }
  return status;
}

static lw_status fail_absent(lw_kind_id kind, lw_id id, lw_error *err)
{
  return lw_fail(err, LW_NOT_FOUND, "there is no %s %lld; list the %s to see which there are",
                 lw_kinds[kind].name, (long long)id, lw_kinds[kind].plural);
}

/* Writes nothing when nothing differs: the same sheet may be read in twice. */
static lw_status update_kept(lw_store *store, lw_kind_id kind, lw_id id, const void *kept, lw_error *err)
{
  lw_text body = LW_TEXT(LW_BODY_MAX);
  lw_text latest = LW_TEXT(LW_BODY_MAX);
  bool live = false;
  lw_status status = read_latest(store, kind, id, &latest, &live, err);
  if (status == LW_OK) {
    status = live ? write_body(&body, kind, kept, err) : fail_absent(kind, id, err);
  }
  if (status == LW_OK && strcmp(lw_text_view(&body), lw_text_view(&latest)) != 0) {
    status = write_both(store, kind, id, kept, lw_text_view(&body), err);
  }
  lw_text_free(&body);
  lw_text_free(&latest);
  return status;
}

lw_status lw_store_update(lw_store *store, lw_kind_id kind, lw_id id, const void *record, lw_error *err)
{
  lw_any_record kept;
  char digest[LW_DIGEST_HEX];
  lw_status status = check_open(store, kind, record, err);
  if (status == LW_OK) {
    status = lw_record_check(kind, record, err);
  }
  if (status == LW_OK) {
    status = check_among_others(store, kind, id, record, err);
  }
  if (status == LW_OK) {
    status = lw_large_keep(store, kind, id, record, &kept, digest, err);
  }
  return status == LW_OK ? update_kept(store, kind, id, &kept, err) : status;
}

lw_status lw_store_remove(lw_store *store, lw_kind_id kind, lw_id id, lw_error *err)
{
  lw_text body = LW_TEXT(LW_BODY_MAX);
  bool live = false;
  lw_status status = check_open(store, kind, store, err);
  if (status == LW_OK) {
    status = read_latest(store, kind, id, &body, &live, err);
  }
  if (status == LW_OK && !live) {
    status = fail_absent(kind, id, err);
  }
  if (status == LW_OK) {
    status = lw_referrers_check(store, kind, id, err);
  }
  if (status == LW_OK) {
    status = lw_version_add(store, kind, id, true, lw_text_view(&body), err);
    if (status == LW_OK) {
      status = lw_live_delete(store, kind, id, err);
    }
    store->broken = status != LW_OK;
  }
  lw_text_free(&body);
  return status;
}
