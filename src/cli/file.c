/* SPDX-License-Identifier: Apache-2.0 */
/* Commands about the store as a whole. */
#include "cli/commands.h"

#include "demo/sedgewater.h"
#include "work/json.h"

#include <stdlib.h>

static const cli_option none[] = {{NULL, NULL, NULL}};

static lw_status say(cli_call *call, const char *what, const char *path, lw_error *err)
{
  if (call->json) {
    return cli_print_json(call, json_pack("{s:s,s:s}", "done", what, "file", path), err);
  }
  lw_text_addf(call->out, "%s: %s\n", what, path);
  return LW_OK;
}

static lw_status run_new(cli_call *call, lw_error *err)
{
  lw_status s = lw_store_create(call->arguments[0], err);
  return s == LW_OK ? say(call, "New store", call->arguments[0], err) : s;
}

const cli_command cli_new = {"new", "FILE", "Make a new, empty store.", none, 1, 1, CLI_NO_STORE, run_new};

static lw_status run_demo(cli_call *call, lw_error *err)
{
  lw_status s = lw_demo_write(call->arguments[0], LW_DEMO_SEED, err);
  return s == LW_OK
             ? say(call, "Demo store (invented club, last day " LW_DEMO_TODAY ")", call->arguments[0], err)
             : s;
}

const cli_command cli_demo = {
    "demo",       "FILE",  "Make a store of the invented Sedgewater Club to look around in.", none, 1, 1,
    CLI_NO_STORE, run_demo};

static lw_status run_backup(cli_call *call, lw_error *err)
{
  lw_status s = lw_store_backup(call->desk.store, call->arguments[0], err);
  return s == LW_OK ? say(call, "Backed up", call->arguments[0], err) : s;
}

const cli_command cli_backup = {
    "backup",  "FILE",    "Copy the store while it is in use; complete or absent.", none, 1, 1,
    CLI_STORE, run_backup};

static lw_status print_check(cli_call *call, const lw_check_report *report, lw_error *err)
{
  if (call->json) {
    json_t *problems = json_array();
    for (size_t i = 0; i < report->problem_count; i++) {
      (void)json_array_append_new(problems, json_string(report->problems[i]));
    }
    return cli_print_json(call,
                          json_pack("{s:I,s:I,s:I,s:o}", "records", (json_int_t)report->records, "versions",
                                    (json_int_t)report->versions, "changes", (json_int_t)report->changes,
                                    "problems", problems),
                          err);
  }
  lw_text_addf(call->out, "%zu records, %zu versions, %zu changes: %s\n", report->records, report->versions,
               report->changes, report->problem_count ? "damaged" : "sound");
  for (size_t i = 0; i < report->problem_count; i++) {
    lw_text_addf(call->out, "  %s\n", report->problems[i]);
  }
  return LW_OK;
}

static lw_status run_check(cli_call *call, lw_error *err)
{
  lw_check_report report;
  lw_status s = lw_store_check(call->desk.store, call->desk.arena, &report, err);
  if (s == LW_OK && report.problem_count) {
    return lw_fail(err, LW_CORRUPT, "%zu problems; the first: %s", report.problem_count, report.problems[0]);
  }
  return s == LW_OK ? print_check(call, &report, err) : s;
}

const cli_command cli_check = {
    "check",   "",       "Prove the store sound: integrity, references, history chain.", none, 0, 0,
    CLI_STORE, run_check};

static lw_status run_export(cli_call *call, lw_error *err)
{
  lw_status s = lw_store_export(call->desk.store, call->arguments[0], err);
  return s == LW_OK ? say(call, "Exported to", call->arguments[0], err) : s;
}

const cli_command cli_export = {
    "export",  "DIR",     "Write everything as CSV and GeoJSON, history included.", none, 1, 1,
    CLI_STORE, run_export};

static lw_status run_import(cli_call *call, lw_error *err)
{
  if (!call->store_path) {
    return lw_fail(err, LW_INVALID, "which store shall be made? Give --store FILE");
  }
  lw_status s = lw_store_import(call->arguments[0], call->store_path, err);
  return s == LW_OK ? say(call, "Made from the export", call->store_path, err) : s;
}

const cli_command cli_import = {
    "import",     "DIR",     "Make a store (--store FILE, new) from an exported folder.", none, 1, 1,
    CLI_NO_STORE, run_import};
