/* SPDX-License-Identifier: Apache-2.0 */
/* The n-th allocation fails, for n = 1, 2, ... until the call goes through without: reading a table,
 * reading an outline, a round of the store, today's advice. Each time the answer is LW_OK
 * with the whole result, or LW_MEMORY; nothing crashes and nothing leaks. Built twice: with our own,
 * SQLite's and Jansson's allocations failing (fault_memory.c; under the address sanitizer leaks are its to
 * find), and with every library's (fault_everything.c, which counts blocks itself). */
#include "fault_memory.h"
#include "store_fixture.h"

#include "exchange/csv.h"
#include "exchange/outline.h"
#include "work/json.h"
#include "work/now.h"

/* Jansson drops characters, or blames the text, where its lexer finds no memory: what it read or built can
 * be trusted only where its allocations are watched. Until they are, what hangs on it is not tried here. */
#if __has_include("exchange/json_memory.h")
#include "exchange/json_memory.h"
#define JSON_IS_WATCHED 1
#else
#define JSON_IS_WATCHED 0
static void lw_json_watch(void)
{
  (void)puts("# Jansson's allocations are not watched: outlines and JSON are not tried without memory");
}
static bool lw_json_ran_short(void)
{
  return false;
}
#endif
/* GEOS ends the process when its own first allocation fails (GEOS_init_r, 3.11.1). */
#if JSON_IS_WATCHED && !defined LW_COUNTS_BLOCKS
#define WITH_OUTLINE 1
#else
#define WITH_OUTLINE 0
#endif

enum { DAY_OF_ADVICE = 20558 /* 2026-04-15 */, READINGS = 5 };

/* What a scenario sees, and the answer it gave: compared with the answer of an undisturbed run. */
typedef struct scene {
  const fixture *f;
  char *answer;     /* malloc'ed text; NULL when there was none */
  const char *want; /* NULL in the first run */
} scene;

typedef lw_status (*scenario)(scene *s, lw_error *err);

/* ---- the scenarios ---- */

/* So many rows that the arena takes several blocks. */
static char *table_text(void)
{
  lw_text text = LW_TEXT(1 << 20);
  lw_text_add(&text, "water,day,clarity (in),note\n");
  for (int i = 0; i < 400; i++) {
    lw_text_addf(&text,
                 "Upper Sedge,2026-04-15,%d,\"clear, \"\"very\"\" clear\"\nLong Run,,,\"two\nlines\"\n", i);
  }
  return lw_text_take(&text);
}

static lw_status parse_table(const char *text, lw_arena *arena, lw_text *out, lw_error *err)
{
  lw_csv csv;
  const char *name = NULL;
  const char *unit = NULL;
  lw_status status = lw_csv_parse(&csv, "t.csv", text, strlen(text), 0, arena, err);
  if (status == LW_OK) {
    status = lw_csv_split_unit(&csv.header[2], arena, &name, &unit, err);
  }
  for (size_t i = 0; status == LW_OK && i < csv.row_count * csv.column_count; i++) {
    lw_csv_write_cell(out, csv.cells[i].text, i % csv.column_count == 0);
  }
  if (status == LW_OK) {
    lw_text_addf(out, "%s in %s", name, unit);
  }
  return status;
}

static lw_status read_table(scene *s, lw_error *err)
{
  lw_text out = LW_TEXT(1 << 20);
  lw_arena *arena = lw_arena_new(0);
  char *text = table_text();
  lw_status status = arena && text ? parse_table(text, arena, &out, err) : LW_MEMORY;
  if (status == LW_OK) {
    s->answer = lw_text_take(&out); /* NULL when one of the pieces found no room */
    status = s->answer ? LW_OK : LW_MEMORY;
  }
  free(text);
  lw_text_free(&out);
  lw_arena_free(arena);
  return status;
}

#if WITH_OUTLINE
static lw_status read_outline(scene *s, lw_error *err)
{
  static const char text[] =
      "{\"type\":\"FeatureCollection\",\"features\":[{\"type\":\"Feature\",\"properties\":{\"name\":\"Upper "
      "Sedge\"},"
      "\"geometry\":{\"type\":\"Polygon\",\"coordinates\":[[[-84,33],[-83.99,33],[-83.99,33.01],[-84,33.01],["
      "-84,33]],"
      "[[-83.996,33.004],[-83.994,33.004],[-83.994,33.006],[-83.996,33.006],[-83.996,33.004]]]}},"
      "{\"type\":\"Feature\",\"properties\":null,\"geometry\":{\"type\":\"Polygon\",\"coordinates\":"
      "[[[-83.98,33],[-83.97,33],[-83.97,33.01],[-83.98,33]]]}}]}";
  lw_outline outline;
  lw_arena *arena = lw_arena_new(0);
  lw_status status =
      arena ? lw_outline_parse(&outline, "lake.geojson", text, sizeof text - 1, arena, err) : LW_MEMORY;
  if (status == LW_OK) {
    s->answer = strdup(outline.geojson);
    status = s->answer ? LW_OK : LW_MEMORY;
  }
  lw_arena_free(arena);
  return status;
}
#endif

/* One reading is added, seen in the list, and taken back by a rollback: the next run finds what this did. */
static lw_status add_and_list(lw_store *store, lw_arena *arena, size_t *count, lw_error *err)
{
  lw_id id = 0;
  lw_reading *readings = NULL;
  lw_reading reading = reading_of(1, "secchi", 1.25, DAY_OF_ADVICE);
  lw_status status = lw_store_begin(store, &fixture_change, err);
  if (status == LW_OK) {
    status = lw_store_add(store, LW_KIND_READING, &reading, &id, err);
  }
  if (status == LW_OK) {
    status = lw_store_list(store, LW_KIND_READING, 0, arena, &readings, count, err);
  }
  lw_store_rollback(store);
  return status;
}

static lw_status use_store(scene *s, lw_error *err)
{
  lw_store *store = NULL;
  size_t count = 0;
  lw_arena *arena = lw_arena_new(0);
  lw_status status = arena ? lw_store_open(&store, s->f->path, err) : LW_MEMORY;
  if (status == LW_OK) {
    status = add_and_list(store, arena, &count, err);
  }
  assert_true(status != LW_OK || count == READINGS + 1);
  lw_store_close(store);
  lw_arena_free(arena);
  return status;
}

/* Every sentence of the advice, so that one that went missing shows. */
static void write_advice(lw_text *out, const lw_now *now)
{
  for (size_t i = 0; i < now->count; i++) {
    lw_text_addf(out, "%s\n", now->waters[i].water);
    for (size_t k = 0; k < now->waters[i].item_count; k++) {
      const lw_item *item = &now->waters[i].items[k];
      lw_text_addf(out, "%s %s: %s\n", lw_verdict_word(item->verdict), item->subject, item->headline);
      for (size_t r = 0; r < item->reason_count; r++) {
        lw_text_addf(out, "- %s %s\n", item->reasons[r].rule, item->reasons[r].text);
      }
      for (size_t c = 0; c < item->choice_count; c++) {
        lw_text_addf(out, "* %s %s\n", item->choices[c].material, item->choices[c].shown);
      }
    }
  }
}

#if JSON_IS_WATCHED
static void write_json(lw_text *out, const lw_now *now)
{
  json_t *json = lw_now_json(now);
  char *text = json ? lw_json_text(json, false) : NULL;
  out->failed = out->failed || !text;
  lw_text_add(out, text ? text : "");
  json_decref(json);
  free(text);
}
#endif

static lw_status advise(scene *s, lw_error *err)
{
  lw_now now;
  lw_store *store = NULL;
  lw_text out = LW_TEXT(1 << 20);
  lw_arena *arena = lw_arena_new(0);
  lw_status status = arena ? lw_store_open(&store, s->f->path, err) : LW_MEMORY;
  lw_desk desk = {.store = store, .arena = arena, .today = DAY_OF_ADVICE, .who = "", .why = ""};
  if (status == LW_OK) {
    status = lw_work_now(&now, &desk, DAY_OF_ADVICE, NULL, err);
  }
  if (status == LW_OK) {
    write_advice(&out, &now);
#if JSON_IS_WATCHED
    write_json(&out, &now);
#endif
    s->answer = lw_text_take(&out);
    status = s->answer ? LW_OK : LW_MEMORY;
  }
  lw_text_free(&out);
  lw_store_close(store);
  lw_arena_free(arena);
  return status;
}

/* ---- every n ---- */

static long blocks_in_use(void)
{
#ifdef LW_COUNTS_BLOCKS
  return fault_memory_live();
#else
  return 0; /* the address sanitizer looks for leaks at the end */
#endif
}

static void check_same_answer(const scene *s, long n)
{
  size_t same = 0;
  while (s->answer[same] && s->answer[same] == s->want[same]) {
    same++;
  }
  if (s->answer[same] || s->want[same]) {
    size_t from = same > 60 ? same - 60 : 0;
    fail_msg("allocation %ld: no fault told, but '%.100s' instead of '%.100s'", n, s->answer + from,
             s->want + from);
  }
}

typedef struct tally {
  long asked, told;
} tally;

/* One run with allocation n failing; false when it needed fewer than n. */
static bool run_once(scenario run, scene *s, long n, tally *t)
{
  lw_error err = {0};
  s->answer = NULL;
  long before = blocks_in_use();
  (void)lw_json_ran_short();
  fault_memory_arm(n);
  lw_status status = run(s, &err);
  bool failed = fault_memory_failed();
  t->asked = fault_memory_asked();
  fault_memory_arm(0);
  if (status != LW_OK && status != LW_MEMORY) {
    fail_msg("allocation %ld: %s: %s", n, lw_status_id(status), err.message);
  }
  if (status != LW_OK && !failed) {
    fail_msg("%s without a fault: %s", lw_status_id(status), err.message);
  }
  if (status == LW_OK && s->answer && s->want) {
    check_same_answer(s, n);
  }
  t->told += status != LW_OK;
  if (!s->want && n == 0) {
    return failed; /* the first answer is kept */
  }
  free(s->answer);
  if (blocks_in_use() != before) {
    fail_msg("allocation %ld: %ld blocks are left over", n, blocks_in_use() - before);
  }
  return failed;
}

static void every_allocation_may_fail(const fixture *f, scenario run)
{
  scene s = {.f = f};
  tally t = {0};
  (void)run_once(run, &s, 0, &t);
  char *want = s.answer;
  s.want = want ? want : "";
  (void)run_once(run, &s, 0, &t); /* libraries have what they keep for good */
  long n = 1;
  while (run_once(run, &s, n, &t)) {
    n++;
  }
  free(want);
  print_message("# %ld allocations, %ld of them needed\n", n - 1, t.told);
  assert_true(t.told > 0 && t.told <= n - 1);
}

static void table_without_memory(void **state)
{
  every_allocation_may_fail(*state, read_table);
}

#if WITH_OUTLINE
static void outline_without_memory(void **state)
{
  every_allocation_may_fail(*state, read_outline);
}
#endif

static void store_without_memory(void **state)
{
  every_allocation_may_fail(*state, use_store);
}

static void advice_without_memory(void **state)
{
  every_allocation_may_fail(*state, advise);
}

/* A few waters with readings, materials and treatments; closed, so that each run opens it anew. */
static int begin(void **state)
{
  if (fixture_begin(state) != 0) {
    return -1;
  }
  fixture *f = *state;
  fill_every_kind(f);
  lw_water shallow = {0};
  lw_kind_clear(LW_KIND_WATER, &shallow);
  shallow.name = "Brickyard";
  shallow.area_m2 = lw_known(8093.7);
  lw_id id = add_one(f, LW_KIND_WATER, &shallow);
  static const char *const quantities[] = {"secchi", "alkalinity", "temperature"};
  static const double values[] = {0.8, 34, 18};
  for (size_t i = 0; i < 3; i++) {
    lw_reading reading = reading_of(id, quantities[i], values[i], DAY_OF_ADVICE - 2);
    (void)add_one(f, LW_KIND_READING, &reading);
  }
  lw_store_close(f->store);
  f->store = NULL;
  return 0;
}

#define fault_test(name) cmocka_unit_test_setup_teardown(name, begin, fixture_end)

int main(void)
{
  bool installed = fault_memory_install() == 0;
  lw_json_watch(); /* as the program does */
  if (!installed) {
    (void)puts("Bail out! SQLite's allocations cannot be taken over");
    return 1;
  }
  const struct CMUnitTest tests[] = {
    fault_test(table_without_memory),
#if WITH_OUTLINE
    fault_test(outline_without_memory),
#endif
    fault_test(store_without_memory),
    fault_test(advice_without_memory),
  };
  return cmocka_run_group_tests_name("memory runs out", tests, NULL, NULL);
}
