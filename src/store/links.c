/* SPDX-License-Identifier: Apache-2.0 */
/* What a record must be like among the others: what it refers to lives, its name is free, and
 * nothing that lives refers to what is taken away. SQLite's own constraints stand behind these
 * checks; here they get their sentences. */
#include "store/internal.h"

#include <string.h>

static lw_status check_reference(lw_store *store, lw_kind_id kind, const lw_column *column, lw_id id,
                                 lw_status status_if_not, lw_error *err)
{
  if (id == 0) {
    return LW_OK;
  }
  sqlite3_stmt *stmt = NULL;
  int64_t there = 0;
  lw_status status = lw_sql_of_kind(store, column->refers_to, LW_SQL_EXISTS, &stmt, err);
  if (status == LW_OK) {
    (void)sqlite3_bind_int64(stmt, 1, id);
    status = lw_sql_number(store, stmt, &there, "read the store", err);
  }
  if (status == LW_OK && !there) {
    const lw_kind *other = &lw_kinds[column->refers_to];
    status = lw_fail(err, status_if_not,
                     "%s %s: there is no %s %lld; list the %s to see which there "
                     "are",
                     lw_kinds[kind].name, column->label, other->name, (long long)id, other->plural);
  }
  return status;
}

static lw_status check_name(lw_store *store, lw_kind_id kind, const lw_column *column, lw_id id,
                            const void *record, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  int64_t other = 0;
  lw_status status = lw_sql_of_kind(store, kind, LW_SQL_TAKEN, &stmt, err);
  if (status != LW_OK) {
    return status;
  }
  const char *name = *(const char *const *)lw_member(record, column);
  lw_sql_bind_text(stmt, 1, name);
  (void)sqlite3_bind_int64(stmt, 2, id);
  if (column->unique_in) {
    const lw_column *scope = lw_kind_column(&lw_kinds[kind], column->unique_in);
    (void)sqlite3_bind_int64(stmt, 3, *(const lw_id *)lw_member(record, scope));
  }
  status = lw_sql_number(store, stmt, &other, "read the store", err);
  if (status == LW_OK && other) {
    status = lw_fail(err, LW_CONFLICT,
                     "%s %s '%.80s' is taken by %s %lld (capitals make no "
                     "difference); use another",
                     lw_kinds[kind].name, column->label, name, lw_kinds[kind].name, (long long)other);
  }
  return status;
}

lw_status lw_references_check(lw_store *store, lw_kind_id kind, const void *kept, lw_status status_if_not,
                              lw_error *err)
{
  const lw_kind *description = &lw_kinds[kind];
  for (size_t i = 0; i < description->column_count; i++) {
    const lw_column *column = &description->columns[i];
    if (column->type == LW_COLUMN_REFERENCE) {
      lw_id id = *(const lw_id *)lw_member(kept, column);
      lw_status status = check_reference(store, kind, column, id, status_if_not, err);
      if (status != LW_OK) {
        return status;
      }
    }
  }
  return LW_OK;
}

lw_status lw_names_check(lw_store *store, lw_kind_id kind, lw_id id, const void *kept, lw_error *err)
{
  const lw_kind *description = &lw_kinds[kind];
  lw_status status = LW_OK;
  for (size_t i = 0; i < description->column_count && status == LW_OK; i++) {
    if (description->columns[i].unique) {
      status = check_name(store, kind, &description->columns[i], id, kept, err);
    }
  }
  return status;
}

static lw_status count_referrers(lw_store *store, const lw_kind *from, const lw_column *column, lw_id id,
                                 int64_t *out, lw_error *err)
{
  lw_text sql = LW_TEXT(512);
  sqlite3_stmt *stmt = NULL;
  lw_text_addf(&sql, "SELECT count(*) FROM \"%s\" WHERE \"%s\" = ?1", from->name, column->name);
  lw_status status = sql.failed ? lw_fail_memory(err) : lw_sql_prepare(store, lw_text_view(&sql), &stmt, err);
  if (status == LW_OK) {
    (void)sqlite3_bind_int64(stmt, 1, id);
    status = lw_sql_number(store, stmt, out, "read the store", err);
  }
  (void)sqlite3_finalize(stmt);
  lw_text_free(&sql);
  return status;
}

/* Adds "12 readings" to the list where there are any. */
static lw_status list_referrers(lw_store *store, const lw_kind *from, lw_kind_id kind, lw_id id,
                                lw_text *list, lw_error *err)
{
  for (size_t i = 0; i < from->column_count; i++) {
    const lw_column *column = &from->columns[i];
    if (column->type != LW_COLUMN_REFERENCE || column->refers_to != kind) {
      continue;
    }
    int64_t count = 0;
    lw_status status = count_referrers(store, from, column, id, &count, err);
    if (status != LW_OK) {
      return status;
    }
    if (count) {
      lw_text_addf(list, "%s%lld %s", list->length ? ", " : "", (long long)count,
                   count == 1 ? from->name : from->plural);
    }
  }
  return LW_OK;
}

lw_status lw_referrers_check(lw_store *store, lw_kind_id kind, lw_id id, lw_error *err)
{
  lw_text list = LW_TEXT(400);
  lw_status status = LW_OK;
  for (int from = 0; from < LW_KIND_COUNT && status == LW_OK; from++) {
    status = list_referrers(store, &lw_kinds[from], kind, id, &list, err);
  }
  if (status == LW_OK && list.failed) {
    status = lw_fail_memory(err);
  }
  if (status == LW_OK && list.length) {
    status = lw_fail(err, LW_CONFLICT, "%s %lld is still used by %s; remove those first", lw_kinds[kind].name,
                     (long long)id, lw_text_view(&list));
  }
  lw_text_free(&list);
  return status;
}
