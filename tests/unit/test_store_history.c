/* SPDX-License-Identifier: Apache-2.0 */
/* History and undo: what was changed can be told and taken back, as often as wished, and never over
 * somebody's later work. */
#include "store_fixture.h"

static lw_history_entry undo_ok(fixture *f, lw_id target)
{
  lw_history_entry entry;
  lw_change change = {"keeper", "second thoughts", "undo", 1776250800000};
  assert_ok(f, lw_store_undo(f->store, &change, target, f->arena, &entry, &f->err));
  return entry;
}

#define assert_undo_refused(f, target, wanted, piece)                                                        \
  do {                                                                                                       \
    lw_history_entry entry_;                                                                                 \
    assert_refused(f, lw_store_undo((f)->store, &fixture_change, (target), (f)->arena, &entry_, &(f)->err),  \
                   wanted, piece);                                                                           \
  } while (0)

static lw_id add_water(fixture *f, const char *name)
{
  lw_water water = water_named(name);
  return add_one(f, LW_KIND_WATER, &water);
}

/* Sets the note of a water; gives the change. */
static lw_id set_note(fixture *f, lw_id water, const char *note)
{
  lw_water record;
  assert_ok(f, lw_store_get(f->store, LW_KIND_WATER, water, f->arena, &record, &f->err));
  record.note = note;
  return update_one(f, LW_KIND_WATER, water, &record);
}

static const char *note_of(fixture *f, lw_id water)
{
  lw_water record;
  assert_ok(f, lw_store_get(f->store, LW_KIND_WATER, water, f->arena, &record, &f->err));
  return record.note;
}

static bool lives(fixture *f, lw_kind_id kind, lw_id id)
{
  lw_any_record record;
  return lw_store_get(f->store, kind, id, f->arena, &record, NULL) == LW_OK;
}

/* ---- history ---- */

static void history_tells_newest_first(void **state)
{
  fixture *f = *state;
  lw_id w = add_water(f, "Upper Sedge");
  lw_change change = {"first hand", "after the rain", "note on Upper Sedge", 1776250800123};
  lw_water water = water_named("Upper Sedge");
  water.note = "clear";
  lw_note note = {.water = w, .day = day_of(2026, 4, 15), .text = "x", .by = ""};
  lw_id id = 0;
  lw_id made = 0;
  assert_ok(f, lw_store_begin(f->store, &change, &f->err));
  assert_ok(f, lw_store_update(f->store, LW_KIND_WATER, w, &water, &f->err));
  water.note = "clearer";
  assert_ok(f, lw_store_update(f->store, LW_KIND_WATER, w, &water, &f->err));
  assert_ok(f, lw_store_add(f->store, LW_KIND_NOTE, &note, &id, &f->err));
  assert_ok(f, lw_store_commit(f->store, &made, &f->err));

  lw_history_entry *entries = NULL;
  size_t count = 0;
  assert_ok(f, lw_store_history(f->store, 0, f->arena, &entries, &count, &f->err));
  assert_int_equal(count, 2);
  assert_int_equal(entries[0].change, 2);
  assert_int_equal(entries[0].at, 1776250800123);
  assert_string_equal(entries[0].who, "first hand");
  assert_string_equal(entries[0].why, "after the rain");
  assert_string_equal(entries[0].action, "note on Upper Sedge");
  assert_int_equal(entries[0].records, 2);
  assert_int_equal(entries[0].undone_by, 0);
  assert_int_equal(entries[1].change, 1);
  assert_ok(f, lw_store_history(f->store, 1, f->arena, &entries, &count, &f->err));
  assert_int_equal(count, 1);
  assert_int_equal(entries[0].change, 2);
}

static void an_empty_store_has_no_history(void **state)
{
  fixture *f = *state;
  lw_history_entry *entries = NULL;
  size_t count = 9;
  assert_ok(f, lw_store_history(f->store, 0, f->arena, &entries, &count, &f->err));
  assert_int_equal(count, 0);
  assert_undo_refused(f, 0, LW_NOT_FOUND, "nothing to undo");
  assert_undo_refused(f, 3, LW_NOT_FOUND, "no change 3");
  assert_undo_refused(f, -1, LW_NOT_FOUND, "no change -1");
}

static void versions_tell_every_state(void **state)
{
  fixture *f = *state;
  lw_id w = add_water(f, "Upper Sedge");
  (void)set_note(f, w, "one");
  (void)remove_one(f, LW_KIND_WATER, w);
  lw_version *versions = NULL;
  size_t count = 0;
  assert_ok(f, lw_store_versions(f->store, LW_KIND_WATER, w, f->arena, &versions, &count, &f->err));
  assert_int_equal(count, 3);
  assert_int_equal(versions[0].version, 1);
  assert_string_equal(versions[0].body, "{\"name\":\"Upper Sedge\"}");
  assert_string_equal(versions[1].body, "{\"name\":\"Upper Sedge\",\"note\":\"one\"}");
  assert_int_equal(versions[1].change, 2);
  assert_string_equal(versions[1].who, "keeper");
  assert_false(versions[1].removed);
  assert_true(versions[2].removed);
  assert_int_equal(versions[2].at, fixture_change.at);
  assert_refused(f, lw_store_versions(f->store, LW_KIND_WATER, 9, f->arena, &versions, &count, &f->err),
                 LW_NOT_FOUND, "there never was a water 9");
}

/* An outline lies in the store once, however often its water changes. */
static void an_outline_is_kept_once(void **state)
{
  fixture *f = *state;
  lw_water water = full_water("Upper Sedge");
  lw_id w = add_one(f, LW_KIND_WATER, &water);
  (void)set_note(f, w, "one");
  (void)set_note(f, w, "two");
  sqlite3_stmt *stmt = NULL;
  int64_t count = 0;
  assert_ok(f, lw_sql_prepare(f->store, "SELECT count(*) FROM outline", &stmt, &f->err));
  assert_ok(f, lw_sql_number(f->store, stmt, &count, "count", &f->err));
  (void)sqlite3_finalize(stmt);
  assert_int_equal(count, 1);
  assert_ok(f, lw_store_get(f->store, LW_KIND_WATER, w, f->arena, &water, &f->err));
  assert_string_equal(water.outline, fixture_outline);
}

/* ---- undo ---- */

static void undo_takes_back_add_update_and_remove(void **state)
{
  fixture *f = *state;
  lw_id w = add_water(f, "Upper Sedge");
  (void)set_note(f, w, "one");
  (void)remove_one(f, LW_KIND_WATER, w);
  assert_false(lives(f, LW_KIND_WATER, w));

  lw_history_entry taken = undo_ok(f, 0);
  assert_int_equal(taken.change, 3);
  assert_int_equal(taken.records, 1);
  assert_int_equal(taken.undone_by, 4);
  assert_string_equal(note_of(f, w), "one");
  taken = undo_ok(f, 0);
  assert_int_equal(taken.change, 2);
  assert_string_equal(note_of(f, w), "");
  taken = undo_ok(f, 0);
  assert_int_equal(taken.change, 1);
  assert_false(lives(f, LW_KIND_WATER, w));
  assert_undo_refused(f, 0, LW_NOT_FOUND, "nothing to undo");
  assert_whole(f, f->store);
}

static void undo_restores_every_kind_whole(void **state)
{
  fixture *f = *state;
  fill_every_kind(f);
  lw_text before[LW_KIND_COUNT];
  for (int kind = 0; kind < LW_KIND_COUNT; kind++) {
    lw_any_record record;
    before[kind] = LW_TEXT(LW_BODY_MAX);
    assert_ok(f, lw_store_get(f->store, (lw_kind_id)kind, 1, f->arena, &record, &f->err));
    lw_body_write(&before[kind], (lw_kind_id)kind, &record);
  }
  static const lw_kind_id order[] = {LW_KIND_TREATMENT, LW_KIND_LOT,     LW_KIND_MATERIAL, LW_KIND_ZONE,
                                     LW_KIND_NOTE,      LW_KIND_WEATHER, LW_KIND_OVERRIDE, LW_KIND_SETTING,
                                     LW_KIND_READING,   LW_KIND_SURVEY};
  lw_id change = 0;
  assert_ok(f, lw_store_begin(f->store, &fixture_change, &f->err));
  for (size_t i = 0; i < sizeof order / sizeof order[0]; i++) {
    assert_ok(f, lw_store_remove(f->store, order[i], 1, &f->err));
  }
  assert_ok(f, lw_store_remove(f->store, LW_KIND_READING, 2, &f->err));
  assert_ok(f, lw_store_remove(f->store, LW_KIND_WATER, 1, &f->err));
  assert_ok(f, lw_store_commit(f->store, &change, &f->err));
  assert_int_equal(undo_ok(f, change).records, 12); /* children before parents, all at once */
  for (int kind = 0; kind < LW_KIND_COUNT; kind++) {
    lw_any_record record;
    lw_text after = LW_TEXT(LW_BODY_MAX);
    assert_ok(f, lw_store_get(f->store, (lw_kind_id)kind, 1, f->arena, &record, &f->err));
    lw_body_write(&after, (lw_kind_id)kind, &record);
    assert_string_equal(lw_text_view(&before[kind]), lw_text_view(&after));
    lw_text_free(&after);
    lw_text_free(&before[kind]);
  }
  assert_whole(f, f->store);
}

static void undo_and_its_undo_chain(void **state)
{
  fixture *f = *state;
  lw_id w = add_water(f, "Upper Sedge");
  lw_id noted = set_note(f, w, "one");
  lw_id last = noted;
  for (int i = 0; i < 5; i++) { /* undo, undo the undo, and so on */
    lw_history_entry taken = undo_ok(f, last);
    assert_int_equal(taken.change, last);
    last = taken.undone_by;
    assert_string_equal(note_of(f, w), i % 2 ? "one" : "");
  }
  lw_history_entry *entries = NULL;
  size_t count = 0;
  assert_ok(f, lw_store_history(f->store, 0, f->arena, &entries, &count, &f->err));
  assert_int_equal(count, 7);
  assert_int_equal(entries[0].undone_by, 0);                     /* 7 stands, */
  assert_int_equal(entries[1].undone_by, 7);                     /* so 6 does not, */
  assert_int_equal(entries[2].undone_by, 0);                     /* so 5 does, */
  assert_int_equal(entries[count - (size_t)noted].undone_by, 3); /* and the note is taken back by 3 */
  assert_int_equal(entries[count - 3].undoes, noted);
  assert_undo_refused(f, 4, LW_CONFLICT, "taken back already, by change 5; undo 5");
  assert_whole(f, f->store);
}

/* After undo and redo the first change stands again, and can be undone once more by its number. */
static void a_change_put_back_can_be_undone_again(void **state)
{
  fixture *f = *state;
  lw_id w = add_water(f, "Upper Sedge");
  lw_id noted = set_note(f, w, "one");
  lw_id undo = undo_ok(f, noted).undone_by;
  (void)undo_ok(f, undo);
  assert_string_equal(note_of(f, w), "one");
  assert_int_equal(undo_ok(f, 0).change, noted); /* the newest that stands and is no undo */
  assert_string_equal(note_of(f, w), "");
  lw_history_entry *entries = NULL;
  size_t count = 0;
  assert_ok(f, lw_store_history(f->store, 0, f->arena, &entries, &count, &f->err));
  assert_int_equal(count, 5);
  assert_int_equal(entries[3].undone_by, 5);
  assert_int_equal(entries[2].undone_by, 4);
  assert_whole(f, f->store);
}

static void later_work_is_not_overwritten(void **state)
{
  fixture *f = *state;
  lw_id w = add_water(f, "Upper Sedge");
  lw_id other = add_water(f, "Heron Pool");
  lw_id first = set_note(f, w, "one");
  lw_id second = set_note(f, w, "two");
  (void)set_note(f, other, "apart");
  assert_undo_refused(f, first, LW_CONFLICT, "change 4 has since changed water 1 too; undo 4 first");
  (void)undo_ok(f, second);
  (void)undo_ok(f, first);
  assert_string_equal(note_of(f, w), "");
  assert_string_equal(note_of(f, other), "apart");
}

/* Back to the same words by hand is still later work: undoing the first would hide the third. */
static void the_same_words_again_are_a_conflict_too(void **state)
{
  fixture *f = *state;
  lw_id w = add_water(f, "Upper Sedge");
  lw_id first = set_note(f, w, "one");
  (void)set_note(f, w, "two");
  lw_id third = set_note(f, w, "one");
  assert_undo_refused(f, first, LW_CONFLICT, "change 4");
  assert_int_equal(third, 4);
}

/* An old undo cannot be taken back once an older change was undone below it. */
static void an_undo_below_is_a_conflict(void **state)
{
  fixture *f = *state;
  lw_id w = add_water(f, "Upper Sedge");
  lw_id a = set_note(f, w, "a");
  lw_id b = set_note(f, w, "b");
  lw_id undo_b = undo_ok(f, b).undone_by;
  lw_id undo_a = undo_ok(f, a).undone_by;
  assert_undo_refused(f, undo_b, LW_CONFLICT, "change 5 has since changed water 1");
  assert_int_equal(undo_a, 5);
  (void)undo_ok(f, undo_a);
  assert_string_equal(note_of(f, w), "a");
  (void)undo_ok(f, undo_b);
  assert_string_equal(note_of(f, w), "b");
  assert_whole(f, f->store);
}

static void what_was_built_on_an_addition_keeps_it(void **state)
{
  fixture *f = *state;
  lw_id w = add_water(f, "Upper Sedge");
  lw_reading reading = reading_of(w, "ph", 7, day_of(2026, 4, 15));
  (void)add_one(f, LW_KIND_READING, &reading);
  assert_undo_refused(f, 1, LW_CONFLICT,
                      "change 1 cannot be taken back: water 1 is still used by "
                      "1 reading; remove those first");
  assert_true(lives(f, LW_KIND_WATER, w));
  int64_t revision = 0;
  assert_ok(f, lw_store_revision(f->store, &revision, &f->err));
  assert_int_equal(revision, 2); /* the refused undo left nothing */
  assert_whole(f, f->store);
}

static void what_a_record_needs_must_still_be_there(void **state)
{
  fixture *f = *state;
  lw_id w = add_water(f, "Upper Sedge");
  lw_reading reading = reading_of(w, "ph", 7, day_of(2026, 4, 15));
  lw_id r = add_one(f, LW_KIND_READING, &reading);
  lw_id removal = remove_one(f, LW_KIND_READING, r);
  (void)remove_one(f, LW_KIND_WATER, w);
  assert_undo_refused(f, removal, LW_CONFLICT, "there is no water 1");
  assert_false(lives(f, LW_KIND_READING, r));
  (void)undo_ok(f, 0);
  (void)undo_ok(f, removal);
  assert_true(lives(f, LW_KIND_READING, r));
  assert_whole(f, f->store);
}

static void a_name_taken_meanwhile_is_a_conflict(void **state)
{
  fixture *f = *state;
  lw_id w = add_water(f, "Upper Sedge");
  lw_water renamed = water_named("Lower Sedge");
  lw_id rename = update_one(f, LW_KIND_WATER, w, &renamed);
  (void)add_water(f, "upper sedge");
  assert_undo_refused(f, rename, LW_CONFLICT, "'Upper Sedge' is taken by water 2");
  assert_whole(f, f->store);
}

/* Two waters change names within one change: undoing it must not trip over the names. */
static void names_that_changed_places_go_back(void **state)
{
  fixture *f = *state;
  lw_id a = add_water(f, "North");
  lw_id b = add_water(f, "South");
  static const char *const steps[] = {"Between", "North", "South"};
  const lw_id whose[] = {a, b, a};
  lw_id swap = 0;
  assert_ok(f, lw_store_begin(f->store, &fixture_change, &f->err));
  for (size_t i = 0; i < 3; i++) {
    lw_water water = water_named(steps[i]);
    assert_ok(f, lw_store_update(f->store, LW_KIND_WATER, whose[i], &water, &f->err));
  }
  assert_ok(f, lw_store_commit(f->store, &swap, &f->err));
  lw_water water;
  assert_ok(f, lw_store_find_water(f->store, "North", f->arena, &water, &f->err));
  assert_int_equal(water.id, b);
  (void)undo_ok(f, swap);
  assert_ok(f, lw_store_find_water(f->store, "North", f->arena, &water, &f->err));
  assert_int_equal(water.id, a);
  assert_whole(f, f->store);
}

/* A record added and changed, or added and removed, within one change. */
static void several_writes_of_one_record_are_one(void **state)
{
  fixture *f = *state;
  lw_water water = water_named("Upper Sedge");
  lw_id id = 0;
  lw_id change = 0;
  assert_ok(f, lw_store_begin(f->store, &fixture_change, &f->err));
  assert_ok(f, lw_store_add(f->store, LW_KIND_WATER, &water, &id, &f->err));
  water.note = "later";
  assert_ok(f, lw_store_update(f->store, LW_KIND_WATER, id, &water, &f->err));
  assert_ok(f, lw_store_remove(f->store, LW_KIND_WATER, id, &f->err));
  assert_ok(f, lw_store_commit(f->store, &change, &f->err));
  assert_false(lives(f, LW_KIND_WATER, id));
  lw_id undo = undo_ok(f, change).undone_by;
  assert_false(lives(f, LW_KIND_WATER, id));
  (void)undo_ok(f, undo);
  assert_false(lives(f, LW_KIND_WATER, id));
  assert_whole(f, f->store);
}

static void undo_needs_no_open_change(void **state)
{
  fixture *f = *state;
  (void)add_water(f, "Upper Sedge");
  lw_water water = water_named("Heron Pool");
  lw_id id = 0;
  lw_id change = 0;
  assert_ok(f, lw_store_begin(f->store, &fixture_change, &f->err));
  assert_ok(f, lw_store_add(f->store, LW_KIND_WATER, &water, &id, &f->err));
  assert_undo_refused(f, 1, LW_INTERNAL, "while another was open");
  assert_ok(f, lw_store_commit(f->store, &change, &f->err)); /* still there */
  assert_true(lives(f, LW_KIND_WATER, id));
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      store_test(history_tells_newest_first),
      store_test(an_empty_store_has_no_history),
      store_test(versions_tell_every_state),
      store_test(an_outline_is_kept_once),
      store_test(undo_takes_back_add_update_and_remove),
      store_test(undo_restores_every_kind_whole),
      store_test(undo_and_its_undo_chain),
      store_test(a_change_put_back_can_be_undone_again),
      store_test(later_work_is_not_overwritten),
      store_test(the_same_words_again_are_a_conflict_too),
      store_test(an_undo_below_is_a_conflict),
      store_test(what_was_built_on_an_addition_keeps_it),
      store_test(what_a_record_needs_must_still_be_there),
      store_test(a_name_taken_meanwhile_is_a_conflict),
      store_test(names_that_changed_places_go_back),
      store_test(several_writes_of_one_record_are_one),
      store_test(undo_needs_no_open_change),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
