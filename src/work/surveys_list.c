/* SPDX-License-Identifier: Apache-2.0 */
/* What became of the soundings: counts for lists, and every one that is set aside with its reason.
 * Counting needs every sounding, so the counts are kept in the store's cache under a digest of the
 * changes they follow from. */
#include "work/surveys_parts.h"

#include "work/basin_bed.h"
#include "work/write.h"

#include <sodium.h>
#include <stdio.h>
#include <string.h>

/* To be raised when the tests of soundings change. */
enum { JUDGING = 1, KEY = 120 };

static lw_status no_memory(lw_error *err)
{
  return lw_fail(err, LW_MEMORY, "no memory for the list of surveys");
}

/* ---- the cache ---- */

static lw_status add_latest(crypto_generichash_state *state, lw_store *store, lw_kind_id kind, lw_id id,
                            lw_error *err)
{
  lw_id change = 0;
  lw_status s = lw_store_latest(store, kind, id, &change, err);
  const int64_t both[2] = {id, change};
  (void)crypto_generichash_update(state, (const unsigned char *)both, sizeof both);
  return s;
}

static lw_status tally_key(char out[KEY], const lw_survey_list *list, lw_id water, const lw_desk *desk,
                           lw_error *err)
{
  unsigned char digest[32];
  char hex[65];
  crypto_generichash_state state;
  (void)crypto_generichash_init(&state, NULL, 0, sizeof digest);
  lw_status s = add_latest(&state, desk->store, LW_KIND_WATER, water, err);
  for (size_t i = 0; s == LW_OK && i < list->count; i++) {
    s = list->surveys[i].used ? add_latest(&state, desk->store, LW_KIND_SURVEY, list->surveys[i].id, err) : s;
  }
  (void)crypto_generichash_final(&state, digest, sizeof digest);
  (void)snprintf(out, KEY, "tallies %d %zu %s", JUDGING, sizeof(lw_survey_tally),
                 sodium_bin2hex(hex, sizeof hex, digest, sizeof digest));
  return s;
}

/* Those of the cache, where they are of these surveys. */
static bool from_cache(lw_survey_list *list, const char *key, const lw_desk *desk)
{
  const void *blob = NULL;
  size_t length = 0;
  if (lw_store_cache_get(desk->store, key, desk->arena, &blob, &length, NULL) != LW_OK || !blob ||
      length != list->count * sizeof *list->tallies) {
    return false;
  }
  const lw_survey_tally *kept = blob;
  for (size_t i = 0; i < list->count; i++) {
    if (kept[i].id != list->surveys[i].id) {
      return false;
    }
  }
  memcpy(list->tallies, blob, length);
  return true;
}

/* ---- counting ---- */

static bool is_used(const lw_survey *survey, const void *context)
{
  (void)context;
  return survey->used;
}

static void count(lw_survey_list *list, const lw_work_soundings_set *set)
{
  size_t at = 0;
  for (size_t k = 0; k < set->survey_count; k++) { /* both by day, then id */
    while (list->surveys[at].id != set->surveys[k].id) {
      at++;
    }
    for (size_t i = set->first[k]; i < set->first[k + 1]; i++) {
      list->tallies[at].flaws[set->soundings[i].flaw]++;
    }
  }
}

static lw_status judge(lw_work_soundings_set *out, lw_plane **plane, const lw_desk *desk,
                       const lw_water *water, bool (*wanted)(const lw_survey *, const void *),
                       const void *context, lw_error *err)
{
  lw_ground ground = {.plane = NULL};
  *out = (lw_work_soundings_set){.count = 0};
  lw_status s = lw_ground_open(&ground, water, desk, err);
  s = s == LW_OK ? lw_soundings_gather(out, desk, water, ground.plane, &ground.shore, wanted, context, err)
                 : s;
  *plane = ground.plane;
  return s;
}

static lw_status count_all(lw_survey_list *list, const lw_desk *desk, lw_id water, lw_error *err)
{
  lw_water record;
  lw_plane *plane = NULL;
  lw_work_soundings_set set = {.count = 0};
  lw_status s = lw_store_get(desk->store, LW_KIND_WATER, water, desk->arena, &record, err);
  if (s != LW_OK) {
    return s;
  }
  lw_desk aside = *desk;
  aside.arena = lw_arena_new(LW_SURVEY_ROOM);
  s = aside.arena ? judge(&set, &plane, &aside, &record, is_used, NULL, err) : no_memory(err);
  if (s == LW_OK) {
    count(list, &set);
  }
  lw_plane_close(plane);
  lw_arena_free(aside.arena);
  return s;
}

static size_t count_used(const lw_survey_list *list)
{
  size_t used = 0;
  for (size_t i = 0; i < list->count; i++) {
    used += list->surveys[i].used;
  }
  return used;
}

/* A fault of the soundings does not hide the list. */
static lw_status fill_tallies(lw_survey_list *list, const lw_desk *desk, lw_id water, const char **fault,
                              lw_error *err)
{
  char key[KEY];
  lw_error why = {.status = LW_OK};
  for (size_t i = 0; i < list->count; i++) {
    list->tallies[i].id = list->surveys[i].id;
  }
  lw_status s = tally_key(key, list, water, desk, err);
  if (s != LW_OK || count_used(list) == 0 || from_cache(list, key, desk)) {
    return s;
  }
  s = count_all(list, desk, water, &why);
  if (s == LW_OK) {
    size_t length = list->count * sizeof *list->tallies;
    /* where it is not kept it is counted again the next time */
    (void)!lw_store_cache_put(desk->store, key, list->tallies, length, NULL);
    return LW_OK;
  }
  *fault = lw_arena_copy(desk->arena, why.message);
  return s == LW_MEMORY || !*fault ? no_memory(err) : LW_OK;
}

lw_status lw_list_surveys(lw_survey_list *out, const lw_desk *desk, lw_id water, const char **fault,
                          lw_error *err)
{
  *out = (lw_survey_list){.count = 0};
  *fault = NULL;
  lw_status s = lw_desk_units(&out->units, desk, water, err);
  s = s == LW_OK ? lw_surveys_read(&out->surveys, &out->count, desk, water, err) : s;
  if (s != LW_OK) {
    return s;
  }
  out->tallies = LW_NEW(desk->arena, lw_survey_tally, out->count);
  return out->tallies ? fill_tallies(out, desk, water, fault, err) : no_memory(err);
}

/* ---- what is set aside ---- */

/* With a survey named, that one beside those in use. */
static bool is_used_or_named(const lw_survey *survey, const void *context)
{
  const lw_survey *named = context;
  return survey->used || (named && survey->id == named->id);
}

static bool is_listed(const lw_work_soundings_set *set, size_t index, const lw_survey *named)
{
  const lw_sounding *sounding = &set->soundings[index];
  return sounding->flaw != LW_SOUNDING_GOOD && (!named || set->surveys[sounding->survey].id == named->id);
}

static lw_status list_removed(lw_removed_list *out, const lw_work_soundings_set *set, const lw_survey *named,
                              const lw_plane *plane, lw_arena *arena, lw_error *err)
{
  size_t all = 0;
  for (size_t i = 0; i < set->count; i++) {
    all += is_listed(set, i, named);
  }
  out->items = LW_NEW(arena, lw_removed, all);
  lw_status s = out->items ? LW_OK : no_memory(err);
  for (size_t i = 0; s == LW_OK && i < set->count; i++) {
    if (is_listed(set, i, named)) {
      const lw_sounding *sounding = &set->soundings[i];
      const lw_spot spot = {sounding->x_m, sounding->y_m};
      double place[2] = {0, 0};
      s = lw_plane_from(place, &spot, 1, plane, err);
      out->items[out->count++] = (lw_removed){.survey = &set->surveys[sounding->survey],
                                              .number = lw_sounding_number(set, i),
                                              .longitude = place[0],
                                              .latitude = place[1],
                                              .depth_m = sounding->depth_m,
                                              .flaw = (lw_sounding_flaw)sounding->flaw};
    }
  }
  return s;
}

lw_status lw_list_removed(lw_removed_list *out, const lw_desk *desk, lw_id water, const char *name,
                          lw_error *err)
{
  lw_water record;
  lw_survey named;
  lw_plane *plane = NULL;
  lw_work_soundings_set set;
  *out = (lw_removed_list){.count = 0};
  lw_status s = lw_store_get(desk->store, LW_KIND_WATER, water, desk->arena, &record, err);
  s = s == LW_OK ? lw_desk_units(&out->units, desk, water, err) : s;
  s = s == LW_OK && name ? lw_find_survey(&named, desk, water, name, err) : s;
  if (s != LW_OK) {
    return s;
  }
  const lw_survey *only = name ? &named : NULL;
  s = judge(&set, &plane, desk, &record, is_used_or_named, only, err);
  s = s == LW_OK ? list_removed(out, &set, only, plane, desk->arena, err) : s;
  lw_plane_close(plane);
  return s;
}
