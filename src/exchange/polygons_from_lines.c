/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/geojson_check.h"
#include "exchange/libraries.h"
#include "exchange/polygons.h"

#include <math.h>
#include <string.h>

/* Gaps in a walk round the shore, as a part of its length, that are closed without asking. */
#define LARGEST_GAP 0.05

/* --- one walk --- */

static lw_status check_one_walk(const lw_ring_list *lines, const char *name, lw_error *err)
{
  size_t others = 0;
  for (size_t i = 1; i < lines->count; i++) {
    others += lines->rings[i].group != lines->rings[i - 1].group ? 1 : 0;
  }
  if (others) {
    return lw_fail_at(err, LW_INVALID, name, 0, 0,
                      "it holds %zu lines and no polygon; keep only the one that was walked round the shore",
                      others + 1);
  }
  return LW_OK;
}

/* All pieces one after the other, with the first position once more at the end. */
static lw_ring *string_together(const lw_ring_list *lines, lw_ring_list *out, lw_arena *arena)
{
  size_t total = 1;
  for (size_t i = 0; i < lines->count; i++) {
    total += lines->rings[i].count;
  }
  *out = (lw_ring_list){0};
  lw_ring *ring = lw_ring_list_add(out, arena);
  double *p = LW_NEW(arena, double, 2 * total);
  if (!ring || !p) {
    return NULL;
  }
  *ring = (lw_ring){.lon_lat = p, .count = total};
  out->groups = 1;
  size_t n = 0;
  for (size_t i = 0; i < lines->count; i++) {
    memcpy(p + 2 * n, lines->rings[i].lon_lat, 2 * lines->rings[i].count * sizeof *p);
    n += lines->rings[i].count;
  }
  memcpy(p + 2 * n, p, 2 * sizeof *p);
  return ring;
}

typedef struct walk_length {
  double walked_m, gaps_m;
} walk_length;

static lw_status measure_walk(const lw_ring_list *lines, const lw_ring *ring, walk_length *out, lw_error *err)
{
  const lw_proj *proj = NULL;
  lw_status status = lw_proj_open(&proj, err);
  if (status != LW_OK) {
    return status;
  }
  struct geod_geodesic earth;
  proj->geod_init(&earth, LW_WGS84_SEMI_MAJOR_AXIS_M, LW_WGS84_FLATTENING);
  size_t piece = 0;
  size_t piece_end = lines->rings[0].count;
  *out = (walk_length){0};
  for (size_t i = 1; i < ring->count; i++) {
    const double *a = ring->lon_lat + 2 * (i - 1);
    double step_m = 0;
    proj->geod_inverse(&earth, a[1], a[0], a[3], a[2], &step_m, NULL, NULL);
    bool gap = i == piece_end;
    if (gap && ++piece < lines->count) {
      piece_end += lines->rings[piece].count;
    }
    *(gap ? &out->gaps_m : &out->walked_m) += step_m;
  }
  return LW_OK;
}

static lw_status close_walk(const lw_ring_list *lines, lw_ring_list *out, const char *name, lw_arena *arena,
                            lw_error *err)
{
  lw_status status = check_one_walk(lines, name, err);
  if (status != LW_OK) {
    return status;
  }
  lw_ring *ring = string_together(lines, out, arena);
  if (!ring) {
    return lw_fail_at(err, LW_MEMORY, name, 0, 0, "there is no memory for this outline");
  }
  if (lw_meridian_jump(ring)) {
    return lw_fail_at(err, LW_INVALID, name, 0, 0,
                      "the line crosses the 180th meridian; an outline must lie on one side of it");
  }
  walk_length length;
  status = measure_walk(lines, ring, &length, err);
  if (status != LW_OK) {
    return status;
  }
  if (length.gaps_m > LARGEST_GAP * length.walked_m) {
    return lw_fail_at(err, LW_INVALID, name, 0, 0,
                      "the line does not come back to its start: gaps of %.0f m in a walk of %.0f m "
                      "(at most 5 %% are closed); walk the whole shore, or give a polygon",
                      length.gaps_m, length.walked_m);
  }
  if (!lw_ring_tidy(ring)) {
    return lw_fail_at(err, LW_INVALID, name, 0, 0, "the line has fewer than 3 different positions");
  }
  return LW_OK;
}

/* --- closed lines --- */

static bool is_closed(const lw_ring *line)
{
  return line->count >= 4 && lw_same_position(line->lon_lat, line->lon_lat + 2 * (line->count - 1));
}

static bool all_closed(const lw_ring_list *lines)
{
  for (size_t i = 0; i < lines->count; i++) {
    if (!is_closed(&lines->rings[i])) {
      return false;
    }
  }
  return true;
}

/* In square degrees: only to tell the shore from its islands. */
static double plain_area(const lw_ring *ring)
{
  const double *p = ring->lon_lat;
  double twice = 0;
  for (size_t i = 2; i + 1 < ring->count; i++) {
    twice += (p[2 * i - 2] - p[0]) * (p[2 * i + 1] - p[1]) - (p[2 * i] - p[0]) * (p[2 * i - 1] - p[1]);
  }
  return fabs(twice) / 2;
}

static lw_status add_ring(lw_ring_list *out, const lw_ring *line, bool hole, const char *name,
                          lw_arena *arena, lw_error *err)
{
  lw_ring *ring = lw_ring_list_add(out, arena);
  if (!ring) {
    return lw_fail_at(err, LW_MEMORY, name, 0, 0, "there is no memory for this outline");
  }
  *ring = (lw_ring){.lon_lat = line->lon_lat, .count = line->count, .group = out->groups, .hole = hole};
  if (lw_meridian_jump(ring)) {
    return lw_fail_at(err, LW_INVALID, name, 0, 0,
                      "the line crosses the 180th meridian; an outline must lie on one side of it");
  }
  if (!lw_ring_tidy(ring)) {
    return lw_fail_at(err, LW_INVALID, name, 0, 0, "the line has fewer than 3 different positions");
  }
  return LW_OK;
}

static lw_status take_closed(const lw_ring_list *lines, lw_ring_list *out, const char *name, lw_arena *arena,
                             lw_error *err)
{
  *out = (lw_ring_list){0};
  lw_status status = LW_OK;
  for (size_t first = 0; first < lines->count && status == LW_OK;) {
    size_t end = first;
    size_t shore = first;
    double largest = -1;
    for (; end < lines->count && lines->rings[end].group == lines->rings[first].group; end++) {
      double area = plain_area(&lines->rings[end]);
      shore = area > largest ? end : shore;
      largest = fmax(largest, area);
    }
    status = add_ring(out, &lines->rings[shore], false, name, arena, err);
    for (size_t i = first; i < end && status == LW_OK; i++) {
      status = i == shore ? LW_OK : add_ring(out, &lines->rings[i], true, name, arena, err);
    }
    out->groups++;
    first = end;
  }
  return status;
}

lw_status lw_polygons_from_lines(const lw_ring_list *lines, lw_ring_list *out, const char *name,
                                 lw_arena *arena, lw_error *err)
{
  return all_closed(lines) ? take_closed(lines, out, name, arena, err)
                           : close_walk(lines, out, name, arena, err);
}
