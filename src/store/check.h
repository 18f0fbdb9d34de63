/* SPDX-License-Identifier: Apache-2.0 */
/* What the two files of the check share. */
#ifndef LW_STORE_CHECK_H
#define LW_STORE_CHECK_H

#include "store/internal.h"

typedef struct lw_inspection {
  lw_store *store;
  lw_arena *arena;
  lw_check_report *report;
  const char **problems; /* what the report shows, with room for the most of them and one more */
  size_t hidden;         /* problems past those */
  lw_error *err;         /* for what hinders the looking */
} lw_inspection;

/* Adds a sentence to the report. */
LW_MUST_CHECK lw_status lw_problem(lw_inspection *of, const char *format, ...) LW_PRINTF(2, 3);

/* Every current record against its latest version, kind by kind. */
LW_MUST_CHECK lw_status lw_check_records(lw_inspection *of);

#endif
