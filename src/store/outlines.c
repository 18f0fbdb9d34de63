/* SPDX-License-Identifier: Apache-2.0 */
/* Outlines, each text kept once under its BLAKE2b-256 digest, whichever records and versions use it.
 * They are never deleted: earlier versions need them. */
#include "store/internal.h"

#include <sodium.h>
#include <string.h>

void lw_outline_digest(const char *geojson, size_t length, char out[LW_DIGEST_HEX])
{
  unsigned char digest[LW_DIGEST_BYTES];
  (void)crypto_generichash(digest, sizeof digest, (const unsigned char *)geojson, length, NULL, 0);
  lw_digest_hex(digest, out);
}

lw_status lw_outline_put(lw_store *store, const char *digest, const char *geojson, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  lw_status status = lw_sql_fixed(store, LW_SQL_OUTLINE_KEEP, &stmt, err);
  if (status != LW_OK) {
    return status;
  }
  lw_sql_bind_text(stmt, 1, digest);
  lw_sql_bind_text(stmt, 2, geojson);
  return lw_sql_done(store, stmt, "keep the outline", err);
}

/* *out is NULL when no outline has that digest. */
static lw_status fetch(lw_store *store, const char *digest, lw_arena *arena, const char **out, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  bool row = false;
  *out = NULL;
  lw_status status = lw_sql_fixed(store, LW_SQL_OUTLINE_FETCH, &stmt, err);
  if (status != LW_OK) {
    return status;
  }
  lw_sql_bind_text(stmt, 1, digest);
  status = lw_sql_step(store, stmt, &row, "read an outline", err);
  if (!row) {
    return status;
  }
  status = lw_sql_copy(stmt, 0, arena, out, err);
  lw_sql_reset(stmt);
  return status;
}

lw_status lw_outlines_keep(lw_store *store, lw_kind_id kind, const void *record, void *kept,
                           lw_digest_room *digests, lw_error *err)
{
  memcpy(kept, record, lw_kinds[kind].size);
  for (size_t i = 0; i < lw_kinds[kind].column_count; i++) {
    const lw_column *column = &lw_kinds[kind].columns[i];
    if (column->type != LW_COLUMN_OUTLINE) {
      continue;
    }
    const char **member = (const char **)lw_member_of(kept, column);
    const char *geojson = *member;
    if (!geojson) {
      continue;
    }
    lw_status status = lw_outline_check(geojson, err);
    if (status == LW_OK) {
      lw_outline_digest(geojson, strlen(geojson), digests->hex[0]);
      status = lw_outline_put(store, digests->hex[0], geojson, err);
    }
    if (status != LW_OK) {
      return status;
    }
    *member = digests->hex[0];
  }
  return LW_OK;
}

lw_status lw_outlines_fetch(lw_store *store, lw_kind_id kind, lw_arena *arena, void *record, lw_error *err)
{
  for (size_t i = 0; i < lw_kinds[kind].column_count; i++) {
    const lw_column *column = &lw_kinds[kind].columns[i];
    if (column->type != LW_COLUMN_OUTLINE) {
      continue;
    }
    const char **member = (const char **)lw_member_of(record, column);
    const char *digest = *member;
    if (!digest) {
      continue;
    }
    lw_status status = fetch(store, digest, arena, member, err);
    if (status == LW_OK && !*member) {
      status = lw_fail(err, LW_CORRUPT, "the outline of %s %lld is missing; go back to a backup",
                       lw_kinds[kind].name, (long long)lw_record_id(record));
    }
    if (status != LW_OK) {
      return status;
    }
  }
  return LW_OK;
}
