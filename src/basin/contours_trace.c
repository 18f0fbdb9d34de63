/* SPDX-License-Identifier: Apache-2.0 */
#include "basin/contours_parts.h"

#include <math.h>
#include <stdlib.h>

/* Lines keep this share of a side away from its nodes. */
#define CLEAR 1e-3
enum { STRAND_MOST = 256 };

/* Sides of a cell: 0 south, 1 east, 2 north, 3 west; side s lies between corners s and s + 1: 0 south-west,
 * 1 south-east, 2 north-east, 3 north-west. A line enters a cell over `side` with the deeper corner s on
 * its left. */
typedef struct step {
  size_t i, j; /* the cell, by its south-west node */
  unsigned side;
} step;

typedef struct tracer {
  lw_tracing *tracing;
  const lw_level_grid *grid;
  double level_m;
  uint32_t mark;
  lw_error *err;
} tracer;

static size_t corner(const lw_level_grid *g, const step *s, unsigned number)
{
  static const size_t east[4] = {0, 1, 1, 0};
  static const size_t north[4] = {0, 0, 1, 1};
  number %= 4;
  return (s->j + north[number]) * g->wide + s->i + east[number];
}

static bool deeper(const tracer *t, size_t node)
{
  return (double)t->grid->inside_m[node] > t->level_m;
}

static lw_spot node_spot(const lw_level_grid *g, size_t node)
{
  const lw_frame *f = &g->map->frame;
  size_t row = node / g->wide;
  return (lw_spot){f->x0_m + ((double)(node % g->wide) - 1) * f->step_m,
                   f->y0_m + ((double)row - 1) * f->step_m};
}

/* Depth of the bed at a node inside or not; -INFINITY where the map has none. */
static double bed_depth(const lw_level_grid *g, size_t node)
{
  size_t i = node % g->wide;
  size_t j = node / g->wide;
  const lw_frame *f = &g->map->frame;
  if (i == 0 || j == 0 || i > f->nx || j > f->ny) {
    return -INFINITY;
  }
  double depth = (double)g->map->depth_m[(j - 1) * f->nx + i - 1];
  return isfinite(depth) ? depth : -INFINITY;
}

static bool off_the_map(const lw_level_grid *g, size_t node)
{
  size_t i = node % g->wide;
  size_t j = node / g->wide;
  return i == 0 || j == 0 || i > g->map->frame.nx || j > g->map->frame.ny;
}

/* Where the line passes the side from a deeper node to another, and the shore's edge if it is the shore
 * that stops it there. */
static lw_spot crossing(const tracer *t, size_t from, size_t to, size_t *out_edge)
{
  const lw_level_grid *g = t->grid;
  double depth = (double)g->inside_m[from];
  double other = bed_depth(g, to);
  double share = other < t->level_m ? (depth - t->level_m) / (depth - other) : 1;
  share = isfinite(other) ? share : 1;
  *out_edge = LW_NO_EDGE;
  if (off_the_map(g, to)) {
    share = 0;
  } else if (!isfinite(g->inside_m[to])) {
    size_t edge = LW_NO_EDGE;
    double shore = lw_level_grid_shore(g, from, to, &edge);
    if (shore <= share) {
      share = shore;
      *out_edge = edge;
    }
  }
  share = fmin(fmax(share, CLEAR), 1 - CLEAR);
  lw_spot a = node_spot(g, from);
  lw_spot b = node_spot(g, to);
  return (lw_spot){a.x_m + share * (b.x_m - a.x_m), a.y_m + share * (b.y_m - a.y_m)};
}

/* Of a cell with deeper corners a and c across: whether its bilinear saddle is deeper too, so that they
 * hang together. Never across land. */
static bool saddle_joins(const tracer *t, const step *s)
{
  double d[4];
  for (unsigned k = 0; k < 4; k++) {
    d[k] = (double)t->grid->inside_m[corner(t->grid, s, s->side + k)];
  }
  if (!isfinite(d[1]) || !isfinite(d[3])) {
    return false;
  }
  return (d[0] * d[2] - d[1] * d[3]) / ((d[0] + d[2]) - (d[1] + d[3])) > t->level_m;
}

/* The side by which the line leaves the cell; *saddle when a second line passes it. */
static unsigned way_out(const tracer *t, const step *s, bool *saddle)
{
  bool ahead_right = deeper(t, corner(t->grid, s, s->side + 2));
  bool ahead_left = deeper(t, corner(t->grid, s, s->side + 3));
  *saddle = ahead_right && !ahead_left;
  if (*saddle) {
    return (s->side + (saddle_joins(t, s) ? 1 : 3)) % 4;
  }
  return (s->side + (ahead_right ? 1 : ahead_left ? 2 : 3)) % 4;
}

static void go_out(step *s, unsigned side)
{
  s->i += side == 1;
  s->i -= side == 3;
  s->j += side == 2;
  s->j -= side == 0;
  s->side = (side + 2) % 4;
}

/* ---- along the shore through a cell ---- */

static bool within_cell(const lw_level_grid *g, const step *s, lw_spot p)
{
  lw_spot corner_spot = node_spot(g, corner(g, s, 0));
  double east = (p.x_m - corner_spot.x_m) / g->map->frame.step_m;
  double north = (p.y_m - corner_spot.y_m) / g->map->frame.step_m;
  return east > CLEAR / 2 && east < 1 - CLEAR / 2 && north > CLEAR / 2 && north < 1 - CLEAR / 2;
}

/* How many spots of the shore lie between edges `from` and `to` the one way round, 0 when they are too
 * many or leave the cell. */
static size_t strand_length(const lw_level_grid *g, const step *s, size_t from, size_t to, bool forward)
{
  size_t count = 0;
  for (size_t edge = from; edge != to; edge = forward ? g->next[edge] : g->previous[edge]) {
    size_t spot = forward ? g->next[edge] : edge;
    if (++count > STRAND_MOST || !within_cell(g, s, g->shore->spots[spot])) {
      return 0;
    }
  }
  return count;
}

static lw_status follow_shore(const tracer *t, const step *s, size_t from, size_t to)
{
  const lw_level_grid *g = t->grid;
  bool forward = true;
  size_t count = strand_length(g, s, from, to, true);
  if (count == 0) {
    forward = false;
    count = strand_length(g, s, from, to, false);
  }
  lw_status status = LW_OK;
  for (size_t edge = from; count > 0 && status == LW_OK; count--) {
    size_t spot = forward ? g->next[edge] : edge;
    status = lw_tracing_add_spot(t->tracing, g->shore->spots[spot], t->err);
    edge = forward ? g->next[edge] : g->previous[edge];
  }
  return status;
}

/* ---- a whole ring ---- */

/* Marks the side entered when it runs east, by its west node. */
static void mark_side(const tracer *t, const step *s)
{
  if (s->side == 0 || s->side == 2) {
    t->tracing->label[corner(t->grid, s, s->side == 0 ? 0 : 3)] = t->mark;
  }
}

static bool same_step(const step *a, const step *b)
{
  return a->i == b->i && a->j == b->j && a->side == b->side;
}

static lw_status trace_ring(const tracer *t, step start)
{
  step at = start;
  size_t edge = LW_NO_EDGE;
  lw_spot spot = crossing(t, corner(t->grid, &at, at.side), corner(t->grid, &at, at.side + 1), &edge);
  lw_status status = LW_OK;
  do {
    mark_side(t, &at);
    status = lw_tracing_add_spot(t->tracing, spot, t->err);
    bool saddle = false;
    step cell = at;
    go_out(&at, way_out(t, &cell, &saddle));
    size_t before = edge;
    spot = crossing(t, corner(t->grid, &at, at.side), corner(t->grid, &at, at.side + 1), &edge);
    if (status == LW_OK && !saddle && before != LW_NO_EDGE && edge != LW_NO_EDGE) {
      status = follow_shore(t, &cell, before, edge);
    }
  } while (status == LW_OK && !same_step(&at, &start));
  return status;
}

/* A new ring met while going east along a row of nodes: a hole when the deeper water lies west of it, and
 * then one of the ring passed last, or of the ring that one is a hole of. */
static lw_status begin_ring(tracer *t, size_t i, size_t j, uint32_t passed)
{
  lw_tracing *tracing = t->tracing;
  bool hole = deeper(t, j * t->grid->wide + i);
  size_t number = tracing->ring_count;
  if (number >= UINT32_MAX - 1 - tracing->base) {
    return lw_fail(t->err, LW_LIMIT, "the contours have too many rings; take a wider interval");
  }
  t->mark = tracing->base + (uint32_t)number + 1;
  size_t first = tracing->spot_count;
  lw_status s = trace_ring(t, (step){i, hole ? j : j - 1, hole ? 0 : 2});
  if (s != LW_OK) {
    return s;
  }
  lw_traced_ring ring = {.first = first, .count = tracing->spot_count - first, .outer = number};
  ring.area_m2 = lw_tracing_area_m2(tracing, first);
  if (hole && passed > tracing->base) {
    ring.outer = tracing->rings[passed - tracing->base - 1].outer;
  }
  return lw_tracing_add_ring(tracing, ring, t->err);
}

lw_status lw_tracing_level(lw_tracing *tracing, const lw_level_grid *grid, double level_m, lw_error *err)
{
  tracing->base += (uint32_t)tracing->ring_count;
  tracing->ring_count = 0;
  tracing->spot_count = 0;
  tracer t = {.tracing = tracing, .grid = grid, .level_m = level_m, .err = err};
  lw_status s = LW_OK;
  for (size_t j = 1; j + 1 < grid->high; j++) {
    uint32_t passed = 0;
    const float *row = grid->inside_m + j * grid->wide;
    const uint32_t *label = tracing->label + j * grid->wide;
    bool west = false;
    for (size_t i = 0; s == LW_OK && i + 1 < grid->wide; i++) {
      bool east = (double)row[i + 1] > level_m;
      if (west != east) {
        if (label[i] <= tracing->base) {
          s = begin_ring(&t, i, j, passed);
        }
        passed = label[i];
      }
      west = east;
    }
  }
  return s;
}
