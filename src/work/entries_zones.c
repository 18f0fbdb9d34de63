/* SPDX-License-Identifier: Apache-2.0 */
/* Zones of a water: bays, hazards, channels, launches and the like, as a place, a line or a polygon. */
#include "work/entries.h"

#include "base/text.h"
#include "exchange/plane.h"
#include "exchange/zone_shape.h"
#include "work/basin_bed.h"
#include "work/form.h"
#include "work/write.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static lw_status no_memory(lw_error *err)
{
  return lw_fail(err, LW_MEMORY, "no memory for this zone");
}

lw_status lw_find_zone(lw_zone *out, const lw_desk *desk, lw_id water, const char *name, lw_error *err)
{
  enum { SHOWN = 8 };
  lw_zone *zones = NULL;
  size_t count = 0;
  lw_status s = lw_store_list(desk->store, LW_KIND_ZONE, water, desk->arena, &zones, &count, err);
  if (s != LW_OK) {
    return s;
  }
  lw_text names = LW_TEXT(1000);
  for (size_t i = 0; i < count; i++) {
    if (lw_same_word(zones[i].name, name)) {
      *out = zones[i];
      lw_text_free(&names);
      return LW_OK;
    }
    if (i < SHOWN) {
      lw_text_addf(&names, "%s'%s'", i ? ", " : "", zones[i].name);
    }
  }
  s = lw_fail(err, LW_NOT_FOUND, "there is no zone named '%.80s'; this water has %s%s", name,
              count ? lw_text_view(&names) : "none yet", count > SHOWN ? " ..." : "");
  lw_text_free(&names);
  return s;
}

/* ---- the shape ---- */

static lw_status read_shape(lw_zone_shape *out, const lw_desk *desk, const lw_form *form, lw_error *err)
{
  const char *text = lw_form_get(form, "outline");
  const char *file = lw_form_get(form, "outline-file");
  const char *at = lw_form_get(form, "at");
  double latitude = 0;
  double longitude = 0;
  if ((text != NULL) + (file != NULL) + (at != NULL) > 1) {
    return lw_fail(err, LW_INVALID, "a zone has one shape: give either an outline or a place, not both");
  }
  if (at) {
    lw_status s = lw_place_read(&latitude, &longitude, "at", at, err);
    return s == LW_OK ? lw_zone_shape_point(out, NULL, longitude, latitude, desk->arena, err) : s;
  }
  return file ? lw_zone_shape_read(out, file, desk->geo_program, desk->arena, err)
              : lw_zone_shape_parse(out, "outline", text, strlen(text), desk->arena, err);
}

/* ---- on the water? ---- */

/* The corners of the shape in the plane, and on long edges spots between, so that a line across the water is
 * seen to touch it. Rings are closed; a place is one spot. */
static lw_status spread_spots(lw_spot **out, size_t *out_count, const lw_spot *spots, size_t count,
                              bool closed, lw_arena *arena, lw_error *err)
{
  enum { MOST = 100000 };
  const double apart_m = 5;
  size_t edges = closed ? count : count - 1;
  double most = 1 + (double)MOST / (double)(edges + 1);
  size_t n = 0;
  double total = 1;
  for (size_t i = 0; i < edges; i++) {
    const lw_spot *b = &spots[(i + 1) % count];
    total += fmin(ceil(hypot(b->x_m - spots[i].x_m, b->y_m - spots[i].y_m) / apart_m) + 1, most);
  }
  *out = LW_NEW(arena, lw_spot, (size_t)total + 1);
  if (!*out) {
    return no_memory(err);
  }
  for (size_t i = 0; i < edges; i++) {
    const lw_spot *a = &spots[i];
    const lw_spot *b = &spots[(i + 1) % count];
    size_t pieces = (size_t)fmin(ceil(hypot(b->x_m - a->x_m, b->y_m - a->y_m) / apart_m) + 1, most);
    for (size_t k = 0; k < pieces; k++) {
      double share = (double)k / (double)pieces;
      (*out)[n++] = (lw_spot){a->x_m + share * (b->x_m - a->x_m), a->y_m + share * (b->y_m - a->y_m)};
    }
  }
  (*out)[n++] = spots[count - 1];
  *out_count = n;
  return LW_OK;
}

/* How far off the shore the nearest of the spots is: 0 when one is on the water. */
static lw_status nearest_off(double *least_m, const lw_shore *shore, const lw_spot *spots, size_t count,
                             bool closed, lw_arena *arena, lw_error *err)
{
  lw_spot *spread = NULL;
  size_t n = 0;
  lw_status s = spread_spots(&spread, &n, spots, count, closed, arena, err);
  bool *inside = s == LW_OK ? LW_NEW(arena, bool, n) : NULL;
  double *outside_m = s == LW_OK ? LW_NEW(arena, double, n) : NULL;
  if (s == LW_OK && (!inside || !outside_m)) {
    return no_memory(err);
  }
  s = s == LW_OK ? lw_shore_inside(inside, outside_m, shore, spread, n, arena, err) : s;
  for (size_t i = 0; s == LW_OK && i < n; i++) {
    *least_m = fmin(*least_m, inside[i] ? 0 : outside_m[i]);
  }
  return s;
}

static lw_status polygon_off(double *least_m, const lw_ground *ground, const char *geojson, lw_arena *arena,
                             lw_error *err)
{
  lw_shore zone;
  bool around = false;
  lw_status s = lw_plane_shore(&zone, geojson, ground->plane, arena, err);
  for (size_t r = 0; s == LW_OK && r < zone.ring_count; r++) {
    size_t first = zone.ring_start[r];
    s = nearest_off(least_m, &ground->shore, zone.spots + first, zone.ring_start[r + 1] - first, true, arena,
                    err);
  }
  /* one that goes around the whole water holds any spot of its shore */
  s = s == LW_OK ? lw_shore_inside(&around, NULL, &zone, ground->shore.spots, 1, arena, err) : s;
  *least_m = around ? 0 : *least_m;
  return s;
}

static lw_status shape_off(double *least_m, const lw_ground *ground, const lw_zone_shape *shape,
                           const lw_desk *desk, lw_error *err)
{
  double *pairs = NULL;
  size_t count = 0;
  *least_m = HUGE_VAL;
  if (lw_geometry_has_area(shape->geojson)) {
    return polygon_off(least_m, ground, shape->geojson, desk->arena, err);
  }
  lw_status s = lw_line_pairs(&pairs, &count, shape->geojson, desk, err);
  lw_spot *spots = s == LW_OK ? LW_NEW(desk->arena, lw_spot, count + 1) : NULL;
  if (s == LW_OK && !spots) {
    return no_memory(err);
  }
  if (s != LW_OK || count == 0) {
    *least_m = 0;
    return s;
  }
  s = lw_plane_to(spots, pairs, count, ground->plane, err);
  return s == LW_OK ? nearest_off(least_m, &ground->shore, spots, count, false, desk->arena, err) : s;
}

/* A launch, an inlet or a row of posts may lie on the bank: common practice, no source. */
#define BANK_M 50.0
#define TOLERANCE_M 5.0

static lw_status check_place(const lw_desk *desk, lw_id water, const lw_zone_shape *shape, lw_error *err)
{
  lw_water record;
  lw_ground ground = {.plane = NULL};
  double off_m = 0;
  lw_status s = lw_store_get(desk->store, LW_KIND_WATER, water, desk->arena, &record, err);
  if (s != LW_OK || !record.outline) {
    return s;
  }
  s = lw_ground_open(&ground, &record, desk, err);
  s = s == LW_OK ? shape_off(&off_m, &ground, shape, desk, err) : s;
  lw_plane_close(ground.plane);
  if (s == LW_OK && off_m > (shape->area_m2.known ? TOLERANCE_M : BANK_M)) {
    char away[40];
    if (off_m < 1000) {
      (void)snprintf(away, sizeof away, "%.0f m", off_m);
    } else {
      (void)snprintf(away, sizeof away, "%.1f km", off_m / 1000);
    }
    return lw_fail(
        err, LW_INVALID,
        "outline: the zone lies wholly off %s, %s from its outline; check the place (latitude first "
        "with --at, west is negative) and that it is this water's",
        record.name, away);
  }
  return s;
}

static lw_status fill_zone(lw_zone *zone, const lw_desk *desk, const lw_form *form, lw_error *err)
{
  static const char *const skip[] = {"outline", "outline_file", "at", "rename", NULL};
  lw_zone_shape shape;
  bool given = lw_form_get(form, "outline") || lw_form_get(form, "outline-file") || lw_form_get(form, "at");
  const char *rename = lw_form_get(form, "rename");
  lw_status s = lw_form_apply(form, LW_KIND_ZONE, zone, skip, desk, err);
  zone->name = rename ? rename : zone->name;
  if (s == LW_OK && given) {
    s = read_shape(&shape, desk, form, err);
    s = s == LW_OK ? check_place(desk, zone->water, &shape, err) : s;
    if (s == LW_OK) {
      zone->outline = shape.geojson;
      zone->area_m2 = shape.area_m2;
    }
  } else if (s == LW_OK && lw_form_has(form, "outline")) { /* given as null: taken away */
    zone->outline = NULL;
    zone->area_m2 = (lw_maybe){0};
  }
  return s;
}

lw_status lw_add_zone(lw_entry *out, const lw_desk *desk, lw_id water, const lw_form *form, lw_error *err)
{
  lw_zone zone;
  const char *name = NULL;
  lw_kind_clear(LW_KIND_ZONE, &zone);
  zone.water = water;
  lw_status s = lw_water_name(&name, desk, water, err);
  s = s == LW_OK ? fill_zone(&zone, desk, form, err) : s;
  if (s != LW_OK) {
    return s;
  }
  const char *shown = lw_arena_format(desk->arena, "%s: %s '%s' added", name, zone.kind, zone.name);
  return shown ? lw_write_record(out, desk, LW_KIND_ZONE, 0, &zone, shown, err) : no_memory(err);
}

lw_status lw_change_zone(lw_entry *out, const lw_desk *desk, lw_id id, const lw_form *form, lw_error *err)
{
  lw_zone zone;
  const char *name = NULL;
  lw_status s = lw_store_get(desk->store, LW_KIND_ZONE, id, desk->arena, &zone, err);
  s = s == LW_OK ? lw_water_name(&name, desk, zone.water, err) : s;
  if (s == LW_OK && form->count == 0) {
    s = lw_fail(err, LW_INVALID, "nothing to change was given; see 'lakeward help zone set'");
  }
  const char *before = s == LW_OK ? zone.name : "";
  s = s == LW_OK ? fill_zone(&zone, desk, form, err) : s;
  if (s != LW_OK) {
    return s;
  }
  lw_text keys = LW_TEXT(300);
  for (size_t i = 0; i < form->count; i++) {
    lw_text_addf(&keys, "%s%.40s", i ? ", " : "", form->fields[i].key);
  }
  const char *shown =
      lw_arena_format(desk->arena, "%s: %s '%s' changed: %s", name, zone.kind, before, lw_text_view(&keys));
  lw_text_free(&keys);
  return shown ? lw_write_record(out, desk, LW_KIND_ZONE, id, &zone, shown, err) : no_memory(err);
}
