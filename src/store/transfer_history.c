/* SPDX-License-Identifier: Apache-2.0 */
/* The history of an export, row by row: each change with the versions it wrote, held against its
 * digest as soon as it is in. A fault is told with file, line and column. */
#include "store/table_in.h"

#include "exchange/files.h"

#include <string.h>

static const char *const writing = "write the imported store";

typedef struct importing {
  lw_store *store;
  const char *folder;
  lw_arena *scratch; /* emptied now and then */
  lw_table_in changes, versions;
  const lw_csv_cell *version; /* the next row of versions.csv, NULL after the last */
  size_t change_count, version_count;
  unsigned char digest[LW_DIGEST_BYTES]; /* of the change before */
} importing;

/* ---- versions ---- */

enum { V_CHANGE, V_KIND, V_RECORD, V_VERSION, V_REMOVED, V_BODY };
enum { C_CHANGE, C_AT, C_WHO, C_WHY, C_ACTION, C_UNDOES, C_DIGEST };

static lw_status next_version(importing *work, lw_error *err)
{
  return lw_table_in_next(&work->versions, &work->version, err);
}

/* Texts of the scratch arena are not needed from one change to the next. */
static lw_status empty_scratch(importing *work, lw_error *err)
{
  lw_arena_free(work->scratch);
  work->scratch = lw_arena_new(0);
  return work->scratch ? LW_OK : lw_fail_memory(err);
}

/* The large text a body names comes into the store with it, once: versions share it. */
static lw_status take_text(importing *work, const lw_large *large, const char *digest, lw_arena *arena,
                           lw_error *err)
{
  char found[LW_DIGEST_HEX];
  char *text = NULL;
  size_t length = 0;
  if (strlen(digest) != LW_DIGEST_HEX - 1 || strspn(digest, "0123456789abcdef") != strlen(digest)) {
    return lw_fail(err, LW_CORRUPT, "'%.80s' is not the digest of its %s", digest, large->name);
  }
  char *path = lw_arena_format(arena, "%s/%s/%s.%s", work->folder, large->folder, digest, large->ending);
  lw_status status =
      path ? lw_file_read(path, large->longest, arena, &text, &length, err) : lw_fail_memory(err);
  if (status != LW_OK) {
    return status;
  }
  lw_large_digest(text, length, found);
  if (strcmp(found, digest) != 0 || strlen(text) != length) {
    return lw_fail(err, LW_CORRUPT, "the %s in %.300s was altered: it does not match its name", large->name,
                   path);
  }
  status = large->check(text, length, err);
  return status == LW_OK ? lw_large_put(work->store, large, digest, text, err) : status;
}

static lw_status is_there(importing *work, const lw_large *large, const char *digest, int64_t *there,
                          lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  lw_status status = lw_sql_fixed(work->store, large->exists, &stmt, err);
  if (status != LW_OK) {
    return status;
  }
  lw_sql_bind_text(stmt, 1, digest);
  return lw_sql_number(work->store, stmt, there, writing, err);
}

static lw_status take_large(importing *work, lw_kind_id kind, const void *kept, lw_error *err)
{
  const lw_column *column = lw_large_column(&lw_kinds[kind]);
  const char *digest = column ? *(const char *const *)lw_member(kept, column) : NULL;
  if (!column || (!digest && !column->required)) {
    return LW_OK;
  }
  if (!digest) {
    return lw_fail(err, LW_CORRUPT, "the %s has no %s", lw_kinds[kind].name, column->label);
  }
  int64_t there = 0;
  const lw_large *large = lw_large_of(column);
  lw_status status = is_there(work, large, digest, &there, err);
  if (status != LW_OK || there) {
    return status;
  }
  lw_arena *arena = lw_arena_new(0); /* of its own: several large texts may belong to one change */
  status = arena ? take_text(work, large, digest, arena, err) : lw_fail_memory(err);
  lw_arena_free(arena);
  return status;
}

static lw_status take_body(importing *work, lw_kind_id kind, const char *body, lw_error *err)
{
  lw_any_record kept;
  lw_status status = lw_body_read(kind, body, work->scratch, &kept, err);
  if (status == LW_OK) {
    status = lw_record_check(kind, &kept, err);
  }
  return status == LW_OK ? take_large(work, kind, &kept, err) : status;
}

static lw_status check_next_version(importing *work, lw_kind_id kind, lw_id record, int64_t version,
                                    lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  int64_t latest = 0;
  lw_status status = lw_sql_fixed(work->store, LW_SQL_LATEST, &stmt, err);
  if (status == LW_OK) {
    lw_sql_bind_text(stmt, 1, lw_kinds[kind].name);
    (void)sqlite3_bind_int64(stmt, 2, record);
    status = lw_sql_number(work->store, stmt, &latest, writing, err);
  }
  if (status == LW_OK && version != latest + 1) {
    status = lw_fail_cell(&work->versions, &work->version[V_VERSION], err,
                          "version %lld of %s %lld "
                          "does not follow version %lld",
                          (long long)version, lw_kinds[kind].name, (long long)record, (long long)latest);
  }
  return status;
}

/* One row of versions.csv, which belongs to the open change. */
static lw_status take_version(importing *work, lw_error *err)
{
  const lw_table_in *table = &work->versions;
  const lw_csv_cell *cells = work->version;
  int64_t record = 0;
  int64_t version = 0;
  lw_kind_id kind = lw_kind_find(cells[V_KIND].text);
  bool removed = strcmp(cells[V_REMOVED].text, "yes") == 0;
  if (kind == LW_KIND_COUNT) {
    return lw_fail_cell(table, &cells[V_KIND], err, "'%.40s' is no kind of record", cells[V_KIND].text);
  }
  if (!removed && strcmp(cells[V_REMOVED].text, "no") != 0) {
    return lw_fail_cell(table, &cells[V_REMOVED], err, "'%.40s' is neither yes nor no",
                        cells[V_REMOVED].text);
  }
  lw_status status = lw_cell_number(table, &cells[V_RECORD], 1, &record, err);
  if (status == LW_OK) {
    status = lw_cell_number(table, &cells[V_VERSION], 1, &version, err);
  }
  if (status == LW_OK) {
    status = check_next_version(work, kind, record, version, err);
  }
  if (status == LW_OK) {
    status = take_body(work, kind, cells[V_BODY].text, err);
    status = status == LW_OK ? LW_OK : lw_place_fault(table, &cells[V_BODY], status, err);
  }
  if (status == LW_OK) {
    status = lw_version_add(work->store, kind, record, removed, cells[V_BODY].text, err);
  }
  work->version_count += status == LW_OK;
  return status == LW_OK ? next_version(work, err) : status;
}

/* All rows of versions.csv that belong to `change`; they stand in its order. */
static lw_status take_versions(importing *work, lw_id change, lw_error *err)
{
  lw_status status = LW_OK;
  while (status == LW_OK && work->version) {
    int64_t of = 0;
    status = lw_cell_number(&work->versions, &work->version[V_CHANGE], 1, &of, err);
    if (status != LW_OK || of > change) {
      break;
    }
    if (of < change) {
      return lw_fail_cell(&work->versions, &work->version[V_CHANGE], err,
                          "change %lld stands after "
                          "change %lld; the rows must keep their order",
                          (long long)of, (long long)change);
    }
    status = take_version(work, err);
  }
  return status;
}

/* ---- changes ---- */

static lw_status read_change(const lw_table_in *table, const lw_csv_cell *cells, lw_change *out,
                             int64_t *undoes, lw_id id, lw_error *err)
{
  *out = (lw_change){.who = cells[C_WHO].text, .why = cells[C_WHY].text, .action = cells[C_ACTION].text};
  lw_status status = lw_instant_parse(&out->at, "at", cells[C_AT].text, err);
  if (status == LW_OK) {
    status = lw_change_check(out, err);
  }
  if (status != LW_OK) {
    return lw_place_fault(table, &cells[C_AT], status, err);
  }
  *undoes = 0;
  if (cells[C_UNDOES].length) {
    status = lw_cell_number(table, &cells[C_UNDOES], 1, undoes, err);
    if (status == LW_OK && *undoes >= id) {
      status = lw_fail_cell(table, &cells[C_UNDOES], err, "change %lld cannot undo change %lld",
                            (long long)id, (long long)*undoes);
    }
  }
  return status;
}

static lw_status seal(importing *work, const lw_csv_cell *cell, lw_error *err)
{
  unsigned char digest[LW_DIGEST_BYTES];
  char hex[LW_DIGEST_HEX];
  sqlite3_stmt *stmt = NULL;
  lw_id change = work->store->change;
  lw_status status = lw_digest_change(work->store, change, work->digest, digest, err);
  if (status != LW_OK) {
    return status;
  }
  lw_digest_hex(digest, hex);
  if (strcmp(hex, cell->text) != 0) {
    return lw_fail_cell(&work->changes, cell, err,
                        "change %lld does not match its digest: this row, "
                        "or what versions.csv says of the change, was altered or is damaged; go back "
                        "to the export as it was made",
                        (long long)change);
  }
  memcpy(work->digest, digest, sizeof digest);
  status = lw_sql_fixed(work->store, LW_SQL_SEAL_CHANGE, &stmt, err);
  if (status == LW_OK) {
    (void)sqlite3_bind_int64(stmt, 1, change);
    (void)sqlite3_bind_blob(stmt, 2, digest, sizeof digest, SQLITE_STATIC);
    status = lw_sql_done(work->store, stmt, writing, err);
  }
  return status;
}

static lw_status take_change(importing *work, const lw_csv_cell *cells, lw_error *err)
{
  int64_t id = 0;
  int64_t undoes = 0;
  lw_change change;
  lw_status status = lw_cell_number(&work->changes, &cells[C_CHANGE], 1, &id, err);
  if (status == LW_OK && id != (int64_t)work->change_count + 1) {
    status = lw_fail_cell(&work->changes, &cells[C_CHANGE], err,
                          "change %lld stands where change "
                          "%zu should be",
                          (long long)id, work->change_count + 1);
  }
  if (status == LW_OK) {
    status = read_change(&work->changes, cells, &change, &undoes, id, err);
  }
  if (status == LW_OK) {
    status = lw_change_open(work->store, &change, undoes, err);
  }
  if (status == LW_OK) {
    status = take_versions(work, id, err);
  }
  if (status == LW_OK) {
    status = seal(work, &cells[C_DIGEST], err);
  }
  work->change_count += status == LW_OK;
  return status == LW_OK ? empty_scratch(work, err) : status;
}

static lw_status take_history(importing *work, lw_error *err)
{
  const lw_csv_cell *cells = NULL;
  lw_status status = next_version(work, err);
  while (status == LW_OK && (status = lw_table_in_next(&work->changes, &cells, err)) == LW_OK && cells) {
    status = take_change(work, cells, err);
  }
  if (status == LW_OK && work->version) {
    status = lw_fail_cell(&work->versions, &work->version[V_CHANGE], err,
                          "change %.20s is not in "
                          "changes.csv",
                          work->version[V_CHANGE].text);
  }
  return status;
}

lw_status lw_import_history(lw_store *store, const char *folder, size_t *changes, size_t *versions,
                            lw_error *err)
{
  importing work = {.store = store,
                    .folder = folder,
                    .changes = {.folder = folder, .name = "changes", .headings = &lw_changes_headings},
                    .versions = {.folder = folder, .name = "versions", .headings = &lw_versions_headings}};
  lw_status status = empty_scratch(&work, err);
  if (status == LW_OK) {
    status = take_history(&work, err);
  }
  *changes = work.change_count;
  *versions = work.version_count;
  lw_table_in_end(&work.changes);
  lw_table_in_end(&work.versions);
  lw_arena_free(work.scratch);
  store->change = 0;
  return status;
}
