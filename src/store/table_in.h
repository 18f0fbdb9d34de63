/* SPDX-License-Identifier: Apache-2.0 */
/* Reading a table of an export, row after row over all its parts, each cell with its place. */
#ifndef LW_STORE_TABLE_IN_H
#define LW_STORE_TABLE_IN_H

#include "store/transfer.h"

typedef struct lw_table_in {
  const char *folder, *name;
  const lw_headings *headings;
  lw_arena *arena; /* of the part being read; replaced with each part */
  lw_csv csv;
  int part; /* 0 before the first */
  size_t row;
} lw_table_in;

/* The cells of the next row, NULL after the last; they last until the row after. Refuses headings
 * other than expected. Begin with the first three members set and the rest zero. */
LW_MUST_CHECK lw_status lw_table_in_next(lw_table_in *table, const lw_csv_cell **out, lw_error *err);
void lw_table_in_end(lw_table_in *table);

/* A fault at a cell, with file, line and column. */
lw_status lw_fail_cell(const lw_table_in *table, const lw_csv_cell *cell, lw_error *err, const char *format,
                       ...) LW_PRINTF(4, 5);
/* Gives the fault already in `err` the place of a cell; `status` of the result is LW_CORRUPT unless
 * the fault is not about the file (no memory, disk). */
lw_status lw_place_fault(const lw_table_in *table, const lw_csv_cell *cell, lw_status status, lw_error *err);

/* A whole number of at least `low`. */
LW_MUST_CHECK lw_status lw_cell_number(const lw_table_in *table, const lw_csv_cell *cell, int64_t low,
                                       int64_t *out, lw_error *err);

/* ---- transfer_history.c, transfer_compare.c: the parts of import ---- */

/* The history from changes.csv and versions.csv into `store`, inside a transaction of the caller;
 * counts what it took. */
LW_MUST_CHECK lw_status lw_import_history(lw_store *store, const char *folder, size_t *changes,
                                          size_t *versions, lw_error *err);
/* Is it an export at all, and of a format known here? */
LW_MUST_CHECK lw_status lw_import_format(const char *folder, int *out_format, lw_error *err);
/* The tables of the kinds and about.csv against the store built from the history. */
LW_MUST_CHECK lw_status lw_import_compare(lw_store *store, const char *folder, size_t changes,
                                          size_t versions, lw_error *err);

#endif
