/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/outline.h"

#include "base/text.h"
#include "exchange/files.h"
#include "exchange/geo_program.h"
#include "exchange/geojson.h"

#include <errno.h>
#include <stdbool.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static bool ends_with_one_of(const char *path, const char *const *endings, size_t count)
{
  const char *dot = strrchr(path, '.');
  for (size_t i = 0; dot && i < count; i++) {
    if (lw_same_word(dot, endings[i])) {
      return true;
    }
  }
  return false;
}

/* Looked at here first, so that a missing file is told as such whether or not the reader is there. */
static lw_status check_readable(const char *path, lw_error *err)
{
  struct stat info;
  if (stat(path, &info) != 0 || access(path, R_OK) != 0) {
    return lw_fail(err, LW_NOT_FOUND, "%s could not be opened: %s; check the path", path, strerror(errno));
  }
  return S_ISREG(info.st_mode) ? LW_OK : lw_fail(err, LW_INVALID, "%s is not a file; name a file", path);
}

static lw_status read_through_program(lw_outline *out, const char *path, const char *geo_program,
                                      lw_arena *arena, lw_error *err)
{
  lw_status status = check_readable(path, err);
  if (status != LW_OK) {
    return status;
  }
  lw_geo_run run = {.program = geo_program, .arguments = {"outline", path}, .file = path};
  char *text = NULL;
  size_t length = 0;
  status = lw_geo_program_run(&run, arena, &text, &length, err);
  if (status != LW_OK) {
    return status;
  }
  status = lw_outline_parse(out, path, text, length, arena, err);
  if (status != LW_OK && err) {
    err->line = 0; /* places in the text handed over, not in the person's file */
    err->column = 0;
  }
  return status;
}

lw_status lw_outline_read(lw_outline *out, const char *path, const char *geo_program, lw_arena *arena,
                          lw_error *err)
{
  static const char *const direct[] = {".geojson", ".json"};
  static const char *const through[] = {".kml", ".gpx", ".shp", ".gpkg"};
  if (ends_with_one_of(path, through, sizeof through / sizeof *through)) {
    return read_through_program(out, path, geo_program, arena, err);
  }
  if (!ends_with_one_of(path, direct, sizeof direct / sizeof *direct)) {
    return lw_fail(err, LW_INVALID,
                   "%s: the file's ending does not tell its format; outlines are read from .geojson, .json, "
                   ".kml, .gpx, .shp and .gpkg",
                   path);
  }
  char *text = NULL;
  size_t length = 0;
  lw_status status = lw_file_read(path, LW_GEOJSON_BYTES, arena, &text, &length, err);
  return status == LW_OK ? lw_outline_parse(out, path, text, length, arena, err) : status;
}
