/* SPDX-License-Identifier: Apache-2.0 */
/* The JSON body of a write, read within limits: a hostile body may cost neither stack nor memory. */
#ifndef LW_WEB_BODY_H
#define LW_WEB_BODY_H

#include "base/arena.h"
#include "base/status.h"

#include <jansson.h>
#include <stddef.h>

enum { LW_WEB_DEPTH_MAX = 32, LW_WEB_VALUES_MAX = 200000, LW_WEB_WHO_MAX = 200, LW_WEB_WHY_MAX = 2000 };

typedef struct lw_web_body {
  json_t *json;          /* an object, or NULL when there was no body; released by the caller */
  const char *who, *why; /* taken out of the object, in the arena; "" when not told */
} lw_web_body;

/* Reads `length` bytes at `text` (need not end in NUL). LW_INVALID names line and column for what is
 * not JSON, says so for a body that is no object, a key given twice, who or why that are no text or
 * too long, a key that names a file of this machine ("outline-file": for the command line only). LW_LIMIT:
 * nested past LW_WEB_DEPTH_MAX or more than LW_WEB_VALUES_MAX values. */
LW_MUST_CHECK lw_status lw_web_body_read(lw_web_body *out, const char *text, size_t length, lw_arena *arena,
                                         lw_error *err);

#endif
