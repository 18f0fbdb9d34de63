/* SPDX-License-Identifier: Apache-2.0 */
/* For the tests of exports: the invented lake in its plane, lakeward-geo, and what GDAL's own programs
 * print. Tests are skipped where lakeward-geo or those programs are missing. */
#ifndef LW_TESTS_EXPORT_CHECK_H
#define LW_TESTS_EXPORT_CHECK_H

#include "bowl.h"
#include "geo_check.h"

#include "exchange/plane.h"

#define EXPORT_LONGITUDE (-84.123456789)
#define EXPORT_LATITUDE 33.234567891
#define EXPORT_PLANE "+proj=tmerc +lat_0=33.234567891 +lon_0=-84.123456789 +k=1 +datum=WGS84 +units=m"

static inline const char *export_program(void)
{
  const char *program = getenv("LW_TEST_GEO");
  if (!program || !*program) {
    skip();
  }
  return program;
}

static inline lw_plane *export_plane(void **in)
{
  state *s = *in;
  lw_plane *plane = NULL;
  lw_error err = {0};
  assert_int_equal(lw_plane_open(&plane, EXPORT_LONGITUDE, EXPORT_LATITUDE, s->arena, &err), LW_OK);
  return plane;
}

/* What a shell command prints; the test is skipped where its first word is no program. */
static inline const char *export_shown(void **in, const char *tool, const char *rest)
{
  state *s = *in;
  char find[128];
  (void)snprintf(find, sizeof find, "command -v %s >/dev/null 2>&1", tool);
  if (system(find) != 0) { /* NOLINT: fixed words */
    skip();
  }
  const char *out = path_in(in, "shown.txt");
  const char *command = lw_arena_format(s->arena, "cd '%s' && %s %s > '%s' 2>&1", s->folder, tool, rest, out);
  char *text = NULL;
  size_t length = 0;
  lw_error err = {0};
  int code = system(command); /* NOLINT: fixed words */
  assert_int_equal(lw_file_read(out, 64 << 20, s->arena, &text, &length, &err), LW_OK);
  if (code != 0) {
    print_error("%s: %s\n", command, text);
  }
  assert_int_equal(code, 0);
  return text;
}

#endif
