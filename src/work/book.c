/* SPDX-License-Identifier: Apache-2.0 */
#include "work/book.h"

#include "base/text.h"

#include <stdlib.h>
#include <string.h>

lw_status lw_book_settings(lw_book *out, const lw_desk *desk, lw_error *err)
{
  lw_setting *settings = NULL;
  size_t n = 0;
  memset(out, 0, sizeof *out);
  lw_program_default(&out->program);
  out->units = LW_US;
  out->money = "$";
  out->place = "";
  lw_status s = lw_store_list(desk->store, LW_KIND_SETTING, 0, desk->arena, &settings, &n, err);
  for (size_t i = 0; s == LW_OK && i < n; i++) {
    const lw_setting *x = &settings[i];
    if (strcmp(x->key, "units") == 0) {
      out->units = strcmp(x->value, "metric") == 0 ? LW_METRIC : LW_US;
    } else if (strcmp(x->key, "money") == 0) {
      out->money = x->value;
    } else if (strcmp(x->key, "place") == 0) {
      out->place = x->value;
    } else if (lw_program_find(x->key)) {
      s = lw_program_set(&out->program, x->key, x->value, err);
    }
  }
  return s;
}

static int by_id(const void *a, const void *b)
{
  lw_id x = *(const lw_id *)a;
  lw_id y = ((const lw_water *)b)->id;
  return (x > y) - (x < y);
}

/* Where each water (sorted by id in `order`) has its records. The store gives them by day; a stable
 * counting pass groups them by water without losing that order. */
typedef struct grouping {
  const lw_water *order;
  size_t water_count;
  size_t record_size, water_offset;
} grouping;

static size_t water_index(const grouping *g, const void *record)
{
  const void *id = (const char *)record + g->water_offset;
  if (g->water_count == 0) {
    return 0;
  }
  const lw_water *found = bsearch(id, g->order, g->water_count, sizeof *g->order, by_id);
  return found ? (size_t)(found - g->order) : g->water_count;
}

static lw_status group(const grouping *g, void **records, size_t count, lw_span **out_spans, lw_arena *arena,
                       lw_error *err)
{
  lw_span *spans = LW_NEW(arena, lw_span, g->water_count + 1);
  char *sorted = lw_arena_alloc(arena, count + 1, g->record_size);
  size_t *at = LW_NEW(arena, size_t, count + 1);
  size_t *next = LW_NEW(arena, size_t, g->water_count + 1);
  if (!spans || !sorted || !at || !next) {
    return lw_fail(err, LW_MEMORY, "no memory for %zu records", count);
  }
  const char *from = *records;
  for (size_t i = 0; i < count; i++) {
    at[i] = water_index(g, from + i * g->record_size);
    spans[at[i]].count++;
  }
  for (size_t w = 1; w <= g->water_count; w++) {
    spans[w].first = spans[w - 1].first + spans[w - 1].count;
  }
  for (size_t w = 0; w <= g->water_count; w++) {
    next[w] = spans[w].first;
  }
  for (size_t i = 0; i < count; i++) {
    memcpy(sorted + next[at[i]]++ * g->record_size, from + i * g->record_size, g->record_size);
  }
  *records = sorted;
  *out_spans = spans;
  return LW_OK;
}

static int water_order(const void *a, const void *b)
{
  lw_id x = ((const lw_water *)a)->id;
  lw_id y = ((const lw_water *)b)->id;
  return (x > y) - (x < y);
}

static lw_status read_grouped(lw_book *out, const lw_desk *desk, lw_id only, lw_kind_id kind,
                              const grouping *g, void *out_records, lw_span **out_spans, size_t *out_count,
                              lw_error *err)
{
  void *records = NULL;
  size_t n = 0;
  (void)out;
  lw_status s = lw_store_list(desk->store, kind, only, desk->arena, &records, &n, err);
  s = s == LW_OK ? group(g, &records, n, out_spans, desk->arena, err) : s;
  if (s == LW_OK) {
    memcpy(out_records, &records, sizeof records);
    *out_count = n;
  }
  return s;
}

static double packages_used(const lw_treatment *treatments, size_t count, const lw_material *material)
{
  double mass = 0;
  for (size_t i = 0; i < count; i++) {
    mass += treatments[i].material == material->id ? treatments[i].mass_kg : 0;
  }
  return material->package_kg.known && material->package_kg.value > 0 ? mass / material->package_kg.value : 0;
}

double lw_book_used(const lw_book *book, const lw_material *material)
{
  return packages_used(book->treatments, book->treatment_count, material);
}

/* The shelf serves all waters: it needs every treatment, whichever water is asked about. */
static lw_status read_shelf(lw_book *out, const lw_desk *desk, const lw_treatment *all, size_t count,
                            lw_error *err)
{
  lw_status s = lw_store_list(desk->store, LW_KIND_MATERIAL, 0, desk->arena, &out->materials,
                              &out->material_count, err);
  s = s == LW_OK ? lw_store_list(desk->store, LW_KIND_LOT, 0, desk->arena, &out->lots, &out->lot_count, err)
                 : s;
  if (s != LW_OK) {
    return s;
  }
  out->stock = LW_NEW(desk->arena, lw_stock, out->material_count);
  if (!out->stock) {
    return lw_fail(err, LW_MEMORY, "no memory for the shelf");
  }
  for (size_t i = 0; i < out->material_count; i++) {
    const lw_material *m = &out->materials[i];
    out->stock[i].material = m;
    for (size_t k = 0; k < out->lot_count; k++) {
      if (out->lots[k].material == m->id) {
        out->stock[i].packages_left += out->lots[k].packages;
        out->stock[i].counted = true;
      }
    }
    out->stock[i].packages_left -= packages_used(all, count, m);
  }
  return LW_OK;
}

static lw_status read_waters(lw_book *out, const lw_desk *desk, lw_id only, lw_error *err)
{
  if (only) {
    out->waters = LW_NEW(desk->arena, lw_water, 1);
    out->water_count = 1;
    return out->waters ? lw_store_get(desk->store, LW_KIND_WATER, only, desk->arena, out->waters, err)
                       : lw_fail(err, LW_MEMORY, "no memory for a water");
  }
  lw_status s =
      lw_store_list(desk->store, LW_KIND_WATER, 0, desk->arena, &out->waters, &out->water_count, err);
  if (s == LW_OK) {
    qsort(out->waters, out->water_count, sizeof *out->waters, water_order);
  }
  return s;
}

lw_status lw_book_read(lw_book *out, const lw_desk *desk, lw_id only, lw_error *err)
{
  size_t n = 0;
  lw_treatment *all = NULL;
  size_t all_count = 0;
  lw_status s = lw_book_settings(out, desk, err);
  s = s == LW_OK ? read_waters(out, desk, only, err) : s;
  if (s != LW_OK) {
    return s;
  }
  grouping g = {.order = out->waters,
                .water_count = out->water_count,
                .record_size = sizeof(lw_reading),
                .water_offset = offsetof(lw_reading, water)};
  s = read_grouped(out, desk, only, LW_KIND_READING, &g, &out->readings, &out->readings_of, &n, err);
  if (s == LW_OK) {
    g.record_size = sizeof(lw_override);
    g.water_offset = offsetof(lw_override, water);
    s = read_grouped(out, desk, only, LW_KIND_OVERRIDE, &g, &out->overrides, &out->overrides_of, &n, err);
  }
  if (s == LW_OK) {
    g.record_size = sizeof(lw_survey);
    g.water_offset = offsetof(lw_survey, water);
    s = read_grouped(out, desk, only, LW_KIND_SURVEY, &g, &out->surveys, &out->surveys_of, &n, err);
  }
  if (s == LW_OK) {
    out->shapes = lw_facts_new(desk->arena);
    s = out->shapes ? LW_OK : lw_fail(err, LW_MEMORY, "no memory for the shapes of the waters");
  }
  if (s == LW_OK) {
    s = lw_store_list(desk->store, LW_KIND_TREATMENT, 0, desk->arena, &all, &all_count, err);
  }
  s = s == LW_OK ? read_shelf(out, desk, all, all_count, err) : s;
  if (s == LW_OK) {
    void *records = all;
    g.record_size = sizeof(lw_treatment);
    g.water_offset = offsetof(lw_treatment, water);
    s = group(&g, &records, all_count, &out->treatments_of, desk->arena, err);
    out->treatments = records;
    out->treatment_count = all_count;
  }
  return s == LW_OK ? lw_store_list(desk->store, LW_KIND_WEATHER, only, desk->arena, &out->weather,
                                    &out->weather_count, err)
                    : s;
}

/* Weather of this water and weather for all, in order of day. */
static lw_status pick_weather(lw_case *out, const lw_book *book, lw_id water, lw_day on, const lw_desk *desk,
                              lw_error *err)
{
  lw_weather *picked = LW_NEW(desk->arena, lw_weather, book->weather_count);
  if (!picked) {
    return lw_fail(err, LW_MEMORY, "no memory for weather");
  }
  for (size_t i = 0; i < book->weather_count; i++) {
    const lw_weather *w = &book->weather[i];
    if ((w->water == 0 || w->water == water) && w->day >= on) {
      picked[out->weather_count++] = *w;
    }
  }
  out->weather = picked;
  return LW_OK;
}

/* The water's measured shape, where it is sounded. */
static lw_status pick_shape(lw_case *out, const lw_book *book, size_t index, const lw_desk *desk,
                            lw_error *err)
{
  lw_bed_sources sources = {.water = &book->waters[index],
                            .surveys = book->surveys + book->surveys_of[index].first,
                            .survey_count = book->surveys_of[index].count};
  if (lw_surveys_used(&sources) == 0) {
    return LW_OK;
  }
  lw_zone *zones = NULL;
  lw_status s = lw_store_list(desk->store, LW_KIND_ZONE, sources.water->id, desk->arena, &zones,
                              &sources.zone_count, err);
  sources.zones = zones;
  return s == LW_OK ? lw_facts_find(&out->depths, &out->depths_fault, book->shapes, &sources, desk, err) : s;
}

lw_status lw_book_case(lw_case *out, const lw_book *book, size_t index, lw_day on, const lw_desk *desk,
                       lw_error *err)
{
  const lw_water *w = &book->waters[index];
  *out = (lw_case){.today = on,
                   .units = book->units,
                   .money = book->money,
                   .program = book->program,
                   .water = w,
                   .readings = book->readings + book->readings_of[index].first,
                   .reading_count = book->readings_of[index].count,
                   .treatments = book->treatments + book->treatments_of[index].first,
                   .treatment_count = book->treatments_of[index].count,
                   .stock = book->stock,
                   .stock_count = book->material_count,
                   .overrides = book->overrides + book->overrides_of[index].first,
                   .override_count = book->overrides_of[index].count};
  if (*w->units) {
    out->units = strcmp(w->units, "metric") == 0 ? LW_METRIC : LW_US;
  }
  lw_status s = lw_program_for_water(&out->program, w, err);
  s = s == LW_OK ? pick_shape(out, book, index, desk, err) : s;
  return s == LW_OK ? pick_weather(out, book, w->id, on, desk, err) : s;
}
