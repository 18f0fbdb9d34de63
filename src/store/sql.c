/* SPDX-License-Identifier: Apache-2.0 */
/* Statements: their text, made from the kinds; their keeping, once a handle; and the one place where
 * SQLite's result codes become sentences. */
#include "store/internal.h"

#include <string.h>

/* A version is 'latest' when no higher one of its record exists. */
static const char *const fixed_text[LW_FIXED_SQL_COUNT] = {
    [LW_SQL_BEGIN] = "BEGIN IMMEDIATE",
    [LW_SQL_COMMIT] = "COMMIT",
    [LW_SQL_NEXT_CHANGE] = "SELECT ifnull(max(id), 0) + 1 FROM change",
    [LW_SQL_ADD_CHANGE] = "INSERT INTO change (id, at, who, why, action, undoes, digest) "
                          "VALUES (?1, ?2, ?3, ?4, ?5, ?6, zeroblob(32))",
    [LW_SQL_SEAL_CHANGE] = "UPDATE change SET digest = ?2 WHERE id = ?1",
    [LW_SQL_CHANGE] = "SELECT at, who, why, action, ifnull(undoes, 0), digest FROM change "
                      "WHERE id = ?1",
    [LW_SQL_RECORDS_OF_CHANGE] = "SELECT count(*) FROM (SELECT DISTINCT kind, record "
                                 "FROM record_version WHERE change = ?1)",
    [LW_SQL_CHANGES] = "SELECT id, at, who, why, action, ifnull(undoes, 0), digest FROM change "
                       "ORDER BY id",
    [LW_SQL_REVISION] = "SELECT ifnull(max(id), 0) FROM change",
    [LW_SQL_COUNT_CHANGES] = "SELECT count(*) FROM change",
    [LW_SQL_NEXT_RECORD] = "SELECT ifnull(max(record), 0) + 1 FROM record_version WHERE kind = ?1",
    [LW_SQL_LATEST] = "SELECT version, removed, body, change FROM record_version "
                      "WHERE kind = ?1 AND record = ?2 ORDER BY version DESC LIMIT 1",
    [LW_SQL_AS_OF] = "SELECT removed, body FROM record_version "
                     "WHERE kind = ?1 AND record = ?2 AND change <= ?3 "
                     "ORDER BY version DESC LIMIT 1",
    [LW_SQL_ADD_VERSION] = "INSERT INTO record_version (kind, record, version, change, removed, body) "
                           "VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
    [LW_SQL_VERSIONS_OF_CHANGE] = "SELECT kind, record, version, removed, body FROM record_version "
                                  "WHERE change = ?1 ORDER BY kind, record, version",
    [LW_SQL_TOUCHED] = "SELECT DISTINCT kind, record FROM record_version WHERE change = ?1 "
                       "ORDER BY kind, record",
    [LW_SQL_VERSIONS_OF_RECORD] = "SELECT v.version, v.change, c.at, c.who, c.why, v.removed, v.body "
                                  "FROM record_version AS v JOIN change AS c ON c.id = v.change "
                                  "WHERE v.kind = ?1 AND v.record = ?2 ORDER BY v.version",
    [LW_SQL_ALL_LATEST] = "SELECT record, removed, body, max(version) FROM record_version "
                          "WHERE kind = ?1 GROUP BY record ORDER BY record",
    [LW_SQL_ALL_VERSIONS] = "SELECT kind, record, version, change, removed, body FROM record_version "
                            "ORDER BY change, kind, record, version",
    [LW_SQL_RECENT_CHANGES] = "SELECT id FROM change ORDER BY id DESC LIMIT ?1",
    [LW_SQL_UNDOS] = "SELECT id, undoes FROM change WHERE undoes IS NOT NULL ORDER BY id DESC",
    [LW_SQL_TOUCHED_LATER] = "SELECT DISTINCT v.change, ifnull(c.undoes, 0) "
                             "FROM record_version AS v JOIN change AS c ON c.id = v.change "
                             "WHERE v.kind = ?1 AND v.record = ?2 AND v.change > ?3 "
                             "ORDER BY v.change DESC",
    [LW_SQL_OUTLINE_KEEP] = "INSERT OR IGNORE INTO outline (digest, geojson) VALUES (?1, ?2)",
    [LW_SQL_OUTLINE_EXISTS] = "SELECT count(*) FROM outline WHERE digest = ?1",
    [LW_SQL_OUTLINE_FETCH] = "SELECT geojson FROM outline WHERE digest = ?1",
};

static lw_status fail_io(lw_store *store, int code, const char *doing, lw_error *err)
{
  const char *reason = sqlite3_errmsg(store->db);
  switch (code & 0xff) {
  case SQLITE_FULL:
    return lw_fail(err, LW_IO, "could not %s in '%.300s': the disk is full; free some space and try "
                   "again, nothing was changed", doing, store->path);
  case SQLITE_READONLY:
  case SQLITE_PERM:
  case SQLITE_AUTH:
    return lw_fail(err, LW_IO, "could not %s in '%.300s': it may not be written here; check the "
                   "permissions of the file and its folder", doing, store->path);
  default:
    return lw_fail(err, LW_IO, "could not %s in '%.300s': %.120s; check the disk and the folder",
                   doing, store->path, reason);
  }
}

lw_status lw_sql_fail(lw_store *store, int code, const char *doing, lw_error *err)
{
  const char *reason = store->db ? sqlite3_errmsg(store->db) : sqlite3_errstr(code);
  switch (code & 0xff) {
  case SQLITE_BUSY:
  case SQLITE_LOCKED:
    return lw_fail(err, LW_BUSY, "could not %s: another program is writing to '%.300s' (waited %d "
                   "s); let it finish and try again", doing, store->path, LW_BUSY_WAIT_MS / 1000);
  case SQLITE_CORRUPT:
  case SQLITE_NOTADB:
    return lw_fail(err, LW_CORRUPT, "could not %s: '%.300s' is damaged (%.120s); keep the file as it "
                   "is and go back to a backup", doing, store->path, reason);
  case SQLITE_NOMEM:
    return lw_fail(err, LW_MEMORY, "could not %s: no memory", doing);
  case SQLITE_TOOBIG:
    return lw_fail(err, LW_LIMIT, "could not %s: a value is too large; shorten it", doing);
  case SQLITE_FULL:
  case SQLITE_READONLY:
  case SQLITE_PERM:
  case SQLITE_AUTH:
  case SQLITE_IOERR:
  case SQLITE_CANTOPEN:
  case SQLITE_PROTOCOL:
    return fail_io(store, code, doing, err);
  default:
    return lw_fail(err, LW_INTERNAL, "could not %s in '%.300s': %.200s (code %d)", doing,
                   store->path, reason, code);
  }
}

lw_status lw_sql_run(lw_store *store, const char *sql, const char *doing, lw_error *err)
{
  int code = sqlite3_exec(store->db, sql, NULL, NULL, NULL);
  return code == SQLITE_OK ? LW_OK : lw_sql_fail(store, code, doing, err);
}

lw_status lw_sql_prepare(lw_store *store, const char *sql, sqlite3_stmt **out, lw_error *err)
{
  int code = sqlite3_prepare_v3(store->db, sql, -1, SQLITE_PREPARE_PERSISTENT, out, NULL);
  if ((code & 0xff) == SQLITE_ERROR) { /* our own SQL is right: so the tables are not */
    return lw_fail(err, LW_CORRUPT, "the tables in '%.300s' are not those of a store (%.120s); keep "
                   "the file as it is and go back to a backup", store->path,
                   sqlite3_errmsg(store->db));
  }
  return code == SQLITE_OK ? LW_OK : lw_sql_fail(store, code, "read the store's tables", err);
}

lw_status lw_sql_fixed(lw_store *store, lw_fixed_sql which, sqlite3_stmt **out, lw_error *err)
{
  lw_status status = LW_OK;
  if (!store->fixed[which]) {
    status = lw_sql_prepare(store, fixed_text[which], &store->fixed[which], err);
  }
  *out = store->fixed[which];
  return status;
}

static void add_column_list(lw_text *sql, const lw_kind *kind)
{
  lw_text_add(sql, "\"id\"");
  for (size_t i = 0; i < kind->column_count; i++) {
    lw_text_addf(sql, ", \"%s\"", kind->columns[i].name);
  }
}

static const lw_column *unique_column(const lw_kind *kind)
{
  for (size_t i = 0; i < kind->column_count; i++) {
    if (kind->columns[i].unique) {
      return &kind->columns[i];
    }
  }
  return NULL;
}

static void add_select(lw_text *sql, const lw_kind *kind, const char *where)
{
  lw_text_add(sql, "SELECT ");
  add_column_list(sql, kind);
  lw_text_addf(sql, " FROM \"%s\" %s", kind->name, where);
}

static void add_put(lw_text *sql, const lw_kind *kind)
{
  lw_text_addf(sql, "INSERT INTO \"%s\" (", kind->name);
  add_column_list(sql, kind);
  lw_text_add(sql, ") VALUES (?1");
  for (size_t i = 0; i < kind->column_count; i++) {
    lw_text_addf(sql, ", ?%zu", i + 2);
  }
  lw_text_add(sql, ") ON CONFLICT (\"id\") DO UPDATE SET ");
  for (size_t i = 0; i < kind->column_count; i++) {
    const char *name = kind->columns[i].name;
    lw_text_addf(sql, "%s\"%s\" = excluded.\"%s\"", i ? ", " : "", name, name);
  }
}

static void add_by_name(lw_text *sql, const lw_kind *kind, lw_kind_sql which)
{
  const lw_column *name = unique_column(kind);
  if (!name) {
    return;
  }
  if (which == LW_SQL_NAMED) {
    add_select(sql, kind, "");
    lw_text_addf(sql, "WHERE \"%s\" = ?1 COLLATE NOCASE", name->name);
    return;
  }
  lw_text_addf(sql, "SELECT \"id\" FROM \"%s\" WHERE \"%s\" = ?1 COLLATE NOCASE AND \"id\" <> ?2",
               kind->name, name->name);
  if (name->unique_in) {
    lw_text_addf(sql, " AND \"%s\" IS ?3", name->unique_in);
  }
}

static void make_sql(lw_text *sql, const lw_kind *kind, lw_kind_sql which)
{
  switch (which) {
  case LW_SQL_ONE:
    add_select(sql, kind, "WHERE \"id\" = ?1");
    break;
  case LW_SQL_ALL:
    add_select(sql, kind, "ORDER BY \"id\"");
    break;
  case LW_SQL_OF_WATER:
    add_select(sql, kind, "WHERE \"water\" = ?1");
    if (!lw_kind_column(kind, "water")->required) {
      lw_text_add(sql, " OR \"water\" IS NULL");
    }
    break;
  case LW_SQL_COUNT:
    lw_text_addf(sql, "SELECT count(*) FROM \"%s\"", kind->name);
    break;
  case LW_SQL_PUT:
    add_put(sql, kind);
    break;
  case LW_SQL_DELETE:
    lw_text_addf(sql, "DELETE FROM \"%s\" WHERE \"id\" = ?1", kind->name);
    break;
  case LW_SQL_EXISTS:
    lw_text_addf(sql, "SELECT count(*) FROM \"%s\" WHERE \"id\" = ?1", kind->name);
    break;
  default:
    add_by_name(sql, kind, which);
    break;
  }
}

lw_status lw_sql_of_kind(lw_store *store, lw_kind_id kind, lw_kind_sql which, sqlite3_stmt **out,
                         lw_error *err)
{
  sqlite3_stmt **kept = &store->of_kind[kind][which];
  lw_status status = LW_OK;
  if (!*kept) {
    lw_text sql = LW_TEXT(16384);
    make_sql(&sql, &lw_kinds[kind], which);
    status = sql.failed ? lw_fail(err, LW_MEMORY, "no memory for a query of the store")
                        : lw_sql_prepare(store, lw_text_view(&sql), kept, err);
    lw_text_free(&sql);
  }
  *out = *kept;
  return status;
}

void lw_sql_reset(sqlite3_stmt *stmt)
{
  if (stmt) {
    (void)sqlite3_reset(stmt);
    (void)sqlite3_clear_bindings(stmt);
  }
}

lw_status lw_sql_step(lw_store *store, sqlite3_stmt *stmt, bool *row, const char *doing,
                      lw_error *err)
{
  int code = sqlite3_step(stmt);
  *row = code == SQLITE_ROW;
  lw_status status = LW_OK;
  if (code != SQLITE_ROW && code != SQLITE_DONE) {
    status = lw_sql_fail(store, code, doing, err);
  }
  if (code != SQLITE_ROW) {
    lw_sql_reset(stmt);
  }
  return status;
}

lw_status lw_sql_done(lw_store *store, sqlite3_stmt *stmt, const char *doing, lw_error *err)
{
  bool row = false;
  lw_status status = lw_sql_step(store, stmt, &row, doing, err);
  if (row) {
    lw_sql_reset(stmt);
  }
  return status;
}

lw_status lw_sql_number(lw_store *store, sqlite3_stmt *stmt, int64_t *out, const char *doing,
                        lw_error *err)
{
  bool row = false;
  *out = 0;
  lw_status status = lw_sql_step(store, stmt, &row, doing, err);
  if (row) {
    *out = sqlite3_column_int64(stmt, 0);
    lw_sql_reset(stmt);
  }
  return status;
}

void lw_sql_bind_text(sqlite3_stmt *stmt, int index, const char *text)
{
  (void)sqlite3_bind_text(stmt, index, text, -1, SQLITE_STATIC);
}

const char *lw_sql_text(sqlite3_stmt *stmt, int column)
{
  return (const char *)sqlite3_column_text(stmt, column);
}

lw_status lw_sql_read(sqlite3_stmt *stmt, int column, const char **out, lw_error *err)
{
  bool missing = sqlite3_column_type(stmt, column) == SQLITE_NULL;
  *out = lw_sql_text(stmt, column);
  if (missing) {
    return lw_fail(err, LW_CORRUPT, "the store holds nothing in column %s, where a text must be; go "
                   "back to a backup", sqlite3_column_name(stmt, column));
  }
  return *out ? LW_OK : lw_fail_memory(err);
}

lw_status lw_sql_copy(sqlite3_stmt *stmt, int column, lw_arena *arena, const char **out,
                      lw_error *err)
{
  const char *text = NULL;
  lw_status status = lw_sql_read(stmt, column, &text, err);
  *out = status == LW_OK ? lw_arena_copy(arena, text) : NULL;
  return status == LW_OK && !*out ? lw_fail_memory(err) : status;
}

lw_status lw_fail_memory(lw_error *err)
{
  return lw_fail(err, LW_MEMORY, "there is not enough memory for the store's records");
}

lw_status lw_read_begin(lw_store *store, bool *own, lw_error *err)
{
  *own = sqlite3_get_autocommit(store->db) != 0;
  return *own ? lw_sql_run(store, "BEGIN", "read the store", err) : LW_OK;
}

void lw_read_end(lw_store *store, bool own)
{
  if (own && !sqlite3_get_autocommit(store->db)) {
    (void)sqlite3_exec(store->db, "ROLLBACK", NULL, NULL, NULL);
  }
}
