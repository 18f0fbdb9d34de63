/* SPDX-License-Identifier: Apache-2.0 */
/* Is a text of soundings as exchange/soundings.h writes it? A million rows are walked through in some
 * milliseconds and nothing is built: what the numbers mean is for its reader. */
#include "store/internal.h"

#include <string.h>

static const char heading[] = "longitude,latitude,depth (m),time,track\n";

enum { CELLS = 5, NEEDED_CELLS = 3, LONGEST_CELL = 40 };

static lw_status fail_row(size_t line, const char *row, const char *what, lw_error *err)
{
  size_t shown = strcspn(row, "\n");
  return lw_fail(err, LW_INVALID, "line %zu of the soundings, '%.*s', %s", line, shown > 60 ? 60 : (int)shown,
                 row, what);
}

/* One row; *end is past its line break. NULL, or what is wrong with it. */
static const char *walk_row(const char *row, const char **end)
{
  const char *at = row;
  for (int cell = 0; cell < CELLS; cell++) {
    size_t length = strspn(at, "0123456789.-+eE");
    if (length > LONGEST_CELL || (length == 0 && cell < NEEDED_CELLS)) {
      return "holds a cell that is no number; longitude, latitude and depth are needed";
    }
    at += length;
    if (*at != (cell + 1 < CELLS ? ',' : '\n')) {
      return "must have five cells of numbers and end with a line break";
    }
    at++;
  }
  *end = at;
  return NULL;
}

lw_status lw_soundings_check(const char *csv, size_t length, lw_error *err)
{
  if (length > LW_SOUNDINGS_TEXT_MAX) {
    return lw_fail(err, LW_LIMIT,
                   "the soundings take %zu MiB; a survey holds at most %d (about 5,000,000 soundings): thin "
                   "them or split them into several surveys",
                   length >> 20, LW_SOUNDINGS_TEXT_MAX >> 20);
  }
  if (strncmp(csv, heading, sizeof heading - 1) != 0) {
    return lw_fail(err, LW_INVALID, "the soundings must begin with the line '%.*s'", (int)sizeof heading - 2,
                   heading);
  }
  size_t line = 2;
  const char *row = csv + sizeof heading - 1;
  if (row == csv + length) {
    return lw_fail(err, LW_INVALID, "there are no soundings below their heading; give at least one");
  }
  for (; row < csv + length; line++) {
    const char *what = walk_row(row, &row);
    if (what) {
      return fail_row(line, row, what, err);
    }
  }
  return LW_OK;
}
