/* SPDX-License-Identifier: Apache-2.0 */
/* How lakeward-geo is found, run and ended: small scripts stand in for it that hang, crash or flood. */
#include "geo_check.h"

#include "exchange/geo_program.h"
#include "exchange/outline.h"

#include <sys/stat.h>

static const char *script(void **in, const char *name, const char *body)
{
  const char *path = path_in(in, name);
  char *text = lw_arena_format(((state *)*in)->arena, "#!/bin/sh\n%s\n", body);
  put(path, text, strlen(text));
  assert_int_equal(chmod(path, 0755), 0);
  return path;
}

static lw_status run_script(void **in, const char *body, int timeout_ms, char **out, size_t *length,
                            lw_error *err)
{
  state *s = *in;
  *err = (lw_error){0};
  lw_geo_run run = {.program = script(in, "program", body),
                    .arguments = {"outline", "lake.kml"},
                    .file = "lake.kml",
                    .input = "one\ntwo\n",
                    .input_length = 8,
                    .timeout_ms = timeout_ms};
  return lw_geo_program_run(&run, s->arena, out, length, err);
}

static void takes_output_and_hands_input(void **in)
{
  lw_error err;
  char *out = NULL;
  size_t length = 0;
  assert_int_equal(run_script(in, "cat; echo \"$1 $2\"; echo note >&2", 0, &out, &length, &err), LW_OK);
  assert_string_equal(out, "one\ntwo\noutline lake.kml\n");
  assert_int_equal(length, strlen(out));
}

static void a_program_that_hangs_is_ended(void **in)
{
  static const char *const bodies[] = {"sleep 60", "sleep 60 & wait", "exec sleep 60 >&- 2>&-",
                                       "sleep 60 & exit 0"};
  for (size_t i = 0; i < sizeof bodies / sizeof *bodies; i++) {
    lw_error err;
    char *out = NULL;
    size_t length = 0;
    long long began = now_ms();
    assert_int_equal(run_script(in, bodies[i], 300, &out, &length, &err), LW_LIMIT);
    assert_true(now_ms() - began >= 295);
    assert_true(now_ms() - began < 20000);
    assert_holds(err.message, "lake.kml took more than 1 s");
  }
}

static void what_it_says_is_passed_on(void **in)
{
  lw_error err;
  char *out = NULL;
  size_t length = 0;
  assert_int_equal(run_script(in, "echo 'lakeward-geo: lake.kml: it is cut\001 short' >&2; exit 2", 0, &out,
                              &length, &err),
                   LW_INVALID);
  assert_string_equal(err.message, "lake.kml: it is cut? short");
  assert_int_equal(run_script(in, "exit 2", 0, &out, &length, &err), LW_INVALID);
  assert_string_equal(err.message, "lake.kml: it could not be read");
  assert_int_equal(run_script(in, "echo no proj.db >&2; exit 1", 0, &out, &length, &err), LW_IO);
  assert_holds(err.message, "(exit 1): no proj.db");
  assert_int_equal(run_script(in, "kill -SEGV $$", 0, &out, &length, &err), LW_INVALID);
  assert_holds(err.message, "the reader broke off (signal 11)");
  assert_int_equal(run_script(in, "kill -KILL $$", 0, &out, &length, &err), LW_LIMIT);
  assert_holds(err.message, "used up its time or memory");
  assert_int_equal(
      run_script(in, "head -c 100000 /dev/zero | tr '\\0' 'x' >&2; exit 2", 0, &out, &length, &err),
      LW_INVALID);
  assert_int_equal(strlen(err.message), strlen("lake.kml: ") + 600);
}

static void a_flood_is_cut_off(void **in)
{
  lw_error err;
  char *out = NULL;
  size_t length = 0;
  assert_int_equal(run_script(in, "cat /dev/zero", 20000, &out, &length, &err), LW_LIMIT);
  assert_holds(err.message, "more than 64 MiB");
}

static void a_missing_program_is_named(void **in)
{
  state *s = *in;
  lw_error err = {0};
  lw_outline got;
  put(path_in(in, "lake.kml"), "<kml/>", 6);
  assert_int_equal(lw_outline_read(&got, path_in(in, "lake.kml"), "/nowhere/lakeward-geo", s->arena, &err),
                   LW_NOT_FOUND);
  assert_holds(err.message, "/nowhere/lakeward-geo");
  char *old = lw_arena_copy(s->arena, getenv("PATH"));
  assert_int_equal(setenv("PATH", ".:/nowhere", 1), 0);
  assert_int_equal(lw_outline_read(&got, path_in(in, "lake.kml"), NULL, s->arena, &err), LW_NOT_FOUND);
  assert_holds(err.message, "libgdal-dev");
  (void)script(in, "lakeward-geo", "exec cat");
  assert_int_equal(setenv("PATH", lw_arena_format(s->arena, "/nowhere:%s:%s", s->folder, old), 1), 0);
  assert_int_equal(lw_outline_read(&got, path_in(in, "lake.kml"), NULL, s->arena, &err), LW_INVALID);
  assert_holds(err.message, "not JSON"); /* found on PATH, and gave nothing */
  assert_int_equal(setenv("PATH", old, 1), 0);
  assert_int_equal(lw_outline_read(&got, path_in(in, "lake.dxf"), NULL, s->arena, &err), LW_INVALID);
  assert_holds(err.message, ".gpkg");
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      TEST(takes_output_and_hands_input), TEST(a_program_that_hangs_is_ended),
      TEST(what_it_says_is_passed_on),    TEST(a_flood_is_cut_off),
      TEST(a_missing_program_is_named),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
