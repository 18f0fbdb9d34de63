/* SPDX-License-Identifier: Apache-2.0 */
/* Export. Everything is written from one moment of the store into a folder with a temporary name,
 * which gets its own name last: complete or absent. */
#include "store/transfer.h"

#include "exchange/files.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

static const char *const reading = "read the store for the export";

typedef struct exporting {
  lw_store *store;
  lw_arena *arena;    /* for what lasts as long as the export */
  const char *folder; /* the one being written */
  size_t versions, changes, records;
  char digest[LW_DIGEST_HEX]; /* of the last change, "" for none */
} exporting;

/* ---- one table, in parts ---- */

typedef struct table {
  const exporting *of;
  const char *name;
  const lw_headings *headings;
  lw_text text;
  int part;
} table;

static void add_row(lw_text *text, const char *const *cells, size_t count)
{
  for (size_t i = 0; i < count; i++) {
    lw_csv_write_cell(text, cells[i], i == 0);
  }
  lw_csv_write_end(text);
}

static void table_begin(table *into)
{
  lw_text_clear(&into->text);
  into->part++;
  add_row(&into->text, into->headings->text, into->headings->count);
}

static lw_status table_flush(table *into, lw_error *err)
{
  char *path = lw_part_path(into->of->arena, into->of->folder, into->name, into->part);
  if (!path || into->text.failed) {
    return lw_fail_memory(err);
  }
  return lw_file_write(path, lw_text_view(&into->text), into->text.length, 0, err);
}

static lw_status table_add(table *into, const char *const *cells, lw_error *err)
{
  if (into->text.length > LW_PART_BYTES) {
    lw_status status = table_flush(into, err);
    if (status != LW_OK) {
      return status;
    }
    table_begin(into);
  }
  add_row(&into->text, cells, into->headings->count);
  return into->text.failed ? lw_fail_memory(err) : LW_OK;
}

static table table_new(const exporting *of, const char *name, const lw_headings *headings)
{
  const size_t longest_row = (size_t)4 * LW_BODY_MAX; /* quotes may double a body */
  table out = {.of = of, .name = name, .headings = headings, .text = LW_TEXT(LW_PART_BYTES + longest_row)};
  table_begin(&out);
  return out;
}

static lw_status table_end(table *into, lw_status status, lw_error *err)
{
  if (status == LW_OK) {
    status = table_flush(into, err);
  }
  lw_text_free(&into->text);
  return status;
}

/* ---- the history ---- */

/* Cells straight from the row of a statement: NULLs are empty. */
static lw_status cells_of_row(sqlite3_stmt *stmt, size_t count, const char **cells, lw_error *err)
{
  for (size_t i = 0; i < count; i++) {
    cells[i] = "";
    if (sqlite3_column_type(stmt, (int)i) != SQLITE_NULL) {
      lw_status status = lw_sql_read(stmt, (int)i, &cells[i], err);
      if (status != LW_OK) {
        return status;
      }
    }
  }
  return LW_OK;
}

static lw_status write_query(const exporting *of, const char *sql, table *into, size_t *rows, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  bool row = false;
  const char *cells[LW_TABLE_COLUMNS];
  lw_status status = lw_sql_prepare(of->store, sql, &stmt, err);
  if (status == LW_OK) {
    status = lw_sql_step(of->store, stmt, &row, reading, err);
  }
  while (status == LW_OK && row) {
    (*rows)++;
    status = cells_of_row(stmt, into->headings->count, cells, err);
    if (status == LW_OK) {
      status = table_add(into, cells, err);
    }
    if (status == LW_OK) {
      status = lw_sql_step(of->store, stmt, &row, reading, err);
    }
  }
  (void)sqlite3_finalize(stmt);
  return status;
}

static lw_status write_changes(exporting *of, lw_error *err)
{
  table into = table_new(of, "changes", &lw_changes_headings);
  lw_status status = write_query(of,
                                 "SELECT id, at, who, why, action, undoes, lower(hex(digest)) "
                                 "FROM change ORDER BY id",
                                 &into, &of->changes, err);
  unsigned char digest[LW_DIGEST_BYTES];
  if (status == LW_OK && of->changes) {
    status = lw_digest_stored(of->store, (lw_id)of->changes, digest, err);
    lw_digest_hex(digest, of->digest);
  }
  return table_end(&into, status, err);
}

static lw_status write_versions(exporting *of, lw_error *err)
{
  table into = table_new(of, "versions", &lw_versions_headings);
  lw_status status = write_query(of,
                                 "SELECT change, kind, record, version, "
                                 "CASE removed WHEN 0 THEN 'no' ELSE 'yes' END, body "
                                 "FROM record_version ORDER BY change, kind, record, version",
                                 &into, &of->versions, err);
  return table_end(&into, status, err);
}

/* ---- outlines and soundings ---- */

static lw_status write_text(const lw_large *large, const char *folder, sqlite3_stmt *stmt, lw_arena *arena,
                            lw_error *err)
{
  const char *digest = NULL;
  const char *text = NULL;
  lw_status status = lw_sql_read(stmt, 0, &digest, err);
  if (status == LW_OK) {
    status = lw_sql_read(stmt, 1, &text, err);
  }
  if (status != LW_OK) {
    return status;
  }
  char *path = lw_arena_format(arena, "%s/%s.%s", folder, digest, large->ending);
  return path ? lw_file_write(path, text, strlen(text), 0, err) : lw_fail_memory(err);
}

static lw_status make_folder(const char *path, lw_error *err)
{
  return mkdir(path, 0777) == 0
             ? LW_OK
             : lw_fail(err, LW_IO, "could not make the folder '%.300s': %s", path, strerror(errno));
}

static lw_status write_large(const exporting *of, const lw_large *large, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  bool row = false;
  char *folder = lw_arena_format(of->arena, "%s/%s", of->folder, large->folder);
  char *sql =
      lw_arena_format(of->arena, "SELECT digest, %s FROM %s ORDER BY digest", large->column, large->table);
  lw_status status = folder && sql ? make_folder(folder, err) : lw_fail_memory(err);
  if (status == LW_OK) {
    status = lw_sql_prepare(of->store, sql, &stmt, err);
  }
  while (status == LW_OK && (status = lw_sql_step(of->store, stmt, &row, reading, err)) == LW_OK && row) {
    status = write_text(large, folder, stmt, of->arena, err);
  }
  (void)sqlite3_finalize(stmt);
  return status;
}

/* ---- the kinds ---- */

static lw_status write_rows(exporting *of, lw_kind_id kind, table *into, lw_arena *scratch, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  bool row = false;
  lw_any_record kept;
  const char *cells[LW_TABLE_COLUMNS];
  lw_status status = lw_sql_of_kind(of->store, kind, LW_SQL_ALL, &stmt, err);
  if (status == LW_OK) {
    status = lw_sql_step(of->store, stmt, &row, reading, err);
  }
  while (status == LW_OK && row) {
    of->records++;
    status = lw_row_read(stmt, kind, scratch, &kept, NULL, err);
    if (status == LW_OK) {
      status = lw_kind_cells(kind, &kept, scratch, cells, err);
    }
    if (status == LW_OK) {
      status = table_add(into, cells, err);
    }
    if (status == LW_OK) {
      status = lw_sql_step(of->store, stmt, &row, reading, err);
    }
  }
  lw_sql_reset(stmt);
  return status;
}

static lw_status write_kind(exporting *of, lw_kind_id kind, lw_error *err)
{
  lw_headings headings;
  lw_status status = lw_kind_headings(kind, of->arena, &headings, err);
  if (status != LW_OK) {
    return status;
  }
  lw_arena *scratch = lw_arena_new(0);
  table into = table_new(of, lw_kinds[kind].plural, &headings);
  status = scratch ? write_rows(of, kind, &into, scratch, err) : lw_fail_memory(err);
  lw_arena_free(scratch);
  return table_end(&into, status, err);
}

static lw_status write_about(const exporting *of, lw_error *err)
{
  char number[4][32];
  (void)snprintf(number[0], sizeof number[0], "%d", LW_EXPORT_FORMAT);
  (void)snprintf(number[1], sizeof number[1], "%zu", of->changes);
  (void)snprintf(number[2], sizeof number[2], "%zu", of->versions);
  (void)snprintf(number[3], sizeof number[3], "%zu", of->records);
  const char *const rows[][2] = {{"lakeward export format", number[0]},
                                 {"changes", number[1]},
                                 {"versions", number[2]},
                                 {"records", number[3]},
                                 {"last digest", of->digest}};
  table into = table_new(of, "about", &lw_about_headings);
  lw_status status = LW_OK;
  for (size_t i = 0; i < sizeof rows / sizeof rows[0] && status == LW_OK; i++) {
    status = table_add(&into, rows[i], err);
  }
  return table_end(&into, status, err);
}

static lw_status write_all(exporting *of, lw_error *err)
{
  lw_status status = write_changes(of, err);
  if (status == LW_OK) {
    status = write_versions(of, err);
  }
  for (size_t i = 0; i < LW_LARGE_COUNT && status == LW_OK; i++) {
    status = write_large(of, &lw_large_types[i], err);
  }
  for (int kind = 0; kind < LW_KIND_COUNT && status == LW_OK; kind++) {
    status = write_kind(of, (lw_kind_id)kind, err);
  }
  return status == LW_OK ? write_about(of, err) : status;
}

/* ---- the folder ---- */

static lw_status check_folder(const char *path, lw_error *err)
{
  struct stat info;
  if (*path == '\0') {
    return lw_fail(err, LW_INVALID, "the name of the folder is empty; give one");
  }
  if (stat(path, &info) != 0) {
    return LW_OK; /* it will be made */
  }
  if (!S_ISDIR(info.st_mode)) {
    return lw_fail(err, LW_CONFLICT, "'%.300s' is a file; name a new or an empty folder", path);
  }
  return lw_place_is_empty_folder(path) ? LW_OK
                                        : lw_fail(err, LW_CONFLICT,
                                                  "the folder '%.300s' is not empty; name a new or an empty "
                                                  "one",
                                                  path);
}

/* rename() puts the finished folder over an empty one and refuses any other. */
static lw_status export_beside(exporting *of, const char *folder, lw_error *err)
{
  bool own = false;
  lw_status status = make_folder(of->folder, err);
  if (status == LW_OK) {
    status = lw_read_begin(of->store, &own, err);
  }
  if (status == LW_OK) {
    status = write_all(of, err);
    lw_read_end(of->store, own);
  }
  if (status == LW_OK && rename(of->folder, folder) != 0) {
    status = lw_fail(err, LW_IO, "could not put the export at '%.300s': %s", folder, strerror(errno));
  }
  if (status == LW_OK) {
    lw_place_sync_folder_of(folder);
  } else {
    lw_place_clear_folder(of->folder);
  }
  return status;
}

lw_status lw_store_export(lw_store *store, const char *folder, lw_error *err)
{
  if (store->change) {
    return lw_fail(err, LW_INTERNAL, "an export was asked for inside an unfinished change");
  }
  lw_status status = check_folder(folder, err);
  if (status != LW_OK) {
    return status;
  }
  exporting of = {.store = store, .arena = lw_arena_new(0)};
  char *name = of.arena ? lw_arena_copy(of.arena, folder) : NULL;
  for (size_t n = name ? strlen(name) : 0; n > 1 && name[n - 1] == '/'; n--) {
    name[n - 1] = '\0';
  }
  char *temporary = NULL;
  status = name ? lw_place_temporary(name, &temporary, err) : lw_fail_memory(err);
  if (status == LW_OK) {
    of.folder = temporary;
    status = export_beside(&of, name, err);
  }
  free(temporary);
  lw_arena_free(of.arena);
  return status;
}
