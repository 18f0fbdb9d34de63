/* SPDX-License-Identifier: Apache-2.0 */
#include "basin/depth_map.h"

#include "basin/shore_rows.h"

#include <math.h>
#include <string.h>

enum { LINES = 16 };

/* What a row of cells is measured with: shore and zone, and along each line their cuts. */
typedef struct ruler {
  const lw_frame *frame;
  lw_shore_rows shore, zone;
  double *shore_cut, *zone_cut; /* places, in cells from the frame's west side */
  double *wet, *both;           /* a cell of the row: length of the lines inside the shore, and in both */
} ruler;

/* Adds to each cell what the stretch from u1 to u2 (in cells) holds of it. */
static void add_stretch(double *cells, size_t columns, double u1, double u2)
{
  u1 = fmax(u1, 0);
  u2 = fmin(u2, (double)columns);
  for (size_t c = u2 > u1 ? (size_t)u1 : columns; c < columns && (double)c < u2; c++) {
    cells[c] += fmin(u2, (double)(c + 1)) - fmax(u1, (double)c);
  }
}

static size_t cuts_in_cells(double *u, const lw_shore_rows *rows, const lw_frame *frame, double y_m)
{
  size_t count = lw_shore_rows_cuts(u, rows, y_m);
  for (size_t k = 0; k < count; k++) {
    u[k] = (u[k] - frame->x0_m) / frame->step_m;
  }
  return count - count % 2;
}

static void measure_line(ruler *r, double y_m)
{
  size_t columns = r->frame->nx - 1;
  size_t wet = cuts_in_cells(r->shore_cut, &r->shore, r->frame, y_m);
  size_t zone = cuts_in_cells(r->zone_cut, &r->zone, r->frame, y_m);
  size_t z = 0;
  for (size_t w = 0; w < wet; w += 2) {
    double west = r->shore_cut[w];
    double east = r->shore_cut[w + 1];
    add_stretch(r->wet, columns, west, east);
    while (z < zone && r->zone_cut[z + 1] <= west) {
      z += 2;
    }
    for (size_t k = z; k < zone && r->zone_cut[k] < east; k += 2) {
      add_stretch(r->both, columns, fmax(west, r->zone_cut[k]), fmin(east, r->zone_cut[k + 1]));
    }
  }
}

static bool is_mixed(float wet, float zone)
{
  return wet > 0 && wet < 1 && zone > 0 && zone < 1;
}

static void measure_row(float *zone, const float *wet, ruler *r, size_t row)
{
  size_t columns = r->frame->nx - 1;
  memset(r->wet, 0, columns * sizeof *r->wet);
  memset(r->both, 0, columns * sizeof *r->both);
  for (int k = 0; k < LINES; k++) {
    measure_line(r, r->frame->y0_m + r->frame->step_m * ((double)row + (k + 0.5) / LINES));
  }
  for (size_t c = 0; c < columns; c++) {
    if (is_mixed(wet[c], zone[c])) {
      double part = r->wet[c] > 0 ? r->both[c] / r->wet[c] : (double)zone[c]; /* else a sliver no line met */
      zone[c] = (float)((double)wet[c] * fmin(1, part));
    }
  }
}

static lw_status begin_ruler(ruler *out, const lw_depth_map *map, const lw_shore *zone, lw_arena *arena,
                             lw_error *err)
{
  *out = (ruler){.frame = &map->frame};
  lw_status s = lw_shore_check(map->shore, err);
  if (s == LW_OK) {
    s = lw_shore_rows_build(&out->shore, map->shore, arena, err);
  }
  if (s == LW_OK) {
    s = lw_shore_rows_build(&out->zone, zone, arena, err);
  }
  if (s != LW_OK) {
    return s;
  }
  out->shore_cut = LW_NEW(arena, double, out->shore.longest);
  out->zone_cut = LW_NEW(arena, double, out->zone.longest);
  out->wet = LW_NEW(arena, double, map->frame.nx);
  out->both = LW_NEW(arena, double, map->frame.nx);
  return out->shore_cut && out->zone_cut && out->wet && out->both
             ? LW_OK
             : lw_fail(err, LW_MEMORY, "no memory to lay a zone over the water");
}

lw_status lw_zone_cover(float **out, const lw_depth_map *map, const lw_shore *zone, lw_arena *arena,
                        lw_error *err)
{
  ruler r;
  size_t columns = map->frame.nx - 1;
  float *cover = NULL;
  lw_status s = lw_shore_cover(&cover, zone, &map->frame, arena, err);
  if (s == LW_OK && map->shore) {
    s = begin_ruler(&r, map, zone, arena, err);
  }
  for (size_t j = 0; s == LW_OK && j + 1 < map->frame.ny; j++) {
    float *zone_row = cover + j * columns;
    const float *wet_row = map->cover + j * columns;
    bool mixed = false;
    for (size_t c = 0; c < columns && !mixed; c++) {
      mixed = is_mixed(wet_row[c], zone_row[c]);
    }
    if (mixed && map->shore) {
      measure_row(zone_row, wet_row, &r, j);
    }
    for (size_t c = 0; c < columns; c++) {
      zone_row[c] = fminf(zone_row[c], wet_row[c]);
    }
  }
  if (s == LW_OK) {
    *out = cover;
  }
  return s;
}
