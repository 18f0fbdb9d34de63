/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/libraries.h"
#include "exchange/polygons.h"

#include <math.h>
#include <string.h>

/* Signed area (counter-clockwise positive) and length of one ring. */
static void measure_ring(const lw_proj *proj, const struct geod_geodesic *earth, const lw_ring *ring,
                         double *area_m2, double *length_m)
{
  struct geod_polygon polygon;
  proj->geod_polygon_init(&polygon, 0);
  for (size_t i = 0; i + 1 < ring->count; i++) {
    proj->geod_polygon_addpoint(earth, &polygon, ring->lon_lat[2 * i + 1], ring->lon_lat[2 * i]);
  }
  (void)proj->geod_polygon_compute(earth, &polygon, 0, 1, area_m2, length_m);
}

static void reverse(lw_ring *ring)
{
  double *p = ring->lon_lat;
  for (size_t i = 0, j = ring->count - 1; i < j; i++, j--) {
    double keep[2] = {p[2 * i], p[2 * i + 1]};
    memcpy(p + 2 * i, p + 2 * j, sizeof keep);
    memcpy(p + 2 * j, keep, sizeof keep);
  }
}

lw_status lw_polygons_measure(lw_ring_list *polygons, lw_polygons_size *out, lw_error *err)
{
  const lw_proj *proj = NULL;
  lw_status status = lw_proj_open(&proj, err);
  if (status != LW_OK) {
    return status;
  }
  struct geod_geodesic earth;
  proj->geod_init(&earth, LW_WGS84_SEMI_MAJOR_AXIS_M, LW_WGS84_FLATTENING);
  *out = (lw_polygons_size){0};
  double largest_m2 = -1;
  for (size_t i = 0; i < polygons->count; i++) {
    lw_ring *ring = &polygons->rings[i];
    double area_m2 = 0;
    double length_m = 0;
    measure_ring(proj, &earth, ring, &area_m2, &length_m);
    if ((area_m2 < 0) != ring->hole) {
      reverse(ring);
    }
    out->area_m2 += ring->hole ? -fabs(area_m2) : fabs(area_m2);
    out->perimeter_m += length_m;
    if (!ring->hole && fabs(area_m2) > largest_m2) {
      largest_m2 = fabs(area_m2);
      out->largest = ring->group;
    }
  }
  if (!isfinite(out->area_m2) || !isfinite(out->perimeter_m)) {
    return lw_fail(err, LW_INTERNAL, "the outline could not be measured");
  }
  return LW_OK;
}
