/* SPDX-License-Identifier: Apache-2.0 */
/* Depths read with a rope, one at a time: those of a day and a level are one survey. */
#include "work/surveys_parts.h"

#include "base/text.h"
#include "base/units.h"
#include "work/basin_bed.h"
#include "work/entries.h"
#include "work/form.h"
#include "work/write.h"

#include <math.h>
#include <string.h>

#define DEEPEST_M 500.0

typedef struct rope {
  const lw_desk *desk;
  lw_arena *scratch;
  lw_water water;
  lw_survey survey; /* the one it joins; id 0: a new one */
  lw_fix fix;
  lw_maybe level_m;
  lw_day day;
  lw_ground ground;
  const char *warning; /* NULL: the depth is used */
} rope;

static lw_status no_memory(lw_error *err)
{
  return lw_fail(err, LW_MEMORY, "no memory for this depth");
}

/* ---- what was typed ---- */

/* "33.1,-86.4" or its two halves, as a page sends them. */
static lw_status read_place(lw_fix *out, const lw_form *form, const lw_desk *desk, lw_error *err)
{
  const char *place = lw_form_get(form, "place");
  const char *latitude = lw_form_get(form, "latitude");
  const char *longitude = lw_form_get(form, "longitude");
  if (!place && latitude && longitude) {
    place = lw_arena_format(desk->arena, "%s,%s", latitude, longitude);
    if (!place) {
      return no_memory(err);
    }
  }
  return lw_place_read(&out->latitude, &out->longitude, "place", place ? place : "", err);
}

/* A bare number could be feet or metres, and the dose hangs on it. */
static lw_status read_depth(double *out, const char *text, lw_error *err)
{
  double bare = 0;
  const char *end = NULL;
  if (!text) {
    return lw_fail(err, LW_INVALID, "depth is missing; give it with its unit, such as \"9 ft\"");
  }
  if (lw_read_number(text, true, &bare, &end) && end[strspn(end, " ")] == '\0') {
    return lw_fail(err, LW_INVALID, "depth: '%.40s' has no unit; write \"%.40s ft\" or \"%.40s m\"", text,
                   text, text);
  }
  lw_status s = lw_quantity_parse(out, "depth", text, "m", err);
  if (s == LW_OK && !(*out > 0 && *out <= DEEPEST_M)) {
    s = lw_fail(err, LW_INVALID, "depth: '%.40s' is outside what is possible (more than 0, at most %.0f m)",
                text, DEEPEST_M);
  }
  return s;
}

static lw_status read_form(rope *work, const lw_form *form, lw_error *err)
{
  static const char *const known[] = {"place", "latitude", "longitude", "depth", "on", "date", "level"};
  for (size_t i = 0; i < form->count; i++) {
    bool found = false;
    for (size_t k = 0; k < sizeof known / sizeof *known; k++) {
      found = found || strcmp(form->fields[i].key, known[k]) == 0;
    }
    if (!found) {
      return lw_fail(
          err, LW_INVALID,
          "a depth has no '%.60s'; it has place (or latitude and longitude), depth, date and level",
          form->fields[i].key);
    }
  }
  const char *on = lw_form_get(form, "on");
  lw_survey scale = {.id = 0};
  work->fix = (lw_fix){.time_s = NAN, .track = -1};
  lw_status s = read_place(&work->fix, form, work->desk, err);
  s = s == LW_OK ? read_depth(&work->fix.depth_m, lw_form_get(form, "depth"), err) : s;
  s = s == LW_OK
          ? lw_form_day(&work->day, "date", on ? on : lw_form_get(form, "date"), false, work->desk, err)
          : s;
  s = s == LW_OK ? lw_survey_set_level(&scale, lw_form_get(form, "level"), work->desk, err) : s;
  work->level_m = scale.level_m;
  return s;
}

/* ---- on the water? ---- */

static lw_status check_place(rope *work, lw_error *err)
{
  lw_spot spot = {0, 0};
  bool inside = false;
  double outside_m = 0;
  const double pair[2] = {work->fix.longitude, work->fix.latitude};
  lw_status s = lw_ground_open(&work->ground, &work->water, work->desk, err);
  s = s == LW_OK ? lw_plane_to(&spot, pair, 1, work->ground.plane, err) : s;
  s = s == LW_OK ? lw_shore_inside(&inside, &outside_m, &work->ground.shore, &spot, 1, work->scratch, err)
                 : s;
  if (s == LW_OK && !inside && outside_m > lw_cleaning_usual().outside_tolerance_m) {
    s = lw_fail(err, LW_INVALID,
                "place: %.7g,%.7g lies %.0f m off the outline of %s; check it (latitude first, west is "
                "negative)",
                work->fix.latitude, work->fix.longitude, outside_m, work->water.name);
  }
  return s;
}

/* ---- the survey it joins ---- */

static bool same_level(lw_maybe a, lw_maybe b)
{
  return a.known == b.known && (!a.known || fabs(a.value - b.value) < 1e-6);
}

/* "By rope 2026-04-15", or a new one of that name where the pool stood at another level. */
static lw_status find_rope_survey(rope *work, lw_error *err)
{
  char date[LW_DATE_TEXT];
  lw_survey *surveys = NULL;
  size_t count = 0;
  const lw_desk *desk = work->desk;
  const char *name = lw_arena_format(desk->arena, "By rope %s", lw_date_text(work->day, date));
  lw_status s = name ? lw_surveys_read(&surveys, &count, desk, work->water.id, err) : no_memory(err);
  if (s != LW_OK) {
    return s;
  }
  for (size_t i = 0; i < count; i++) {
    if (lw_starts_with(surveys[i].name, name) && surveys[i].day == work->day &&
        strcmp(surveys[i].source, "rope") == 0 && same_level(surveys[i].level_m, work->level_m)) {
      return lw_store_get(desk->store, LW_KIND_SURVEY, surveys[i].id, work->scratch, &work->survey, err);
    }
  }
  lw_kind_clear(LW_KIND_SURVEY, &work->survey);
  work->survey.water = work->water.id;
  work->survey.name = lw_survey_free_name(name, surveys, count, desk->arena);
  work->survey.day = work->day;
  work->survey.level_m = work->level_m;
  work->survey.used = true;
  work->survey.source = "rope";
  return work->survey.name ? LW_OK : no_memory(err);
}

static lw_status append(rope *work, lw_error *err)
{
  lw_fix *before = NULL;
  size_t count = 0;
  size_t length = 0;
  char *text = NULL;
  lw_survey *survey = &work->survey;
  lw_status s = survey->soundings ? lw_fixes_parse(&before, &count, survey->soundings,
                                                   strlen(survey->soundings), work->scratch, err)
                                  : LW_OK;
  if (s != LW_OK) {
    return s;
  }
  lw_fix *all = LW_NEW(work->scratch, lw_fix, count + 1);
  if (!all) {
    return no_memory(err);
  }
  if (count) {
    memcpy(all, before, count * sizeof *all);
  }
  all[count] = work->fix;
  s = lw_fixes_write(&text, &length, all, count + 1, work->scratch, err);
  survey->soundings = text;
  survey->sounding_count = (double)(count + 1);
  return s;
}

/* ---- can it be? ---- */

/* The greatest depth told or used; soundings in use count when there are enough of them to know a basin by
 * (a first few from the bank do not). 0: nothing is known. */
static double deepest_known_m(const rope *work, const lw_work_soundings_set *set)
{
  enum { LEAST = 10 };
  size_t good = 0;
  double sounded_m = 0;
  for (size_t i = 0; i < set->count; i++) {
    if (set->soundings[i].flaw == LW_SOUNDING_GOOD) {
      good++;
      sounded_m = fmax(sounded_m, (double)set->soundings[i].depth_m);
    }
  }
  return fmax(lw_or(work->water.max_depth_m, 0), good >= LEAST ? sounded_m : 0);
}

/* common practice, no source: 3 times the deepest known, or 60 m where nothing is known, is another unit */
static lw_status refuse_too_deep(const rope *work, const lw_work_soundings_set *set, lw_error *err)
{
  const double times = 3;
  const double most_m = 60;
  double depth_m = work->fix.depth_m;
  double known_m = deepest_known_m(work, set);
  double limit_m = known_m > 0 ? times * known_m : most_m;
  if (depth_m <= limit_m) {
    return LW_OK;
  }
  return known_m > 0
             ? lw_fail(err, LW_INVALID,
                       "depth: %.4g m (%.4g ft) is more than 3 times the greatest depth known of %s, %.3g m "
                       "(%.3g ft): feet or metres? If it is right, tell it first with 'water set \"%s\" "
                       "--max-depth DEPTH'",
                       depth_m, depth_m / 0.3048, work->water.name, known_m, known_m / 0.3048,
                       work->water.name)
             : lw_fail(
                   err, LW_INVALID,
                   "depth: %.4g m (%.4g ft) is deeper than ponds and small lakes are (60 m): feet or metres, "
                   "or centimetres? If it is right, tell it first with 'water set \"%s\" --max-depth DEPTH'",
                   depth_m, depth_m / 0.3048, work->water.name);
}

/* The new depth among those in use: after the others of its survey, else last. */
static lw_status judge_among(rope *work, const lw_work_soundings_set *set, lw_error *err)
{
  static const char *const why[] = {
#define FLAW_TEXT(code, id, text) text,
      LW_SOUNDING_FLAW_LIST(FLAW_TEXT)
#undef FLAW_TEXT
  };
  const lw_cleaning how = lw_cleaning_for(&work->water);
  lw_cleaning_report report;
  lw_error fault = {.status = LW_OK};
  size_t k = 0;
  while (k < set->survey_count && set->surveys[k].id != work->survey.id) {
    k++;
  }
  size_t at = k < set->survey_count ? set->first[k + 1] : set->count;
  lw_sounding *all = LW_NEW(work->scratch, lw_sounding, set->count + 1);
  if (!all) {
    return no_memory(err);
  }
  if (set->count) {
    memcpy(all, set->soundings, at * sizeof *all);
    memcpy(all + at + 1, set->soundings + at, (set->count - at) * sizeof *all);
  }
  lw_status s = lw_soundings_place(&all[at], &work->fix, 1, &work->survey, (int32_t)k, work->ground.plane,
                                   work->scratch, err);
  if (s != LW_OK) {
    return s;
  }
  s = lw_soundings_clean(all, set->count + 1, &work->ground.shore, &how, &report, work->scratch, &fault);
  const char *reason = s == LW_OK ? why[all[at].flaw] : fault.message;
  if (s == LW_MEMORY) {
    return no_memory(err);
  }
  if (s != LW_OK || all[at].flaw != LW_SOUNDING_GOOD) {
    work->warning =
        lw_arena_format(work->desk->arena,
                        "This depth is on record but set aside: %.300s. If it is right, put it back "
                        "with 'survey restore \"%s\" \"%s\" %.0f'.",
                        reason, work->water.name, work->survey.name, work->survey.sounding_count);
    return work->warning ? LW_OK : no_memory(err);
  }
  return LW_OK;
}

static lw_status judge_depth(rope *work, lw_error *err)
{
  lw_work_soundings_set set = {.count = 0};
  lw_desk mine = *work->desk;
  mine.arena = work->scratch;
  lw_status s = lw_work_soundings(&set, &mine, &work->water, work->ground.plane, &work->ground.shore, NULL);
  if (s != LW_OK) { /* what cannot be used is no measure */
    set = (lw_work_soundings_set){.count = 0};
  }
  s = refuse_too_deep(work, &set, err);
  return s == LW_OK && work->survey.used ? judge_among(work, &set, err) : s;
}

static lw_status add_depth(lw_entry *out, rope *work, const lw_form *form, lw_error *err)
{
  const lw_desk *desk = work->desk;
  lw_unit_system units = LW_US;
  char depth[LW_SHOWN_MAX];
  lw_id id = work->water.id;
  lw_status s = read_form(work, form, err);
  s = s == LW_OK ? check_place(work, err) : s;
  s = s == LW_OK ? find_rope_survey(work, err) : s;
  s = s == LW_OK ? append(work, err) : s;
  s = s == LW_OK ? judge_depth(work, err) : s;
  s = s == LW_OK ? lw_desk_units(&units, desk, id, err) : s;
  if (s != LW_OK) {
    return s;
  }
  (void)lw_value_shown(work->fix.depth_m, "m", units == LW_US ? "ft" : "m", 3, depth);
  const char *shown =
      lw_arena_format(desk->arena, "%s: depth %s at %.6f,%.6f in survey '%s'", work->water.name, depth,
                      work->fix.latitude, work->fix.longitude, work->survey.name);
  s = shown ? lw_write_record(out, desk, LW_KIND_SURVEY, work->survey.id, &work->survey, shown, err)
            : no_memory(err);
  out->warning = s == LW_OK && work->warning ? work->warning : out->warning;
  return s;
}

lw_status lw_add_sounding(lw_entry *out, const lw_desk *desk, lw_id water, const lw_form *form, lw_error *err)
{
  rope work = {.desk = desk, .scratch = lw_arena_new(LW_SURVEY_ROOM)};
  lw_status s = work.scratch ? lw_store_get(desk->store, LW_KIND_WATER, water, desk->arena, &work.water, err)
                             : no_memory(err);
  s = s == LW_OK ? add_depth(out, &work, form, err) : s;
  lw_plane_close(work.ground.plane);
  lw_arena_free(work.scratch);
  return s;
}
