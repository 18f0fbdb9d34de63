/* SPDX-License-Identifier: Apache-2.0 */
/* The store's records: what is written is read back, in order, singly and in lists, by name and as
 * JSON; changes begin, end and are dropped. Refusals are in test_store_refusals.c. */
#include "store_fixture.h"

#include "store/records_json.h"

/* ---- writing and reading ---- */

/* Two records of a kind say the same. Outlines are compared as text, all else as the body does. */
static void assert_same_record(lw_kind_id kind, const void *a, const void *b)
{
  lw_text x = LW_TEXT(LW_BODY_MAX);
  lw_text y = LW_TEXT(LW_BODY_MAX);
  lw_body_write(&x, kind, a);
  lw_body_write(&y, kind, b);
  assert_string_equal(lw_text_view(&x), lw_text_view(&y));
  lw_text_free(&x);
  lw_text_free(&y);
}

static void every_kind_is_read_back(void **state)
{
  fixture *f = *state;
  fill_every_kind(f);
  fixture_reopen(f);
  for (int kind = 0; kind < LW_KIND_COUNT; kind++) {
    char *records = NULL;
    size_t count = 0;
    lw_any_record one;
    assert_ok(f, lw_store_list(f->store, (lw_kind_id)kind, 0, f->arena, &records, &count, &f->err));
    assert_true(count >= 1);
    for (size_t i = 0; i < count; i++) {
      const void *record = records + i * lw_kinds[kind].size;
      assert_ok(f, lw_store_get(f->store, (lw_kind_id)kind, lw_record_id(record), f->arena, &one, &f->err));
      assert_int_equal(one.id, lw_record_id(record));
      if (kind == LW_KIND_SURVEY) { /* in lists without its soundings */
        assert_string_equal(one.survey.soundings, fixture_soundings);
        one.survey.soundings = NULL;
      }
      assert_same_record((lw_kind_id)kind, record, &one);
    }
  }
  lw_water water;
  lw_water expected = full_water("Upper Sedge");
  assert_ok(f, lw_store_find_water(f->store, "upper SEDGE", f->arena, &water, &f->err));
  assert_same_record(LW_KIND_WATER, &water, &expected);
  assert_string_equal(water.outline, fixture_outline);
  assert_string_equal(water.note, expected.note);
  assert_close(water.area_m2.value, 153780.5434, 0);
  assert_true(water.pellets_kg_ha_day.known);
  assert_whole(f, f->store);
}

static void empty_members_stay_empty(void **state)
{
  fixture *f = *state;
  lw_water water = water_named("Brickyard");
  lw_id id = add_one(f, LW_KIND_WATER, &water);
  lw_water got;
  assert_ok(f, lw_store_get(f->store, LW_KIND_WATER, id, f->arena, &got, &f->err));
  assert_false(got.latitude.known || got.area_m2.known || got.alarm_m.known);
  assert_close(got.latitude.value, 0, 0);
  assert_null(got.outline);
  assert_string_equal(got.use, "");
  lw_weather weather;
  lw_kind_clear(LW_KIND_WEATHER, &weather);
  weather.day = day_of(2026, 1, 1);
  id = add_one(f, LW_KIND_WEATHER, &weather);
  assert_ok(f, lw_store_get(f->store, LW_KIND_WEATHER, id, f->arena, &weather, &f->err));
  assert_int_equal(weather.issued, LW_NO_DAY);
  assert_int_equal(weather.water, 0);
  assert_false(weather.forecast);
}

static void a_negative_zero_is_a_zero(void **state)
{
  fixture *f = *state;
  lw_water water = water_named("Brickyard");
  lw_id w = add_one(f, LW_KIND_WATER, &water);
  lw_reading reading = reading_of(w, "level", -0.0, day_of(2026, 4, 1));
  (void)add_one(f, LW_KIND_READING, &reading);
  assert_whole(f, f->store);
}

static void lists_are_in_order(void **state)
{
  fixture *f = *state;
  static const char *const names[] = {"brickyard", "Upper Sedge", "Heron Pool", "Long Run"};
  lw_id ids[4];
  for (size_t i = 0; i < 4; i++) {
    lw_water water = water_named(names[i]);
    ids[i] = add_one(f, LW_KIND_WATER, &water);
  }
  lw_water *waters = NULL;
  size_t count = 0;
  assert_ok(f, lw_store_list(f->store, LW_KIND_WATER, 0, f->arena, &waters, &count, &f->err));
  assert_int_equal(count, 4);
  assert_string_equal(waters[0].name, "brickyard");
  assert_string_equal(waters[1].name, "Heron Pool");
  assert_string_equal(waters[2].name, "Long Run");
  assert_string_equal(waters[3].name, "Upper Sedge");

  static const int days[] = {9, 3, 9, 1, 3, 28, 1};
  for (size_t i = 0; i < 7; i++) {
    lw_reading reading = reading_of(ids[i % 2], "ph", 7 + (double)i / 10, day_of(2026, 5, days[i]));
    (void)add_one(f, LW_KIND_READING, &reading);
  }
  lw_reading *readings = NULL;
  assert_ok(f, lw_store_list(f->store, LW_KIND_READING, 0, f->arena, &readings, &count, &f->err));
  assert_int_equal(count, 7);
  static const lw_id expected[] = {4, 7, 2, 5, 1, 3, 6};
  for (size_t i = 0; i < 7; i++) {
    assert_int_equal(readings[i].id, expected[i]);
  }
  assert_ok(f, lw_store_list(f->store, LW_KIND_READING, ids[1], f->arena, &readings, &count, &f->err));
  assert_int_equal(count, 3);
  assert_int_equal(readings[0].id, 4);
  assert_int_equal(readings[1].id, 2);
  assert_int_equal(readings[2].id, 6);
  assert_ok(f, lw_store_list(f->store, LW_KIND_LOT, 0, f->arena, &readings, &count, &f->err));
  assert_int_equal(count, 0);
  assert_non_null(readings);
}

/* Days far apart, so that counting does not pay, take the general sort. */
static void days_far_apart_are_sorted_too(void **state)
{
  fixture *f = *state;
  static const int years[] = {2199, 1900, 2050, 2050};
  for (size_t i = 0; i < 4; i++) {
    lw_note note = {.day = day_of(years[i], 6, 1), .text = "x", .by = ""};
    (void)add_one(f, LW_KIND_NOTE, &note);
  }
  lw_note *notes = NULL;
  size_t count = 0;
  assert_ok(f, lw_store_list(f->store, LW_KIND_NOTE, 0, f->arena, &notes, &count, &f->err));
  static const lw_id expected[] = {2, 3, 4, 1};
  for (size_t i = 0; i < 4; i++) {
    assert_int_equal(notes[i].id, expected[i]);
  }
}

static void what_is_for_all_waters_is_listed_with_each(void **state)
{
  fixture *f = *state;
  lw_water one = water_named("One");
  lw_water two = water_named("Two");
  lw_id first = add_one(f, LW_KIND_WATER, &one);
  lw_id second = add_one(f, LW_KIND_WATER, &two);
  const lw_id of[] = {first, second, 0};
  for (size_t i = 0; i < 3; i++) {
    lw_note note = {.water = of[i], .day = day_of(2026, 6, 1), .text = "x", .by = ""};
    (void)add_one(f, LW_KIND_NOTE, &note);
  }
  lw_note *notes = NULL;
  size_t count = 0;
  assert_ok(f, lw_store_list(f->store, LW_KIND_NOTE, second, f->arena, &notes, &count, &f->err));
  assert_int_equal(count, 2);
  assert_int_equal(notes[0].id, 2);
  assert_int_equal(notes[1].id, 3);
}

static void an_update_writes_only_what_differs(void **state)
{
  fixture *f = *state;
  lw_water water = water_named("Long Run");
  lw_id id = add_one(f, LW_KIND_WATER, &water);
  assert_int_equal(update_one(f, LW_KIND_WATER, id, &water), 0); /* no change was needed */
  water.note = "two arms";
  lw_id change = update_one(f, LW_KIND_WATER, id, &water);
  assert_int_equal(change, 2);
  lw_water got;
  assert_ok(f, lw_store_get(f->store, LW_KIND_WATER, id, f->arena, &got, &f->err));
  assert_string_equal(got.note, "two arms");
  lw_version *versions = NULL;
  size_t count = 0;
  assert_ok(f, lw_store_versions(f->store, LW_KIND_WATER, id, f->arena, &versions, &count, &f->err));
  assert_int_equal(count, 2);
  int64_t revision = 0;
  assert_ok(f, lw_store_revision(f->store, &revision, &f->err));
  assert_int_equal(revision, 2);
}

static void ids_are_never_used_again(void **state)
{
  fixture *f = *state;
  lw_water water = water_named("Heron Pool");
  lw_id first = add_one(f, LW_KIND_WATER, &water);
  (void)remove_one(f, LW_KIND_WATER, first);
  lw_id second = add_one(f, LW_KIND_WATER, &water); /* the name is free again */
  assert_int_equal(second, first + 1);
  lw_water got;
  assert_refused(f, lw_store_get(f->store, LW_KIND_WATER, first, f->arena, &got, &f->err), LW_NOT_FOUND,
                 "there is no water 1");
}

static void rollback_leaves_no_trace(void **state)
{
  fixture *f = *state;
  lw_water water = water_named("Heron Pool");
  lw_id id = 0;
  assert_ok(f, lw_store_begin(f->store, &fixture_change, &f->err));
  assert_ok(f, lw_store_add(f->store, LW_KIND_WATER, &water, &id, &f->err));
  lw_store_rollback(f->store);
  int64_t revision = -1;
  assert_ok(f, lw_store_revision(f->store, &revision, &f->err));
  assert_int_equal(revision, 0);
  assert_int_equal(add_one(f, LW_KIND_WATER, &water), id);
}

static void closing_drops_an_unfinished_change(void **state)
{
  fixture *f = *state;
  lw_water water = water_named("Heron Pool");
  lw_id id = 0;
  assert_ok(f, lw_store_begin(f->store, &fixture_change, &f->err));
  assert_ok(f, lw_store_add(f->store, LW_KIND_WATER, &water, &id, &f->err));
  fixture_reopen(f);
  assert_refused(f, lw_store_get(f->store, LW_KIND_WATER, id, f->arena, &water, &f->err), LW_NOT_FOUND,
                 "there is no water");
}

static void a_refused_record_does_not_end_the_change(void **state)
{
  fixture *f = *state;
  lw_water good = water_named("Heron Pool");
  lw_water bad = water_named("");
  lw_id id = 0;
  lw_id change = 0;
  assert_ok(f, lw_store_begin(f->store, &fixture_change, &f->err));
  assert_refused(f, lw_store_add(f->store, LW_KIND_WATER, &bad, &id, &f->err), LW_INVALID,
                 "water name is missing");
  assert_ok(f, lw_store_add(f->store, LW_KIND_WATER, &good, &id, &f->err));
  assert_ok(f, lw_store_commit(f->store, &change, &f->err));
  assert_int_equal(change, 1);
  assert_whole(f, f->store);
}

static void misuse_is_told(void **state)
{
  fixture *f = *state;
  lw_water water = water_named("Heron Pool");
  lw_id id = 0;
  assert_refused(f, lw_store_add(f->store, LW_KIND_WATER, &water, &id, &f->err), LW_INTERNAL,
                 "outside a change");
  assert_refused(f, lw_store_commit(f->store, &id, &f->err), LW_INTERNAL, "without an open change");
  assert_ok(f, lw_store_begin(f->store, &fixture_change, &f->err));
  assert_refused(f, lw_store_begin(f->store, &fixture_change, &f->err), LW_INTERNAL, "another");
  assert_refused(f, lw_store_add(f->store, LW_KIND_COUNT, &water, &id, &f->err), LW_INTERNAL, "no kind");
  lw_store_rollback(f->store);
  size_t count = 0;
  assert_refused(f, lw_store_list(f->store, (lw_kind_id)99, 0, f->arena, &id, &count, &f->err), LW_INTERNAL,
                 "no kind");
}

static void a_change_says_who_when_and_why(void **state)
{
  fixture *f = *state;
  char long_text[2100];
  memset(long_text, 'a', sizeof long_text);
  long_text[sizeof long_text - 1] = '\0';
  lw_change change = fixture_change;
  change.who = long_text;
  assert_refused(f, lw_store_begin(f->store, &change, &f->err), LW_INVALID, "who has 2099");
  change = fixture_change;
  change.why = "\x1b[31m";
  assert_refused(f, lw_store_begin(f->store, &change, &f->err), LW_INVALID, "why holds bytes");
  change = fixture_change;
  change.action = NULL;
  assert_refused(f, lw_store_begin(f->store, &change, &f->err), LW_INTERNAL, "without saying");
  change = fixture_change;
  change.at = INT64_MAX;
  assert_refused(f, lw_store_begin(f->store, &change, &f->err), LW_INVALID, "1900 to 2199");
}

/* ---- finding, JSON ---- */

static void names_that_come_near_are_told(void **state)
{
  fixture *f = *state;
  lw_water water;
  lw_material material;
  assert_refused(f, lw_store_find_water(f->store, "Heron", f->arena, &water, &f->err), LW_NOT_FOUND,
                 "there are no waters yet");
  static const char *const names[] = {"Upper Sedge", "Heron Pool", "Long Run", "Brickyard"};
  for (size_t i = 0; i < 4; i++) {
    water = water_named(names[i]);
    (void)add_one(f, LW_KIND_WATER, &water);
  }
  assert_refused(f, lw_store_find_water(f->store, "Uper sedge", f->arena, &water, &f->err), LW_NOT_FOUND,
                 "did you mean 'Upper Sedge'?");
  assert_refused(f, lw_store_find_water(f->store, "heron", f->arena, &water, &f->err), LW_NOT_FOUND,
                 "did you mean 'Heron Pool'?");
  assert_refused(f, lw_store_find_water(f->store, "Zanzibar Lagoon", f->arena, &water, &f->err), LW_NOT_FOUND,
                 "there are 'Brickyard', 'Heron Pool', 'Long Run', 'Upper Sedge'");
  assert_refused(f, lw_store_find_water(f->store, "\xff", f->arena, &water, &f->err), LW_NOT_FOUND,
                 "(not text)");
  assert_ok(f, lw_store_find_water(f->store, "LONG run", f->arena, &water, &f->err));
  assert_int_equal(water.id, 3);
  lw_material powder = material_named("Soluble powder 12-48-8");
  (void)add_one(f, LW_KIND_MATERIAL, &powder);
  assert_ok(f, lw_store_find_material(f->store, "soluble POWDER 12-48-8", f->arena, &material, &f->err));
  assert_string_equal(material.grade, "12-48-8");
  assert_refused(f, lw_store_find_material(f->store, "powder", f->arena, &material, &f->err), LW_NOT_FOUND,
                 "did you mean 'Soluble powder 12-48-8'?");
}

static void records_become_json(void **state)
{
  fixture *f = *state;
  fill_every_kind(f);
  lw_reading reading;
  assert_ok(f, lw_store_get(f->store, LW_KIND_READING, 1, f->arena, &reading, &f->err));
  json_t *json = lw_store_record_json(LW_KIND_READING, &reading);
  char *text = json_dumps(json, JSON_COMPACT | JSON_REAL_PRECISION(15));
  assert_string_equal(text, "{\"id\":1,\"water\":1,\"quantity\":\"secchi\",\"value\":1.016,"
                            "\"unit\":\"m\",\"depth_m\":0.3,\"day\":\"2026-04-15\",\"minute\":725,"
                            "\"by\":\"first hand\",\"way\":\"disk\",\"note\":\"clear\"}");
  free(text);
  json_decref(json);
  assert_ok(f, lw_store_get(f->store, LW_KIND_READING, 2, f->arena, &reading, &f->err));
  json = lw_store_record_json(LW_KIND_READING, &reading);
  assert_string_equal(json_string_value(json_object_get(json, "word")), "brown-mud");
  assert_true(json_is_null(json_object_get(json, "by")));
  json_decref(json);
  lw_water water;
  assert_ok(f, lw_store_get(f->store, LW_KIND_WATER, 1, f->arena, &water, &f->err));
  json = lw_store_record_json(LW_KIND_WATER, &water);
  assert_int_equal(json_object_size(json), lw_kinds[LW_KIND_WATER].column_count + 1);
  json_t *outline = json_object_get(json, "outline");
  assert_string_equal(json_string_value(json_object_get(outline, "type")), "Polygon");
  json_decref(json);
  assert_null(lw_store_record_json(LW_KIND_COUNT, &water));
}

static void column_headings_tell_units(void **state)
{
  (void)state;
  lw_text text = LW_TEXT(100);
  lw_column_heading(lw_kind_column(&lw_kinds[LW_KIND_WATER], "mean_depth_m"), &text);
  assert_string_equal(lw_text_view(&text), "mean depth (m)");
  lw_text_clear(&text);
  lw_column_heading(lw_kind_column(&lw_kinds[LW_KIND_MATERIAL], "price"), &text);
  assert_string_equal(lw_text_view(&text), "price of a package");
  lw_text_free(&text);
  assert_null(lw_kind_column(&lw_kinds[LW_KIND_MATERIAL], "brand"));
  assert_int_equal(lw_kind_find("lot"), LW_KIND_LOT);
  assert_int_equal(lw_kind_find("lots"), LW_KIND_COUNT);
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      store_test(every_kind_is_read_back),
      store_test(empty_members_stay_empty),
      store_test(a_negative_zero_is_a_zero),
      store_test(lists_are_in_order),
      store_test(days_far_apart_are_sorted_too),
      store_test(what_is_for_all_waters_is_listed_with_each),
      store_test(an_update_writes_only_what_differs),
      store_test(ids_are_never_used_again),
      store_test(rollback_leaves_no_trace),
      store_test(closing_drops_an_unfinished_change),
      store_test(a_refused_record_does_not_end_the_change),
      store_test(misuse_is_told),
      store_test(a_change_says_who_when_and_why),
      store_test(names_that_come_near_are_told),
      store_test(records_become_json),
      cmocka_unit_test(column_headings_tell_units),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
