/* SPDX-License-Identifier: Apache-2.0 */
/* What takes up room on a map, so that no label stands on another: upright and turned rectangles.
 * Private to draw. */
#ifndef LW_DRAW_BOXES_H
#define LW_DRAW_BOXES_H

#include <stdbool.h>
#include <stddef.h>

typedef struct lw_tile {
  double x, y;          /* middle, pt */
  double width, height; /* pt */
  double angle;         /* clockwise, radians */
} lw_tile;

enum { LW_TILES_MOST = 4096 };

typedef struct lw_tiles {
  lw_tile *tiles; /* LW_TILES_MOST of them */
  size_t count;
} lw_tiles;

/* The four corners, x and y in turn. */
void lw_tile_corners(const lw_tile *tile, double out[8]);

/* By separating axes (Gottschalk, Lin & Manocha 1996). */
bool lw_tiles_meet(const lw_tile *a, const lw_tile *b);

/* true when nothing kept so far meets it. */
bool lw_tiles_free(const lw_tiles *kept, const lw_tile *tile);

/* false when there is no more room for tiles; the tile is then not kept. */
bool lw_tiles_keep(lw_tiles *kept, const lw_tile *tile);

#endif
