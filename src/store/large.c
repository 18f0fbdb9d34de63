/* SPDX-License-Identifier: Apache-2.0 */
/* Outlines and soundings: each text kept once under its BLAKE2b-256 digest, whichever records and
 * versions use it. They are never deleted: earlier versions need them. */
#include "store/internal.h"

#include <sodium.h>
#include <string.h>

const lw_large lw_large_types[LW_LARGE_COUNT] = {
    {.type = LW_COLUMN_OUTLINE,
     .name = "outline",
     .table = "outline",
     .column = "geojson",
     .folder = "outlines",
     .ending = "geojson",
     .longest = LW_OUTLINE_MAX,
     .check = lw_outline_check,
     .keep = LW_SQL_OUTLINE_KEEP,
     .fetch = LW_SQL_OUTLINE_FETCH,
     .exists = LW_SQL_OUTLINE_EXISTS},
    {.type = LW_COLUMN_SOUNDINGS,
     .name = "text of soundings",
     .table = "soundings",
     .column = "csv",
     .folder = "soundings",
     .ending = "csv",
     .longest = LW_SOUNDINGS_TEXT_MAX,
     .not_in_lists = true,
     .check = lw_soundings_check,
     .keep = LW_SQL_SOUNDINGS_KEEP,
     .fetch = LW_SQL_SOUNDINGS_FETCH,
     .exists = LW_SQL_SOUNDINGS_EXISTS},
};

const lw_large *lw_large_of(const lw_column *column)
{
  for (size_t i = 0; i < LW_LARGE_COUNT; i++) {
    if (lw_large_types[i].type == column->type) {
      return &lw_large_types[i];
    }
  }
  return NULL;
}

const lw_column *lw_large_column(const lw_kind *kind)
{
  for (size_t i = 0; i < kind->column_count; i++) {
    if (lw_large_of(&kind->columns[i])) {
      return &kind->columns[i];
    }
  }
  return NULL;
}

void lw_large_digest(const char *text, size_t length, char out[LW_DIGEST_HEX])
{
  unsigned char digest[LW_DIGEST_BYTES];
  (void)crypto_generichash(digest, sizeof digest, (const unsigned char *)text, length, NULL, 0);
  lw_digest_hex(digest, out);
}

lw_status lw_large_put(lw_store *store, const lw_large *large, const char *digest, const char *text,
                       lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  lw_status status = lw_sql_fixed(store, large->keep, &stmt, err);
  if (status != LW_OK) {
    return status;
  }
  lw_sql_bind_text(stmt, 1, digest);
  lw_sql_bind_text(stmt, 2, text);
  return lw_sql_done(store, stmt, "keep the outline or the soundings", err);
}

/* *out is NULL when no text has that digest. */
static lw_status fetch(lw_store *store, const lw_large *large, const char *digest, lw_arena *arena,
                       const char **out, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  bool row = false;
  *out = NULL;
  lw_status status = lw_sql_fixed(store, large->fetch, &stmt, err);
  if (status != LW_OK) {
    return status;
  }
  lw_sql_bind_text(stmt, 1, digest);
  status = lw_sql_step(store, stmt, &row, "read an outline or soundings", err);
  if (!row) {
    return status;
  }
  status = lw_sql_copy(stmt, 0, arena, out, err);
  lw_sql_reset(stmt);
  return status;
}

/* The digest that the record has at present into `room`. */
static lw_status present_digest(lw_store *store, lw_kind_id kind, lw_id id, const lw_column *column,
                                char room[LW_DIGEST_HEX], lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  bool row = false;
  const char *digest = NULL;
  lw_status status = lw_sql_of_kind(store, kind, LW_SQL_ONE, &stmt, err);
  if (status != LW_OK) {
    return status;
  }
  (void)sqlite3_bind_int64(stmt, 1, id);
  status = lw_sql_step(store, stmt, &row, "read the store", err);
  if (status != LW_OK) {
    return status;
  }
  int index = (int)(column - lw_kinds[kind].columns) + 1;
  status = row ? lw_sql_read(stmt, index, &digest, err) : LW_OK;
  if (!row) { /* the caller tells that there is no such record */
    room[0] = '\0';
  } else if (status == LW_OK && strlen(digest) != LW_DIGEST_HEX - 1) {
    status = lw_fail(err, LW_CORRUPT, "%s %lld holds no digest in its %s; go back to a backup",
                     lw_kinds[kind].name, (long long)id, column->label);
  } else if (status == LW_OK) {
    memcpy(room, digest, LW_DIGEST_HEX);
  }
  lw_sql_reset(stmt);
  return status;
}

static lw_status keep_missing(lw_store *store, lw_kind_id kind, lw_id id, const lw_column *column,
                              const char **member, char room[LW_DIGEST_HEX], lw_error *err)
{
  if (!column->required) {
    return LW_OK;
  }
  if (id == 0) {
    return lw_fail(err, LW_INVALID, "%s %s is missing; give it", lw_kinds[kind].name, column->label);
  }
  *member = room;
  return present_digest(store, kind, id, column, room, err);
}

lw_status lw_large_keep(lw_store *store, lw_kind_id kind, lw_id id, const void *record, void *kept,
                        char room[LW_DIGEST_HEX], lw_error *err)
{
  const lw_column *column = lw_large_column(&lw_kinds[kind]);
  memcpy(kept, record, lw_kinds[kind].size);
  if (!column) {
    return LW_OK;
  }
  const lw_large *large = lw_large_of(column);
  const char **member = (const char **)lw_member_of(kept, column);
  const char *text = *member;
  if (!text) {
    return keep_missing(store, kind, id, column, member, room, err);
  }
  size_t length = strlen(text);
  lw_status status = large->check(text, length, err);
  if (status == LW_OK) {
    lw_large_digest(text, length, room);
    *member = room;
    status = lw_large_put(store, large, room, text, err);
  }
  return status;
}

lw_status lw_large_fetch(lw_store *store, lw_kind_id kind, bool light, lw_arena *arena, void *record,
                         lw_error *err)
{
  const lw_column *column = lw_large_column(&lw_kinds[kind]);
  const char **member = column ? (const char **)lw_member_of(record, column) : NULL;
  if (!member || !*member) {
    return LW_OK;
  }
  const lw_large *large = lw_large_of(column);
  if (light && large->not_in_lists) {
    *member = NULL;
    return LW_OK;
  }
  lw_status status = fetch(store, large, *member, arena, member, err);
  if (status == LW_OK && !*member) {
    status = lw_fail(err, LW_CORRUPT, "the %s of %s %lld is missing; go back to a backup", large->name,
                     lw_kinds[kind].name, (long long)lw_record_id(record));
  }
  return status;
}
