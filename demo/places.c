/* SPDX-License-Identifier: Apache-2.0 */
#include "demo/places.h"

#include "exchange/outline.h"
#include "exchange/zone_shape.h"

#include <jansson.h>
#include <stdlib.h>
#include <string.h>

#define FOOT 0.3048
#define CFS 0.028316846592 /* m3/s */

enum { SET_UP_MINUTE = 9 * 60 + 30 };

/* Invented figures; areas come from the outlines. */
typedef struct facts {
  const char *outline, *zones;
  double elevation_ft, mean_depth_ft, max_depth_ft, outflow_cfs;
  const char *downstream, *note;
} facts;

static const facts waters[LW_DEMO_WATERS] = {
    [LW_DEMO_UPPER_SEDGE] = {lw_demo_upper_sedge, lw_demo_upper_sedge_zones, 702, 8.2, 21, 0.9, "nobody",
                             "Dammed valley with one arm. The spillway runs through our own pasture to Long "
                             "Run."},
    [LW_DEMO_HERON_POOL] = {lw_demo_heron_pool, NULL, 724, 5.5, 11, 0, "nobody",
                            "Under the pines, fed by rain and seep. No spillway flow seen in years."},
    [LW_DEMO_LONG_RUN] =
        {lw_demo_long_run, lw_demo_long_run_zones, 671, 7.5, 19, 17, "neighbours",
         "Two arms and a creek through it; in a wet month the water stays about three weeks. "
         "A neighbour waters cattle below the weir."},
    [LW_DEMO_BRICKYARD] = {lw_demo_brickyard, NULL, 690, 6, 12, 0, "nobody",
                           "Old clay pit. Brown for a week or two after every good rain."},
};

/* ---- outlines ---- */

static lw_status measure(lw_zone_shape *out, const char *name, json_t *geometry, lw_arena *arena,
                         lw_error *err)
{
  char *text = json_dumps(geometry, JSON_COMPACT);
  if (!text) {
    return lw_fail(err, LW_INTERNAL, "the demonstration's outline of %s is no geometry", name);
  }
  lw_status s = lw_zone_shape_parse(out, name, text, strlen(text), arena, err);
  free(text);
  return s;
}

static const char *property(json_t *feature, const char *key, lw_arena *arena)
{
  const char *text = json_string_value(json_object_get(json_object_get(feature, "properties"), key));
  const char *copy = lw_arena_copy(arena, text ? text : "");
  return copy ? copy : "";
}

static lw_status add_zone(lw_store *store, lw_id water, json_t *feature, lw_arena *arena, lw_error *err)
{
  lw_zone_shape shape;
  lw_zone zone;
  lw_id id = 0;
  lw_kind_clear(LW_KIND_ZONE, &zone);
  zone.water = water;
  zone.name = property(feature, "name", arena);
  zone.kind = property(feature, "kind", arena);
  zone.note = property(feature, "note", arena);
  lw_status s = measure(&shape, zone.name, json_object_get(feature, "geometry"), arena, err);
  if (s != LW_OK) {
    return s;
  }
  zone.outline = shape.geojson;
  zone.area_m2 = shape.area_m2;
  return lw_store_add(store, LW_KIND_ZONE, &zone, &id, err);
}

static lw_status add_zones(lw_store *store, lw_id water, const char *text, lw_arena *arena, lw_error *err)
{
  json_t *collection = json_loads(text, 0, NULL);
  json_t *features = json_object_get(collection, "features");
  lw_status s = LW_OK;
  if (json_array_size(features) == 0) {
    s = lw_fail(err, LW_INTERNAL, "the demonstration's zones cannot be read");
  }
  for (size_t i = 0; s == LW_OK && i < json_array_size(features); i++) {
    s = add_zone(store, water, json_array_get(features, i), arena, err);
  }
  json_decref(collection);
  return s;
}

/* ---- waters ---- */

static lw_status add_water(lw_store *store, lw_demo_place place, lw_id *out_id, lw_arena *arena,
                           lw_error *err)
{
  const facts *f = &waters[place];
  const char *name = lw_demo_names[place];
  lw_outline outline;
  lw_status s = lw_outline_parse(&outline, name, f->outline, strlen(f->outline), arena, err);
  if (s != LW_OK) {
    return s;
  }
  lw_water w;
  lw_kind_clear(LW_KIND_WATER, &w);
  w.name = name;
  w.latitude = lw_known(outline.centre_latitude);
  w.longitude = lw_known(outline.centre_longitude);
  w.outline = outline.geojson;
  w.outline_area_m2 = lw_known(outline.area_m2);
  w.outline_perimeter_m = lw_known(outline.perimeter_m);
  w.elevation_m = lw_known(f->elevation_ft * FOOT);
  w.mean_depth_m = lw_known(f->mean_depth_ft * FOOT);
  w.max_depth_m = lw_known(f->max_depth_ft * FOOT);
  w.outflow_m3_s = lw_known(f->outflow_cfs * CFS);
  w.use = "fishing";
  w.harvest = "yes";
  w.fish = "stocked";
  w.downstream = f->downstream;
  w.note = f->note;
  return lw_store_add(store, LW_KIND_WATER, &w, out_id, err);
}

static lw_status add_settings(lw_store *store, lw_error *err)
{
  static const lw_setting settings[] = {{.key = "place", .value = "Sedgewater Club"},
                                        {.key = "units", .value = "us"},
                                        {.key = "money", .value = "$"}};
  lw_status s = LW_OK;
  for (size_t i = 0; s == LW_OK && i < sizeof settings / sizeof settings[0]; i++) {
    lw_id id = 0;
    s = lw_store_add(store, LW_KIND_SETTING, &settings[i], &id, err);
  }
  return s;
}

static lw_status end_change(lw_store *store, lw_status s, lw_error *err)
{
  lw_id change = 0;
  if (s != LW_OK) {
    lw_store_rollback(store);
    return s;
  }
  return lw_store_commit(store, &change, err);
}

static lw_status begin(lw_store *store, int minute, const char *action, lw_error *err)
{
  lw_day day = lw_day_from_civil((lw_civil){2024, 1, 8});
  const lw_change change = {.who = "the keeper",
                            .why = "setting up the book",
                            .action = action,
                            .at = lw_demo_instant(day, SET_UP_MINUTE + minute)};
  return lw_store_begin(store, &change, err);
}

static lw_status write_water(lw_store *store, lw_demo_place place, lw_demo_ids *ids, lw_arena *arena,
                             lw_error *err)
{
  const char *action = lw_arena_format(arena, "%s: added", lw_demo_names[place]);
  lw_status s = action ? begin(store, 10 * (int)place + 10, action, err)
                       : lw_fail(err, LW_MEMORY, "no memory for the demonstration");
  if (s != LW_OK) {
    return s;
  }
  s = add_water(store, place, &ids->waters[place], arena, err);
  if (s == LW_OK && waters[place].zones) {
    s = add_zones(store, ids->waters[place], waters[place].zones, arena, err);
  }
  return end_change(store, s, err);
}

lw_status lw_demo_write_places(lw_store *store, lw_demo_ids *ids, lw_arena *arena, lw_error *err)
{
  lw_status s = begin(store, 0, "settings: place, units, money", err);
  s = s == LW_OK ? end_change(store, add_settings(store, err), err) : s;
  for (int place = 0; s == LW_OK && place < LW_DEMO_WATERS; place++) {
    s = write_water(store, (lw_demo_place)place, ids, arena, err);
  }
  return s;
}

/* ---- materials ---- */

#define POUND 0.45359237
#define GALLON 3.785411784 /* L */

/* Prices are invented; 11.65 lb/gal is the figure the rates of 10-34-0 are reckoned with (see
 * advice/feed_rates.c). */
static const lw_material materials[LW_DEMO_MATERIALS] = {
    [LW_DEMO_POWDER] = {.name = "soluble powder 12-48-8",
                        .kind = "fertilizer",
                        .form = "soluble-powder",
                        .grade = "12-48-8",
                        .package_kg = {50 * POUND, true},
                        .price = {61.5, true},
                        .note = "Keep the sacks off the concrete; one got wet in 2025."},
    [LW_DEMO_LIQUID] = {.name = "liquid 10-34-0",
                        .kind = "fertilizer",
                        .form = "liquid",
                        .grade = "10-34-0",
                        .density_kg_l = {11.65 * POUND / GALLON, true},
                        .package_kg = {11.65 * POUND, true},
                        .package_l = {GALLON, true},
                        .price = {9.4, true},
                        .note = "From the tote, by the gallon."},
    [LW_DEMO_GRANULAR] = {.name = "granular 20-20-5",
                          .kind = "fertilizer",
                          .form = "granular",
                          .grade = "20-20-5",
                          .package_kg = {50 * POUND, true},
                          .price = {18.75, true},
                          .note = "For the platforms only."},
    [LW_DEMO_LIMESTONE] = {.name = "ground limestone",
                           .kind = "lime",
                           .form = "ground",
                           .grade = "",
                           .package_kg = {2000 * POUND, true},
                           .neutralizing_value_pct = {95, true},
                           .fineness_pct = {85, true},
                           .price = {48, true},
                           .note = "By the ton, delivered; spreading from the barge is extra."},
};

double lw_demo_package_kg(lw_demo_material material)
{
  return materials[material].package_kg.value;
}

double lw_demo_package_l(lw_demo_material material)
{
  return materials[material].package_l.value;
}

lw_status lw_demo_write_materials(lw_store *store, lw_demo_ids *ids, lw_error *err)
{
  lw_status s = begin(store, 60, "four materials added to the shelf list", err);
  if (s != LW_OK) {
    return s;
  }
  for (int m = 0; s == LW_OK && m < LW_DEMO_MATERIALS; m++) {
    s = lw_store_add(store, LW_KIND_MATERIAL, &materials[m], &ids->materials[m], err);
  }
  return end_change(store, s, err);
}
