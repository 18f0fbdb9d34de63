/* SPDX-License-Identifier: Apache-2.0 */
#include "basin/shore.h"

#include "basin/shore_edges.h"

#include <math.h>
#include <stdlib.h>

/* Shares this near to none or all are rounding. */
#define ROUNDING 1e-9

/* What each edge adds to the cells of its rows: the area it cuts off to its east, kept as differences
 * along the row so that an edge costs only the cells it passes and one sum over each row completes the
 * rest. A row has one number more than cells. */
typedef struct ledger {
  double *change;
  size_t columns, rows;
} ledger;

/* A piece of an edge within one row and one column: `rise` of it at mean place u (in cells). */
static void add_within_cell(double *row, size_t column, double u, double rise)
{
  double east = u - (double)column;
  row[column] += rise * (1 - east);
  row[column + 1] += rise * east;
}

/* A piece within one row and between the first and the last column. */
static void add_across(double *row, size_t columns, double u1, double u2, double rise)
{
  double west = fmin(u1, u2);
  double east = fmax(u1, u2);
  double width = east - west;
  size_t first = (size_t)west;
  size_t last = (size_t)east;
  first = first < columns ? first : columns - 1;
  last = last < columns ? last : columns - 1;
  if (first == last) {
    add_within_cell(row, first, (west + east) / 2, rise);
    return;
  }
  double from = west;
  for (size_t c = first; c <= last; c++) {
    double to = c < last ? (double)(c + 1) : east;
    add_within_cell(row, c, (from + to) / 2, rise * ((to - from) / width));
    from = to;
  }
}

/* A piece within one row: what lies west of the grid counts in full for its first cell, what lies east
 * of it for none. */
static void add_in_row(const ledger *l, size_t r, double u1, double u2, double rise)
{
  double *row = l->change + r * (l->columns + 1);
  double end = (double)l->columns;
  double width = u2 - u1;
  double in1 = fmin(fmax(u1, 0), end);
  double in2 = fmin(fmax(u2, 0), end);
  if (in1 == in2) { /* straight up, or all of it off to one side */
    size_t column = (size_t)in1;
    if (column < l->columns) {
      add_within_cell(row, column, in1, rise);
    }
    return;
  }
  double inside = rise * ((in2 - in1) / width);
  add_across(row, l->columns, in1, in2, inside);
  double west = fmin(u1, u2) < 0 ? -fmin(u1, u2) / fabs(width) : 0;
  row[0] += rise * west;
}

/* One edge in units of cells, cut at every row it passes. */
static void add_edge(const ledger *l, double u1, double v1, double u2, double v2, double sign)
{
  double low = fmin(v1, v2);
  double high = fmax(v1, v2);
  double bottom = fmax(low, 0);
  double top = fmin(high, (double)l->rows);
  if (!(top > bottom)) {
    return;
  }
  double u_low = v1 < v2 ? u1 : u2;
  double slope = ((v1 < v2 ? u2 : u1) - u_low) / (high - low);
  double way = v2 < v1 ? sign : -sign; /* with the water on the left, the water lies east of a way down */
  size_t r = (size_t)bottom;
  double v = bottom;
  double u = u_low + (v - low) * slope;
  for (; r < l->rows && v < top; r++) {
    double v_next = fmin((double)(r + 1), top);
    double u_next = v_next == high ? (v1 < v2 ? u2 : u1) : u_low + (v_next - low) * slope;
    add_in_row(l, r, u, u_next, way * (v_next - v));
    v = v_next;
    u = u_next;
  }
}

static void add_ring(const ledger *l, const lw_shore *shore, size_t ring, const lw_frame *f)
{
  double sign = lw_shore_ring_sign(shore, ring);
  size_t end = shore->ring_start[ring + 1];
  lw_spot before = shore->spots[end - 1];
  double u1 = (before.x_m - f->x0_m) / f->step_m;
  double v1 = (before.y_m - f->y0_m) / f->step_m;
  for (size_t k = shore->ring_start[ring]; k < end; k++) {
    double u2 = (shore->spots[k].x_m - f->x0_m) / f->step_m;
    double v2 = (shore->spots[k].y_m - f->y0_m) / f->step_m;
    add_edge(l, u1, v1, u2, v2, sign);
    u1 = u2;
    v1 = v2;
  }
}

static void sum_rows(float *cover, const ledger *l)
{
  for (size_t r = 0; r < l->rows; r++) {
    const double *row = l->change + r * (l->columns + 1);
    double share = 0;
    for (size_t c = 0; c < l->columns; c++) {
      share += row[c];
      cover[r * l->columns + c] = share < ROUNDING ? 0.0f : share > 1 - ROUNDING ? 1.0f : (float)share;
    }
  }
}

lw_status lw_shore_cover(float **out, const lw_shore *shore, const lw_frame *frame, lw_arena *arena,
                         lw_error *err)
{
  lw_status s = lw_shore_check(shore, err);
  if (s == LW_OK) {
    s = lw_frame_check(frame, err);
  }
  if (s != LW_OK) {
    return s;
  }
  ledger l = {.columns = frame->nx - 1, .rows = frame->ny - 1};
  float *cover = LW_NEW(arena, float, l.columns *l.rows);
  l.change = calloc(frame->nx * l.rows, sizeof *l.change);
  if (!cover || !l.change) {
    free(l.change);
    return lw_fail(err, LW_MEMORY, "no memory for a grid of %zu x %zu nodes; take a wider step", frame->nx,
                   frame->ny);
  }
  for (size_t r = 0; r < shore->ring_count; r++) {
    add_ring(&l, shore, r, frame);
  }
  sum_rows(cover, &l);
  free(l.change);
  *out = cover;
  return LW_OK;
}
