/* SPDX-License-Identifier: Apache-2.0 */
/* Is the file what it should be? SQLite looks at its pages and references; here the history is held
 * against itself (versions, digest chain, outlines, soundings) and against the current records. What is wrong
 * becomes a sentence in the report; only what hinders the looking itself is a fault. */
#include "store/check.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_PROBLEMS = 100, PROBLEM_LENGTH = 400 };

static const char *const checking = "check the store";

lw_status lw_problem(lw_inspection *of, const char *format, ...)
{
  if (of->report->problem_count == MOST_PROBLEMS) {
    of->hidden++;
    return LW_OK;
  }
  char sentence[PROBLEM_LENGTH];
  va_list args;
  va_start(args, format);
  (void)vsnprintf(sentence, sizeof sentence, format, args);
  va_end(args);
  const char *kept = lw_arena_copy(of->arena, sentence);
  if (!kept) {
    return lw_fail_memory(of->err);
  }
  of->problems[of->report->problem_count++] = kept;
  return LW_OK;
}

/* ---- SQLite's own looks ---- */

typedef lw_status (*row_handler)(lw_inspection *of, sqlite3_stmt *stmt);

static lw_status each_row(lw_inspection *of, const char *sql, row_handler handle)
{
  sqlite3_stmt *stmt = NULL;
  bool row = false;
  lw_status status = lw_sql_prepare(of->store, sql, &stmt, of->err);
  if (status == LW_OK) {
    status = lw_sql_step(of->store, stmt, &row, checking, of->err);
  }
  while (status == LW_OK && row) {
    status = handle(of, stmt);
    if (status == LW_OK) {
      status = lw_sql_step(of->store, stmt, &row, checking, of->err);
    }
  }
  (void)sqlite3_finalize(stmt);
  return status;
}

/* A page that could not be read for want of memory, or because the disk failed, is no finding about
 * the file. SQLite tells it in the same list as the findings, with its result code. */
static int code_in(const char *finding)
{
  static const char mark[] = "error code=";
  const char *at = strstr(finding, mark);
  return at ? (int)strtol(at + sizeof mark - 1, NULL, 10) : SQLITE_OK;
}

lw_status lw_integrity_read(lw_store *store, sqlite3_stmt *stmt, const char **out, lw_error *err)
{
  const char *text = NULL;
  *out = NULL;
  lw_status status = lw_sql_read(stmt, 0, &text, err);
  if (status != LW_OK || strcmp(text, "ok") == 0) {
    return status;
  }
  int code = code_in(text);
  if ((code & 0xff) == SQLITE_NOMEM || (code & 0xff) == SQLITE_IOERR) {
    return lw_sql_fail(store, code, checking, err);
  }
  const char *line = lw_starts_with(text, "***") ? strchr(text, '\n') : NULL;
  *out = line ? line + 1 : text;
  return LW_OK;
}

static lw_status on_integrity(lw_inspection *of, sqlite3_stmt *stmt)
{
  const char *finding = NULL;
  lw_status status = lw_integrity_read(of->store, stmt, &finding, of->err);
  return status == LW_OK && finding ? lw_problem(of, "the file: %.300s", finding) : status;
}

static lw_status on_foreign_key(lw_inspection *of, sqlite3_stmt *stmt)
{
  const char *table = lw_sql_text(stmt, 0);
  const char *parent = lw_sql_text(stmt, 2);
  return lw_problem(of, "%s %lld refers to a %s that is not there", table ? table : "record",
                    (long long)sqlite3_column_int64(stmt, 1), parent ? parent : "record");
}

static lw_status check_file(lw_inspection *of)
{
  return each_row(of, "PRAGMA integrity_check(50)", on_integrity);
}

static lw_status check_references(lw_inspection *of)
{
  return each_row(of, "PRAGMA foreign_key_check", on_foreign_key);
}

/* ---- outlines and soundings ---- */

static lw_status on_large(lw_inspection *of, sqlite3_stmt *stmt)
{
  char digest[LW_DIGEST_HEX];
  const char *kept = NULL;
  const char *text = NULL;
  const char *name = NULL;
  lw_status status = lw_sql_read(stmt, 0, &kept, of->err);
  if (status == LW_OK) {
    status = lw_sql_read(stmt, 1, &text, of->err);
  }
  if (status == LW_OK) {
    status = lw_sql_read(stmt, 2, &name, of->err);
  }
  if (status != LW_OK) {
    return status;
  }
  lw_large_digest(text, strlen(text), digest);
  return strcmp(digest, kept) == 0 ? LW_OK : lw_problem(of, "the %s %.16s... was altered", name, kept);
}

static lw_status check_large_of(lw_inspection *of, sqlite3_stmt *stmt, lw_kind_id kind, const lw_large *large,
                                const char *digest)
{
  sqlite3_stmt *exists = NULL;
  int64_t there = 0;
  lw_status status = lw_sql_fixed(of->store, large->exists, &exists, of->err);
  if (status == LW_OK) {
    lw_sql_bind_text(exists, 1, digest);
    status = lw_sql_number(of->store, exists, &there, checking, of->err);
  }
  return status != LW_OK || there
             ? status
             : lw_problem(of, "version %d of %s %lld: its %s is missing", sqlite3_column_int(stmt, 2),
                          lw_kinds[kind].name, (long long)sqlite3_column_int64(stmt, 1), large->name);
}

/* A version whose body names a large text. Bodies that cannot be read are told by the digests. */
static lw_status on_version_with_large(lw_inspection *of, sqlite3_stmt *stmt)
{
  lw_any_record kept;
  const char *name = NULL;
  const char *body = NULL;
  lw_arena *scratch = lw_arena_new(0);
  lw_status status = scratch ? lw_sql_read(stmt, 0, &name, of->err) : lw_fail_memory(of->err);
  if (status == LW_OK) {
    status = lw_sql_read(stmt, 3, &body, of->err);
  }
  lw_kind_id kind = status == LW_OK ? lw_kind_find(name) : LW_KIND_COUNT;
  const lw_column *column = kind == LW_KIND_COUNT ? NULL : lw_large_column(&lw_kinds[kind]);
  if (column) {
    lw_status readable = lw_body_read(kind, body, scratch, &kept, of->err);
    const char *digest = readable == LW_OK ? *(const char *const *)lw_member(&kept, column) : NULL;
    status = readable == LW_MEMORY ? readable
             : digest              ? check_large_of(of, stmt, kind, lw_large_of(column), digest)
                                   : LW_OK;
  }
  lw_arena_free(scratch);
  return status;
}

static lw_status check_large(lw_inspection *of)
{
  lw_status status = each_row(of, "SELECT digest, geojson, 'outline' FROM outline", on_large);
  if (status == LW_OK) {
    status = each_row(of, "SELECT digest, csv, 'text of soundings' FROM soundings", on_large);
  }
  return status == LW_OK
             ? each_row(of,
                        "SELECT kind, record, version, body FROM record_version "
                        "WHERE instr(body, '\"outline\":') > 0 OR instr(body, '\"soundings\":') > 0",
                        on_version_with_large)
             : status;
}

/* ---- changes and versions ---- */

static lw_status check_change(lw_inspection *of, lw_id change, const void *stored, int length)
{
  unsigned char before[LW_DIGEST_BYTES];
  unsigned char digest[LW_DIGEST_BYTES];
  lw_status status = lw_digest_stored(of->store, change - 1, before, of->err);
  if (status == LW_OK) {
    status = lw_digest_change(of->store, change, before, digest, of->err);
  }
  if (status != LW_OK) {
    return status;
  }
  if (!stored || length != LW_DIGEST_BYTES || memcmp(stored, digest, LW_DIGEST_BYTES) != 0) {
    return lw_problem(of,
                      "change %lld does not match its digest: it, the change before it or what it "
                      "wrote was altered outside Lakeward",
                      (long long)change);
  }
  return LW_OK;
}

static lw_status on_change(lw_inspection *of, sqlite3_stmt *stmt)
{
  lw_id change = sqlite3_column_int64(stmt, 0);
  of->report->changes++;
  if (change != (lw_id)of->report->changes) {
    lw_status status = lw_problem(of, "change %zu is missing: the history goes on with change %lld",
                                  of->report->changes, (long long)change);
    of->report->changes = change > 0 ? (size_t)change : of->report->changes;
    return status; /* its digest cannot be told without the one before it */
  }
  return check_change(of, change, sqlite3_column_blob(stmt, 6), sqlite3_column_bytes(stmt, 6));
}

static lw_status check_changes(lw_inspection *of)
{
  return each_row(of, "SELECT id, at, who, why, action, undoes, digest FROM change ORDER BY id", on_change);
}

static lw_status on_version(lw_inspection *of, sqlite3_stmt *stmt)
{
  const char *kind = NULL;
  lw_id record = sqlite3_column_int64(stmt, 1);
  lw_status status = lw_sql_read(stmt, 0, &kind, of->err);
  if (status != LW_OK) {
    return status;
  }
  of->report->versions += (size_t)sqlite3_column_int64(stmt, 4);
  if (lw_kind_find(kind) == LW_KIND_COUNT) {
    return lw_problem(of, "'%.40s' %lld is of no known kind", kind, (long long)record);
  }
  if (sqlite3_column_int64(stmt, 2) != 1 || sqlite3_column_int64(stmt, 3) != sqlite3_column_int64(stmt, 4)) {
    return lw_problem(of, "the versions of %s %lld do not run from 1 to their number", kind,
                      (long long)record);
  }
  return LW_OK;
}

static lw_status check_versions(lw_inspection *of)
{
  return each_row(of,
                  "SELECT kind, record, min(version), max(version), count(*) "
                  "FROM record_version GROUP BY kind, record",
                  on_version);
}

/* ---- all together ---- */

/* A part that cannot be read because the file is damaged is a finding, and the others go on. */
static lw_status run(lw_inspection *of, lw_status (*part)(lw_inspection *))
{
  lw_error fault = {0};
  lw_error *outer = of->err;
  of->err = &fault;
  lw_status status = part(of);
  of->err = outer;
  if (status == LW_CORRUPT) {
    return lw_problem(of, "%.380s", fault.message);
  }
  return status == LW_OK ? LW_OK : lw_fail(outer, status, "%s", fault.message);
}

static lw_status run_all(lw_inspection *of)
{
  static lw_status (*const parts[])(lw_inspection *) = {check_file,     check_references, check_changes,
                                                        check_versions, lw_check_records, check_large};
  lw_status status = LW_OK;
  for (size_t i = 0; i < sizeof parts / sizeof parts[0] && status == LW_OK; i++) {
    status = run(of, parts[i]);
  }
  if (status == LW_OK && of->hidden) {
    of->problems[of->report->problem_count] = lw_arena_format(of->arena, "and %zu more", of->hidden);
    status = of->problems[of->report->problem_count++] ? LW_OK : lw_fail_memory(of->err);
  }
  return status;
}

lw_status lw_store_check(lw_store *store, lw_arena *arena, lw_check_report *out, lw_error *err)
{
  bool own = false;
  *out = (lw_check_report){0};
  lw_inspection of = {.store = store,
                      .arena = arena,
                      .report = out,
                      .err = err,
                      .problems = LW_NEW(arena, const char *, MOST_PROBLEMS + 1)};
  if (!of.problems) {
    return lw_fail_memory(err);
  }
  out->problems = of.problems;
  if (store->change) {
    return lw_fail(err, LW_INTERNAL, "a check was asked for inside an unfinished change");
  }
  lw_status status = lw_read_begin(store, &own, err);
  if (status == LW_OK) {
    status = run_all(&of);
    lw_read_end(store, own);
  }
  return status;
}
