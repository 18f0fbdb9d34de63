/* SPDX-License-Identifier: Apache-2.0 */
/* Any bytes as a table: what is accepted keeps its promises and survives being written and read. */
#include "fuzz.h"

#include "exchange/csv.h"

#include <string.h>

static void check_cell(const lw_csv_cell *cell)
{
  CHECK(cell->text && cell->text[cell->length] == '\0' && strlen(cell->text) == cell->length);
  CHECK(lw_text_is_clean(cell->text, cell->length));
  CHECK(cell->line >= 1 && cell->column >= 1);
}

static void split_units(const lw_csv *csv, lw_arena *arena)
{
  for (size_t i = 0; i < csv->column_count; i++) {
    const char *name = NULL;
    const char *unit = NULL;
    lw_error err = {0};
    if (lw_csv_split_unit(&csv->header[i], arena, &name, &unit, &err) == LW_OK) {
      CHECK(name && unit && *name);
    } else {
      CHECK(err.message[0] && lw_text_is_clean(err.message, strlen(err.message)));
    }
  }
}

static void write_and_compare(const lw_csv *csv, lw_arena *arena)
{
  lw_text text = LW_TEXT((size_t)64 << 20);
  for (size_t i = 0; i < csv->column_count * (csv->row_count + 1); i++) {
    const lw_csv_cell *cell = i < csv->column_count ? &csv->header[i] : &csv->cells[i - csv->column_count];
    lw_csv_write_cell(&text, cell->text, i % csv->column_count == 0);
    if ((i + 1) % csv->column_count == 0) {
      lw_csv_write_end(&text);
    }
  }
  lw_csv again;
  lw_error err = {0};
  CHECK(!text.failed);
  CHECK(lw_csv_parse(&again, "again", lw_text_view(&text), text.length, 1 << 20, arena, &err) == LW_OK);
  CHECK(again.column_count == csv->column_count && again.row_count == csv->row_count);
  for (size_t i = 0; i < csv->column_count * csv->row_count; i++) {
    CHECK(strcmp(again.cells[i].text, csv->cells[i].text) == 0);
  }
  lw_text_free(&text);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
  lw_arena *arena = lw_arena_new((size_t)64 << 20);
  lw_csv csv = {0};
  lw_error err = {0};
  CHECK(arena);
  lw_status status = lw_csv_parse(&csv, "fuzz.csv", (const char *)data, size, 0, arena, &err);
  if (status == LW_OK) {
    CHECK(csv.column_count >= 1);
    for (size_t i = 0; i < csv.column_count; i++) {
      check_cell(&csv.header[i]);
      CHECK(lw_csv_column(&csv, csv.header[i].text) == (int)i);
    }
    for (size_t i = 0; i < csv.column_count * csv.row_count; i++) {
      check_cell(&csv.cells[i]);
    }
    split_units(&csv, arena);
    write_and_compare(&csv, arena);
  } else {
    CHECK(err.message[0] && (err.line >= 1 || status == LW_MEMORY));
    CHECK(lw_text_is_clean(err.message, strlen(err.message)));
  }
  lw_arena_free(arena);
  return 0;
}
