/* SPDX-License-Identifier: Apache-2.0 */
/* Which methods a path of the API takes, told from the embedded description of the API itself: a 405
 * must name them (RFC 9110, 15.5.6), and this way the two cannot disagree. */
#ifndef LW_WEB_ALLOW_H
#define LW_WEB_ALLOW_H

#include "base/arena.h"

/* "GET, HEAD, POST" for `path` ("/api/waters/3"), in the arena; NULL when the description does not
 * know the path, or is not embedded. */
const char *lw_web_allow(const char *path, lw_arena *arena);

#endif
