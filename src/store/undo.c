/* SPDX-License-Identifier: Apache-2.0 */
/* Taking a change back. Every record it touched gets the body it had before as a new version; one
 * that the change added is removed, one that it removed returns under its old id. That is only right
 * while nobody has built on the change: a later change that touched one of the records and still
 * stands is a conflict. Later changes that were themselves taken back, and the undos that did so,
 * cancel each other and do not count: so an undo, its undo, and undoing again all work. */
#include "store/internal.h"

#include <string.h>

typedef struct touched {
  lw_kind_id kind;
  lw_id id;
  bool live_before;
  const char *body; /* before; for one that did not exist then, its body now */
} touched;

typedef struct undoing {
  lw_store *store;
  lw_arena *arena;
  lw_id target;
  const lw_id *undone_by; /* 1..count */
  lw_id count;
  touched *records;
  size_t record_count;
} undoing;

/* ---- which change ---- */

static lw_status newest_standing(const undoing *work, lw_id *out, lw_error *err)
{
  for (lw_id change = work->count; change >= 1; change--) {
    lw_history_entry entry;
    if (work->undone_by[change] != 0) {
      continue;
    }
    lw_status status =
        lw_history_of(work->store, change, work->undone_by, work->count, work->arena, &entry, err);
    if (status != LW_OK) {
      return status;
    }
    if (entry.undoes == 0) {
      *out = change;
      return LW_OK;
    }
  }
  return lw_fail(err, LW_NOT_FOUND, "there is nothing to undo");
}

static lw_status find_target(undoing *work, lw_id asked, lw_error *err)
{
  if (asked == 0) {
    return newest_standing(work, &work->target, err);
  }
  if (asked < 1 || asked > work->count) {
    return lw_fail(err, LW_NOT_FOUND, "there is no change %lld to undo; the history ends at %lld",
                   (long long)asked, (long long)work->count);
  }
  if (work->undone_by[asked]) {
    return lw_fail(err, LW_CONFLICT,
                   "change %lld was taken back already, by change %lld; undo %lld "
                   "to put it back",
                   (long long)asked, (long long)work->undone_by[asked], (long long)work->undone_by[asked]);
  }
  work->target = asked;
  return LW_OK;
}

/* ---- which records ---- */

static lw_status count_touched(undoing *work, sqlite3_stmt **stmt, lw_error *err)
{
  lw_history_entry entry;
  lw_status status =
      lw_history_of(work->store, work->target, work->undone_by, work->count, work->arena, &entry, err);
  if (status == LW_OK) {
    work->records = LW_NEW(work->arena, touched, (size_t)entry.records);
    status = work->records ? lw_sql_fixed(work->store, LW_SQL_TOUCHED, stmt, err) : lw_fail_memory(err);
  }
  return status;
}

static lw_status list_touched(undoing *work, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  bool row = false;
  lw_status status = count_touched(work, &stmt, err);
  if (status != LW_OK) {
    return status;
  }
  (void)sqlite3_bind_int64(stmt, 1, work->target);
  while ((status = lw_sql_step(work->store, stmt, &row, "read the history", err)) == LW_OK && row) {
    const char *name = NULL;
    status = lw_sql_read(stmt, 0, &name, err);
    lw_kind_id kind = status == LW_OK ? lw_kind_find(name) : LW_KIND_COUNT;
    if (kind == LW_KIND_COUNT) {
      lw_sql_reset(stmt);
      return status != LW_OK ? status
                             : lw_fail(err, LW_CORRUPT,
                                       "change %lld wrote a record of unknown kind; "
                                       "run the check",
                                       (long long)work->target);
    }
    work->records[work->record_count++] = (touched){.kind = kind, .id = sqlite3_column_int64(stmt, 1)};
  }
  return status;
}

/* ---- whether anybody built on it ---- */

static lw_status check_conflict(const undoing *work, const touched *record, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  bool row = false;
  lw_status status = lw_sql_fixed(work->store, LW_SQL_TOUCHED_LATER, &stmt, err);
  if (status != LW_OK) {
    return status;
  }
  lw_sql_bind_text(stmt, 1, lw_kinds[record->kind].name);
  (void)sqlite3_bind_int64(stmt, 2, record->id);
  (void)sqlite3_bind_int64(stmt, 3, work->target);
  while ((status = lw_sql_step(work->store, stmt, &row, "read the history", err)) == LW_OK && row) {
    lw_id later = sqlite3_column_int64(stmt, 0);
    lw_id undoes = sqlite3_column_int64(stmt, 1);
    bool cancelled = later > work->count || work->undone_by[later] || undoes > work->target;
    if (!cancelled) {
      lw_sql_reset(stmt);
      return lw_fail(err, LW_CONFLICT,
                     "change %lld cannot be taken back: change %lld has since "
                     "changed %s %lld too; undo %lld first",
                     (long long)work->target, (long long)later, lw_kinds[record->kind].name,
                     (long long)record->id, (long long)later);
    }
  }
  return status;
}

/* ---- what was before ---- */

/* The state of a record after change `as_of`; *body NULL when it did not exist. */
static lw_status state_as_of(const undoing *work, const touched *record, lw_id as_of, bool *live,
                             const char **body, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  bool row = false;
  *live = false;
  *body = NULL;
  lw_status status = lw_sql_fixed(work->store, LW_SQL_AS_OF, &stmt, err);
  if (status != LW_OK) {
    return status;
  }
  lw_sql_bind_text(stmt, 1, lw_kinds[record->kind].name);
  (void)sqlite3_bind_int64(stmt, 2, record->id);
  (void)sqlite3_bind_int64(stmt, 3, as_of);
  status = lw_sql_step(work->store, stmt, &row, "read the history", err);
  if (!row) {
    return status;
  }
  *live = sqlite3_column_int(stmt, 0) == 0;
  status = lw_sql_copy(stmt, 1, work->arena, body, err);
  lw_sql_reset(stmt);
  return status;
}

/* Also holds the rule about cancelled changes to its word: what is there now must be what the target
 * left. */
static lw_status read_states(const undoing *work, touched *record, lw_error *err)
{
  bool live_after = false;
  bool live_now = false;
  const char *after = NULL;
  const char *now = NULL;
  lw_status status = state_as_of(work, record, work->target - 1, &record->live_before, &record->body, err);
  if (status == LW_OK) {
    status = state_as_of(work, record, work->target, &live_after, &after, err);
  }
  if (status == LW_OK) {
    status = state_as_of(work, record, work->count, &live_now, &now, err);
  }
  if (status != LW_OK) {
    return status;
  }
  if (!after || !now || live_after != live_now || (live_now && strcmp(after, now) != 0)) {
    return lw_fail(err, LW_CORRUPT, "%s %lld is not as the history tells; run the check",
                   lw_kinds[record->kind].name, (long long)record->id);
  }
  record->body = record->body ? record->body : now;
  return LW_OK;
}

static lw_status prepare(undoing *work, lw_error *err)
{
  lw_status status = list_touched(work, err);
  for (size_t i = 0; i < work->record_count && status == LW_OK; i++) {
    status = check_conflict(work, &work->records[i], err);
  }
  for (size_t i = 0; i < work->record_count && status == LW_OK; i++) {
    status = read_states(work, &work->records[i], err);
  }
  return status;
}

/* ---- putting it back ---- */

static lw_status restore(const undoing *work, const touched *record, lw_error *err)
{
  lw_any_record kept;
  lw_status status = LW_OK;
  if (record->live_before) {
    status = lw_body_read(record->kind, record->body, work->arena, &kept, err);
    if (status == LW_OK) {
      status = lw_names_check(work->store, record->kind, record->id, &kept, err);
    }
    if (status == LW_OK) {
      status = lw_live_put(work->store, record->kind, record->id, &kept, err);
    }
  }
  return status == LW_OK
             ? lw_version_add(work->store, record->kind, record->id, !record->live_before, record->body, err)
             : status;
}

static lw_status check_links(const undoing *work, const touched *record, lw_error *err)
{
  lw_any_record kept;
  if (!record->live_before) {
    return lw_referrers_check(work->store, record->kind, record->id, err);
  }
  lw_status status = lw_body_read(record->kind, record->body, work->arena, &kept, err);
  return status == LW_OK ? lw_references_check(work->store, record->kind, &kept, LW_CONFLICT, err) : status;
}

/* All rows go before any returns: names may have changed places within the change. Until commit
 * SQLite lets references dangle; whether any does is looked at before. */
static lw_status apply(const undoing *work, lw_error *err)
{
  lw_status status = lw_sql_run(work->store, "PRAGMA defer_foreign_keys = ON", "undo", err);
  for (size_t i = 0; i < work->record_count && status == LW_OK; i++) {
    status = lw_live_delete(work->store, work->records[i].kind, work->records[i].id, err);
  }
  for (size_t i = 0; i < work->record_count && status == LW_OK; i++) {
    status = restore(work, &work->records[i], err);
  }
  for (size_t i = 0; i < work->record_count && status == LW_OK; i++) {
    status = check_links(work, &work->records[i], err);
  }
  if (status == LW_CONFLICT) {
    lw_error_prefix(err, "change %lld cannot be taken back", (long long)work->target);
  }
  return status;
}

static lw_status undo(undoing *work, const lw_change *change, lw_id asked, lw_history_entry *out,
                      lw_error *err)
{
  lw_id *undone_by = NULL;
  lw_id own = 0;
  lw_status status = lw_undone_by(work->store, work->arena, &undone_by, &work->count, err);
  work->undone_by = undone_by;
  if (status == LW_OK) {
    status = find_target(work, asked, err);
  }
  if (status == LW_OK) {
    status = prepare(work, err);
  }
  if (status == LW_OK) {
    status = lw_history_of(work->store, work->target, undone_by, work->count, work->arena, out, err);
  }
  if (status == LW_OK) {
    status = lw_change_open(work->store, change, work->target, err);
  }
  if (status == LW_OK) {
    status = apply(work, err);
  }
  if (status == LW_OK) {
    status = lw_store_commit(work->store, &own, err);
  }
  out->undone_by = own;
  return status;
}

lw_status lw_store_undo(lw_store *store, const lw_change *change, lw_id target, lw_arena *arena,
                        lw_history_entry *out, lw_error *err)
{
  *out = (lw_history_entry){0};
  lw_status status = lw_change_lock(store, change, err);
  if (status != LW_OK) {
    return status;
  }
  undoing work = {.store = store, .arena = arena};
  status = undo(&work, change, target, out, err);
  if (status != LW_OK) {
    lw_store_rollback(store);
  }
  return status;
}
