/* SPDX-License-Identifier: Apache-2.0 */
/* What was changed, and taking it back. */
#include "cli/commands.h"

#include "work/entries.h"
#include "work/json.h"

#include <stdlib.h>

static const cli_option history_options[] = {{"limit", "N", "how many, newest first (default 50)"},
                                             {NULL, NULL, NULL}};

static json_t *versions_json(const lw_version *versions, size_t count)
{
  json_t *list = json_array();
  for (size_t i = 0; i < count; i++) {
    const lw_version *v = &versions[i];
    char at[LW_INSTANT_TEXT];
    json_t *body = json_loads(v->body, 0, NULL);
    (void)json_array_append_new(list, json_pack("{s:i,s:I,s:s,s:s,s:s,s:b,s:o}", "version", v->version,
                                                "change", (json_int_t)v->change, "at",
                                                lw_instant_text(v->at, at), "who", v->who, "why", v->why,
                                                "removed", v->removed, "record", body ? body : json_null()));
  }
  return json_pack("{s:o}", "versions", list);
}

/* Every version of one record: 'history reading 12'. */
static lw_status run_versions(cli_call *call, lw_error *err)
{
  lw_version *versions = NULL;
  size_t n = 0;
  char *end = NULL;
  lw_kind_id kind = lw_kind_find(call->arguments[0]);
  long long id = call->argument_count == 2 ? strtoll(call->arguments[1], &end, 10) : 0;
  if (kind == LW_KIND_COUNT || id <= 0 || *end) {
    return lw_fail(err, LW_INVALID,
                   "'%.40s %.40s' is not a record: give its kind (water, reading, treatment, "
                   "material, lot, note, zone, weather, override, setting) and its number",
                   call->arguments[0], call->argument_count == 2 ? call->arguments[1] : "");
  }
  lw_status s = lw_store_versions(call->desk.store, kind, id, call->desk.arena, &versions, &n, err);
  if (s != LW_OK || call->json) {
    return s == LW_OK ? cli_print_json(call, versions_json(versions, n), err) : s;
  }
  for (size_t i = 0; i < n; i++) {
    char at[LW_INSTANT_TEXT];
    lw_text_addf(call->out, "version %d  change %lld  %.16s  %s%s%s%s%s\n    %s\n", versions[i].version,
                 (long long)versions[i].change, lw_instant_text(versions[i].at, at), versions[i].who,
                 *versions[i].why ? " (" : "", versions[i].why, *versions[i].why ? ")" : "",
                 versions[i].removed ? " removed" : "", versions[i].body);
  }
  return LW_OK;
}

static lw_status run_history(cli_call *call, lw_error *err)
{
  if (call->argument_count > 0) {
    return run_versions(call, err);
  }
  lw_history_entry *entries = NULL;
  size_t n = 0;
  const char *text = cli_option_text(call, "limit");
  char *end = NULL;
  long limit = text ? strtol(text, &end, 10) : 50;
  if (text && (*end || limit < 1 || limit > 1000000)) {
    return lw_fail(err, LW_INVALID, "--limit: '%.40s' is not a number of 1 or more", text);
  }
  lw_status s = lw_store_history(call->desk.store, (size_t)limit, call->desk.arena, &entries, &n, err);
  if (s != LW_OK || call->json) {
    return s == LW_OK ? cli_print_json(call, lw_history_json(entries, n), err) : s;
  }
  for (size_t i = 0; i < n; i++) {
    const lw_history_entry *e = &entries[i];
    char at[LW_INSTANT_TEXT];
    lw_text_addf(call->out, "%5lld  %.16s  %-12s %s", (long long)e->change, lw_instant_text(e->at, at),
                 e->who, e->action);
    if (*e->why) {
      lw_text_addf(call->out, " (%s)", e->why);
    }
    if (e->undoes) {
      lw_text_addf(call->out, " [takes back %lld]", (long long)e->undoes);
    }
    if (e->undone_by) {
      lw_text_addf(call->out, " [taken back by %lld]", (long long)e->undone_by);
    }
    lw_text_add(call->out, "\n");
  }
  return LW_OK;
}

const cli_command cli_history = {
    "history",
    "[KIND NUMBER]",
    "Every change, newest first: when, who, what, why; or every version of one record.",
    history_options,
    0,
    2,
    CLI_STORE,
    run_history};

static const cli_option none[] = {{NULL, NULL, NULL}};

static lw_status run_undo(cli_call *call, lw_error *err)
{
  lw_id change = 0;
  if (call->argument_count == 1) {
    char *end = NULL;
    change = strtoll(call->arguments[0], &end, 10);
    if (*end || change <= 0) {
      return lw_fail(err, LW_INVALID, "'%.40s' is not the number of a change; 'lakeward history' lists them",
                     call->arguments[0]);
    }
  }
  lw_entry entry;
  lw_status s = lw_undo(&entry, &call->desk, change, err);
  return s == LW_OK ? cli_print_entry(call, &entry, err) : s;
}

const cli_command cli_undo = {"undo",
                              "[CHANGE]",
                              "Take back the newest change, or the one named; naming the undo "
                              "itself puts the work back.",
                              none,
                              0,
                              1,
                              CLI_STORE,
                              run_undo};
