/* SPDX-License-Identifier: Apache-2.0 */
#include "draw/boxes.h"

#include <math.h>

void lw_tile_corners(const lw_tile *tile, double out[8])
{
  static const double sides[4][2] = {{-0.5, -0.5}, {0.5, -0.5}, {0.5, 0.5}, {-0.5, 0.5}};
  double c = cos(tile->angle);
  double s = sin(tile->angle);
  for (size_t i = 0; i < 4; i++) {
    double along = sides[i][0] * tile->width;
    double across = sides[i][1] * tile->height;
    out[2 * i] = tile->x + along * c - across * s;
    out[2 * i + 1] = tile->y + along * s + across * c;
  }
}

/* Do the shadows of both on the direction (c, s) lie apart? */
static bool apart(const double a[8], const double b[8], double c, double s)
{
  double low[2] = {INFINITY, INFINITY};
  double high[2] = {-INFINITY, -INFINITY};
  for (size_t i = 0; i < 4; i++) {
    double at[2] = {a[2 * i] * c + a[2 * i + 1] * s, b[2 * i] * c + b[2 * i + 1] * s};
    for (int k = 0; k < 2; k++) {
      low[k] = fmin(low[k], at[k]);
      high[k] = fmax(high[k], at[k]);
    }
  }
  return high[0] <= low[1] || high[1] <= low[0];
}

bool lw_tiles_meet(const lw_tile *a, const lw_tile *b)
{
  double reach = hypot(a->width, a->height) / 2 + hypot(b->width, b->height) / 2;
  if (hypot(a->x - b->x, a->y - b->y) >= reach) {
    return false;
  }
  double of_a[8], of_b[8];
  lw_tile_corners(a, of_a);
  lw_tile_corners(b, of_b);
  return !apart(of_a, of_b, cos(a->angle), sin(a->angle)) &&
         !apart(of_a, of_b, -sin(a->angle), cos(a->angle)) &&
         !apart(of_a, of_b, cos(b->angle), sin(b->angle)) &&
         !apart(of_a, of_b, -sin(b->angle), cos(b->angle));
}

bool lw_tiles_free(const lw_tiles *kept, const lw_tile *tile)
{
  for (size_t i = 0; i < kept->count; i++) {
    if (lw_tiles_meet(&kept->tiles[i], tile)) {
      return false;
    }
  }
  return true;
}

bool lw_tiles_keep(lw_tiles *kept, const lw_tile *tile)
{
  if (kept->count >= LW_TILES_MOST) {
    return false;
  }
  kept->tiles[kept->count++] = *tile;
  return true;
}
