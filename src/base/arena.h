/* SPDX-License-Identifier: Apache-2.0 */
/* Memory for a piece of work: many small allocations, one release. Everything read from the store
 * or parsed from a file lives in the arena its caller passes in; nothing is freed singly. An arena
 * is born with its maximum: reaching it is an ordinary LW_MEMORY fault, never an exhausted machine. */
#ifndef LW_BASE_ARENA_H
#define LW_BASE_ARENA_H

#include "base/status.h"

#include <stddef.h>

typedef struct lw_arena lw_arena;

/* A new arena that will hand out at most `max_bytes` (0: 1 GiB). NULL when there is no memory.
 * The caller ends it with lw_arena_free (accepts NULL). Not for use by two threads at once. */
lw_arena *lw_arena_new(size_t max_bytes);
void lw_arena_free(lw_arena *arena);

/* Zeroed memory for `count` elements of `size` bytes, aligned for any type; NULL when the product
 * overflows, the maximum is reached or memory is short. count 0 gives a valid pointer. */
void *lw_arena_alloc(lw_arena *arena, size_t count, size_t size);

/* Copies of text owned by the arena; NULL on no memory or NULL input. */
char *lw_arena_copy(lw_arena *arena, const char *text);
char *lw_arena_copy_n(lw_arena *arena, const char *text, size_t length);
char *lw_arena_format(lw_arena *arena, const char *format, ...) LW_PRINTF(2, 3);

#define LW_NEW(arena, type, count) ((type *)lw_arena_alloc((arena), (count), sizeof(type)))

#endif
