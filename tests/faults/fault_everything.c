/* SPDX-License-Identifier: Apache-2.0 */
/* fault_memory.h for the whole process: malloc and its kin are defined by the program itself, so that
 * every library's call comes here, those opened later included (GEOS and its C++ new). glibc's own
 * functions stand behind. Not for builds with a sanitizer, which puts itself in the same place: there
 * fault_memory.c does it. It also counts the blocks in use, so that a leak shows without help. */
#include "fault_memory.h"

#include <errno.h>
#include <malloc.h>
#include <stdatomic.h>
#include <stdlib.h>

void *__libc_malloc(size_t size);
void *__libc_calloc(size_t count, size_t size);
void *__libc_realloc(void *old, size_t size);
void *__libc_memalign(size_t alignment, size_t size);
void __libc_free(void *block);

static atomic_long armed_at, asked, live;
static atomic_int did_fail;

static int must_fail(void)
{
  long n = atomic_fetch_add(&asked, 1) + 1;
  if (armed_at && n == armed_at) {
    did_fail = 1;
    errno = ENOMEM;
    return 1;
  }
  return 0;
}

static void *counted(void *block)
{
  live += block != NULL;
  return block;
}

void *malloc(size_t size)
{
  return must_fail() ? NULL : counted(__libc_malloc(size));
}

void *calloc(size_t count, size_t size)
{
  return must_fail() ? NULL : counted(__libc_calloc(count, size));
}

void *realloc(void *old, size_t size)
{
  if (must_fail()) {
    return NULL;
  }
  void *block = __libc_realloc(old, size);
  live += !old && block;
  live -= old && size == 0; /* glibc frees it */
  return block;
}

void *memalign(size_t alignment, size_t size)
{
  return must_fail() ? NULL : counted(__libc_memalign(alignment, size));
}

void *aligned_alloc(size_t alignment, size_t size)
{
  return memalign(alignment, size);
}

int posix_memalign(void **out, size_t alignment, size_t size)
{
  void *block = memalign(alignment, size);
  *out = block ? block : *out;
  return block ? 0 : ENOMEM;
}

void free(void *block)
{
  live -= block != NULL;
  __libc_free(block);
}

int fault_memory_install(void)
{
  return 0;
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

long fault_memory_live(void)
{
  return live;
}
