/* SPDX-License-Identifier: Apache-2.0 */
/* Comma-separated tables as RFC 4180 says (quotes, doubled quotes, line breaks inside quotes; CRLF
 * or LF), with the line and column of every cell, so that a bad value can be pointed at. A UTF-8
 * byte-order mark is skipped; text that is not UTF-8 is refused. Limits: 64 MiB, 256 columns,
 * 2,000,000 rows, 64 KiB a cell (1 MiB where the caller says so). */
#ifndef LW_EXCHANGE_CSV_H
#define LW_EXCHANGE_CSV_H

#include "base/arena.h"
#include "base/status.h"
#include "base/text.h"

#include <stddef.h>

typedef struct lw_csv_cell {
  const char *text; /* unquoted, NUL-terminated, in the arena */
  size_t length;
  long line, column; /* of its first character in the file, from 1; column in characters */
} lw_csv_cell;

typedef struct lw_csv {
  const char *file;               /* as given, for messages */
  size_t column_count, row_count; /* rows without the header */
  const lw_csv_cell *header;      /* column_count cells */
  const lw_csv_cell *cells;       /* row_count * column_count */
} lw_csv;

/* Parses `text`. Refuses: no header, an empty or repeated header name, a row with another number of
 * cells (says how many were expected), an unclosed quote, characters after a closing quote. Blank
 * lines are skipped. */
LW_MUST_CHECK lw_status lw_csv_parse(lw_csv *out, const char *file, const char *text, size_t length,
                                     size_t largest_cell, lw_arena *arena, lw_error *err);

/* Reads a whole file into the arena (at most `max_bytes`), then parses it. */
LW_MUST_CHECK lw_status lw_csv_read(lw_csv *out, const char *path, size_t largest_cell, lw_arena *arena,
                                    lw_error *err);

/* The cell at (row, column); and the column of a header name (without case), -1 when absent. */
const lw_csv_cell *lw_csv_at(const lw_csv *csv, size_t row, size_t column);
int lw_csv_column(const lw_csv *csv, const char *name);

/* "clarity (in)" -> "clarity" and "in". The unit is "" when there is none. Both go to the arena. */
LW_MUST_CHECK lw_status lw_csv_split_unit(const lw_csv_cell *header, lw_arena *arena, const char **out_name,
                                          const char **out_unit, lw_error *err);

/* Adds one cell, quoted where it must be, with a comma before it unless it is the first. A text that
 * a spreadsheet would take for a formula is written unchanged: the file is data, not a sheet. */
void lw_csv_write_cell(lw_text *out, const char *text, int is_first);
void lw_csv_write_end(lw_text *out);

#endif
