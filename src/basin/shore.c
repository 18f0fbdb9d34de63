/* SPDX-License-Identifier: Apache-2.0 */
#include "basin/shore.h"

#include "basin/shore_edges.h"

#include <math.h>

#define FARTHEST_M 1e7
#define FRAME_FARTHEST_M 1e8

static lw_status check_ring(const lw_shore *shore, size_t r, lw_error *err)
{
  size_t first = shore->ring_start[r];
  size_t end = shore->ring_start[r + 1];
  if (end < first || end > shore->spot_count || end - first < 3) {
    return lw_fail(err, LW_INVALID,
                   "ring %zu of the outline has fewer than 3 points; a shore or an island needs at least 3",
                   r + 1);
  }
  for (size_t k = first; k < end; k++) {
    if (!(fabs(shore->spots[k].x_m) <= FARTHEST_M && fabs(shore->spots[k].y_m) <= FARTHEST_M)) {
      return lw_fail(err, LW_INVALID,
                     "ring %zu of the outline: point %zu lies more than 10,000 km from the middle of the "
                     "plane or is not a number; check the coordinates and their system",
                     r + 1, k - first + 1);
    }
  }
  return LW_OK;
}

lw_status lw_shore_check(const lw_shore *shore, lw_error *err)
{
  if (!shore || shore->ring_count == 0 || !shore->spots || !shore->ring_start || shore->ring_start[0] != 0 ||
      shore->ring_start[shore->ring_count] != shore->spot_count) {
    return lw_fail(err, LW_INVALID, "the outline has no ring; draw or import the shore first");
  }
  for (size_t r = 0; r < shore->ring_count; r++) {
    lw_status s = check_ring(shore, r, err);
    if (s != LW_OK) {
      return s;
    }
  }
  return LW_OK;
}

lw_status lw_frame_check(const lw_frame *frame, lw_error *err)
{
  if (!frame || frame->nx < 2 || frame->ny < 2 || !(frame->step_m > 0 && frame->step_m <= FARTHEST_M) ||
      !(fabs(frame->x0_m) <= FRAME_FARTHEST_M && fabs(frame->y0_m) <= FRAME_FARTHEST_M)) {
    return lw_fail(err, LW_INVALID,
                   "the grid needs at least 2 nodes each way, a step above 0 m and a corner within 100,000 "
                   "km");
  }
  if (frame->nx > LW_FRAME_NODES_MOST / frame->ny) {
    return lw_fail(err, LW_LIMIT, "a grid of %zu x %zu nodes is more than %u; take a wider step", frame->nx,
                   frame->ny, LW_FRAME_NODES_MOST);
  }
  return LW_OK;
}

lw_box lw_shore_box(const lw_shore *shore)
{
  if (shore->spot_count == 0) {
    return (lw_box){0};
  }
  lw_spot first = shore->spots[0];
  lw_box box = {first.x_m, first.y_m, first.x_m, first.y_m};
  for (size_t k = 1; k < shore->spot_count; k++) {
    box.west_m = fmin(box.west_m, shore->spots[k].x_m);
    box.east_m = fmax(box.east_m, shore->spots[k].x_m);
    box.south_m = fmin(box.south_m, shore->spots[k].y_m);
    box.north_m = fmax(box.north_m, shore->spots[k].y_m);
  }
  return box;
}

/* The steepest rise of a ring: where its side is told most safely. */
static size_t tallest_edge(const lw_shore *shore, size_t ring)
{
  size_t best = shore->ring_start[ring];
  double tallest = -1;
  for (size_t k = shore->ring_start[ring]; k < shore->ring_start[ring + 1]; k++) {
    double height = fabs(shore->spots[lw_shore_next(shore, ring, k)].y_m - shore->spots[k].y_m);
    if (height > tallest) {
      tallest = height;
      best = k;
    }
  }
  return best;
}

/* How many edges cut the line at y west of x; of edges at the very place those with a lower number. */
static size_t edges_west(const lw_shore *shore, size_t edge, double x_m, double y_m)
{
  size_t count = 0;
  for (size_t r = 0; r < shore->ring_count; r++) {
    for (size_t k = shore->ring_start[r]; k < shore->ring_start[r + 1]; k++) {
      lw_spot a = shore->spots[k];
      lw_spot b = shore->spots[lw_shore_next(shore, r, k)];
      if (k != edge && lw_edge_cuts(a, b, y_m)) {
        double x = lw_edge_x_m(a, b, y_m);
        count += x < x_m || (x == x_m && k < edge);
      }
    }
  }
  return count;
}

int lw_shore_ring_sign(const lw_shore *shore, size_t ring)
{
  size_t edge = tallest_edge(shore, ring);
  lw_spot a = shore->spots[edge];
  lw_spot b = shore->spots[lw_shore_next(shore, ring, edge)];
  double y = a.y_m + (b.y_m - a.y_m) / 2;
  if (!lw_edge_cuts(a, b, y)) {
    return 0;
  }
  bool water_east = edges_west(shore, edge, lw_edge_x_m(a, b, y), y) % 2 == 0;
  return water_east == (b.y_m < a.y_m) ? 1 : -1;
}

/* Moments of the area inside about a middle: the area, and the integrals of x, y, x2, xy, y2. */
typedef struct moments {
  double one, x, y, xx, xy, yy;
} moments;

/* Green's theorem along one ring (Steger 1996, On the Calculation of Moments of Polygons). */
static moments ring_moments(const lw_shore *shore, size_t ring, lw_spot middle)
{
  moments m = {0};
  for (size_t k = shore->ring_start[ring]; k < shore->ring_start[ring + 1]; k++) {
    size_t n = lw_shore_next(shore, ring, k);
    double ax = shore->spots[k].x_m - middle.x_m;
    double ay = shore->spots[k].y_m - middle.y_m;
    double bx = shore->spots[n].x_m - middle.x_m;
    double by = shore->spots[n].y_m - middle.y_m;
    double cross = ax * by - bx * ay;
    m.one += cross / 2;
    m.x += cross * (ax + bx) / 6;
    m.y += cross * (ay + by) / 6;
    m.xx += cross * (ax * ax + ax * bx + bx * bx) / 12;
    m.yy += cross * (ay * ay + ay * by + by * by) / 12;
    m.xy += cross * (ax * by + 2 * ax * ay + 2 * bx * by + bx * ay) / 24;
  }
  return m;
}

static moments shore_moments(const lw_shore *shore)
{
  lw_box box = lw_shore_box(shore);
  lw_spot middle = {(box.west_m + box.east_m) / 2, (box.south_m + box.north_m) / 2};
  moments sum = {0};
  for (size_t r = 0; r < shore->ring_count; r++) {
    moments m = ring_moments(shore, r, middle);
    int sign = lw_shore_ring_sign(shore, r);
    sum.one += sign * m.one;
    sum.x += sign * m.x;
    sum.y += sign * m.y;
    sum.xx += sign * m.xx;
    sum.xy += sign * m.xy;
    sum.yy += sign * m.yy;
  }
  return sum;
}

double lw_shore_area_m2(const lw_shore *shore)
{
  return fmax(0, shore_moments(shore).one);
}

double lw_shore_length_m(const lw_shore *shore)
{
  double length = 0;
  for (size_t r = 0; r < shore->ring_count; r++) {
    for (size_t k = shore->ring_start[r]; k < shore->ring_start[r + 1]; k++) {
      lw_spot a = shore->spots[k];
      lw_spot b = shore->spots[lw_shore_next(shore, r, k)];
      length += hypot(b.x_m - a.x_m, b.y_m - a.y_m);
    }
  }
  return length;
}

void lw_shore_long_axis(const lw_shore *shore, double *out_angle, double *out_ratio)
{
  *out_angle = 0;
  *out_ratio = 1;
  moments m = shore_moments(shore);
  if (!(m.one > 0)) {
    return;
  }
  double xx = m.xx / m.one - m.x / m.one * (m.x / m.one);
  double yy = m.yy / m.one - m.y / m.one * (m.y / m.one);
  double xy = m.xy / m.one - m.x / m.one * (m.y / m.one);
  double middle = (xx + yy) / 2;
  double spread = hypot((xx - yy) / 2, xy);
  if (middle - spread > 0) {
    *out_angle = spread > 1e-12 * middle ? atan2(2 * xy, xx - yy) / 2 : 0;
    *out_ratio = sqrt((middle + spread) / (middle - spread));
  }
}
