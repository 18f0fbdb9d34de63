/* SPDX-License-Identifier: Apache-2.0 */
#include "basin/depth_map.h"

#include "basin/depth_map_cell.h"

#include <stdlib.h>

#define LEVEL_FARTHEST_M 10000.0
enum { LEVELS_MOST = 100000 };

/* A cell that lies wholly deeper than levels 0 to n - 1 is booked once, at level n - 1, and the books are
 * added up from the deepest level at the end; only the few levels that cut its bed are reckoned singly.
 * So one pass over the cells serves all levels. Sizes in cells: share, and share x depth. */
typedef struct books {
  const double *down_m;
  size_t count;
  double *whole_share, *whole_depth; /* booked at the last level the cell is deeper than */
  double *cut_share, *cut_volume;    /* of cells cut by the level */
} books;

/* Levels above full pool are dealt with at the end: until then they are the full pool. */
static double level_of(const books *b, size_t k)
{
  return b->down_m[k] > 0 ? b->down_m[k] : 0;
}

/* How many levels lie above `depth_m`; one at full pool also when the depth is 0. */
static size_t levels_above(const books *b, double depth_m)
{
  size_t low = 0;
  size_t high = b->count;
  while (low < high) {
    size_t middle = low + (high - low) / 2;
    if (level_of(b, middle) < depth_m || (b->down_m[middle] <= 0 && depth_m >= 0)) {
      low = middle + 1;
    } else {
      high = middle;
    }
  }
  return low;
}

/* `side` tells which part of the cell is wet, NULL: all of it. `scale` is the zone's share of the wet
 * part. */
static void book_cell(const books *b, lw_cell_bed bed, double cover, const lw_cell_side *side, double scale)
{
  double least = lw_cell_least(bed);
  double most = lw_cell_most(bed);
  size_t whole = levels_above(b, least);
  if (whole > 0) {
    double depth = side ? lw_cell_deeper_within(bed, *side, least).volume + cover * least : lw_cell_mean(bed);
    b->whole_share[whole - 1] += scale * cover;
    b->whole_depth[whole - 1] += scale * depth;
  }
  for (size_t k = whole; k < b->count && (level_of(b, k) < most || b->down_m[k] <= 0); k++) {
    lw_cell_part part =
        side ? lw_cell_deeper_within(bed, *side, level_of(b, k)) : lw_cell_deeper(bed, level_of(b, k));
    /* at full pool all that the shore encloses is water, be it ever so shallow */
    b->cut_share[k] += scale * (b->down_m[k] <= 0 ? cover : fmin(part.share, cover));
    b->cut_volume[k] += scale * part.volume;
  }
}

static lw_status book_cells(const books *b, const lw_depth_map *map, const float *zone_cover, lw_error *err)
{
  size_t columns = map->frame.nx - 1;
  for (size_t j = 0; j + 1 < map->frame.ny; j++) {
    for (size_t i = 0; i < columns; i++) {
      double cover = (double)map->cover[j * columns + i];
      double scale = zone_cover && cover > 0 ? fmin(1, (double)zone_cover[j * columns + i] / cover) : 1;
      if (!(cover > 0) || !(scale > 0)) {
        continue;
      }
      lw_cell_bed bed = lw_map_cell(map, i, j);
      if (!isfinite(lw_cell_mean(bed))) {
        return lw_fail(err, LW_INTERNAL,
                       "the depth map has a hole at column %zu, row %zu; reckon the basin anew", i + 1,
                       j + 1);
      }
      if (cover < 1) {
        lw_cell_side side = lw_map_cell_side(map, i, j);
        book_cell(b, bed, cover, &side, scale);
      } else {
        book_cell(b, bed, 1, NULL, scale);
      }
    }
  }
  return LW_OK;
}

static void add_up(double *area_m2, double *volume_m3, const books *b, double cell_m2)
{
  double share = 0;
  double depth = 0;
  for (size_t k = b->count; k-- > 0;) {
    share += b->whole_share[k];
    depth += b->whole_depth[k];
    double rise = b->down_m[k] < 0 ? -b->down_m[k] : 0; /* of the water above full pool */
    double area = share + b->cut_share[k];
    area_m2[k] = cell_m2 * area;
    volume_m3[k] = cell_m2 * fmax(0, depth - share * level_of(b, k) + b->cut_volume[k] + area * rise);
  }
}

static lw_status check_levels(const double *down_m, size_t count, lw_error *err)
{
  if (count > LEVELS_MOST) {
    return lw_fail(err, LW_LIMIT, "%zu levels are more than %d; take a wider interval", count, LEVELS_MOST);
  }
  for (size_t k = 0; k < count; k++) {
    if (!(fabs(down_m[k]) <= LEVEL_FARTHEST_M)) {
      return lw_fail(err, LW_INVALID, "level %zu must lie between 10,000 m above and below full pool", k + 1);
    }
    if (k > 0 && down_m[k] < down_m[k - 1]) {
      return lw_fail(err, LW_INVALID, "level %zu lies above the level before it; list them downwards", k + 1);
    }
  }
  return LW_OK;
}

lw_status lw_map_curve(double *area_m2, double *volume_m3, const lw_depth_map *map, const float *zone_cover,
                       const double *down_m, size_t count, lw_error *err)
{
  lw_status s = check_levels(down_m, count, err);
  if (s != LW_OK) {
    return s;
  }
  double *memory = calloc(4 * count + 1, sizeof *memory);
  if (!memory) {
    return lw_fail(err, LW_MEMORY, "no memory for %zu levels", count);
  }
  books b = {down_m, count, memory, memory + count, memory + 2 * count, memory + 3 * count};
  s = book_cells(&b, map, zone_cover, err);
  if (s == LW_OK) {
    add_up(area_m2, volume_m3, &b, map->frame.step_m * map->frame.step_m);
  }
  free(memory);
  return s;
}
