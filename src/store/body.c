/* SPDX-License-Identifier: Apache-2.0 */
/* The body of a version: one line of JSON with what is known of the record. It is written by hand,
 * not by the JSON library, because its bytes are what the digest chain covers: they must be the same
 * on every machine and with every release (shortest numbers, fixed order). */
#include "store/internal.h"

static void add_string(lw_text *out, const char *text)
{
  lw_text_add_n(out, "\"", 1);
  while (*text) {
    size_t plain = 0;
    while ((unsigned char)text[plain] >= 0x20u && text[plain] != '"' && text[plain] != '\\') {
      plain++;
    }
    lw_text_add_n(out, text, plain);
    text += plain;
    if (*text == '"' || *text == '\\') {
      lw_text_addf(out, "\\%c", *text++);
    } else if (*text) {
      lw_text_addf(out, "\\u%04x", (unsigned)(unsigned char)*text++);
    }
  }
  lw_text_add_n(out, "\"", 1);
}

static void add_number(lw_text *out, double value)
{
  char text[LW_NUMBER_MAX];
  /* a negative zero comes back from SQLite as a positive one: write the same */
  lw_text_add(out, lw_number_text(value == 0 ? 0.0 : value, text));
}

static void add_key(lw_text *out, const lw_column *column)
{
  lw_text_addf(out, "%s\"%s\":", out->length > 1 ? "," : "", column->name);
}

static void add_text(lw_text *out, const lw_column *column, const char *text)
{
  if (text && *text) {
    add_key(out, column);
    add_string(out, text);
  }
}

static void add_date(lw_text *out, const lw_column *column, lw_day day)
{
  char text[LW_DATE_TEXT];
  add_text(out, column, day == LW_NO_DAY ? "" : lw_date_text(day, text));
}

static void add_maybe(lw_text *out, const lw_column *column, lw_maybe maybe)
{
  if (maybe.known) {
    add_key(out, column);
    add_number(out, maybe.value);
  }
}

static void add_column(lw_text *out, const lw_column *column, const void *kept)
{
  const void *member = lw_member(kept, column);
  switch (column->type) {
  case LW_COLUMN_TEXT:
  case LW_COLUMN_OUTLINE:
  case LW_COLUMN_SOUNDINGS:
    add_text(out, column, *(const char *const *)member);
    break;
  case LW_COLUMN_NUMBER:
    add_maybe(out, column, lw_known(*(const double *)member));
    break;
  case LW_COLUMN_MAYBE:
  case LW_COLUMN_MAYBE_WHOLE:
    add_maybe(out, column, *(const lw_maybe *)member);
    break;
  case LW_COLUMN_BOOLEAN:
    if (*(const bool *)member) {
      add_key(out, column);
      lw_text_add(out, "true");
    }
    break;
  case LW_COLUMN_DATE:
  case LW_COLUMN_MAYBE_DATE:
    add_date(out, column, *(const lw_day *)member);
    break;
  case LW_COLUMN_REFERENCE:
    if (*(const lw_id *)member) {
      add_key(out, column);
      lw_text_addf(out, "%lld", (long long)*(const lw_id *)member);
    }
    break;
  }
}

void lw_body_write(lw_text *out, lw_kind_id kind, const void *kept)
{
  lw_text_clear(out);
  lw_text_add(out, "{");
  for (size_t i = 0; i < lw_kinds[kind].column_count; i++) {
    add_column(out, &lw_kinds[kind].columns[i], kept);
  }
  lw_text_add(out, "}");
}
