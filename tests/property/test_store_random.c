/* SPDX-License-Identifier: Apache-2.0 */
/* Laws of the store, on drawn histories of adding, updating, removing, undoing and undoing of undos:
 *   1. a record is what the last change that stands and is no undo made of it;
 *   2. such a change can be undone if and only if no later one of its sort touched its records;
 *   3. what is refused changes nothing;
 *   4. the check is clean, and export and import give back the same store.
 * The model here keeps only what each change made of each record; it knows nothing of how undo works. */
#include "store_fixture.h"

#include "base/random.h"

enum { SEEDS = 6, STEPS = 250, TOUCHED = 4, BODY = 200, MOST_CHANGES = STEPS + 1, MOST_RECORDS = 1200 };

static const lw_kind_id kinds[] = {LW_KIND_NOTE, LW_KIND_MATERIAL, LW_KIND_SETTING};

/* What a change made of a record; "" when it removed it. */
typedef struct effect {
  int record;
  char body[BODY];
} effect;

typedef struct change {
  lw_id undoes;
  bool stands;
  int count;
  effect effects[TOUCHED];
} change;

typedef struct model {
  fixture *f;
  lw_random random;
  uint64_t draws;
  long serial;
  lw_id change_count;
  change changes[MOST_CHANGES + 1]; /* from 1 */
  int record_count;
  struct {
    lw_kind_id kind;
    lw_id id;
  } records[MOST_RECORDS];
  size_t undone, refused;
} model;

static long draw(model *m, long below)
{
  return (long)(lw_random_uniform(&m->random, m->draws++) * (double)below);
}

/* Law 1. */
static const char *expected_body(const model *m, int record)
{
  for (lw_id c = m->change_count; c >= 1; c--) {
    const change *made = &m->changes[c];
    for (int i = made->count - 1; i >= 0 && made->stands && !made->undoes; i--) {
      if (made->effects[i].record == record) {
        return made->effects[i].body;
      }
    }
  }
  return "";
}

static void actual_body(model *m, int record, lw_text *out)
{
  lw_any_record got;
  lw_arena *arena = lw_arena_new(0);
  lw_status status =
      lw_store_get(m->f->store, m->records[record].kind, m->records[record].id, arena, &got, NULL);
  lw_text_clear(out);
  if (status == LW_OK) {
    lw_body_write(out, m->records[record].kind, &got);
  } else {
    assert_int_equal(status, LW_NOT_FOUND);
  }
  lw_arena_free(arena);
}

static void assert_as_expected(model *m)
{
  lw_text got = LW_TEXT(LW_BODY_MAX);
  int64_t revision = 0;
  assert_ok(m->f, lw_store_revision(m->f->store, &revision, &m->f->err));
  assert_int_equal(revision, m->change_count);
  for (int i = 0; i < m->record_count; i++) {
    actual_body(m, i, &got);
    assert_string_equal(lw_text_view(&got), expected_body(m, i));
  }
  lw_text_free(&got);
}

/* ---- one change of one to four writes ---- */

/* A record no other write has made: names and keys never clash. */
static void draw_record(model *m, lw_kind_id kind, lw_any_record *out, char text[64])
{
  lw_kind_clear(kind, out);
  (void)snprintf(text, 64, "drawn %ld", ++m->serial);
  if (kind == LW_KIND_NOTE) {
    out->note.text = text;
    out->note.day = day_of(2026, 1, 1) + (lw_day)draw(m, 365);
  } else if (kind == LW_KIND_MATERIAL) {
    out->material = material_named(text);
    out->material.price = lw_known((double)draw(m, 10000) / 100);
  } else {
    out->setting.key = text;
    out->setting.value = draw(m, 2) ? "us" : "";
  }
}

static effect *effect_on(change *made, int record)
{
  for (int i = 0; i < made->count; i++) {
    if (made->effects[i].record == record) {
      return &made->effects[i];
    }
  }
  made->effects[made->count].record = record;
  return &made->effects[made->count++];
}

static bool lives_now(const model *m, const change *made, int record)
{
  for (int i = 0; i < made->count; i++) {
    if (made->effects[i].record == record) {
      return made->effects[i].body[0] != '\0';
    }
  }
  return expected_body(m, record)[0] != '\0';
}

static void write_record(model *m, change *made, int record)
{
  fixture *f = m->f;
  lw_any_record drawn;
  char text[64];
  lw_text body = LW_TEXT(BODY - 1);
  bool fresh = record == m->record_count;
  lw_kind_id kind = fresh ? kinds[draw(m, 3)] : m->records[record].kind;
  draw_record(m, kind, &drawn, text);
  if (fresh) {
    m->records[record].kind = kind;
    assert_ok(f, lw_store_add(f->store, kind, &drawn, &m->records[record].id, &f->err));
    m->record_count++;
  } else {
    assert_ok(f, lw_store_update(f->store, kind, m->records[record].id, &drawn, &f->err));
  }
  lw_body_write(&body, kind, &drawn);
  (void)snprintf(effect_on(made, record)->body, BODY, "%s", lw_text_view(&body));
  lw_text_free(&body);
}

static void make_change(model *m)
{
  fixture *f = m->f;
  change made = {.stands = true};
  int records_before = m->record_count;
  lw_id id = 0;
  assert_ok(f, lw_store_begin(f->store, &fixture_change, &f->err));
  for (long writes = 1 + draw(m, TOUCHED); writes > 0; writes--) {
    int record = (int)draw(m, m->record_count + 2);
    record = record > m->record_count ? m->record_count : record;
    bool old = record < m->record_count;
    if (old && !lives_now(m, &made, record)) {
      assert_int_equal(lw_store_remove(f->store, m->records[record].kind, m->records[record].id, NULL),
                       LW_NOT_FOUND);
      record = m->record_count; /* add one instead */
      old = false;
    }
    if (old && draw(m, 4) == 0) {
      assert_ok(f, lw_store_remove(f->store, m->records[record].kind, m->records[record].id, &f->err));
      effect_on(&made, record)->body[0] = '\0';
    } else {
      write_record(m, &made, record);
    }
  }
  if (draw(m, 10) == 0) {
    lw_store_rollback(f->store);
    m->record_count = records_before; /* what was new in it never was */
    return;
  }
  assert_ok(f, lw_store_commit(f->store, &id, &f->err));
  assert_int_equal(id, ++m->change_count);
  m->changes[id] = made;
}

/* ---- undo ---- */

static bool touches(const change *a, const change *b)
{
  for (int i = 0; i < a->count; i++) {
    for (int k = 0; k < b->count; k++) {
      if (a->effects[i].record == b->effects[k].record) {
        return true;
      }
    }
  }
  return false;
}

/* Law 2, for changes that are no undos. */
static bool may_be_undone(const model *m, lw_id target)
{
  if (!m->changes[target].stands) {
    return false;
  }
  for (lw_id c = target + 1; c <= m->change_count; c++) {
    if (m->changes[c].stands && !m->changes[c].undoes && touches(&m->changes[c], &m->changes[target])) {
      return false;
    }
  }
  return true;
}

static void try_undo(model *m)
{
  fixture *f = m->f;
  lw_history_entry entry;
  /* mostly of late changes, where more is possible */
  lw_id target = m->change_count - (lw_id)(draw(m, 2) ? draw(m, 4) : draw(m, (long)m->change_count));
  if (target < 1 || target > m->change_count) {
    return;
  }
  bool is_undo = m->changes[target].undoes != 0;
  bool expected = may_be_undone(m, target);
  lw_status status = lw_store_undo(f->store, &fixture_change, target, f->arena, &entry, &f->err);
  if (!is_undo && (status == LW_OK) != expected) {
    fail_msg("undo of %lld: %s (%s)", (long long)target, lw_status_id(status), f->err.message);
  }
  assert_true(status == LW_OK || status == LW_CONFLICT);
  if (status != LW_OK) {
    m->refused++;
    return;
  }
  m->undone++;
  m->changes[++m->change_count] = (change){.undoes = target, .stands = true};
  assert_int_equal(entry.undone_by, m->change_count);
  /* what the undone one had taken back stands again, and so on down */
  for (lw_id c = target; c; c = m->changes[c].undoes) {
    m->changes[c].stands = !m->changes[c].stands;
  }
}

/* The history tells who stands as the model does. */
static void assert_history(const model *m)
{
  lw_history_entry *entries = NULL;
  size_t count = 0;
  assert_ok(m->f, lw_store_history(m->f->store, 100000, m->f->arena, &entries, &count, &m->f->err));
  assert_int_equal(count, m->change_count);
  for (size_t i = 0; i < count; i++) {
    const change *made = &m->changes[entries[i].change];
    assert_int_equal(entries[i].undone_by == 0, made->stands);
    assert_int_equal(entries[i].undoes, made->undoes);
  }
}

static void assert_comes_back(model *m)
{
  fixture *f = m->f;
  const char *folder = lw_arena_format(f->arena, "%s/export", f->folder);
  const char *copy = lw_arena_format(f->arena, "%s/copy", f->folder);
  assert_whole(f, f->store);
  assert_ok(f, lw_store_export(f->store, folder, &f->err));
  assert_ok(f, lw_store_import(folder, copy, &f->err));
  lw_store_close(f->store);
  f->store = NULL;
  assert_ok(f, lw_store_open(&f->store, copy, &f->err));
  assert_as_expected(m);
  assert_history(m);
}

static void drawn_histories_keep_the_laws(void **state)
{
  (void)state;
  size_t undone = 0;
  size_t refused = 0;
  for (uint64_t seed = 1; seed <= SEEDS; seed++) {
    void *made = NULL;
    assert_int_equal(fixture_begin(&made), 0);
    model *m = calloc(1, sizeof *m);
    m->f = made;
    m->random = (lw_random){.seed = seed, .stream = 7};
    for (int step = 0; step < STEPS; step++) {
      if (draw(m, 5) < 3) {
        make_change(m);
      } else {
        try_undo(m);
      }
      if (step % 5 == 0) {
        assert_as_expected(m);
      }
      if (draw(m, 40) == 0) {
        fixture_reopen(m->f);
      }
    }
    assert_as_expected(m);
    assert_history(m);
    assert_comes_back(m);
    undone += m->undone;
    refused += m->refused;
    free(m);
    (void)fixture_end(&made);
  }
  print_message("# %d histories of %d steps: %zu undos done, %zu refused as conflicts\n", SEEDS, STEPS,
                undone, refused);
  assert_true(undone > 100 && refused > 100);
}

int main(void)
{
  const struct CMUnitTest tests[] = {cmocka_unit_test(drawn_histories_keep_the_laws)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
