/* SPDX-License-Identifier: Apache-2.0 */
/* Records as JSON for the command line and the page, from the description of their kind. */
#ifndef LW_STORE_RECORDS_JSON_H
#define LW_STORE_RECORDS_JSON_H

#include "store/kinds.h"

#include <jansson.h>

/* A new object with "id" and then every member under its own name, in the order of the struct:
 * numbers in the unit the name tells, dates as "2026-04-15", outlines as GeoJSON objects, what is
 * not known, not told or empty as null; soundings are left out. A reading also tells the "unit" of its value
 * and, for quantities that are words, the "word". The caller owns it (json_decref); NULL on no memory. */
json_t *lw_store_record_json(lw_kind_id kind, const void *record);

#endif
