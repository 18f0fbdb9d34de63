/* SPDX-License-Identifier: Apache-2.0 */
/* What the files of store/ share: the handle, its prepared statements, and the steps of which
 * writing, undoing, checking and importing are made. Not for other folders.
 *
 * A record has two shapes here. As its callers know it an outline is GeoJSON text, and soundings are
 * CSV text. As it is kept ('kept shape') the same member holds the 64 hexadecimal digits of the text's
 * digest, and the text itself lies once in the table `outline` or `soundings`: such a text may be
 * megabytes, and a new version is written whenever a note changes. lw_large_keep and lw_large_fetch
 * turn one into the other. */
#ifndef LW_STORE_INTERNAL_H
#define LW_STORE_INTERNAL_H

#include "base/text.h"
#include "store/store.h"

#include <sqlite3.h>
#include <stdint.h>

enum {
  LW_APPLICATION_ID = 0x4C574431, /* "LWD1" */
  LW_SCHEMA_VERSION = 2,
  LW_BUSY_WAIT_MS = 5000,
  LW_DIGEST_BYTES = 32,
  LW_DIGEST_HEX = 65, /* with NUL */
  LW_OUTLINE_MAX = 16 << 20,
  LW_SOUNDINGS_TEXT_MAX = 320 << 20, /* 5,000,000 rows at their longest; SQLite's own limit is 1e9 */
  LW_BODY_MAX = 1 << 20
};

/* Statements that are the same for every kind but for names; `*_one` take an id. */
typedef enum lw_kind_sql {
  LW_SQL_ONE,      /* id -> columns */
  LW_SQL_ALL,      /* -> columns, by id */
  LW_SQL_OF_WATER, /* water -> columns, in any order; those for all waters too */
  LW_SQL_COUNT,    /* -> how many rows */
  LW_SQL_NAMED,    /* name -> columns */
  LW_SQL_PUT,      /* id, columns: inserts or replaces */
  LW_SQL_DELETE,   /* id */
  LW_SQL_EXISTS,   /* id -> 0 or 1 */
  LW_SQL_TAKEN,    /* name, own id, scope -> id of another record with that name */
  LW_KIND_SQL_COUNT
} lw_kind_sql;

/* Statements over the history; their text stands in sql_text.c. */
typedef enum lw_fixed_sql {
  LW_SQL_BEGIN,
  LW_SQL_BEGIN_READ,
  LW_SQL_COMMIT,
  LW_SQL_ROLLBACK,
  LW_SQL_NEXT_CHANGE,
  LW_SQL_ADD_CHANGE,
  LW_SQL_SEAL_CHANGE,
  LW_SQL_CHANGE,
  LW_SQL_RECORDS_OF_CHANGE,
  LW_SQL_CHANGES,
  LW_SQL_REVISION,
  LW_SQL_COUNT_CHANGES,
  LW_SQL_NEXT_RECORD,
  LW_SQL_LATEST,
  LW_SQL_AS_OF,
  LW_SQL_ADD_VERSION,
  LW_SQL_VERSIONS_OF_CHANGE,
  LW_SQL_TOUCHED,
  LW_SQL_VERSIONS_OF_RECORD,
  LW_SQL_ALL_LATEST,
  LW_SQL_ALL_VERSIONS,
  LW_SQL_RECENT_CHANGES,
  LW_SQL_UNDOS,
  LW_SQL_TOUCHED_LATER,
  LW_SQL_OUTLINE_KEEP,
  LW_SQL_OUTLINE_FETCH,
  LW_SQL_OUTLINE_EXISTS,
  LW_SQL_SOUNDINGS_KEEP,
  LW_SQL_SOUNDINGS_FETCH,
  LW_SQL_SOUNDINGS_EXISTS,
  LW_SQL_CACHE_GET,
  LW_SQL_CACHE_PUT,
  LW_SQL_CACHE_TRIM,
  LW_FIXED_SQL_COUNT
} lw_fixed_sql;

struct lw_store {
  sqlite3 *db;
  char *path;
  sqlite3_stmt *of_kind[LW_KIND_COUNT][LW_KIND_SQL_COUNT];
  sqlite3_stmt *fixed[LW_FIXED_SQL_COUNT];
  lw_id change;    /* the open change, 0 outside begin and commit */
  size_t wrote;    /* versions in the open change */
  bool keep_empty; /* an undo is recorded even when it wrote nothing */
  bool broken;     /* a write stopped half way: only rollback is left */
};

/* ---- sql_text.c, sql.c ---- */

const char *lw_sql_fixed_text(lw_fixed_sql which);
/* Nothing where the kind has no such statement. */
void lw_sql_write(lw_text *sql, const lw_kind *kind, lw_kind_sql which);

/* The fault behind SQLite's result code, in the person's terms; `doing` completes "could not ...". */
lw_status lw_sql_fail(lw_store *store, int code, const char *doing, lw_error *err);
LW_MUST_CHECK lw_status lw_sql_run(lw_store *store, const char *sql, const char *doing, lw_error *err);
LW_MUST_CHECK lw_status lw_sql_prepare(lw_store *store, const char *sql, sqlite3_stmt **out, lw_error *err);
/* Prepared once a handle. The borrower resets them: lw_sql_done, lw_sql_number, lw_sql_reset. */
LW_MUST_CHECK lw_status lw_sql_fixed(lw_store *store, lw_fixed_sql which, sqlite3_stmt **out, lw_error *err);
LW_MUST_CHECK lw_status lw_sql_of_kind(lw_store *store, lw_kind_id kind, lw_kind_sql which,
                                       sqlite3_stmt **out, lw_error *err);
/* Runs a statement that gives no rows. */
LW_MUST_CHECK lw_status lw_sql_done(lw_store *store, sqlite3_stmt *stmt, const char *doing, lw_error *err);
/* The first column of the first row; 0 when there is none. */
LW_MUST_CHECK lw_status lw_sql_number(lw_store *store, sqlite3_stmt *stmt, int64_t *out, const char *doing,
                                      lw_error *err);
/* One step: *row tells whether there is a row. Without one the statement is reset. */
LW_MUST_CHECK lw_status lw_sql_step(lw_store *store, sqlite3_stmt *stmt, bool *row, const char *doing,
                                    lw_error *err);
void lw_sql_reset(sqlite3_stmt *stmt); /* accepts NULL */
/* Begins a transaction (LW_SQL_BEGIN takes the write lock, LW_SQL_BEGIN_READ none), and drops the
 * open one, if any. */
LW_MUST_CHECK lw_status lw_sql_begin(lw_store *store, lw_fixed_sql how, const char *doing, lw_error *err);
void lw_sql_rollback(lw_store *store);
/* One moment for several queries: a read transaction, unless one is open already. */
LW_MUST_CHECK lw_status lw_read_begin(lw_store *store, bool *own, lw_error *err);
void lw_read_end(lw_store *store, bool own);
/* A text that outlives the step, so that nothing is allocated and nothing can fail. NULL: NULL. */
void lw_sql_bind_text(sqlite3_stmt *stmt, int index, const char *text);
/* Until the next step; NULL for an SQL NULL and when memory is short. */
const char *lw_sql_text(sqlite3_stmt *stmt, int column);
/* The same of a column that always holds a text: LW_CORRUPT when it does not. */
LW_MUST_CHECK lw_status lw_sql_read(sqlite3_stmt *stmt, int column, const char **out, lw_error *err);
/* The same as a copy in the arena. */
LW_MUST_CHECK lw_status lw_sql_copy(sqlite3_stmt *stmt, int column, lw_arena *arena, const char **out,
                                    lw_error *err);
lw_status lw_fail_memory(lw_error *err);

/* ---- open.c, schema.c, place.c ---- */

LW_MUST_CHECK lw_status lw_store_attach(lw_store **out, const char *path, bool fresh, lw_error *err);
LW_MUST_CHECK lw_status lw_schema_create(lw_store *store, lw_error *err);

/* What turns a file of schema version `from` into `from + 1`. */
typedef struct lw_schema_step {
  int from;
  const char *sql;
} lw_schema_step;

extern const lw_schema_step lw_schema_steps[];
extern const size_t lw_schema_step_count;

/* Brings the file to version `newest` by the steps, all in one transaction. */
LW_MUST_CHECK lw_status lw_schema_migrate(lw_store *store, const lw_schema_step *steps, size_t count,
                                          int newest, lw_error *err);

/* New files are built under a temporary name beside their place and then put there: complete or
 * absent. lw_place_free refuses where something stands already, a leftover log included. */
LW_MUST_CHECK lw_status lw_place_free(const char *path, lw_error *err);
LW_MUST_CHECK lw_status lw_place_temporary(const char *path, char **out, lw_error *err);
LW_MUST_CHECK lw_status lw_place_publish(const char *temporary, const char *path, lw_error *err);
void lw_place_discard(const char *temporary);
void lw_place_sync_folder_of(const char *path);
bool lw_place_is_empty_folder(const char *path);
/* Takes away a folder that an export made and did not finish: its files and those of the folders
 * inside it. */
void lw_place_clear_folder(const char *temporary);

/* ---- row.c, body.c, body_read.c, large.c, geometry.c, soundings.c, rules.c ---- */

static inline const void *lw_member(const void *record, const lw_column *column)
{
  return (const char *)record + column->offset;
}

static inline void *lw_member_of(void *record, const lw_column *column)
{
  return (char *)record + column->offset;
}

static inline lw_id lw_record_id(const void *record)
{
  return *(const lw_id *)record;
}

static inline bool lw_kind_known(lw_kind_id kind)
{
  return (unsigned)kind < LW_KIND_COUNT;
}

/* Parameter 1 is the id, then the columns in order. Kept shape; texts must outlive the step. Gives
 * SQLite's result code. */
LW_MUST_CHECK int lw_row_bind(sqlite3_stmt *stmt, lw_kind_id kind, lw_id id, const void *kept);
/* The row the statement stands on, into kept shape. `before` is the record read just before it from
 * the same statement, or NULL: equal texts are shared with it. */
LW_MUST_CHECK lw_status lw_row_read(sqlite3_stmt *stmt, lw_kind_id kind, lw_arena *arena, void *kept,
                                    const void *before, lw_error *err);

/* A version's body: JSON of what is known, keys in the order of the columns; what is absent is
 * empty. From and to kept shape. */
void lw_body_write(lw_text *out, lw_kind_id kind, const void *kept);
LW_MUST_CHECK lw_status lw_body_read(lw_kind_id kind, const char *body, lw_arena *arena, void *kept,
                                     lw_error *err);

/* A type of column whose texts may be large and are kept once, under their digest. */
typedef struct lw_large {
  lw_column_type type;
  const char *name;   /* "outline": in messages */
  const char *table;  /* digest -> text */
  const char *column; /* of the text in that table */
  const char *folder; /* in an export */
  const char *ending; /* of its files there: "geojson" */
  size_t longest;     /* bytes */
  bool not_in_lists;  /* lw_store_list leaves it NULL */
  lw_status (*check)(const char *text, size_t length, lw_error *err);
  lw_fixed_sql keep, fetch, exists;
} lw_large;

enum { LW_LARGE_COUNT = 2 };
extern const lw_large lw_large_types[LW_LARGE_COUNT];

/* NULL when texts of this column are not large. */
const lw_large *lw_large_of(const lw_column *column);
/* The first such column of a kind (no kind has more than one), NULL when it has none. */
const lw_column *lw_large_column(const lw_kind *kind);

/* Checks and keeps the large text of `record`; `kept` (room for the kind) becomes its kept shape, with
 * the digest in `room`. One that is required but NULL is LW_INVALID in a new record (id 0); a record
 * that has one keeps it. */
LW_MUST_CHECK lw_status lw_large_keep(lw_store *store, lw_kind_id kind, lw_id id, const void *record,
                                      void *kept, char room[LW_DIGEST_HEX], lw_error *err);
/* The text in the place of its digest; NULL instead where `light` and lists go without. */
LW_MUST_CHECK lw_status lw_large_fetch(lw_store *store, lw_kind_id kind, bool light, lw_arena *arena,
                                       void *record, lw_error *err);
void lw_large_digest(const char *text, size_t length, char out[LW_DIGEST_HEX]);
LW_MUST_CHECK lw_status lw_large_put(lw_store *store, const lw_large *large, const char *digest,
                                     const char *text, lw_error *err);

/* Is it a GeoJSON geometry? Are these soundings as lw_fixes_write tells them? LW_INVALID, LW_LIMIT. */
LW_MUST_CHECK lw_status lw_outline_check(const char *geojson, size_t length, lw_error *err);
LW_MUST_CHECK lw_status lw_soundings_check(const char *csv, size_t length, lw_error *err);

/* All that can be said of a record without looking at others. */
LW_MUST_CHECK lw_status lw_record_check(lw_kind_id kind, const void *record, lw_error *err);
LW_MUST_CHECK lw_status lw_change_check(const lw_change *change, lw_error *err);

/* ---- links.c, write.c ---- */

/* References name live records, or `status_if_not`; and unique names are free. `id` is the record's
 * own, 0 for a new one. */
LW_MUST_CHECK lw_status lw_references_check(lw_store *store, lw_kind_id kind, const void *kept,
                                            lw_status status_if_not, lw_error *err);
LW_MUST_CHECK lw_status lw_names_check(lw_store *store, lw_kind_id kind, lw_id id, const void *kept,
                                       lw_error *err);
/* LW_CONFLICT while live records refer to it. */
LW_MUST_CHECK lw_status lw_referrers_check(lw_store *store, lw_kind_id kind, lw_id id, lw_error *err);
LW_MUST_CHECK lw_status lw_version_add(lw_store *store, lw_kind_id kind, lw_id id, bool removed,
                                       const char *body, lw_error *err);
LW_MUST_CHECK lw_status lw_live_put(lw_store *store, lw_kind_id kind, lw_id id, const void *kept,
                                    lw_error *err);
LW_MUST_CHECK lw_status lw_live_delete(lw_store *store, lw_kind_id kind, lw_id id, lw_error *err);
/* The two halves of begin: the write lock; and the row of the change, which `undoes` another or 0. */
LW_MUST_CHECK lw_status lw_change_lock(lw_store *store, const lw_change *change, lw_error *err);
LW_MUST_CHECK lw_status lw_change_open(lw_store *store, const lw_change *change, lw_id undoes, lw_error *err);

/* ---- check.c ---- */

/* The row of PRAGMA integrity_check or quick_check that `stmt` stands on: *out is the finding, NULL
 * for "ok". */
LW_MUST_CHECK lw_status lw_integrity_read(lw_store *store, sqlite3_stmt *stmt, const char **out,
                                          lw_error *err);

/* ---- sort.c ---- */

/* Puts `count` records in the order lists come in: named kinds by name without case, dated ones by
 * day, equal ones and the rest by id. */
LW_MUST_CHECK lw_status lw_records_sort(lw_kind_id kind, void *records, size_t count, lw_error *err);

/* ---- digest.c ---- */

/* The digest of a stored change, from the digest of the one before it (32 zero bytes for the first)
 * and everything it holds. */
LW_MUST_CHECK lw_status lw_digest_change(lw_store *store, lw_id change,
                                         const unsigned char before[LW_DIGEST_BYTES],
                                         unsigned char out[LW_DIGEST_BYTES], lw_error *err);
LW_MUST_CHECK lw_status lw_digest_stored(lw_store *store, lw_id change, unsigned char out[LW_DIGEST_BYTES],
                                         lw_error *err);
void lw_digest_hex(const unsigned char digest[LW_DIGEST_BYTES], char out[LW_DIGEST_HEX]);

/* ---- history.c ---- */

/* For every change the one that took it back and still stands, 0 if none: undone_by[1..count]. */
LW_MUST_CHECK lw_status lw_undone_by(lw_store *store, lw_arena *arena, lw_id **out, lw_id *out_count,
                                     lw_error *err);
/* One change, with undone_by and records filled. LW_NOT_FOUND where there is none. */
LW_MUST_CHECK lw_status lw_history_of(lw_store *store, lw_id change, const lw_id *undone_by, lw_id count,
                                      lw_arena *arena, lw_history_entry *out, lw_error *err);

#endif
