/* SPDX-License-Identifier: Apache-2.0 */
/* The shape of a water as JSON: figures and tables. The map itself is in json_basin_map.c. */
#include "work/basin.h"
#include "work/json.h"

#include <math.h>

json_t *lw_basin_q_json(double value, const char *unit, const char *shown_unit, int digits)
{
  char shown[LW_SHOWN_MAX];
  value = value == 0 ? 0 : value; /* -0 is 0 */
  return json_pack("{s:f,s:s,s:s}", "value", value, "unit", unit, "shown",
                   lw_value_shown(value, unit, shown_unit, digits, shown));
}

/* "8.2 ft", "12.4 ft": a tenth is what a sounder or a rope can tell. */
json_t *lw_basin_length_json(double value_m, lw_unit_system units)
{
  double shown = units == LW_US ? value_m / 0.3048 : value_m;
  return lw_basin_q_json(value_m, "m", units == LW_US ? "ft" : "m", fabs(shown) >= 10 ? 3 : 2);
}

static json_t *long_json(double value_m, lw_unit_system units)
{
  return lw_basin_q_json(value_m, "m", units == LW_US ? "ft" : "m", 3);
}

static json_t *area_json(double value_m2, lw_unit_system units)
{
  return lw_basin_q_json(value_m2, "m2", units == LW_US ? "acre" : "ha", 3);
}

static json_t *plain_volume_json(double value_m3, lw_unit_system units)
{
  return lw_basin_q_json(value_m3, "m3", units == LW_US ? "acre-ft" : "m3", 3);
}

static json_t *volume_json(const lw_volume *volume, lw_unit_system units)
{
  json_t *o = plain_volume_json(volume->value_m3, units);
  lw_json_set(o, "low", json_real(volume->low_m3));
  lw_json_set(o, "high", json_real(volume->high_m3));
  return o;
}

static json_t *number_json(double value)
{
  return json_pack("{s:f,s:s}", "value", value, "unit", "1");
}

static json_t *count_json(size_t value)
{
  return json_pack("{s:I,s:s}", "value", (json_int_t)value, "unit", "1");
}

static json_t *max_depth_json(const lw_pool *pool, lw_unit_system units)
{
  json_t *o = lw_basin_length_json(pool->max_depth_m, units);
  lw_json_set(o, "low", json_real(pool->max_low_m));
  lw_json_set(o, "high", json_real(pool->max_high_m));
  return o;
}

static json_t *cross_validation_json(const lw_basin *basin, lw_unit_system units)
{
  if (!basin->cross_validated) {
    return json_null();
  }
  json_t *o = json_object();
  lw_json_set(o, "rmse", lw_basin_length_json(basin->rmse_m, units));
  lw_json_set(o, "bias", lw_basin_length_json(basin->bias_m, units));
  lw_json_set(o, "folds", count_json(basin->folds));
  lw_json_set(o, "soundings", count_json(basin->used));
  return o;
}

static json_t *curve_json(const lw_basin_sheet *sheet)
{
  json_t *list = json_array();
  for (size_t i = 0; i < sheet->curve_count; i++) {
    const lw_pool *row = &sheet->curve[i];
    json_t *o = json_object();
    lw_json_set(o, "level", lw_basin_length_json(row->level_m, sheet->units));
    lw_json_set(o, "area", area_json(row->area_m2, sheet->units));
    lw_json_set(o, "volume", volume_json(&row->volume, sheet->units));
    (void)json_array_append_new(list, o);
  }
  return list;
}

static json_t *hypsograph_json(const lw_basin_sheet *sheet)
{
  json_t *list = json_array();
  for (size_t i = 0; i < sheet->share_count; i++) {
    json_t *o = json_object();
    lw_json_set(o, "depth", lw_basin_length_json(sheet->shares[i].depth_m, sheet->units));
    lw_json_set(o, "share_shallower", number_json(sheet->shares[i].share));
    (void)json_array_append_new(list, o);
  }
  return list;
}

static json_t *zones_json(const lw_basin_sheet *sheet)
{
  json_t *list = json_array();
  for (size_t i = 0; i < sheet->zone_count; i++) {
    const lw_basin_zone *z = &sheet->zones[i];
    bool m = z->measured;
    json_t *o = json_object();
    lw_json_set(o, "id", json_integer((json_int_t)z->zone.id));
    lw_json_set(o, "name", json_string(z->zone.name));
    lw_json_set(o, "kind", json_string(z->zone.kind));
    lw_json_set(o, "area", m ? area_json(z->area_m2, sheet->units) : NULL);
    lw_json_set(o, "volume", m ? volume_json(&z->volume, sheet->units) : NULL);
    lw_json_set(o, "mean_depth", m ? lw_basin_length_json(z->mean_depth_m, sheet->units) : NULL);
    (void)json_array_append_new(list, o);
  }
  return list;
}

static json_t *today_json(const lw_basin_sheet *sheet)
{
  if (!sheet->today_known) {
    return json_null();
  }
  json_t *o = json_object();
  lw_json_set(o, "level", lw_basin_length_json(sheet->today.level_m, sheet->units));
  lw_json_set(o, "date", lw_day_json(sheet->today_day));
  lw_json_set(o, "area", area_json(sheet->today.area_m2, sheet->units));
  lw_json_set(o, "volume", volume_json(&sheet->today.volume, sheet->units));
  lw_json_set(o, "mean_depth", lw_basin_length_json(sheet->today.mean_depth_m, sheet->units));
  return o;
}

static json_t *at_json(const lw_basin_sheet *sheet)
{
  if (!sheet->at_asked) {
    return json_null();
  }
  json_t *o = json_object();
  lw_json_set(o, "latitude", json_real(sheet->at_latitude));
  lw_json_set(o, "longitude", json_real(sheet->at_longitude));
  lw_json_set(o, "depth", lw_basin_length_json(sheet->at_depth_m, sheet->units));
  lw_json_set(o, "error",
              sheet->at_error_m.known ? lw_basin_length_json(sheet->at_error_m.value, sheet->units) : NULL);
  return o;
}

static json_t *thermocline_json(const lw_basin_sheet *sheet)
{
  if (!sheet->thermocline_m.known) {
    return json_null();
  }
  json_t *o = json_object();
  lw_json_set(o, "depth", lw_basin_length_json(sheet->thermocline_m.value, sheet->units));
  lw_json_set(o, "above", plain_volume_json(sheet->above_m3, sheet->units));
  lw_json_set(o, "below", plain_volume_json(sheet->below_m3, sheet->units));
  return o;
}

static json_t *shallower_json(const lw_basin_sheet *sheet)
{
  if (!sheet->shallower_m.known) {
    return json_null();
  }
  json_t *o = json_object();
  lw_json_set(o, "depth", lw_basin_length_json(sheet->shallower_m.value, sheet->units));
  lw_json_set(o, "share", number_json(sheet->shallower_share));
  lw_json_set(o, "area", area_json(sheet->shallower_share * sheet->pool.area_m2, sheet->units));
  return o;
}

static json_t *methods_json(const lw_basin_sheet *sheet)
{
  lw_basin_method methods[LW_BASIN_METHODS];
  size_t n = lw_basin_methods(methods, sheet);
  json_t *list = json_array();
  for (size_t i = 0; i < n; i++) {
    (void)json_array_append_new(list,
                                json_pack("{s:s,s:s}", "name", methods[i].name, "source", methods[i].source));
  }
  return list;
}

static void set_figures(json_t *o, const lw_basin_sheet *sheet)
{
  lw_unit_system u = sheet->units;
  const lw_pool *pool = &sheet->pool;
  lw_json_set(o, "water", json_string(sheet->water.name));
  lw_json_set(o, "id", json_integer((json_int_t)sheet->water.id));
  lw_json_set(o, "way", json_string(lw_basin_way_id(sheet->bed.basin.way)));
  lw_json_set(o, "how", json_string(sheet->bed.basin.how));
  lw_json_set(o, "level", lw_basin_length_json(pool->level_m, u));
  lw_json_set(o, "full_pool", json_boolean(pool->level_m == 0));
  lw_json_set(o, "area", area_json(pool->area_m2, u));
  lw_json_set(o, "volume", volume_json(&pool->volume, u));
  lw_json_set(o, "mean_depth", lw_basin_length_json(pool->mean_depth_m, u));
  lw_json_set(o, "max_depth", max_depth_json(pool, u));
  lw_json_set(o, "cross_validation", cross_validation_json(&sheet->bed.basin, u));
  lw_json_set(o, "shoreline", long_json(sheet->shoreline_m, u));
  lw_json_set(o, "shoreline_development", number_json(sheet->shoreline_development));
  lw_json_set(o, "step", lw_basin_length_json(sheet->bed.basin.map.frame.step_m, u));
}

json_t *lw_basin_json(const lw_basin_sheet *sheet)
{
  json_t *o = json_object();
  set_figures(o, sheet);
  lw_json_set(o, "curve", curve_json(sheet));
  lw_json_set(o, "hypsograph", hypsograph_json(sheet));
  lw_json_set(o, "zones", zones_json(sheet));
  lw_json_set(o, "today", today_json(sheet));
  lw_json_set(o, "surveys", lw_basin_surveys_json(sheet));
  lw_json_set(o, "at", at_json(sheet));
  lw_json_set(o, "thermocline", thermocline_json(sheet));
  lw_json_set(o, "shallower", shallower_json(sheet));
  lw_json_set(o, "methods", methods_json(sheet));
  lw_json_set(o, "caution", json_string(lw_basin_caution));
  return o;
}
