/* SPDX-License-Identifier: Apache-2.0 */
#include "work/basin.h"

#include "work/basin_parts.h"
#include "work/write.h"

#include <string.h>

const char lw_basin_caution[] =
    "Not for navigation. Stumps, timber and fresh shoals may not be on the map, and where nobody sounded the "
    "depth is an estimate. Go slowly, wear a life jacket, and check the depth before you dive, dock or drop "
    "a "
    "load.";

const char *lw_basin_way_id(lw_basin_way way)
{
  static const char *const ids[] = {"sounded", "few-depths", "told-max", "told-mean"};
  return ids[way];
}

static lw_status find_water(lw_basin_sheet *out, const lw_desk *desk, const char *name, lw_id id,
                            lw_error *err)
{
  lw_status s = name ? lw_store_find_water(desk->store, name, desk->arena, &out->water, err)
                     : lw_store_get(desk->store, LW_KIND_WATER, id, desk->arena, &out->water, err);
  return s == LW_OK ? lw_desk_units(&out->units, desk, out->water.id, err) : s;
}

lw_status lw_work_basin_map(lw_basin_sheet *out, const lw_desk *desk, const char *name, lw_id id,
                            const lw_basin_options *options, lw_error *err)
{
  memset(out, 0, sizeof *out);
  lw_status s = find_water(out, desk, name, id, err);
  s = s == LW_OK ? lw_ground_open(&out->ground, &out->water, desk, err) : s;
  s = s == LW_OK ? lw_bed_find(&out->bed, &out->water, &out->ground, options->step_m, desk, err) : s;
  s = s == LW_OK ? lw_store_list(desk->store, LW_KIND_SURVEY, out->water.id, desk->arena, &out->surveys,
                                 &out->survey_count, err)
                 : s;
  return s == LW_OK ? lw_basin_pool(&out->pool, &out->bed.basin, options->level_m, err) : s;
}

void lw_basin_close(lw_basin_sheet *sheet)
{
  lw_plane_close(sheet->ground.plane);
  sheet->ground.plane = NULL;
}

static lw_status find_shoreline(lw_basin_sheet *out, lw_error *err)
{
  double length = lw_shore_length_m(&out->ground.shore);
  out->shoreline_m = lw_or(out->water.outline_perimeter_m, length);
  return lw_shore_development(&out->shoreline_development, lw_shore_area_m2(&out->ground.shore), length, err);
}

static lw_status measure_zones(lw_basin_sheet *out, const lw_desk *desk, lw_error *err)
{
  lw_zone *zones = NULL;
  size_t count = 0;
  lw_status s = lw_store_list(desk->store, LW_KIND_ZONE, out->water.id, desk->arena, &zones, &count, err);
  if (s != LW_OK) {
    return s;
  }
  out->zones = LW_NEW(desk->arena, lw_basin_zone, count);
  if (!out->zones) {
    return lw_fail(err, LW_MEMORY, "no memory for the zones");
  }
  for (; s == LW_OK && out->zone_count < count; out->zone_count++) {
    out->zones[out->zone_count].zone = zones[out->zone_count];
    s = lw_basin_measure_zone(&out->zones[out->zone_count], out, desk->arena, err);
  }
  return s;
}

/* The newest level read, however old: its day is shown with it. */
static lw_status measure_today(lw_basin_sheet *out, const lw_desk *desk, lw_error *err)
{
  lw_reading *readings = NULL;
  const lw_reading *newest = NULL;
  size_t count = 0;
  lw_status s =
      lw_store_list(desk->store, LW_KIND_READING, out->water.id, desk->arena, &readings, &count, err);
  for (size_t i = 0; s == LW_OK && i < count; i++) {
    const lw_reading *r = &readings[i];
    if (r->day <= desk->today && strcmp(r->quantity, lw_quantities[LW_LEVEL].name) == 0 &&
        (!newest || r->day >= newest->day)) {
      newest = r;
    }
  }
  if (s != LW_OK || !newest) {
    return s;
  }
  out->today_known = true;
  out->today_day = newest->day;
  return lw_basin_pool(&out->today, &out->bed.basin, newest->value, err);
}

static lw_status measure_place(lw_basin_sheet *out, const lw_basin_options *options, lw_error *err)
{
  if (!options->latitude.known) {
    return LW_OK;
  }
  const double pair[2] = {options->longitude.value, options->latitude.value};
  double error = 0;
  lw_spot spot;
  lw_status s = lw_plane_to(&spot, pair, 1, out->ground.plane, err);
  s = s == LW_OK ? lw_map_depth_at(&out->at_depth_m, &error, &out->bed.basin.map, spot, err) : s;
  if (s == LW_NOT_FOUND) {
    return lw_fail(err, s, "at: %.6f,%.6f is not on %s; latitude comes first", pair[1], pair[0],
                   out->water.name);
  }
  if (s != LW_OK) {
    return s;
  }
  double depth = out->at_depth_m + out->pool.level_m;
  out->at_asked = true;
  out->at_latitude = pair[1];
  out->at_longitude = pair[0];
  out->at_depth_m = depth > 0 ? depth : 0;
  out->at_error_m = error == error ? lw_known(error) : (lw_maybe){.known = false};
  return LW_OK;
}

static lw_status measure_layers(lw_basin_sheet *out, const lw_basin_options *options, lw_error *err)
{
  const lw_depth_map *map = &out->bed.basin.map;
  double down = -out->pool.level_m;
  bool wet = out->pool.area_m2 > 0;
  lw_status s = LW_OK;
  out->thermocline_m = options->thermocline_m;
  out->shallower_m = options->shallower_m;
  if (out->thermocline_m.known && wet) {
    s = lw_map_layers(&out->above_m3, &out->below_m3, map, down, out->thermocline_m.value, err);
  }
  if (s == LW_OK && out->shallower_m.known && wet) {
    s = lw_map_shallower(&out->shallower_share, map, down, &out->shallower_m.value, 1, err);
  }
  return s;
}

lw_status lw_work_basin(lw_basin_sheet *out, const lw_desk *desk, const char *name, lw_id id,
                        const lw_basin_options *options, lw_error *err)
{
  lw_status s = lw_work_basin_map(out, desk, name, id, options, err);
  s = s == LW_OK ? find_shoreline(out, err) : s;
  s = s == LW_OK ? lw_basin_curve(out, desk->arena, err) : s;
  s = s == LW_OK ? lw_basin_shares(out, desk->arena, err) : s;
  s = s == LW_OK ? measure_zones(out, desk, err) : s;
  s = s == LW_OK ? measure_today(out, desk, err) : s;
  s = s == LW_OK ? measure_place(out, options, err) : s;
  return s == LW_OK ? measure_layers(out, options, err) : s;
}

size_t lw_basin_methods(lw_basin_method out[LW_BASIN_METHODS], const lw_basin_sheet *sheet)
{
  const lw_basin *basin = &sheet->bed.basin;
  size_t n = 0;
  bool sounded = basin->way == LW_BASIN_SOUNDED || basin->way == LW_BASIN_FEW;
  if (sounded) {
    out[n++] = (lw_basin_method){"soundings set aside: running median and its deviation",
                                 "Hampel 1974, J. Am. Stat. Assoc. 69:383"};
    out[n++] = (lw_basin_method){"depth map: minimum-curvature spline in tension",
                                 "Briggs 1974, Geophysics 39:39; Smith & Wessel 1990, Geophysics 55:293"};
  }
  if (basin->cross_validated) {
    out[n++] = (lw_basin_method){"cross-validation with whole track lines left out",
                                 "Roberts et al. 2017, Ecography 40 (8): blocks, not single points"};
  }
  if (sounded) {
    out[n++] = (lw_basin_method){"error map and 90 % interval of the volume",
                                 "Wahba 1983, J. R. Stat. Soc. B 45:133; Papandreou & Yuille 2010, NIPS 23"};
  } else {
    out[n++] = (lw_basin_method){"volume from the depth told: a usual pond's shape",
                                 "USDA Agriculture Handbook 590 (1997): mean depth 0.4 of the greatest; its "
                                 "range is common practice, no source"};
  }
  out[n++] = (lw_basin_method){"shoreline development, hypsograph",
                               "Hutchinson 1957, A Treatise on Limnology I; Wetzel & Likens, Limnological "
                               "Analyses"};
  if (sheet->zone_count) {
    out[n++] = (lw_basin_method){"interval of a zone's volume: from the error map and that of the whole",
                                 "computed; no published source"};
  }
  return n;
}
