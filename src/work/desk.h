/* SPDX-License-Identifier: Apache-2.0 */
/* What a person does with Lakeward, as functions: the command line and the page both call work/ and
 * print the same results. work/ reads the store, assembles plain cases, calls the science, and writes
 * changes. It prints nothing and reads no clock: the desk says who asks, when, and what day it is. */
#ifndef LW_WORK_DESK_H
#define LW_WORK_DESK_H

#include "base/arena.h"
#include "base/quantity.h"
#include "store/store.h"

#include <stdbool.h>

typedef struct lw_desk {
  lw_store *store;
  lw_arena *arena; /* results live here */
  lw_day today;    /* local to the waters */
  lw_instant now;
  const char *who, *why;   /* "" allowed; kept with a change */
  const char *geo_program; /* lakeward-geo; NULL: looked for beside this program, then in PATH */
} lw_desk;

/* One value a person gave: key as on the command line or in JSON ("mean-depth" = "mean_depth"), text
 * as typed with its unit. text NULL clears the value. */
typedef struct lw_field {
  const char *key, *text;
} lw_field;

typedef struct lw_form {
  const lw_field *fields;
  size_t count;
} lw_form;

/* The text of a key, NULL when the form has none. */
const char *lw_form_get(const lw_form *form, const char *key);

/* true when the form names the key, be it to clear it. */
bool lw_form_has(const lw_form *form, const char *key);

/* What a write did. */
typedef struct lw_entry {
  lw_id change, id;
  lw_kind_id kind;
  const char *shown;   /* "Upper Sedge: clarity 40 in on 2026-04-15" */
  const char *warning; /* asks about an unusual value; NULL */
  int64_t revision;
} lw_entry;

#endif
