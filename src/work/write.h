/* SPDX-License-Identifier: Apache-2.0 */
/* One change around one write: begin, write, commit, or roll back. Shared by the entry functions. */
#ifndef LW_WORK_WRITE_H
#define LW_WORK_WRITE_H

#include "work/desk.h"

/* Adds (id 0) or updates `record` as one change described by `shown`, and fills *out. */
LW_MUST_CHECK lw_status lw_write_record(lw_entry *out, const lw_desk *desk, lw_kind_id kind, lw_id id,
                                        const void *record, const char *shown, lw_error *err);

/* Removes a record as one change described by `shown`. */
LW_MUST_CHECK lw_status lw_remove_as(lw_entry *out, const lw_desk *desk, lw_kind_id kind, lw_id id,
                                     const char *shown, lw_error *err);

/* The name of a water ("the whole place" for 0). */
LW_MUST_CHECK lw_status lw_water_name(const char **out, const lw_desk *desk, lw_id water, lw_error *err);

/* Units of the place, or of one water (id > 0) where it has its own. */
LW_MUST_CHECK lw_status lw_desk_units(lw_unit_system *out, const lw_desk *desk, lw_id water, lw_error *err);

#endif
