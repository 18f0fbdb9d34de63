/* SPDX-License-Identifier: Apache-2.0 */
/* Everything about one water for its page: facts, latest readings, series, doses, notes, overrides. */
#ifndef LW_WORK_SHEET_H
#define LW_WORK_SHEET_H

#include "advice/latest.h"
#include "work/book.h"
#include "work/desk.h"

#include <jansson.h>

typedef struct lw_water_sheet {
  lw_water water;
  lw_unit_system units;
  const char *money;
  lw_program program; /* with the water's own aims */
  lw_latest latest;
  lw_reading *readings; /* oldest first */
  size_t reading_count;
  lw_treatment *treatments; /* oldest first */
  size_t treatment_count;
  lw_zone *zones;
  size_t zone_count;
  lw_note *notes;
  size_t note_count;
  lw_override *overrides;
  size_t override_count;
  lw_material *materials;
  size_t material_count;
} lw_water_sheet;

/* By name, or by id when `name` is NULL. */
LW_MUST_CHECK lw_status lw_work_sheet(lw_water_sheet *out, const lw_desk *desk, const char *name, lw_id id,
                                      lw_error *err);

json_t *lw_sheet_json(const lw_water_sheet *sheet);

/* {"readings":[...]}, one quantity only when `only` is not NULL. */
json_t *lw_sheet_readings_json(const lw_water_sheet *sheet, const char *only);

/* {"waters":[...]}: one line a water with its clarity, for lists and rulers. */
LW_MUST_CHECK lw_status lw_work_waters_json(json_t **out, const lw_desk *desk, lw_error *err);

/* Name and grade of a treatment's material ("" when it is gone), and its amount as people say it. */
const lw_material *lw_sheet_material(const lw_water_sheet *sheet, lw_id id);
const char *lw_treatment_shown(const lw_treatment *treatment, const lw_material *material,
                               lw_unit_system units, char *out, size_t size);

#endif
