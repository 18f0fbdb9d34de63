/* SPDX-License-Identifier: Apache-2.0 */
/* Many records at once from a table (CSV, RFC 4180): readings, treatments, materials, lots, weather or
 * notes. Each row passes the checks that a single entry passes; the whole table is one change in the
 * store, or nothing is. Units stand in the header ("secchi (in)") or in the cell ("18 in"), which wins;
 * a number that needs a unit and has neither is refused, never guessed. docs/formats.md has the
 * columns. */
#ifndef LW_WORK_IMPORT_CSV_H
#define LW_WORK_IMPORT_CSV_H

#include "work/desk.h"

enum { LW_IMPORT_LISTED = 50 }; /* of each list, the first so many are kept; all are counted */

/* Something about one place of the table; line and column count from 1. */
typedef struct lw_import_remark {
  long line, column;
  const char *message;
} lw_import_remark;

typedef struct lw_import_list {
  lw_import_remark *items;
  size_t listed, count; /* listed <= LW_IMPORT_LISTED */
} lw_import_list;

/* How many records of one water ("" where the kind has none) and one sort: a quantity, a material. */
typedef struct lw_import_tally {
  const char *water, *what;
  size_t count;
  lw_day first, last; /* LW_NO_DAY for materials */
} lw_import_tally;

typedef struct lw_import_options {
  const char *water;    /* for every row of a table without a water column; NULL: none */
  bool dry_run;         /* check everything, write nothing */
  bool skip_duplicates; /* leave out what is on record or earlier in the table; otherwise refused */
  bool accept_unusual;  /* take values outside the usual range; otherwise they are asked about */
} lw_import_options;

typedef struct lw_import_report {
  const char *file, *kind; /* "readings" */
  size_t rows;             /* rows that hold anything */
  size_t added;            /* records written, or that would be in a dry run; 0 after a refusal */
  size_t skipped;          /* duplicates left out */
  bool dry_run, accepted_unusual, skipped_duplicates; /* as asked */
  lw_import_list faults;
  lw_import_list duplicates; /* left out, or seen in a dry run; refused ones are faults */
  lw_import_list questions;  /* unusual values */
  lw_import_tally *tallies;  /* of what is counted in `added`, by water and sort */
  size_t tally_count;
  lw_id change; /* 0 when nothing was written */
  int64_t revision;
} lw_import_report;

/* Reads the file at `path` (at most 64 MiB) and imports it as `kind`. *out is filled in every case, in
 * the desk's arena: after a refusal it lists what is wrong, and `err` holds the first of it with file,
 * line and column, and says how many. LW_INVALID for anything in the table that must be put right, and
 * for unusual values not accepted; a dry run succeeds with duplicates and questions, not with faults.
 * LW_NOT_FOUND, LW_LIMIT and LW_IO for the file, LW_BUSY and LW_IO for the store. */
LW_MUST_CHECK lw_status lw_import_csv(lw_import_report *out, const lw_desk *desk, const char *kind,
                                      const char *path, const lw_import_options *options, lw_error *err);

/* The same for text at hand; `file` names it in messages. */
LW_MUST_CHECK lw_status lw_import_csv_text(lw_import_report *out, const lw_desk *desk, const char *kind,
                                           const char *file, const char *text, size_t length,
                                           const lw_import_options *options, lw_error *err);

/* {"file","kind","rows","added","skipped","dry_run","faults":[{"line","column","message"}],
 * "fault_count","duplicates":[...],"duplicate_count","questions":[...],"question_count",
 * "tallies":[{"water","what","count","first","last"}],"change","revision"}. The caller ends it with
 * json_decref; NULL when memory is short. */
struct json_t;
struct json_t *lw_import_json(const lw_import_report *report);

#endif
