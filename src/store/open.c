/* SPDX-License-Identifier: Apache-2.0 */
/* Making, opening and closing a store. Settings of every connection: write-ahead log (readers never
 * wait for a writer), synchronous FULL (a commit that returned is on disk), foreign keys, defensive
 * (no writing to the schema or to internal tables), no trust in functions named by the schema. */
#include "store/internal.h"

#include <errno.h>
#include <sodium.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

enum { HEADER_BYTES = 100, HEADER_APPLICATION_ID = 68 };

static lw_status open_database(lw_store *store, bool fresh, lw_error *err)
{
  int flags =
      SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX | SQLITE_OPEN_EXRESCODE | (fresh ? SQLITE_OPEN_CREATE : 0);
  int code = sqlite3_open_v2(store->path, &store->db, flags, NULL);
  if (code != SQLITE_OK) {
    return lw_sql_fail(store, code, "open the store", err);
  }
  (void)sqlite3_busy_timeout(store->db, LW_BUSY_WAIT_MS);
  static const struct {
    int option, value;
  } options[] = {
      {SQLITE_DBCONFIG_ENABLE_FKEY, 1},    {SQLITE_DBCONFIG_ENABLE_TRIGGER, 0},
      {SQLITE_DBCONFIG_ENABLE_VIEW, 0},    {SQLITE_DBCONFIG_DEFENSIVE, 1},
      {SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0}, {SQLITE_DBCONFIG_DQS_DML, 0},
      {SQLITE_DBCONFIG_DQS_DDL, 0},        {SQLITE_DBCONFIG_ENABLE_LOAD_EXTENSION, 0},
  };
  for (size_t i = 0; i < sizeof options / sizeof options[0]; i++) {
    code = sqlite3_db_config(store->db, options[i].option, options[i].value, NULL);
    if (code != SQLITE_OK) {
      return lw_sql_fail(store, code, "prepare the store for safe use", err);
    }
  }
  return LW_OK;
}

lw_status lw_store_attach(lw_store **out, const char *path, bool fresh, lw_error *err)
{
  *out = NULL;
  if (sodium_init() < 0) {
    return lw_fail(err, LW_INTERNAL, "the digest library could not start");
  }
  lw_store *store = calloc(1, sizeof *store);
  if (!store || !(store->path = strdup(path))) {
    free(store);
    return lw_fail(err, LW_MEMORY, "no memory to open '%.300s'", path);
  }
  lw_status status = open_database(store, fresh, err);
  if (status != LW_OK) {
    lw_store_close(store);
    return status;
  }
  *out = store;
  return LW_OK;
}

void lw_store_close(lw_store *store)
{
  if (!store) {
    return;
  }
  lw_store_rollback(store);
  for (int kind = 0; kind < LW_KIND_COUNT; kind++) {
    for (int which = 0; which < LW_KIND_SQL_COUNT; which++) {
      (void)sqlite3_finalize(store->of_kind[kind][which]);
    }
  }
  for (int which = 0; which < LW_FIXED_SQL_COUNT; which++) {
    (void)sqlite3_finalize(store->fixed[which]);
  }
  (void)sqlite3_close_v2(store->db);
  free(store->path);
  free(store);
}

/* ---- making ---- */

static lw_status build(const char *temporary, lw_error *err)
{
  lw_store *store = NULL;
  lw_status status = lw_store_attach(&store, temporary, true, err);
  if (status == LW_OK) {
    status = lw_schema_create(store, err);
  }
  if (status == LW_OK) {
    status = lw_sql_run(store, "PRAGMA journal_mode = WAL", "start the store's log", err);
  }
  lw_store_close(store);
  return status;
}

lw_status lw_store_create(const char *path, lw_error *err)
{
  char *temporary = NULL;
  lw_status status = lw_place_free(path, err);
  if (status == LW_OK) {
    status = lw_place_temporary(path, &temporary, err);
  }
  if (status == LW_OK) {
    status = build(temporary, err);
  }
  if (status == LW_OK) {
    status = lw_place_publish(temporary, path, err);
  }
  if (temporary && status != LW_OK) {
    lw_place_discard(temporary);
  }
  free(temporary);
  return status;
}

/* ---- opening ---- */

static lw_status check_path(const char *path, lw_error *err)
{
  struct stat info;
  if (stat(path, &info) != 0) {
    if (errno == ENOENT || errno == ENOTDIR) {
      return lw_fail(err, LW_NOT_FOUND,
                     "there is no store '%.300s'; check the path, or make a new "
                     "store there",
                     path);
    }
    return lw_fail(err, LW_IO, "could not look at '%.300s': %s; check the folder's permissions", path,
                   strerror(errno));
  }
  if (!S_ISREG(info.st_mode)) {
    return lw_fail(err, LW_INVALID, "'%.300s' is %s, not a store; give the path of the file", path,
                   S_ISDIR(info.st_mode) ? "a folder" : "a device or a pipe");
  }
  return LW_OK;
}

/* Looks at the file's first bytes before SQLite does anything with it, so that a file of another
 * program is left exactly as it was. Read through SQLite's own descriptor: closing one of ours would
 * drop the locks that another handle of this process holds on the same file. */
static lw_status check_header(lw_store *store, lw_error *err)
{
  static const char magic[16] = "SQLite format 3";
  unsigned char header[HEADER_BYTES] = {0};
  sqlite3_file *file = NULL;
  int code = sqlite3_file_control(store->db, "main", SQLITE_FCNTL_FILE_POINTER, &file);
  if (code == SQLITE_OK && (!file || !file->pMethods)) {
    code = SQLITE_CANTOPEN;
  }
  if (code == SQLITE_OK) {
    code = file->pMethods->xRead(file, header, HEADER_BYTES, 0);
  }
  if (code != SQLITE_OK && code != SQLITE_IOERR_SHORT_READ) {
    return lw_sql_fail(store, code, "read the store", err);
  }
  if (code == SQLITE_IOERR_SHORT_READ || memcmp(header, magic, sizeof magic) != 0) {
    return lw_fail(err, LW_CORRUPT,
                   "'%.300s' is not a Lakeward store; check the path, or go back to "
                   "a backup if it once was one",
                   store->path);
  }
  const unsigned char *id = header + HEADER_APPLICATION_ID;
  uint32_t application = (uint32_t)id[0] << 24 | (uint32_t)id[1] << 16 | (uint32_t)id[2] << 8 | id[3];
  if (application != LW_APPLICATION_ID) {
    return lw_fail(err, LW_CORRUPT,
                   "'%.300s' is a database of another program, not a Lakeward "
                   "store; check the path",
                   store->path);
  }
  return LW_OK;
}

static lw_status prepare(lw_store *store, lw_error *err)
{
  lw_status status = check_header(store, err);
  if (status == LW_OK) {
    status = lw_sql_run(store,
                        "PRAGMA cell_size_check = ON; PRAGMA synchronous = FULL;"
                        "PRAGMA journal_mode = WAL;",
                        "open the store", err);
  }
  if (status == LW_OK) {
    status = lw_schema_migrate(store, lw_schema_steps, lw_schema_step_count, LW_SCHEMA_VERSION, err);
  }
  return status;
}

lw_status lw_store_open(lw_store **out, const char *path, lw_error *err)
{
  *out = NULL;
  lw_store *store = NULL;
  lw_status status = check_path(path, err);
  if (status == LW_OK) {
    status = lw_store_attach(&store, path, false, err);
  }
  if (status == LW_OK) {
    status = prepare(store, err);
  }
  if (status != LW_OK) {
    lw_store_close(store);
    return status;
  }
  *out = store;
  return LW_OK;
}
