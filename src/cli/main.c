/* SPDX-License-Identifier: Apache-2.0 */
/* lakeward: finds the command, reads its options, opens the store where it is needed, runs, prints. */
#include "cli/cli.h"

#include "cli/help.h"
#include "exchange/json_memory.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { OUTPUT_MAX = 512 * 1024 * 1024 };

const cli_option cli_common_options[] = {
    {"store", "FILE", "the store (or the environment variable LAKEWARD_STORE)"},
    {"json", NULL, "print JSON"},
    {"who", "NAME", "who does this; kept with the change (or LAKEWARD_WHO)"},
    {"why", "TEXT", "why; kept with the change"},
    {"help", NULL, "explain the command"},
    {NULL, NULL, NULL},
};

/* How many words of the line make the command; 0 when it is not this one. */
static size_t command_words(const cli_command *command, char **words, size_t count)
{
  const char *p = command->words;
  size_t used = 0;
  while (*p) {
    size_t n = strcspn(p, " ");
    if (used == count || strlen(words[used]) != n || strncmp(words[used], p, n) != 0) {
      return 0;
    }
    used++;
    p += n + (p[n] == ' ' ? 1 : 0);
  }
  return used;
}

static const cli_command *find_command(char **words, size_t count, size_t *out_used)
{
  const cli_command *best = NULL;
  *out_used = 0;
  for (const cli_command *const *c = cli_commands; *c; c++) {
    size_t used = command_words(*c, words, count);
    if (used > *out_used) {
      best = *c;
      *out_used = used;
    }
  }
  return best;
}

static const cli_option *find_option(const cli_option *options, const char *name, size_t length)
{
  for (; options && options->name; options++) {
    if (strlen(options->name) == length && strncmp(options->name, name, length) == 0) {
      return options;
    }
  }
  return NULL;
}

typedef struct command_line {
  char *words[CLI_ARGUMENTS]; /* what is not an option */
  size_t word_count;
  char *options[CLI_FIELDS]; /* "--name", then its value or NULL, sorted out once the command is known */
  char *values[CLI_FIELDS];
  size_t option_count;
} command_line;

/* The value of an option follows it, or stands after '='. Which options take one is known before the
 * command is: a name means the same in every command. */
static bool takes_value(const char *name, size_t length)
{
  const cli_option *o = find_option(cli_common_options, name, length);
  for (const cli_command *const *c = cli_commands; !o && *c; c++) {
    o = find_option((*c)->options, name, length);
  }
  return o && o->value;
}

static lw_status split_line(command_line *line, int argc, char **argv, lw_error *err)
{
  bool only_words = false;
  for (int i = 1; i < argc; i++) {
    char *arg = argv[i];
    if (!only_words && strcmp(arg, "--") == 0) {
      only_words = true;
      continue;
    }
    if (only_words || strncmp(arg, "--", 2) != 0) {
      if (line->word_count == CLI_ARGUMENTS) {
        return lw_fail(err, LW_LIMIT, "more than %d words on the line", CLI_ARGUMENTS);
      }
      line->words[line->word_count++] = arg;
      continue;
    }
    if (line->option_count == CLI_FIELDS) {
      return lw_fail(err, LW_LIMIT, "more than %d options on the line", CLI_FIELDS);
    }
    size_t n = strcspn(arg + 2, "=");
    char *value = arg[2 + n] == '=' ? arg + 3 + n : NULL;
    if (!value && takes_value(arg + 2, n)) {
      if (i + 1 == argc) {
        return lw_fail(err, LW_INVALID, "%s needs a value after it", arg);
      }
      value = argv[++i];
    }
    line->options[line->option_count] = arg + 2;
    line->values[line->option_count++] = value;
  }
  return LW_OK;
}

static lw_status take_common(cli_call *call, const char *name, size_t n, const char *value, bool *help)
{
  if (n == 5 && strncmp(name, "store", n) == 0) {
    call->store_path = value;
  } else if (n == 4 && strncmp(name, "json", n) == 0) {
    call->json = true;
  } else if (n == 3 && strncmp(name, "who", n) == 0) {
    call->desk.who = value;
  } else if (n == 3 && strncmp(name, "why", n) == 0) {
    call->desk.why = value;
  } else {
    *help = true;
  }
  return LW_OK;
}

static lw_status take_options(cli_call *call, const cli_command *command, const command_line *line,
                              bool *help, lw_error *err)
{
  for (size_t i = 0; i < line->option_count; i++) {
    const char *name = line->options[i];
    size_t n = strcspn(name, "=");
    const cli_option *own = find_option(command->options, name, n);
    if (!own && find_option(cli_common_options, name, n)) {
      (void)take_common(call, name, n, line->values[i], help);
      continue;
    }
    if (!own) {
      return lw_fail(err, LW_INVALID, "'%s' takes no option --%.*s; see 'lakeward help %s'", command->words,
                     (int)n, name, command->words);
    }
    if (cli_option_text(call, own->name)) {
      return lw_fail(err, LW_INVALID, "--%s is given twice", own->name);
    }
    call->fields[call->field_count++] = (lw_field){own->name, line->values[i] ? line->values[i] : "true"};
  }
  return LW_OK;
}

static lw_status take_arguments(cli_call *call, const cli_command *command, const command_line *line,
                                size_t used, lw_error *err)
{
  for (size_t i = used; i < line->word_count; i++) {
    call->arguments[call->argument_count++] = line->words[i];
  }
  if (call->argument_count < command->least || call->argument_count > command->most) {
    return lw_fail(err, LW_INVALID, "usage: lakeward %s %s", command->words, command->arguments);
  }
  return LW_OK;
}

static lw_status open_store(cli_call *call, const cli_command *command, lw_error *err)
{
  const char *from_environment = getenv("LAKEWARD_STORE");
  if (!call->store_path && from_environment && *from_environment) {
    call->store_path = from_environment;
  }
  if (command->need == CLI_NO_STORE) {
    return LW_OK;
  }
  if (!call->store_path) {
    return lw_fail(err, LW_INVALID,
                   "which store? Give --store FILE or set LAKEWARD_STORE; 'lakeward new FILE' makes one");
  }
  return lw_store_open(&call->desk.store, call->store_path, err);
}

static lw_status run_command(cli_call *call, const cli_command *command, const command_line *line,
                             size_t used, lw_error *err)
{
  bool help = false;
  lw_status s = take_options(call, command, line, &help, err);
  if (s == LW_OK && help) {
    cli_help_command(call->out, command);
    return LW_OK;
  }
  s = s == LW_OK ? take_arguments(call, command, line, used, err) : s;
  s = s == LW_OK ? open_store(call, command, err) : s;
  return s == LW_OK ? command->run(call, err) : s;
}

static lw_status dispatch(cli_call *call, int argc, char **argv, lw_error *err)
{
  command_line line = {.word_count = 0};
  size_t used = 0;
  lw_status s = split_line(&line, argc, argv, err);
  if (s != LW_OK) {
    return s;
  }
  const cli_command *command = find_command(line.words, line.word_count, &used);
  if (command) {
    return run_command(call, command, &line, used, err);
  }
  if (line.word_count == 0 && line.option_count == 1 && strcmp(line.options[0], "version") == 0) {
    lw_text_add(call->out, "lakeward " LW_VERSION "\n");
    return LW_OK;
  }
  if (line.word_count == 0) {
    cli_help_all(call->out);
    return LW_OK;
  }
  return cli_unknown_command(line.words, line.word_count, err);
}

static void print_fault(const lw_error *err)
{
  if (err->file[0] && err->line > 0) {
    (void)fprintf(stderr, "lakeward: %s:%ld:%ld: %s\n", err->file, err->line, err->column, err->message);
  } else if (err->file[0]) {
    (void)fprintf(stderr, "lakeward: %s: %s\n", err->file, err->message);
  } else {
    (void)fprintf(stderr, "lakeward: %s\n", err->message);
  }
}

static lw_status print_output(const lw_text *out, lw_error *err)
{
  if (out->failed) {
    return lw_fail(err, LW_MEMORY, "the answer is too large for this machine's memory");
  }
  if (fwrite(lw_text_view(out), 1, out->length, stdout) != out->length || fflush(stdout) != 0) {
    return lw_fail(err, LW_IO, "the answer could not be written to standard output");
  }
  return LW_OK;
}

int main(int argc, char **argv)
{
  lw_json_watch();
  lw_error err = {0};
  lw_text out = LW_TEXT(OUTPUT_MAX);
  const char *who = getenv("LAKEWARD_WHO");
  cli_call call = {
      .out = &out,
      .desk = {
          .who = who ? who : "", .why = "", .now = cli_instant(), .geo_program = getenv("LAKEWARD_GEO")}};
  call.desk.arena = lw_arena_new(0);
  lw_status s =
      call.desk.arena ? cli_today(&call.desk.today, &err) : lw_fail(&err, LW_MEMORY, "no memory to start");
  s = s == LW_OK ? dispatch(&call, argc, argv, &err) : s;
  s = s == LW_OK ? print_output(&out, &err) : s;
  if (s != LW_OK) {
    print_fault(&err);
  }
  lw_store_close(call.desk.store);
  lw_arena_free(call.desk.arena);
  lw_text_free(&out);
  return lw_status_exit_code(s);
}
