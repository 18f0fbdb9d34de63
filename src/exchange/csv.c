/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/csv.h"

#include "exchange/csv_cells.h"
#include "exchange/files.h"
#include "exchange/plain.h"

#include <stdbool.h>
#include <string.h>

enum {
  LARGEST_FILE = 64 * 1024 * 1024,
  MOST_COLUMNS = 256,
  MOST_ROWS = 2000000,
  USUAL_CELL = 64 * 1024,
  LARGEST_CELL = 1024 * 1024
};

/* --- the header --- */

/* Spaces around a column's name are never meant. `text` is the cell's own, writable text. */
static void trim_header(lw_csv_cell *cell, char *text)
{
  size_t start = 0;
  size_t end = cell->length;
  while (start < end && (text[start] == ' ' || text[start] == '\t')) {
    start++;
  }
  while (end > start && (text[end - 1] == ' ' || text[end - 1] == '\t')) {
    end--;
  }
  text[end] = '\0';
  cell->text = text + start;
  cell->length = end - start;
  cell->column += (long)start;
}

static lw_status check_header_cell(const lw_csv_reader *r, const lw_csv_cell *cells, size_t index)
{
  const lw_csv_cell *cell = &cells[index];
  char excerpt[LW_EXCERPT];
  if (cell->length == 0) {
    return lw_fail_at(r->err, LW_INVALID, r->file, cell->line, cell->column,
                      "column %zu has no name in the header; name it", index + 1);
  }
  for (size_t i = 0; i < index; i++) {
    if (lw_same_word(cells[i].text, cell->text)) {
      return lw_fail_at(r->err, LW_INVALID, r->file, cell->line, cell->column,
                        "the header names '%s' twice; rename or drop one of them",
                        lw_excerpt(cell->text, excerpt));
    }
  }
  return LW_OK;
}

/* A table exported with another separator reads as one column: say so instead of 'no such column'. */
static lw_status check_separator(const lw_csv_reader *r, const lw_csv_cell *only)
{
  const char *found = strchr(only->text, ';') ? "semicolons" : strchr(only->text, '\t') ? "tabs" : NULL;
  if (found) {
    return lw_fail_at(r->err, LW_INVALID, r->file, only->line, only->column,
                      "the columns are separated by %s; save the table with commas", found);
  }
  return LW_OK;
}

/* Reads the header into `cells` (MOST_COLUMNS long). */
static lw_status read_header(lw_csv_reader *r, lw_csv_cell *cells, size_t *out_count)
{
  lw_csv_skip_blank_lines(r);
  if (r->at == r->end) {
    return lw_fail_at(r->err, LW_INVALID, r->file, 1, 1,
                      "the table is empty; its first line must name the columns");
  }
  size_t n = 0;
  for (lw_csv_end end = LW_CSV_CELL; end == LW_CSV_CELL; n++) {
    if (n == MOST_COLUMNS) {
      return lw_fail_at(r->err, LW_LIMIT, r->file, r->line, r->column, "the table has more than %d columns",
                        MOST_COLUMNS);
    }
    char *text = r->pool;
    lw_status status = lw_csv_next_cell(r, &cells[n], &end);
    if (status != LW_OK) {
      return status;
    }
    trim_header(&cells[n], text);
    status = check_header_cell(r, cells, n);
    if (status != LW_OK) {
      return status;
    }
  }
  *out_count = n;
  return n == 1 ? check_separator(r, &cells[0]) : LW_OK;
}

/* --- the rows --- */

static lw_status read_row(lw_csv_reader *r, size_t columns, lw_csv_cell *cells)
{
  size_t n = 0;
  long line = r->line;
  for (lw_csv_end end = LW_CSV_CELL; end == LW_CSV_CELL; n++) {
    lw_csv_cell cell;
    lw_status status = lw_csv_next_cell(r, &cell, &end);
    if (status != LW_OK) {
      return status;
    }
    if (n == columns) {
      return lw_fail_at(r->err, LW_INVALID, r->file, cell.line, cell.column,
                        "the row has more cells than the %zu columns of the header; put a cell that "
                        "holds a comma in quotes",
                        columns);
    }
    if (cells) {
      cells[n] = cell;
    }
  }
  if (n < columns) {
    return lw_fail_at(r->err, LW_INVALID, r->file, line, 1,
                      "the row ends after cell %zu, the header names %zu columns; leave a cell empty "
                      "between its commas where nothing is known",
                      n, columns);
  }
  return LW_OK;
}

/* All rows: checks and counts with `cells` NULL, fills otherwise. */
static lw_status read_rows(lw_csv_reader *r, size_t columns, lw_csv_cell *cells, size_t *out_rows)
{
  size_t rows = 0;
  for (lw_csv_skip_blank_lines(r); r->at < r->end; lw_csv_skip_blank_lines(r)) {
    if (rows == MOST_ROWS) {
      return lw_fail_at(r->err, LW_LIMIT, r->file, r->line, 1, "the table has more than %d rows", MOST_ROWS);
    }
    lw_status status = read_row(r, columns, cells ? cells + rows * columns : NULL);
    if (status != LW_OK) {
      return status;
    }
    rows++;
  }
  *out_rows = rows;
  return LW_OK;
}

/* --- the table --- */

static lw_status check_encoding(lw_csv_reader *r)
{
  size_t left = (size_t)(r->end - r->at);
  if (left > LARGEST_FILE) {
    return lw_fail_at(r->err, LW_LIMIT, r->file, 0, 0, "the table is %zu bytes long; at most %d are read",
                      left, LARGEST_FILE);
  }
  if (left >= 2 && (memcmp(r->at, "\xFF\xFE", 2) == 0 || memcmp(r->at, "\xFE\xFF", 2) == 0)) {
    return lw_fail_at(r->err, LW_INVALID, r->file, 1, 1,
                      "the text is UTF-16; save the table as CSV in UTF-8");
  }
  if (left >= 3 && memcmp(r->at, "\xEF\xBB\xBF", 3) == 0) {
    r->at += 3;
  }
  return LW_OK;
}

static lw_status fail_memory(const lw_csv_reader *r)
{
  return lw_fail_at(r->err, LW_MEMORY, r->file, 0, 0, "there is no memory for this table; split it");
}

/* The rows twice: once to check and count them, once into arrays of the right size. */
static lw_status read_table(lw_csv_reader *r, lw_csv *out, lw_arena *arena)
{
  lw_csv_cell found[MOST_COLUMNS];
  lw_status status = read_header(r, found, &out->column_count);
  if (status != LW_OK) {
    return status;
  }
  lw_csv_reader counting = *r;
  counting.pool = NULL;
  status = read_rows(&counting, out->column_count, NULL, &out->row_count);
  if (status != LW_OK) {
    return status;
  }
  lw_csv_cell *header = LW_NEW(arena, lw_csv_cell, out->column_count);
  lw_csv_cell *cells = LW_NEW(arena, lw_csv_cell, out->column_count * out->row_count);
  if (!header || !cells) {
    return fail_memory(r);
  }
  memcpy(header, found, out->column_count * sizeof *header);
  out->header = header;
  out->cells = cells;
  return read_rows(r, out->column_count, cells, &out->row_count);
}

lw_status lw_csv_parse(lw_csv *out, const char *file, const char *text, size_t length, size_t largest_cell,
                       lw_arena *arena, lw_error *err)
{
  lw_csv_reader r = {.file = file, .at = text, .end = text + length, .line = 1, .column = 1, .err = err};
  r.largest_cell = largest_cell == 0 ? USUAL_CELL : largest_cell < LARGEST_CELL ? largest_cell : LARGEST_CELL;
  lw_csv table = {.file = lw_arena_copy(arena, file ? file : "")};
  lw_status status = check_encoding(&r);
  if (status != LW_OK) {
    return status;
  }
  r.pool = lw_arena_alloc(arena, (size_t)(r.end - r.at) + 1, 1);
  if (!r.pool || !table.file) {
    return fail_memory(&r);
  }
  status = read_table(&r, &table, arena);
  if (status == LW_OK) {
    *out = table;
  }
  return status;
}

lw_status lw_csv_read(lw_csv *out, const char *path, size_t largest_cell, lw_arena *arena, lw_error *err)
{
  char *text = NULL;
  size_t length = 0;
  lw_status status = lw_file_read(path, LARGEST_FILE, arena, &text, &length, err);
  return status == LW_OK ? lw_csv_parse(out, path, text, length, largest_cell, arena, err) : status;
}

const lw_csv_cell *lw_csv_at(const lw_csv *csv, size_t row, size_t column)
{
  return &csv->cells[row * csv->column_count + column];
}

int lw_csv_column(const lw_csv *csv, const char *name)
{
  for (size_t i = 0; i < csv->column_count; i++) {
    if (lw_same_word(csv->header[i].text, name)) {
      return (int)i;
    }
  }
  return -1;
}
