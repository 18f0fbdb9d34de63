/* SPDX-License-Identifier: Apache-2.0 */
/* What export and import agree on. An export is a folder:
 *   about.csv                  item,value: the format, how many of each, the last digest
 *   changes.csv                change,at,who,why,action,undoes,digest
 *   versions.csv               change,kind,record,version,removed,body (JSON)
 *   waters.csv, readings.csv . the current records of each kind, units in the headings
 *   outlines/DIGEST.geojson    every outline that any version has
 *   soundings/DIGEST.csv       and every text of soundings (from format 2 on, as surveys.csv)
 * A table longer than LW_PART_BYTES goes on in waters-2.csv, waters-3.csv ... with the same heading.
 * The history is what import builds from; the tables of kinds are for people and spreadsheets, and
 * import holds them against it. */
#ifndef LW_STORE_TRANSFER_H
#define LW_STORE_TRANSFER_H

#include "exchange/csv.h"
#include "store/internal.h"

/* Format 1 had no surveys; it is still read. */
enum { LW_EXPORT_FORMAT = 2, LW_PART_BYTES = 8 << 20, LW_TABLE_COLUMNS = 40 };

/* Headings of a table, in order. */
typedef struct lw_headings {
  size_t count;
  const char *text[LW_TABLE_COLUMNS];
} lw_headings;

extern const lw_headings lw_about_headings, lw_changes_headings, lw_versions_headings;

/* "id", then the columns of the kind, a quantity's value followed by its "unit or word". Texts in
 * the arena. */
LW_MUST_CHECK lw_status lw_kind_headings(lw_kind_id kind, lw_arena *arena, lw_headings *out, lw_error *err);

/* The cells of one record under those headings: out[0..headings.count). Kept shape. Texts in the
 * arena. */
LW_MUST_CHECK lw_status lw_kind_cells(lw_kind_id kind, const void *kept, lw_arena *arena, const char **out,
                                      lw_error *err);

/* folder/name.csv, and from the second part on folder/name-2.csv. NULL on no memory. */
char *lw_part_path(lw_arena *arena, const char *folder, const char *name, int part);

#endif
