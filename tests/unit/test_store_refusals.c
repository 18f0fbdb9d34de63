/* SPDX-License-Identifier: Apache-2.0 */
/* What the store must not take is refused with a sentence that names field, value and way out. */
#include "store_fixture.h"

#define assert_water_refused(member, text)                                                                   \
  do {                                                                                                       \
    lw_water water_ = water_named("Heron Pool");                                                             \
    water_.member;                                                                                           \
    assert_add_refused(f, LW_KIND_WATER, &water_, LW_INVALID, text);                                         \
  } while (0)

static void names_must_be_names(void **state)
{
  fixture *f = *state;
  char long_name[200];
  memset(long_name, 'w', 81);
  long_name[81] = '\0';
  assert_water_refused(name = "", "water name is missing");
  assert_water_refused(name = long_name, "has 81 characters; at most 80");
  assert_water_refused(name = "two\nlines", "use one line");
  assert_water_refused(name = "tab\tbed", "use one line");
  assert_water_refused(name = " Heron", "begins or ends with a space");
  assert_water_refused(name = "Heron ", "begins or ends with a space");
  assert_water_refused(name = "bad \xff", "not text");
  assert_water_refused(name = "bell \a", "not text");
  lw_water nameless = water_named(NULL);
  assert_add_refused(f, LW_KIND_WATER, &nameless, LW_INTERNAL, "no text at all");
  for (size_t i = 0; i < 80; i++) { /* 80 characters of two bytes each are a name */
    memcpy(long_name + 2 * i, "\xc3\xa9", 3);
  }
  lw_water water = water_named(long_name);
  assert_int_equal(add_one(f, LW_KIND_WATER, &water), 1);
}

static void names_are_unique_without_case(void **state)
{
  fixture *f = *state;
  lw_water water = water_named("Upper Sedge");
  lw_id first = add_one(f, LW_KIND_WATER, &water);
  lw_water same = water_named("UPPER sedge");
  assert_add_refused(f, LW_KIND_WATER, &same, LW_CONFLICT, "'UPPER sedge' is taken by water 1");
  lw_water other = water_named("Heron Pool");
  lw_id second = add_one(f, LW_KIND_WATER, &other);
  assert_ok(f, lw_store_begin(f->store, &fixture_change, &f->err));
  assert_refused(f, lw_store_update(f->store, LW_KIND_WATER, second, &same, &f->err), LW_CONFLICT,
                 "is taken");
  lw_store_rollback(f->store);
  assert_int_not_equal(update_one(f, LW_KIND_WATER, first, &same), 0); /* its own name may change */
  lw_material material = material_named("Lime");
  (void)add_one(f, LW_KIND_MATERIAL, &material);
  material.name = "lime";
  assert_add_refused(f, LW_KIND_MATERIAL, &material, LW_CONFLICT, "is taken by material 1");
  lw_setting setting = {.key = "units", .value = "us"};
  (void)add_one(f, LW_KIND_SETTING, &setting);
  assert_add_refused(f, LW_KIND_SETTING, &setting, LW_CONFLICT, "setting key 'units' is taken");
  /* zones: within their water */
  lw_zone zone = {.water = first, .name = "Dam", .kind = "spillway", .note = ""};
  (void)add_one(f, LW_KIND_ZONE, &zone);
  assert_add_refused(f, LW_KIND_ZONE, &zone, LW_CONFLICT, "zone name 'Dam' is taken");
  zone.water = second;
  assert_int_equal(add_one(f, LW_KIND_ZONE, &zone), 2);
}

static void numbers_must_be_possible(void **state)
{
  fixture *f = *state;
  assert_water_refused(latitude = lw_known(90.5), "water latitude is 90.5 deg; it must be between");
  assert_water_refused(longitude = lw_known(-181), "between -180 deg and 180 deg");
  assert_water_refused(area_m2 = lw_known(-3), "water area is -3 m2");
  assert_water_refused(mean_depth_m = lw_known(NAN), "not a number");
  assert_water_refused(max_depth_m = lw_known(INFINITY), "not a number");
  assert_water_refused(start_temperature_c = lw_known(68), "68 degC");
  lw_water water = water_named("Heron Pool");
  water.mean_depth_m = lw_known(4);
  water.max_depth_m = lw_known(3);
  assert_add_refused(f, LW_KIND_WATER, &water, LW_INVALID,
                     "mean depth is 4 m, more than greatest depth, 3 m");
  water = water_named("Heron Pool");
  water.aim_low_m = lw_known(0.7);
  water.aim_high_m = lw_known(0.5);
  assert_add_refused(f, LW_KIND_WATER, &water, LW_INVALID, "aim from is 0.7 m, more than aim to");
  lw_material material = material_named("Lime");
  lw_id m = add_one(f, LW_KIND_MATERIAL, &material);
  lw_lot lot = {.material = m, .day = day_of(2026, 1, 1), .packages = 0, .note = ""};
  assert_add_refused(f, LW_KIND_LOT, &lot, LW_INVALID, "lot packages is 0");
}

static void choices_and_shapes_are_kept(void **state)
{
  fixture *f = *state;
  assert_water_refused(use = "skating", "'skating'; it must be one of fishing|");
  assert_water_refused(use = "fish", "must be one of");
  assert_water_refused(use = "fishing|clear-water", "must be one of");
  assert_water_refused(units = "imperial", "us|metric");
  assert_water_refused(season_start = "4-20", "month and day such as 04-20");
  assert_water_refused(season_start = "13-01", "month and day");
  assert_water_refused(season_end = "04-31", "month and day");
  assert_water_refused(season_end = "aa-bb", "month and day");
  assert_water_refused(outline = "{\"type\":\"Polygon\"", "not JSON");
  assert_water_refused(outline = "{\"type\":\"Circle\",\"coordinates\":[]}", "GeoJSON geometry");
  assert_water_refused(outline = "[1,2]", "GeoJSON geometry");
  static const char *const bad_grades[] = {"12-48",   "12-48-8-1", "a-b-c",   "12--8",      "-1-2-3",
                                           "60-60-8", "12-48-8 ",  "1/2-3-4", "12 - 48 - 8"};
  for (size_t i = 0; i < sizeof bad_grades / sizeof bad_grades[0]; i++) {
    lw_material material = material_named("Powder");
    material.grade = bad_grades[i];
    assert_add_refused(f, LW_KIND_MATERIAL, &material, LW_INVALID, "three percentages");
  }
  lw_material material = material_named("Powder");
  material.grade = "10-34-0.5";
  (void)add_one(f, LW_KIND_MATERIAL, &material);
  material = material_named("Other");
  material.kind = "";
  assert_add_refused(f, LW_KIND_MATERIAL, &material, LW_INVALID, "material kind is missing");
}

static void readings_must_be_possible(void **state)
{
  fixture *f = *state;
  lw_water water = water_named("Heron Pool");
  lw_id w = add_one(f, LW_KIND_WATER, &water);
  lw_day day = day_of(2026, 4, 15);
  lw_reading reading = reading_of(w, "sechi", 1, day);
  assert_add_refused(f, LW_KIND_READING, &reading, LW_INVALID, "one of secchi, water-color");
  reading = reading_of(w, "Secchi", 1, day); /* names are kept as they are written in the table */
  assert_add_refused(f, LW_KIND_READING, &reading, LW_INVALID, "quantity is 'Secchi'");
  reading = reading_of(w, "ph", 14.2, day);
  assert_add_refused(f, LW_KIND_READING, &reading, LW_INVALID,
                     "reading pH is 14.2; it must be between 0 and 14");
  reading = reading_of(w, "secchi", 40, day);
  assert_add_refused(f, LW_KIND_READING, &reading, LW_INVALID, "40 m");
  reading = reading_of(w, "oxygen", NAN, day);
  assert_add_refused(f, LW_KIND_READING, &reading, LW_INVALID, "not a number");
  reading = reading_of(w, "water-color", 1.5, day);
  assert_add_refused(f, LW_KIND_READING, &reading, LW_INVALID, "green|brown-mud|tea|clear");
  reading = reading_of(w, "water-color", 4, day);
  assert_add_refused(f, LW_KIND_READING, &reading, LW_INVALID, "between 0 and 3");
  reading = reading_of(w, "ph", 7, day);
  reading.minute = lw_known(1440);
  assert_add_refused(f, LW_KIND_READING, &reading, LW_INVALID, "1440 min");
  reading.minute = lw_known(12.5);
  assert_add_refused(f, LW_KIND_READING, &reading, LW_INVALID, "whole number");
  for (int i = 0; i < LW_QUANTITY_COUNT; i++) { /* both ends of every range are possible */
    reading = reading_of(w, lw_quantities[i].name, lw_quantities[i].possible_low, day);
    (void)add_one(f, LW_KIND_READING, &reading);
    reading.value = lw_quantities[i].possible_high;
    (void)add_one(f, LW_KIND_READING, &reading);
  }
  assert_whole(f, f->store);
}

static void days_lie_within_three_centuries(void **state)
{
  fixture *f = *state;
  lw_note note = {.day = LW_NO_DAY, .text = "x", .by = ""};
  assert_add_refused(f, LW_KIND_NOTE, &note, LW_INVALID, "note day is missing");
  note.day = day_of(1900, 1, 1) - 1;
  assert_add_refused(f, LW_KIND_NOTE, &note, LW_INVALID, "1900 to 2199");
  note.day = day_of(2199, 12, 31) + 1;
  assert_add_refused(f, LW_KIND_NOTE, &note, LW_INVALID, "1900 to 2199");
  note.day = INT32_MAX;
  assert_add_refused(f, LW_KIND_NOTE, &note, LW_INVALID, "1900 to 2199");
  note.day = day_of(1900, 1, 1);
  (void)add_one(f, LW_KIND_NOTE, &note);
  note.day = day_of(2199, 12, 31);
  (void)add_one(f, LW_KIND_NOTE, &note);
  lw_water water = water_named("Heron Pool");
  lw_id w = add_one(f, LW_KIND_WATER, &water);
  lw_override override = {.water = w,
                          .rule = "season",
                          .reason = "warm",
                          .by = "",
                          .day = day_of(2026, 5, 2),
                          .until = day_of(2026, 5, 1)};
  assert_add_refused(f, LW_KIND_OVERRIDE, &override, LW_INVALID,
                     "day is 2026-05-02, after until, 2026-05-01");
  override.reason = "";
  assert_add_refused(f, LW_KIND_OVERRIDE, &override, LW_INVALID, "reason is missing");
}

static void references_must_live(void **state)
{
  fixture *f = *state;
  lw_reading reading = reading_of(0, "ph", 7, day_of(2026, 4, 15));
  assert_add_refused(f, LW_KIND_READING, &reading, LW_INVALID, "reading water is missing");
  reading.water = 5;
  assert_add_refused(f, LW_KIND_READING, &reading, LW_INVALID, "there is no water 5");
  reading.water = -5;
  assert_add_refused(f, LW_KIND_READING, &reading, LW_INVALID, "there is no water -5");
  lw_note note = {.water = 7, .day = day_of(2026, 4, 15), .text = "x", .by = ""};
  assert_add_refused(f, LW_KIND_NOTE, &note, LW_INVALID, "there is no water 7");
}

static void what_is_referred_to_stays(void **state)
{
  fixture *f = *state;
  fill_every_kind(f);
  assert_ok(f, lw_store_begin(f->store, &fixture_change, &f->err));
  assert_refused(f, lw_store_remove(f->store, LW_KIND_WATER, 1, &f->err), LW_CONFLICT,
                 "still used by 1 zone, 1 survey, 2 readings, 1 treatment, 1 weather, 1 override;");
  assert_refused(f, lw_store_remove(f->store, LW_KIND_WATER, 2, &f->err), LW_NOT_FOUND,
                 "there is no water 2");
  assert_ok(f, lw_store_remove(f->store, LW_KIND_TREATMENT, 1, &f->err));
  assert_refused(f, lw_store_remove(f->store, LW_KIND_TREATMENT, 1, &f->err), LW_NOT_FOUND,
                 "there is no treatment 1");
  assert_ok(f, lw_store_remove(f->store, LW_KIND_ZONE, 1, &f->err));
  lw_id change = 0;
  assert_ok(f, lw_store_commit(f->store, &change, &f->err));
  assert_whole(f, f->store);
}

static void texts_have_a_longest(void **state)
{
  fixture *f = *state;
  char *text = calloc(1, 8002);
  memset(text, 'n', 8001);
  lw_note note = {.day = day_of(2026, 4, 15), .text = text, .by = ""};
  assert_add_refused(f, LW_KIND_NOTE, &note, LW_INVALID, "8001 characters; at most 8000");
  text[8000] = '\0';
  (void)add_one(f, LW_KIND_NOTE, &note);
  free(text);
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      store_test(names_must_be_names),       store_test(names_are_unique_without_case),
      store_test(numbers_must_be_possible),  store_test(choices_and_shapes_are_kept),
      store_test(readings_must_be_possible), store_test(days_lie_within_three_centuries),
      store_test(references_must_live),      store_test(what_is_referred_to_stays),
      store_test(texts_have_a_longest),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
