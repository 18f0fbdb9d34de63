/* SPDX-License-Identifier: Apache-2.0 */
/* The target of a request line ("/api/now?on=2026-04-15"), read strictly: percent escapes decoded
 * once, nothing that could mean two things let through. */
#ifndef LW_WEB_TARGET_H
#define LW_WEB_TARGET_H

#include "base/arena.h"
#include "base/status.h"

#include <stddef.h>

enum { LW_WEB_TARGET_MAX = 4096, LW_WEB_QUERY_MAX = 40 };

typedef struct lw_web_target {
  const char *path;                                              /* decoded, begins with '/' */
  const char *keys[LW_WEB_QUERY_MAX], *values[LW_WEB_QUERY_MAX]; /* decoded; "" for a bare key */
  size_t count;
} lw_web_target;

/* Reads `raw` into *out, texts in `arena`. LW_INVALID: not beginning with '/'; a broken escape, a
 * control character, a backslash or an escaped slash; a segment that is empty, '.' or '..' (an empty
 * last one is allowed); not UTF-8; a query key that is empty. LW_LIMIT: longer than
 * LW_WEB_TARGET_MAX bytes or more than LW_WEB_QUERY_MAX keys. In the query '+' is a space. */
LW_MUST_CHECK lw_status lw_web_target_read(lw_web_target *out, const char *raw, lw_arena *arena,
                                           lw_error *err);

#endif
