/* SPDX-License-Identifier: Apache-2.0 */
#include "work/basin_facts.h"
#include "work/basin_parts.h"

#include "work/surveys.h"

#include <string.h>

enum { SEED = 20260408 }; /* any number: the same one always, so that the same records give the same map */

/* Memory for one reckoning: a million soundings and a grid of a million nodes take about half a GiB. */
#define ROOM ((size_t)3 << 30)

lw_status lw_bed_sources_read(lw_bed_sources *out, const lw_water *water, const lw_desk *desk, lw_error *err)
{
  lw_survey *surveys = NULL;
  lw_zone *zones = NULL;
  *out = (lw_bed_sources){.water = water};
  lw_status s =
      lw_store_list(desk->store, LW_KIND_SURVEY, water->id, desk->arena, &surveys, &out->survey_count, err);
  s = s == LW_OK
          ? lw_store_list(desk->store, LW_KIND_ZONE, water->id, desk->arena, &zones, &out->zone_count, err)
          : s;
  out->surveys = surveys;
  out->zones = zones;
  return s;
}

/* ---- what goes in ---- */

static lw_status read_channel(lw_channel *out, const lw_zone *zone, const lw_plane *plane,
                              const lw_desk *desk, lw_error *err)
{
  double *pairs = NULL;
  size_t count = 0;
  lw_status s = lw_line_pairs(&pairs, &count, zone->outline, desk, err);
  *out = (lw_channel){.count = 0};
  if (s != LW_OK || count < 2) {
    return s;
  }
  lw_spot *spots = LW_NEW(desk->arena, lw_spot, count);
  if (!spots) {
    return lw_fail(err, LW_MEMORY, "no memory for the channel '%s'", zone->name);
  }
  s = lw_plane_to(spots, pairs, count, plane, err);
  *out = (lw_channel){.spots = spots, .count = count};
  return s;
}

static lw_status read_channels(lw_basin_input *out, const lw_bed_sources *sources, const lw_plane *plane,
                               const lw_desk *desk, lw_error *err)
{
  lw_channel *channels = LW_NEW(desk->arena, lw_channel, sources->zone_count);
  lw_status s = channels ? LW_OK : lw_fail(err, LW_MEMORY, "no memory for the channels");
  for (size_t i = 0; s == LW_OK && i < sources->zone_count; i++) {
    if (lw_is_channel(&sources->zones[i])) {
      s = read_channel(&channels[out->channel_count], &sources->zones[i], plane, desk, err);
      out->channel_count += s == LW_OK && channels[out->channel_count].count >= 2;
    }
  }
  out->channels = channels;
  return s;
}

static lw_status nothing_to_go_by(const lw_water *water, lw_error *err)
{
  return lw_fail(
      err, LW_INVALID,
      "%s has neither soundings nor a depth: import a log with 'survey import \"%s\" FILE', add "
      "depths read with a rope with 'sounding add \"%s\" LAT,LON DEPTH', or tell the greatest depth "
      "with 'water set \"%s\" --max-depth \"12 ft\"'",
      water->name, water->name, water->name, water->name);
}

static lw_status count_flaws(lw_bed *out, const lw_work_soundings_set *set, const lw_desk *desk,
                             lw_error *err)
{
  out->surveys = LW_NEW(desk->arena, lw_survey_tally, set->survey_count);
  if (!out->surveys) {
    return lw_fail(err, LW_MEMORY, "no memory for the surveys");
  }
  out->survey_count = set->survey_count;
  for (size_t i = 0; i < set->survey_count; i++) {
    out->surveys[i].id = set->surveys[i].id;
  }
  for (size_t i = 0; i < set->count; i++) {
    const lw_sounding *sounding = &set->soundings[i];
    out->surveys[sounding->survey].flaws[sounding->flaw]++;
  }
  out->residual_count = set->count;
  return LW_OK;
}

bool lw_fault_of_water(lw_status s)
{
  return s != LW_OK && s != LW_MEMORY && s != LW_IO && s != LW_BUSY;
}

/* Says of which water and what to do; what the reckoning itself calls a defect is, to the owner, a set of
 * soundings that gives no map. */
static lw_status explain(lw_status s, const lw_water *water, lw_error *err)
{
  if (!lw_fault_of_water(s) || !err) {
    return s;
  }
  const lw_error cause = *err;
  return lw_fail(
      err, s == LW_INTERNAL ? LW_INVALID : s,
      "%s: no depth map can be made: %.300s; look at 'survey removed \"%s\"', and leave a doubtful "
      "survey out with 'survey set \"%s\" NAME --use no'",
      water->name, cause.message, water->name, water->name);
}

static lw_status reckon(lw_bed *out, const lw_bed_sources *sources, const lw_ground *ground, double step_m,
                        const lw_desk *desk, lw_error *err)
{
  lw_work_soundings_set set = {.count = 0};
  lw_basin_input input = {.shore = ground->shore,
                          .max_depth_m = sources->water->max_depth_m,
                          .mean_depth_m = sources->water->mean_depth_m,
                          .step_m = step_m,
                          .seed = SEED};
  bool sounded = lw_surveys_used(sources) > 0;
  if (!sounded && !input.max_depth_m.known && !input.mean_depth_m.known) {
    return nothing_to_go_by(sources->water, err);
  }
  lw_status s = read_channels(&input, sources, ground->plane, desk, err);
  if (s == LW_OK && sounded) {
    s = lw_work_soundings(&set, desk, sources->water, ground->plane, &ground->shore, err);
  }
  s = s == LW_OK ? count_flaws(out, &set, desk, err) : s;
  input.soundings = set.soundings;
  input.sounding_count = set.count;
  s = s == LW_OK ? lw_basin_reckon(&out->basin, &input, desk->arena, err) : s;
  return sounded && (step_m <= 0 || s != LW_LIMIT) ? explain(s, sources->water, err) : s;
}

/* ---- the cache ---- */

/* A fault of the cache is no fault of the caller: what is not kept is reckoned. */
static bool from_cache(lw_bed *out, const char *key, const lw_desk *desk)
{
  const void *blob = NULL;
  size_t length = 0;
  return lw_store_cache_get(desk->store, key, desk->arena, &blob, &length, NULL) == LW_OK && blob &&
         lw_bed_unpack(out, blob, length, desk->arena, NULL) == LW_OK;
}

/* Reckoned in memory of its own, which is given back: the map alone stays, in the desk's arena. It goes
 * there by way of the bytes that are kept, so that a map is the same whether it was kept or not. */
static lw_status make(lw_bed *out, const char *key, const lw_bed_sources *sources, const lw_ground *ground,
                      double step_m, const lw_desk *desk, lw_error *err)
{
  lw_desk mine = *desk;
  lw_bed *bed = NULL;
  void *blob = NULL;
  size_t length = 0;
  mine.arena = lw_arena_new(ROOM);
  bed = mine.arena ? LW_NEW(mine.arena, lw_bed, 1) : NULL;
  lw_status s = bed ? reckon(bed, sources, ground, step_m, &mine, err)
                    : lw_fail(err, LW_MEMORY, "no memory for the depth map");
  s = s == LW_OK ? lw_bed_pack(&blob, &length, bed, mine.arena, err) : s;
  s = s == LW_OK ? lw_bed_unpack(out, blob, length, desk->arena, err) : s;
  if (s == LW_OK && lw_store_cache_put(desk->store, key, blob, length, NULL) == LW_OK) {
    lw_facts_refresh(&mine);
  } /* else busy or read-only: the next one reckons again */
  lw_arena_free(mine.arena);
  return s;
}

lw_status lw_bed_take(lw_bed *out, const char *key, const lw_bed_sources *sources, lw_ground *ground,
                      double step_m, const lw_desk *desk, lw_error *err)
{
  if (from_cache(out, key, desk)) {
    return LW_OK;
  }
  lw_status s = ground->plane ? LW_OK : lw_ground_open(ground, sources->water, desk, err);
  return s == LW_OK ? make(out, key, sources, ground, step_m, desk, err) : s;
}

lw_status lw_bed_find(lw_bed *out, const lw_water *water, const lw_ground *ground, double step_m,
                      const lw_desk *desk, lw_error *err)
{
  char key[LW_BED_KEY];
  lw_bed_sources sources;
  lw_ground open = *ground;
  lw_status s = lw_bed_sources_read(&sources, water, desk, err);
  s = s == LW_OK ? lw_bed_key(key, &sources, step_m, desk, err) : s;
  return s == LW_OK ? lw_bed_take(out, key, &sources, &open, step_m, desk, err) : s;
}
