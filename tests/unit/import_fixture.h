/* SPDX-License-Identifier: Apache-2.0 */
/* What the tests of the table import share: a store with the demo's waters and materials, an import of
 * a text, and what the store looks like from outside. */
#ifndef LW_TESTS_IMPORT_FIXTURE_H
#define LW_TESTS_IMPORT_FIXTURE_H

#include "store_fixture.h"

#include "work/entries.h"
#include "work/import_csv.h"

typedef struct place {
  fixture f; /* first: the store's setup and teardown work on it */
  lw_desk desk;
  lw_id sedge, heron, powder, liquid;
  lw_import_report report;
} place;

static inline lw_id add_material(place *p, lw_material m)
{
  return add_one(&p->f, LW_KIND_MATERIAL, &m);
}

static inline int place_begin(void **state)
{
  if (fixture_begin(state) != 0) {
    return -1;
  }
  place *p = realloc(*state, sizeof *p);
  if (!p) {
    return -1;
  }
  memset((char *)p + sizeof p->f, 0, sizeof *p - sizeof p->f);
  *state = p;
  p->desk = (lw_desk){.store = p->f.store,
                      .arena = p->f.arena,
                      .today = day_of(2026, 4, 20),
                      .now = 1776700000000,
                      .who = "keeper",
                      .why = ""};
  lw_water sedge = full_water("Upper Sedge");
  lw_water heron = water_named("Heron Pool");
  p->sedge = add_one(&p->f, LW_KIND_WATER, &sedge);
  p->heron = add_one(&p->f, LW_KIND_WATER, &heron);
  lw_zone zone = {.water = p->sedge, .name = "North arm", .kind = "bay", .note = ""};
  (void)add_one(&p->f, LW_KIND_ZONE, &zone);
  p->powder = add_material(p, material_named("Powder 12-48-8"));
  p->liquid = add_material(p, (lw_material){.name = "Liquid 10-34-0",
                                            .kind = "fertilizer",
                                            .form = "liquid",
                                            .grade = "10-34-0",
                                            .density_kg_l = lw_known(1.4),
                                            .package_l = lw_known(3.785411784),
                                            .package_kg = lw_known(5.2995764976),
                                            .note = ""});
  return 0;
}

#define import_test(name) cmocka_unit_test_setup_teardown(name, place_begin, fixture_end)

static inline lw_status import_with(place *p, const char *kind, const char *text, lw_import_options options)
{
  p->f.err = (lw_error){0};
  return lw_import_csv_text(&p->report, &p->desk, kind, "sheet.csv", text, strlen(text), &options, &p->f.err);
}

static inline lw_status import(place *p, const char *kind, const char *text)
{
  return import_with(p, kind, text, (lw_import_options){0});
}

static inline int64_t revision(place *p)
{
  int64_t now = 0;
  assert_ok(&p->f, lw_store_revision(p->f.store, &now, &p->f.err));
  return now;
}

static inline size_t readings(place *p, lw_reading **out)
{
  size_t n = 0;
  assert_ok(&p->f, lw_store_list(p->f.store, LW_KIND_READING, 0, p->f.arena, out, &n, &p->f.err));
  return n;
}

static inline size_t treatments(place *p, lw_treatment **out)
{
  size_t n = 0;
  assert_ok(&p->f, lw_store_list(p->f.store, LW_KIND_TREATMENT, 0, p->f.arena, out, &n, &p->f.err));
  return n;
}

/* A whole export as one text: names and contents in order. */
static inline char *export_text(place *p)
{
  static int number;
  char folder[200];
  lw_text all = LW_TEXT((size_t)64 << 20);
  (void)snprintf(folder, sizeof folder, "%s/export-%d", p->f.folder, number++);
  assert_ok(&p->f, lw_store_export(p->f.store, folder, &p->f.err));
  struct dirent **entries = NULL;
  int n = scandir(folder, &entries, NULL, alphasort);
  assert_true(n > 5);
  for (int i = 0; i < n; i++) {
    char path[500];
    (void)snprintf(path, sizeof path, "%s/%s", folder, entries[i]->d_name);
    FILE *file = strstr(entries[i]->d_name, ".csv") ? fopen(path, "rb") : NULL;
    char piece[4096];
    size_t got = 0;
    lw_text_addf(&all, "== %s\n", entries[i]->d_name);
    while (file && (got = fread(piece, 1, sizeof piece, file)) > 0) {
      lw_text_add_n(&all, piece, got);
    }
    if (file) {
      (void)fclose(file);
    }
    free(entries[i]);
  }
  free(entries);
  char *text = lw_text_take(&all);
  assert_non_null(text);
  return text;
}

/* The remark at `line`, `column` holds `piece`; there are `count` remarks. */
static inline void check_remark(const lw_import_list *list, size_t index, long line, long column,
                                const char *piece, const char *file, int at)
{
  if (index >= list->listed) {
    print_error("there are %zu remarks, not %zu\n", list->listed, index + 1);
    _fail(file, at);
    return;
  }
  const lw_import_remark *r = &list->items[index];
  if (r->line != line || r->column != column || !strstr(r->message, piece)) {
    print_error("remark %zu is %ld:%ld: %s\n   expected %ld:%ld: ... %s\n", index, r->line, r->column,
                r->message, line, column, piece);
    _fail(file, at);
  }
}

#define assert_fault(p, index, line, column, piece)                                                          \
  check_remark(&(p)->report.faults, (index), (line), (column), (piece), __FILE__, __LINE__)
#define assert_question(p, index, line, column, piece)                                                       \
  check_remark(&(p)->report.questions, (index), (line), (column), (piece), __FILE__, __LINE__)
#define assert_duplicate(p, index, line, column, piece)                                                      \
  check_remark(&(p)->report.duplicates, (index), (line), (column), (piece), __FILE__, __LINE__)

#define assert_imported(p, kind, text)                                                                       \
  do {                                                                                                       \
    lw_status got_ = import((p), (kind), (text));                                                            \
    if (got_ != LW_OK) {                                                                                     \
      print_error("%s:%ld:%ld: %s\n", (p)->f.err.file, (p)->f.err.line, (p)->f.err.column,                   \
                  (p)->f.err.message);                                                                       \
      _fail(__FILE__, __LINE__);                                                                             \
    }                                                                                                        \
  } while (0)

#endif
