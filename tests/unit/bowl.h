/* SPDX-License-Identifier: Apache-2.0 */
/* An invented lake for tests: a bowl with an arm to the north-east and an island, its bed a smooth
 * function of place; depth map, shore and contours of it by marching squares. */
#ifndef LW_TESTS_BOWL_H
#define LW_TESTS_BOWL_H

#include "check.h"

#include "base/arena.h"
#include "basin/depth_map.h"

#include <stdbool.h>

enum { BOWL_NODES_MOST = 700, BOWL_SPOTS_MOST = 200000, BOWL_RINGS_MOST = 64 };

typedef struct bowl {
  lw_arena *arena;
  lw_depth_map map;
  double *bed; /* a node: depth, negative on land */
  lw_shore shore;
  double stretch; /* north-south against east-west */
} bowl;

/* Depth (m) of the invented bed: about 380 m by 260 m, 5 m deep. */
static inline double bowl_depth(const bowl *b, double x_m, double y_m)
{
  double x = x_m, y = y_m / b->stretch;
  double main_part = 5.2 * (1 - pow(x / 170, 2) - pow((y + 10) / 105, 2));
  double along = (x - 60) * 0.8 + (y - 30) * 0.6;
  double across = -(x - 60) * 0.6 + (y - 30) * 0.8;
  double arm = 2.6 * (1 - pow(fmax(0, along) / 150, 2)) - pow(across / 22, 2) * 2.6 - (along < 0 ? 9 : 0);
  double both = 0.5 * (main_part + arm + sqrt(pow(main_part - arm, 2) + 0.3));
  double island = 6.5 * exp(-(pow((x + 70) / 26, 2) + pow((y + 5) / 20, 2)));
  return both - island;
}

static inline double bowl_at(const bowl *b, size_t i, size_t j)
{
  return b->bed[j * b->map.frame.nx + i];
}

/* Where the level `d` crosses the side from node to node. */
static inline lw_spot bowl_cut(const bowl *b, size_t i, size_t j, size_t k, size_t l, double d)
{
  const lw_frame *f = &b->map.frame;
  double a = bowl_at(b, i, j), z = bowl_at(b, k, l);
  double t = (d - a) / (z - a);
  return (lw_spot){f->x0_m + ((double)i + t * ((double)k - (double)i)) * f->step_m,
                   f->y0_m + ((double)j + t * ((double)l - (double)j)) * f->step_m};
}

/* One step of the walk with deeper water on the left: from cell (i, j), entered through `side` (0 south, 1
 * east, 2 north, 3 west), to the side it leaves by. */
static inline int bowl_leave(const bowl *b, size_t i, size_t j, int side, double d)
{
  static const int corner[4][2] = {{0, 0}, {1, 0}, {1, 1}, {0, 1}};
  for (int turn = 1; turn < 4; turn++) {
    int s = (side + turn) % 4; /* rightmost first keeps saddles apart, the same way from both ends */
    bool first = bowl_at(b, i + (size_t)corner[s][0], j + (size_t)corner[s][1]) > d;
    int n = (s + 1) % 4;
    bool second = bowl_at(b, i + (size_t)corner[n][0], j + (size_t)corner[n][1]) > d;
    if (!first && second) {
      return s;
    }
  }
  return -1;
}

static inline size_t bowl_ring(const bowl *b, size_t i, size_t j, double d, bool *seen, lw_spot *out)
{
  size_t count = 0;
  size_t nx = b->map.frame.nx;
  int side = 3; /* begins at a west side whose lower node is deep and upper one not */
  while (!(side == 3 && seen[j * nx + i])) {
    if (side == 3) {
      seen[j * nx + i] = true;
    }
    static const size_t ends[4][4] = {{0, 0, 1, 0}, {1, 0, 1, 1}, {1, 1, 0, 1}, {0, 1, 0, 0}};
    const size_t *e = ends[side];
    assert_true(count < BOWL_SPOTS_MOST);
    out[count++] = bowl_cut(b, i + e[0], j + e[1], i + e[2], j + e[3], d);
    int leave = bowl_leave(b, i, j, side, d);
    assert_true(leave >= 0);
    i = leave == 1 ? i + 1 : leave == 3 ? i - 1 : i;
    j = leave == 2 ? j + 1 : leave == 0 ? j - 1 : j;
    side = (leave + 2) % 4;
  }
  return count;
}

static inline double bowl_ring_area(const lw_spot *spots, size_t count)
{
  double twice = 0;
  for (size_t k = 0; k < count; k++) {
    const lw_spot *a = &spots[k], *z = &spots[(k + 1) % count];
    twice += a->x_m * z->y_m - z->x_m * a->y_m;
  }
  return twice / 2;
}

/* Rings of the region deeper than `d`, outer rings first. */
static inline lw_contour bowl_contour(const bowl *b, double d)
{
  const lw_frame *f = &b->map.frame;
  lw_contour line = {.depth_m = d};
  lw_contour_ring *rings = LW_NEW(b->arena, lw_contour_ring, BOWL_RINGS_MOST);
  bool *seen = LW_NEW(b->arena, bool, f->nx * f->ny);
  lw_spot *spots = LW_NEW(b->arena, lw_spot, BOWL_SPOTS_MOST);
  assert_non_null(spots);
  for (size_t j = 1; j + 2 < f->ny; j++) {
    for (size_t i = 1; i + 2 < f->nx; i++) {
      /* crossing eastwards into the cell, deeper on the left (north) */
      if (bowl_at(b, i, j) <= d && bowl_at(b, i, j + 1) > d && !seen[j * f->nx + i]) {
        size_t n = bowl_ring(b, i, j, d, seen, spots);
        lw_spot *kept = LW_NEW(b->arena, lw_spot, n);
        assert_true(kept && line.ring_count < BOWL_RINGS_MOST);
        memcpy(kept, spots, n * sizeof *kept);
        double area = bowl_ring_area(kept, n);
        rings[line.ring_count++] = (lw_contour_ring){.spots = kept, .count = n, .hole = area < 0};
        line.area_m2 += area;
      }
    }
  }
  for (size_t r = 0; r < line.ring_count; r++) { /* the test lake's levels have one outer ring each */
    if (!rings[r].hole && r > 0) {
      lw_contour_ring first = rings[0];
      rings[0] = rings[r];
      rings[r] = first;
    }
  }
  line.rings = rings;
  return line;
}

static inline void bowl_shore(bowl *b)
{
  lw_contour line = bowl_contour(b, 0);
  size_t *start = LW_NEW(b->arena, size_t, line.ring_count + 1);
  lw_spot *spots = LW_NEW(b->arena, lw_spot, BOWL_SPOTS_MOST);
  for (size_t r = 0; r < line.ring_count; r++) {
    memcpy(spots + start[r], line.rings[r].spots, line.rings[r].count * sizeof *spots);
    start[r + 1] = start[r] + line.rings[r].count;
  }
  b->shore = (lw_shore){spots, start, line.ring_count, start[line.ring_count]};
}

/* Roughly: the share of a cell's nodes that are wet. */
static inline void bowl_cover(bowl *b)
{
  const lw_frame *f = &b->map.frame;
  for (size_t j = 0; j + 1 < f->ny; j++) {
    for (size_t i = 0; i + 1 < f->nx; i++) {
      int wet = (bowl_at(b, i, j) > 0) + (bowl_at(b, i + 1, j) > 0) + (bowl_at(b, i, j + 1) > 0) +
                (bowl_at(b, i + 1, j + 1) > 0);
      b->map.cover[j * (f->nx - 1) + i] = (float)wet / 4;
    }
  }
}

static inline void bowl_fill(bowl *b)
{
  const lw_frame *f = &b->map.frame;
  for (size_t j = 0; j < f->ny; j++) {
    for (size_t i = 0; i < f->nx; i++) {
      double d = bowl_depth(b, f->x0_m + (double)i * f->step_m, f->y0_m + (double)j * f->step_m);
      b->bed[j * f->nx + i] = d;
      b->map.depth_m[j * f->nx + i] = d > 0 ? (float)d : NAN;
    }
  }
}

/* Nodes every `step_m`; `stretch` above 1 makes it taller. Everything in the arena. */
static inline bowl bowl_new(lw_arena *arena, double step_m, double stretch)
{
  bowl b = {.arena = arena, .stretch = stretch};
  size_t nx = (size_t)(480 / step_m), ny = (size_t)(340 * stretch / step_m);
  assert_true(nx < BOWL_NODES_MOST && ny < BOWL_NODES_MOST);
  b.map.frame = (lw_frame){nx, ny, step_m, -200.25, -140.25 * stretch};
  b.bed = LW_NEW(arena, double, nx *ny);
  b.map.depth_m = LW_NEW(arena, float, nx *ny);
  b.map.cover = LW_NEW(arena, float, (nx - 1) * (ny - 1));
  assert_true(b.bed && b.map.depth_m && b.map.cover);
  bowl_fill(&b);
  bowl_cover(&b);
  bowl_shore(&b);
  return b;
}

/* `count` contours, the first at `from_m`, `interval_m` apart. */
static inline lw_contour *bowl_contours(const bowl *b, double from_m, double interval_m, size_t count)
{
  lw_contour *lines = LW_NEW(b->arena, lw_contour, count);
  for (size_t k = 0; k < count; k++) {
    lines[k] = bowl_contour(b, from_m + interval_m * (double)k);
  }
  return lines;
}

#endif
