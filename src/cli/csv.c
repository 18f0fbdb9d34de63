/* SPDX-License-Identifier: Apache-2.0 */
/* Tables in: many records at once. */
#include "cli/commands.h"

#include "work/import_csv.h"
#include "work/json.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const cli_option import_options[] = {
    {"dry-run", NULL, "check everything and show what would be added; write nothing"},
    {"water", "NAME", "the water of every row, for a table without a water column"},
    {"skip-duplicates", NULL, "leave out rows that are on record already; otherwise they are refused"},
    {"accept-unusual", NULL, "take values outside the usual range; otherwise they are asked about"},
    {NULL, NULL, NULL}};

static const char *plural(size_t count)
{
  return count == 1 ? "" : "s";
}

static void add_list(lw_text *out, const lw_import_report *report, const lw_import_list *list)
{
  for (size_t i = 0; i < list->listed; i++) {
    const lw_import_remark *r = &list->items[i];
    lw_text_addf(out, "%s:%ld:%ld: %s\n", report->file, r->line, r->column, r->message);
  }
  if (list->count > list->listed) {
    lw_text_addf(out, "%s: and %zu more\n", report->file, list->count - list->listed);
  }
}

/* ---- what went in ---- */

static void add_tallies(lw_text *out, const lw_import_report *report)
{
  int widest = 0;
  for (size_t i = 0; i < report->tally_count; i++) {
    int n = (int)strlen(report->tallies[i].water);
    widest = n > widest ? n : widest;
  }
  for (size_t i = 0; i < report->tally_count; i++) {
    const lw_import_tally *t = &report->tallies[i];
    char first[LW_DATE_TEXT] = "";
    char last[LW_DATE_TEXT] = "";
    bool dated = t->first != LW_NO_DAY;
    lw_text_addf(out, "  %-*s%s%-20s %6zu  %s%s%s\n", widest, t->water, widest ? "  " : "", t->what, t->count,
                 dated ? lw_date_text(t->first, first) : "", dated ? " to " : "",
                 dated ? lw_date_text(t->last, last) : "");
  }
}

static void add_headline(lw_text *out, const lw_import_report *report)
{
  if (report->dry_run) {
    lw_text_addf(out, "%s: %zu record%s would be added to %s from %zu row%s; nothing was written\n",
                 report->file, report->added, plural(report->added), report->kind, report->rows,
                 plural(report->rows));
  } else if (report->change) {
    lw_text_addf(out,
                 "%s: %zu record%s added to %s from %zu row%s (change %lld; 'lakeward undo' takes it back)\n",
                 report->file, report->added, plural(report->added), report->kind, report->rows,
                 plural(report->rows), (long long)report->change);
  } else {
    lw_text_addf(out, "%s: everything in it is on record already; nothing was written\n", report->file);
  }
}

static void print_report(lw_text *out, const lw_import_report *report)
{
  add_headline(out, report);
  add_tallies(out, report);
  if (report->duplicates.count) {
    lw_text_addf(out, "%zu duplicate%s%s:\n", report->duplicates.count, plural(report->duplicates.count),
                 report->skipped_duplicates ? " left out" : ", refused without --skip-duplicates");
    add_list(out, report, &report->duplicates);
  }
  if (report->questions.count) {
    lw_text_addf(out, "%zu question%s%s:\n", report->questions.count, plural(report->questions.count),
                 report->accepted_unusual ? ", taken as given" : ", refused without --accept-unusual");
    add_list(out, report, &report->questions);
  }
}

/* ---- what stood in the way ---- */

/* Standard output stays empty: the places go to standard error, as lines or as one line of JSON. */
static lw_status explain(const cli_call *call, const lw_import_report *report, lw_status status,
                         lw_error *err)
{
  bool faulty = report->faults.count > 0;
  const lw_import_list *list = faulty ? &report->faults : &report->questions;
  if (list->count == 0 || lw_status_exit_code(status) != 2) {
    return status;
  }
  if (call->json) {
    json_t *json = lw_import_json(report);
    char *text = json ? lw_json_text(json, false) : NULL;
    json_decref(json);
    (void)fprintf(stderr, "%s\n", text ? text : "null");
    free(text);
  } else {
    lw_text lines = LW_TEXT((size_t)1 << 20);
    add_list(&lines, report, list);
    (void)fputs(lw_text_view(&lines), stderr);
    lw_text_free(&lines);
  }
  *err = (lw_error){0};
  return lw_fail(err, status, "%.300s: %zu %s%s, nothing was written%s", report->file, list->count,
                 faulty ? "fault" : "question", plural(list->count),
                 faulty ? "" : "; correct what is wrong, --accept-unusual takes the rest as it is");
}

static lw_status run_import(cli_call *call, lw_error *err)
{
  const lw_import_options options = {.water = cli_option_text(call, "water"),
                                     .dry_run = cli_option_text(call, "dry-run") != NULL,
                                     .skip_duplicates = cli_option_text(call, "skip-duplicates") != NULL,
                                     .accept_unusual = cli_option_text(call, "accept-unusual") != NULL};
  lw_import_report report;
  lw_status s = lw_import_csv(&report, &call->desk, call->arguments[0], call->arguments[1], &options, err);
  if (s != LW_OK) {
    return explain(call, &report, s, err);
  }
  if (call->json) {
    return cli_print_json(call, lw_import_json(&report), err);
  }
  print_report(call->out, &report);
  return LW_OK;
}

const cli_command cli_csv_import = {
    "csv import",
    "KIND FILE",
    "Add many records from a table: readings, treatments, materials, lots, weather or notes. Units stand in "
    "the "
    "header, 'secchi (in)', or in the cell. All of it goes in as one change, or nothing does.",
    import_options,
    2,
    2,
    CLI_STORE,
    run_import};
