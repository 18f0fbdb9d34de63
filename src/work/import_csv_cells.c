/* SPDX-License-Identifier: Apache-2.0 */
/* Cells of the row at hand: their text, and the names, days and members they hold. */
#include "work/import_csv_parts.h"

#include "base/text.h"
#include "base/units.h"
#include "work/form.h"

#include <string.h>

const lw_csv_cell *lw_import_cell(const lw_importing *job, size_t column)
{
  return lw_csv_at(&job->csv, job->row, column);
}

static bool is_blank(char c)
{
  return c == ' ' || c == '\t' || c == '\n';
}

const char *lw_import_text(lw_importing *job, size_t column)
{
  const lw_csv_cell *cell = lw_import_cell(job, column);
  const char *text = cell->text;
  size_t n = cell->length;
  while (n && is_blank(text[n - 1])) {
    n--;
  }
  while (n && is_blank(*text)) {
    text++;
    n--;
  }
  if (text[n] == '\0') {
    return text;
  }
  const char *copy = lw_arena_copy_n(job->desk->arena, text, n);
  if (!copy) {
    lw_import_stop_memory(job);
    return "";
  }
  return copy;
}

const char *lw_import_role_text(lw_importing *job, lw_import_role role)
{
  return job->role_at[role] < 0 ? "" : lw_import_text(job, (size_t)job->role_at[role]);
}

const lw_csv_cell *lw_import_role_cell(const lw_importing *job, lw_import_role role)
{
  return lw_import_cell(job, job->role_at[role] < 0 ? 0 : (size_t)job->role_at[role]);
}

/* ---- names ---- */

/* The store's message names what exists; it is asked for only while messages are kept. */
static void refuse_name(lw_importing *job, lw_import_role role, lw_kind_id kind, const char *name)
{
  const lw_csv_cell *at = lw_import_role_cell(job, role);
  lw_any_record found;
  lw_error fault = {0};
  if (lw_import_list_full(&job->report->faults)) {
    lw_import_fault(job, at, "unknown");
    return;
  }
  lw_status s =
      kind == LW_KIND_WATER
          ? lw_store_find_water(job->desk->store, name, job->desk->arena, &found.water, &fault)
          : lw_store_find_material(job->desk->store, name, job->desk->arena, &found.material, &fault);
  if (s == LW_OK) { /* a name the store takes for the same and this comparison does not: none is known */
    s = lw_fail(&fault, LW_NOT_FOUND, "there is no %s named '%.80s'", lw_kinds[kind].name, name);
  }
  (void)lw_import_good(job, at, s, &fault);
}

lw_id lw_import_water(lw_importing *job)
{
  if (job->role_at[LW_IMPORT_WATER] < 0) {
    return job->given_water;
  }
  bool may_be_none = job->kind == LW_KIND_NOTE || job->kind == LW_KIND_WEATHER;
  const char *name = lw_import_role_text(job, LW_IMPORT_WATER);
  if (!*name) {
    lw_import_fault(job, lw_import_role_cell(job, LW_IMPORT_WATER), "the water is missing; name it%s",
                    may_be_none ? ", or write - for the whole place" : "");
    return 0;
  }
  if (may_be_none && strcmp(name, "-") == 0) {
    return 0;
  }
  for (size_t k = 0; k < job->water_count; k++) {
    size_t i = (job->last_water + k) % job->water_count; /* mostly the water of the row before */
    if (lw_same_word(job->waters[i].name, name)) {
      job->last_water = i;
      return job->waters[i].id;
    }
  }
  refuse_name(job, LW_IMPORT_WATER, LW_KIND_WATER, name);
  return 0;
}

const lw_material *lw_import_material(lw_importing *job)
{
  const char *name = lw_import_role_text(job, LW_IMPORT_MATERIAL);
  if (!*name) {
    lw_import_fault(job, lw_import_role_cell(job, LW_IMPORT_MATERIAL),
                    "the material is missing; name it as on the shelf list");
    return NULL;
  }
  for (size_t i = 0; i < job->material_count; i++) {
    if (lw_same_word(job->materials[i].name, name)) {
      return &job->materials[i];
    }
  }
  refuse_name(job, LW_IMPORT_MATERIAL, LW_KIND_MATERIAL, name);
  return NULL;
}

lw_id lw_import_zone(lw_importing *job, lw_id water)
{
  const char *name = lw_import_role_text(job, LW_IMPORT_ZONE);
  if (!*name || !water) {
    return 0;
  }
  lw_text names = LW_TEXT(400);
  for (size_t i = 0; i < job->zone_count; i++) {
    const lw_zone *zone = &job->zones[i];
    if (zone->water == water && lw_same_word(zone->name, name)) {
      lw_text_free(&names);
      return zone->id;
    }
    if (zone->water == water) {
      lw_text_addf(&names, "%s'%s'", names.length ? ", " : "", zone->name);
    }
  }
  lw_import_fault(job, lw_import_role_cell(job, LW_IMPORT_ZONE), "this water has no zone '%.60s'; it has %s",
                  name, names.length ? lw_text_view(&names) : "none");
  lw_text_free(&names);
  return 0;
}

/* ---- days, members, money ---- */

lw_day lw_import_day(lw_importing *job, bool may_be_future)
{
  const lw_csv_cell *at = lw_import_role_cell(job, LW_IMPORT_DATE);
  const char *text = lw_import_role_text(job, LW_IMPORT_DATE);
  lw_day day = LW_NO_DAY;
  lw_error fault = {0};
  if (!*text) {
    lw_import_fault(job, at, "the date is missing; write it as 2026-04-15");
    return LW_NO_DAY;
  }
  lw_status s = lw_form_day(&day, "date", text, may_be_future, job->desk, &fault);
  return lw_import_good(job, at, s, &fault) ? day : LW_NO_DAY;
}

static void set_member(lw_importing *job, size_t index, const char *text, void *record)
{
  static const char *const skip[] = {NULL};
  const lw_import_column *column = &job->columns[index];
  const lw_csv_cell *at = lw_import_cell(job, index);
  char number[LW_IMPORT_NUMBER];
  lw_error fault = {0};
  if (column->member->type != LW_COLUMN_TEXT) {
    if (!lw_import_with_unit(job, at, column->name, text, column->unit, column->member->unit, number)) {
      return;
    }
    text = number;
  }
  const lw_field field = {column->member->name, text};
  const lw_form form = {&field, 1};
  lw_status s = lw_form_apply(&form, job->kind, record, skip, job->desk, &fault);
  (void)lw_import_good(job, at, s, &fault);
}

void lw_import_members(lw_importing *job, void *record)
{
  for (size_t i = 0; i < job->csv.column_count; i++) {
    const char *text = job->columns[i].role == LW_IMPORT_MEMBER ? lw_import_text(job, i) : "";
    if (*text) {
      set_member(job, i, text, record);
    }
  }
}

lw_maybe lw_import_price(lw_importing *job)
{
  const lw_csv_cell *at = lw_import_role_cell(job, LW_IMPORT_PRICE);
  const char *text = lw_import_role_text(job, LW_IMPORT_PRICE);
  double price = 0;
  lw_error fault = {0};
  if (!*text) {
    return (lw_maybe){0};
  }
  lw_status s = lw_quantity_parse(&price, "price", text, "$", &fault);
  if (s == LW_OK && (price < 0 || price > 1e7)) {
    s = lw_fail(&fault, LW_INVALID, "price: '%.40s' must be 0 to 10,000,000 for one package", text);
  }
  return lw_import_good(job, at, s, &fault) ? lw_known(price) : (lw_maybe){0};
}
