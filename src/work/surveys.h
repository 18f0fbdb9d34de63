/* SPDX-License-Identifier: Apache-2.0 */
/* Surveys of a water: a file of soundings becomes one, its soundings are held against the outline and
 * against each other, and the owner has the last word on each. What is set aside is never deleted. All
 * surveys together are what the depth map rests on: lw_work_soundings. Writes are one change each and
 * can be undone; what is refused changes nothing. */
#ifndef LW_WORK_SURVEYS_H
#define LW_WORK_SURVEYS_H

#include "basin/shore.h"
#include "basin/soundings.h"
#include "exchange/plane.h"
#include "work/desk.h"

#include <jansson.h>

/* ---- all soundings of a water ---- */

/* Those of the surveys that are used, survey after survey in the order of day and id, each in the order
 * of its own text: the soundings of survey k are first[k] to first[k + 1] - 1. In the desk's arena. */
typedef struct lw_work_soundings_set {
  lw_sounding *soundings; /* in the plane, depths below full pool; cleaned, owner's marks set, tracks given */
  size_t count;
  lw_survey *surveys; /* as lists give them: soundings NULL */
  size_t survey_count;
  size_t *first; /* survey_count + 1 numbers */
  size_t tracks;
  lw_cleaning_report report;
} lw_work_soundings_set;

/* The number by which its owner knows sounding `index`: from 1, in the order of its survey's text. */
size_t lw_sounding_number(const lw_work_soundings_set *set, size_t index);

/* `plane` and `shore` are the water's (lw_ground_open). A water without surveys in use gives count 0.
 * LW_INVALID where the soundings cannot be of this water, with the likely cause. */
LW_MUST_CHECK lw_status lw_work_soundings(lw_work_soundings_set *out, const lw_desk *desk,
                                          const lw_water *water, const lw_plane *plane, const lw_shore *shore,
                                          lw_error *err);

/* What became of the soundings of one survey. */
typedef struct lw_survey_tally {
  lw_id id;
  size_t flaws[LW_SOUNDING_FLAW_COUNT]; /* LW_SOUNDING_GOOD: used */
} lw_survey_tally;

/* ---- import ---- */

/* Texts are as typed, NULL where not given. Either `path`, or `text` with `file`, its name. */
typedef struct lw_survey_import {
  const char *path;
  const char *file, *text;
  size_t length;
  const char *depth_field, *depth_unit, *system; /* as lw_soundings_how has them */
  const char *level;                             /* "-0.4 m"; a bare number is metres */
  const char *offset;                            /* of the transducer below the surface */
  const char *date;                              /* else the file's own, else today */
  const char *name;                              /* else from the file's name, made unique */
  const char *note;
  bool dry_run; /* everything but writing */
} lw_survey_import;

enum { LW_SURVEY_SKIPPED = 4, LW_SURVEY_WARNINGS = 8 };

typedef struct lw_survey_report {
  bool written;
  lw_entry entry;   /* of what was written */
  lw_survey survey; /* as written or as it would be; soundings NULL */
  const char *format;
  size_t read; /* soundings in the file */
  lw_cleaning_report cleaning;
  struct {
    const char *what; /* "sentences with a wrong checksum" */
    size_t count;
  } skipped[LW_SURVEY_SKIPPED];
  size_t skipped_count;
  const char *warnings[LW_SURVEY_WARNINGS];
  size_t warning_count;
} lw_survey_report;

/* LW_INVALID for a water without outline and for files that cannot be right (exchange/soundings.h,
 * basin/soundings.h), with the likely cause; LW_CONFLICT when the same soundings are on record. */
LW_MUST_CHECK lw_status lw_import_survey(lw_survey_report *out, const lw_desk *desk, lw_id water,
                                         const lw_survey_import *what, lw_error *err);

/* ---- the owner's word ---- */

/* By name, without case; LW_NOT_FOUND says which there are. soundings NULL. */
LW_MUST_CHECK lw_status lw_find_survey(lw_survey *out, const lw_desk *desk, lw_id water, const char *name,
                                       lw_error *err);
LW_MUST_CHECK lw_status lw_get_survey(lw_survey *out, const lw_desk *desk, lw_id id, lw_error *err);

/* Keys: use or used, level, offset, name or rename, note, date, kept, dropped. */
LW_MUST_CHECK lw_status lw_change_survey(lw_entry *out, const lw_desk *desk, lw_id id, const lw_form *form,
                                         lw_error *err);

/* Numbers such as "3,17-20": restored ones are used whatever the tests say, dropped ones are not. */
LW_MUST_CHECK lw_status lw_restore_soundings(lw_entry *out, const lw_desk *desk, lw_id id,
                                             const char *numbers, lw_error *err);
LW_MUST_CHECK lw_status lw_drop_soundings(lw_entry *out, const lw_desk *desk, lw_id id, const char *numbers,
                                          lw_error *err);

LW_MUST_CHECK lw_status lw_remove_survey(lw_entry *out, const lw_desk *desk, lw_id id, lw_error *err);

/* One depth read with a rope. Keys: place ("33.1,-86.4") or latitude and longitude in degrees; depth with
 * its unit ("9 ft"); on or date; level. It joins the survey "By rope DATE" of that day and level. LW_INVALID
 * for a place off the water. */
LW_MUST_CHECK lw_status lw_add_sounding(lw_entry *out, const lw_desk *desk, lw_id water, const lw_form *form,
                                        lw_error *err);

/* ---- lists ---- */

typedef struct lw_survey_list {
  lw_survey *surveys; /* by day, then id; soundings NULL */
  lw_survey_tally *tallies;
  size_t count;
  lw_unit_system units;
} lw_survey_list;

/* Quick: what became of the soundings is kept in the store's cache. Where they cannot be judged (no
 * outline, outline changed since) *fault tells why and the tallies are 0. */
LW_MUST_CHECK lw_status lw_list_surveys(lw_survey_list *out, const lw_desk *desk, lw_id water,
                                        const char **fault, lw_error *err);

/* One sounding that is set aside. */
typedef struct lw_removed {
  const lw_survey *survey;
  size_t number;
  double longitude, latitude;
  double depth_m; /* below full pool */
  lw_sounding_flaw flaw;
} lw_removed;

typedef struct lw_removed_list {
  lw_removed *items;
  size_t count;
  lw_unit_system units;
} lw_removed_list;

/* Of all surveys in use, or of the one named, be it used or not. */
LW_MUST_CHECK lw_status lw_list_removed(lw_removed_list *out, const lw_desk *desk, lw_id water,
                                        const char *name, lw_error *err);

/* ---- as JSON (json_surveys.c): new references, NULL when memory is short ---- */

/* {"id","name","date","level":Q|null,"offset":Q|null,"used","source","note","soundings","used_soundings",
 * "kept","dropped","set_aside":[{"reason","text","count"}]}. `tally` NULL: nothing is known to be set
 * aside. */
json_t *lw_survey_json(const lw_survey *survey, const lw_survey_tally *tally, lw_unit_system units);
json_t *lw_surveys_json(const lw_survey_list *list, const char *fault);
json_t *lw_survey_report_json(const lw_survey_report *report, lw_unit_system units);
json_t *lw_removed_json(const lw_removed_list *list);

#endif
