/* SPDX-License-Identifier: Apache-2.0 */
/* Surveys and soundings as JSON: what became of each. */
#include "work/basin.h"
#include "work/json.h"
#include "work/surveys.h"

#include <math.h>

const lw_survey_tally *lw_basin_tally(const lw_basin_sheet *sheet, lw_id survey)
{
  for (size_t i = 0; i < sheet->bed.survey_count; i++) {
    if (sheet->bed.surveys[i].id == survey) {
      return &sheet->bed.surveys[i];
    }
  }
  return NULL;
}

json_t *lw_basin_surveys_json(const lw_basin_sheet *sheet)
{
  json_t *list = json_array();
  for (size_t i = 0; i < sheet->survey_count; i++) {
    const lw_survey *s = &sheet->surveys[i];
    (void)json_array_append_new(list, lw_survey_json(s, lw_basin_tally(sheet, s->id), sheet->units));
  }
  return list;
}

/* ---- single soundings ---- */

typedef struct columns {
  json_t *x, *y, *depth, *residual, *survey, *number, *flaw;
} columns;

static json_t *rounded_json(double value, double unit)
{
  return isfinite(value) ? json_real(round(value / unit) * unit) : json_null();
}

static void add_sounding(const columns *to, const lw_work_soundings_set *set, size_t index, float residual_m)
{
  const lw_sounding *s = &set->soundings[index];
  (void)json_array_append_new(to->x, rounded_json(s->x_m, 0.01));
  (void)json_array_append_new(to->y, rounded_json(s->y_m, 0.01));
  (void)json_array_append_new(to->depth, rounded_json(s->depth_m, 0.001));
  (void)json_array_append_new(to->residual, rounded_json(residual_m, 0.001));
  (void)json_array_append_new(to->survey, json_integer((json_int_t)set->surveys[s->survey].id));
  (void)json_array_append_new(to->number, json_integer((json_int_t)lw_sounding_number(set, index)));
  (void)json_array_append_new(to->flaw, json_string(lw_sounding_flaw_id((lw_sounding_flaw)s->flaw)));
}

/* Every k-th of those that are good or are not, so that at most `room` come; returns how many. */
static size_t add_some(const columns *to, const lw_work_soundings_set *set, bool good, size_t room,
                       const float *residual_m)
{
  size_t all = 0;
  size_t seen = 0;
  size_t added = 0;
  for (size_t i = 0; i < set->count; i++) {
    all += (set->soundings[i].flaw == LW_SOUNDING_GOOD) == good;
  }
  for (size_t i = 0; i < set->count && added < room; i++) {
    if ((set->soundings[i].flaw == LW_SOUNDING_GOOD) != good) {
      continue;
    }
    /* the n-th of `all` is taken where n * room / all steps up: evenly, whatever the ratio */
    bool take = all <= room || (seen + 1) * room / all > seen * room / all;
    seen++;
    if (take) {
      add_sounding(to, set, i, residual_m ? residual_m[i] : (float)NAN);
      added++;
    }
  }
  return added;
}

lw_status lw_basin_soundings_json(json_t **out, const lw_basin_sheet *sheet, size_t most, const lw_desk *desk,
                                  lw_error *err)
{
  lw_work_soundings_set set = {.count = 0};
  *out = NULL;
  if (sheet->bed.survey_count) {
    lw_status s =
        lw_work_soundings(&set, desk, &sheet->water, sheet->ground.plane, &sheet->ground.shore, err);
    if (s != LW_OK) {
      return s;
    }
  }
  const float *residual = sheet->bed.residual_count == set.count ? sheet->bed.basin.residual_m : NULL;
  const columns to = {json_array(), json_array(), json_array(), json_array(),
                      json_array(), json_array(), json_array()};
  size_t shown = add_some(&to, &set, false, most, residual);
  shown += add_some(&to, &set, true, most - shown, residual);
  *out = json_pack("{s:I,s:I,s:{s:o,s:o,s:o,s:o,s:o,s:o,s:o}}", "count", (json_int_t)set.count, "shown",
                   (json_int_t)shown, "soundings", "x", to.x, "y", to.y, "depth", to.depth, "residual",
                   to.residual, "survey", to.survey, "number", to.number, "flaw", to.flaw);
  return *out ? LW_OK : lw_fail(err, LW_MEMORY, "no memory for the soundings");
}
