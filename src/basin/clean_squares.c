/* SPDX-License-Identifier: Apache-2.0 */
#include "basin/clean_parts.h"

#include <math.h>

static size_t held(double at, double size_m, size_t count)
{
  double k = floor(at / size_m);
  return !(k > 0) ? 0 : k >= (double)count ? count - 1 : (size_t)k;
}

size_t lw_squares_column(const lw_squares *squares, double x_m)
{
  return held(x_m - squares->x0_m, squares->size_m, squares->nx);
}

size_t lw_squares_row(const lw_squares *squares, double y_m)
{
  return held(y_m - squares->y0_m, squares->size_m, squares->ny);
}

static void lay_out(lw_squares *out, const lw_spot *spots, size_t count, double size_m)
{
  lw_box box = {INFINITY, INFINITY, -INFINITY, -INFINITY};
  for (size_t k = 0; k < count; k++) {
    box = (lw_box){fmin(box.west_m, spots[k].x_m), fmin(box.south_m, spots[k].y_m),
                   fmax(box.east_m, spots[k].x_m), fmax(box.north_m, spots[k].y_m)};
  }
  if (count == 0) {
    box = (lw_box){0, 0, 0, 0};
  }
  double wide = box.east_m - box.west_m;
  double high = box.north_m - box.south_m;
  double most = 4.0 * (double)count + 64;
  while ((floor(wide / size_m) + 1) * (floor(high / size_m) + 1) > most) {
    size_m *= 1.5;
  }
  *out = (lw_squares){.x0_m = box.west_m,
                      .y0_m = box.south_m,
                      .size_m = size_m,
                      .nx = (size_t)(wide / size_m) + 1,
                      .ny = (size_t)(high / size_m) + 1};
}

lw_status lw_squares_build(lw_squares *out, const lw_spot *spots, size_t count, double size_m,
                           lw_arena *arena, lw_error *err)
{
  lay_out(out, spots, count, size_m);
  size_t squares = out->nx * out->ny;
  out->start = LW_NEW(arena, uint32_t, squares + 1);
  out->item = LW_NEW(arena, uint32_t, count);
  uint32_t *square = LW_NEW(arena, uint32_t, count);
  if (!out->start || !out->item || !square) {
    return lw_fail(err, LW_MEMORY, "no memory to index %zu soundings by place", count);
  }
  for (size_t k = 0; k < count; k++) {
    square[k] =
        (uint32_t)(lw_squares_row(out, spots[k].y_m) * out->nx + lw_squares_column(out, spots[k].x_m));
    out->start[square[k]]++;
  }
  uint32_t sum = 0;
  for (size_t q = 0; q <= squares; q++) {
    sum += out->start[q];
    out->start[q] = sum;
  }
  for (size_t k = count; k-- > 0;) { /* backwards: items of a square stay in order */
    out->item[--out->start[square[k]]] = (uint32_t)k;
  }
  return LW_OK;
}
