/* SPDX-License-Identifier: Apache-2.0 */
/* The parts of the table import, shared by import_csv*.c. Private to them. */
#ifndef LW_WORK_IMPORT_CSV_PARTS_H
#define LW_WORK_IMPORT_CSV_PARTS_H

#include "base/text.h"
#include "exchange/csv.h"
#include "work/import_csv.h"

/* What a column of the table means. */
typedef enum lw_import_role {
  LW_IMPORT_MEMBER, /* a member of the record that the form sets: depth, by, note ... */
  LW_IMPORT_WATER,
  LW_IMPORT_MATERIAL,
  LW_IMPORT_ZONE,
  LW_IMPORT_DATE,
  LW_IMPORT_TIME,
  LW_IMPORT_QUANTITY, /* long form: one reading a row */
  LW_IMPORT_VALUE,
  LW_IMPORT_UNIT,
  LW_IMPORT_READING, /* wide form: a quantity of its own in each column */
  LW_IMPORT_AMOUNT,
  LW_IMPORT_PACKAGES,
  LW_IMPORT_PACKAGE,
  LW_IMPORT_PRICE,
  LW_IMPORT_FORECAST,
  LW_IMPORT_ISSUED,
  LW_IMPORT_ROLES
} lw_import_role;

typedef struct lw_import_column {
  lw_import_role role;
  const lw_column *member;     /* of LW_IMPORT_MEMBER */
  const lw_quantity *quantity; /* of LW_IMPORT_READING */
  const char *name;            /* as the header has it, without the unit */
  const char *unit;            /* from the header, "" for none */
} lw_import_column;

/* One record that is on record or earlier in the table: facts are what makes it the same thing,
 * remarks what was written beside it. */
typedef struct lw_import_twin {
  const char *facts, *remarks;
  lw_id id;    /* on record, or 0 */
  long line;   /* in the table, or 0 */
  size_t next; /* index + 1 of the next in the same bucket */
} lw_import_twin;

typedef struct lw_import_twins {
  lw_import_twin *items;
  size_t count, capacity;
  size_t *buckets; /* index + 1, 0: empty */
  size_t bucket_count;
  lw_text facts, remarks; /* of the record at hand */
} lw_import_twins;

typedef struct lw_import_mark {
  size_t water; /* index + 1 in `waters`, 0: none */
  const char *what;
  lw_day day;
} lw_import_mark;

typedef struct lw_importing {
  const lw_desk *desk;
  const lw_import_options *options;
  lw_kind_id kind;
  lw_csv csv;
  lw_import_column *columns;    /* csv.column_count */
  int role_at[LW_IMPORT_ROLES]; /* the first column of a role, -1 */
  size_t row;
  size_t row_faults;
  lw_water *waters;
  size_t water_count, last_water;
  lw_material *materials;
  size_t material_count;
  lw_zone *zones;
  size_t zone_count;
  lw_id given_water; /* from the options */
  lw_unit_system units;
  lw_import_twins twins;
  lw_import_mark *marks; /* one a record added */
  size_t mark_count, mark_capacity;
  lw_import_report *report;
  lw_status stop; /* not the table's fault: memory, disk, the store */
  lw_error *err;
} lw_importing;

/* ---- import_csv_report.c ---- */

/* Adds a fault at a cell and counts it against the row. */
void lw_import_fault(lw_importing *job, const lw_csv_cell *at, const char *format, ...) LW_PRINTF(3, 4);
void lw_import_question(lw_importing *job, const lw_csv_cell *at, const char *format, ...) LW_PRINTF(3, 4);
/* A duplicate ("is on record already"): a fault unless they are left out or only looked for. */
void lw_import_duplicate(lw_importing *job, const lw_csv_cell *at, const char *where);
/* true when `status` is LW_OK. The person's faults are listed at the cell; others stop the work. */
bool lw_import_good(lw_importing *job, const lw_csv_cell *at, lw_status status, const lw_error *fault);
void lw_import_stop_memory(lw_importing *job);
/* true when one more fault would only be counted: its message need not be worked out. */
bool lw_import_list_full(const lw_import_list *list);
/* Remembers a record for the tallies; then all of them, sorted, into the report. */
void lw_import_mark_one(lw_importing *job, lw_id water, const char *what, lw_day day);
void lw_import_tally_up(lw_importing *job);

/* ---- import_csv_header.c ---- */

/* Settles what every column means; faults of the header are listed. */
void lw_import_header(lw_importing *job);

/* ---- import_csv_needs.c ---- */

/* Lists what a table of this kind lacks. */
void lw_import_needs(lw_importing *job);

/* ---- import_csv_units.c ---- */

/* "in, ft, cm or m" for the kept unit "m"; NULL for plain numbers and money, which need none. */
const char *lw_import_units_for(const char *kept_unit);
/* Is this a number and nothing else? */
bool lw_import_is_bare(const char *text);
/* `text` with a unit: its own, else `unit`; a fault where it has none and `kept_unit` needs one. The
 * result is in `out`. */
enum { LW_IMPORT_NUMBER = 160 };
bool lw_import_with_unit(lw_importing *job, const lw_csv_cell *at, const char *field, const char *text,
                         const char *unit, const char *kept_unit, char out[LW_IMPORT_NUMBER]);

/* ---- import_csv_cells.c: one cell of the row at hand ---- */

const lw_csv_cell *lw_import_cell(const lw_importing *job, size_t column);
/* Its text without blanks at the ends, "" for a column that is not there. */
const char *lw_import_text(lw_importing *job, size_t column);
const char *lw_import_role_text(lw_importing *job, lw_import_role role);
/* The cell of a role, the row's first where there is none. */
const lw_csv_cell *lw_import_role_cell(const lw_importing *job, lw_import_role role);
lw_id lw_import_water(lw_importing *job);                 /* 0 after a fault, or for the whole place */
const lw_material *lw_import_material(lw_importing *job); /* NULL after a fault */
lw_id lw_import_zone(lw_importing *job, lw_id water);
lw_day lw_import_day(lw_importing *job, bool may_be_future);
/* Every member column that is not empty, into the record. */
void lw_import_members(lw_importing *job, void *record);
lw_maybe lw_import_price(lw_importing *job);

/* ---- import_csv_twins.c ---- */

/* Learns what is on record. */
LW_MUST_CHECK lw_status lw_import_twins_begin(lw_importing *job, lw_error *err);
void lw_import_twins_end(lw_importing *job);
typedef enum lw_import_likeness { LW_IMPORT_NEW, LW_IMPORT_NEAR, LW_IMPORT_TWIN } lw_import_likeness;
/* Is the record known? *out is a copy of the one it is like. A new or near one is learnt. */
lw_import_likeness lw_import_twin_of(lw_importing *job, const void *record, long line, lw_import_twin *out);

/* ---- import_csv_keep.c ---- */

/* Puts a finished record into the change unless its row has faults or it is known; true when it went
 * in. `at` is its cell. */
bool lw_import_keep(lw_importing *job, const void *record, const lw_csv_cell *at, lw_id water,
                    const char *what, lw_day day);

/* ---- import_csv_log.c, import_csv_shelf.c: one row ---- */

void lw_import_reading_row(lw_importing *job);
void lw_import_note_row(lw_importing *job);
void lw_import_weather_row(lw_importing *job);
void lw_import_material_row(lw_importing *job);
void lw_import_lot_row(lw_importing *job);
void lw_import_treatment_row(lw_importing *job);

#endif
