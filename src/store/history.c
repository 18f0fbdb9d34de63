/* SPDX-License-Identifier: Apache-2.0 */
/* What was changed, when, by whom, and what stands. A change stands until an undo of it that itself
 * stands; undos of undos follow from that. Nothing about it is stored beyond `undoes`: the history
 * is never rewritten. */
#include "store/internal.h"

#include <stdlib.h>
#include <string.h>

static const char *const reading = "read the history";

/* Undos come newest first, so whether one stands is known when it is met: all that could have taken
 * it back have been met before. */
static lw_status mark_undone(lw_store *store, lw_id *undone_by, lw_id count, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  bool row = false;
  lw_status status = lw_sql_fixed(store, LW_SQL_UNDOS, &stmt, err);
  if (status != LW_OK) {
    return status;
  }
  while ((status = lw_sql_step(store, stmt, &row, reading, err)) == LW_OK && row) {
    lw_id undo = sqlite3_column_int64(stmt, 0);
    lw_id target = sqlite3_column_int64(stmt, 1);
    if (undo < 1 || undo > count || target < 1 || target >= undo) {
      lw_sql_reset(stmt);
      return lw_fail(err, LW_CORRUPT, "change %lld says that it undoes change %lld; run the check",
                     (long long)undo, (long long)target);
    }
    if (undone_by[undo] == 0) {
      undone_by[target] = undo;
    }
  }
  return status;
}

static lw_status count_changes(lw_store *store, lw_id *out, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  int64_t rows = 0;
  lw_status status = lw_store_revision(store, out, err);
  if (status == LW_OK) {
    status = lw_sql_fixed(store, LW_SQL_COUNT_CHANGES, &stmt, err);
  }
  if (status == LW_OK) {
    status = lw_sql_number(store, stmt, &rows, reading, err);
  }
  if (status == LW_OK && rows != *out) {
    status = lw_fail(err, LW_CORRUPT,
                     "the history holds %lld changes but the last is number %lld; "
                     "run the check",
                     (long long)rows, (long long)*out);
  }
  return status;
}

lw_status lw_undone_by(lw_store *store, lw_arena *arena, lw_id **out, lw_id *out_count, lw_error *err)
{
  lw_status status = count_changes(store, out_count, err);
  if (status != LW_OK) {
    return status;
  }
  *out = LW_NEW(arena, lw_id, (size_t)*out_count + 1);
  return *out ? mark_undone(store, *out, *out_count, err) : lw_fail_memory(err);
}

static lw_status count_records(lw_store *store, lw_id change, int *out, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  int64_t count = 0;
  lw_status status = lw_sql_fixed(store, LW_SQL_RECORDS_OF_CHANGE, &stmt, err);
  if (status == LW_OK) {
    (void)sqlite3_bind_int64(stmt, 1, change);
    status = lw_sql_number(store, stmt, &count, reading, err);
  }
  *out = (int)count;
  return status;
}

static lw_status read_instant(sqlite3_stmt *stmt, int column, lw_instant *out, lw_error *err)
{
  const char *text = NULL;
  lw_status status = lw_sql_read(stmt, column, &text, err);
  if (status != LW_OK) {
    return status;
  }
  return lw_instant_parse(out, "at", text, NULL) == LW_OK
             ? LW_OK
             : lw_fail(err, LW_CORRUPT,
                       "the history holds '%.40s' as the time of a change; run the "
                       "check",
                       text);
}

static lw_status read_entry(sqlite3_stmt *stmt, lw_arena *arena, lw_history_entry *out, lw_error *err)
{
  out->undoes = sqlite3_column_int64(stmt, 4);
  lw_status status = read_instant(stmt, 0, &out->at, err);
  if (status == LW_OK) {
    status = lw_sql_copy(stmt, 1, arena, &out->who, err);
  }
  if (status == LW_OK) {
    status = lw_sql_copy(stmt, 2, arena, &out->why, err);
  }
  return status == LW_OK ? lw_sql_copy(stmt, 3, arena, &out->action, err) : status;
}

lw_status lw_history_of(lw_store *store, lw_id change, const lw_id *undone_by, lw_id count, lw_arena *arena,
                        lw_history_entry *out, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  bool row = false;
  lw_status status = lw_sql_fixed(store, LW_SQL_CHANGE, &stmt, err);
  if (status == LW_OK) {
    (void)sqlite3_bind_int64(stmt, 1, change);
    status = lw_sql_step(store, stmt, &row, reading, err);
  }
  if (status != LW_OK) {
    return status;
  }
  if (!row || change > count) {
    lw_sql_reset(stmt);
    return lw_fail(err, LW_NOT_FOUND, "there is no change %lld; look at the history", (long long)change);
  }
  *out = (lw_history_entry){.change = change, .undone_by = undone_by[change]};
  status = read_entry(stmt, arena, out, err);
  lw_sql_reset(stmt);
  return status == LW_OK ? count_records(store, change, &out->records, err) : status;
}

static lw_status read_history(lw_store *store, size_t limit, lw_arena *arena, lw_history_entry **out,
                              size_t *out_count, lw_error *err)
{
  lw_id *undone_by = NULL;
  lw_id count = 0;
  lw_status status = lw_undone_by(store, arena, &undone_by, &count, err);
  if (status != LW_OK) {
    return status;
  }
  size_t wanted = limit < (size_t)count ? limit : (size_t)count;
  lw_history_entry *entries = LW_NEW(arena, lw_history_entry, wanted);
  if (!entries) {
    return lw_fail_memory(err);
  }
  for (size_t i = 0; i < wanted && status == LW_OK; i++) {
    status = lw_history_of(store, count - (lw_id)i, undone_by, count, arena, &entries[i], err);
  }
  *out = entries;
  *out_count = wanted;
  return status;
}

lw_status lw_store_history(lw_store *store, size_t limit, lw_arena *arena, lw_history_entry **out,
                           size_t *out_count, lw_error *err)
{
  enum { USUAL_LIMIT = 50 };
  bool own = false;
  lw_status status = lw_read_begin(store, &own, err);
  if (status == LW_OK) {
    status = read_history(store, limit ? limit : USUAL_LIMIT, arena, out, out_count, err);
    lw_read_end(store, own);
  }
  return status;
}

/* ---- versions of a record ---- */

static lw_status read_version(sqlite3_stmt *stmt, lw_arena *arena, lw_version *out, lw_error *err)
{
  *out = (lw_version){
      .version = sqlite3_column_int(stmt, 0),
      .change = sqlite3_column_int64(stmt, 1),
      .removed = sqlite3_column_int(stmt, 5) != 0,
  };
  lw_status status = read_instant(stmt, 2, &out->at, err);
  if (status == LW_OK) {
    status = lw_sql_copy(stmt, 3, arena, &out->who, err);
  }
  if (status == LW_OK) {
    status = lw_sql_copy(stmt, 4, arena, &out->why, err);
  }
  return status == LW_OK ? lw_sql_copy(stmt, 6, arena, &out->body, err) : status;
}

static lw_status grow(lw_version **versions, size_t count, size_t *capacity, lw_error *err)
{
  if (count < *capacity) {
    return LW_OK;
  }
  size_t more = *capacity ? *capacity * 2 : 16;
  lw_version *larger = realloc(*versions, more * sizeof **versions);
  if (!larger) {
    return lw_fail_memory(err);
  }
  *versions = larger;
  *capacity = more;
  return LW_OK;
}

static lw_status read_versions(lw_store *store, sqlite3_stmt *stmt, lw_arena *arena, lw_version **versions,
                               size_t *count, lw_error *err)
{
  size_t capacity = 0;
  bool row = false;
  lw_status status = lw_sql_step(store, stmt, &row, reading, err);
  while (status == LW_OK && row) {
    status = grow(versions, *count, &capacity, err);
    if (status == LW_OK) {
      status = read_version(stmt, arena, &(*versions)[(*count)++], err);
    }
    if (status == LW_OK) {
      status = lw_sql_step(store, stmt, &row, reading, err);
    }
  }
  lw_sql_reset(stmt);
  return status;
}

lw_status lw_store_versions(lw_store *store, lw_kind_id kind, lw_id id, lw_arena *arena, lw_version **out,
                            size_t *out_count, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  if (!lw_kind_known(kind)) {
    return lw_fail(err, LW_INTERNAL, "no kind of record was named");
  }
  lw_status status = lw_sql_fixed(store, LW_SQL_VERSIONS_OF_RECORD, &stmt, err);
  if (status != LW_OK) {
    return status;
  }
  lw_sql_bind_text(stmt, 1, lw_kinds[kind].name);
  (void)sqlite3_bind_int64(stmt, 2, id);
  lw_version *versions = NULL;
  *out_count = 0;
  status = read_versions(store, stmt, arena, &versions, out_count, err);
  if (status == LW_OK && *out_count == 0) {
    status = lw_fail(err, LW_NOT_FOUND, "there never was a %s %lld", lw_kinds[kind].name, (long long)id);
  }
  if (status == LW_OK) {
    *out = LW_NEW(arena, lw_version, *out_count);
    if (*out) {
      memcpy(*out, versions, *out_count * sizeof *versions);
    } else {
      status = lw_fail_memory(err);
    }
  }
  free(versions);
  return status;
}
