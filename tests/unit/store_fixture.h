/* SPDX-License-Identifier: Apache-2.0 */
/* What the tests of the store share: a folder of their own, short ways to write, and the invented
 * waters of the demo. */
#ifndef LW_TESTS_STORE_FIXTURE_H
#define LW_TESTS_STORE_FIXTURE_H

#include "check.h"

#include "base/quantity.h"
#include "store/internal.h"

#include <dirent.h>
#include <fcntl.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

typedef struct fixture {
  char folder[128], path[160];
  lw_store *store;
  lw_arena *arena;
  lw_error err;
} fixture;

static const lw_change fixture_change = {"keeper", "as the sheet says", "test", 1776247200000};

/* Fails the test with the message when a call did not succeed. */
#define assert_ok(f, call)                                                                                   \
  do {                                                                                                       \
    lw_status status_ = (call);                                                                              \
    if (status_ != LW_OK) {                                                                                  \
      print_error("%s: %s: %s\n", #call, lw_status_id(status_), (f)->err.message);                           \
      _fail(__FILE__, __LINE__);                                                                             \
    }                                                                                                        \
  } while (0)

/* The call is refused with this status, and the message holds the piece. */
#define assert_refused(f, call, wanted, piece)                                                               \
  do {                                                                                                       \
    (f)->err = (lw_error){0};                                                                                \
    lw_status got_ = (call);                                                                                 \
    if (got_ != (wanted) || (f)->err.status != got_) {                                                       \
      print_error("%s: got %s (%s), expected %s\n", #call, lw_status_id(got_), (f)->err.message,             \
                  lw_status_id(wanted));                                                                     \
      _fail(__FILE__, __LINE__);                                                                             \
    }                                                                                                        \
    check_holds((f)->err.message, (piece), __FILE__, __LINE__);                                              \
  } while (0)

static inline void fixture_reopen(fixture *f)
{
  lw_store_close(f->store);
  f->store = NULL;
  assert_ok(f, lw_store_open(&f->store, f->path, &f->err));
}

static inline int fixture_begin(void **state)
{
  fixture *f = calloc(1, sizeof *f);
  const char *temporary = getenv("TMPDIR");
  if (!temporary) { /* in memory where there is such a folder: the tests sync thousands of times */
    temporary = access("/dev/shm", W_OK) == 0 ? "/dev/shm" : "/tmp";
  }
  (void)snprintf(f->folder, sizeof f->folder, "%.80s/lakeward-store-XXXXXX", temporary);
  if (!mkdtemp(f->folder)) {
    free(f);
    return -1;
  }
  (void)snprintf(f->path, sizeof f->path, "%s/farm.lakeward", f->folder);
  f->arena = lw_arena_new(0);
  *state = f;
  if (lw_store_create(f->path, &f->err) != LW_OK || lw_store_open(&f->store, f->path, &f->err) != LW_OK) {
    print_error("%s\n", f->err.message);
    return -1;
  }
  return 0;
}

static inline void remove_tree(int folder, const char *name)
{
  int fd = openat(folder, name, O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC);
  DIR *entries = fd < 0 ? NULL : fdopendir(fd);
  for (struct dirent *entry; entries && (entry = readdir(entries)) != NULL;) {
    if (strcmp(entry->d_name, ".") != 0 && strcmp(entry->d_name, "..") != 0) {
      remove_tree(fd, entry->d_name);
    }
  }
  if (entries) {
    (void)closedir(entries);
  }
  (void)unlinkat(folder, name, entries ? AT_REMOVEDIR : 0);
}

static inline int fixture_end(void **state)
{
  fixture *f = *state;
  lw_store_close(f->store);
  lw_arena_free(f->arena);
  remove_tree(AT_FDCWD, f->folder);
  free(f);
  return 0;
}

#define store_test(name) cmocka_unit_test_setup_teardown(name, fixture_begin, fixture_end)

/* ---- one write, one change ---- */

static inline lw_id add_one(fixture *f, lw_kind_id kind, const void *record)
{
  lw_id id = 0;
  lw_id change = 0;
  assert_ok(f, lw_store_begin(f->store, &fixture_change, &f->err));
  assert_ok(f, lw_store_add(f->store, kind, record, &id, &f->err));
  assert_ok(f, lw_store_commit(f->store, &change, &f->err));
  return id;
}

static inline lw_id update_one(fixture *f, lw_kind_id kind, lw_id id, const void *record)
{
  lw_id change = 0;
  assert_ok(f, lw_store_begin(f->store, &fixture_change, &f->err));
  assert_ok(f, lw_store_update(f->store, kind, id, record, &f->err));
  assert_ok(f, lw_store_commit(f->store, &change, &f->err));
  return change;
}

static inline lw_id remove_one(fixture *f, lw_kind_id kind, lw_id id)
{
  lw_id change = 0;
  assert_ok(f, lw_store_begin(f->store, &fixture_change, &f->err));
  assert_ok(f, lw_store_remove(f->store, kind, id, &f->err));
  assert_ok(f, lw_store_commit(f->store, &change, &f->err));
  return change;
}

/* Adding this is refused. */
#define assert_add_refused(f, kind, record, wanted, piece)                                                   \
  do {                                                                                                       \
    lw_id id_ = 0;                                                                                           \
    assert_ok(f, lw_store_begin((f)->store, &fixture_change, &(f)->err));                                    \
    assert_refused(f, lw_store_add((f)->store, (kind), (record), &id_, &(f)->err), wanted, piece);           \
    lw_store_rollback((f)->store);                                                                           \
  } while (0)

/* ---- records ---- */

static const char fixture_outline[] =
    "{\"type\":\"Polygon\",\"coordinates\":[[[-85.1,33.0],[-85.09,33.0],[-85.09,33.01],"
    "[-85.1,33.01],[-85.1,33.0]]]}";

static inline lw_water water_named(const char *name)
{
  lw_water water;
  lw_kind_clear(LW_KIND_WATER, &water);
  water.name = name;
  return water;
}

/* Every member set. */
static inline lw_water full_water(const char *name)
{
  return (lw_water){.name = name,
                    .latitude = lw_known(33.005),
                    .longitude = lw_known(-85.095),
                    .elevation_m = lw_known(212.5),
                    .area_m2 = lw_known(153780.5434),
                    .mean_depth_m = lw_known(2.1),
                    .max_depth_m = lw_known(6.25),
                    .outline = fixture_outline,
                    .outline_area_m2 = lw_known(1036000.125),
                    .outline_perimeter_m = lw_known(4086.1),
                    .aim_low_m = lw_known(0.4572),
                    .aim_high_m = lw_known(0.6096),
                    .alarm_m = lw_known(0.3048),
                    .start_temperature_c = lw_known(15.6),
                    .season_start = "03-15",
                    .season_end = "10-31",
                    .outflow_m3_s = lw_known(0.0283168466),
                    .pellets_kg_ha_day = lw_known(0),
                    .use = "fishing",
                    .harvest = "yes",
                    .downstream = "neighbours",
                    .fish = "stocked",
                    .units = "us",
                    .note = "dammed valley, one arm\n\"the long one\" \\ caf\xc3\xa9, 5% \xe2\x80\x94"};
}

static inline lw_reading reading_of(lw_id water, const char *quantity, double value, lw_day day)
{
  lw_reading reading;
  lw_kind_clear(LW_KIND_READING, &reading);
  reading.water = water;
  reading.quantity = quantity;
  reading.value = value;
  reading.day = day;
  return reading;
}

static inline lw_material material_named(const char *name)
{
  return (lw_material){.name = name,
                       .kind = "fertilizer",
                       .form = "soluble-powder",
                       .grade = "12-48-8",
                       .package_kg = lw_known(22.6796185),
                       .price = lw_known(61.5),
                       .note = ""};
}

static inline lw_day day_of(int year, int month, int day)
{
  return lw_day_from_civil((lw_civil){year, month, day});
}

static const char fixture_soundings[] = "longitude,latitude,depth (m),time,track\n"
                                        "-85.09612345,33.00512345,1.250,1776247200.000,0\n"
                                        "-85.09512345,33.00522345,2.500,1776247201.500,0\n"
                                        "-85.09412345,33.00532345,-0.100,,\n";

/* Every member set. */
static inline lw_survey full_survey(lw_id water)
{
  return (lw_survey){.water = water,
                     .name = "run3",
                     .day = day_of(2026, 4, 15),
                     .level_m = lw_known(-0.4),
                     .offset_m = lw_known(0.2),
                     .used = true,
                     .soundings = fixture_soundings,
                     .sounding_count = 3,
                     .kept = "1",
                     .dropped = "2-3",
                     .source = "run3.nmea (NMEA 0183)",
                     .note = "calm"};
}

/* One full record of every kind, each in its own change. */
static inline void fill_every_kind(fixture *f)
{
  lw_day day = day_of(2026, 4, 15);
  lw_water water = full_water("Upper Sedge");
  lw_id w = add_one(f, LW_KIND_WATER, &water);
  lw_zone zone = {.water = w,
                  .name = "North arm",
                  .kind = "bay",
                  .outline = fixture_outline,
                  .area_m2 = lw_known(40000),
                  .note = "shallow, weedy"};
  lw_id z = add_one(f, LW_KIND_ZONE, &zone);
  lw_reading reading = {.water = w,
                        .quantity = "secchi",
                        .value = 1.016,
                        .depth_m = lw_known(0.3),
                        .day = day,
                        .minute = lw_known(725),
                        .by = "first hand",
                        .way = "disk",
                        .note = "clear"};
  (void)add_one(f, LW_KIND_READING, &reading);
  lw_reading color = reading_of(w, "water-color", 1, day);
  (void)add_one(f, LW_KIND_READING, &color);
  lw_material material = material_named("Soluble powder 12-48-8");
  lw_id m = add_one(f, LW_KIND_MATERIAL, &material);
  lw_lot lot = {.material = m, .day = day, .packages = 12, .price = lw_known(60), .note = "shed"};
  (void)add_one(f, LW_KIND_LOT, &lot);
  lw_treatment treatment = {.water = w,
                            .material = m,
                            .zone = z,
                            .day = day,
                            .mass_kg = 68.0388555,
                            .volume_l = lw_known(1.5),
                            .purpose = "feed",
                            .conditions = "wind 2 m/s",
                            .by = "keeper",
                            .note = "from the boat"};
  (void)add_one(f, LW_KIND_TREATMENT, &treatment);
  lw_note note = {.water = 0, .day = day, .text = "Screen fixed.", .by = "second hand"};
  (void)add_one(f, LW_KIND_NOTE, &note);
  lw_weather weather = {.water = w,
                        .day = day,
                        .forecast = true,
                        .issued = day - 1,
                        .rain_mm = lw_known(12.5),
                        .wind_m_s = lw_known(3),
                        .air_c = lw_known(-2.5),
                        .cloud_pct = lw_known(80),
                        .source = "own gauge"};
  (void)add_one(f, LW_KIND_WEATHER, &weather);
  lw_weather observed = {.water = 0, .day = day, .issued = LW_NO_DAY, .source = ""};
  (void)add_one(f, LW_KIND_WEATHER, &observed);
  lw_override override = {
      .water = w, .rule = "season", .reason = "warm spring", .day = day, .until = day + 30, .by = "keeper"};
  (void)add_one(f, LW_KIND_OVERRIDE, &override);
  lw_setting setting = {.key = "units", .value = "us"};
  (void)add_one(f, LW_KIND_SETTING, &setting);
  lw_survey survey = full_survey(w);
  (void)add_one(f, LW_KIND_SURVEY, &survey);
}

/* The check finds nothing. */
static inline void assert_whole(fixture *f, lw_store *store)
{
  lw_check_report report;
  assert_ok(f, lw_store_check(store, f->arena, &report, &f->err));
  for (size_t i = 0; i < report.problem_count; i++) {
    print_error("check: %s\n", report.problems[i]);
  }
  assert_int_equal(report.problem_count, 0);
}

#endif
