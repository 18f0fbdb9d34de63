/* SPDX-License-Identifier: Apache-2.0 */
/* Zones of a water: bays, hazards, channels, launches and the like, as a place, a line or a polygon. */
#include "work/entries.h"

#include "base/text.h"
#include "exchange/plane.h"
#include "exchange/zone_shape.h"
#include "work/form.h"
#include "work/write.h"

#include <math.h>
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

/* Inlets and launches may lie a little off the water; what lies far off it is a slip. */
#define RADIANS_A_DEGREE (3.14159265358979323846 / 180)

static lw_status ask_about_place(const char **question, const lw_desk *desk, lw_id water,
                                 const lw_zone_shape *shape, lw_error *err)
{
  const double metres_a_degree = 111000;
  lw_water record;
  double longitude = 0;
  double latitude = 0;
  lw_status s = lw_store_get(desk->store, LW_KIND_WATER, water, desk->arena, &record, err);
  if (s != LW_OK || !record.outline) {
    return s;
  }
  s = lw_plane_middle(&longitude, &latitude, record.outline, desk->arena, err);
  double east = (shape->middle_longitude - longitude) * cos(latitude * RADIANS_A_DEGREE);
  double away_m = hypot(east, shape->middle_latitude - latitude) * metres_a_degree;
  if (s == LW_OK && away_m > lw_or(record.outline_perimeter_m, 0) + 500) {
    *question = lw_arena_format(desk->arena, "The zone lies %.1f km from the middle of %s. Is it its place?",
                                away_m / 1000, record.name);
    s = *question ? LW_OK : no_memory(err);
  }
  return s;
}

static lw_status fill_zone(lw_zone *zone, const lw_desk *desk, const lw_form *form, const char **question,
                           lw_error *err)
{
  static const char *const skip[] = {"outline", "outline_file", "at", "rename", NULL};
  lw_zone_shape shape;
  bool given = lw_form_get(form, "outline") || lw_form_get(form, "outline-file") || lw_form_get(form, "at");
  const char *rename = lw_form_get(form, "rename");
  lw_status s = lw_form_apply(form, LW_KIND_ZONE, zone, skip, desk, err);
  zone->name = rename ? rename : zone->name;
  if (s == LW_OK && given) {
    s = read_shape(&shape, desk, form, err);
    s = s == LW_OK ? ask_about_place(question, desk, zone->water, &shape, err) : s;
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
  const char *question = NULL;
  lw_kind_clear(LW_KIND_ZONE, &zone);
  zone.water = water;
  lw_status s = lw_water_name(&name, desk, water, err);
  s = s == LW_OK ? fill_zone(&zone, desk, form, &question, err) : s;
  if (s != LW_OK) {
    return s;
  }
  const char *shown = lw_arena_format(desk->arena, "%s: %s '%s' added", name, zone.kind, zone.name);
  s = shown ? lw_write_record(out, desk, LW_KIND_ZONE, 0, &zone, shown, err) : no_memory(err);
  out->warning = s == LW_OK ? question : NULL;
  return s;
}

lw_status lw_change_zone(lw_entry *out, const lw_desk *desk, lw_id id, const lw_form *form, lw_error *err)
{
  lw_zone zone;
  const char *name = NULL;
  const char *question = NULL;
  lw_status s = lw_store_get(desk->store, LW_KIND_ZONE, id, desk->arena, &zone, err);
  s = s == LW_OK ? lw_water_name(&name, desk, zone.water, err) : s;
  if (s == LW_OK && form->count == 0) {
    s = lw_fail(err, LW_INVALID, "nothing to change was given; see 'lakeward help zone set'");
  }
  const char *before = s == LW_OK ? zone.name : "";
  s = s == LW_OK ? fill_zone(&zone, desk, form, &question, err) : s;
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
  s = shown ? lw_write_record(out, desk, LW_KIND_ZONE, id, &zone, shown, err) : no_memory(err);
  out->warning = s == LW_OK ? question : NULL;
  return s;
}
