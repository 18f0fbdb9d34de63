/* SPDX-License-Identifier: Apache-2.0 */
/* The demonstration: it tells its four stories, is the same each time, and is whole. */
#include "store_fixture.h"

#include "demo/places.h"
#include "demo/sedgewater.h"
#include "work/entries.h"
#include "work/now.h"

enum { OTHER_SEED = 7 };

static const double acre_m2 = 4046.8564224;
static const double inch_m = 0.0254;

typedef struct club {
  fixture f; /* its store is the demonstration */
  lw_desk desk;
  lw_now now;
} club;

static void look(club *c)
{
  assert_ok(&c->f, lw_date_parse(&c->desk.today, "today", LW_DEMO_TODAY, &c->f.err));
  c->desk.store = c->f.store;
  c->desk.arena = c->f.arena;
  c->desk.now = lw_demo_instant(c->desk.today, 600);
  c->desk.who = "first hand";
  c->desk.why = "";
  assert_ok(&c->f, lw_work_now(&c->now, &c->desk, c->desk.today, NULL, &c->f.err));
}

static void write_and_open(club *c, uint64_t seed, const char *name)
{
  lw_store_close(c->f.store);
  c->f.store = NULL;
  (void)snprintf(c->f.path, sizeof c->f.path, "%.120s/%s", c->f.folder, name);
  assert_ok(&c->f, lw_demo_write(c->f.path, seed, &c->f.err));
  assert_ok(&c->f, lw_store_open(&c->f.store, c->f.path, &c->f.err));
}

static int begin(void **state)
{
  club *c = calloc(1, sizeof *c);
  (void)snprintf(c->f.folder, sizeof c->f.folder, "/tmp/lakeward-demo-XXXXXX");
  c->f.arena = lw_arena_new(0);
  *state = c;
  if (!mkdtemp(c->f.folder)) {
    return -1;
  }
  write_and_open(c, LW_DEMO_SEED, "club.lake");
  look(c);
  return 0;
}

static int end(void **state)
{
  club *c = *state;
  lw_store_close(c->f.store);
  lw_arena_free(c->f.arena);
  remove_tree(AT_FDCWD, c->f.folder);
  free(c);
  return 0;
}

/* ---- the stories ---- */

static const lw_item *item_of(const club *c, lw_demo_place place, const char *subject)
{
  for (size_t i = 0; i < c->now.count; i++) {
    const lw_water_advice *w = &c->now.waters[i];
    for (size_t k = 0; strcmp(w->water, lw_demo_names[place]) == 0 && k < w->item_count; k++) {
      if (strcmp(w->items[k].subject, subject) == 0) {
        return &w->items[k];
      }
    }
  }
  fail_msg("no '%s' for %s", subject, lw_demo_names[place]);
  return NULL;
}

static void assert_says(const club *c, lw_demo_place place, const char *subject, lw_verdict verdict,
                        const char *rule)
{
  const lw_item *item = item_of(c, place, subject);
  if (item->verdict != verdict) {
    fail_msg("%s, %s: %s (%s)", lw_demo_names[place], subject, lw_verdict_word(item->verdict),
             item->headline);
  }
  assert_true(item->reason_count > 0);
  assert_string_equal(item->reasons[0].rule, rule);
  assert_true(item->reasons[0].decides);
}

static void assert_four_stories(const club *c)
{
  assert_int_equal(c->now.count, LW_DEMO_WATERS);
  assert_says(c, LW_DEMO_UPPER_SEDGE, "feeding the bloom", LW_DO, "feed-clarity");
  assert_says(c, LW_DEMO_UPPER_SEDGE, "missing measurements", LW_HOLD, "measure-due");
  assert_says(c, LW_DEMO_HERON_POOL, "lime", LW_DO, "lime-alkalinity");
  assert_says(c, LW_DEMO_HERON_POOL, "feeding the bloom", LW_HOLD, "feed-alkalinity");
  assert_says(c, LW_DEMO_LONG_RUN, "feeding the bloom", LW_ASK, "feed-clarity");
  assert_says(c, LW_DEMO_BRICKYARD, "feeding the bloom", LW_HOLD, "feed-mud");
  assert_says(c, LW_DEMO_BRICKYARD, "too-green water", LW_HOLD, "green-disk");
  assert_holds(item_of(c, LW_DEMO_BRICKYARD, "too-green water")->headline, "mud, not a bloom");
  assert_string_equal(item_of(c, LW_DEMO_LONG_RUN, "feeding the bloom")->measure, "secchi");
}

static const lw_choice *chosen(const lw_item *item)
{
  for (size_t i = 0; i < item->choice_count; i++) {
    if (item->choices[i].chosen) {
      return &item->choices[i];
    }
  }
  fail_msg("nothing chosen: %s", item->headline);
  return NULL;
}

/* 38 acres at 6 lb of 52 % an acre is 247 lb of a 48 % powder: five sacks, and eight are there. */
static void tells_its_stories(void **state)
{
  club *c = *state;
  assert_four_stories(c);
  const lw_choice *powder = chosen(item_of(c, LW_DEMO_UPPER_SEDGE, "feeding the bloom"));
  assert_string_equal(powder->grade, "12-48-8");
  assert_close(powder->packages.value, 5, 0);
  assert_close(powder->left.value, 8, 1e-9);
  assert_close(powder->to_buy.value, 0, 0);
  const lw_item *lime = item_of(c, LW_DEMO_HERON_POOL, "lime");
  assert_string_equal(lime->amount.method, "lime-requirement");
  /* Boyd's table at mud pH 5.2 and buffer 7.5: 1954 kg/ha, over 95 % and 85 %, on 6 acres */
  assert_close(lime->amount.value, 1954 / 0.95 / 0.85 * 6 * acre_m2 / 1e4, 5);
}

static bool has_caution(const lw_item *item, const char *piece)
{
  bool found = false;
  for (size_t i = 0; i < item->caution_count; i++) {
    found = found || strstr(item->cautions[i], piece) != NULL;
  }
  return found;
}

/* What the page's own test does: the disk at Long Run turns 'ask' into 'do'. */
static void a_disk_reading_settles_long_run(void **state)
{
  club *c = *state;
  static const lw_field fields[] = {{"value", "40 in"}};
  const lw_form form = {fields, 1};
  lw_water water;
  lw_entry entry;
  assert_true(has_caution(item_of(c, LW_DEMO_LONG_RUN, "feeding the bloom"), "neighbours"));
  assert_ok(&c->f, lw_store_find_water(c->f.store, "Long Run", c->f.arena, &water, &c->f.err));
  assert_ok(&c->f, lw_add_reading(&entry, &c->desk, water.id, "secchi", &form, &c->f.err));
  look(c);
  assert_says(c, LW_DEMO_LONG_RUN, "feeding the bloom", LW_DO, "feed-clarity");
  assert_says(c, LW_DEMO_LONG_RUN, "too-green water", LW_HOLD, "green-disk");
  const lw_item *feed = item_of(c, LW_DEMO_LONG_RUN, "feeding the bloom");
  assert_true(has_caution(feed, "neighbours"));
  assert_close(chosen(feed)->packages.value, 12, 0); /* 624 lb, to the nearest sack */
  assert_close(chosen(feed)->to_buy.value, 4, 0);
  assert_ok(&c->f, lw_undo(&entry, &c->desk, entry.change, &c->f.err));
  look(c);
  assert_four_stories(c);
}

static void a_wet_month_holds_long_run(void **state)
{
  club *c = *state;
  lw_water water;
  assert_ok(&c->f, lw_store_find_water(c->f.store, "Long Run", c->f.arena, &water, &c->f.err));
  double days = water.outline_area_m2.value * water.mean_depth_m.value / water.outflow_m3_s.value / 86400;
  assert_close(days, 21, 1);
  const lw_item *feed = item_of(c, LW_DEMO_LONG_RUN, "feeding the bloom");
  bool found = false;
  for (size_t i = 0; i < feed->reason_count; i++) {
    found = found || (strcmp(feed->reasons[i].rule, "feed-retention") == 0 &&
                      strstr(feed->reasons[i].text, "26 days") != NULL);
  }
  assert_true(found);
}

/* ---- the records ---- */

static void areas_are_as_told(void **state)
{
  club *c = *state;
  static const double acres[LW_DEMO_WATERS] = {38, 6, 96, 2};
  for (int place = 0; place < LW_DEMO_WATERS; place++) {
    lw_water w;
    assert_ok(&c->f, lw_store_find_water(c->f.store, lw_demo_names[place], c->f.arena, &w, &c->f.err));
    assert_false(w.area_m2.known);
    assert_close(w.outline_area_m2.value / acre_m2, acres[place], 0.03 * acres[place]);
    assert_true(w.latitude.value > 33 && w.latitude.value < 33.1);
  }
}

static size_t zones_of_kind(const lw_zone *zones, size_t count, const char *kind, double within_m2)
{
  size_t found = 0;
  for (size_t i = 0; i < count; i++) {
    assert_true(zones[i].area_m2.known && zones[i].area_m2.value < within_m2);
    found += strcmp(zones[i].kind, kind) == 0;
  }
  return found;
}

static void big_waters_have_zones(void **state)
{
  club *c = *state;
  static const char *const kinds[] = {"bay", "launch", "spillway", "hazard"};
  static const struct {
    lw_demo_place place;
    size_t arms;
  } big[] = {{LW_DEMO_UPPER_SEDGE, 1}, {LW_DEMO_LONG_RUN, 2}};
  for (size_t i = 0; i < 2; i++) {
    lw_water w;
    lw_zone *zones = NULL;
    size_t n = 0;
    assert_ok(&c->f,
              lw_store_find_water(c->f.store, lw_demo_names[big[i].place], c->f.arena, &w, &c->f.err));
    assert_ok(&c->f, lw_store_list(c->f.store, LW_KIND_ZONE, w.id, c->f.arena, &zones, &n, &c->f.err));
    for (size_t k = 0; k < 4; k++) {
      assert_int_equal(zones_of_kind(zones, n, kinds[k], w.outline_area_m2.value / 4),
                       k == 0 ? big[i].arms : 1);
    }
  }
}

typedef struct course {
  double winter_low_in, summer_low_in;
  size_t disks, in_aim;
  int longest_gap, shortest_gap; /* days, April to September */
} course;

static course course_of(const lw_reading *r, size_t count)
{
  course out = {.winter_low_in = 1e9, .summer_low_in = 1e9, .shortest_gap = 99};
  lw_day before = LW_NO_DAY;
  for (size_t i = 0; i < count; i++) {
    int month = lw_civil_from_day(r[i].day).month;
    double in = r[i].value / inch_m;
    if (strcmp(r[i].quantity, "secchi") != 0 || r[i].day > day_of(2025, 12, 31)) {
      continue;
    }
    out.disks++;
    if (month <= 2) {
      out.winter_low_in = fmin(out.winter_low_in, in);
    } else if (month >= 5 && month <= 9) {
      out.summer_low_in = fmin(out.summer_low_in, in);
      out.in_aim += in >= 18 && in <= 24;
    }
    if (month >= 4 && month <= 9 && before != LW_NO_DAY) {
      int gap = r[i].day - before;
      out.longest_gap = gap > out.longest_gap ? gap : out.longest_gap;
      out.shortest_gap = gap < out.shortest_gap ? gap : out.shortest_gap;
    }
    before = r[i].day;
  }
  return out;
}

static void the_disk_takes_a_likely_course(void **state)
{
  club *c = *state;
  static const lw_demo_place fed[] = {LW_DEMO_UPPER_SEDGE, LW_DEMO_LONG_RUN};
  for (size_t i = 0; i < 2; i++) {
    lw_water w;
    lw_reading *r = NULL;
    size_t n = 0;
    assert_ok(&c->f, lw_store_find_water(c->f.store, lw_demo_names[fed[i]], c->f.arena, &w, &c->f.err));
    assert_ok(&c->f, lw_store_list(c->f.store, LW_KIND_READING, w.id, c->f.arena, &r, &n, &c->f.err));
    course of = course_of(r, n);
    assert_true(of.disks >= 50);
    assert_true(of.winter_low_in >= 70);
    assert_true(of.summer_low_in >= 14 && of.summer_low_in <= 20);
    assert_true(of.in_aim >= 10);
    assert_true(of.shortest_gap >= 5 && of.longest_gap <= 12);
  }
}

/* Doses two weeks apart at least, six to ten a season, none into a cold water. */
static void doses_keep_the_program(void **state)
{
  club *c = *state;
  lw_water w;
  lw_treatment *t = NULL;
  size_t n = 0;
  assert_ok(&c->f, lw_store_find_water(c->f.store, "Upper Sedge", c->f.arena, &w, &c->f.err));
  assert_ok(&c->f, lw_store_list(c->f.store, LW_KIND_TREATMENT, w.id, c->f.arena, &t, &n, &c->f.err));
  assert_true(n >= 12 && n <= 20);
  for (size_t i = 0; i < n; i++) {
    int month = lw_civil_from_day(t[i].day).month;
    assert_true(month >= 4 && month <= 10);
    assert_holds(t[i].conditions, "mph, dry");
    assert_true(i == 0 || t[i].day - t[i - 1].day >= 14);
  }
}

static void nothing_is_logged_after_the_last_day(void **state)
{
  club *c = *state;
  lw_reading *r = NULL;
  lw_history_entry *h = NULL;
  size_t n = 0;
  assert_ok(&c->f, lw_store_list(c->f.store, LW_KIND_READING, 0, c->f.arena, &r, &n, &c->f.err));
  assert_true(n > 600);
  assert_true(r[n - 1].day <= c->desk.today);
  assert_ok(&c->f, lw_store_history(c->f.store, 1000, c->f.arena, &h, &n, &c->f.err));
  assert_true(n > 100 && n < 400);
  size_t taken_back = 0;
  for (size_t i = 0; i < n; i++) {
    assert_true(h[i].at <= c->desk.now);
    assert_true(*h[i].who && *h[i].action);
    assert_true(i == 0 || h[i].at <= h[i - 1].at); /* newest first, by the clock too */
    taken_back += h[i].undone_by != 0 && h[i].at < lw_demo_instant(c->desk.today, 0);
  }
  assert_int_equal(taken_back, 1);
}

static void the_store_is_whole(void **state)
{
  club *c = *state;
  assert_whole(&c->f, c->f.store);
}

/* ---- twice the same ---- */

static void *whole_file(const char *path, size_t *length)
{
  FILE *file = fopen(path, "rb");
  assert_non_null(file);
  assert_int_equal(fseek(file, 0, SEEK_END), 0);
  *length = (size_t)ftell(file);
  rewind(file);
  char *data = malloc(*length + 1);
  assert_non_null(data);
  assert_int_equal(fread(data, 1, *length, file), *length);
  (void)fclose(file);
  return data;
}

static bool same_file(const char *one, const char *other, const char *name)
{
  char path[2][300];
  void *data[2];
  size_t length[2];
  const char *folder[2] = {one, other};
  for (int i = 0; i < 2; i++) {
    (void)snprintf(path[i], sizeof path[i], "%s/%s", folder[i], name);
    data[i] = whole_file(path[i], &length[i]);
  }
  bool same = length[0] == length[1] && memcmp(data[0], data[1], length[0]) == 0;
  free(data[0]);
  free(data[1]);
  return same;
}

static void export_new(club *c, uint64_t seed, const char *name, char out[200])
{
  char file[40];
  (void)snprintf(file, sizeof file, "%s.lake", name);
  write_and_open(c, seed, file);
  (void)snprintf(out, 200, "%.120s/%s", c->f.folder, name);
  assert_ok(&c->f, lw_store_export(c->f.store, out, &c->f.err));
}

static void same_seed_same_records(void **state)
{
  club *c = *state;
  char one[200];
  char two[200];
  char other[200];
  static const char *const tables[] = {"waters.csv",     "zones.csv",   "readings.csv", "materials.csv",
                                       "lots.csv",       "notes.csv",   "weather.csv",  "overrides.csv",
                                       "treatments.csv", "changes.csv", "versions.csv", "settings.csv"};
  export_new(c, LW_DEMO_SEED, "one", one);
  export_new(c, LW_DEMO_SEED, "two", two);
  for (size_t i = 0; i < sizeof tables / sizeof tables[0]; i++) {
    assert_true(same_file(one, two, tables[i]));
  }
  export_new(c, OTHER_SEED, "other", other);
  assert_false(same_file(one, other, "readings.csv"));
  assert_true(same_file(one, other, "zones.csv"));
}

/* Any seed tells the four stories and leaves the same shelf. */
static void other_seeds_tell_the_same(void **state)
{
  club *c = *state;
  static const uint64_t seeds[] = {0, 1, UINT64_MAX};
  for (size_t i = 0; i < 3; i++) {
    char name[20];
    (void)snprintf(name, sizeof name, "seed%zu.lake", i);
    write_and_open(c, seeds[i], name);
    look(c);
    tells_its_stories(state);
    assert_whole(&c->f, c->f.store);
  }
}

/* ---- refusals ---- */

static size_t files_in(const char *folder)
{
  DIR *entries = opendir(folder);
  size_t n = 0;
  while (entries && readdir(entries)) {
    n++;
  }
  if (entries) {
    (void)closedir(entries);
  }
  return n;
}

static void takes_no_place_that_is_taken(void **state)
{
  club *c = *state;
  size_t before = files_in(c->f.folder);
  assert_refused(&c->f, lw_demo_write(c->f.path, LW_DEMO_SEED, &c->f.err), LW_CONFLICT, "exists");
  look(c); /* untouched */
  assert_int_equal(files_in(c->f.folder), before);
}

static void leaves_nothing_where_it_cannot_write(void **state)
{
  club *c = *state;
  char path[200];
  size_t before = files_in(c->f.folder);
  (void)snprintf(path, sizeof path, "%.120s/nowhere/club.lake", c->f.folder);
  c->f.err = (lw_error){0};
  assert_int_not_equal(lw_demo_write(path, LW_DEMO_SEED, &c->f.err), LW_OK);
  assert_holds(c->f.err.message, "nowhere");
  assert_int_not_equal(access(path, F_OK), 0);
  assert_int_equal(files_in(c->f.folder), before);
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(tells_its_stories),
      cmocka_unit_test(a_disk_reading_settles_long_run),
      cmocka_unit_test(a_wet_month_holds_long_run),
      cmocka_unit_test(areas_are_as_told),
      cmocka_unit_test(big_waters_have_zones),
      cmocka_unit_test(the_disk_takes_a_likely_course),
      cmocka_unit_test(doses_keep_the_program),
      cmocka_unit_test(nothing_is_logged_after_the_last_day),
      cmocka_unit_test(the_store_is_whole),
      cmocka_unit_test(takes_no_place_that_is_taken),
      cmocka_unit_test(leaves_nothing_where_it_cannot_write),
      cmocka_unit_test(same_seed_same_records),
      cmocka_unit_test(other_seeds_tell_the_same),
  };
  return cmocka_run_group_tests(tests, begin, end);
}
