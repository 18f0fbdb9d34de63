/* SPDX-License-Identifier: Apache-2.0 */
/* The demonstration's records: sizes as told, a likely course, whole, and the same each time. */
#include "demo_fixture.h"

enum { OTHER_SEED = 7 };

static const double acre_m2 = 4046.8564224;
static const double inch_m = 0.0254;

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
    bool line = strcmp(zones[i].kind, "channel") == 0;
    assert_int_equal(zones[i].area_m2.known, !line);
    assert_true(line || zones[i].area_m2.value < within_m2);
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
    assert_ok(&c->f, lw_store_find_water(c->f.store, lw_demo_names[big[i].place], c->f.arena, &w, &c->f.err));
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
                                       "treatments.csv", "changes.csv", "versions.csv", "settings.csv",
                                       "surveys.csv"};
  export_new(c, LW_DEMO_SEED, "one", one);
  export_new(c, LW_DEMO_SEED, "two", two);
  for (size_t i = 0; i < sizeof tables / sizeof tables[0]; i++) {
    assert_true(same_file(one, two, tables[i]));
  }
  export_new(c, OTHER_SEED, "other", other);
  assert_false(same_file(one, other, "readings.csv"));
  assert_false(same_file(one, other, "surveys.csv"));
  assert_true(same_file(one, other, "zones.csv"));
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(areas_are_as_told),
      cmocka_unit_test(big_waters_have_zones),
      cmocka_unit_test(the_disk_takes_a_likely_course),
      cmocka_unit_test(doses_keep_the_program),
      cmocka_unit_test(nothing_is_logged_after_the_last_day),
      cmocka_unit_test(the_store_is_whole),
      cmocka_unit_test(same_seed_same_records),
  };
  return cmocka_run_group_tests(tests, begin, end);
}
