/* SPDX-License-Identifier: Apache-2.0 */
/* What was changed, and taking it back. */
#include "cli/commands.h"

#include "work/entries.h"
#include "work/json.h"

#include <stdlib.h>

static const cli_option history_options[] = {{"limit", "N", "how many, newest first (default 50)"},
                                             {NULL, NULL, NULL}};

static lw_status run_history(cli_call *call, lw_error *err)
{
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
    lw_text_addf(call->out, "%5lld  %.16s  %-12s %s", (long long)e->change, lw_instant_text(e->at, at), e->who,
                 e->action);
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

const cli_command cli_history = {"history", "", "Every change, newest first: when, who, what, why.",
                                 history_options, 0, 0, CLI_STORE, run_history};

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

const cli_command cli_undo = {"undo", "[CHANGE]", "Take back the newest change, or the one named; undo it again to "
                                                  "have it back.",
                              none, 0, 1, CLI_STORE, run_undo};
