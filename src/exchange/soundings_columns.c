/* SPDX-License-Identifier: Apache-2.0 */
/* Which column of a table is what. */
#include "exchange/soundings_table.h"

#include "base/text.h"
#include "exchange/plain.h"

#include <limits.h>
#include <stdio.h>
#include <string.h>

/* "'time', 'lat', 'lon' and 9 more" */
static const char *list_headings(const lw_table *t, char *out, size_t size)
{
  lw_text text = LW_TEXT(size);
  size_t shown = t->columns < 8 ? t->columns : 8;
  for (size_t i = 0; i < shown; i++) {
    char name[40];
    char excerpt[LW_EXCERPT];
    lw_text_addf(&text, "%s'%s'", i ? ", " : "",
                 lw_excerpt(lw_span_text(t->headings[i], name, sizeof name), excerpt));
  }
  if (shown < t->columns) {
    lw_text_addf(&text, " and %zu more", t->columns - shown);
  }
  (void)lw_span_text((lw_span){lw_text_view(&text), lw_text_view(&text) + text.length}, out, size);
  lw_text_free(&text);
  return out;
}

static lw_status refuse_missing(lw_table *t, const char *what, const char *advice)
{
  char list[360];
  return lw_soundings_refuse(t->r, t->row_line, 1, "there is no column for the %s; the columns are %s. %s",
                             what, list_headings(t, list, sizeof list), advice);
}

/* The best column of each kind by its name. */
static void sort_columns(lw_table *t, lw_field *fields, int best[LW_FIELD_KINDS])
{
  int rank[LW_FIELD_KINDS];
  for (int k = 0; k < LW_FIELD_KINDS; k++) {
    best[k] = -1;
    rank[k] = INT_MAX;
  }
  for (size_t i = 0; i < t->columns; i++) {
    fields[i] = lw_field_of(t->headings[i]);
    if (fields[i].kind != LW_FIELD_NONE && fields[i].rank < rank[fields[i].kind]) {
      rank[fields[i].kind] = fields[i].rank;
      best[fields[i].kind] = (int)i;
    }
  }
}

/* With a system named, its x and y; else longitude and latitude; either pair may serve where the other is
 * not there, and the range of its numbers is judged later. */
static lw_status choose_position(lw_table *t, const int best[LW_FIELD_KINDS])
{
  bool degrees = best[LW_FIELD_LONGITUDE] >= 0 && best[LW_FIELD_LATITUDE] >= 0;
  bool grid = best[LW_FIELD_EASTING] >= 0 && best[LW_FIELD_NORTHING] >= 0;
  if (!degrees && !grid) {
    return refuse_missing(t,
                          best[LW_FIELD_LONGITUDE] < 0 && best[LW_FIELD_EASTING] < 0 ? "longitude (or x)"
                                                                                     : "latitude (or y)",
                          "Name the columns in the first line: longitude, latitude, depth (ft)");
  }
  bool take_grid = grid && (t->r->how->system || !degrees);
  t->column[LW_FIELD_LONGITUDE] = take_grid ? best[LW_FIELD_EASTING] : best[LW_FIELD_LONGITUDE];
  t->column[LW_FIELD_LATITUDE] = take_grid ? best[LW_FIELD_NORTHING] : best[LW_FIELD_LATITUDE];
  t->r->is_grid = t->r->how->system != NULL;
  return LW_OK;
}

static int find_asked(const lw_table *t, const char *asked)
{
  for (size_t i = 0; i < t->columns; i++) {
    if (lw_span_is(t->headings[i], asked)) {
      return (int)i;
    }
  }
  for (size_t i = 0; i < t->columns; i++) {
    if (lw_field_is(t->headings[i], asked)) {
      return (int)i;
    }
  }
  return -1;
}

static lw_status choose_depth(lw_table *t, const int best[LW_FIELD_KINDS], const lw_field *fields)
{
  const lw_soundings_how *how = t->r->how;
  bool bed = how->elevations && best[LW_FIELD_ELEVATION] >= 0;
  int column =
      how->depth_field ? find_asked(t, how->depth_field) : best[bed ? LW_FIELD_ELEVATION : LW_FIELD_DEPTH];
  char excerpt[LW_EXCERPT];
  char what[LW_EXCERPT + 24];
  if (column < 0 && how->depth_field) {
    (void)snprintf(what, sizeof what, "depth named '%s'", lw_excerpt(how->depth_field, excerpt));
    return refuse_missing(t, what, "Give one of these as the depth field");
  }
  if (column < 0 && best[LW_FIELD_ELEVATION] >= 0) {
    return refuse_missing(
        t, "depth",
        "Elevations become depths only with the elevation of the water's surface: turn them "
        "into depths (surface minus bed) first");
  }
  if (column < 0) {
    return refuse_missing(t, "depth", "Name the one that holds it with --depth-field");
  }
  t->column[LW_FIELD_DEPTH] = column;
  lw_span heading = t->headings[column];
  return lw_field_scale(t->r, heading, fields[column].unit, t->row_line, lw_table_column(t, heading),
                        &t->scale);
}

lw_status lw_table_find_columns(lw_table *t)
{
  static const lw_field_kind others[] = {LW_FIELD_TIME, LW_FIELD_DATE, LW_FIELD_TRACK, LW_FIELD_QUALITY};
  lw_field fields[LW_TABLE_COLUMNS];
  int best[LW_FIELD_KINDS];
  sort_columns(t, fields, best);
  for (int k = 0; k < LW_FIELD_KINDS; k++) {
    t->column[k] = -1;
  }
  lw_status status = choose_position(t, best);
  if (status == LW_OK) {
    status = choose_depth(t, best, fields);
  }
  for (size_t i = 0; i < sizeof others / sizeof *others; i++) {
    t->column[others[i]] = best[others[i]];
  }
  return status;
}
