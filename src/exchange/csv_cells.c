/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/csv_cells.h"

#include <stdbool.h>
#include <string.h>

static lw_status refuse(const lw_csv_reader *r, long line, long column, const char *what)
{
  return lw_fail_at(r->err, LW_INVALID, r->file, line, column, "%s", what);
}

static lw_status refuse_character(const lw_csv_reader *r)
{
  unsigned char c = (unsigned char)*r->at;
  if (c == '\r') {
    return refuse(r, r->line, r->column,
                  "a carriage return that no line feed follows; save the table with ordinary line ends");
  }
  if (c < 0x80u) {
    return lw_fail_at(r->err, LW_INVALID, r->file, r->line, r->column,
                      "the control character 0x%02X does not belong in a table; "
                      "save it as CSV in UTF-8",
                      c);
  }
  return lw_fail_at(r->err, LW_INVALID, r->file, r->line, r->column,
                    "the byte 0x%02X is not UTF-8 text; save the table as CSV in UTF-8", c);
}

/* Bytes of the character at the reader: 0 where it is malformed or a control character. CRLF counts
 * as one character of two bytes. */
static size_t character_length(const lw_csv_reader *r)
{
  unsigned char c = (unsigned char)*r->at;
  size_t left = (size_t)(r->end - r->at);
  if (c == '\r') {
    return left > 1 && r->at[1] == '\n' ? 2 : 0;
  }
  size_t n = c < 0x80u ? 1 : c >= 0xF0u ? 4 : c >= 0xE0u ? 3 : 2;
  return n <= left && lw_text_is_clean(r->at, n) ? n : 0;
}

static bool at_line_end(const lw_csv_reader *r)
{
  return *r->at == '\n' || (*r->at == '\r' && r->end - r->at > 1 && r->at[1] == '\n');
}

static void pass(lw_csv_reader *r, size_t bytes)
{
  bool newline = at_line_end(r);
  r->at += bytes;
  r->line += newline ? 1 : 0;
  r->column = newline ? 1 : r->column + 1;
}

/* Takes one character into the cell. A CRLF inside quotes becomes a plain line feed. */
static lw_status take(lw_csv_reader *r, lw_csv_cell *cell)
{
  size_t n = character_length(r);
  if (n == 0) {
    return refuse_character(r);
  }
  const char *from = *r->at == '\r' ? r->at + 1 : r->at;
  size_t kept = *r->at == '\r' ? 1 : n;
  if (cell->length + kept > r->largest_cell) {
    return lw_fail_at(r->err, LW_LIMIT, r->file, cell->line, cell->column,
                      "the cell that begins here holds more than %zu bytes", r->largest_cell);
  }
  if (r->pool) {
    memcpy(r->pool + cell->length, from, kept);
  }
  cell->length += kept;
  pass(r, n);
  return LW_OK;
}

static lw_status take_quoted(lw_csv_reader *r, lw_csv_cell *cell)
{
  pass(r, 1);
  for (;;) {
    if (r->at == r->end) {
      return refuse(r, cell->line, cell->column, "the quote opened here is never closed; close it with \"");
    }
    if (*r->at == '"') {
      pass(r, 1);
      if (r->at == r->end || *r->at != '"') {
        break;
      }
    }
    lw_status status = take(r, cell);
    if (status != LW_OK) {
      return status;
    }
  }
  if (r->at < r->end && *r->at != ',' && !at_line_end(r)) {
    return refuse(r, r->line, r->column,
                  "text after a closing quote; a quote inside a quoted cell is written twice");
  }
  return LW_OK;
}

static lw_status take_plain(lw_csv_reader *r, lw_csv_cell *cell)
{
  while (r->at < r->end && *r->at != ',' && !at_line_end(r)) {
    if (*r->at == '"') {
      return refuse(r, r->line, r->column,
                    "a quote inside a cell that does not begin with one; put the whole cell in quotes "
                    "and write the inner quote twice");
    }
    lw_status status = take(r, cell);
    if (status != LW_OK) {
      return status;
    }
  }
  return LW_OK;
}

lw_status lw_csv_next_cell(lw_csv_reader *r, lw_csv_cell *cell, lw_csv_end *out_end)
{
  *cell = (lw_csv_cell){.text = r->pool, .line = r->line, .column = r->column};
  bool quoted = r->at < r->end && *r->at == '"';
  lw_status status = quoted ? take_quoted(r, cell) : take_plain(r, cell);
  if (status != LW_OK) {
    return status;
  }
  if (r->pool) {
    r->pool[cell->length] = '\0';
    r->pool += cell->length + 1;
  }
  *out_end = r->at == r->end ? LW_CSV_TEXT : *r->at == ',' ? LW_CSV_CELL : LW_CSV_ROW;
  if (r->at < r->end) {
    pass(r, *r->at == '\r' ? 2 : 1);
  }
  return LW_OK;
}

void lw_csv_skip_blank_lines(lw_csv_reader *r)
{
  for (;;) {
    lw_csv_reader ahead = *r;
    while (ahead.at < ahead.end && (*ahead.at == ' ' || *ahead.at == '\t')) {
      pass(&ahead, 1);
    }
    if (ahead.at < ahead.end && !at_line_end(&ahead)) {
      return;
    }
    if (ahead.at < ahead.end) {
      pass(&ahead, *ahead.at == '\r' ? 2 : 1);
    }
    *r = ahead;
    if (r->at == r->end) {
      return;
    }
  }
}
