/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/depth_raster.h"

#include "exchange/geo_program.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>

enum { HEADER_BYTES = 1024, RASTER_TIMEOUT_MS = 60000 };

static const double down_most_m = 100;

static lw_status check_path(const char *path, lw_error *err)
{
  struct stat info;
  const char *dot = strrchr(path, '.');
  if (!dot || (strcasecmp(dot, ".tif") != 0 && strcasecmp(dot, ".tiff") != 0)) {
    return lw_fail(err, LW_INVALID, "%s: the name of a GeoTIFF should end in .tif", path);
  }
  return lstat(path, &info) == 0 ? lw_fail(err, LW_CONFLICT, "%s exists already; name another file", path)
                                 : LW_OK;
}

static lw_status check_map(const lw_depth_raster *raster, lw_error *err)
{
  const lw_frame *f = &raster->map->frame;
  if (f->nx < 2 || f->ny < 2 || !(f->step_m > 0)) {
    return lw_fail(err, LW_INVALID, "the depth map has %zu by %zu nodes; at least 2 by 2 make a raster",
                   f->nx, f->ny);
  }
  if (f->nx > LW_RASTER_NODES_MOST / f->ny) {
    return lw_fail(err, LW_LIMIT,
                   "the depth map has %zu by %zu nodes; a raster may have %d; use a larger step", f->nx,
                   f->ny, LW_RASTER_NODES_MOST);
  }
  if (!(raster->down_m >= 0 && raster->down_m <= down_most_m)) {
    return lw_fail(err, LW_INVALID, "the pool is %g m below full; expected 0 to %g m", raster->down_m,
                   down_most_m);
  }
  return LW_OK;
}

static const char *level_words(double down_m, char out[64])
{
  if (down_m > 0) {
    (void)snprintf(out, 64, "with the pool %.3f m below full", down_m);
  } else {
    (void)snprintf(out, 64, "with the pool full");
  }
  return out;
}

/* The text before the values; see geo/raster.c. Returns its length, 0 when it could not be made. */
static size_t write_header(const lw_depth_raster *raster, const double middle[2], char out[HEADER_BYTES])
{
  const lw_frame *f = &raster->map->frame;
  char level[64];
  int n = snprintf(out, HEADER_BYTES,
                   "lakeward-grid 1\nnodes %zu %zu\nstep %.17g\norigin %.17g %.17g\nmiddle %.9f %.9f\n"
                   "band m Depth below the surface %s. Not for navigation.\n%s\n",
                   f->nx, f->ny, f->step_m, f->x0_m, f->y0_m, middle[0], middle[1],
                   level_words(raster->down_m, level),
                   raster->map->error_m ? "band m One standard error of the depth\n" : "");
  return n > 0 && n < HEADER_BYTES ? (size_t)n : 0;
}

static void write_values(const lw_depth_raster *raster, char *out)
{
  const lw_depth_map *map = raster->map;
  size_t count = map->frame.nx * map->frame.ny;
  for (size_t i = 0; i < count; i++) {
    float depth = (float)((double)map->depth_m[i] - raster->down_m);
    bool wet = depth > 0;
    float pair[2] = {wet ? depth : NAN, wet && map->error_m ? map->error_m[i] : NAN};
    memcpy(out + i * sizeof *pair, &pair[0], sizeof *pair);
    if (map->error_m) {
      memcpy(out + (count + i) * sizeof *pair, &pair[1], sizeof *pair);
    }
  }
}

static lw_status make_input(const lw_depth_raster *raster, lw_arena *arena, char **out, size_t *out_length,
                            lw_error *err)
{
  double middle[2];
  char header[HEADER_BYTES];
  const lw_spot origin = {0, 0};
  lw_status status = lw_plane_from(middle, &origin, 1, raster->plane, err);
  if (status != LW_OK) {
    return status;
  }
  size_t text = write_header(raster, middle, header);
  if (text == 0) {
    return lw_fail(err, LW_INTERNAL, "the raster's header came out too long");
  }
  size_t values =
      raster->map->frame.nx * raster->map->frame.ny * sizeof(float) * (raster->map->error_m ? 2 : 1);
  char *input = lw_arena_alloc(arena, text + values, 1);
  if (!input) {
    return lw_fail(err, LW_MEMORY, "there is no memory for the raster");
  }
  memcpy(input, header, text);
  write_values(raster, input + text);
  *out = input;
  *out_length = text + values;
  return LW_OK;
}

lw_status lw_depth_raster_write(const char *path, const lw_depth_raster *raster, const char *program,
                                lw_arena *arena, lw_error *err)
{
  char *input = NULL, *nothing = NULL;
  size_t length = 0, nothing_length = 0;
  lw_status status = check_path(path, err);
  status = status == LW_OK ? check_map(raster, err) : status;
  status = status == LW_OK ? make_input(raster, arena, &input, &length, err) : status;
  if (status != LW_OK) {
    return status;
  }
  lw_geo_run run = {.program = program,
                    .arguments = {"raster", path},
                    .file = path,
                    .input = input,
                    .input_length = length,
                    .timeout_ms = RASTER_TIMEOUT_MS};
  return lw_geo_program_run(&run, arena, &nothing, &nothing_length, err);
}
