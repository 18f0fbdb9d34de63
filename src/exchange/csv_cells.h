/* SPDX-License-Identifier: Apache-2.0 */
/* The cells of a comma-separated text one after the other, with their places. Private to exchange:
 * csv.h is the way in. */
#ifndef LW_EXCHANGE_CSV_CELLS_H
#define LW_EXCHANGE_CSV_CELLS_H

#include "base/status.h"
#include "exchange/csv.h"

#include <stddef.h>

/* What stood after a cell: a comma, a line end, or the end of the text. */
typedef enum lw_csv_end { LW_CSV_CELL, LW_CSV_ROW, LW_CSV_TEXT } lw_csv_end;

/* Where the reader stands. With `pool` NULL it only checks and counts; otherwise the unquoted cells
 * go there, each with its NUL: never more than the text itself plus one byte. */
typedef struct lw_csv_reader {
  const char *file, *at, *end;
  long line, column;
  char *pool;
  size_t largest_cell;
  lw_error *err;
} lw_csv_reader;

/* Reads one cell and the separator after it. At the end of the text the cell is empty. */
LW_MUST_CHECK lw_status lw_csv_next_cell(lw_csv_reader *r, lw_csv_cell *cell, lw_csv_end *out_end);

/* Moves past lines that hold nothing but spaces. */
void lw_csv_skip_blank_lines(lw_csv_reader *r);

#endif
