/* SPDX-License-Identifier: Apache-2.0 */
/* The digest chain. The digest of a change is BLAKE2b-256 (RFC 7693; libsodium's
 * crypto_generichash) over the digest of the change before it, the change's own fields and every
 * version it wrote, bodies included; a body holds the digest of its outline. So a single altered
 * byte anywhere in the history, or a change taken out of its middle, breaks the chain from there on,
 * and the check says where. It is made against damage and careless edits: there is no secret in it,
 * and somebody who sets out to can compute the chain anew. Changes cut off at the end leave a whole
 * chain; they show where the current records no longer match. */
#include "store/internal.h"

#include <sodium.h>
#include <string.h>

typedef crypto_generichash_state hash;

static void add_bytes(hash *state, const void *bytes, size_t length)
{
  (void)crypto_generichash_update(state, bytes, length);
}

/* Numbers as eight bytes, the lowest first, on every machine. */
static void add_number(hash *state, int64_t number)
{
  unsigned char bytes[8];
  uint64_t rest = (uint64_t)number;
  for (int i = 0; i < 8; i++) {
    bytes[i] = (unsigned char)(rest & 0xffu);
    rest >>= 8;
  }
  add_bytes(state, bytes, sizeof bytes);
}

/* Length first, so that no two lists of texts give the same bytes. */
static void add_text(hash *state, const char *text)
{
  size_t length = strlen(text);
  add_number(state, (int64_t)length);
  add_bytes(state, text, length);
}

static lw_status add_column(hash *state, sqlite3_stmt *stmt, int column, lw_error *err)
{
  const char *text = NULL;
  lw_status status = lw_sql_read(stmt, column, &text, err);
  if (status == LW_OK) {
    add_text(state, text);
  }
  return status;
}

static lw_status add_change(lw_store *store, lw_id change, hash *state, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  bool row = false;
  lw_status status = lw_sql_fixed(store, LW_SQL_CHANGE, &stmt, err);
  if (status != LW_OK) {
    return status;
  }
  (void)sqlite3_bind_int64(stmt, 1, change);
  status = lw_sql_step(store, stmt, &row, "read a change", err);
  if (!row) {
    return status != LW_OK ? status : lw_fail(err, LW_CORRUPT, "change %lld is missing", (long long)change);
  }
  add_number(state, change);
  for (int column = 0; column < 4 && status == LW_OK; column++) { /* at, who, why, action */
    status = add_column(state, stmt, column, err);
  }
  add_number(state, sqlite3_column_int64(stmt, 4)); /* undoes */
  lw_sql_reset(stmt);
  return status;
}

static lw_status add_version(hash *state, sqlite3_stmt *stmt, lw_error *err)
{
  lw_status status = add_column(state, stmt, 0, err);      /* kind */
  add_number(state, sqlite3_column_int64(stmt, 1));        /* record */
  add_number(state, sqlite3_column_int64(stmt, 2));        /* version */
  add_number(state, sqlite3_column_int64(stmt, 3));        /* removed */
  return status == LW_OK ? add_column(state, stmt, 4, err) /* body */
                         : status;
}

static lw_status add_versions(lw_store *store, lw_id change, hash *state, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  lw_status status = lw_sql_fixed(store, LW_SQL_VERSIONS_OF_CHANGE, &stmt, err);
  if (status != LW_OK) {
    return status;
  }
  (void)sqlite3_bind_int64(stmt, 1, change);
  bool row = false;
  while ((status = lw_sql_step(store, stmt, &row, "read a change", err)) == LW_OK && row) {
    status = add_version(state, stmt, err);
    if (status != LW_OK) {
      lw_sql_reset(stmt);
      break;
    }
  }
  return status;
}

lw_status lw_digest_change(lw_store *store, lw_id change, const unsigned char before[LW_DIGEST_BYTES],
                           unsigned char out[LW_DIGEST_BYTES], lw_error *err)
{
  static const char purpose[] = "lakeward change 1";
  hash state;
  (void)crypto_generichash_init(&state, NULL, 0, LW_DIGEST_BYTES);
  add_text(&state, purpose);
  add_bytes(&state, before, LW_DIGEST_BYTES);
  lw_status status = add_change(store, change, &state, err);
  if (status == LW_OK) {
    status = add_versions(store, change, &state, err);
  }
  (void)crypto_generichash_final(&state, out, LW_DIGEST_BYTES);
  return status;
}

lw_status lw_digest_stored(lw_store *store, lw_id change, unsigned char out[LW_DIGEST_BYTES], lw_error *err)
{
  memset(out, 0, LW_DIGEST_BYTES);
  if (change == 0) {
    return LW_OK;
  }
  sqlite3_stmt *stmt = NULL;
  bool row = false;
  lw_status status = lw_sql_fixed(store, LW_SQL_CHANGE, &stmt, err);
  if (status != LW_OK) {
    return status;
  }
  (void)sqlite3_bind_int64(stmt, 1, change);
  status = lw_sql_step(store, stmt, &row, "read a change", err);
  if (!row) {
    return status != LW_OK
               ? status
               : lw_fail(err, LW_CORRUPT, "change %lld is missing; go back to a backup", (long long)change);
  }
  const void *bytes = sqlite3_column_blob(stmt, 5);
  if (bytes && sqlite3_column_bytes(stmt, 5) == LW_DIGEST_BYTES) {
    memcpy(out, bytes, LW_DIGEST_BYTES);
  }
  lw_sql_reset(stmt);
  return LW_OK;
}

void lw_digest_hex(const unsigned char digest[LW_DIGEST_BYTES], char out[LW_DIGEST_HEX])
{
  (void)sodium_bin2hex(out, LW_DIGEST_HEX, digest, LW_DIGEST_BYTES);
}
