/* SPDX-License-Identifier: Apache-2.0 */
/* For the tests of lakeward-geo and of the way it is run: a folder of its own for every test. */
#ifndef LW_TESTS_GEO_CHECK_H
#define LW_TESTS_GEO_CHECK_H

#include "check.h"

#include "base/arena.h"
#include "exchange/files.h"

#include <dirent.h>
#include <stdlib.h>
#include <time.h>
#include <unistd.h>

typedef struct state {
  lw_arena *arena;
  char folder[64];
} state;

static inline int begin(void **out)
{
  state *s = calloc(1, sizeof *s);
  assert_non_null(s);
  s->arena = lw_arena_new(0);
  (void)snprintf(s->folder, sizeof s->folder, "/tmp/lw-geo-XXXXXX");
  assert_non_null(mkdtemp(s->folder));
  *out = s;
  return 0;
}

static inline int end(void **in)
{
  state *s = *in;
  DIR *folder = opendir(s->folder);
  assert_non_null(folder);
  for (struct dirent *entry; (entry = readdir(folder)) != NULL;) {
    if (entry->d_name[0] != '.') {
      assert_int_equal(unlinkat(dirfd(folder), entry->d_name, 0), 0);
    }
  }
  (void)closedir(folder);
  assert_int_equal(rmdir(s->folder), 0);
  lw_arena_free(s->arena);
  free(s);
  return 0;
}

static inline const char *path_in(void **in, const char *name)
{
  state *s = *in;
  return lw_arena_format(s->arena, "%s/%s", s->folder, name);
}

static inline void put(const char *path, const char *data, size_t length)
{
  lw_error err = {0};
  assert_int_equal(lw_file_write(path, data, length, 1, &err), LW_OK);
}

static inline long long now_ms(void)
{
  struct timespec now;
  assert_int_equal(clock_gettime(CLOCK_MONOTONIC, &now), 0);
  return (long long)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

#define TEST(name) cmocka_unit_test_setup_teardown(name, begin, end)

#endif
