/* SPDX-License-Identifier: Apache-2.0 */
/* The owner's word on surveys and on single soundings. */
#include "work/surveys_parts.h"

#include "base/text.h"
#include "base/units.h"
#include "work/form.h"
#include "work/write.h"

#include <string.h>

static lw_status no_memory(lw_error *err)
{
  return lw_fail(err, LW_MEMORY, "no memory for this survey");
}

/* ---- finding ---- */

static lw_status no_such_name(const lw_survey *surveys, size_t count, const char *name, lw_error *err)
{
  enum { SHOWN = 8 };
  lw_text names = LW_TEXT(1000);
  for (size_t i = 0; i < count && i < SHOWN; i++) {
    lw_text_addf(&names, "%s'%s'", i ? ", " : "", surveys[i].name);
  }
  lw_status s = count ? lw_fail(err, LW_NOT_FOUND, "there is no survey named '%.80s'; there %s %s%s", name,
                                count == 1 ? "is" : "are", lw_text_view(&names), count > SHOWN ? " ..." : "")
                      : lw_fail(err, LW_NOT_FOUND,
                                "there is no survey named '%.80s': this water has none yet; 'lakeward survey "
                                "import WATER FILE' adds one",
                                name);
  lw_text_free(&names);
  return s;
}

lw_status lw_find_survey(lw_survey *out, const lw_desk *desk, lw_id water, const char *name, lw_error *err)
{
  lw_survey *surveys = NULL;
  size_t count = 0;
  lw_status s = lw_surveys_read(&surveys, &count, desk, water, err);
  for (size_t i = 0; s == LW_OK && i < count; i++) {
    if (lw_same_word(surveys[i].name, name)) {
      *out = surveys[i];
      return LW_OK;
    }
  }
  return s == LW_OK ? no_such_name(surveys, count, name, err) : s;
}

lw_status lw_get_survey(lw_survey *out, const lw_desk *desk, lw_id id, lw_error *err)
{
  lw_survey *surveys = NULL;
  size_t count = 0;
  lw_status s = lw_store_list(desk->store, LW_KIND_SURVEY, 0, desk->arena, &surveys, &count, err);
  for (size_t i = 0; s == LW_OK && i < count; i++) {
    if (surveys[i].id == id) {
      *out = surveys[i];
      return LW_OK;
    }
  }
  return s == LW_OK
             ? lw_fail(err, LW_NOT_FOUND, "there is no survey %lld; list the surveys to see which there are",
                       (long long)id)
             : s;
}

static bool has_name(const lw_survey *surveys, size_t count, const char *name)
{
  for (size_t i = 0; i < count; i++) {
    if (lw_same_word(surveys[i].name, name)) {
      return true;
    }
  }
  return false;
}

const char *lw_survey_free_name(const char *name, const lw_survey *surveys, size_t count, lw_arena *arena)
{
  const char *out = name;
  for (size_t n = 2; out && has_name(surveys, count, out); n++) {
    out = lw_arena_format(arena, "%s %zu", name, n);
  }
  return out;
}

/* ---- setting ---- */

/* What the record may hold is wider; beyond these a unit was mistaken. Common practice, no source. */
static lw_status check_limits(const lw_survey *survey, bool level, bool offset, lw_error *err)
{
  const double lowest_m = -20;
  const double highest_m = 5;
  const double least_m = -1;
  const double most_m = 3;
  double level_m = lw_or(survey->level_m, 0);
  double offset_m = lw_or(survey->offset_m, 0);
  if (level && (level_m < lowest_m || level_m > highest_m)) {
    return lw_fail(
        err, LW_INVALID,
        "level: %.4g m is outside what is possible (%.0f to %+.0f m against full pool, negative when "
        "the pool was down): centimetres or inches (write \"-40 cm\"), or a height above the sea?",
        level_m, lowest_m, highest_m);
  }
  if (offset && (offset_m < least_m || offset_m > most_m)) {
    return lw_fail(
        err, LW_INVALID,
        "offset: %.4g m is outside what is possible for the depth of a transducer below the surface "
        "(%.0f to %.0f m): centimetres or inches? write \"20 cm\" or \"8 in\"",
        offset_m, least_m, most_m);
  }
  return LW_OK;
}

static lw_status set_one(lw_survey *survey, const char *key, const char *text, const lw_desk *desk,
                         lw_error *err)
{
  static const char *const skip[] = {NULL};
  const lw_field field = {key, text};
  const lw_form form = {&field, 1};
  return text ? lw_form_apply(&form, LW_KIND_SURVEY, survey, skip, desk, err) : LW_OK;
}

lw_status lw_survey_set_level(lw_survey *survey, const char *level, const lw_desk *desk, lw_error *err)
{
  lw_status s = set_one(survey, "level", level, desk, err);
  return s == LW_OK ? check_limits(survey, level != NULL, false, err) : s;
}

lw_status lw_survey_set_offset(lw_survey *survey, const char *offset, const lw_desk *desk, lw_error *err)
{
  lw_status s = set_one(survey, "offset", offset, desk, err);
  return s == LW_OK ? check_limits(survey, false, offset != NULL, err) : s;
}

/* Numbers as typed into the form in which they are kept. */
static lw_status set_numbers(const char **out, const lw_survey *survey, const char *field,
                             const lw_form *form, const lw_desk *desk, lw_error *err)
{
  lw_numbers numbers;
  const char *text = lw_form_get(form, field);
  if (!lw_form_has(form, field)) {
    return LW_OK;
  }
  lw_status s =
      lw_numbers_parse(&numbers, field, text ? text : "", (size_t)survey->sounding_count, desk->arena, err);
  return s == LW_OK ? lw_numbers_text(out, &numbers, desk->arena, err) : s;
}

static lw_status fill_survey(lw_survey *survey, const lw_desk *desk, const lw_form *form, lw_error *err)
{
  static const char *const own[] = {"use",    "used",      "rename",         "date",
                                    "day",    "kept",      "dropped",        "water",
                                    "source", "soundings", "sounding_count", NULL};
  static const char *const fixed[] = {"water", "source", "soundings", "sounding_count"};
  for (size_t i = 0; i < sizeof fixed / sizeof *fixed; i++) {
    if (lw_form_has(form, fixed[i])) {
      return lw_fail(err, LW_INVALID, "the %s of a survey cannot be changed; import the file again",
                     fixed[i]);
    }
  }
  const char *use = lw_form_has(form, "use") ? lw_form_get(form, "use") : lw_form_get(form, "used");
  const char *rename = lw_form_get(form, "rename");
  const char *date = lw_form_get(form, "date");
  lw_status s = lw_form_apply(form, LW_KIND_SURVEY, survey, own, desk, err);
  s = s == LW_OK ? check_limits(survey, lw_form_has(form, "level"), lw_form_has(form, "offset"), err) : s;
  if (s == LW_OK && use) {
    s = lw_form_yes(&survey->used, "use", use, err);
  }
  if (s == LW_OK && date) {
    s = lw_form_day(&survey->day, "date", date, false, desk, err);
  }
  survey->name = rename ? rename : survey->name;
  s = s == LW_OK ? set_numbers(&survey->kept, survey, "kept", form, desk, err) : s;
  return s == LW_OK ? set_numbers(&survey->dropped, survey, "dropped", form, desk, err) : s;
}

static const char *what_changed(const lw_form *form, const lw_desk *desk)
{
  lw_text keys = LW_TEXT(300);
  for (size_t i = 0; i < form->count; i++) {
    lw_text_addf(&keys, "%s%.40s", i ? ", " : "", form->fields[i].key);
  }
  const char *out = lw_arena_copy(desk->arena, lw_text_view(&keys));
  lw_text_free(&keys);
  return out;
}

lw_status lw_change_survey(lw_entry *out, const lw_desk *desk, lw_id id, const lw_form *form, lw_error *err)
{
  lw_survey survey;
  const char *water = NULL;
  lw_status s = lw_get_survey(&survey, desk, id, err);
  s = s == LW_OK ? lw_water_name(&water, desk, survey.water, err) : s;
  if (s == LW_OK && form->count == 0) {
    s = lw_fail(err, LW_INVALID, "nothing to change was given; see 'lakeward help survey set'");
  }
  const char *name = s == LW_OK ? survey.name : "";
  s = s == LW_OK ? fill_survey(&survey, desk, form, err) : s;
  if (s != LW_OK) {
    return s;
  }
  const char *keys = what_changed(form, desk);
  const char *shown =
      keys ? lw_arena_format(desk->arena, "%s: survey '%s' changed: %s", water, name, keys) : NULL;
  return shown ? lw_write_record(out, desk, LW_KIND_SURVEY, id, &survey, shown, err) : no_memory(err);
}

/* ---- single soundings ---- */

typedef struct word {
  lw_numbers named, kept, dropped;
} word;

static lw_status read_word(word *out, const lw_survey *survey, const char *numbers, const lw_desk *desk,
                           lw_error *err)
{
  size_t most = (size_t)survey->sounding_count;
  lw_status s = lw_numbers_parse(&out->named, "numbers", numbers, most, desk->arena, err);
  if (s == LW_OK && out->named.count == 0) {
    s = lw_fail(err, LW_INVALID, "no numbers of soundings were given; 'lakeward survey removed' lists them");
  }
  s = s == LW_OK ? lw_numbers_parse(&out->kept, "kept", survey->kept, most, desk->arena, err) : s;
  return s == LW_OK ? lw_numbers_parse(&out->dropped, "dropped", survey->dropped, most, desk->arena, err) : s;
}

/* The named ones go into one set and out of the other. */
static lw_status decide(lw_entry *out, const lw_desk *desk, lw_id id, const char *numbers, bool keep,
                        lw_error *err)
{
  word w;
  lw_survey survey;
  const char *water = NULL;
  lw_status s = lw_get_survey(&survey, desk, id, err);
  s = s == LW_OK ? lw_water_name(&water, desk, survey.water, err) : s;
  s = s == LW_OK ? read_word(&w, &survey, numbers, desk, err) : s;
  if (s != LW_OK) {
    return s;
  }
  lw_numbers *into = keep ? &w.kept : &w.dropped;
  lw_numbers *from = keep ? &w.dropped : &w.kept;
  s = lw_numbers_join(into, into, &w.named, desk->arena, err);
  s = s == LW_OK ? lw_numbers_without(from, from, &w.named, desk->arena, err) : s;
  s = s == LW_OK ? lw_numbers_text(&survey.kept, &w.kept, desk->arena, err) : s;
  s = s == LW_OK ? lw_numbers_text(&survey.dropped, &w.dropped, desk->arena, err) : s;
  if (s != LW_OK) {
    return s;
  }
  size_t size = lw_numbers_size(&w.named);
  const char *shown =
      lw_arena_format(desk->arena, "%s: %zu sounding%s of survey '%s' %s: %.200s", water, size,
                      size == 1 ? "" : "s", survey.name, keep ? "put back into use" : "set aside", numbers);
  return shown ? lw_write_record(out, desk, LW_KIND_SURVEY, id, &survey, shown, err) : no_memory(err);
}

lw_status lw_restore_soundings(lw_entry *out, const lw_desk *desk, lw_id id, const char *numbers,
                               lw_error *err)
{
  return decide(out, desk, id, numbers, true, err);
}

lw_status lw_drop_soundings(lw_entry *out, const lw_desk *desk, lw_id id, const char *numbers, lw_error *err)
{
  return decide(out, desk, id, numbers, false, err);
}

lw_status lw_remove_survey(lw_entry *out, const lw_desk *desk, lw_id id, lw_error *err)
{
  lw_survey survey;
  const char *water = NULL;
  lw_status s = lw_get_survey(&survey, desk, id, err);
  s = s == LW_OK ? lw_water_name(&water, desk, survey.water, err) : s;
  if (s != LW_OK) {
    return s;
  }
  const char *shown =
      lw_arena_format(desk->arena, "%s: survey '%s' of %.0f sounding%s removed", water, survey.name,
                      survey.sounding_count, survey.sounding_count == 1 ? "" : "s");
  return shown ? lw_remove_as(out, desk, LW_KIND_SURVEY, id, shown, err) : no_memory(err);
}
