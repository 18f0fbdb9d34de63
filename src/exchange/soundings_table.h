/* SPDX-License-Identifier: Apache-2.0 */
/* The rows of a table of soundings one after the other. Private to soundings_table.c and
 * soundings_rows.c. */
#ifndef LW_EXCHANGE_SOUNDINGS_TABLE_H
#define LW_EXCHANGE_SOUNDINGS_TABLE_H

#include "exchange/soundings_read.h"

enum { LW_TABLE_COLUMNS = 256 };

/* The last cells of all rows so far: what the last cell of a file that was cut short is told by. */
typedef struct lw_table_tail {
  size_t rows, least_length, most_length, least_decimals, most_decimals;
} lw_table_tail;

typedef struct lw_table {
  lw_soundings_reading *r;
  char mark; /* between cells */
  bool decimal_comma;
  const char *at, *end;
  long line;       /* of the next row */
  const char *row; /* where the present row begins, and its line */
  long row_line;
  const char *line_at; /* where the line of the last cell begins, for its column */
  size_t columns;
  lw_span headings[LW_TABLE_COLUMNS];
  int column[LW_FIELD_KINDS]; /* -1: none. Longitude and latitude stand for x and y too. */
  double scale;               /* metres in the depth column's unit */
  lw_day day;                 /* told by the caller, moved on past midnight */
  double last_time_s;
  lw_table_tail tail;
} lw_table;

/* Reads the heading and finds the columns. */
LW_MUST_CHECK lw_status lw_table_open(lw_table *t, lw_soundings_reading *r);

/* The next row's cells, trimmed; *more false at the end of the text. */
LW_MUST_CHECK lw_status lw_table_next(lw_table *t, lw_span *cells, bool *more);

/* Column of a cell in its line, in characters from 1. */
long lw_table_column(const lw_table *t, lw_span cell);

/* Finds the columns by the headings (soundings_columns.c). */
LW_MUST_CHECK lw_status lw_table_find_columns(lw_table *t);

#endif
