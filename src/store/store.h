/* SPDX-License-Identifier: Apache-2.0 */
/* The store: one SQLite file that keeps every record and every earlier version of it. A piece of
 * work is a change (who, when, why): all of it is written or none of it, and any change can be
 * undone by a later one. Nothing is physically deleted. Several programs may have the file open:
 * readers never wait, a writer waits up to five seconds for another.
 *
 * Threads: one lw_store per thread at a time. Two handles on the same file are independent. */
#ifndef LW_STORE_STORE_H
#define LW_STORE_STORE_H

#include "base/arena.h"
#include "base/records.h"
#include "base/status.h"
#include "store/kinds.h"

#include <stdbool.h>
#include <stddef.h>

typedef struct lw_store lw_store;

/* ---- open and close ---- */

/* Makes a new file; LW_CONFLICT when something is there already. */
LW_MUST_CHECK lw_status lw_store_create(const char *path, lw_error *err);

/* Opens an existing store; forward-migrates an older schema inside one transaction; refuses a file
 * that is not a Lakeward store (application_id) or is newer than this program. */
LW_MUST_CHECK lw_status lw_store_open(lw_store **out, const char *path, lw_error *err);
void lw_store_close(lw_store *store); /* accepts NULL; an unfinished change is dropped */

/* ---- changes ---- */

typedef struct lw_change {
  const char *who;    /* "keeper", "first hand"; "" allowed */
  const char *why;    /* may be "" */
  const char *action; /* what was asked, in words: "reading add Upper Sedge secchi 40 in" */
  lw_instant at;      /* given by the caller: the store reads no clock */
} lw_change;

/* begin ... add/update/remove ... commit. Taking the write lock happens in begin (LW_BUSY after the
 * wait). commit returns only when the change is on disk (synchronous FULL); when it fails nothing of
 * the change is kept. A change that wrote nothing leaves no trace: commit is then LW_OK and
 * *out_change is 0. After a refused add, update or remove (LW_INVALID, LW_CONFLICT, LW_NOT_FOUND) the
 * change goes on without it; after any other fault only rollback is left, and commit says so. */
LW_MUST_CHECK lw_status lw_store_begin(lw_store *store, const lw_change *change, lw_error *err);
LW_MUST_CHECK lw_status lw_store_commit(lw_store *store, lw_id *out_change, lw_error *err);
void lw_store_rollback(lw_store *store);

/* `record` is the struct of the kind (lw_water for LW_KIND_WATER ...). Its id member is ignored by
 * add and set by none of them. Checks required members, choices, ranges, references (LW_INVALID),
 * unique names (LW_CONFLICT); whether a day lies in the future is for callers, who know what today is.
 * Only between begin and commit. An id is never given twice. update writes nothing when nothing
 * differs from the latest version; soundings that are NULL (as lists give them) stay as they are. */
LW_MUST_CHECK lw_status lw_store_add(lw_store *store, lw_kind_id kind, const void *record, lw_id *out_id,
                                     lw_error *err);
LW_MUST_CHECK lw_status lw_store_update(lw_store *store, lw_kind_id kind, lw_id id, const void *record,
                                        lw_error *err);
/* Marks as removed; LW_CONFLICT while live records refer to it, naming how many of which kind. */
LW_MUST_CHECK lw_status lw_store_remove(lw_store *store, lw_kind_id kind, lw_id id, lw_error *err);

/* ---- reading ---- */

/* One live record by id, into `record`, its texts in `arena`. LW_NOT_FOUND otherwise. */
LW_MUST_CHECK lw_status lw_store_get(lw_store *store, lw_kind_id kind, lw_id id, lw_arena *arena,
                                     void *record, lw_error *err);

/* All live records of a kind, in a stable order (named ones by name, dated ones by day then id), as an
 * array in the arena. Soundings of surveys are not read: they are NULL here, and lw_store_get gives
 * them. `water` > 0 keeps those of that water (records with water 0
 * are kept too where that means 'all'); 0 takes everything, and so do kinds that belong to no water.
 * About 0.4 us a record with warm memory (150,000 readings in 57 ms, measured). */
LW_MUST_CHECK lw_status lw_store_list(lw_store *store, lw_kind_id kind, lw_id water, lw_arena *arena,
                                      void *out_array, size_t *out_count, lw_error *err);

/* By name without case: waters and materials. LW_NOT_FOUND says which names exist or come near. */
LW_MUST_CHECK lw_status lw_store_find_water(lw_store *store, const char *name, lw_arena *arena, lw_water *out,
                                            lw_error *err);
LW_MUST_CHECK lw_status lw_store_find_material(lw_store *store, const char *name, lw_arena *arena,
                                               lw_material *out, lw_error *err);

/* The change that wrote the newest version of a record, be it its removal: with the id a cheap mark of
 * what the record says. LW_NOT_FOUND where there never was one. */
LW_MUST_CHECK lw_status lw_store_latest(lw_store *store, lw_kind_id kind, lw_id id, lw_id *out_change,
                                        lw_error *err);

/* A counter that grows with every committed change: cheap to ask, for pages that poll. */
LW_MUST_CHECK lw_status lw_store_revision(lw_store *store, int64_t *out, lw_error *err);

/* ---- history ---- */

typedef struct lw_history_entry {
  lw_id change;
  lw_instant at;
  const char *who, *why, *action;
  lw_id undoes;    /* the change this one took back, 0 if none */
  lw_id undone_by; /* 0 while it stands */
  int records;     /* how many records it touched */
} lw_history_entry;

/* Newest first, at most `limit` (0: 50). */
LW_MUST_CHECK lw_status lw_store_history(lw_store *store, size_t limit, lw_arena *arena,
                                         lw_history_entry **out, size_t *out_count, lw_error *err);

/* One earlier or present version of a record. `body` is its JSON: what was known, under the names of
 * the members; outlines and soundings as the digest under which the store keeps the text. */
typedef struct lw_version {
  int version;
  lw_id change;
  lw_instant at;
  const char *who, *why;
  bool removed;
  const char *body;
} lw_version;

LW_MUST_CHECK lw_status lw_store_versions(lw_store *store, lw_kind_id kind, lw_id id, lw_arena *arena,
                                          lw_version **out, size_t *out_count, lw_error *err);

/* Takes back change `target` (0: the newest that stands and is not itself an undo), as a new change.
 * LW_CONFLICT when a later standing change touched the same records (names it), LW_NOT_FOUND when
 * there is nothing to undo. Undoing an undo puts the work back. *out describes what was taken back. */
LW_MUST_CHECK lw_status lw_store_undo(lw_store *store, const lw_change *change, lw_id target, lw_arena *arena,
                                      lw_history_entry *out, lw_error *err);

/* ---- derived results ---- */

/* What was reckoned from the records and is costly to reckon again. Not part of the history, of exports
 * or of the digests; the newest 400 entries of together at most 64 MiB stay, and any may be gone at any
 * time. The key (at most 200 bytes) must name all that the result follows from, the program's version
 * included: see lw_store_latest. */
enum { LW_CACHE_ENTRIES = 400, LW_CACHE_BYTES = 64 * 1024 * 1024, LW_CACHE_KEY = 200 };

/* *out is in the arena, or NULL (and LW_OK) when nothing is kept under the key or it was damaged. */
LW_MUST_CHECK lw_status lw_store_cache_get(lw_store *store, const char *key, lw_arena *arena,
                                           const void **out, size_t *out_length, lw_error *err);

/* Its own short transaction. It never waits: LW_BUSY when another writes, and inside an open change.
 * Callers go on without when it fails: the records are untouched. LW_LIMIT for more than
 * LW_CACHE_BYTES, LW_INVALID for a key that is empty or too long. */
LW_MUST_CHECK lw_status lw_store_cache_put(lw_store *store, const char *key, const void *data, size_t length,
                                           lw_error *err);

/* ---- whole file ---- */

/* Online copy by SQLite's backup interface while others read and write; refuses an existing file;
 * the copy is complete or absent. */
LW_MUST_CHECK lw_status lw_store_backup(lw_store *store, const char *path, lw_error *err);

typedef struct lw_check_report {
  size_t records, versions, changes;
  size_t problem_count;
  const char *const *problems; /* sentences, in the arena */
} lw_check_report;

/* SQLite integrity and foreign keys; every live row equals its latest version; versions run 1..n;
 * every version has its change; the digest chain over the changes holds. */
LW_MUST_CHECK lw_status lw_store_check(lw_store *store, lw_arena *arena, lw_check_report *out, lw_error *err);

/* A folder of CSV (one a kind, units in the headers, RFC 4180), outlines as GeoJSON, soundings as CSV,
 * and the whole history (changes.csv, versions.csv), so that import gives back the same store: records, ids,
 * versions. Export refuses a folder that is not empty. Import makes the new store at `path`,
 * complete or absent. */
LW_MUST_CHECK lw_status lw_store_export(lw_store *store, const char *folder, lw_error *err);
LW_MUST_CHECK lw_status lw_store_import(const char *folder, const char *path, lw_error *err);

#endif
