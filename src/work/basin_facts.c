/* SPDX-License-Identifier: Apache-2.0 */
#include "work/basin_facts.h"

#include <math.h>
#include <string.h>

enum { MOST = 2000, FAULT = 400 };

static const char cache_key[] = "basin facts 2 " LW_VERSION;
static const double farthest = 1e12;

typedef struct numbers {
  double deepest_m;
  double area_m2[LW_DEPTH_ROWS], volume_m3[LW_DEPTH_ROWS], low_m3[LW_DEPTH_ROWS], high_m3[LW_DEPTH_ROWS];
} numbers;

enum { NUMBERS = sizeof(numbers) / sizeof(double) };

/* As it lies in the cache: no pointers, no padding. */
typedef struct entry {
  int64_t water;
  char key[LW_BED_KEY];
  char fault[FAULT]; /* "": none */
  numbers n;
} entry;

struct lw_facts_list {
  bool loaded;
  entry *entries;
  size_t count;
};

lw_facts_list *lw_facts_new(lw_arena *arena)
{
  return LW_NEW(arena, lw_facts_list, 1);
}

static bool entry_holds(const entry *e)
{
  const double *values = &e->n.deepest_m;
  bool ends = memchr(e->key, '\0', sizeof e->key) && memchr(e->fault, '\0', sizeof e->fault);
  for (size_t i = 0; ends && i < NUMBERS; i++) {
    ends = values[i] >= 0 && values[i] <= farthest;
  }
  return ends;
}

/* One place more than there are entries, for a new one. Damaged entries are left out. */
static lw_status load(lw_facts_list *list, const lw_desk *desk, lw_error *err)
{
  const void *blob = NULL;
  size_t length = 0;
  if (lw_store_cache_get(desk->store, cache_key, desk->arena, &blob, &length, NULL) != LW_OK || !blob ||
      length % sizeof(entry) || length / sizeof(entry) > MOST) {
    length = 0;
  }
  list->entries = LW_NEW(desk->arena, entry, MOST);
  if (!list->entries) {
    return lw_fail(err, LW_MEMORY, "no memory for the shapes of the waters");
  }
  for (size_t i = 0; i < length / sizeof(entry); i++) {
    entry *e = &list->entries[list->count];
    memcpy(e, (const char *)blob + i * sizeof(entry), sizeof(entry));
    list->count += entry_holds(e);
  }
  list->loaded = true;
  return LW_OK;
}

void lw_facts_refresh(const lw_desk *desk)
{
  const void *blob = NULL;
  size_t length = 0;
  lw_status s = lw_store_cache_get(desk->store, cache_key, desk->arena, &blob, &length, NULL);
  s = s == LW_OK && blob ? lw_store_cache_put(desk->store, cache_key, blob, length, NULL) : s;
  (void)s; /* what is not kept is reckoned again */
}

/* A place for the water: its old one, a new one, or the oldest. */
static entry *place_for(lw_facts_list *list, lw_id water)
{
  for (size_t i = 0; i < list->count; i++) {
    if (list->entries[i].water == water) {
      return &list->entries[i];
    }
  }
  if (list->count == MOST) {
    memmove(list->entries, list->entries + 1, (MOST - 1) * sizeof(entry));
    list->count--;
  }
  return &list->entries[list->count++];
}

/* Full pool first; the last row is the empty basin. */
static lw_status tabulate(numbers *out, const lw_basin *basin, lw_error *err)
{
  double down[LW_DEPTH_ROWS];
  out->deepest_m = basin->max_depth_m;
  for (size_t i = 0; i < LW_DEPTH_ROWS; i++) {
    down[i] = basin->max_depth_m * (double)i / (LW_DEPTH_ROWS - 1);
    lw_basin_interval(basin, down[i], &out->low_m3[i], &out->high_m3[i]);
  }
  lw_status s = lw_map_curve(out->area_m2, out->volume_m3, &basin->map, NULL, down, LW_DEPTH_ROWS, err);
  for (size_t i = 0; i < LW_DEPTH_ROWS; i++) {
    out->low_m3[i] = fmax(fmin(out->low_m3[i], out->volume_m3[i]), 0);
    out->high_m3[i] = fmax(out->high_m3[i], out->volume_m3[i]);
  }
  return s;
}

static lw_status reckon(entry *out, bool *damaged, const char *key, const lw_bed_sources *sources,
                        const lw_desk *desk, lw_error *err)
{
  lw_desk mine = *desk;
  lw_ground ground = {.plane = NULL};
  lw_error fault = {.status = LW_OK};
  mine.arena = lw_arena_new(0); /* the map goes when its table is made: there may be many waters */
  lw_bed *bed = mine.arena ? LW_NEW(mine.arena, lw_bed, 1) : NULL;
  if (!bed) {
    lw_arena_free(mine.arena);
    return lw_fail(err, LW_MEMORY, "no memory for the shape of %s", sources->water->name);
  }
  memset(out, 0, sizeof *out);
  out->water = sources->water->id;
  (void)memccpy(out->key, key, '\0', sizeof out->key);
  lw_status s = lw_bed_take(bed, key, sources, &ground, 0, &mine, &fault);
  s = s == LW_OK ? tabulate(&out->n, &bed->basin, &fault) : s;
  lw_plane_close(ground.plane);
  lw_arena_free(mine.arena);
  if (lw_fault_of_water(s)) { /* the records cannot give a shape: that, too, is known from now on */
    (void)memccpy(out->fault, fault.message, '\0', sizeof out->fault - 1);
    out->n = (numbers){.deepest_m = 0};
    *damaged = s == LW_CORRUPT; /* which a repair undoes under the same key: not kept */
    return LW_OK;
  }
  return s == LW_OK ? s : lw_fail(err, s, "%s", fault.message);
}

/* "depth map of 2 surveys, 2026-03-14": the newest day. */
static const char *from_words(const lw_bed_sources *sources, lw_arena *arena)
{
  size_t used = 0;
  lw_day newest = LW_NO_DAY;
  char day[LW_DATE_TEXT];
  for (size_t i = 0; i < sources->survey_count; i++) {
    const lw_survey *s = &sources->surveys[i];
    used += s->used;
    newest = s->used && (newest == LW_NO_DAY || s->day > newest) ? s->day : newest;
  }
  return lw_arena_format(arena, "depth map of %zu survey%s, %s", used, used == 1 ? "" : "s",
                         lw_date_text(newest, day));
}

static lw_status answer(const lw_depth_table **out, const char **out_fault, const entry *e,
                        const lw_bed_sources *sources, const lw_desk *desk, lw_error *err)
{
  lw_depth_table *table = LW_NEW(desk->arena, lw_depth_table, 1);
  const char *text = *e->fault ? lw_arena_copy(desk->arena, e->fault) : from_words(sources, desk->arena);
  if (!table || !text) {
    return lw_fail(err, LW_MEMORY, "no memory for the shape of %s", sources->water->name);
  }
  if (*e->fault) {
    *out_fault = text;
    return LW_OK;
  }
  table->deepest_m = e->n.deepest_m;
  memcpy(table->area_m2, e->n.area_m2, sizeof table->area_m2);
  memcpy(table->volume_m3, e->n.volume_m3, sizeof table->volume_m3);
  memcpy(table->low_m3, e->n.low_m3, sizeof table->low_m3);
  memcpy(table->high_m3, e->n.high_m3, sizeof table->high_m3);
  table->from = text;
  *out = table;
  return LW_OK;
}

static const entry *find_entry(const lw_facts_list *list, lw_id water, const char *key)
{
  for (size_t i = 0; i < list->count; i++) {
    if (list->entries[i].water == water && strcmp(list->entries[i].key, key) == 0) {
      return &list->entries[i];
    }
  }
  return NULL;
}

lw_status lw_facts_find(const lw_depth_table **out, const char **out_fault, lw_facts_list *list,
                        const lw_bed_sources *sources, const lw_desk *desk, lw_error *err)
{
  char key[LW_BED_KEY];
  *out = NULL;
  *out_fault = NULL;
  if (lw_surveys_used(sources) == 0) {
    return LW_OK;
  }
  lw_status s = list->loaded ? LW_OK : load(list, desk, err);
  s = s == LW_OK ? lw_bed_key(key, sources, 0, desk, err) : s;
  if (s != LW_OK) {
    return s;
  }
  const entry *kept = find_entry(list, sources->water->id, key);
  if (!kept) {
    entry made;
    bool damaged = false;
    s = reckon(&made, &damaged, key, sources, desk, err);
    if (s != LW_OK) {
      return s;
    }
    if (damaged) {
      return answer(out, out_fault, &made, sources, desk, err);
    }
    entry *place = place_for(list, sources->water->id);
    *place = made;
    kept = place;
    /* not kept when the store is busy or read-only: then the next one reckons again */
    lw_status ignored =
        lw_store_cache_put(desk->store, cache_key, list->entries, list->count * sizeof(entry), NULL);
    (void)ignored;
  }
  return answer(out, out_fault, kept, sources, desk, err);
}
