/* SPDX-License-Identifier: Apache-2.0 */
#include "basin/depth_map.h"

#include "basin/contours_parts.h"

#include <math.h>
#include <string.h>

/* Rings smaller than this share of a cell are left out. */
#define SLIVER 0.1
#define DEEPEST_M 10000.0

static lw_status check_depths(const double *depth_m, size_t count, lw_error *err)
{
  if (count > LW_CONTOURS_MOST) {
    return lw_fail(err, LW_LIMIT, "%zu contours are more than %d; take a wider interval", count,
                   LW_CONTOURS_MOST);
  }
  for (size_t k = 0; k < count; k++) {
    if (!(depth_m[k] >= 0 && depth_m[k] <= DEEPEST_M)) {
      return lw_fail(err, LW_INVALID, "contour %zu must lie between 0 and 10,000 m below full pool", k + 1);
    }
    if (k > 0 && !(depth_m[k] > depth_m[k - 1])) {
      return lw_fail(err, LW_INVALID, "contour %zu is not deeper than the one before it; list them downwards",
                     k + 1);
    }
  }
  return LW_OK;
}

/* Copies one ring behind the others. */
static void keep(lw_contour *contour, lw_contour_ring *rings, lw_spot *spots, size_t *used,
                 const lw_tracing *tracing, const lw_traced_ring *ring)
{
  lw_spot *copy = spots + *used;
  memcpy(copy, tracing->spots + ring->first, ring->count * sizeof *copy);
  *used += ring->count;
  rings[contour->ring_count++] =
      (lw_contour_ring){.spots = copy, .count = ring->count, .hole = ring->area_m2 < 0};
  contour->area_m2 += ring->area_m2;
}

/* Rings by number, the holes of each outer ring in a chain: next[r] follows r, first[r] heads the chain of
 * outer ring r; SIZE_MAX ends it. */
static void chain_holes(size_t *first, size_t *next, const lw_tracing *tracing, double least_m2)
{
  for (size_t r = 0; r < tracing->ring_count; r++) {
    first[r] = SIZE_MAX;
  }
  for (size_t r = tracing->ring_count; r-- > 0;) {
    const lw_traced_ring *ring = &tracing->rings[r];
    if (ring->area_m2 < 0 && -ring->area_m2 >= least_m2 && ring->outer != r) {
      next[r] = first[ring->outer];
      first[ring->outer] = r;
    }
  }
}

static lw_status keep_rings(lw_contour *out, const lw_tracing *tracing, double least_m2, lw_arena *scratch,
                            lw_arena *arena, lw_error *err)
{
  lw_contour_ring *rings = LW_NEW(arena, lw_contour_ring, tracing->ring_count);
  lw_spot *spots = LW_NEW(arena, lw_spot, tracing->spot_count);
  size_t *first = LW_NEW(scratch, size_t, tracing->ring_count);
  size_t *next = LW_NEW(scratch, size_t, tracing->ring_count);
  if (!rings || !spots || !first || !next) {
    return lw_fail(err, LW_MEMORY, "no memory for contours; take a wider interval");
  }
  chain_holes(first, next, tracing, least_m2);
  out->rings = rings;
  size_t used = 0;
  for (size_t r = 0; r < tracing->ring_count; r++) {
    if (tracing->rings[r].area_m2 >= least_m2 && tracing->rings[r].area_m2 > 0) {
      keep(out, rings, spots, &used, tracing, &tracing->rings[r]);
      for (size_t h = first[r]; h != SIZE_MAX; h = next[h]) {
        keep(out, rings, spots, &used, tracing, &tracing->rings[h]);
      }
    }
  }
  return LW_OK;
}

static lw_status draw(lw_contour *list, const lw_level_grid *grid, const double *depth_m, size_t count,
                      lw_arena *scratch, lw_arena *arena, lw_error *err)
{
  double step = grid->map->frame.step_m;
  lw_tracing tracing = {0};
  lw_status s = lw_tracing_begin(&tracing, grid, err);
  for (size_t k = 0; s == LW_OK && k < count; k++) {
    list[k].depth_m = depth_m[k];
    bool shore = depth_m[k] <= 0;
    s = shore ? lw_tracing_shore(&tracing, grid->shore, err)
              : lw_tracing_level(&tracing, grid, depth_m[k], err);
    if (s == LW_OK) {
      s = keep_rings(&list[k], &tracing, shore ? 0 : SLIVER * step * step, scratch, arena, err);
    }
  }
  lw_tracing_end(&tracing);
  return s;
}

lw_status lw_map_contours(lw_contour **out, const lw_depth_map *map, const lw_shore *shore,
                          const double *depth_m, size_t count, lw_arena *arena, lw_error *err)
{
  lw_status s = check_depths(depth_m, count, err);
  if (s != LW_OK) {
    return s;
  }
  lw_contour *list = LW_NEW(arena, lw_contour, count);
  lw_arena *scratch = lw_arena_new(0);
  lw_level_grid grid;
  if (!list || !scratch) {
    s = lw_fail(err, LW_MEMORY, "no memory for contours");
  }
  if (s == LW_OK) {
    s = lw_level_grid_build(&grid, map, shore, scratch, err);
  }
  if (s == LW_OK) {
    s = draw(list, &grid, depth_m, count, scratch, arena, err);
  }
  lw_arena_free(scratch);
  if (s == LW_OK) {
    *out = list;
  }
  return s;
}
