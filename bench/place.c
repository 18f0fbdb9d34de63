/* SPDX-License-Identifier: Apache-2.0 */
#include "place.h"

#include "base/random.h"
#include "store/store.h"

#include <math.h>
#include <stdio.h>

enum { SEED = 20261125, MATERIALS = 4 };

/* What one water's records are drawn from. */
typedef struct plot {
  lw_store *store;
  lw_random random;
  uint64_t index;
  lw_id water;
  lw_id materials[MATERIALS];
  size_t records;
  lw_error *err;
} plot;

static double draw(plot *p, double low, double high)
{
  return low + (high - low) * lw_random_uniform(&p->random, p->index++);
}

static lw_status add(plot *p, lw_kind_id kind, const void *record, lw_id *out_id)
{
  lw_id id = 0;
  lw_status status = lw_store_add(p->store, kind, record, &id, p->err);
  p->records += status == LW_OK;
  if (out_id) {
    *out_id = id;
  }
  return status;
}

static lw_status add_reading(plot *p, const char *quantity, double value, lw_day day)
{
  lw_reading reading;
  lw_kind_clear(LW_KIND_READING, &reading);
  reading.water = p->water;
  reading.quantity = quantity;
  reading.value = value;
  reading.day = day;
  reading.minute = lw_known(floor(draw(p, 420, 1080)));
  reading.by = draw(p, 0, 1) < 0.5 ? "first hand" : "second hand";
  reading.note = draw(p, 0, 1) < 0.1 ? "from the dock" : "";
  return add(p, LW_KIND_READING, &reading, NULL);
}

static lw_status add_clarity(plot *p, lw_day first, lw_day last)
{
  lw_status status = LW_OK;
  for (int i = 0; i < PLACE_CLARITY_A_YEAR && status == LW_OK; i++) {
    lw_day day = first + (lw_day)((last - first) * i / PLACE_CLARITY_A_YEAR);
    status = add_reading(p, "secchi", draw(p, 0.35, 1.1), day);
  }
  return status;
}

static lw_status add_others(plot *p, lw_day first, lw_day last)
{
  static const struct {
    const char *quantity;
    double low, high;
  } others[] = {{"temperature", 8, 31}, {"alkalinity", 12, 60}, {"oxygen", 5, 11},      {"ph", 6.6, 9},
                {"weed-cover", 0, 25},  {"hardness", 15, 60},   {"temperature", 8, 31}, {"level", -0.5, 0.1}};
  lw_status status = LW_OK;
  for (int i = 0; i < PLACE_OTHERS_A_YEAR && status == LW_OK; i++) {
    size_t which = (size_t)i % (sizeof others / sizeof others[0]);
    lw_day day = first + (lw_day)((last - first) * i / PLACE_OTHERS_A_YEAR);
    status = add_reading(p, others[which].quantity, draw(p, others[which].low, others[which].high), day);
  }
  return status;
}

static lw_status add_treatments(plot *p, lw_day first, lw_day last)
{
  lw_status status = LW_OK;
  for (int i = 0; i < PLACE_TREATMENTS_A_YEAR && status == LW_OK; i++) {
    lw_treatment treatment;
    lw_kind_clear(LW_KIND_TREATMENT, &treatment);
    treatment.water = p->water;
    treatment.material = p->materials[i % (MATERIALS - 1)];
    treatment.day = first + 80 + (lw_day)((last - first - 110) * i / PLACE_TREATMENTS_A_YEAR);
    treatment.mass_kg = draw(p, 10, 120);
    treatment.purpose = "feed";
    treatment.conditions = "light wind, no rain";
    treatment.by = "first hand";
    status = add(p, LW_KIND_TREATMENT, &treatment, NULL);
  }
  return status;
}

static lw_status add_year(plot *p, int year)
{
  lw_day first = lw_day_from_civil((lw_civil){year, 1, 10});
  lw_day last = lw_day_from_civil((lw_civil){year, 10, 15});
  lw_status status = add_clarity(p, first, last);
  status = status == LW_OK ? add_others(p, first, last) : status;
  return status == LW_OK ? add_treatments(p, first, last) : status;
}

static lw_status add_water(plot *p, size_t number)
{
  char name[32];
  lw_water water;
  lw_kind_clear(LW_KIND_WATER, &water);
  (void)snprintf(name, sizeof name, "Water %03zu", number);
  water.name = name;
  water.latitude = lw_known(draw(p, 31, 35));
  water.longitude = lw_known(draw(p, -88, -82));
  water.area_m2 = lw_known(draw(p, 4000, 400000));
  water.mean_depth_m = lw_known(draw(p, 1.2, 3));
  water.max_depth_m = lw_known(8);
  water.use = "fishing";
  water.harvest = "yes";
  water.downstream = "nobody";
  water.fish = "stocked";
  return add(p, LW_KIND_WATER, &water, &p->water);
}

static lw_status add_whole_water(plot *p, size_t number, int years, const lw_change *change)
{
  lw_id id = 0;
  lw_status status = lw_store_begin(p->store, change, p->err);
  status = status == LW_OK ? add_water(p, number) : status;
  for (int year = PLACE_LAST_YEAR - years + 1; year <= PLACE_LAST_YEAR && status == LW_OK; year++) {
    status = add_year(p, year);
  }
  return status == LW_OK ? lw_store_commit(p->store, &id, p->err) : status;
}

static lw_status add_shelf(plot *p, const lw_change *change)
{
  static const lw_material shelf[MATERIALS] = {
      {.name = "Soluble powder 12-48-8", .kind = "fertilizer", .form = "soluble-powder", .grade = "12-48-8"},
      {.name = "Liquid 10-34-0", .kind = "fertilizer", .form = "liquid", .grade = "10-34-0"},
      {.name = "Granular 20-20-5", .kind = "fertilizer", .form = "granular", .grade = "20-20-5"},
      {.name = "Ground limestone", .kind = "lime", .form = "ground", .grade = ""}};
  lw_id id = 0;
  lw_status status = lw_store_begin(p->store, change, p->err);
  for (size_t i = 0; i < MATERIALS && status == LW_OK; i++) {
    lw_material material = shelf[i];
    material.note = "";
    material.package_kg = lw_known(22.6796185);
    material.price = lw_known(40);
    if (i == 1) {
      material.density_kg_l = lw_known(1.4);
    } else if (i == 3) {
      material.neutralizing_value_pct = lw_known(95);
      material.fineness_pct = lw_known(80);
    }
    status = add(p, LW_KIND_MATERIAL, &material, &p->materials[i]);
    lw_lot lot = {.material = p->materials[i],
                  .day = lw_day_from_civil((lw_civil){2022, 2, 1}),
                  .packages = 40000,
                  .note = ""};
    status = status == LW_OK ? add(p, LW_KIND_LOT, &lot, NULL) : status;
  }
  return status == LW_OK ? lw_store_commit(p->store, &id, p->err) : status;
}

lw_status place_make(const char *path, size_t waters, int years, size_t *out_records, lw_error *err)
{
  const lw_change change = {
      .who = "keeper", .why = "", .action = "made up for a benchmark", .at = 1792000000000};
  plot p = {.random = {.seed = SEED}, .err = err};
  lw_status status = lw_store_create(path, err);
  status = status == LW_OK ? lw_store_open(&p.store, path, err) : status;
  status = status == LW_OK ? add_shelf(&p, &change) : status;
  for (size_t i = 0; i < waters && status == LW_OK; i++) {
    p.random.stream = (uint32_t)i;
    p.index = 0;
    status = add_whole_water(&p, i + 1, years, &change);
  }
  *out_records = p.records;
  lw_store_close(p.store);
  return status;
}
