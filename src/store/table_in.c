/* SPDX-License-Identifier: Apache-2.0 */
#include "store/table_in.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

lw_status lw_fail_cell(const lw_table_in *table, const lw_csv_cell *cell, lw_error *err, const char *format,
                       ...)
{
  char message[LW_MESSAGE_MAX];
  va_list args;
  va_start(args, format);
  (void)vsnprintf(message, sizeof message, format, args);
  va_end(args);
  return lw_fail_at(err, LW_CORRUPT, table->csv.file, cell->line, cell->column, "%s", message);
}

lw_status lw_place_fault(const lw_table_in *table, const lw_csv_cell *cell, lw_status status, lw_error *err)
{
  if (status != LW_INVALID && status != LW_CORRUPT && status != LW_NOT_FOUND && status != LW_CONFLICT) {
    return status;
  }
  char message[LW_MESSAGE_MAX] = "";
  if (err) {
    memcpy(message, err->message, sizeof message);
  }
  return lw_fail_cell(table, cell, err, "%s", message);
}

static lw_status check_headings(const lw_table_in *table, lw_error *err)
{
  const lw_csv *csv = &table->csv;
  for (size_t i = 0; i < csv->column_count && i < table->headings->count; i++) {
    if (strcmp(csv->header[i].text, table->headings->text[i]) != 0) {
      return lw_fail_cell(table, &csv->header[i], err,
                          "the heading is '%.60s', expected '%s'; "
                          "import a folder as it was exported",
                          csv->header[i].text, table->headings->text[i]);
    }
  }
  if (csv->column_count != table->headings->count) {
    return lw_fail_cell(table, &csv->header[0], err,
                        "there are %zu columns, expected %zu; import a "
                        "folder as it was exported",
                        csv->column_count, table->headings->count);
  }
  return LW_OK;
}

static lw_status open_part(lw_table_in *table, bool *there, lw_error *err)
{
  lw_arena_free(table->arena);
  table->arena = lw_arena_new(0);
  table->part++;
  table->row = 0;
  table->csv = (lw_csv){0};
  char *path = table->arena ? lw_part_path(table->arena, table->folder, table->name, table->part) : NULL;
  if (!path) {
    return lw_fail_memory(err);
  }
  *there = table->part == 1 || access(path, F_OK) == 0;
  if (!*there) {
    return LW_OK;
  }
  lw_status status = lw_csv_read(&table->csv, path, LW_BODY_MAX, table->arena, err);
  return status == LW_OK ? check_headings(table, err) : status;
}

lw_status lw_table_in_next(lw_table_in *table, const lw_csv_cell **out, lw_error *err)
{
  *out = NULL;
  while (table->row == table->csv.row_count) {
    bool there = false;
    lw_status status = open_part(table, &there, err);
    if (status != LW_OK || !there) {
      return status;
    }
  }
  *out = lw_csv_at(&table->csv, table->row++, 0);
  return LW_OK;
}

void lw_table_in_end(lw_table_in *table)
{
  lw_arena_free(table->arena);
  table->arena = NULL;
}

lw_status lw_cell_number(const lw_table_in *table, const lw_csv_cell *cell, int64_t low, int64_t *out,
                         lw_error *err)
{
  enum { MOST_DIGITS = 18 };
  size_t digits = strspn(cell->text, "0123456789");
  bool whole = digits > 0 && digits <= MOST_DIGITS && cell->text[digits] == '\0';
  *out = whole ? strtoll(cell->text, NULL, 10) : -1;
  if (!whole || *out < low) {
    return lw_fail_cell(table, cell, err, "'%.40s' is not a whole number of at least %lld", cell->text,
                        (long long)low);
  }
  return LW_OK;
}
