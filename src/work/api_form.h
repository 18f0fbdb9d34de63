/* SPDX-License-Identifier: Apache-2.0 */
/* A JSON object as a form: texts as they are, numbers written out, null clears, objects (an outline)
 * as their JSON text. */
#ifndef LW_WORK_API_FORM_H
#define LW_WORK_API_FORM_H

#include "work/desk.h"

#include <jansson.h>

enum { LW_API_FIELDS = 64 };

/* Keys "who", "why", "water" and "material" are left out: they are not fields of a record. */
LW_MUST_CHECK lw_status lw_api_form(lw_form *out, json_t *body, const lw_desk *desk, lw_error *err);

/* A whole number of the body; `fallback` when absent (a negative fallback makes it required). */
LW_MUST_CHECK lw_status lw_api_id(lw_id *out, json_t *body, const char *key, lw_id fallback, lw_error *err);

/* A text of the body, NULL when absent; LW_INVALID when it is not a text. */
LW_MUST_CHECK lw_status lw_api_text(const char **out, json_t *body, const char *key, lw_error *err);

#endif
