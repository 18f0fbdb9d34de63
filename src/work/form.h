/* SPDX-License-Identifier: Apache-2.0 */
/* From a form to a record: the store's description of a kind says which keys there are and which unit
 * a bare number takes. */
#ifndef LW_WORK_FORM_H
#define LW_WORK_FORM_H

#include "store/kinds.h"
#include "work/desk.h"

/* Sets every field of `form` that names a column of the kind, in the struct `record`. Keys in `skip`
 * (NULL-ended) are left to the caller; other unknown keys are refused with the list of valid ones. */
LW_MUST_CHECK lw_status lw_form_apply(const lw_form *form, lw_kind_id kind, void *record,
                                      const char *const *skip, const lw_desk *desk, lw_error *err);

/* "2026-04-15" or today when NULL; a day in the future is refused unless `may_be_future`. */
LW_MUST_CHECK lw_status lw_form_day(lw_day *out, const char *field, const char *text, bool may_be_future,
                                    const lw_desk *desk, lw_error *err);

/* yes, no, true or false; NULL is no. */
LW_MUST_CHECK lw_status lw_form_yes(bool *out, const char *field, const char *text, lw_error *err);

#endif
