/* SPDX-License-Identifier: Apache-2.0 */
/* The kinds of record, described once. Each kind is a table of columns that say where a member lies
 * in its struct (base/records.h), what it may hold and in which unit; from this description come the
 * SQL, the checks, the JSON, the CSV and the integrity check, so that no kind has code of its own.
 * A new member of a record is one row here and one step in schema.c. */
#ifndef LW_STORE_KINDS_H
#define LW_STORE_KINDS_H

#include "base/records.h"
#include "base/text.h"

#include <stddef.h>

typedef enum lw_kind_id {
  LW_KIND_WATER,
  LW_KIND_ZONE,
  LW_KIND_SURVEY,
  LW_KIND_READING,
  LW_KIND_MATERIAL,
  LW_KIND_LOT,
  LW_KIND_TREATMENT,
  LW_KIND_NOTE,
  LW_KIND_WEATHER,
  LW_KIND_OVERRIDE,
  LW_KIND_SETTING,
  LW_KIND_COUNT
} lw_kind_id;

/* What the struct member is, and how it is kept: SQL type, JSON type. */
typedef enum lw_column_type {
  LW_COLUMN_TEXT,        /* const char *, "" when empty            TEXT, string   */
  LW_COLUMN_NUMBER,      /* double                                 REAL, number   */
  LW_COLUMN_MAYBE,       /* lw_maybe                               REAL, number   */
  LW_COLUMN_MAYBE_WHOLE, /* lw_maybe that holds a whole number     INTEGER, number */
  LW_COLUMN_BOOLEAN,     /* bool                                   INTEGER, true/false */
  LW_COLUMN_DATE,        /* lw_day                                 TEXT, "2026-04-15" */
  LW_COLUMN_MAYBE_DATE,  /* lw_day, LW_NO_DAY when not told        TEXT, "2026-04-15" */
  LW_COLUMN_REFERENCE,   /* lw_id of a record of another kind, 0: none   INTEGER, number */
  LW_COLUMN_OUTLINE,     /* const char *, GeoJSON text or NULL     TEXT: a digest, see large.c */
  LW_COLUMN_SOUNDINGS    /* const char *, CSV text, NULL in lists  TEXT: a digest, see large.c */
} lw_column_type;

/* A check beyond type, choices and range. */
typedef enum lw_column_rule {
  LW_RULE_NONE,
  LW_RULE_NAME,           /* one line, no space at the ends */
  LW_RULE_MONTH_DAY,      /* "04-20" */
  LW_RULE_GRADE,          /* "12-48-8" */
  LW_RULE_QUANTITY,       /* a name of base/quantity.h */
  LW_RULE_QUANTITY_VALUE, /* possible for the quantity the record names */
  LW_RULE_NOT_ZERO,
  LW_RULE_NUMBERS /* "3,17-20": whole numbers from 1, ascending */
} lw_column_rule;

typedef struct lw_column {
  const char *name;  /* of the member, the SQL column and the JSON key: "mean_depth_m" */
  const char *label; /* for people: "mean depth" */
  size_t offset;     /* of the member in the struct */
  lw_column_type type;
  const char *unit;     /* of numbers, "" for the plain number; NULL where there is none to say */
  bool required;        /* texts not "", references not 0 (dates and numbers always are) */
  int longest;          /* characters in a text */
  const char *choices;  /* "us|metric", or NULL for any text */
  double low, high;     /* of numbers, both ends valid */
  lw_kind_id refers_to; /* of references */
  lw_column_rule rule;
  const char *not_above; /* another column of the same type that this one may not exceed */
  bool unique;           /* among live records, compared without (ASCII) case ... */
  const char *unique_in; /* ... and within the same value of this column, when named */
} lw_column;

typedef struct lw_kind {
  const char *name;   /* the table, and the word in history and JSON: "water" */
  const char *plural; /* the CSV file and messages: "waters" */
  size_t size;        /* of the struct; its lw_id id stands first */
  int since;          /* the first export format that has its table */
  size_t column_count;
  const lw_column *columns; /* without id */
} lw_kind;

extern const lw_kind lw_kinds[LW_KIND_COUNT];

/* Room for a record of any kind. */
typedef union lw_any_record {
  lw_id id;
  lw_water water;
  lw_zone zone;
  lw_survey survey;
  lw_reading reading;
  lw_material material;
  lw_lot lot;
  lw_treatment treatment;
  lw_note note;
  lw_weather weather;
  lw_override override;
  lw_setting setting;
} lw_any_record;

/* The kind of that name, LW_KIND_COUNT when there is none. */
lw_kind_id lw_kind_find(const char *name);

/* A column by name, NULL when the kind has none of that name. */
const lw_column *lw_kind_column(const lw_kind *kind, const char *name);

/* An empty record: texts "", outlines and soundings NULL, numbers unknown or 0, dates LW_NO_DAY (which the
 * store refuses where a date is required). `record` is the struct of the kind. */
void lw_kind_clear(lw_kind_id kind, void *record);

/* The heading of a column in CSV: "mean depth (m)", "aim, low (m)", "name". Headings are part of
 * the export format: changing one is a new format version. */
void lw_column_heading(const lw_column *column, lw_text *out);

#endif
