/* SPDX-License-Identifier: Apache-2.0 */
#include "cli/help.h"

#include <stdio.h>
#include <string.h>

enum { WIDTH = 96, LEFT = 46 };

static void help_line(lw_text *out, const cli_command *c)
{
  char left[120];
  (void)snprintf(left, sizeof left, "%s %s", c->words, c->arguments);
  lw_text_addf(out, "  %-*s ", LEFT - 3, left);
  if (strlen(left) > LEFT - 3) {
    lw_text_addf(out, "\n%*s", LEFT, "");
  }
  cli_fold(out, c->summary, LEFT, WIDTH + 20);
  lw_text_add(out, "\n");
}

bool cli_help_family(lw_text *out, const char *word)
{
  bool any = false;
  size_t n = strlen(word);
  for (const cli_command *const *c = cli_commands; *c; c++) {
    if (strncmp((*c)->words, word, n) == 0 && (*c)->words[n] == ' ') {
      help_line(out, *c);
      any = true;
    }
  }
  return any;
}

void cli_help_all(lw_text *out)
{
  lw_text_add(out, "Lakeward: what each fishing water needs today, how much, why, and at what cost.\n\n"
                   "  lakeward demo demo.lake                        an invented club to look around in\n"
                   "  lakeward --store demo.lake now                 today's advice\n"
                   "  lakeward --store demo.lake serve               the page, on this machine only\n"
                   "  lakeward new mine.lake                         a store of your own\n\n"
                   "Commands ('lakeward help COMMAND' explains one):\n");
  for (const cli_command *const *c = cli_commands; *c; c++) {
    help_line(out, *c);
  }
  lw_text_add(
      out, "\nValues are typed with their unit: \"18 in\", \"4 lb/acre\", \"40 acre-ft\", \"68 degF\", \"3 "
           "ppm\".\nExit code 2: the input cannot be right; nothing was changed.\n");
}

static void help_options(lw_text *out, const cli_option *options)
{
  for (; options && options->name; options++) {
    char left[80];
    (void)snprintf(left, sizeof left, "--%s%s%s", options->name, options->value ? " " : "",
                   options->value ? options->value : "");
    lw_text_addf(out, "  %-26s ", left);
    cli_fold(out, options->help, 29, WIDTH);
    lw_text_add(out, "\n");
  }
}

void cli_help_command(lw_text *out, const cli_command *command)
{
  lw_text_addf(out, "lakeward %s %s\n\n", command->words, command->arguments);
  cli_fold(out, command->summary, 0, WIDTH);
  lw_text_add(out, "\n\n");
  if (command->options && command->options->name) {
    lw_text_add(out, "Options:\n");
    help_options(out, command->options);
  }
  lw_text_add(out, "Common options:\n");
  help_options(out, cli_common_options);
}

lw_status cli_unknown_command(char **words, size_t count, lw_error *err)
{
  lw_text near_by = LW_TEXT(400);
  for (const cli_command *const *c = cli_commands; *c; c++) {
    size_t n = strcspn((*c)->words, " ");
    if (strlen(words[0]) == n && strncmp((*c)->words, words[0], n) == 0) {
      lw_text_addf(&near_by, "%s'%s'", near_by.length ? ", " : "", (*c)->words);
    }
  }
  if (near_by.length) {
    (void)lw_fail(err, LW_INVALID, "'%.40s' needs one more word: %s", words[0], lw_text_view(&near_by));
  } else {
    (void)lw_fail(err, LW_INVALID, "there is no command '%.40s%s%.40s'; 'lakeward help' lists them", words[0],
                  count > 1 ? " " : "", count > 1 ? words[1] : "");
  }
  lw_text_free(&near_by);
  return LW_INVALID;
}
