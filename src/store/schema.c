/* SPDX-License-Identifier: Apache-2.0 */
/* The tables, and the way from older files to today's. New files are made from the kinds; older ones
 * are brought forward by lw_schema_steps. A test holds both against each other: a member added to
 * kinds.c without a step here, or a step that gives another schema, fails it. */
#include "store/internal.h"

#include <stdio.h>

/* Add a step for every new version: {1, "ALTER TABLE ..."} leads from version 1 to 2. A step never
 * changes once a release holds it. The first row stands so that the table is never empty: files of
 * version 0 were never released. */
const lw_schema_step lw_schema_steps[] = {
    {0, NULL},
    {1, "CREATE TABLE soundings (digest TEXT NOT NULL PRIMARY KEY, csv TEXT NOT NULL) STRICT;"
        "CREATE TABLE cache (key TEXT NOT NULL PRIMARY KEY, age INTEGER NOT NULL, digest BLOB NOT NULL, "
        "data BLOB NOT NULL) STRICT;"
        "CREATE TABLE survey (id INTEGER PRIMARY KEY, water INTEGER NOT NULL REFERENCES water(id), "
        "name TEXT NOT NULL, day TEXT NOT NULL, level_m REAL, offset_m REAL, used INTEGER NOT NULL, "
        "soundings TEXT REFERENCES soundings(digest), sounding_count REAL NOT NULL, kept TEXT NOT NULL, "
        "dropped TEXT NOT NULL, source TEXT NOT NULL, note TEXT NOT NULL) STRICT;"
        "CREATE INDEX survey_water ON survey(water);"
        "CREATE UNIQUE INDEX survey_name ON survey(water, name COLLATE NOCASE);"},
};
const size_t lw_schema_step_count = sizeof lw_schema_steps / sizeof lw_schema_steps[0];

static const char history_tables[] = "CREATE TABLE change ("
                                     "id INTEGER PRIMARY KEY, "
                                     "at TEXT NOT NULL, "
                                     "who TEXT NOT NULL, "
                                     "why TEXT NOT NULL, "
                                     "action TEXT NOT NULL, "
                                     "undoes INTEGER REFERENCES change(id), "
                                     "digest BLOB NOT NULL) STRICT;"
                                     "CREATE INDEX change_undoes ON change(undoes) WHERE undoes IS NOT NULL;"
                                     "CREATE TABLE record_version ("
                                     "kind TEXT NOT NULL, "
                                     "record INTEGER NOT NULL, "
                                     "version INTEGER NOT NULL, "
                                     "change INTEGER NOT NULL REFERENCES change(id), "
                                     "removed INTEGER NOT NULL, "
                                     "body TEXT NOT NULL, "
                                     "PRIMARY KEY (kind, record, version)) STRICT;"
                                     "CREATE INDEX record_version_change ON record_version(change);"
                                     "CREATE TABLE outline ("
                                     "digest TEXT NOT NULL PRIMARY KEY, "
                                     "geojson TEXT NOT NULL) STRICT;"
                                     "CREATE TABLE soundings ("
                                     "digest TEXT NOT NULL PRIMARY KEY, "
                                     "csv TEXT NOT NULL) STRICT;"
                                     "CREATE TABLE cache ("
                                     "key TEXT NOT NULL PRIMARY KEY, "
                                     "age INTEGER NOT NULL, "
                                     "digest BLOB NOT NULL, "
                                     "data BLOB NOT NULL) STRICT;";

static const char *sql_type(const lw_column *column)
{
  switch (column->type) {
  case LW_COLUMN_TEXT:
  case LW_COLUMN_DATE:
    return "TEXT NOT NULL";
  case LW_COLUMN_NUMBER:
    return "REAL NOT NULL";
  case LW_COLUMN_BOOLEAN:
    return "INTEGER NOT NULL";
  case LW_COLUMN_MAYBE:
    return "REAL";
  case LW_COLUMN_MAYBE_DATE:
  case LW_COLUMN_OUTLINE:
  case LW_COLUMN_SOUNDINGS:
    return "TEXT";
  case LW_COLUMN_REFERENCE:
    return column->required ? "INTEGER NOT NULL" : "INTEGER";
  case LW_COLUMN_MAYBE_WHOLE:
    break;
  }
  return "INTEGER";
}

static void add_table(lw_text *sql, const lw_kind *kind)
{
  lw_text_addf(sql, "CREATE TABLE \"%s\" (\"id\" INTEGER PRIMARY KEY", kind->name);
  for (size_t i = 0; i < kind->column_count; i++) {
    const lw_column *column = &kind->columns[i];
    lw_text_addf(sql, ", \"%s\" %s", column->name, sql_type(column));
    if (column->type == LW_COLUMN_REFERENCE) {
      lw_text_addf(sql, " REFERENCES \"%s\"(\"id\")", lw_kinds[column->refers_to].name);
    } else if (lw_large_of(column)) {
      lw_text_addf(sql, " REFERENCES \"%s\"(\"digest\")", lw_large_of(column)->table);
    }
  }
  lw_text_add(sql, ") STRICT;");
}

static void add_indexes(lw_text *sql, const lw_kind *kind)
{
  for (size_t i = 0; i < kind->column_count; i++) {
    const lw_column *column = &kind->columns[i];
    if (column->type == LW_COLUMN_REFERENCE) {
      lw_text_addf(sql, "CREATE INDEX \"%s_%s\" ON \"%s\"(\"%s\");", kind->name, column->name, kind->name,
                   column->name);
    }
    if (column->unique) {
      lw_text_addf(sql, "CREATE UNIQUE INDEX \"%s_%s\" ON \"%s\"(", kind->name, column->name, kind->name);
      if (column->unique_in) {
        lw_text_addf(sql, "\"%s\", ", column->unique_in);
      }
      lw_text_addf(sql, "\"%s\" COLLATE NOCASE);", column->name);
    }
  }
}

lw_status lw_schema_create(lw_store *store, lw_error *err)
{
  lw_text sql = LW_TEXT(65536);
  lw_text_add(&sql, "BEGIN IMMEDIATE;");
  lw_text_add(&sql, history_tables);
  for (int kind = 0; kind < LW_KIND_COUNT; kind++) {
    add_table(&sql, &lw_kinds[kind]);
    add_indexes(&sql, &lw_kinds[kind]);
  }
  lw_text_addf(&sql, "PRAGMA application_id = %d; PRAGMA user_version = %d; COMMIT;", LW_APPLICATION_ID,
               LW_SCHEMA_VERSION);
  lw_status status = sql.failed ? lw_fail(err, LW_MEMORY, "no memory for the tables of a new store")
                                : lw_sql_run(store, lw_text_view(&sql), "make the store's tables", err);
  lw_text_free(&sql);
  return status;
}

static lw_status read_version(lw_store *store, int64_t *out, lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  lw_status status = lw_sql_prepare(store, "PRAGMA user_version", &stmt, err);
  if (status == LW_OK) {
    status = lw_sql_number(store, stmt, out, "read the schema version", err);
  }
  (void)sqlite3_finalize(stmt);
  return status;
}

static const lw_schema_step *find_step(const lw_schema_step *steps, size_t count, int64_t from)
{
  for (size_t i = 0; i < count; i++) {
    if (steps[i].sql && steps[i].from == from) {
      return &steps[i];
    }
  }
  return NULL;
}

static lw_status run_step(lw_store *store, const lw_schema_step *step, int64_t from, lw_error *err)
{
  if (!step) {
    return lw_fail(err, LW_CORRUPT,
                   "'%.300s' has schema version %lld, which no release of Lakeward "
                   "wrote; go back to a backup",
                   store->path, (long long)from);
  }
  char stamp[64];
  (void)snprintf(stamp, sizeof stamp, "PRAGMA user_version = %d", step->from + 1);
  lw_status status = lw_sql_run(store, step->sql, "bring the store's tables up to date", err);
  return status == LW_OK ? lw_sql_run(store, stamp, "bring the store's tables up to date", err) : status;
}

/* Inside the transaction the version is read again: another program may have been faster. */
static lw_status run_steps(lw_store *store, const lw_schema_step *steps, size_t count, int newest,
                           lw_error *err)
{
  int64_t version = 0;
  lw_status status = read_version(store, &version, err);
  while (status == LW_OK && version < newest) {
    status = run_step(store, find_step(steps, count, version), version, err);
    version++;
  }
  return status;
}

lw_status lw_schema_migrate(lw_store *store, const lw_schema_step *steps, size_t count, int newest,
                            lw_error *err)
{
  int64_t version = 0;
  lw_status status = read_version(store, &version, err);
  if (status != LW_OK) {
    return status;
  }
  if (version > newest) {
    return lw_fail(err, LW_INVALID,
                   "'%.300s' was written by a newer Lakeward (schema version %lld, "
                   "this program knows up to %d); update Lakeward and open it again",
                   store->path, (long long)version, newest);
  }
  if (version == newest) {
    return LW_OK;
  }
  status = lw_sql_begin(store, LW_SQL_BEGIN, "bring the store's tables up to date", err);
  if (status != LW_OK) {
    return status;
  }
  status = run_steps(store, steps, count, newest, err);
  if (status == LW_OK) {
    status = lw_sql_run(store, "COMMIT", "bring the store's tables up to date", err);
  }
  if (status != LW_OK) {
    lw_sql_rollback(store);
  }
  return status;
}
