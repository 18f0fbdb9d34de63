/* SPDX-License-Identifier: Apache-2.0 */
/* What an import found: faults, duplicates and questions with their places, and what went in. */
#include "work/import_csv_parts.h"

#include "exchange/plain.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

bool lw_import_list_full(const lw_import_list *list)
{
  return list->listed == LW_IMPORT_LISTED;
}

void lw_import_stop_memory(lw_importing *job)
{
  if (job->stop == LW_OK) {
    job->stop = lw_fail(job->err, LW_MEMORY, "there is no memory for this table; split it");
  }
}

static void add(lw_importing *job, lw_import_list *list, const lw_csv_cell *at, const char *message)
{
  list->count++;
  if (lw_import_list_full(list)) {
    return;
  }
  if (!list->items) {
    list->items = LW_NEW(job->desk->arena, lw_import_remark, LW_IMPORT_LISTED);
  }
  const char *copy = lw_arena_copy(job->desk->arena, message);
  if (!list->items || !copy) {
    lw_import_stop_memory(job);
    return;
  }
  list->items[list->listed++] = (lw_import_remark){at->line, at->column, copy};
}

/* Messages show pieces of cells, which may have been cut within a character. */
static void add_formatted(lw_importing *job, lw_import_list *list, const lw_csv_cell *at, const char *format,
                          va_list args) LW_PRINTF(4, 0);

static void add_formatted(lw_importing *job, lw_import_list *list, const lw_csv_cell *at, const char *format,
                          va_list args)
{
  char message[LW_MESSAGE_MAX] = "";
  if (!lw_import_list_full(list)) {
    (void)vsnprintf(message, sizeof message, format, args);
    lw_make_plain(message);
  }
  add(job, list, at, message);
}

void lw_import_fault(lw_importing *job, const lw_csv_cell *at, const char *format, ...)
{
  va_list args;
  va_start(args, format);
  add_formatted(job, &job->report->faults, at, format, args);
  va_end(args);
  job->row_faults++;
}

void lw_import_question(lw_importing *job, const lw_csv_cell *at, const char *format, ...)
{
  va_list args;
  va_start(args, format);
  add_formatted(job, &job->report->questions, at, format, args);
  va_end(args);
}

void lw_import_duplicate(lw_importing *job, const lw_csv_cell *at, const char *where)
{
  const char *kind = lw_kinds[job->kind].name;
  if (job->options->skip_duplicates || job->options->dry_run) {
    char message[LW_MESSAGE_MAX];
    (void)snprintf(message, sizeof message, "the same %s %s", kind, where);
    add(job, &job->report->duplicates, at, message);
    job->report->skipped += job->options->skip_duplicates ? 1 : 0;
  } else {
    lw_import_fault(job, at, "the same %s %s; take it out, or leave all such out with --skip-duplicates",
                    kind, where);
  }
}

bool lw_import_good(lw_importing *job, const lw_csv_cell *at, lw_status status, const lw_error *fault)
{
  if (status == LW_OK) {
    return true;
  }
  if (status == LW_INVALID || status == LW_NOT_FOUND || status == LW_CONFLICT || status == LW_LIMIT) {
    lw_import_fault(job, at, "%s", fault->message);
  } else if (job->stop == LW_OK) {
    job->stop = status;
    if (job->err) {
      *job->err = *fault;
    }
  }
  return false;
}

/* ---- what went in ---- */

static bool grow_marks(lw_importing *job)
{
  size_t capacity = job->mark_capacity ? job->mark_capacity * 2 : 256;
  lw_import_mark *marks = LW_NEW(job->desk->arena, lw_import_mark, capacity);
  if (!marks) {
    lw_import_stop_memory(job);
    return false;
  }
  if (job->mark_count) {
    memcpy(marks, job->marks, job->mark_count * sizeof *marks);
  }
  job->marks = marks;
  job->mark_capacity = capacity;
  return true;
}

void lw_import_mark_one(lw_importing *job, lw_id water, const char *what, lw_day day)
{
  size_t index = 0;
  if (water) { /* most rows are about the water of the row before */
    index =
        job->last_water < job->water_count && job->waters[job->last_water].id == water ? job->last_water : 0;
    while (index < job->water_count && job->waters[index].id != water) {
      index++;
    }
    index++;
  }
  if (job->mark_count < job->mark_capacity || grow_marks(job)) {
    job->marks[job->mark_count++] = (lw_import_mark){index, what, day};
  }
}

static int by_water_and_sort(const void *a, const void *b)
{
  const lw_import_mark *x = a;
  const lw_import_mark *y = b;
  if (x->water != y->water) {
    return x->water < y->water ? -1 : 1;
  }
  int order = strcmp(x->what, y->what);
  return order ? order : (x->day > y->day) - (x->day < y->day);
}

static bool same_tally(const lw_import_mark *a, const lw_import_mark *b)
{
  return a->water == b->water && strcmp(a->what, b->what) == 0;
}

static const char *water_name(const lw_importing *job, const lw_import_mark *mark)
{
  if (mark->water) {
    return job->waters[mark->water - 1].name;
  }
  return job->kind == LW_KIND_NOTE ? "the whole place" : job->kind == LW_KIND_WEATHER ? "all waters" : "";
}

void lw_import_tally_up(lw_importing *job)
{
  lw_import_report *report = job->report;
  if (job->mark_count == 0) {
    return;
  }
  qsort(job->marks, job->mark_count, sizeof *job->marks, by_water_and_sort);
  size_t sorts = 1;
  for (size_t i = 1; i < job->mark_count; i++) {
    sorts += !same_tally(&job->marks[i - 1], &job->marks[i]);
  }
  report->tallies = LW_NEW(job->desk->arena, lw_import_tally, sorts);
  if (!report->tallies) {
    lw_import_stop_memory(job);
    return;
  }
  for (size_t i = 0; i < job->mark_count; i++) {
    const lw_import_mark *mark = &job->marks[i];
    if (i == 0 || !same_tally(mark - 1, mark)) {
      report->tallies[report->tally_count++] =
          (lw_import_tally){.water = water_name(job, mark), .what = mark->what, .first = mark->day};
    }
    lw_import_tally *tally = &report->tallies[report->tally_count - 1];
    tally->count++;
    tally->last = mark->day;
  }
}
