/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/libraries.h"
#include "exchange/polygons.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Polygons overlapping by less than this part of their area only share a shore, drawn imprecisely. */
#define SHARED_SHORE 1e-6

typedef struct session {
  const lw_geos *geos;
  GEOSContextHandle_t handle;
  const char *name;
  lw_arena *arena;
  lw_error *err;
} session;

static lw_status begin(session *s, lw_error *err)
{
  s->err = err;
  lw_status status = lw_geos_open(&s->geos, err);
  if (status != LW_OK) {
    return status;
  }
  s->handle = s->geos->GEOS_init_r();
  return s->handle ? LW_OK : lw_fail(err, LW_MEMORY, "there is no memory for this outline");
}

static lw_status fail(const session *s)
{
  return lw_fail_at(s->err, LW_INTERNAL, s->name, 0, 0,
                    "the outline's geometry could not be built; simplify it and try again");
}

/* --- to GEOS --- */

static GEOSGeometry *make_ring(const session *s, const lw_ring *ring)
{
  GEOSCoordSequence *sequence =
      s->geos->GEOSCoordSeq_copyFromBuffer_r(s->handle, ring->lon_lat, (unsigned)ring->count, 0, 0);
  return sequence ? s->geos->GEOSGeom_createLinearRing_r(s->handle, sequence) : NULL;
}

static void destroy(const session *s, GEOSGeometry *geometry)
{
  if (geometry) {
    s->geos->GEOSGeom_destroy_r(s->handle, geometry);
  }
}

/* The polygon whose outer ring is rings[first]; *next is the first ring after it. GEOS takes its
 * parts over only when all of them exist. */
static GEOSGeometry *make_polygon(const session *s, const lw_ring_list *list, size_t first, size_t *next)
{
  size_t end = first + 1;
  while (end < list->count && list->rings[end].hole) {
    end++;
  }
  *next = end;
  size_t n = end - first - 1;
  GEOSGeometry **holes = calloc(n + 1, sizeof(GEOSGeometry *));
  GEOSGeometry *shell = holes ? make_ring(s, &list->rings[first]) : NULL;
  bool whole = shell != NULL;
  for (size_t i = 0; i < n && whole; i++) {
    holes[i] = make_ring(s, &list->rings[first + 1 + i]);
    whole = holes[i] != NULL;
  }
  GEOSGeometry *polygon =
      whole ? s->geos->GEOSGeom_createPolygon_r(s->handle, shell, holes, (unsigned)n) : NULL;
  if (!whole) {
    destroy(s, shell);
    for (size_t i = 0; holes && i < n; i++) {
      destroy(s, holes[i]);
    }
  }
  free(holes);
  return polygon;
}

static GEOSGeometry *make_multipolygon(const session *s, const lw_ring_list *list)
{
  GEOSGeometry **parts = calloc(list->groups + 1, sizeof(GEOSGeometry *));
  bool whole = parts != NULL;
  size_t made = 0;
  for (size_t at = 0; whole && at < list->count; made++) {
    parts[made] = make_polygon(s, list, at, &at);
    whole = parts[made] != NULL;
  }
  GEOSGeometry *multi = whole ? s->geos->GEOSGeom_createCollection_r(s->handle, GEOS_MULTIPOLYGON, parts,
                                                                     (unsigned)made)
                              : NULL;
  for (size_t i = 0; parts && !whole && i < made; i++) {
    destroy(s, parts[i]);
  }
  free(parts);
  return multi;
}

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

static lw_status refuse_at(const session *s, const char *sentence, const GEOSGeometry *place)
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
static lw_status check_valid(const session *s, const GEOSGeometry *geometry)
{
  char *reason = NULL;
  GEOSGeometry *place = NULL;
  char valid = s->geos->GEOSisValidDetail_r(s->handle, geometry, 0, &reason, &place);
  lw_status status = LW_OK;
  if (valid == 0) {
    status = refuse_at(s, sentence_for(reason ? reason : ""), place);
  } else if (valid != 1) {
    status = fail(s);
  }
  if (reason) {
    s->geos->GEOSFree_r(s->handle, reason);
  }
  destroy(s, place);
  return status;
}

static lw_status check_each(const session *s, const GEOSGeometry *multi)
{
  int n = s->geos->GEOSGetNumGeometries_r(s->handle, multi);
  lw_status status = LW_OK;
  for (int i = 0; i < n && status == LW_OK; i++) {
    const GEOSGeometry *part = s->geos->GEOSGetGeometryN_r(s->handle, multi, i);
    status = part ? check_valid(s, part) : fail(s);
  }
  return status;
}

/* --- from GEOS --- */

static lw_status take_ring(const session *s, const GEOSGeometry *from, bool hole, lw_ring_list *out)
{
  const GEOSCoordSequence *sequence = from ? s->geos->GEOSGeom_getCoordSeq_r(s->handle, from) : NULL;
  unsigned n = 0;
  if (!sequence || s->geos->GEOSCoordSeq_getSize_r(s->handle, sequence, &n) != 1) {
    return fail(s);
  }
  lw_ring *ring = lw_ring_list_add(out, s->arena);
  double *lon_lat = LW_NEW(s->arena, double, 2 * (size_t)n);
  if (!ring || !lon_lat) {
    return lw_fail(s->err, LW_MEMORY, "there is no memory for this outline");
  }
  if (s->geos->GEOSCoordSeq_copyToBuffer_r(s->handle, sequence, lon_lat, 0, 0) != 1) {
    return fail(s);
  }
  *ring = (lw_ring){.lon_lat = lon_lat, .count = n, .group = out->groups, .hole = hole};
  if (!lw_ring_tidy(ring)) {
    out->count--; /* a sliver narrower than the rounding */
  }
  return LW_OK;
}

static lw_status take_polygon(const session *s, const GEOSGeometry *polygon, lw_ring_list *out)
{
  size_t before = out->count;
  lw_status status = take_ring(s, s->geos->GEOSGetExteriorRing_r(s->handle, polygon), false, out);
  if (status != LW_OK || out->count == before) {
    return status;
  }
  int holes = s->geos->GEOSGetNumInteriorRings_r(s->handle, polygon);
  for (int i = 0; i < holes && status == LW_OK; i++) {
    status = take_ring(s, s->geos->GEOSGetInteriorRingN_r(s->handle, polygon, i), true, out);
  }
  out->groups++;
  return status;
}

static lw_status take_polygons(const session *s, const GEOSGeometry *from, lw_ring_list *out)
{
  *out = (lw_ring_list){0};
  int n = s->geos->GEOSGetNumGeometries_r(s->handle, from);
  lw_status status = LW_OK;
  for (int i = 0; i < n && status == LW_OK; i++) {
    const GEOSGeometry *part = s->geos->GEOSGetGeometryN_r(s->handle, from, i);
    if (part && s->geos->GEOSGeomTypeId_r(s->handle, part) == GEOS_POLYGON) {
      status = take_polygon(s, part, out);
    }
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
static bool only_meet(const session *s, const GEOSGeometry *multi, const GEOSGeometry *whole)
{
  double sum = 0;
  double joined = 0;
  return whole && s->geos->GEOSArea_r(s->handle, multi, &sum) == 1 &&
         s->geos->GEOSArea_r(s->handle, whole, &joined) == 1 && fabs(sum - joined) <= SHARED_SHORE * sum;
}

static lw_status take_joined(const session *s, const GEOSGeometry *whole, lw_ring_list *polygons)
{
  lw_ring_list joined;
  lw_status status = take_polygons(s, whole, &joined);
  if (status != LW_OK) {
    return status;
  }
  if (count_holes(&joined) < count_holes(polygons)) {
    return lw_fail_at(s->err, LW_INVALID, s->name, 0, 0,
                      "one polygon fills an island of another; leave it out where it is land, drop the "
                      "island where it is water");
  }
  *polygons = joined;
  GEOSGeometry *again = make_multipolygon(s, polygons);
  status = again ? check_valid(s, again) : fail(s);
  destroy(s, again);
  return status;
}

/* Joins polygons that only share shore; `invalid` is what check_valid said of them together. */
static lw_status join(const session *s, const GEOSGeometry *multi, lw_status invalid, lw_ring_list *polygons)
{
  GEOSGeometry *whole = s->geos->GEOSUnaryUnion_r(s->handle, multi);
  lw_status status = invalid;
  if (only_meet(s, multi, whole)) {
    status = take_joined(s, whole, polygons);
  } else {
    lw_error_prefix(s->err, "the polygons overlap");
  }
  destroy(s, whole);
  return status;
}

lw_status lw_polygons_check(lw_ring_list *polygons, const char *name, lw_arena *arena, lw_error *err)
{
  session s = {.name = name, .arena = arena};
  lw_error local = {0};
  lw_status status = begin(&s, err ? err : &local);
  if (status != LW_OK) {
    return status;
  }
  GEOSGeometry *multi = make_multipolygon(&s, polygons);
  status = multi ? check_each(&s, multi) : fail(&s);
  if (status == LW_OK && polygons->groups > 1) {
    status = check_valid(&s, multi);
    status = status == LW_INVALID ? join(&s, multi, status, polygons) : status;
  }
  destroy(&s, multi);
  s.geos->GEOS_finish_r(s.handle);
  if (status == LW_OK && err) {
    *err = (lw_error){0};
  }
  return status;
}

lw_status lw_polygons_inside(const lw_ring_list *polygons, size_t group, double out[2], lw_error *err)
{
  session s = {0};
  lw_status status = begin(&s, err);
  if (status != LW_OK) {
    return status;
  }
  size_t first = 0;
  while (first < polygons->count && polygons->rings[first].group != group) {
    first++;
  }
  size_t next = 0;
  GEOSGeometry *polygon = first < polygons->count ? make_polygon(&s, polygons, first, &next) : NULL;
  GEOSGeometry *point = polygon ? s.geos->GEOSPointOnSurface_r(s.handle, polygon) : NULL;
  bool found = point && s.geos->GEOSGeomGetX_r(s.handle, point, &out[0]) == 1 &&
               s.geos->GEOSGeomGetY_r(s.handle, point, &out[1]) == 1;
  if (!found) {
    status = fail(&s);
  }
  destroy(&s, point);
  destroy(&s, polygon);
  s.geos->GEOS_finish_r(s.handle);
  return status;
}
