/* SPDX-License-Identifier: Apache-2.0 */
/* The tables that import does not build from must say what the history says: else somebody edited
 * one of them and would find the edit silently gone. */
#include "store/table_in.h"

#include <stdio.h>
#include <string.h>

static const char *const reading = "read the imported store";

typedef struct comparing {
  lw_store *store;
  lw_table_in table;
  lw_headings headings;
  lw_arena *arena; /* of the headings and of the records */
  size_t records;
} comparing;

static lw_status compare_cells(const comparing *work, const lw_csv_cell *cells, const char *const *expected,
                               lw_error *err)
{
  for (size_t i = 0; i < work->headings.count; i++) {
    if (strcmp(cells[i].text, expected[i]) != 0) {
      return lw_fail_cell(&work->table, &cells[i], err,
                          "%s is '%.100s' here but '%.100s' in the "
                          "history (versions.csv): this table was altered; records are changed with "
                          "Lakeward, not in an export",
                          work->headings.text[i], cells[i].text, expected[i]);
    }
  }
  return LW_OK;
}

static lw_status compare_row(comparing *work, lw_kind_id kind, sqlite3_stmt *stmt, lw_error *err)
{
  lw_any_record kept;
  const lw_csv_cell *cells = NULL;
  const char *expected[LW_TABLE_COLUMNS];
  lw_status status = lw_table_in_next(&work->table, &cells, err);
  if (status == LW_OK) {
    status = lw_row_read(stmt, kind, work->arena, &kept, NULL, err);
  }
  if (status == LW_OK) {
    status = lw_kind_cells(kind, &kept, work->arena, expected, err);
  }
  if (status != LW_OK) {
    return status;
  }
  work->records++;
  if (!cells) {
    return lw_fail(err, LW_CORRUPT,
                   "%s %s is missing from %s.csv but is in the history "
                   "(versions.csv): rows were taken out",
                   lw_kinds[kind].name, expected[0], lw_kinds[kind].plural);
  }
  return compare_cells(work, cells, expected, err);
}

static lw_status compare_rows(comparing *work, lw_kind_id kind, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  bool row = false;
  const lw_csv_cell *extra = NULL;
  lw_status status = lw_sql_of_kind(work->store, kind, LW_SQL_ALL, &stmt, err);
  if (status == LW_OK) {
    status = lw_sql_step(work->store, stmt, &row, reading, err);
  }
  while (status == LW_OK && row) {
    status = compare_row(work, kind, stmt, err);
    if (status == LW_OK) {
      status = lw_sql_step(work->store, stmt, &row, reading, err);
    }
  }
  lw_sql_reset(stmt);
  if (status == LW_OK) {
    status = lw_table_in_next(&work->table, &extra, err);
  }
  if (status == LW_OK && extra) {
    status = lw_fail_cell(&work->table, extra, err,
                          "%s '%.40s' is not in the history "
                          "(versions.csv): rows were added",
                          lw_kinds[kind].name, extra->text);
  }
  return status;
}

static lw_status compare_kind(lw_store *store, const char *folder, lw_kind_id kind, size_t *records,
                              lw_error *err)
{
  comparing work = {
      .store = store, .arena = lw_arena_new(0), .table = {.folder = folder, .name = lw_kinds[kind].plural}};
  lw_status status =
      work.arena ? lw_kind_headings(kind, work.arena, &work.headings, err) : lw_fail_memory(err);
  work.table.headings = &work.headings;
  if (status == LW_OK) {
    status = compare_rows(&work, kind, err);
  }
  *records += work.records;
  lw_table_in_end(&work.table);
  lw_arena_free(work.arena);
  return status;
}

/* ---- about.csv ---- */

static lw_status compare_item(lw_table_in *table, const char *item, const char *value, const char *advice,
                              lw_error *err)
{
  const lw_csv_cell *cells = NULL;
  lw_status status = lw_table_in_next(table, &cells, err);
  if (status != LW_OK) {
    return status;
  }
  if (!cells || strcmp(cells[0].text, item) != 0) {
    return lw_fail(err, LW_CORRUPT,
                   "about.csv does not tell '%s'; import a folder as it was "
                   "exported",
                   item);
  }
  return strcmp(cells[1].text, value) == 0
             ? LW_OK
             : lw_fail_cell(table, &cells[1], err, "%s is '%.80s' here, but %.80s was found: %s", item,
                            cells[1].text, value, advice);
}

static lw_status compare_count(lw_table_in *table, const char *item, size_t count, lw_error *err)
{
  char *value = lw_arena_format(table->arena, "%zu", count);
  return value ? compare_item(table, item, value, "part of the export is missing", err) : lw_fail_memory(err);
}

static lw_status compare_counts(lw_store *store, lw_table_in *table, size_t changes, size_t versions,
                                size_t records, lw_error *err)
{
  unsigned char digest[LW_DIGEST_BYTES];
  char hex[LW_DIGEST_HEX] = "";
  lw_status status = compare_count(table, "changes", changes, err);
  if (status == LW_OK) {
    status = compare_count(table, "versions", versions, err);
  }
  if (status == LW_OK) {
    status = compare_count(table, "records", records, err);
  }
  if (status == LW_OK && changes) {
    status = lw_digest_stored(store, (lw_id)changes, digest, err);
    lw_digest_hex(digest, hex);
  }
  return status == LW_OK ? compare_item(table, "last digest", hex, "the history was altered", err) : status;
}

static lw_table_in about_table(const char *folder)
{
  return (lw_table_in){.folder = folder, .name = "about", .headings = &lw_about_headings};
}

static lw_status next_is_format(lw_table_in *about, int *out, lw_error *err)
{
  const lw_csv_cell *cells = NULL;
  lw_status status = lw_table_in_next(about, &cells, err);
  if (status != LW_OK) {
    return status;
  }
  if (!cells || strcmp(cells[0].text, "lakeward export format") != 0) {
    return lw_fail(err, LW_CORRUPT,
                   "'%.300s' is not an export of Lakeward: its about.csv does not "
                   "say so",
                   about->folder);
  }
  int64_t format = 0;
  status = lw_cell_number(about, &cells[1], 1, &format, err);
  if (status == LW_OK && format > LW_EXPORT_FORMAT) {
    status = lw_fail_cell(about, &cells[1], err,
                          "the export has format %lld, this program reads formats 1 to %d; update Lakeward",
                          (long long)format, LW_EXPORT_FORMAT);
  }
  *out = (int)format;
  return status;
}

lw_status lw_import_format(const char *folder, int *out_format, lw_error *err)
{
  lw_table_in about = about_table(folder);
  lw_status status = next_is_format(&about, out_format, err);
  if (status == LW_NOT_FOUND) {
    status = lw_fail(err, LW_NOT_FOUND, "'%.300s' is not an export of Lakeward: it has no about.csv", folder);
  }
  lw_table_in_end(&about);
  return status;
}

lw_status lw_import_compare(lw_store *store, const char *folder, size_t changes, size_t versions,
                            lw_error *err)
{
  size_t records = 0;
  int format = 0;
  lw_status status = lw_import_format(folder, &format, err);
  for (int kind = 0; kind < LW_KIND_COUNT && status == LW_OK; kind++) {
    if (format >= lw_kinds[kind].since) {
      status = compare_kind(store, folder, (lw_kind_id)kind, &records, err);
    }
  }
  if (status != LW_OK) {
    return status;
  }
  lw_table_in about = about_table(folder);
  status = next_is_format(&about, &format, err);
  if (status == LW_OK) {
    status = compare_counts(store, &about, changes, versions, records, err);
  }
  lw_table_in_end(&about);
  return status;
}
