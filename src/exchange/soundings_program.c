/* SPDX-License-Identifier: Apache-2.0 */
/* Layers of points that only lakeward-geo reads. It hands over a table: five million GeoJSON features would
 * be a gigabyte. */
#include "exchange/soundings_read.h"

#include "exchange/geo_program.h"

#include <errno.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { LONGEST_MS = 180000 };

/* Looked at here first, so that a missing file is told as such whether or not the program is there. */
static lw_status check_readable(const char *path, lw_error *err)
{
  struct stat info;
  if (stat(path, &info) != 0 || access(path, R_OK) != 0) {
    return lw_fail(err, LW_NOT_FOUND, "%s could not be opened: %s; check the path", path, strerror(errno));
  }
  return S_ISREG(info.st_mode) ? LW_OK : lw_fail(err, LW_INVALID, "%s is not a file; name a file", path);
}

static const char *format_of(const char *path)
{
  const char *dot = strrchr(path, '.');
  bool shapefile = dot && (dot[1] == 's' || dot[1] == 'S');
  bool kml = dot && (dot[1] == 'k' || dot[1] == 'K');
  return shapefile ? "Shapefile" : kml ? "KML" : "GeoPackage";
}

lw_status lw_soundings_through_program(lw_fixes *out, const char *path, const lw_soundings_how *how,
                                       lw_arena *arena, lw_error *err)
{
  lw_status status = check_readable(path, err);
  if (status != LW_OK) {
    return status;
  }
  lw_geo_run run = {.program = how ? how->geo_program : NULL,
                    .arguments = {"points", path},
                    .file = path,
                    .timeout_ms = LONGEST_MS,
                    .most_output = LW_SOUNDINGS_BYTES};
  lw_soundings_how own = how ? *how : (lw_soundings_how){.day = LW_NO_DAY};
  own.system = NULL; /* it gives degrees, by the system the file names */
  char *text = NULL;
  size_t length = 0;
  status = lw_geo_program_run(&run, arena, &text, &length, err);
  if (status == LW_OK) {
    status = lw_soundings_take(out, path, text, length, &own, arena, err);
  }
  if (status == LW_OK) {
    out->format = format_of(path);
  } else if (err) {
    err->line = 0; /* places in the table handed over, not in the person's file */
    err->column = 0;
  }
  for (size_t i = 0; status == LW_OK && i < out->count; i++) {
    out->fixes[i].line = 0;
  }
  return status;
}
