/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/csv.h"

#include "exchange/plain.h"

#include <stdbool.h>
#include <string.h>

static bool is_space(char c)
{
  return c == ' ' || c == '\t';
}

/* Index of the parenthesis that the last character of `text` closes; `length` when there is none. */
static size_t opening(const char *text, size_t length)
{
  size_t depth = 0;
  for (size_t i = length; i-- > 0;) {
    depth += text[i] == ')' ? 1 : 0;
    if (text[i] == '(' && --depth == 0) {
      return i;
    }
  }
  return length;
}

static lw_status copy_trimmed(const char *text, size_t length, lw_arena *arena, const char **out,
                              lw_error *err)
{
  while (length && is_space(*text)) {
    text++;
    length--;
  }
  while (length && is_space(text[length - 1])) {
    length--;
  }
  *out = lw_arena_copy_n(arena, text, length);
  return *out ? LW_OK : lw_fail(err, LW_MEMORY, "there is no memory for a column's name");
}

static lw_status refuse_header(const lw_csv_cell *header, lw_error *err)
{
  char excerpt[LW_EXCERPT];
  return lw_fail_at(err, LW_INVALID, NULL, header->line, header->column,
                    "the column '%s' should be a name, or a name and its unit in parentheses at the "
                    "end, like 'clarity (in)'",
                    lw_excerpt(header->text, excerpt));
}

lw_status lw_csv_split_unit(const lw_csv_cell *header, lw_arena *arena, const char **out_name,
                            const char **out_unit, lw_error *err)
{
  const char *text = header->text;
  size_t length = header->length;
  while (length && is_space(text[length - 1])) {
    length--;
  }
  bool with_unit = length && text[length - 1] == ')';
  size_t open = with_unit ? opening(text, length) : length;
  size_t unit_length = with_unit && open < length ? length - open - 2 : 0;
  if (memchr(text, '(', open) || memchr(text, ')', open) || (with_unit && open == length)) {
    return refuse_header(header, err);
  }
  lw_status status = copy_trimmed(text, open, arena, out_name, err);
  if (status == LW_OK) {
    status = copy_trimmed(unit_length ? text + open + 1 : "", unit_length, arena, out_unit, err);
  }
  if (status == LW_OK && (**out_name == '\0' || (with_unit && **out_unit == '\0'))) {
    return refuse_header(header, err);
  }
  return status;
}

static bool needs_quotes(const char *text, bool is_first)
{
  size_t n = strlen(text);
  if (n == 0) {
    return is_first; /* a row of one empty cell would be a blank line, and lost */
  }
  /* a cell that begins with the byte-order mark would lose it at the head of a file */
  return lw_starts_with(text, "\xEF\xBB\xBF") || is_space(text[0]) || is_space(text[n - 1]) ||
         strpbrk(text, ",\"\r\n;\t") != NULL;
}

void lw_csv_write_cell(lw_text *out, const char *text, int is_first)
{
  if (!is_first) {
    lw_text_add_n(out, ",", 1);
  }
  if (!needs_quotes(text, is_first != 0)) {
    lw_text_add(out, text);
    return;
  }
  lw_text_add_n(out, "\"", 1);
  for (const char *quote = strchr(text, '"'); quote; quote = strchr(text, '"')) {
    lw_text_add_n(out, text, (size_t)(quote - text) + 1);
    lw_text_add_n(out, "\"", 1);
    text = quote + 1;
  }
  lw_text_add(out, text);
  lw_text_add_n(out, "\"", 1);
}

void lw_csv_write_end(lw_text *out)
{
  lw_text_add_n(out, "\r\n", 2);
}
