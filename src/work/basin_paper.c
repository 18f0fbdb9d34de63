/* SPDX-License-Identifier: Apache-2.0 */
#include "work/basin_paper.h"

#include "base/text.h"
#include "draw/lake_map.h"

#include <stdio.h>
#include <string.h>

/* ---- zones ---- */

static lw_status place_line(lw_map_zone *out, const lw_zone *zone, const lw_plane *plane, const lw_desk *desk,
                            lw_error *err)
{
  double *pairs = NULL;
  size_t count = 0;
  lw_status s = lw_line_pairs(&pairs, &count, zone->outline, desk, err);
  lw_spot *spots = LW_NEW(desk->arena, lw_spot, count);
  size_t *starts = LW_NEW(desk->arena, size_t, 2);
  if (s == LW_OK && (!spots || !starts)) {
    s = lw_fail(err, LW_MEMORY, "no memory for a zone");
  }
  s = s == LW_OK && count ? lw_plane_to(spots, pairs, count, plane, err) : s;
  if (s != LW_OK) {
    return s;
  }
  starts[1] = count;
  out->shape = count > 1 ? LW_ZONE_LINE : LW_ZONE_SPOT;
  out->place = (lw_shore){.spots = spots, .ring_start = starts, .ring_count = count > 0, .spot_count = count};
  return LW_OK;
}

/* false for a zone without a place. */
static lw_status place_zone(lw_map_zone *out, bool *placed, const lw_zone *zone, const lw_plane *plane,
                            const lw_desk *desk, lw_error *err)
{
  *out = (lw_map_zone){.name = zone->name, .kind = zone->kind, .shape = LW_ZONE_AREA};
  lw_status s = lw_geometry_has_area(zone->outline)
                    ? lw_plane_shore(&out->place, zone->outline, plane, desk->arena, err)
                    : place_line(out, zone, plane, desk, err);
  *placed = s == LW_OK && out->place.spot_count > 0;
  return s;
}

static lw_status place_zones(lw_lake_map *map, const lw_basin_sheet *sheet, const lw_desk *desk,
                             lw_error *err)
{
  lw_zone *zones = NULL;
  size_t count = 0;
  lw_status s = lw_store_list(desk->store, LW_KIND_ZONE, sheet->water.id, desk->arena, &zones, &count, err);
  if (s != LW_OK) {
    return s;
  }
  lw_map_zone *placed = LW_NEW(desk->arena, lw_map_zone, count);
  if (!placed) {
    return lw_fail(err, LW_MEMORY, "no memory for the zones");
  }
  for (size_t i = 0; s == LW_OK && i < count && map->zone_count < LW_MAP_ZONES; i++) {
    bool has_place = false;
    s = place_zone(&placed[map->zone_count], &has_place, &zones[i], sheet->ground.plane, desk, err);
    map->zone_count += has_place;
  }
  map->zones = placed;
  return s;
}

/* ---- words ---- */

static const char *say_length(double value_m, lw_unit_system units, char out[LW_SHOWN_MAX])
{
  return lw_value_shown(value_m, "m", units == LW_US ? "ft" : "m", 2, out);
}

static const char *area_fact(const lw_basin_sheet *s, lw_arena *arena)
{
  char shown[LW_SHOWN_MAX];
  return lw_arena_format(arena, "Area %s",
                         lw_value_shown(s->pool.area_m2, "m2", s->units == LW_US ? "acre" : "ha", 3, shown));
}

static const char *volume_fact(const lw_basin_sheet *s, lw_arena *arena)
{
  const lw_volume *v = &s->pool.volume;
  double unit_m3 = s->units == LW_US ? 1233.48183754752 : 1; /* 43,560 international cubic feet */
  char value[LW_SHOWN_MAX];
  char low[LW_NUMBER_MAX];
  char high[LW_NUMBER_MAX];
  return lw_arena_format(arena, "Volume %s (9 in 10: %s to %s)",
                         lw_value_shown(v->value_m3, "m3", s->units == LW_US ? "acre-ft" : "m3", 3, value),
                         lw_rounded_text(v->low_m3 / unit_m3, 3, low),
                         lw_rounded_text(v->high_m3 / unit_m3, 3, high));
}

static const char *depth_fact(const lw_basin_sheet *s, lw_arena *arena)
{
  char mean[LW_SHOWN_MAX];
  char most[LW_SHOWN_MAX];
  return lw_arena_format(arena, "Mean depth %s, deepest %s", say_length(s->pool.mean_depth_m, s->units, mean),
                         say_length(s->pool.max_depth_m, s->units, most));
}

static const char *level_words(const lw_basin_sheet *s, double down_m, lw_arena *arena)
{
  char shown[LW_SHOWN_MAX];
  return down_m > 0 ? lw_arena_format(arena, "the pool %s below full", say_length(down_m, s->units, shown))
                    : "the pool full";
}

static lw_status write_words(lw_lake_map *map, const lw_basin_paper *paper, const lw_desk *desk,
                             lw_error *err)
{
  enum { FACTS = 3 };
  const lw_basin_sheet *s = paper->sheet;
  char day[LW_DATE_TEXT];
  const char **facts = LW_NEW(desk->arena, const char *, FACTS);
  if (!facts) {
    return lw_fail(err, LW_MEMORY, "no memory for the map");
  }
  facts[0] = area_fact(s, desk->arena);
  facts[1] = volume_fact(s, desk->arena);
  facts[2] = depth_fact(s, desk->arena);
  map->facts = facts;
  map->fact_count = FACTS;
  map->level = level_words(s, paper->down_m, desk->arena);
  map->date = lw_arena_copy(desk->arena, lw_date_words(desk->today, true, day));
  map->sources = lw_arena_copy_n(desk->arena, s->bed.basin.how, strnlen(s->bed.basin.how, LW_MAP_TEXT_MOST));
  bool whole = map->level && map->date && map->sources;
  for (size_t i = 0; i < FACTS; i++) {
    whole = whole && facts[i];
  }
  return whole ? LW_OK : lw_fail(err, LW_MEMORY, "no memory for the map");
}

static lw_status choose_paper(lw_paper *out, const char *name, lw_unit_system units, lw_error *err)
{
  *out = units == LW_US ? LW_PAPER_LETTER : LW_PAPER_A4;
  if (!name) {
    return LW_OK;
  }
  *out = lw_same_word(name, "a4") ? LW_PAPER_A4 : LW_PAPER_LETTER;
  return lw_same_word(name, "a4") || lw_same_word(name, "letter")
             ? LW_OK
             : lw_fail(err, LW_INVALID, "paper: '%.40s' is neither letter nor a4", name);
}

lw_status lw_basin_paper_draw(lw_picture *out, const lw_basin_paper *paper, const lw_desk *desk,
                              lw_error *err)
{
  const lw_basin_sheet *s = paper->sheet;
  lw_contour *contours = NULL;
  lw_lake_map map = {.name = s->water.name,
                     .map = &s->bed.basin.map,
                     .shore = s->ground.shore,
                     .down_m = paper->down_m,
                     .units = s->units,
                     .made_at = desk->now};
  const lw_basin_lines lines = {
      .interval_m = paper->interval_m, .down_m = paper->down_m, .waterline = paper->down_m > 0};
  lw_status status = choose_paper(&map.paper, paper->paper, s->units, err);
  status = status == LW_OK ? write_words(&map, paper, desk, err) : status;
  status = status == LW_OK ? place_zones(&map, s, desk, err) : status;
  status = status == LW_OK ? lw_basin_contours(&contours, &map.contour_count, s, &lines, desk, err) : status;
  map.contours = contours;
  return status == LW_OK ? lw_lake_map_draw(out, &map, paper->format, desk->arena, err) : status;
}
