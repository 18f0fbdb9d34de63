/* SPDX-License-Identifier: Apache-2.0 */
#include "work/import_csv_parts.h"

#include "base/text.h"
#include "exchange/files.h"
#include "exchange/plain.h"
#include "work/write.h"

#include <string.h>

enum { LARGEST_FILE = 64 * 1024 * 1024 };

typedef struct sort_of_table {
  lw_kind_id kind;
  void (*row)(lw_importing *job);
} sort_of_table;

static const sort_of_table sorts[] = {
    {LW_KIND_READING, lw_import_reading_row},   {LW_KIND_TREATMENT, lw_import_treatment_row},
    {LW_KIND_MATERIAL, lw_import_material_row}, {LW_KIND_LOT, lw_import_lot_row},
    {LW_KIND_WEATHER, lw_import_weather_row},   {LW_KIND_NOTE, lw_import_note_row},
};

enum { SORTS = sizeof sorts / sizeof sorts[0] };

static const sort_of_table *sort_named(const char *word, lw_error *err)
{
  lw_text names = LW_TEXT(200);
  for (size_t i = 0; i < SORTS; i++) {
    const char *plural = lw_kinds[sorts[i].kind].plural;
    if (strcmp(plural, word) == 0) {
      lw_text_free(&names);
      return &sorts[i];
    }
    lw_text_addf(&names, "%s%s", i ? ", " : "", plural);
  }
  (void)lw_fail(err, LW_INVALID, "'%.40s' is not a kind of table; it must be one of %s", word,
                lw_text_view(&names));
  lw_text_free(&names);
  return NULL;
}

/* ---- before the rows ---- */

static lw_status settle_water(lw_importing *job, lw_error *err)
{
  lw_water water;
  if (!job->options->water) {
    return LW_OK;
  }
  if (job->kind == LW_KIND_MATERIAL || job->kind == LW_KIND_LOT) {
    return lw_fail(err, LW_INVALID, "%s belong to no water; leave out --water", lw_kinds[job->kind].plural);
  }
  lw_status s = lw_store_find_water(job->desk->store, job->options->water, job->desk->arena, &water, err);
  job->given_water = s == LW_OK ? water.id : 0;
  return s;
}

static lw_status read_lists(lw_importing *job, lw_error *err)
{
  const lw_desk *desk = job->desk;
  lw_status s = lw_desk_units(&job->units, desk, 0, err);
  s = s == LW_OK
          ? lw_store_list(desk->store, LW_KIND_WATER, 0, desk->arena, &job->waters, &job->water_count, err)
          : s;
  s = s == LW_OK ? lw_store_list(desk->store, LW_KIND_MATERIAL, 0, desk->arena, &job->materials,
                                 &job->material_count, err)
                 : s;
  s = s == LW_OK && job->role_at[LW_IMPORT_ZONE] >= 0
          ? lw_store_list(desk->store, LW_KIND_ZONE, 0, desk->arena, &job->zones, &job->zone_count, err)
          : s;
  return s == LW_OK ? lw_import_twins_begin(job, err) : s;
}

/* ---- the rows ---- */

static bool row_is_blank(lw_importing *job)
{
  for (size_t i = 0; i < job->csv.column_count; i++) {
    if (*lw_import_text(job, i)) {
      return false;
    }
  }
  return true;
}

static void read_rows(lw_importing *job, const sort_of_table *sort)
{
  for (job->row = 0; job->row < job->csv.row_count && job->stop == LW_OK; job->row++) {
    if (!row_is_blank(job)) {
      job->report->rows++;
      job->row_faults = 0;
      sort->row(job);
    }
  }
  if (job->report->rows == 0 && job->stop == LW_OK) {
    lw_import_fault(job, &job->csv.header[0],
                    "the table has a header and no rows; there is nothing to import");
  }
}

/* The first of a list into the error, with how many there are. */
static lw_status refuse(const lw_importing *job, const lw_import_list *list, const char *what,
                        const char *way)
{
  const lw_import_remark *first = &list->items[0];
  if (list->listed == 0) {
    return lw_fail(job->err, LW_MEMORY, "there is no memory for this table; split it");
  }
  lw_status s = lw_fail_at(job->err, LW_INVALID, job->report->file, first->line, first->column,
                           "%zu %s%s, nothing was written%s: %s", list->count, what,
                           list->count == 1 ? "" : "s", way, first->message);
  if (job->err) {
    lw_make_plain(job->err->message);
  }
  return s;
}

static lw_status verdict(lw_importing *job)
{
  const lw_import_report *report = job->report;
  if (job->stop != LW_OK) {
    return job->stop;
  }
  if (report->faults.count) {
    return refuse(job, &report->faults, "fault", "");
  }
  if (report->questions.count && !job->options->accept_unusual && !job->options->dry_run) {
    return refuse(job, &report->questions, "question",
                  " (correct what is wrong; --accept-unusual takes the rest as it is)");
  }
  return LW_OK;
}

static lw_status finish(lw_importing *job)
{
  lw_store *store = job->desk->store;
  lw_import_tally_up(job);
  lw_status s = verdict(job);
  if (s == LW_OK && !job->options->dry_run) {
    s = lw_store_commit(store, &job->report->change, job->err);
  }
  lw_store_rollback(store); /* of what is not committed */
  if (s == LW_OK) {
    s = lw_store_revision(store, &job->report->revision, job->err);
  } else {
    job->report->added = job->report->skipped = job->report->tally_count = 0;
  }
  return s;
}

/* "readings from spring.csv": paths say more of the machine than of the change. */
static const char *action_of(lw_importing *job)
{
  const char *slash = strrchr(job->report->file, '/');
  char *name = lw_arena_copy(job->desk->arena, slash ? slash + 1 : job->report->file);
  if (name) {
    lw_make_plain(name);
  }
  return name ? lw_arena_format(job->desk->arena, "%s from %.200s", job->report->kind, name) : NULL;
}

/* Everything is tried inside one change, in a dry run too: the store's own checks are part of it. */
static lw_status import_rows(lw_importing *job, const sort_of_table *sort)
{
  const lw_desk *desk = job->desk;
  const lw_change change = {.who = desk->who, .why = desk->why, .action = action_of(job), .at = desk->now};
  lw_status s = change.action ? lw_store_begin(desk->store, &change, job->err)
                              : lw_fail(job->err, LW_MEMORY, "there is no memory for this table; split it");
  if (s != LW_OK) {
    return s;
  }
  s = read_lists(job, job->err);
  if (s == LW_OK) {
    read_rows(job, sort);
    s = finish(job);
  }
  lw_store_rollback(desk->store);
  lw_import_twins_end(job);
  return s;
}

static lw_status import_table(lw_importing *job, const sort_of_table *sort)
{
  job->columns = LW_NEW(job->desk->arena, lw_import_column, job->csv.column_count);
  lw_status s = settle_water(job, job->err);
  if (s == LW_OK && !job->columns) {
    lw_import_stop_memory(job);
    s = job->stop;
  }
  if (s != LW_OK) {
    return s;
  }
  lw_import_header(job);
  s = verdict(job);
  return s == LW_OK ? import_rows(job, sort) : s;
}

/* A table that cannot be read to its end has one fault that can be told. */
static void list_read_fault(lw_importing *job, const lw_error *fault)
{
  if (fault->line > 0) {
    const lw_csv_cell at = {.line = fault->line, .column = fault->column};
    lw_import_fault(job, &at, "%s", fault->message);
  }
}

static lw_status begin(lw_import_report *out, const lw_desk *desk, const char *kind, const char *file,
                       const lw_import_options *options, const sort_of_table **sort, lw_error *err)
{
  char *name = lw_arena_copy(desk->arena, file);
  *out = (lw_import_report){.file = "",
                            .kind = "",
                            .dry_run = options->dry_run,
                            .accepted_unusual = options->accept_unusual,
                            .skipped_duplicates = options->skip_duplicates};
  *sort = sort_named(kind, err);
  if (!*sort || !name) {
    return *sort ? lw_fail(err, LW_MEMORY, "there is no memory for this table") : LW_INVALID;
  }
  lw_make_plain(name);
  out->file = name;
  out->kind = lw_kinds[(*sort)->kind].plural;
  return LW_OK;
}

lw_status lw_import_csv_text(lw_import_report *out, const lw_desk *desk, const char *kind, const char *file,
                             const char *text, size_t length, const lw_import_options *options, lw_error *err)
{
  const sort_of_table *sort = NULL;
  lw_error fault = {0};
  lw_status s = begin(out, desk, kind, file, options, &sort, err);
  if (s != LW_OK) {
    return s;
  }
  lw_importing job = {.desk = desk, .options = options, .kind = sort->kind, .report = out, .err = err};
  s = lw_csv_parse(&job.csv, out->file, text, length, 0, desk->arena, &fault);
  if (s == LW_OK) {
    return import_table(&job, sort);
  }
  list_read_fault(&job, &fault);
  if (err) {
    *err = fault;
  }
  return s;
}

lw_status lw_import_csv(lw_import_report *out, const lw_desk *desk, const char *kind, const char *path,
                        const lw_import_options *options, lw_error *err)
{
  const sort_of_table *sort = NULL;
  char *text = NULL;
  size_t length = 0;
  lw_status s = begin(out, desk, kind, path, options, &sort, err);
  s = s == LW_OK ? lw_file_read(path, LARGEST_FILE, desk->arena, &text, &length, err) : s;
  return s == LW_OK ? lw_import_csv_text(out, desk, kind, path, text, length, options, err) : s;
}
