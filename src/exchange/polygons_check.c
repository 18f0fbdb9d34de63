/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/geos_session.h"
#include "exchange/polygons.h"

#include <math.h>
#include <string.h>

/* Polygons overlapping by less than this part of their area only share a shore, drawn imprecisely. */
#define SHARED_SHORE 1e-6

enum { MOST_TO_UNITE = 2000 };

/* --- is it simple? --- */

static const char *sentence_for(const char *reason)
{
  static const struct {
    const char *reason, *sentence;
  } table[] = {
      {"Ring Self-intersection", "a shore line touches itself"},
      {"Self-intersection", "shore lines cross or lie on each other"},
      {"Hole lies outside shell", "an island lies outside the shore of its polygon"},
      {"Holes are nested", "an island lies inside another island"},
      {"Interior is disconnected", "islands cut the water into pieces"},
      {"Nested shells", "one polygon lies inside another (an island must be a hole of its polygon)"},
      {"Duplicate Rings", "the same shore line is given twice"},
  };
  for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
    if (strstr(reason, table[i].reason)) {
      return table[i].sentence;
    }
  }
  return "the rings do not make a polygon";
}

static lw_status refuse_at(const lw_geos_session *s, const char *sentence, const GEOSGeometry *place)
{
  double x = 0;
  double y = 0;
  if (place && s->geos->GEOSGeomGetX_r(s->handle, place, &x) == 1 &&
      s->geos->GEOSGeomGetY_r(s->handle, place, &y) == 1) {
    return lw_fail_at(s->err, LW_INVALID, s->name, 0, 0,
                      "%s near longitude %.7f, latitude %.7f; mend the outline there", sentence, x, y);
  }
  return lw_fail_at(s->err, LW_INVALID, s->name, 0, 0, "%s; mend the outline", sentence);
}

/* LW_INVALID with the sentence when `geometry` is not valid by the Simple Features standard. */
static lw_status check_valid(const lw_geos_session *s, const GEOSGeometry *geometry)
{
  char *reason = NULL;
  GEOSGeometry *place = NULL;
  char valid = s->geos->GEOSisValidDetail_r(s->handle, geometry, 0, &reason, &place);
  lw_status status = LW_OK;
  if (valid == 0) {
    status = refuse_at(s, sentence_for(reason ? reason : ""), place);
  } else if (valid != 1) {
    status = lw_geos_fail(s);
  }
  if (reason) {
    s->geos->GEOSFree_r(s->handle, reason);
  }
  lw_geos_destroy(s, place);
  return status;
}

static lw_status check_each(const lw_geos_session *s, const GEOSGeometry *multi)
{
  int n = s->geos->GEOSGetNumGeometries_r(s->handle, multi);
  lw_status status = LW_OK;
  for (int i = 0; i < n && status == LW_OK; i++) {
    const GEOSGeometry *part = s->geos->GEOSGetGeometryN_r(s->handle, multi, i);
    status = part ? check_valid(s, part) : lw_geos_fail(s);
  }
  return status;
}

/* --- polygons that meet --- */

static size_t count_holes(const lw_ring_list *polygons)
{
  size_t holes = 0;
  for (size_t i = 0; i < polygons->count; i++) {
    holes += polygons->rings[i].hole ? 1 : 0;
  }
  return holes;
}

/* True when the insides do not overlap: then the area of all is the sum of the areas. */
static bool only_meet(const lw_geos_session *s, const GEOSGeometry *multi, const GEOSGeometry *whole)
{
  double sum = 0;
  double joined = 0;
  return whole && s->geos->GEOSArea_r(s->handle, multi, &sum) == 1 &&
         s->geos->GEOSArea_r(s->handle, whole, &joined) == 1 && fabs(sum - joined) <= SHARED_SHORE * sum;
}

static size_t count_positions(const lw_ring_list *polygons)
{
  size_t positions = 0;
  for (size_t i = 0; i < polygons->count; i++) {
    positions += polygons->rings[i].count;
  }
  return positions;
}

static bool is_valid(const lw_geos_session *s, const GEOSGeometry *geometry)
{
  return s->geos->GEOSisValidDetail_r(s->handle, geometry, 0, NULL, NULL) == 1;
}

/* The polygons as one. Where they meet point to point the quick way does; the other finds meeting
 * shores by itself, but on overlapping polygons its work and memory grow with the square. */
static GEOSGeometry *unite(const lw_geos_session *s, const GEOSGeometry *multi, const lw_ring_list *polygons)
{
  GEOSGeometry *whole = s->geos->GEOSCoverageUnion_r(s->handle, multi);
  if (count_positions(polygons) > MOST_TO_UNITE || (only_meet(s, multi, whole) && is_valid(s, whole))) {
    return whole;
  }
  lw_geos_destroy(s, whole);
  return s->geos->GEOSUnaryUnion_r(s->handle, multi);
}

static lw_status take_joined(const lw_geos_session *s, const GEOSGeometry *whole, lw_ring_list *polygons)
{
  lw_ring_list joined;
  lw_status status = lw_geos_take_polygons(s, whole, &joined);
  if (status != LW_OK) {
    return status;
  }
  if (count_holes(&joined) < count_holes(polygons)) {
    return lw_fail_at(s->err, LW_INVALID, s->name, 0, 0,
                      "one polygon fills an island of another; leave it out where it is land, drop the "
                      "island where it is water");
  }
  *polygons = joined;
  GEOSGeometry *again = lw_geos_make_multipolygon(s, polygons);
  status = again ? check_valid(s, again) : lw_geos_fail(s);
  lw_geos_destroy(s, again);
  return status;
}

/* Joins polygons that only share shore; `invalid` is what check_valid said of them together. */
static lw_status join(const lw_geos_session *s, const GEOSGeometry *multi, lw_status invalid,
                      lw_ring_list *polygons)
{
  GEOSGeometry *whole = unite(s, multi, polygons);
  lw_status status = invalid;
  if (only_meet(s, multi, whole)) {
    status = take_joined(s, whole, polygons);
  } else {
    lw_error_prefix(s->err, "the polygons overlap");
  }
  lw_geos_destroy(s, whole);
  return status;
}

lw_status lw_polygons_check(lw_ring_list *polygons, const char *name, lw_arena *arena, lw_error *err)
{
  lw_geos_session s;
  lw_error local = {0};
  lw_status status = lw_geos_begin(&s, name, arena, err ? err : &local);
  if (status != LW_OK) {
    return status;
  }
  GEOSGeometry *multi = lw_geos_make_multipolygon(&s, polygons);
  status = multi ? check_each(&s, multi) : lw_geos_fail(&s);
  if (status == LW_OK && polygons->groups > 1) {
    status = check_valid(&s, multi);
    status = status == LW_INVALID ? join(&s, multi, status, polygons) : status;
  }
  lw_geos_destroy(&s, multi);
  lw_geos_end(&s);
  if (status == LW_OK && err) {
    *err = (lw_error){0};
  }
  return status;
}

lw_status lw_polygons_inside(const lw_ring_list *polygons, size_t group, double out[2], lw_error *err)
{
  size_t first = 0;
  while (first < polygons->count && polygons->rings[first].group != group) {
    first++;
  }
  lw_geos_session s;
  lw_status status = lw_geos_begin(&s, NULL, NULL, err);
  if (status != LW_OK) {
    return status;
  }
  size_t next = 0;
  GEOSGeometry *polygon = first < polygons->count ? lw_geos_make_polygon(&s, polygons, first, &next) : NULL;
  GEOSGeometry *point = polygon ? s.geos->GEOSPointOnSurface_r(s.handle, polygon) : NULL;
  bool found = point && s.geos->GEOSGeomGetX_r(s.handle, point, &out[0]) == 1 &&
               s.geos->GEOSGeomGetY_r(s.handle, point, &out[1]) == 1;
  if (!found) {
    status = lw_geos_fail(&s);
  }
  lw_geos_destroy(&s, point);
  lw_geos_destroy(&s, polygon);
  lw_geos_end(&s);
  return status;
}
