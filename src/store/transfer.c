/* SPDX-License-Identifier: Apache-2.0 */
#include "store/transfer.h"

#include "base/quantity.h"

#include <string.h>

const lw_headings lw_about_headings = {2, {"item", "value"}};
const lw_headings lw_changes_headings = {7, {"change", "at", "who", "why", "action", "undoes", "digest"}};
const lw_headings lw_versions_headings = {6, {"change", "kind", "record", "version", "removed", "body"}};

char *lw_part_path(lw_arena *arena, const char *folder, const char *name, int part)
{
  return part < 2 ? lw_arena_format(arena, "%s/%s.csv", folder, name)
                  : lw_arena_format(arena, "%s/%s-%d.csv", folder, name, part);
}

static const char *heading(const lw_column *column, lw_arena *arena)
{
  lw_text text = LW_TEXT(200);
  lw_column_heading(column, &text);
  const char *out = text.failed ? NULL : lw_arena_copy(arena, lw_text_view(&text));
  lw_text_free(&text);
  return out;
}

lw_status lw_kind_headings(lw_kind_id kind, lw_arena *arena, lw_headings *out, lw_error *err)
{
  const lw_kind *description = &lw_kinds[kind];
  *out = (lw_headings){.count = 1, .text = {"id"}};
  for (size_t i = 0; i < description->column_count; i++) {
    const lw_column *column = &description->columns[i];
    const char *text = heading(column, arena);
    if (!text || out->count + 2 > LW_TABLE_COLUMNS) {
      return lw_fail_memory(err);
    }
    out->text[out->count++] = text;
    if (column->rule == LW_RULE_QUANTITY_VALUE) {
      out->text[out->count++] = "unit or word";
    }
  }
  return LW_OK;
}

static const char *number_cell(double value, lw_arena *arena)
{
  char text[LW_NUMBER_MAX];
  return lw_arena_copy(arena, lw_number_text(value == 0 ? 0.0 : value, text));
}

static const char *maybe_cell(lw_maybe maybe, lw_arena *arena)
{
  return maybe.known ? number_cell(maybe.value, arena) : "";
}

static const char *date_cell(lw_day day, lw_arena *arena)
{
  char text[LW_DATE_TEXT];
  return day == LW_NO_DAY ? "" : lw_arena_copy(arena, lw_date_text(day, text));
}

static const char *large_cell(const lw_large *large, const char *digest, lw_arena *arena)
{
  return digest ? lw_arena_format(arena, "%s/%s.%s", large->folder, digest, large->ending) : "";
}

static const char *cell(const lw_column *column, const void *kept, lw_arena *arena)
{
  const void *member = lw_member(kept, column);
  switch (column->type) {
  case LW_COLUMN_TEXT:
    return *(const char *const *)member;
  case LW_COLUMN_NUMBER:
    return number_cell(*(const double *)member, arena);
  case LW_COLUMN_MAYBE:
  case LW_COLUMN_MAYBE_WHOLE:
    return maybe_cell(*(const lw_maybe *)member, arena);
  case LW_COLUMN_BOOLEAN:
    return *(const bool *)member ? "yes" : "no";
  case LW_COLUMN_DATE:
  case LW_COLUMN_MAYBE_DATE:
    return date_cell(*(const lw_day *)member, arena);
  case LW_COLUMN_REFERENCE: {
    lw_id id = *(const lw_id *)member;
    return id ? lw_arena_format(arena, "%lld", (long long)id) : "";
  }
  case LW_COLUMN_OUTLINE:
  case LW_COLUMN_SOUNDINGS:
    return large_cell(lw_large_of(column), *(const char *const *)member, arena);
  }
  return NULL;
}

/* What the value of a reading is counted in: "m", or "brown-mud" where the value is a word. */
static const char *unit_cell(const lw_kind *kind, double value, const void *kept, lw_arena *arena)
{
  const lw_column *name = lw_kind_column(kind, "quantity");
  const lw_quantity *quantity = name ? lw_quantity_find(*(const char *const *)lw_member(kept, name)) : NULL;
  if (!quantity) {
    return "";
  }
  if (!quantity->choices) {
    return quantity->unit;
  }
  char word[LW_SHOWN_MAX];
  bool known = value >= 0 && value <= quantity->possible_high &&
               lw_choice_word(quantity->choices, (int)value, word, sizeof word);
  return known ? lw_arena_copy(arena, word) : "";
}

lw_status lw_kind_cells(lw_kind_id kind, const void *kept, lw_arena *arena, const char **out, lw_error *err)
{
  const lw_kind *description = &lw_kinds[kind];
  size_t n = 0;
  out[n] = lw_arena_format(arena, "%lld", (long long)lw_record_id(kept));
  bool whole = out[n++] != NULL;
  for (size_t i = 0; i < description->column_count && whole; i++) {
    const lw_column *column = &description->columns[i];
    out[n] = cell(column, kept, arena);
    whole = out[n++] != NULL;
    if (whole && column->rule == LW_RULE_QUANTITY_VALUE) {
      double value = *(const double *)lw_member(kept, column);
      out[n] = unit_cell(description, value, kept, arena);
      whole = out[n++] != NULL;
    }
  }
  return whole ? LW_OK : lw_fail_memory(err);
}
