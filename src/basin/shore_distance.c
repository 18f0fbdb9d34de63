/* SPDX-License-Identifier: Apache-2.0 */
#include "basin/shore_distance.h"

#include "basin/shore_edges.h"

#include <math.h>

enum { RUN = 8, DEEPEST = 64 };

static const lw_box NOTHING = {INFINITY, INFINITY, -INFINITY, -INFINITY};

static lw_box box_of_both(lw_box a, lw_box b)
{
  return (lw_box){fmin(a.west_m, b.west_m), fmin(a.south_m, b.south_m), fmax(a.east_m, b.east_m),
                  fmax(a.north_m, b.north_m)};
}

static lw_box box_of_run(const lw_shore_tree *tree, size_t leaf)
{
  lw_box box = NOTHING;
  for (size_t k = leaf * RUN; k < (leaf + 1) * RUN && k < tree->edge_count; k++) {
    for (int end = 0; end < 2; end++) {
      lw_spot p = tree->edges[k][end];
      box = box_of_both(box, (lw_box){p.x_m, p.y_m, p.x_m, p.y_m});
    }
  }
  return box;
}

lw_status lw_shore_tree_build(lw_shore_tree *out, const lw_shore *shore, lw_arena *arena, lw_error *err)
{
  *out = (lw_shore_tree){.edge_count = shore->spot_count, .leaves = 1};
  while (out->leaves * RUN < out->edge_count) {
    out->leaves *= 2;
  }
  out->edges = lw_arena_alloc(arena, out->edge_count, sizeof *out->edges);
  out->boxes = LW_NEW(arena, lw_box, 2 * out->leaves);
  if (!out->edges || !out->boxes) {
    return lw_fail(err, LW_MEMORY, "no memory for the outline's %zu edges", shore->spot_count);
  }
  for (size_t r = 0; r < shore->ring_count; r++) {
    for (size_t k = shore->ring_start[r]; k < shore->ring_start[r + 1]; k++) {
      out->edges[k][0] = shore->spots[k];
      out->edges[k][1] = shore->spots[lw_shore_next(shore, r, k)];
    }
  }
  for (size_t leaf = 0; leaf < out->leaves; leaf++) {
    out->boxes[out->leaves + leaf] = box_of_run(out, leaf);
  }
  for (size_t b = out->leaves - 1; b > 0; b--) {
    out->boxes[b] = box_of_both(out->boxes[2 * b], out->boxes[2 * b + 1]);
  }
  return LW_OK;
}

/* Squares of distances, m2. */

static double to_edge(const lw_spot edge[2], lw_spot p)
{
  double dx = edge[1].x_m - edge[0].x_m;
  double dy = edge[1].y_m - edge[0].y_m;
  double length2 = dx * dx + dy * dy;
  double along = length2 > 0 ? ((p.x_m - edge[0].x_m) * dx + (p.y_m - edge[0].y_m) * dy) / length2 : 0;
  along = fmin(fmax(along, 0), 1);
  double ex = edge[0].x_m + along * dx - p.x_m;
  double ey = edge[0].y_m + along * dy - p.y_m;
  return ex * ex + ey * ey;
}

static double to_box(lw_box box, lw_spot p)
{
  double dx = fmax(0, fmax(box.west_m - p.x_m, p.x_m - box.east_m));
  double dy = fmax(0, fmax(box.south_m - p.y_m, p.y_m - box.north_m));
  return dx * dx + dy * dy;
}

static double through_run(lw_shore_tree *tree, size_t leaf, lw_spot p, double best)
{
  for (size_t k = leaf * RUN; k < (leaf + 1) * RUN && k < tree->edge_count; k++) {
    double d = to_edge(tree->edges[k], p);
    if (d < best) {
      best = d;
      tree->nearest = k;
    }
  }
  return best;
}

double lw_shore_tree_distance_m(lw_shore_tree *tree, lw_spot spot)
{
  double best = to_edge(tree->edges[tree->nearest], spot);
  size_t waiting[DEEPEST]; /* one box a level of the tree at most, besides the two of the last */
  size_t count = 0;
  waiting[count++] = 1;
  while (count > 0) {
    size_t b = waiting[--count];
    if (!(to_box(tree->boxes[b], spot) < best)) {
      continue;
    }
    if (b >= tree->leaves) {
      best = through_run(tree, b - tree->leaves, spot, best);
      continue;
    }
    bool left_first = to_box(tree->boxes[2 * b], spot) < to_box(tree->boxes[2 * b + 1], spot);
    waiting[count++] = 2 * b + left_first; /* the nearer one is looked at first */
    waiting[count++] = 2 * b + !left_first;
  }
  return sqrt(best);
}
