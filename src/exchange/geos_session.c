/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/geos_session.h"

#include <pthread.h>
#include <stdlib.h>
#include <time.h>

/* --- the time it may take --- */

/* GEOS asks now and then whether to go on, through one function and one flag for the whole process:
 * hence one session at a time. */
static pthread_mutex_t one_at_a_time = PTHREAD_MUTEX_INITIALIZER;
static const lw_geos *interrupted_library;
static _Thread_local long long deadline_ms; /* in this thread's processor time; 0: no session */

static long long processor_ms(void)
{
  struct timespec now = {0};
  (void)clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
  return (long long)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

static bool time_is_up(void)
{
  return deadline_ms && processor_ms() >= deadline_ms;
}

static void go_on_or_stop(void)
{
  if (time_is_up()) {
    interrupted_library->GEOS_interruptRequest();
  }
}

lw_status lw_geos_begin(lw_geos_session *s, const char *name, lw_arena *arena, lw_error *err)
{
  *s = (lw_geos_session){.name = name, .arena = arena, .err = err};
  lw_status status = lw_geos_open(&s->geos, err);
  if (status != LW_OK) {
    return status;
  }
  s->handle = s->geos->GEOS_init_r();
  if (!s->handle) {
    return lw_fail(err, LW_MEMORY, "there is no memory for this outline");
  }
  (void)pthread_mutex_lock(&one_at_a_time);
  interrupted_library = s->geos;
  deadline_ms = processor_ms() + LW_GEOS_SECONDS * 1000LL;
  (void)s->geos->GEOS_interruptRegisterCallback(go_on_or_stop);
  return LW_OK;
}

void lw_geos_end(lw_geos_session *s)
{
  deadline_ms = 0;
  s->geos->GEOS_interruptCancel();
  s->geos->GEOS_finish_r(s->handle);
  (void)pthread_mutex_unlock(&one_at_a_time);
}

lw_status lw_geos_fail(const lw_geos_session *s)
{
  if (time_is_up()) {
    return lw_fail_at(s->err, LW_LIMIT, s->name, 0, 0,
                      "the outline is too intricate to be checked in %d s; simplify it", LW_GEOS_SECONDS);
  }
  if (s->err && s->err->status == LW_MEMORY) {
    return LW_MEMORY; /* told where it happened */
  }
  return lw_fail_at(s->err, LW_INTERNAL, s->name, 0, 0,
                    "the outline's geometry could not be built; simplify it and try again");
}

/* --- to GEOS --- */

static GEOSGeometry *make_ring(const lw_geos_session *s, const lw_ring *ring)
{
  GEOSCoordSequence *sequence =
      s->geos->GEOSCoordSeq_copyFromBuffer_r(s->handle, ring->lon_lat, (unsigned)ring->count, 0, 0);
  return sequence ? s->geos->GEOSGeom_createLinearRing_r(s->handle, sequence) : NULL;
}

void lw_geos_destroy(const lw_geos_session *s, GEOSGeometry *geometry)
{
  if (geometry) {
    s->geos->GEOSGeom_destroy_r(s->handle, geometry);
  }
}

/* GEOS takes the rings over only when all of them exist. */
GEOSGeometry *lw_geos_make_polygon(const lw_geos_session *s, const lw_ring_list *list, size_t first,
                                   size_t *next)
{
  size_t end = first + 1;
  while (end < list->count && list->rings[end].hole) {
    end++;
  }
  *next = end;
  size_t n = end - first - 1;
  GEOSGeometry **holes = calloc(n + 1, sizeof(GEOSGeometry *));
  if (!holes) {
    (void)lw_fail(s->err, LW_MEMORY, "there is no memory for this outline");
  }
  GEOSGeometry *shell = holes ? make_ring(s, &list->rings[first]) : NULL;
  bool whole = shell != NULL;
  for (size_t i = 0; i < n && whole; i++) {
    holes[i] = make_ring(s, &list->rings[first + 1 + i]);
    whole = holes[i] != NULL;
  }
  GEOSGeometry *polygon =
      whole ? s->geos->GEOSGeom_createPolygon_r(s->handle, shell, holes, (unsigned)n) : NULL;
  if (!whole) {
    lw_geos_destroy(s, shell);
    for (size_t i = 0; holes && i < n; i++) {
      lw_geos_destroy(s, holes[i]);
    }
  }
  free(holes);
  return polygon;
}

GEOSGeometry *lw_geos_make_multipolygon(const lw_geos_session *s, const lw_ring_list *list)
{
  GEOSGeometry **parts = calloc(list->groups + 1, sizeof(GEOSGeometry *));
  if (!parts) {
    (void)lw_fail(s->err, LW_MEMORY, "there is no memory for this outline");
  }
  bool whole = parts != NULL;
  size_t made = 0;
  for (size_t at = 0; whole && at < list->count; made++) {
    parts[made] = lw_geos_make_polygon(s, list, at, &at);
    whole = parts[made] != NULL;
  }
  GEOSGeometry *multi =
      whole ? s->geos->GEOSGeom_createCollection_r(s->handle, GEOS_MULTIPOLYGON, parts, (unsigned)made)
            : NULL;
  for (size_t i = 0; parts && !whole && i < made; i++) {
    lw_geos_destroy(s, parts[i]);
  }
  free(parts);
  return multi;
}

/* --- from GEOS --- */

static lw_status take_ring(const lw_geos_session *s, const GEOSGeometry *from, bool hole, lw_ring_list *out)
{
  const GEOSCoordSequence *sequence = from ? s->geos->GEOSGeom_getCoordSeq_r(s->handle, from) : NULL;
  unsigned n = 0;
  if (!sequence || s->geos->GEOSCoordSeq_getSize_r(s->handle, sequence, &n) != 1) {
    return lw_geos_fail(s);
  }
  lw_ring *ring = lw_ring_list_add(out, s->arena);
  double *lon_lat = LW_NEW(s->arena, double, 2 * (size_t)n);
  if (!ring || !lon_lat) {
    return lw_fail(s->err, LW_MEMORY, "there is no memory for this outline");
  }
  if (s->geos->GEOSCoordSeq_copyToBuffer_r(s->handle, sequence, lon_lat, 0, 0) != 1) {
    return lw_geos_fail(s);
  }
  *ring = (lw_ring){.lon_lat = lon_lat, .count = n, .group = out->groups, .hole = hole};
  if (!lw_ring_tidy(ring)) {
    out->count--; /* a sliver narrower than the rounding */
  }
  return LW_OK;
}

static lw_status take_polygon(const lw_geos_session *s, const GEOSGeometry *polygon, lw_ring_list *out)
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

lw_status lw_geos_take_polygons(const lw_geos_session *s, const GEOSGeometry *from, lw_ring_list *out)
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
