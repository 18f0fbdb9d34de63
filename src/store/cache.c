/* SPDX-License-Identifier: Apache-2.0 */
/* Derived results beside the records: no history, no digest chain, no export. An entry carries its own
 * digest, so that a damaged one is as good as none. */
#include "store/internal.h"

#include <sodium.h>
#include <string.h>

static const char *const keeping = "keep a derived result";

static lw_status check_key(const char *key, lw_error *err)
{
  size_t length = strlen(key);
  return length >= 1 && length <= LW_CACHE_KEY
             ? LW_OK
             : lw_fail(err, LW_INVALID, "the key of a derived result has %zu bytes; it must have 1 to %d",
                       length, LW_CACHE_KEY);
}

static void digest_of(const void *data, size_t length, unsigned char out[LW_DIGEST_BYTES])
{
  (void)crypto_generichash(out, LW_DIGEST_BYTES, data, length, NULL, 0);
}

/* The row the statement stands on; what is damaged is left out. */
static lw_status read_entry(sqlite3_stmt *stmt, lw_arena *arena, const void **out, size_t *out_length,
                            lw_error *err)
{
  unsigned char digest[LW_DIGEST_BYTES];
  const void *kept = sqlite3_column_blob(stmt, 0);
  size_t kept_length = (size_t)sqlite3_column_bytes(stmt, 0);
  const void *data = sqlite3_column_blob(stmt, 1);
  size_t length = (size_t)sqlite3_column_bytes(stmt, 1);
  if (!kept || !data || kept_length != LW_DIGEST_BYTES) {
    return LW_OK;
  }
  digest_of(data, length, digest);
  if (memcmp(digest, kept, LW_DIGEST_BYTES) != 0) {
    return LW_OK;
  }
  void *copy = lw_arena_alloc(arena, length, 1);
  if (!copy) {
    return lw_fail_memory(err);
  }
  memcpy(copy, data, length);
  *out = copy;
  *out_length = length;
  return LW_OK;
}

lw_status lw_store_cache_get(lw_store *store, const char *key, lw_arena *arena, const void **out,
                             size_t *out_length, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  bool row = false;
  *out = NULL;
  *out_length = 0;
  lw_status status = check_key(key, err);
  if (status == LW_OK) {
    status = lw_sql_fixed(store, LW_SQL_CACHE_GET, &stmt, err);
  }
  if (status != LW_OK) {
    return status;
  }
  lw_sql_bind_text(stmt, 1, key);
  status = lw_sql_step(store, stmt, &row, "read a derived result", err);
  if (row) {
    status = read_entry(stmt, arena, out, out_length, err);
    lw_sql_reset(stmt);
  }
  return status;
}

static lw_status write_entry(lw_store *store, const char *key, const void *data, size_t length, lw_error *err)
{
  unsigned char digest[LW_DIGEST_BYTES];
  sqlite3_stmt *stmt = NULL;
  lw_status status = lw_sql_fixed(store, LW_SQL_CACHE_PUT, &stmt, err);
  if (status != LW_OK) {
    return status;
  }
  digest_of(data, length, digest);
  lw_sql_bind_text(stmt, 1, key);
  (void)sqlite3_bind_blob(stmt, 2, digest, sizeof digest, SQLITE_STATIC);
  (void)sqlite3_bind_blob64(stmt, 3, data, length, SQLITE_STATIC);
  status = lw_sql_done(store, stmt, keeping, err);
  if (status == LW_OK) {
    status = lw_sql_fixed(store, LW_SQL_CACHE_TRIM, &stmt, err);
  }
  if (status == LW_OK) {
    (void)sqlite3_bind_int(stmt, 1, LW_CACHE_ENTRIES);
    (void)sqlite3_bind_int64(stmt, 2, LW_CACHE_BYTES);
    status = lw_sql_done(store, stmt, keeping, err);
  }
  if (status == LW_OK) {
    status = lw_sql_fixed(store, LW_SQL_COMMIT, &stmt, err);
  }
  return status == LW_OK ? lw_sql_done(store, stmt, keeping, err) : status;
}

lw_status lw_store_cache_put(lw_store *store, const char *key, const void *data, size_t length, lw_error *err)
{
  lw_status status = check_key(key, err);
  if (status != LW_OK) {
    return status;
  }
  if (length == 0 || length > LW_CACHE_BYTES) {
    return lw_fail(err, LW_LIMIT, "a derived result of %zu bytes is not kept; 1 to %d bytes are", length,
                   LW_CACHE_BYTES);
  }
  if (store->change || !sqlite3_get_autocommit(store->db)) {
    return lw_fail(err, LW_BUSY, "a derived result is not kept while a change is open");
  }
  (void)sqlite3_busy_timeout(store->db, 0); /* whoever reckoned it can reckon it again */
  status = lw_sql_begin(store, LW_SQL_BEGIN, keeping, err);
  if (status == LW_OK) {
    status = write_entry(store, key, data, length, err);
    if (status != LW_OK) {
      lw_sql_rollback(store);
    }
  }
  (void)sqlite3_busy_timeout(store->db, LW_BUSY_WAIT_MS);
  return status;
}
