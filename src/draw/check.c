/* SPDX-License-Identifier: Apache-2.0 */
#include "draw/check.h"

#include "base/text.h"
#include "draw/zone_marks.h"

#include <math.h>
#include <string.h>

static const double farthest_m = 1e6;
static const double down_most_m = 100;

static lw_status check_text(const char *field, const char *text, lw_error *err)
{
  size_t length = text ? strlen(text) : 0;
  if (!text || length > LW_MAP_TEXT_MOST) {
    return lw_fail(err, text ? LW_LIMIT : LW_INVALID,
                   "%s of the map should be text of at most %d bytes, not %zu", field, LW_MAP_TEXT_MOST,
                   length);
  }
  return lw_text_is_clean(text, length) && !strpbrk(text, "\t\n")
             ? LW_OK
             : lw_fail(err, LW_INVALID, "%s of the map is not clean UTF-8 text in one line; write it anew",
                       field);
}

static lw_status check_words(const lw_lake_map *map, lw_error *err)
{
  lw_status status = check_text("the name", map->name, err);
  status = status == LW_OK ? check_text("the date", map->date, err) : status;
  status = status == LW_OK ? check_text("the level", map->level, err) : status;
  if (status == LW_OK && map->sources) {
    status = check_text("the sources line", map->sources, err);
  }
  if (status == LW_OK && map->fact_count > LW_MAP_FACTS) {
    status = lw_fail(err, LW_LIMIT, "the map has room for %d lines of facts, not %zu", LW_MAP_FACTS,
                     map->fact_count);
  }
  for (size_t i = 0; status == LW_OK && i < map->fact_count; i++) {
    status = check_text("a line of facts", map->facts[i], err);
  }
  return status;
}

static lw_status check_spots(const char *what, const lw_spot *spots, size_t count, size_t *total,
                             lw_error *err)
{
  if (count > LW_MAP_SPOTS_MOST || *total > LW_MAP_SPOTS_MOST - count) {
    return lw_fail(err, LW_LIMIT,
                   "the map has more than %d spots; simplify the outline or use fewer contours",
                   LW_MAP_SPOTS_MOST);
  }
  *total += count;
  for (size_t i = 0; i < count; i++) {
    if (!(fabs(spots[i].x_m) <= farthest_m && fabs(spots[i].y_m) <= farthest_m)) {
      return lw_fail(err, LW_INVALID, "spot %zu of %s lies at (%g, %g) m; expected within %g km of the water",
                     i + 1, what, spots[i].x_m, spots[i].y_m, farthest_m / 1000);
    }
  }
  return LW_OK;
}

static lw_status check_parts(const char *what, const lw_shore *parts, size_t least, size_t *total,
                             lw_error *err)
{
  for (size_t r = 0; r < parts->ring_count; r++) {
    size_t from = parts->ring_start[r], to = parts->ring_start[r + 1];
    if (to < from || to - from < least || to > parts->spot_count) {
      return lw_fail(err, LW_INVALID, "part %zu of %s should have at least %zu spots", r + 1, what, least);
    }
  }
  return check_spots(what, parts->spots, parts->spot_count, total, err);
}

static lw_status check_zones(const lw_lake_map *map, size_t *total, lw_error *err)
{
  static const size_t least[] = {[LW_ZONE_AREA] = 3, [LW_ZONE_LINE] = 2, [LW_ZONE_SPOT] = 1};
  if (map->zone_count > LW_MAP_ZONES) {
    return lw_fail(err, LW_LIMIT, "the map has room for %d zones, not %zu", LW_MAP_ZONES, map->zone_count);
  }
  for (size_t i = 0; i < map->zone_count; i++) {
    const lw_map_zone *zone = &map->zones[i];
    lw_status status = check_text("a zone's name", zone->name, err);
    if (status == LW_OK && !lw_zone_kind_known(zone->kind)) {
      status = lw_fail(err, LW_INVALID,
                       "'%.40s' is no kind of zone; expected bay, hazard, channel, launch, inlet, "
                       "spillway, swimming or platform",
                       zone->kind ? zone->kind : "");
    }
    if (status == LW_OK && zone->place.ring_count == 0) {
      status = lw_fail(err, LW_INVALID, "the zone '%.80s' has no place", zone->name);
    }
    status = status == LW_OK ? check_parts("a zone", &zone->place, least[zone->shape], total, err) : status;
    if (status != LW_OK) {
      return status;
    }
  }
  return LW_OK;
}

static lw_status check_contours(const lw_lake_map *map, size_t *total, lw_error *err)
{
  for (size_t k = 0; k < map->contour_count; k++) {
    const lw_contour *line = &map->contours[k];
    if (k >= LW_CONTOURS_MOST || !isfinite(line->depth_m) ||
        (k > 0 && line->depth_m <= map->contours[k - 1].depth_m)) {
      return lw_fail(err, LW_INVALID, "contour %zu at %g m: depths should grow, at most %d of them", k + 1,
                     line->depth_m, LW_CONTOURS_MOST);
    }
    for (size_t r = 0; r < line->ring_count; r++) {
      lw_status status = check_spots("a contour", line->rings[r].spots, line->rings[r].count, total, err);
      if (status != LW_OK) {
        return status;
      }
    }
  }
  return LW_OK;
}

static lw_status check_frame(const lw_lake_map *map, lw_error *err)
{
  const lw_frame *f = map->map ? &map->map->frame : NULL;
  bool sound = f && f->nx >= 2 && f->ny >= 2 && f->nx <= LW_MAP_SPOTS_MOST / f->ny && f->step_m > 0 &&
               isfinite(f->step_m) && isfinite(f->x0_m) && isfinite(f->y0_m) && map->map->depth_m &&
               map->map->cover;
  if (!sound) {
    return lw_fail(err, LW_INVALID, "the depth map should have 2 to %d nodes and a step above 0",
                   LW_MAP_SPOTS_MOST);
  }
  if (!(map->down_m >= 0 && map->down_m <= down_most_m)) {
    return lw_fail(err, LW_INVALID, "the pool is %g m below full; expected 0 to %g m", map->down_m,
                   down_most_m);
  }
  return LW_OK;
}

lw_status lw_lake_map_check(const lw_lake_map *map, lw_error *err)
{
  size_t total = 0;
  lw_status status = check_words(map, err);
  status = status == LW_OK ? check_frame(map, err) : status;
  if (status == LW_OK && map->shore.ring_count == 0) {
    status = lw_fail(err, LW_INVALID, "the water has no outline; a map needs one");
  }
  status = status == LW_OK ? check_parts("the outline", &map->shore, 3, &total, err) : status;
  status = status == LW_OK ? check_contours(map, &total, err) : status;
  return status == LW_OK ? check_zones(map, &total, err) : status;
}
