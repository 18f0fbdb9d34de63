/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/soundings_table.h"

#include <math.h>
#include <string.h>

/* --- places --- */

long lw_table_column(const lw_table *t, lw_span cell)
{
  long column = 1;
  for (const char *at = t->row; at < cell.at; at++) {
    column = *at == '\n' ? 1 : column + (((unsigned char)*at & 0xC0u) != 0x80u ? 1 : 0);
  }
  return column;
}

/* --- cells --- */

/* Past a quoted cell that begins here; *cell is what stands between the quotes, doubled ones as they are. */
static lw_status take_quoted(lw_table *t, lw_span *cell)
{
  const char *open = t->at++;
  for (;;) {
    const char *quote = memchr(t->at, '"', (size_t)(t->end - t->at));
    if (!quote) {
      return lw_soundings_refuse(
          t->r, t->row_line, lw_table_column(t, (lw_span){open, open}),
          "the quote opened here is never closed; the file is cut short, or a quote is "
          "missing");
    }
    for (; t->at < quote; t->at++) {
      t->line += *t->at == '\n' ? 1 : 0;
    }
    t->at = quote + 1;
    if (t->at == t->end || *t->at != '"') {
      *cell = (lw_span){open + 1, quote};
      return LW_OK;
    }
    t->at++;
  }
}

static lw_status take_cell(lw_table *t, lw_span *cell)
{
  bool quoted = t->at < t->end && *t->at == '"';
  if (quoted) {
    lw_status status = take_quoted(t, cell);
    if (status != LW_OK) {
      return status;
    }
  }
  const char *from = t->at;
  while (t->at < t->end && *t->at != t->mark && *t->at != '\n') {
    t->at++;
  }
  lw_span rest = lw_span_trim((lw_span){from, t->at});
  if (quoted && rest.at < rest.end) {
    return lw_soundings_refuse(t->r, t->row_line, lw_table_column(t, rest), "text after a closing quote");
  }
  *cell = quoted ? lw_span_trim(*cell) : rest;
  return LW_OK;
}

/* Cells of one row, to at most LW_TABLE_COLUMNS; the rest of a longer one is counted. */
static lw_status take_row(lw_table *t, lw_span *cells, size_t *out)
{
  size_t n = 0;
  for (bool again = true; again; n++) {
    lw_span cell;
    lw_status status = take_cell(t, &cell);
    if (status != LW_OK) {
      return status;
    }
    if (n < LW_TABLE_COLUMNS) {
      cells[n] = cell;
    }
    again = t->at < t->end && *t->at == t->mark;
    t->at += again ? 1 : 0;
  }
  *out = n;
  return LW_OK;
}

/* Past blank lines, and lines of remarks while the heading is looked for. */
static void skip_lines(lw_table *t, bool remarks)
{
  while (t->at < t->end) {
    const char *stop = memchr(t->at, '\n', (size_t)(t->end - t->at));
    stop = stop ? stop : t->end;
    lw_span line = lw_span_trim((lw_span){t->at, stop});
    if (line.at < line.end && !(remarks && *line.at == '#')) {
      return;
    }
    t->at = stop < t->end ? stop + 1 : stop;
    t->line++;
  }
}

static bool begin_row(lw_table *t, bool remarks)
{
  if (t->at < t->end && *t->at != '\n' && *t->at != '\r' && *t->at != ' ' && *t->at != '#') {
    /* the common case: no look at the whole line */
  } else {
    skip_lines(t, remarks);
  }
  t->row = t->at;
  t->row_line = t->line;
  return t->at < t->end;
}

/* Past the line end. false when the text ended without one. */
static bool end_row(lw_table *t)
{
  bool ended = t->at < t->end;
  t->at += ended ? 1 : 0;
  t->line++;
  return ended;
}

/* --- the heading --- */

static char find_mark(const lw_table *t)
{
  size_t commas = 0;
  size_t semicolons = 0;
  size_t tabs = 0;
  for (const char *at = t->at; at < t->end && *at != '\n'; at++) {
    commas += *at == ',' ? 1 : 0;
    semicolons += *at == ';' ? 1 : 0;
    tabs += *at == '\t' ? 1 : 0;
  }
  return semicolons > commas && semicolons >= tabs ? ';' : tabs > commas ? '\t' : ',';
}

static lw_status check_heading(lw_table *t)
{
  size_t numbers = 0;
  for (size_t i = 0; i < t->columns; i++) {
    double ignored = 0;
    numbers += lw_span_number(t->headings[i], true, &ignored) ? 1 : 0;
  }
  if (t->columns < 3) {
    return lw_soundings_refuse(
        t->r, t->row_line, 1,
        "the first line names %zu column%s; expected the names of at least three, with "
        "commas between, like longitude,latitude,depth (ft)",
        t->columns, t->columns == 1 ? "" : "s");
  }
  if (numbers >= 2) {
    return lw_soundings_refuse(t->r, t->row_line, 1,
                               "the first line holds numbers; put the names of the columns above it, like "
                               "longitude,latitude,depth (ft)");
  }
  return LW_OK;
}

lw_status lw_table_open(lw_table *t, lw_soundings_reading *r)
{
  *t = (lw_table){.r = r, .at = r->text, .end = r->text + r->length, .line = 1, .last_time_s = NAN};
  t->tail = (lw_table_tail){.least_length = SIZE_MAX, .least_decimals = SIZE_MAX};
  t->day = lw_soundings_day(r->how);
  r->out.format = "CSV";
  if (!begin_row(t, true)) {
    return lw_soundings_refuse(r, 0, 0, "the file is empty; nothing was recorded, or the copy failed");
  }
  t->mark = find_mark(t);
  t->decimal_comma = t->mark != ',';
  lw_status status = take_row(t, t->headings, &t->columns);
  if (status == LW_OK && t->columns > LW_TABLE_COLUMNS) {
    return lw_soundings_refuse(r, t->row_line, 1, "the table has %zu columns; at most %d are read",
                               t->columns, LW_TABLE_COLUMNS);
  }
  if (status == LW_OK) {
    status = check_heading(t);
  }
  (void)end_row(t);
  return status == LW_OK ? lw_table_find_columns(t) : status;
}

/* --- rows --- */

static lw_status refuse_cut(lw_table *t)
{
  return lw_soundings_refuse(
      t->r, t->row_line, 1,
      "the file ends in the middle of this row: it was cut short, perhaps while it was "
      "copied; copy it again, or delete this last line");
}

static size_t decimals_of(lw_span cell)
{
  const char *point = memchr(cell.at, '.', lw_span_length(cell));
  return point ? (size_t)(cell.end - point) - 1 : 0;
}

/* The last cell of a file without a last line end is shorter than all others were, where all were of one
 * length or had the same number of decimals. */
static bool looks_cut(const lw_table_tail *tail, lw_span cell)
{
  size_t length = lw_span_length(cell);
  bool decimals = tail->least_decimals == tail->most_decimals && decimals_of(cell) < tail->least_decimals;
  bool fixed =
      tail->least_length == tail->most_length && tail->least_length >= 8 && length < tail->least_length;
  bool gone = length == 0 && tail->least_length > 0;
  return tail->rows >= 3 && (decimals || fixed || gone);
}

static void note_tail(lw_table_tail *tail, lw_span cell)
{
  size_t length = lw_span_length(cell);
  size_t decimals = decimals_of(cell);
  tail->rows++;
  tail->least_length = length < tail->least_length ? length : tail->least_length;
  tail->most_length = length > tail->most_length ? length : tail->most_length;
  tail->least_decimals = decimals < tail->least_decimals ? decimals : tail->least_decimals;
  tail->most_decimals = decimals > tail->most_decimals ? decimals : tail->most_decimals;
}

lw_status lw_table_next(lw_table *t, lw_span *cells, bool *more)
{
  *more = begin_row(t, false);
  if (!*more) {
    return LW_OK;
  }
  size_t n = 0;
  lw_status status = take_row(t, cells, &n);
  if (status != LW_OK) {
    return status;
  }
  bool ended = end_row(t);
  if (!ended && (n < t->columns || (n == t->columns && looks_cut(&t->tail, cells[n - 1])))) {
    return refuse_cut(t);
  }
  if (n != t->columns) {
    return lw_soundings_refuse(
        t->r, t->row_line, 1,
        "the row has %zu cells, the heading names %zu columns; leave a cell empty where "
        "nothing is known, and put a cell that holds the separator in quotes",
        n, t->columns);
  }
  note_tail(&t->tail, cells[n - 1]);
  return LW_OK;
}
