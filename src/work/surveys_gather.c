/* SPDX-License-Identifier: Apache-2.0 */
/* From the texts of surveys to soundings in the plane: placed, reduced to full pool, marked by their
 * owner, held against the outline and each other, and split into lines. */
#include "work/surveys_parts.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static lw_status no_memory(lw_error *err)
{
  return lw_fail(err, LW_MEMORY, "no memory for the soundings of this water");
}

static int by_day(const void *a, const void *b)
{
  const lw_survey *x = a;
  const lw_survey *y = b;
  int order = (x->day > y->day) - (x->day < y->day);
  return order ? order : (x->id > y->id) - (x->id < y->id);
}

lw_status lw_surveys_read(lw_survey **out, size_t *out_count, const lw_desk *desk, lw_id water, lw_error *err)
{
  lw_status s = lw_store_list(desk->store, LW_KIND_SURVEY, water, desk->arena, out, out_count, err);
  if (s == LW_OK && *out_count > 1) {
    qsort(*out, *out_count, sizeof **out, by_day);
  }
  return s;
}

/* ---- one survey ---- */

lw_status lw_soundings_place(lw_sounding *out, const lw_fix *fixes, size_t count, const lw_survey *record,
                             int32_t survey, const lw_plane *plane, lw_arena *scratch, lw_error *err)
{
  double *lon_lat = lw_arena_alloc(scratch, count, 2 * sizeof *lon_lat);
  lw_spot *spots = LW_NEW(scratch, lw_spot, count);
  if (!lon_lat || !spots) {
    return no_memory(err);
  }
  for (size_t i = 0; i < count; i++) {
    lon_lat[2 * i] = fixes[i].longitude;
    lon_lat[2 * i + 1] = fixes[i].latitude;
  }
  lw_status s = lw_plane_to(spots, lon_lat, count, plane, err);
  double below_m = lw_or(record->offset_m, 0) - lw_or(record->level_m, 0);
  for (size_t i = 0; s == LW_OK && i < count; i++) {
    out[i] = (lw_sounding){.x_m = spots[i].x_m,
                           .y_m = spots[i].y_m,
                           .time_s = fixes[i].time_s,
                           .depth_m = (float)(fixes[i].depth_m + below_m),
                           .survey = survey,
                           .track = fixes[i].track};
  }
  return s;
}

static void mark(lw_sounding *soundings, const lw_numbers *numbers, uint8_t owner)
{
  for (size_t i = 0; i < numbers->count; i++) {
    for (size_t n = numbers->ranges[i].first; n <= numbers->ranges[i].last; n++) {
      soundings[n - 1].owner = owner;
    }
  }
}

static lw_status mark_by_owner(lw_sounding *soundings, size_t count, const lw_survey *record,
                               lw_arena *scratch, lw_error *err)
{
  lw_numbers kept;
  lw_numbers dropped;
  lw_status s = lw_numbers_parse(&kept, "kept", record->kept, count, scratch, err);
  s = s == LW_OK ? lw_numbers_parse(&dropped, "dropped", record->dropped, count, scratch, err) : s;
  if (s != LW_OK) {
    lw_error_prefix(err, "survey '%s'", record->name);
    return s;
  }
  mark(soundings, &kept, 1);
  mark(soundings, &dropped, 2);
  return LW_OK;
}

/* Room for as many soundings as the record says is at `out`. */
static lw_status take_survey(lw_sounding *out, const lw_survey *record, int32_t survey, const lw_desk *desk,
                             const lw_plane *plane, lw_arena *scratch, lw_error *err)
{
  lw_survey whole;
  lw_fix *fixes = NULL;
  size_t count = 0;
  lw_status s = lw_store_get(desk->store, LW_KIND_SURVEY, record->id, scratch, &whole, err);
  s = s == LW_OK ? lw_fixes_parse(&fixes, &count, whole.soundings, strlen(whole.soundings), scratch, err) : s;
  if (s != LW_OK) {
    return s;
  }
  if ((double)count != record->sounding_count) {
    return lw_fail(err, LW_CORRUPT,
                   "survey '%s' says that it holds %.0f soundings, but %zu are in its text; run 'lakeward "
                   "check'",
                   record->name, record->sounding_count, count);
  }
  s = lw_soundings_place(out, fixes, count, record, survey, plane, scratch, err);
  return s == LW_OK ? mark_by_owner(out, count, record, scratch, err) : s;
}

/* ---- all of them ---- */

lw_cleaning lw_cleaning_for(const lw_water *water)
{
  /* common practice, no source: what the owner tells as the greatest depth is seldom sounded, so only
   * what lies far beyond it is no depth of this water */
  const double beyond = 3;
  lw_cleaning how = lw_cleaning_usual();
  if (water->max_depth_m.known) {
    how.deepest_m = beyond * water->max_depth_m.value;
  }
  return how;
}

static lw_status pick(lw_work_soundings_set *out, const lw_desk *desk, lw_id water,
                      bool (*wanted)(const lw_survey *, const void *), const void *context, lw_error *err)
{
  size_t all = 0;
  lw_status s = lw_surveys_read(&out->surveys, &all, desk, water, err);
  if (s != LW_OK) {
    return s;
  }
  for (size_t i = 0; i < all; i++) {
    if (wanted(&out->surveys[i], context)) {
      out->surveys[out->survey_count++] = out->surveys[i];
    }
  }
  out->first = LW_NEW(desk->arena, size_t, out->survey_count + 1);
  if (!out->first) {
    return no_memory(err);
  }
  for (size_t i = 0; i < out->survey_count; i++) {
    out->first[i + 1] = out->first[i] + (size_t)out->surveys[i].sounding_count;
  }
  out->count = out->first[out->survey_count];
  if (out->count > LW_SOUNDINGS_MOST) {
    return lw_fail(
        err, LW_LIMIT,
        "the surveys in use hold %zu soundings together, more than %d; leave some out with 'survey "
        "set WATER NAME --use no'",
        out->count, LW_SOUNDINGS_MOST);
  }
  out->soundings = LW_NEW(desk->arena, lw_sounding, out->count);
  return out->soundings ? LW_OK : no_memory(err);
}

static lw_status take_all(lw_work_soundings_set *out, const lw_desk *desk, const lw_plane *plane,
                          lw_error *err)
{
  lw_status s = LW_OK;
  for (size_t i = 0; s == LW_OK && i < out->survey_count; i++) {
    lw_arena *scratch = lw_arena_new(LW_SURVEY_ROOM);
    s = scratch ? take_survey(out->soundings + out->first[i], &out->surveys[i], (int32_t)i, desk, plane,
                              scratch, err)
                : no_memory(err);
    lw_arena_free(scratch);
  }
  return s;
}

lw_status lw_soundings_gather(lw_work_soundings_set *out, const lw_desk *desk, const lw_water *water,
                              const lw_plane *plane, const lw_shore *shore,
                              bool (*wanted)(const lw_survey *, const void *), const void *context,
                              lw_error *err)
{
  *out = (lw_work_soundings_set){.count = 0};
  lw_status s = pick(out, desk, water->id, wanted, context, err);
  s = s == LW_OK ? take_all(out, desk, plane, err) : s;
  if (s != LW_OK || out->count == 0) {
    return s;
  }
  const lw_cleaning how = lw_cleaning_for(water);
  lw_arena *scratch = lw_arena_new(LW_SURVEY_ROOM);
  s = scratch ? lw_soundings_clean(out->soundings, out->count, shore, &how, &out->report, scratch, err)
              : no_memory(err);
  lw_arena_free(scratch);
  return s;
}

static bool is_used(const lw_survey *survey, const void *context)
{
  (void)context;
  return survey->used;
}

lw_status lw_work_soundings(lw_work_soundings_set *out, const lw_desk *desk, const lw_water *water,
                            const lw_plane *plane, const lw_shore *shore, lw_error *err)
{
  lw_status s = lw_soundings_gather(out, desk, water, plane, shore, is_used, NULL, err);
  if (s != LW_OK || out->count == 0) {
    return s;
  }
  lw_arena *scratch = lw_arena_new(LW_SURVEY_ROOM);
  s = scratch ? lw_soundings_split(out->soundings, out->count, shore, &out->tracks, scratch, err)
              : no_memory(err);
  lw_arena_free(scratch);
  return s;
}

size_t lw_sounding_number(const lw_work_soundings_set *set, size_t index)
{
  return index - set->first[set->soundings[index].survey] + 1;
}
