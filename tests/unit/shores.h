/* SPDX-License-Identifier: Apache-2.0 */
/* Outlines for the tests of basin/: rectangles, diamonds, ovals with a waving shore, put together ring by
 * ring. */
#ifndef LW_TESTS_SHORES_H
#define LW_TESTS_SHORES_H

#include "check.h"

#include "basin/shore.h"

#define PI 3.14159265358979323846

enum { SHAPE_SPOTS = 20000, SHAPE_RINGS = 32 };

typedef struct shape_builder {
  lw_spot *spots;
  size_t *start;
  size_t rings, count;
} shape_builder;

static inline shape_builder shape_begin(lw_arena *arena)
{
  shape_builder b = {LW_NEW(arena, lw_spot, SHAPE_SPOTS), LW_NEW(arena, size_t, SHAPE_RINGS + 1), 0, 0};
  assert_non_null(b.spots);
  assert_non_null(b.start);
  return b;
}

static inline void add_spot(shape_builder *b, double x_m, double y_m)
{
  assert_true(b->count < SHAPE_SPOTS);
  b->spots[b->count++] = (lw_spot){x_m, y_m};
}

static inline void end_ring(shape_builder *b)
{
  assert_true(b->rings < SHAPE_RINGS);
  b->start[++b->rings] = b->count;
}

static inline void add_rectangle(shape_builder *b, double west, double south, double east, double north,
                                 bool clockwise)
{
  add_spot(b, west, south);
  add_spot(b, clockwise ? west : east, clockwise ? north : south);
  add_spot(b, east, north);
  add_spot(b, clockwise ? east : west, clockwise ? south : north);
  end_ring(b);
}

/* |x - cx| + |y - cy| = reach */
static inline void add_diamond(shape_builder *b, double cx, double cy, double reach)
{
  add_spot(b, cx + reach, cy);
  add_spot(b, cx, cy + reach);
  add_spot(b, cx - reach, cy);
  add_spot(b, cx, cy - reach);
  end_ring(b);
}

/* An oval of half axes a and b whose shore waves in and out by `wave` of its reach. */
static inline void add_ring_of(shape_builder *b, double cx, double cy, double a_m, double b_m, size_t count,
                               double wave, bool clockwise)
{
  for (size_t k = 0; k < count; k++) {
    double angle = (clockwise ? -2 : 2) * PI * (double)k / (double)count;
    double reach = 1 + wave * sin(7 * angle) * cos(3 * angle);
    add_spot(b, cx + a_m * reach * cos(angle), cy + b_m * reach * sin(angle));
  }
  end_ring(b);
}

static inline lw_shore shape_end(const shape_builder *b)
{
  return (lw_shore){b->spots, b->start, b->rings, b->count};
}

/* Turns the shore by `angle` about (0, 0) and moves it. */
static inline void turn_shore(lw_shore *shore, double angle, double east_m, double north_m)
{
  lw_spot *spots = (lw_spot *)shore->spots;
  for (size_t k = 0; k < shore->spot_count; k++) {
    lw_spot p = spots[k];
    spots[k].x_m = p.x_m * cos(angle) - p.y_m * sin(angle) + east_m;
    spots[k].y_m = p.x_m * sin(angle) + p.y_m * cos(angle) + north_m;
  }
}

/* The sum of the cells' shares, m2. */
static inline double cover_area(const lw_shore *shore, const lw_frame *frame, lw_arena *arena)
{
  float *cover = NULL;
  lw_error err = {0};
  if (lw_shore_cover(&cover, shore, frame, arena, &err) != LW_OK) {
    fail_msg("%s", err.message);
  }
  double sum = 0;
  for (size_t k = 0; k < (frame->nx - 1) * (frame->ny - 1); k++) {
    assert_true(cover[k] >= 0 && cover[k] <= 1);
    sum += cover[k];
  }
  return sum * frame->step_m * frame->step_m;
}

#endif
