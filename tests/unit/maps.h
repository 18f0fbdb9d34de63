/* SPDX-License-Identifier: Apache-2.0 */
/* Depth maps of beds given by a formula, for the tests of basin/. */
#ifndef LW_TESTS_MAPS_H
#define LW_TESTS_MAPS_H

#include "shores.h"

#include "basin/depth_map.h"

/* Depth below full pool at a place; below 0 on the bank. */
typedef double bed_function(double x_m, double y_m, const void *context);

/* A grid of that step about the shore, its corner off the shore's by a share of a step (0 to 1 each). */
static inline lw_frame frame_about(const lw_shore *shore, double step_m, double shift_x, double shift_y)
{
  lw_box box = lw_shore_box(shore);
  lw_frame frame = {.step_m = step_m,
                    .x0_m = box.west_m - step_m * (1 + shift_x),
                    .y0_m = box.south_m - step_m * (1 + shift_y)};
  frame.nx = (size_t)ceil((box.east_m - frame.x0_m) / step_m) + 2;
  frame.ny = (size_t)ceil((box.north_m - frame.y0_m) / step_m) + 2;
  return frame;
}

/* NAN at nodes that are no corner of a wet cell, as a real map has. The shore must outlive the map. */
static inline lw_depth_map map_of(const lw_shore *shore, lw_frame frame, bed_function *bed,
                                  const void *context, lw_arena *arena)
{
  lw_depth_map map = {.frame = frame, .shore = shore};
  lw_error err = {0};
  if (lw_shore_cover(&map.cover, shore, &frame, arena, &err) != LW_OK) {
    fail_msg("%s", err.message);
  }
  map.depth_m = LW_NEW(arena, float, frame.nx *frame.ny);
  assert_non_null(map.depth_m);
  for (size_t k = 0; k < frame.nx * frame.ny; k++) {
    map.depth_m[k] = NAN;
  }
  for (size_t cell = 0; cell < (frame.nx - 1) * (frame.ny - 1); cell++) {
    for (size_t c = 0; c < 4 && map.cover[cell] > 0; c++) {
      size_t i = cell % (frame.nx - 1) + c % 2;
      size_t j = cell / (frame.nx - 1) + c / 2;
      map.depth_m[j * frame.nx + i] =
          (float)bed(frame.x0_m + (double)i * frame.step_m, frame.y0_m + (double)j * frame.step_m, context);
    }
  }
  return map;
}

/* Area and volume at one level. */
static inline double area_at(const lw_depth_map *map, const float *zone, double down_m)
{
  double area;
  double volume;
  lw_error err = {0};
  if (lw_map_curve(&area, &volume, map, zone, &down_m, 1, &err) != LW_OK) {
    fail_msg("%s", err.message);
  }
  return area;
}

static inline double volume_at(const lw_depth_map *map, const float *zone, double down_m)
{
  double area;
  double volume;
  lw_error err = {0};
  if (lw_map_curve(&area, &volume, map, zone, &down_m, 1, &err) != LW_OK) {
    fail_msg("%s", err.message);
  }
  return volume;
}

/* Signed area of a ring, m2. */
static inline double ring_area(const lw_contour_ring *ring)
{
  double twice = 0;
  for (size_t k = 0; k < ring->count; k++) {
    lw_spot a = ring->spots[k];
    lw_spot b = ring->spots[(k + 1) % ring->count];
    twice += (a.x_m - ring->spots[0].x_m) * (b.y_m - ring->spots[0].y_m) -
             (b.x_m - ring->spots[0].x_m) * (a.y_m - ring->spots[0].y_m);
  }
  return twice / 2;
}

static inline double turn_of(lw_spot a, lw_spot b, lw_spot c)
{
  return (b.x_m - a.x_m) * (c.y_m - a.y_m) - (c.x_m - a.x_m) * (b.y_m - a.y_m);
}

/* Two edges cross or touch. */
static inline bool edges_meet(lw_spot a, lw_spot b, lw_spot c, lw_spot d)
{
  double abc = turn_of(a, b, c);
  double abd = turn_of(a, b, d);
  double cda = turn_of(c, d, a);
  double cdb = turn_of(c, d, b);
  bool apart = fmax(a.x_m, b.x_m) < fmin(c.x_m, d.x_m) || fmax(c.x_m, d.x_m) < fmin(a.x_m, b.x_m) ||
               fmax(a.y_m, b.y_m) < fmin(c.y_m, d.y_m) || fmax(c.y_m, d.y_m) < fmin(a.y_m, b.y_m);
  return !apart && !((abc > 0 && abd > 0) || (abc < 0 && abd < 0)) &&
         !((cda > 0 && cdb > 0) || (cda < 0 && cdb < 0));
}

static inline bool ring_holds_spot(const lw_contour_ring *ring, lw_spot p)
{
  bool in = false;
  for (size_t k = 0; k < ring->count; k++) {
    lw_spot a = ring->spots[k];
    lw_spot b = ring->spots[(k + 1) % ring->count];
    if ((a.y_m > p.y_m) != (b.y_m > p.y_m) &&
        p.x_m < (b.x_m - a.x_m) * (p.y_m - a.y_m) / (b.y_m - a.y_m) + a.x_m) {
      in = !in;
    }
  }
  return in;
}

/* Every rule of depth_map.h on clean polygons, edge against edge: for contours of some thousand spots. */
static inline void check_clean(const lw_contour *contour)
{
  double area = 0;
  const lw_contour_ring *outer = NULL;
  for (size_t r = 0; r < contour->ring_count; r++) {
    const lw_contour_ring *ring = &contour->rings[r];
    assert_true(ring->count >= 3);
    assert_int_equal(ring->hole, ring_area(ring) < 0);
    area += ring_area(ring);
    if (ring->hole) {
      assert_non_null(outer);
      assert_true(ring_holds_spot(outer, ring->spots[0]));
    } else {
      outer = ring;
    }
    for (size_t k = 0; k < ring->count; k++) {
      lw_spot a = ring->spots[k];
      lw_spot b = ring->spots[(k + 1) % ring->count];
      assert_true(a.x_m != b.x_m || a.y_m != b.y_m);
      for (size_t q = r; q < contour->ring_count; q++) {
        const lw_contour_ring *other = &contour->rings[q];
        for (size_t m = q == r ? k + 2 : 0; m < other->count; m++) {
          bool neighbours = q == r && (m + 1) % other->count == k;
          if (!neighbours && edges_meet(a, b, other->spots[m], other->spots[(m + 1) % other->count])) {
            fail_msg("contour %g m: ring %zu edge %zu meets ring %zu edge %zu at %.9g %.9g", contour->depth_m,
                     r, k, q, m, a.x_m, a.y_m);
          }
        }
      }
    }
  }
  assert_close(contour->area_m2, area, 1e-6 * (1 + fabs(area)));
}

#endif
