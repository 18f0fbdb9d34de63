/* SPDX-License-Identifier: Apache-2.0 */
#include "fault_memory.h"

#include <jansson.h>
#include <sqlite3.h>
#include <stddef.h>
#include <stdlib.h>

static long armed_at, asked;
static int did_fail;

/* The linker's names for the functions in their place and for the real ones. */
void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__real_realloc(void *old, size_t size);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);
void *__wrap_realloc(void *old, size_t size);

static int must_fail(void)
{
  asked++;
  if (armed_at && asked == armed_at) {
    did_fail = 1;
    return 1;
  }
  return 0;
}

void *__wrap_malloc(size_t size)
{
  return must_fail() ? NULL : __real_malloc(size);
}

void *__wrap_calloc(size_t count, size_t size)
{
  return must_fail() ? NULL : __real_calloc(count, size);
}

void *__wrap_realloc(void *old, size_t size)
{
  return must_fail() ? NULL : __real_realloc(old, size);
}

static sqlite3_mem_methods below;

static void *sqlite_malloc(int size)
{
  return must_fail() ? NULL : below.xMalloc(size);
}

static void *sqlite_realloc(void *old, int size)
{
  return must_fail() ? NULL : below.xRealloc(old, size);
}

static void *jansson_malloc(size_t size)
{
  return must_fail() ? NULL : __real_malloc(size);
}

int fault_memory_install(void)
{
  json_set_alloc_funcs(jansson_malloc, free);
  if (sqlite3_config(SQLITE_CONFIG_GETMALLOC, &below) != SQLITE_OK) {
    return 1;
  }
  sqlite3_mem_methods counted = below;
  counted.xMalloc = sqlite_malloc;
  counted.xRealloc = sqlite_realloc;
  /* small allocations would be served from a pool that never fails */
  return sqlite3_config(SQLITE_CONFIG_MALLOC, &counted) != SQLITE_OK ||
         sqlite3_config(SQLITE_CONFIG_LOOKASIDE, 0, 0) != SQLITE_OK;
}

void fault_memory_arm(long n)
{
  armed_at = n;
  asked = 0;
  did_fail = 0;
}

long fault_memory_asked(void)
{
  return asked;
}

int fault_memory_failed(void)
{
  return did_fail;
}
