/* SPDX-License-Identifier: Apache-2.0 */
/* Commands about zones: bays, hazards, channels, launches, inlets, spillways, swimming places. */
#include "cli/commands.h"

#include "work/entries.h"
#include "work/json.h"
#include "work/write.h"

#include <string.h>

#define END                                                                                                  \
  {                                                                                                          \
    NULL, NULL, NULL                                                                                         \
  }

#define SHAPE                                                                                                \
  {"outline", "FILE", "its shape: a point, line or polygon from GeoJSON; KML, GPX, Shapefile, GeoPackage"},  \
      {"at", "LAT,LON", "its place, for example 33.1,-86.4, instead of an outline"},                         \
  {                                                                                                          \
    "note", "TEXT", "a remark"                                                                               \
  }

static const cli_option add_options[] = {
    SHAPE, {"kind", "KIND", "bay, hazard, channel, launch, inlet, spillway, swimming or platform"}, END};

/* --outline names a file here; the page sends the geometry itself. */
static lw_form zone_form(cli_call *call, const char *name)
{
  for (size_t i = 0; i < call->field_count; i++) {
    if (strcmp(call->fields[i].key, "outline") == 0) {
      call->fields[i].key = "outline-file";
    }
  }
  if (name && call->field_count < CLI_FIELDS) {
    call->fields[call->field_count++] = (lw_field){"name", name};
  }
  return cli_form(call);
}

static lw_status run_add(cli_call *call, lw_error *err)
{
  lw_id id = 0;
  lw_entry entry;
  lw_status s = cli_water_id(&id, call, call->arguments[0], err);
  const lw_form form = zone_form(call, call->arguments[1]);
  s = s == LW_OK ? lw_add_zone(&entry, &call->desk, id, &form, err) : s;
  return s == LW_OK ? cli_print_entry(call, &entry, err) : s;
}

const cli_command cli_zone_add = {
    "zone add", "WATER NAME", "Add a bay, hazard, channel, launch or other zone.", add_options, 2, 2,
    CLI_STORE,  run_add};

static const cli_option set_options[] = {
    SHAPE,
    {"kind", "KIND", "bay, hazard, channel, launch, inlet, spillway, swimming or platform"},
    {"rename", "NAME", "another name"},
    END};

static lw_status find_zone(lw_zone *out, cli_call *call, lw_error *err)
{
  lw_id water = 0;
  lw_status s = cli_water_id(&water, call, call->arguments[0], err);
  return s == LW_OK ? lw_find_zone(out, &call->desk, water, call->arguments[1], err) : s;
}

static lw_status run_set(cli_call *call, lw_error *err)
{
  lw_zone zone;
  lw_entry entry;
  lw_status s = find_zone(&zone, call, err);
  const lw_form form = zone_form(call, NULL);
  s = s == LW_OK ? lw_change_zone(&entry, &call->desk, zone.id, &form, err) : s;
  return s == LW_OK ? cli_print_entry(call, &entry, err) : s;
}

const cli_command cli_zone_set = {"zone set", "WATER NAME", "Change a zone.", set_options, 2,
                                  2,          CLI_STORE,    run_set};

static const cli_option none[] = {END};

static lw_status run_remove(cli_call *call, lw_error *err)
{
  lw_zone zone;
  lw_entry entry;
  lw_status s = find_zone(&zone, call, err);
  s = s == LW_OK ? lw_remove_record(&entry, &call->desk, LW_KIND_ZONE, zone.id, err) : s;
  return s == LW_OK ? cli_print_entry(call, &entry, err) : s;
}

const cli_command cli_zone_remove = {
    "zone remove", "WATER NAME", "Take a zone out (undo brings it back).", none, 2, 2, CLI_STORE, run_remove};

/* ---- the list ---- */

static const char *shape_of(const lw_zone *zone, lw_unit_system units, char out[LW_SHOWN_MAX])
{
  if (zone->area_m2.known) {
    return lw_value_shown(zone->area_m2.value, "m2", units == LW_US ? "acre" : "ha", 3, out);
  }
  return !zone->outline ? "no shape yet" : strstr(zone->outline, "\"Point\"") ? "a place" : "a line";
}

static json_t *zones_json(const lw_zone *zones, size_t count, lw_unit_system units)
{
  json_t *list = json_array();
  for (size_t i = 0; i < count; i++) {
    const lw_zone *z = &zones[i];
    json_t *outline = z->outline ? json_loads(z->outline, 0, NULL) : NULL;
    json_t *o = json_object();
    lw_json_set(o, "id", json_integer((json_int_t)z->id));
    lw_json_set(o, "name", json_string(z->name));
    lw_json_set(o, "kind", json_string(z->kind));
    lw_json_set(o, "area", lw_value_json(z->area_m2, "m2", "acre", "ha", units));
    lw_json_set(o, "outline", outline);
    lw_json_set(o, "note", json_string(z->note));
    (void)json_array_append_new(list, o);
  }
  return json_pack("{s:o}", "zones", list);
}

static void print_zones(lw_text *out, const lw_zone *zones, size_t count, lw_unit_system units)
{
  for (size_t i = 0; i < count; i++) {
    char shown[LW_SHOWN_MAX];
    lw_text_addf(out, "%-24s %-10s %-14s %s\n", zones[i].name, zones[i].kind,
                 shape_of(&zones[i], units, shown), zones[i].note);
  }
  if (count == 0) {
    lw_text_add(out,
                "No zones yet: lakeward zone add WATER \"North arm\" --kind bay --outline arm.geojson\n");
  }
}

static lw_status run_list(cli_call *call, lw_error *err)
{
  lw_id water = 0;
  lw_zone *zones = NULL;
  size_t count = 0;
  lw_unit_system units = LW_US;
  lw_status s = cli_water_id(&water, call, call->arguments[0], err);
  s = s == LW_OK ? lw_desk_units(&units, &call->desk, water, err) : s;
  s = s == LW_OK ? lw_store_list(call->desk.store, LW_KIND_ZONE, water, call->desk.arena, &zones, &count, err)
                 : s;
  if (s != LW_OK || call->json) {
    return s == LW_OK ? cli_print_json(call, zones_json(zones, count, units), err) : s;
  }
  print_zones(call->out, zones, count, units);
  return LW_OK;
}

const cli_command cli_zone_list = {"zone list", "WATER", "The zones of a water.", none, 1, 1,
                                   CLI_STORE,   run_list};
