/* SPDX-License-Identifier: Apache-2.0 */
/* The command line: one table entry a command, one file a family. A command parses, calls work/ and
 * prints one result struct as text or, with --json, as JSON. Nothing is printed before the work is
 * done: a fault leaves standard output empty, one sentence on standard error, and exit code 2 (bad
 * input) or 1 (the machine's fault). */
#ifndef LW_CLI_CLI_H
#define LW_CLI_CLI_H

#include "base/text.h"
#include "work/desk.h"

#include <jansson.h>
#include <stdbool.h>

enum { CLI_ARGUMENTS = 64, CLI_FIELDS = 48 };

typedef struct cli_option {
  const char *name;  /* "mean-depth" */
  const char *value; /* "D" in the usage line; NULL for a switch */
  const char *help;
} cli_option;

typedef struct cli_call {
  const char *arguments[CLI_ARGUMENTS]; /* after the command's words */
  size_t argument_count;
  lw_field fields[CLI_FIELDS]; /* the options given, by name; switches have the text "true" */
  size_t field_count;
  bool json;
  const char *store_path; /* NULL when none was given */
  lw_desk desk;           /* store open where the command needs it */
  lw_text *out;           /* what standard output will get */
} cli_call;

typedef enum cli_need { CLI_NO_STORE, CLI_STORE } cli_need;

typedef struct cli_command {
  const char *words;     /* "water add" */
  const char *arguments; /* "NAME" as in the usage line, "" for none */
  const char *summary;
  const cli_option *options; /* ended by a NULL name */
  size_t least, most;        /* arguments */
  cli_need need;
  lw_status (*run)(cli_call *call, lw_error *err);
} cli_command;

/* NULL-ended, in the order of help. */
extern const cli_command *const cli_commands[];

/* Options every command takes. */
extern const cli_option cli_common_options[];

/* Text of an option, NULL when not given. */
const char *cli_option_text(const cli_call *call, const char *name);

/* The options of the call as a form for work/, without the ones that are the command's own (common
 * options are never in `fields`). */
lw_form cli_form(const cli_call *call);

/* Prints JSON and releases it; LW_MEMORY on NULL. */
LW_MUST_CHECK lw_status cli_print_json(cli_call *call, json_t *json, lw_error *err);

/* Prints a write's outcome: text, or the entry as JSON. */
LW_MUST_CHECK lw_status cli_print_entry(cli_call *call, const lw_entry *entry, lw_error *err);

/* The id of a water or material by name. */
LW_MUST_CHECK lw_status cli_water_id(lw_id *out, const cli_call *call, const char *name, lw_error *err);
LW_MUST_CHECK lw_status cli_material_id(lw_id *out, const cli_call *call, const char *name, lw_error *err);

/* --on as a day, today when not given; days in the future are allowed here. */
LW_MUST_CHECK lw_status cli_day(lw_day *out, const cli_call *call, lw_error *err);

/* Today by LAKEWARD_TODAY (for demonstrations and tests) or the local clock; the present instant. */
LW_MUST_CHECK lw_status cli_today(lw_day *out, lw_error *err);
lw_instant cli_instant(void);

/* Adds text folded at `width` columns; the first line begins at column `start`, the others after
 * `indent` blanks. */
void cli_fold_from(lw_text *out, const char *text, int start, int indent, int width);

/* As above where the first line begins at `indent` too. */
void cli_fold(lw_text *out, const char *text, int indent, int width);

#endif
