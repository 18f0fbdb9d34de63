/* SPDX-License-Identifier: Apache-2.0 */
/* Whole files in and out, safely: bounded reads, and writes that are complete or absent. */
#ifndef LW_EXCHANGE_FILES_H
#define LW_EXCHANGE_FILES_H

#include "base/arena.h"
#include "base/status.h"

#include <stddef.h>

/* The whole file into the arena, NUL added past its end. LW_NOT_FOUND, LW_LIMIT past `max_bytes`
 * (names both sizes), LW_INVALID for folders and devices, LW_IO otherwise. */
LW_MUST_CHECK lw_status lw_file_read(const char *path, size_t max_bytes, lw_arena *arena, char **out,
                                     size_t *out_length, lw_error *err);

/* Writes beside the target, syncs, then renames: a reader sees the old file or the new one. With
 * `may_replace` false an existing file is LW_CONFLICT. */
LW_MUST_CHECK lw_status lw_file_write(const char *path, const char *data, size_t length, int may_replace,
                                      lw_error *err);

#endif
