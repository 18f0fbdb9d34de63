/* SPDX-License-Identifier: Apache-2.0 */
/* A file or a text becomes a survey: read, placed, held against the outline, told about, written. */
#include "work/surveys_parts.h"

#include "base/text.h"
#include "work/basin_bed.h"
#include "work/form.h"
#include "work/write.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct importing {
  const lw_desk *desk; /* for what outlives the import */
  lw_arena *scratch;   /* for what does not: the file, its soundings */
  const lw_survey_import *what;
  lw_survey_report *report;
  lw_water water;
  lw_ground ground;
  lw_fixes fixes;
  lw_survey *others; /* surveys of this water */
  size_t other_count;
  const char *text; /* as the store keeps it */
  lw_day given;     /* LW_NO_DAY when no date was given */
} importing;

static lw_status no_memory(lw_error *err)
{
  return lw_fail(err, LW_MEMORY, "no memory for this survey");
}

static void warn(importing *work, const char *text)
{
  lw_survey_report *report = work->report;
  if (text && report->warning_count < LW_SURVEY_WARNINGS) {
    report->warnings[report->warning_count++] = text;
  }
}

/* ---- what the reader is told ---- */

/* A box around the water's shore, in degrees, with a margin as wide as the water itself. */
static lw_status water_box(lw_soundings_how *how, const importing *work, lw_error *err)
{
  const lw_box box = lw_shore_box(&work->ground.shore);
  double margin_m = fmax(box.east_m - box.west_m, box.north_m - box.south_m);
  const lw_spot corners[] = {{box.west_m - margin_m, box.south_m - margin_m},
                             {box.east_m + margin_m, box.north_m + margin_m}};
  double lon_lat[4] = {0};
  lw_status s = lw_plane_from(lon_lat, corners, 2, work->ground.plane, err);
  how->west = lon_lat[0];
  how->south = lon_lat[1];
  how->east = lon_lat[2];
  how->north = lon_lat[3];
  return s;
}

static lw_status read_fixes(importing *work, lw_error *err)
{
  const lw_survey_import *what = work->what;
  lw_soundings_how how = {.depth_field = what->depth_field,
                          .depth_unit = what->depth_unit,
                          .system = what->system,
                          .day = work->given,
                          .geo_program = work->desk->geo_program,
                          .deepest_likely_m = lw_or(work->water.max_depth_m, 0)};
  lw_status s = water_box(&how, work, err);
  if (s != LW_OK) {
    return s;
  }
  s = what->path
          ? lw_soundings_read(&work->fixes, what->path, &how, work->scratch, err)
          : lw_soundings_parse(&work->fixes, what->file, what->text, what->length, &how, work->scratch, err);
  if (s == LW_OK && work->fixes.count == 0) {
    s = lw_fail(err, LW_INVALID, "%s holds no soundings with position and depth",
                what->path ? what->path : what->file);
  }
  return s;
}

/* ---- the record ---- */

static const char *base_name(const lw_survey_import *what)
{
  const char *path = what->path ? what->path : what->file;
  const char *slash = strrchr(path, '/');
  const char *back = strrchr(slash ? slash : path, '\\'); /* as a browser elsewhere may name it */
  return back ? back + 1 : slash ? slash + 1 : path;
}

/* "run3.nmea" -> "run3"; at most as long as a name may be. */
static const char *name_from_file(const importing *work)
{
  enum { ROOM = 60 };
  const char *file = base_name(work->what);
  const char *dot = strrchr(file, '.');
  size_t length = dot && dot > file ? (size_t)(dot - file) : strlen(file);
  length = length > ROOM ? ROOM : length;
  while (length && ((unsigned char)file[length] & 0xC0u) == 0x80u) {
    length--; /* not through the middle of a character */
  }
  while (length && (file[length - 1] == ' ' || file[0] == ' ')) {
    length--;
    file += file[0] == ' ';
  }
  bool clean =
      length && lw_text_is_clean(file, length) && !memchr(file, '\n', length) && !memchr(file, '\t', length);
  return clean ? lw_arena_copy_n(work->desk->arena, file, length) : "Survey";
}

static lw_status set_name(importing *work, lw_survey *survey, lw_error *err)
{
  const char *asked = work->what->name;
  if (asked && !*asked) {
    return lw_fail(err, LW_INVALID, "name: a survey needs a name; leave --name out to take the file's");
  }
  if (asked) {
    survey->name = asked;
    const char *unchanged = lw_survey_free_name(asked, work->others, work->other_count, work->scratch);
    return unchanged == asked ? LW_OK
                              : lw_fail(err, LW_CONFLICT,
                                        "name: there is a survey '%.80s' of this water already; use another "
                                        "name",
                                        asked);
  }
  const char *name = name_from_file(work);
  survey->name = name ? lw_survey_free_name(name, work->others, work->other_count, work->desk->arena) : NULL;
  return survey->name ? LW_OK : no_memory(err);
}

/* The date given, else the file's own, else today. The file's is UTC: west of Greenwich it may be a day
 * ahead of the water's. */
static lw_status set_day(importing *work, lw_survey *survey, lw_error *err)
{
  lw_day today = work->desk->today;
  char text[2][LW_DATE_TEXT];
  survey->day = work->given;
  if (work->given != LW_NO_DAY) {
    return LW_OK;
  }
  if (work->fixes.day == LW_NO_DAY) {
    survey->day = today;
    warn(work, lw_arena_format(work->desk->arena,
                               "The file tells no date: taken as today, %s. Give the day with --date.",
                               lw_date_text(today, text[0])));
    return LW_OK;
  }
  survey->day = work->fixes.day == today + 1 ? today : work->fixes.day;
  return survey->day <= today ? LW_OK
                              : lw_fail(err, LW_INVALID,
                                        "date: the file says %s, which is in the future (today is %s); the "
                                        "receiver's clock was wrong: give the day with --date",
                                        lw_date_text(survey->day, text[0]), lw_date_text(today, text[1]));
}

static lw_status set_offset(importing *work, lw_survey *survey, lw_error *err)
{
  char shown[LW_SHOWN_MAX];
  const lw_fixes *fixes = &work->fixes;
  lw_status s = lw_survey_set_offset(survey, work->what->offset, work->desk, err);
  if (s == LW_OK && fixes->offset_known && fixes->offset_m != 0) {
    (void)lw_value_shown(fixes->offset_m, "m", "m", 3, shown);
    warn(work, lw_arena_format(work->desk->arena,
                               "The log itself tells the transducer's offset, %s; it is in the depths "
                               "already%s.",
                               shown, survey->offset_m.known ? ", and --offset was added to it" : ""));
  }
  return s;
}

static lw_status fill_record(importing *work, lw_survey *survey, lw_error *err)
{
  lw_kind_clear(LW_KIND_SURVEY, survey);
  survey->water = work->water.id;
  survey->used = true;
  survey->sounding_count = (double)work->fixes.count;
  survey->note = work->what->note ? work->what->note : "";
  survey->source =
      lw_arena_format(work->desk->arena, "%.200s (%s)", base_name(work->what), work->fixes.format);
  lw_status s = survey->source ? set_name(work, survey, err) : no_memory(err);
  s = s == LW_OK ? set_day(work, survey, err) : s;
  s = s == LW_OK ? set_offset(work, survey, err) : s;
  s = s == LW_OK ? lw_survey_set_level(survey, work->what->level, work->desk, err) : s;
  if (s == LW_OK && !survey->level_m.known) {
    warn(work, "The pool's level on that day is not told: taken as full pool. Give it with --level.");
  }
  return s;
}

/* ---- twins ---- */

/* The same soundings twice would count twice. Only those of equal number need to be read. */
static lw_status refuse_twin(const importing *work, lw_error *err)
{
  lw_status s = LW_OK;
  for (size_t i = 0; s == LW_OK && i < work->other_count; i++) {
    const lw_survey *other = &work->others[i];
    lw_survey whole;
    if (other->sounding_count != (double)work->fixes.count) {
      continue;
    }
    s = lw_store_get(work->desk->store, LW_KIND_SURVEY, other->id, work->scratch, &whole, err);
    if (s == LW_OK && strcmp(whole.soundings, work->text) == 0) {
      s = lw_fail(err, LW_CONFLICT,
                  "the same %zu soundings are on record already as survey '%.80s'; nothing was added",
                  work->fixes.count, other->name);
    }
  }
  return s;
}

/* ---- what became of them ---- */

static void count_skipped(importing *work)
{
  const lw_fixes *fixes = &work->fixes;
  const struct {
    const char *what;
    size_t count;
  } all[LW_SURVEY_SKIPPED] = {{"sentences with a wrong checksum", fixes->bad_checksum},
                              {"sentences that cannot be read", fixes->bad_sentence},
                              {"depths without a position", fixes->without_position},
                              {"positions without a depth", fixes->without_depth}};
  for (size_t i = 0; i < LW_SURVEY_SKIPPED; i++) {
    if (all[i].count) {
      work->report->skipped[work->report->skipped_count].what = all[i].what;
      work->report->skipped[work->report->skipped_count++].count = all[i].count;
    }
  }
}

/* How many soundings have the commonest depth, where that is more than half of them; else less. */
static size_t count_equal(const lw_fixes *fixes)
{
  double most = 0;
  size_t lead = 0;
  size_t equal = 0;
  for (size_t i = 0; i < fixes->count; i++) { /* the majority vote */
    double depth_m = fixes->fixes[i].depth_m;
    bool same = lead && !(depth_m < most) && !(depth_m > most);
    most = lead ? most : depth_m;
    lead = lead == 0 || same ? lead + 1 : lead - 1;
  }
  for (size_t i = 0; i < fixes->count; i++) {
    equal += !(fixes->fixes[i].depth_m < most) && !(fixes->fixes[i].depth_m > most);
  }
  return equal;
}

/* common practice, no source: a bottom so even is rarer than a sounder that hangs */
static void judge_stuck(importing *work)
{
  enum { LEAST = 20 };
  size_t equal = count_equal(&work->fixes);
  if (work->fixes.count >= LEAST && (double)equal > 0.9 * (double)work->fixes.count) {
    warn(work,
         lw_arena_format(work->desk->arena,
                         "%zu of %zu depths are exactly the same: the sounder may have been stuck. Check "
                         "a few depths with a rope.",
                         equal, work->fixes.count));
  }
}

static void judge(importing *work)
{
  const lw_survey_report *report = work->report;
  size_t bad = report->read - report->cleaning.count[LW_SOUNDING_GOOD];
  size_t skipped = work->fixes.bad_checksum + work->fixes.bad_sentence;
  if ((double)bad > 0.2 * (double)report->read) {
    warn(work, lw_arena_format(work->desk->arena,
                               "%zu of %zu soundings were set aside, more than a fifth. Look at them before "
                               "you rest a dose on this survey.",
                               bad, report->read));
  }
  if ((double)skipped > 0.2 * (double)report->read) {
    warn(work, "Many sentences of the log are damaged: was the file cut, or changed by an editor?");
  }
}

/* Surveys that cannot be used themselves are no measure for a new one. */
static lw_status judge_unit(const importing *work, const lw_sounding *soundings, lw_error *err)
{
  lw_work_soundings_set there = {.count = 0};
  lw_desk mine = *work->desk;
  size_t count = work->fixes.count;
  lw_status s =
      lw_survey_judge_mean(soundings, count, &work->water, work->what->depth_unit, work->scratch, err);
  if (s != LW_OK || work->other_count == 0) {
    return s;
  }
  mine.arena = work->scratch;
  if (lw_work_soundings(&there, &mine, &work->water, work->ground.plane, &work->ground.shore, NULL) !=
      LW_OK) {
    return LW_OK;
  }
  return lw_survey_judge_beside(soundings, count, &there, &work->water, work->scratch, err);
}

static lw_status clean(importing *work, const lw_survey *survey, lw_error *err)
{
  size_t count = work->fixes.count;
  const lw_cleaning how = lw_cleaning_for(&work->water);
  lw_sounding *soundings = LW_NEW(work->scratch, lw_sounding, count);
  lw_status s = soundings ? lw_soundings_place(soundings, work->fixes.fixes, count, survey, 0,
                                               work->ground.plane, work->scratch, err)
                          : no_memory(err);
  s = s == LW_OK ? lw_soundings_clean(soundings, count, &work->ground.shore, &how, &work->report->cleaning,
                                      work->scratch, err)
                 : s;
  return s == LW_OK ? judge_unit(work, soundings, err) : s;
}

/* ---- all together ---- */

static lw_status prepare(importing *work, lw_id water, lw_error *err)
{
  const lw_desk *desk = work->desk;
  const char *date = work->what->date;
  work->given = LW_NO_DAY;
  lw_status s = lw_store_get(desk->store, LW_KIND_WATER, water, desk->arena, &work->water, err);
  if (s == LW_OK && date) {
    s = lw_form_day(&work->given, "date", date, false, desk, err);
  }
  s = s == LW_OK ? lw_surveys_read(&work->others, &work->other_count, desk, water, err) : s;
  return s == LW_OK ? lw_ground_open(&work->ground, &work->water, desk, err) : s;
}

static lw_status take(importing *work, lw_error *err)
{
  char *text = NULL;
  size_t length = 0;
  lw_survey *survey = &work->report->survey;
  lw_status s = read_fixes(work, err);
  if (s != LW_OK) {
    return s;
  }
  work->report->read = work->fixes.count;
  work->report->format = work->fixes.format;
  count_skipped(work);
  s = fill_record(work, survey, err);
  s = s == LW_OK ? lw_fixes_write(&text, &length, work->fixes.fixes, work->fixes.count, work->scratch, err)
                 : s;
  work->text = text;
  s = s == LW_OK ? refuse_twin(work, err) : s;
  s = s == LW_OK ? clean(work, survey, err) : s;
  if (s == LW_OK) {
    judge(work);
    judge_stuck(work);
  }
  return s;
}

static lw_status write_survey(importing *work, lw_error *err)
{
  lw_survey_report *report = work->report;
  lw_survey record = report->survey;
  record.soundings = work->text;
  const char *shown =
      lw_arena_format(work->desk->arena, "%s: survey '%s' of %zu soundings added, %zu of them in use",
                      work->water.name, record.name, report->read, report->cleaning.count[LW_SOUNDING_GOOD]);
  lw_status s = shown ? lw_write_record(&report->entry, work->desk, LW_KIND_SURVEY, 0, &record, shown, err)
                      : no_memory(err);
  report->written = s == LW_OK;
  report->survey.id = report->entry.id;
  return s;
}

/* A dry run goes as far as the store's own checks, and takes it back. */
static lw_status try_survey(importing *work, lw_error *err)
{
  lw_id id = 0;
  lw_store *store = work->desk->store;
  lw_survey record = work->report->survey;
  const lw_change change = {
      .who = work->desk->who, .why = work->desk->why, .action = "", .at = work->desk->now};
  record.soundings = work->text;
  lw_status s = lw_store_begin(store, &change, err);
  if (s == LW_OK) {
    s = lw_store_add(store, LW_KIND_SURVEY, &record, &id, err);
    lw_store_rollback(store);
  }
  return s;
}

lw_status lw_import_survey(lw_survey_report *out, const lw_desk *desk, lw_id water,
                           const lw_survey_import *what, lw_error *err)
{
  *out = (lw_survey_report){.format = ""};
  importing work = {.desk = desk, .what = what, .report = out, .scratch = lw_arena_new(LW_SURVEY_ROOM)};
  lw_status s = work.scratch ? prepare(&work, water, err) : no_memory(err);
  s = s == LW_OK ? take(&work, err) : s;
  if (s == LW_OK) {
    s = what->dry_run ? try_survey(&work, err) : write_survey(&work, err);
  }
  /* texts of the format may lie in the file's memory */
  out->format = lw_arena_copy(desk->arena, out->format);
  lw_plane_close(work.ground.plane);
  lw_arena_free(work.scratch);
  return s == LW_OK && !out->format ? no_memory(err) : s;
}
