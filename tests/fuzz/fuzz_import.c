/* SPDX-License-Identifier: Apache-2.0 */
/* Any bytes as a table: the first byte picks the kind, the second the options. A refused import and a
 * dry run leave the store as it was; what goes in leaves it whole and can be taken back. */
#include "fuzz.h"

#include "base/text.h"
#include "work/entries.h"
#include "work/import_csv.h"

#include <string.h>
#include <unistd.h>

static lw_store *store;
static char folder[] = "/tmp/lakeward-fuzz-XXXXXX";
static char path[64];

static void end_store(void)
{
  lw_store_close(store);
  (void)unlink(path);
  (void)rmdir(folder);
}

static void begin_store(lw_desk *desk)
{
  const lw_field water[] = {{"name", "Heron Pool"}};
  const lw_field powder[] = {
      {"name", "Powder 12-48-8"}, {"form", "soluble-powder"}, {"grade", "12-48-8"}, {"package", "50 lb"}};
  const lw_form forms[] = {{water, 1}, {powder, 4}};
  lw_entry entry;
  lw_error err = {0};
  if (!store) {
    CHECK(mkdtemp(folder));
    (void)snprintf(path, sizeof path, "%s/store", folder);
    CHECK(lw_store_create(path, &err) == LW_OK && lw_store_open(&store, path, &err) == LW_OK);
    CHECK(atexit(end_store) == 0);
    desk->store = store;
    CHECK(lw_add_water(&entry, desk, &forms[0], &err) == LW_OK);
    CHECK(lw_add_material(&entry, desk, &forms[1], &err) == LW_OK);
  }
  desk->store = store;
}

static void check_list(const lw_import_list *list)
{
  CHECK(list->listed <= LW_IMPORT_LISTED && list->listed <= list->count);
  for (size_t i = 0; i < list->listed; i++) {
    const lw_import_remark *r = &list->items[i];
    CHECK(r->line >= 1 && r->column >= 1 && r->message[0]);
    CHECK(lw_text_is_clean(r->message, strlen(r->message)));
  }
}

static void check_outcome(const lw_desk *desk, const lw_import_report *report, lw_status status,
                          int64_t before)
{
  lw_error err = {0};
  lw_entry entry;
  int64_t after = 0;
  CHECK(lw_store_revision(store, &after, &err) == LW_OK);
  check_list(&report->faults);
  check_list(&report->duplicates);
  check_list(&report->questions);
  CHECK(status == LW_OK || lw_status_exit_code(status) == 2 || status == LW_MEMORY);
  CHECK(status != LW_OK || report->faults.count == 0);
  CHECK(status != LW_OK || report->dry_run || report->accepted_unusual || report->questions.count == 0);
  CHECK(after == before + (report->change ? 1 : 0));
  CHECK(!report->change || (status == LW_OK && report->added && !report->dry_run));
  if (report->change) {
    CHECK(lw_undo(&entry, desk, report->change, &err) == LW_OK);
  }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
  static const char *const kinds[] = {"readings", "treatments", "materials", "lots", "weather", "notes"};
  lw_desk desk = {
      .arena = lw_arena_new((size_t)64 << 20), .today = 20563, .now = 1776700000000, .who = "", .why = ""};
  lw_import_report report;
  lw_error err = {0};
  int64_t before = 0;
  CHECK(desk.arena);
  begin_store(&desk);
  if (size >= 2) {
    const lw_import_options options = {.water = data[1] & 1 ? "heron pool" : NULL,
                                       .dry_run = data[1] & 2,
                                       .skip_duplicates = data[1] & 4,
                                       .accept_unusual = data[1] & 8};
    CHECK(lw_store_revision(store, &before, &err) == LW_OK);
    lw_status s = lw_import_csv_text(&report, &desk, kinds[data[0] % 6], "fuzz.csv", (const char *)data + 2,
                                     size - 2, &options, &err);
    CHECK(s == LW_OK || err.message[0]);
    check_outcome(&desk, &report, s, before);
  }
  lw_arena_free(desk.arena);
  return 0;
}
