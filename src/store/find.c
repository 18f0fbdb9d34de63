/* SPDX-License-Identifier: Apache-2.0 */
/* Records by name, and what to say when there is none of that name. */
#include "store/internal.h"

#include <ctype.h>
#include <string.h>

enum { SHOWN_NAMES = 8, NAME_BYTES = 320 };

/* Edits (insert, drop, change a byte; capitals aside) from `a` to `b`: Levenshtein 1966. */
static size_t distance(const char *a, const char *b)
{
  size_t row[NAME_BYTES + 1];
  size_t m = strlen(b);
  if (m > NAME_BYTES) {
    return NAME_BYTES;
  }
  for (size_t j = 0; j <= m; j++) {
    row[j] = j;
  }
  for (size_t i = 0; a[i] && i < NAME_BYTES; i++) {
    size_t diagonal = row[0];
    row[0] = i + 1;
    for (size_t j = 1; j <= m; j++) {
      size_t change = diagonal + (tolower((unsigned char)a[i]) != tolower((unsigned char)b[j - 1]));
      size_t shortest = row[j] < row[j - 1] ? row[j] + 1 : row[j - 1] + 1;
      diagonal = row[j];
      row[j] = change < shortest ? change : shortest;
    }
  }
  return row[m];
}

static bool contains_word(const char *text, const char *part)
{
  size_t length = strlen(part);
  for (; length && *text; text++) {
    size_t i = 0;
    while (i < length && tolower((unsigned char)text[i]) == tolower((unsigned char)part[i])) {
      i++;
    }
    if (i == length) {
      return true;
    }
  }
  return false;
}

static bool comes_near(const char *name, const char *wanted)
{
  size_t allowed = strlen(wanted) / 3 + 1;
  return contains_word(name, wanted) || distance(name, wanted) <= allowed;
}

static void add_name(lw_text *list, const char *name, size_t *count)
{
  if (*count < SHOWN_NAMES) {
    lw_text_addf(list, "%s'%s'", *count ? ", " : "", name);
  } else if (*count == SHOWN_NAMES) {
    lw_text_add(list, " ...");
  }
  (*count)++;
}

static lw_status fail_no_name(lw_store *store, lw_kind_id kind, const char *wanted, lw_arena *arena,
                              lw_error *err)
{
  char *records = NULL;
  size_t count = 0;
  lw_status status = lw_store_list(store, kind, 0, arena, &records, &count, err);
  if (status != LW_OK) {
    return status;
  }
  const lw_column *column = lw_kind_column(&lw_kinds[kind], "name");
  lw_text near = LW_TEXT(4096);
  lw_text all = LW_TEXT(4096);
  size_t near_count = 0;
  size_t all_count = 0;
  for (size_t i = 0; i < count; i++) {
    const char *name = *(const char *const *)lw_member(records + i * lw_kinds[kind].size, column);
    add_name(&all, name, &all_count);
    if (comes_near(name, wanted)) {
      add_name(&near, name, &near_count);
    }
  }
  const char *word = lw_kinds[kind].name;
  bool clean = lw_text_is_clean(wanted, strlen(wanted));
  const char *seen = clean ? wanted : "(not text)";
  if (near_count) {
    status = lw_fail(err, LW_NOT_FOUND, "there is no %s named '%.80s'; did you mean %.400s?", word, seen,
                     lw_text_view(&near));
  } else if (all_count) {
    status = lw_fail(err, LW_NOT_FOUND, "there is no %s named '%.80s'; there are %.400s", word, seen,
                     lw_text_view(&all));
  } else {
    status = lw_fail(err, LW_NOT_FOUND,
                     "there is no %s named '%.80s'; there are no %s yet: add one "
                     "first",
                     word, seen, lw_kinds[kind].plural);
  }
  lw_text_free(&near);
  lw_text_free(&all);
  return status;
}

static lw_status find(lw_store *store, lw_kind_id kind, const char *name, lw_arena *arena, void *record,
                      lw_error *err)
{
  sqlite3_stmt *stmt = NULL;
  bool found = false;
  lw_status status = lw_sql_of_kind(store, kind, LW_SQL_NAMED, &stmt, err);
  if (status != LW_OK) {
    return status;
  }
  lw_sql_bind_text(stmt, 1, name);
  status = lw_sql_step(store, stmt, &found, "read the store", err);
  if (status != LW_OK) {
    return status;
  }
  if (!found) {
    return fail_no_name(store, kind, name, arena, err);
  }
  status = lw_row_read(stmt, kind, arena, record, NULL, err);
  lw_sql_reset(stmt);
  return status == LW_OK ? lw_large_fetch(store, kind, false, arena, record, err) : status;
}

lw_status lw_store_find_water(lw_store *store, const char *name, lw_arena *arena, lw_water *out,
                              lw_error *err)
{
  return find(store, LW_KIND_WATER, name, arena, out, err);
}

lw_status lw_store_find_material(lw_store *store, const char *name, lw_arena *arena, lw_material *out,
                                 lw_error *err)
{
  return find(store, LW_KIND_MATERIAL, name, arena, out, err);
}
