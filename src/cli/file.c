/* SPDX-License-Identifier: Apache-2.0 */
/* Commands about the store as a whole. */
#include "cli/commands.h"

#include "demo/sedgewater.h"
#include "demo/soundings.h"
#include "work/json.h"

#include <unistd.h>

static const cli_option none[] = {{NULL, NULL, NULL}};
static const char demo_done[] = "Demo store (invented club, last day " LW_DEMO_TODAY ")";

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

/* The store has these soundings already, and takes none twice: so the way to try is told. */
static lw_status tell_demo_logs(cli_call *call, const char *folder, lw_error *err)
{
  json_t *files = json_array();
  const char *store = call->arguments[0];
  lw_text_addf(call->out,
               "Its raw soundings: %s\n"
               "To read one in by hand, take the club's own copy away first, for example:\n",
               folder);
  for (size_t i = 0; i < LW_DEMO_LOGS; i++) {
    const lw_demo_log_file *f = &lw_demo_log_files[i];
    const char *water = lw_demo_names[f->place];
    lw_text_addf(call->out, "  lakeward --store %s survey remove \"%s\" %s\n", store, water, f->survey);
    lw_text_addf(call->out, "  lakeward --store %s survey import \"%s\" %s/%s --level \"%s\"%s%s%s\n", store,
                 water, folder, f->file, f->level, f->offset ? " --offset \"" : "",
                 f->offset ? f->offset : "", f->offset ? "\"" : "");
    (void)json_array_append_new(files, json_sprintf("%s/%s", folder, f->file));
  }
  if (!call->json) {
    json_decref(files);
    return LW_OK;
  }
  lw_text_clear(call->out);
  return cli_print_json(
      call, json_pack("{s:s,s:s,s:o}", "done", demo_done, "file", store, "soundings", files), err);
}

/* Both or nothing: the store that was just made goes again where the raw files cannot be written. */
static lw_status run_demo(cli_call *call, lw_error *err)
{
  const char *path = call->arguments[0];
  const char *folder = cli_option_text(call, "soundings");
  lw_status s = lw_demo_write(path, LW_DEMO_SEED, err);
  if (s == LW_OK && folder) {
    s = lw_demo_write_logs(folder, LW_DEMO_SEED, err);
    if (s != LW_OK) {
      (void)unlink(path);
    }
  }
  s = s == LW_OK ? say(call, demo_done, path, err) : s;
  return s == LW_OK && folder ? tell_demo_logs(call, folder, err) : s;
}

static const cli_option demo_options[] = {
    {"soundings", "DIR", "also write its depth soundings into DIR, as the boats' sounders logged them"},
    {NULL, NULL, NULL}};

const cli_command cli_demo = {
    "demo",       "FILE",  "Make a store of the invented Sedgewater Club to look around in.",
    demo_options, 1,       1,
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
