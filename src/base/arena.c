/* SPDX-License-Identifier: Apache-2.0 */
#include "base/arena.h"

#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { FIRST_BLOCK = 16 * 1024, LARGEST_BLOCK = 1024 * 1024 };

typedef struct block {
  struct block *next;
  size_t size, used;
  max_align_t data[];
} block;

struct lw_arena {
  block *blocks;
  size_t total, max, next_size;
};

lw_arena *lw_arena_new(size_t max_bytes)
{
  lw_arena *arena = calloc(1, sizeof *arena);
  if (arena) {
    arena->max = max_bytes ? max_bytes : (size_t)1 << 30;
    arena->next_size = FIRST_BLOCK;
  }
  return arena;
}

void lw_arena_free(lw_arena *arena)
{
  if (!arena) {
    return;
  }
  for (block *b = arena->blocks; b;) {
    block *next = b->next;
    free(b);
    b = next;
  }
  free(arena);
}

static block *grow(lw_arena *arena, size_t need)
{
  size_t size = need > arena->next_size ? need : arena->next_size;
  if (size > arena->max - arena->total) {
    size = need; /* near the maximum: take just what is asked, if it still fits */
  }
  if (size > arena->max - arena->total || size > SIZE_MAX - sizeof(block)) {
    return NULL;
  }
  /* zeroed here: for a large block the system hands over zero pages that cost nothing until they are used */
  block *b = calloc(1, sizeof *b + size);
  if (!b) {
    return NULL;
  }
  b->next = arena->blocks;
  b->size = size;
  arena->blocks = b;
  arena->total += size;
  if (arena->next_size < LARGEST_BLOCK) {
    arena->next_size *= 2;
  }
  return b;
}

void *lw_arena_alloc(lw_arena *arena, size_t count, size_t size)
{
  const size_t align = _Alignof(max_align_t);
  if (size && count > (SIZE_MAX - align) / size) {
    return NULL;
  }
  size_t need = count * size;
  need = (need + align - 1) / align * align;
  if (need == 0) {
    need = align;
  }
  block *b = arena->blocks;
  if (!b || b->size - b->used < need) {
    b = grow(arena, need);
    if (!b) {
      return NULL;
    }
  }
  void *out = (char *)b->data + b->used;
  b->used += need; /* never handed out twice, so still zero */
  return out;
}

char *lw_arena_copy_n(lw_arena *arena, const char *text, size_t length)
{
  if (!text || length == SIZE_MAX) {
    return NULL;
  }
  char *out = lw_arena_alloc(arena, length + 1, 1);
  if (out && length) {
    memcpy(out, text, length);
  }
  return out;
}

char *lw_arena_copy(lw_arena *arena, const char *text)
{
  return text ? lw_arena_copy_n(arena, text, strlen(text)) : NULL;
}

char *lw_arena_format(lw_arena *arena, const char *format, ...)
{
  va_list args;
  va_start(args, format);
  int n = vsnprintf(NULL, 0, format, args);
  va_end(args);
  if (n < 0) {
    return NULL;
  }
  char *out = lw_arena_alloc(arena, (size_t)n + 1, 1);
  if (out) {
    va_start(args, format);
    (void)vsnprintf(out, (size_t)n + 1, format, args);
    va_end(args);
  }
  return out;
}
