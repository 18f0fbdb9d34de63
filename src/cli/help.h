/* SPDX-License-Identifier: Apache-2.0 */
/* Help, made from the table of commands; the man page and the shell completion come from it too. */
#ifndef LW_CLI_HELP_H
#define LW_CLI_HELP_H

#include "cli/cli.h"

void cli_help_all(lw_text *out);
void cli_help_command(lw_text *out, const cli_command *command);
/* All commands that begin with `word` ("water"); false when there are none. */
bool cli_help_family(lw_text *out, const char *word);

LW_MUST_CHECK lw_status cli_unknown_command(char **words, size_t count, lw_error *err);

#endif
