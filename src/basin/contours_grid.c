/* SPDX-License-Identifier: Apache-2.0 */
#include "basin/contours_parts.h"

#include "basin/shore_edges.h"

#include <math.h>
#include <stdlib.h>

/* One shore edge seen along one family of lines of nodes: `run` counts nodes along a line, `line` lines. */
typedef struct lines_of_nodes {
  double nodes, lines; /* in a line; how many */
} lines_of_nodes;

static double clamp(double value, double low, double high)
{
  return fmin(fmax(value, low), high);
}

/* The cuts of an edge from (run1, line1) to (run2, line2) with all lines. Half-open, as lw_edge_cuts.
 * What lies beyond either end of a line is put on its first or last side. Returns how many; `list` NULL
 * only counts. */
static size_t cut_edge(lw_shore_cut *list, const lines_of_nodes *l, const double run[2], const double line[2],
                       size_t edge)
{
  int low = line[0] < line[1] ? 0 : 1;
  double first = fmax(ceil(line[low]), 0);
  double end = fmin(line[1 - low], l->lines);
  size_t count = 0;
  double slope = (run[1 - low] - run[low]) / (line[1 - low] - line[low]);
  for (size_t at = (size_t)fmin(first, l->lines); (double)at < end; at++) {
    if (list) {
      double place = clamp(run[low] + ((double)at - line[low]) * slope, 0, l->nodes - 1);
      double begin = fmin(floor(place), l->nodes - 2);
      list[count] = (lw_shore_cut){at * (size_t)l->nodes + (size_t)begin, place - begin, edge};
    }
    count++;
  }
  return count;
}

static double in_columns(const lw_level_grid *g, lw_spot p)
{
  return (p.x_m - g->map->frame.x0_m) / g->map->frame.step_m + 1;
}

static double in_rows(const lw_level_grid *g, lw_spot p)
{
  return (p.y_m - g->map->frame.y0_m) / g->map->frame.step_m + 1;
}

static size_t cut_shore(lw_shore_cut *list, const lw_level_grid *g, bool across)
{
  const lw_shore *shore = g->shore;
  double wide = (double)g->wide;
  double high = (double)g->high;
  lines_of_nodes lines = across ? (lines_of_nodes){wide, high} : (lines_of_nodes){high, wide};
  size_t count = 0;
  for (size_t k = 0; k < shore->spot_count; k++) {
    lw_spot a = shore->spots[k];
    lw_spot b = shore->spots[g->next[k]];
    const double column[2] = {in_columns(g, a), in_columns(g, b)};
    const double row[2] = {in_rows(g, a), in_rows(g, b)};
    count += cut_edge(list ? list + count : NULL, &lines, across ? column : row, across ? row : column, k);
  }
  return count;
}

static int by_side(const void *a, const void *b)
{
  const lw_shore_cut *x = a;
  const lw_shore_cut *y = b;
  if (x->side != y->side) {
    return x->side < y->side ? -1 : 1;
  }
  if (x->share != y->share) {
    return x->share < y->share ? -1 : 1;
  }
  return (x->edge > y->edge) - (x->edge < y->edge);
}

static bool list_cuts(lw_shore_cuts *out, const lw_level_grid *g, bool across, lw_arena *arena)
{
  out->count = cut_shore(NULL, g, across);
  out->list = LW_NEW(arena, lw_shore_cut, out->count);
  if (out->list) {
    (void)cut_shore(out->list, g, across);
    qsort(out->list, out->count, sizeof *out->list, by_side);
  }
  return out->list != NULL;
}

static void link_spots(lw_level_grid *g)
{
  for (size_t r = 0; r < g->shore->ring_count; r++) {
    for (size_t k = g->shore->ring_start[r]; k < g->shore->ring_start[r + 1]; k++) {
      size_t n = lw_shore_next(g->shore, r, k);
      g->next[k] = (uint32_t)n;
      g->previous[n] = (uint32_t)k;
    }
  }
}

/* A node lies inside when an odd number of cuts lie west of it; the outermost nodes count as outside. */
static void sort_nodes(lw_level_grid *g)
{
  const lw_frame *f = &g->map->frame;
  size_t cut = 0;
  for (size_t j = 0; j < g->high; j++) {
    bool inside = false;
    for (size_t i = 0; i < g->wide; i++) {
      size_t node = j * g->wide + i;
      bool border = i == 0 || j == 0 || i > f->nx || j > f->ny;
      float depth = inside && !border ? g->map->depth_m[(j - 1) * f->nx + i - 1] : -INFINITY;
      g->inside_m[node] = isfinite(depth) ? depth : -INFINITY;
      for (; cut < g->across.count && g->across.list[cut].side == node; cut++) {
        inside = !inside;
      }
    }
  }
}

lw_status lw_level_grid_build(lw_level_grid *out, const lw_depth_map *map, const lw_shore *shore,
                              lw_arena *arena, lw_error *err)
{
  lw_status s = lw_frame_check(&map->frame, err);
  if (s == LW_OK) {
    s = lw_shore_check(shore, err);
  }
  if (s != LW_OK) {
    return s;
  }
  if (shore->spot_count > UINT32_MAX) {
    return lw_fail(err, LW_LIMIT, "an outline of %zu points is too long", shore->spot_count);
  }
  *out = (lw_level_grid){.map = map, .shore = shore, .wide = map->frame.nx + 2, .high = map->frame.ny + 2};
  out->next = LW_NEW(arena, uint32_t, shore->spot_count);
  out->previous = LW_NEW(arena, uint32_t, shore->spot_count);
  out->inside_m = LW_NEW(arena, float, out->wide * out->high);
  bool room = out->next && out->previous && out->inside_m;
  if (room) {
    link_spots(out);
  }
  if (!room || !list_cuts(&out->across, out, true, arena) || !list_cuts(&out->along, out, false, arena)) {
    return lw_fail(err, LW_MEMORY, "no memory for the contours of %zu x %zu nodes", map->frame.nx,
                   map->frame.ny);
  }
  sort_nodes(out);
  return LW_OK;
}

/* The first cut of a side or of one behind it. */
static size_t first_cut(const lw_shore_cuts *cuts, size_t side)
{
  size_t low = 0;
  size_t high = cuts->count;
  while (low < high) {
    size_t middle = low + (high - low) / 2;
    if (cuts->list[middle].side < side) {
      low = middle + 1;
    } else {
      high = middle;
    }
  }
  return low;
}

/* How far outside 0 to 1. */
static double beyond(double share)
{
  return fmax(fmax(-share, share - 1), 0);
}

double lw_level_grid_shore(const lw_level_grid *g, size_t from, size_t to, size_t *out_edge)
{
  bool across = from / g->wide == to / g->wide;
  size_t first = from < to ? from : to;
  const lw_shore_cuts *cuts = across ? &g->across : &g->along;
  size_t side = across ? first : first % g->wide * g->high + first / g->wide;
  double best = 0.5;
  double best_beyond = INFINITY;
  *out_edge = LW_NO_EDGE;
  /* the sides before and behind count too: with the shore on a node, rounding may have put the cut there */
  for (size_t k = first_cut(cuts, side > 0 ? side - 1 : 0); k < cuts->count && cuts->list[k].side <= side + 1;
       k++) {
    double place = (double)cuts->list[k].side - (double)side + cuts->list[k].share;
    double share = from < to ? place : 1 - place;
    if (beyond(share) < best_beyond || (beyond(share) <= 0 && share < best)) {
      best = share;
      best_beyond = beyond(share);
      *out_edge = cuts->list[k].edge;
    }
  }
  return clamp(best, 0, 1);
}
