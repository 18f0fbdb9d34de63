/* SPDX-License-Identifier: Apache-2.0 */
/* The part of the check that holds every current record against its latest version. */
#include "store/check.h"

#include <string.h>

static const char *const checking = "check the store";

typedef struct comparison {
  lw_inspection *of;
  lw_kind_id kind;
  lw_arena *scratch;
  lw_text live, latest;
} comparison;

/* Bodies of an older release may have been written otherwise; what counts is what they say. */
static lw_status same_record(comparison *work, const char *body, bool *same)
{
  lw_any_record kept;
  *same = strcmp(lw_text_view(&work->live), body) == 0;
  if (*same) {
    return LW_OK;
  }
  lw_status status = lw_body_read(work->kind, body, work->scratch, &kept, NULL);
  if (status == LW_MEMORY) {
    return lw_fail_memory(work->of->err);
  }
  if (status == LW_OK) {
    lw_body_write(&work->latest, work->kind, &kept);
    *same = strcmp(lw_text_view(&work->live), lw_text_view(&work->latest)) == 0;
  }
  return LW_OK;
}

static lw_status compare_live(comparison *work, sqlite3_stmt *rows, sqlite3_stmt *versions)
{
  lw_any_record kept;
  bool same = false;
  lw_error fault = {0};
  const char *name = lw_kinds[work->kind].name;
  lw_id id = sqlite3_column_int64(rows, 0);
  lw_status status = lw_row_read(rows, work->kind, work->scratch, &kept, NULL, &fault);
  if (status == LW_CORRUPT) {
    return lw_problem(work->of, "%s %lld: %.300s", name, (long long)id, fault.message);
  }
  if (status != LW_OK) {
    return lw_fail_memory(work->of->err);
  }
  lw_body_write(&work->live, work->kind, &kept);
  const char *body = NULL;
  status = work->live.failed ? lw_fail_memory(work->of->err) : lw_sql_read(versions, 2, &body, work->of->err);
  if (status == LW_OK) {
    status = same_record(work, body, &same);
  }
  if (status == LW_OK && !same) {
    status = lw_problem(work->of, "%s %lld is not what its latest version says", name, (long long)id);
  }
  return status;
}

/* Both statements run by id. The one behind is stepped; *here tells which stand on the same id. */
static lw_status merge(comparison *work, sqlite3_stmt *rows, sqlite3_stmt *versions)
{
  lw_inspection *of = work->of;
  const char *name = lw_kinds[work->kind].name;
  bool row = false;
  bool version = false;
  lw_status status = lw_sql_step(of->store, rows, &row, checking, of->err);
  if (status == LW_OK) {
    status = lw_sql_step(of->store, versions, &version, checking, of->err);
  }
  while (status == LW_OK && (row || version)) {
    lw_id live = row ? sqlite3_column_int64(rows, 0) : INT64_MAX;
    lw_id known = version ? sqlite3_column_int64(versions, 0) : INT64_MAX;
    bool removed = version && sqlite3_column_int(versions, 1) != 0;
    if (live < known) {
      status = lw_problem(of, "%s %lld has no history", name, (long long)live);
    } else if (live > known && !removed) {
      status = lw_problem(of, "%s %lld is in the history but not among the records", name, (long long)known);
    } else if (live == known && removed) {
      status = lw_problem(of, "%s %lld was removed but is still among the records", name, (long long)live);
    } else if (live == known) {
      status = compare_live(work, rows, versions);
    }
    of->report->records += live <= known;
    if (status == LW_OK && live <= known) {
      status = lw_sql_step(of->store, rows, &row, checking, of->err);
    }
    if (status == LW_OK && known <= live) {
      status = lw_sql_step(of->store, versions, &version, checking, of->err);
    }
  }
  return status;
}

static lw_status compare_kind(lw_inspection *of, lw_kind_id kind)
{
  sqlite3_stmt *rows = NULL;
  sqlite3_stmt *versions = NULL;
  comparison work = {.of = of,
                     .kind = kind,
                     .scratch = lw_arena_new(0),
                     .live = LW_TEXT(LW_BODY_MAX),
                     .latest = LW_TEXT(LW_BODY_MAX)};
  lw_status status = work.scratch ? LW_OK : lw_fail_memory(of->err);
  if (status == LW_OK) {
    status = lw_sql_of_kind(of->store, kind, LW_SQL_ALL, &rows, of->err);
  }
  if (status == LW_OK) {
    status = lw_sql_fixed(of->store, LW_SQL_ALL_LATEST, &versions, of->err);
  }
  if (status == LW_OK) {
    lw_sql_bind_text(versions, 1, lw_kinds[kind].name);
    status = merge(&work, rows, versions);
  }
  lw_sql_reset(rows);
  lw_sql_reset(versions);
  lw_text_free(&work.live);
  lw_text_free(&work.latest);
  lw_arena_free(work.scratch);
  return status;
}

lw_status lw_check_records(lw_inspection *of)
{
  lw_status status = LW_OK;
  for (int kind = 0; kind < LW_KIND_COUNT && status == LW_OK; kind++) {
    status = compare_kind(of, (lw_kind_id)kind);
  }
  return status;
}
