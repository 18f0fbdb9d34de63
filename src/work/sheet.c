/* SPDX-License-Identifier: Apache-2.0 */
#include "work/sheet.h"

#include "base/text.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static lw_status find_water(lw_water *out, const lw_desk *desk, const char *name, lw_id id, lw_error *err)
{
  return name ? lw_store_find_water(desk->store, name, desk->arena, out, err)
              : lw_store_get(desk->store, LW_KIND_WATER, id, desk->arena, out, err);
}

/* Notes and overrides of the water alone, without those of the whole place. */
static lw_status read_lists(lw_water_sheet *out, const lw_desk *desk, lw_error *err)
{
  lw_id id = out->water.id;
  lw_status s = lw_store_list(desk->store, LW_KIND_ZONE, id, desk->arena, &out->zones, &out->zone_count, err);
  s = s == LW_OK
          ? lw_store_list(desk->store, LW_KIND_NOTE, id, desk->arena, &out->notes, &out->note_count, err)
          : s;
  return s == LW_OK ? lw_store_list(desk->store, LW_KIND_OVERRIDE, id, desk->arena, &out->overrides,
                                    &out->override_count, err)
                    : s;
}

lw_status lw_work_sheet(lw_water_sheet *out, const lw_desk *desk, const char *name, lw_id id, lw_error *err)
{
  lw_book book;
  lw_case facts;
  memset(out, 0, sizeof *out);
  lw_status s = find_water(&out->water, desk, name, id, err);
  s = s == LW_OK ? lw_book_read(&book, desk, out->water.id, err) : s;
  s = s == LW_OK ? lw_book_case(&facts, &book, 0, desk->today, desk, err) : s;
  s = s == LW_OK ? read_lists(out, desk, err) : s;
  if (s != LW_OK) {
    return s;
  }
  lw_latest_find(&out->latest, &facts);
  out->units = facts.units;
  out->money = facts.money;
  out->program = facts.program;
  out->readings = book.readings + book.readings_of[0].first;
  out->reading_count = book.readings_of[0].count;
  out->treatments = book.treatments + book.treatments_of[0].first;
  out->treatment_count = book.treatments_of[0].count;
  out->materials = book.materials;
  out->material_count = book.material_count;
  return LW_OK;
}

const lw_material *lw_sheet_material(const lw_water_sheet *sheet, lw_id id)
{
  for (size_t i = 0; i < sheet->material_count; i++) {
    if (sheet->materials[i].id == id) {
      return &sheet->materials[i];
    }
  }
  return NULL;
}

const char *lw_treatment_shown(const lw_treatment *treatment, const lw_material *material,
                               lw_unit_system units, char *out, size_t size)
{
  char mass[LW_SHOWN_MAX];
  bool heavy = treatment->mass_kg > 1000;
  if (treatment->volume_l.known) {
    (void)lw_value_shown(treatment->volume_l.value, "L", units == LW_US ? "gal" : "L", 2, mass);
  } else {
    (void)lw_value_shown(treatment->mass_kg, "kg",
                         units == LW_US ? (heavy ? "ton" : "lb") : (heavy ? "t" : "kg"), 2, mass);
  }
  double packages = material && material->package_kg.known && material->package_kg.value > 0
                        ? treatment->mass_kg / material->package_kg.value
                        : 0;
  if (packages >= 1 && fabs(packages - round(packages)) < 1e-6 && !treatment->volume_l.known) {
    (void)snprintf(out, size, "%.0f package%s (%s)", packages, packages > 1.5 ? "s" : "", mass);
  } else {
    (void)snprintf(out, size, "%s", mass);
  }
  return out;
}
