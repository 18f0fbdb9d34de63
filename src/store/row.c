/* SPDX-License-Identifier: Apache-2.0 */
/* Records to the parameters of a statement and back from its rows, column by column. */
#include "store/internal.h"

#include <math.h>
#include <string.h>

static int bind_maybe(sqlite3_stmt *stmt, int index, lw_maybe maybe, bool whole)
{
  if (!maybe.known) {
    return sqlite3_bind_null(stmt, index);
  }
  return whole ? sqlite3_bind_int64(stmt, index, (sqlite3_int64)maybe.value)
               : sqlite3_bind_double(stmt, index, maybe.value);
}

static int bind_date(sqlite3_stmt *stmt, int index, lw_day day)
{
  char text[LW_DATE_TEXT];
  return day == LW_NO_DAY ? sqlite3_bind_null(stmt, index)
                          : sqlite3_bind_text(stmt, index, lw_date_text(day, text), -1, SQLITE_TRANSIENT);
}

static int bind_column(sqlite3_stmt *stmt, int index, const lw_column *column, const void *kept)
{
  const void *member = lw_member(kept, column);
  switch (column->type) {
  case LW_COLUMN_TEXT:
  case LW_COLUMN_OUTLINE:
  case LW_COLUMN_SOUNDINGS:
    return sqlite3_bind_text(stmt, index, *(const char *const *)member, -1, SQLITE_STATIC);
  case LW_COLUMN_NUMBER:
    return sqlite3_bind_double(stmt, index, *(const double *)member);
  case LW_COLUMN_MAYBE:
    return bind_maybe(stmt, index, *(const lw_maybe *)member, false);
  case LW_COLUMN_MAYBE_WHOLE:
    return bind_maybe(stmt, index, *(const lw_maybe *)member, true);
  case LW_COLUMN_BOOLEAN:
    return sqlite3_bind_int(stmt, index, *(const bool *)member);
  case LW_COLUMN_DATE:
  case LW_COLUMN_MAYBE_DATE:
    return bind_date(stmt, index, *(const lw_day *)member);
  case LW_COLUMN_REFERENCE:
    return *(const lw_id *)member ? sqlite3_bind_int64(stmt, index, *(const lw_id *)member)
                                  : sqlite3_bind_null(stmt, index);
  }
  return SQLITE_MISUSE;
}

int lw_row_bind(sqlite3_stmt *stmt, lw_kind_id kind, lw_id id, const void *kept)
{
  int code = sqlite3_bind_int64(stmt, 1, id);
  for (size_t i = 0; i < lw_kinds[kind].column_count && code == SQLITE_OK; i++) {
    code = bind_column(stmt, (int)i + 2, &lw_kinds[kind].columns[i], kept);
  }
  return code;
}

static lw_status read_text(sqlite3_stmt *stmt, int index, lw_arena *arena, const char **member,
                           const char *before, lw_error *err)
{
  const char *text = NULL;
  lw_status status = lw_sql_read(stmt, index, &text, err);
  if (status != LW_OK) {
    return status;
  }
  if (*text == '\0') {
    *member = "";
  } else if (before && strcmp(before, text) == 0) {
    *member = before;
  } else {
    *member = lw_arena_copy(arena, text);
  }
  return *member ? LW_OK : lw_fail_memory(err);
}

static lw_status read_number(sqlite3_stmt *stmt, int index, const char *name, double *out, lw_error *err)
{
  bool missing = sqlite3_column_type(stmt, index) == SQLITE_NULL;
  *out = sqlite3_column_double(stmt, index);
  return isfinite(*out) && !missing ? LW_OK
                                    : lw_fail(err, LW_CORRUPT,
                                              "the store holds no finite number in column %s; go back to "
                                              "a backup",
                                              name);
}

static lw_status read_maybe(sqlite3_stmt *stmt, int index, const char *name, lw_maybe *out, lw_error *err)
{
  *out = (lw_maybe){0};
  if (sqlite3_column_type(stmt, index) == SQLITE_NULL) {
    return LW_OK;
  }
  out->known = true;
  return read_number(stmt, index, name, &out->value, err);
}

static lw_status read_date(sqlite3_stmt *stmt, int index, const char *name, lw_day *out, lw_error *err)
{
  const char *text = NULL;
  lw_status status = lw_sql_read(stmt, index, &text, err);
  if (status != LW_OK) {
    return status;
  }
  return lw_date_parse(out, name, text, NULL) == LW_OK
             ? LW_OK
             : lw_fail(err, LW_CORRUPT,
                       "the store holds '%.40s' in column %s, which is no date; go "
                       "back to a backup",
                       text, name);
}

static lw_status read_column(sqlite3_stmt *stmt, int index, const lw_column *column, lw_arena *arena,
                             void *kept, const void *before, lw_error *err)
{
  void *member = lw_member_of(kept, column);
  switch (column->type) {
  case LW_COLUMN_TEXT:
    return read_text(stmt, index, arena, (const char **)member,
                     before ? *(const char *const *)lw_member(before, column) : NULL, err);
  case LW_COLUMN_OUTLINE:
  case LW_COLUMN_SOUNDINGS:
    if (sqlite3_column_type(stmt, index) == SQLITE_NULL) {
      *(const char **)member = NULL;
      return LW_OK;
    }
    return read_text(stmt, index, arena, (const char **)member, NULL, err);
  case LW_COLUMN_NUMBER:
    return read_number(stmt, index, column->name, (double *)member, err);
  case LW_COLUMN_MAYBE:
  case LW_COLUMN_MAYBE_WHOLE:
    return read_maybe(stmt, index, column->name, (lw_maybe *)member, err);
  case LW_COLUMN_BOOLEAN:
    *(bool *)member = sqlite3_column_int(stmt, index) != 0;
    return LW_OK;
  case LW_COLUMN_MAYBE_DATE:
    if (sqlite3_column_type(stmt, index) == SQLITE_NULL) {
      *(lw_day *)member = LW_NO_DAY;
      return LW_OK;
    }
    return read_date(stmt, index, column->name, (lw_day *)member, err);
  case LW_COLUMN_DATE:
    return read_date(stmt, index, column->name, (lw_day *)member, err);
  case LW_COLUMN_REFERENCE:
    *(lw_id *)member = sqlite3_column_int64(stmt, index);
    return LW_OK;
  }
  return lw_fail(err, LW_INTERNAL, "column %s has no type", column->name);
}

lw_status lw_row_read(sqlite3_stmt *stmt, lw_kind_id kind, lw_arena *arena, void *kept, const void *before,
                      lw_error *err)
{
  *(lw_id *)kept = sqlite3_column_int64(stmt, 0);
  lw_status status = LW_OK;
  for (size_t i = 0; i < lw_kinds[kind].column_count && status == LW_OK; i++) {
    status = read_column(stmt, (int)i + 1, &lw_kinds[kind].columns[i], arena, kept, before, err);
  }
  return status;
}
