/* SPDX-License-Identifier: Apache-2.0 */
#include "demo/soundings.h"

#include "demo/sounder.h"
#include "exchange/files.h"
#include "work/entries.h"
#include "work/surveys.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

#define FOOT 0.3048
#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

enum { LOG_MOST = 16 * 1024 * 1024, READ_IN_MINUTE = 20 * 60 + 5, STREAM = 60, DEPTH_TEXT = 24 };

static const char read_in_on[] = "2026-04-02";

/* ---- the logs ---- */

const lw_demo_log_file lw_demo_log_files[LW_DEMO_LOGS] = {
    {LW_DEMO_UPPER_SEDGE, "upper-sedge.nmea", "upper-sedge", "-1.2 ft", NULL,
     "First hand's boat, lines across from the dam up, then the long axis. Pool a foot and more down."},
    {LW_DEMO_LONG_RUN, "long-run.nmea", "long-run", "0 ft", "1 ft",
     "Main body, lines across from the dam to the creek mouth. Pool at the weir's crest."},
    {LW_DEMO_LONG_RUN, "long-run-arms.csv", "long-run-arms", "-0.8 ft", NULL,
     "Both arms, with a borrowed sounder that writes feet below the surface."},
};

typedef struct trip {
  lw_demo_format format;
  double transducer_m;
  lw_demo_cruise cruise;
} trip;

static const trip trips[LW_DEMO_LOGS] = {
    {LW_DEMO_NMEA_DPT,
     0.25,
     {LW_DEMO_UPPER_SEDGE,
      "2025-10-18",
      8 * 60 + 20,
      -1.2 * FOOT,
      {-86.12872, 33.05615},
      STREAM,
      {{{-86.1350, 33.0552, -86.1283, 33.05528}, {-86.1350, 33.0621, -86.1283, 33.06218}, 25},
       {{-86.1303, 33.0552, -86.1304, 33.0584}, {-86.1303, 33.0552, -86.1304, 33.0584}, 1},
       {{-86.1304, 33.0584, -86.1287, 33.0621}, {-86.1304, 33.0584, -86.1287, 33.0621}, 1},
       {{-86.1310, 33.0581, -86.1340, 33.0593}, {-86.1310, 33.0581, -86.1340, 33.0593}, 1}}}},
    {LW_DEMO_NMEA_DBT,
     FOOT,
     {LW_DEMO_LONG_RUN,
      "2025-05-10",
      7 * 60 + 45,
      0,
      {-86.13379, 33.0342},
      STREAM + 1,
      {{{-86.1342, 33.0330, -86.1307, 33.0331}, {-86.1342, 33.0474, -86.1307, 33.0475}, 25},
       {{-86.1323, 33.0329, -86.1327, 33.0379}, {-86.1323, 33.0329, -86.1327, 33.0379}, 1},
       {{-86.1327, 33.0379, -86.1324, 33.0428}, {-86.1327, 33.0379, -86.1324, 33.0428}, 1},
       {{-86.1324, 33.0428, -86.1317, 33.0476}, {-86.1324, 33.0428, -86.1317, 33.0476}, 1}}}},
    {LW_DEMO_TABLE,
     0,
     {LW_DEMO_LONG_RUN,
      "2024-09-21",
      9 * 60 + 10,
      -0.8 * FOOT,
      {-86.13379, 33.0342},
      STREAM + 2,
      {{{-86.1342, 33.0364, -86.1341, 33.0396}, {-86.1387, 33.0374, -86.1386, 33.0399}, 14},
       {{-86.1338, 33.0377, -86.1384, 33.0390}, {-86.1338, 33.0377, -86.1384, 33.0390}, 1},
       {{-86.1309, 33.0398, -86.1308, 33.0420}, {-86.1274, 33.0400, -86.1273, 33.0420}, 12},
       {{-86.1312, 33.0407, -86.1273, 33.0414}, {-86.1312, 33.0407, -86.1273, 33.0414}, 1}}}},
};

lw_status lw_demo_log_text(lw_text *out, size_t index, uint64_t seed, lw_error *err)
{
  const trip *t = &trips[index];
  const lw_demo_sounder sounder = {t->format, t->transducer_m, seed, STREAM - 1 - (uint32_t)index};
  lw_demo_bed bed = {.plane = NULL};
  lw_demo_ping *pings = NULL;
  size_t count = 0;
  lw_arena *arena = lw_arena_new(0);
  lw_status s = arena ? lw_demo_bed_open(&bed, t->cruise.place, arena, err)
                      : lw_fail(err, LW_MEMORY, "no memory for the demonstration");
  s = s == LW_OK ? lw_demo_sail(&pings, &count, &bed, &t->cruise, seed, arena, err) : s;
  s = s == LW_OK ? lw_demo_log(out, pings, count, &sounder, err) : s;
  lw_demo_bed_close(&bed);
  lw_arena_free(arena);
  return s;
}

static lw_status read_in(lw_desk *desk, size_t index, const lw_demo_ids *ids, uint64_t seed, lw_error *err)
{
  const lw_demo_log_file *f = &lw_demo_log_files[index];
  lw_survey_report report;
  lw_text text = LW_TEXT(LOG_MOST);
  lw_status s = lw_demo_log_text(&text, index, seed, err);
  const lw_survey_import what = {.file = f->file,
                                 .name = f->survey,
                                 .text = lw_text_view(&text),
                                 .length = text.length,
                                 .level = f->level,
                                 .offset = f->offset,
                                 .note = f->note};
  s = s == LW_OK ? lw_import_survey(&report, desk, ids->waters[f->place], &what, err) : s;
  lw_text_free(&text);
  return s;
}

/* ---- as files ---- */

static lw_status write_log(const char *path, size_t index, uint64_t seed, lw_error *err)
{
  lw_text text = LW_TEXT(LOG_MOST);
  lw_status s = lw_demo_log_text(&text, index, seed, err);
  s = s == LW_OK ? lw_file_write(path, lw_text_view(&text), text.length, 0, err) : s;
  lw_text_free(&text);
  return s;
}

/* All are looked for before any is written. */
static lw_status refuse_taken(const char *folder, lw_arena *arena, lw_error *err)
{
  struct stat info;
  for (size_t i = 0; i < LW_DEMO_LOGS; i++) {
    const char *path = lw_arena_format(arena, "%s/%s", folder, lw_demo_log_files[i].file);
    if (!path) {
      return lw_fail(err, LW_MEMORY, "no memory for the demonstration");
    }
    if (lstat(path, &info) == 0) {
      return lw_fail(err, LW_CONFLICT, "'%.300s' exists already; use another folder", path);
    }
  }
  return LW_OK;
}

static lw_status write_logs(const char *folder, uint64_t seed, lw_arena *arena, lw_error *err)
{
  if (mkdir(folder, 0777) != 0 && errno != EEXIST) {
    return lw_fail(err, LW_IO, "'%.300s': cannot make this folder: %s", folder, strerror(errno));
  }
  lw_status s = refuse_taken(folder, arena, err);
  for (size_t i = 0; s == LW_OK && i < LW_DEMO_LOGS; i++) {
    const char *path = lw_arena_format(arena, "%s/%s", folder, lw_demo_log_files[i].file);
    s = path ? write_log(path, i, seed, err) : lw_fail(err, LW_MEMORY, "no memory for the demonstration");
  }
  return s;
}

lw_status lw_demo_write_logs(const char *folder, uint64_t seed, lw_error *err)
{
  lw_arena *arena = lw_arena_new(0);
  lw_status s = arena ? write_logs(folder, seed, arena, err)
                      : lw_fail(err, LW_MEMORY, "no memory for the demonstration");
  lw_arena_free(arena);
  return s;
}

/* ---- by rope ---- */

static const double rope_places[][2] = {{-86.12208, 33.04884}, {-86.12163, 33.04877}, {-86.12190, 33.04913},
                                        {-86.12148, 33.04920}, {-86.12166, 33.04948}, {-86.12108, 33.04900},
                                        {-86.12105, 33.04938}, {-86.12062, 33.04913}, {-86.12053, 33.04948},
                                        {-86.12120, 33.04968}, {-86.12070, 33.04978}, {-86.12057, 33.04998}};

/* Marks on the rope are half a foot apart. */
static lw_status read_rope(lw_desk *desk, const lw_demo_bed *bed, const double place[2], lw_id water,
                           lw_error *err)
{
  lw_entry entry;
  lw_spot spot;
  char at[2 * DEPTH_TEXT];
  char depth[DEPTH_TEXT];
  lw_status s = lw_plane_to(&spot, place, 1, bed->plane, err);
  if (s != LW_OK) {
    return s;
  }
  (void)snprintf(at, sizeof at, "%.5f,%.5f", place[1], place[0]);
  (void)snprintf(depth, sizeof depth, "%.1f ft", round(lw_demo_bed_depth_m(bed, spot) / FOOT * 2) / 2);
  const lw_field fields[] = {{"place", at}, {"depth", depth}, {"on", "2026-03-22"}, {"level", "0 ft"}};
  const lw_form form = {fields, COUNT(fields)};
  return lw_add_sounding(&entry, desk, water, &form, err);
}

static lw_status read_ropes(lw_desk *desk, const lw_demo_ids *ids, lw_error *err)
{
  const lw_instant minute = 60000;
  lw_demo_bed bed;
  lw_status s = lw_demo_bed_open(&bed, LW_DEMO_HERON_POOL, desk->arena, err);
  for (size_t i = 0; s == LW_OK && i < COUNT(rope_places); i++) {
    desk->now += minute;
    s = read_rope(desk, &bed, rope_places[i], ids->waters[LW_DEMO_HERON_POOL], err);
  }
  lw_demo_bed_close(&bed);
  return s;
}

lw_status lw_demo_write_surveys(lw_store *store, const lw_demo_ids *ids, uint64_t seed, lw_arena *arena,
                                lw_error *err)
{
  const lw_instant minute = 60000;
  lw_desk desk = {.store = store, .arena = arena, .who = "the keeper", .why = "the sounders' cards read in"};
  lw_status s = lw_date_parse(&desk.today, "demo", read_in_on, err);
  desk.now = lw_demo_instant(desk.today, READ_IN_MINUTE);
  for (size_t i = 0; s == LW_OK && i < LW_DEMO_LOGS; i++) {
    s = read_in(&desk, i, ids, seed, err);
    desk.now += 3 * minute;
  }
  desk.why = "typed in from the round card";
  return s == LW_OK ? read_ropes(&desk, ids, err) : s;
}
