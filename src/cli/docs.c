/* SPDX-License-Identifier: Apache-2.0 */
/* Help, version, and the documents made from the tables: methods, rules, man page, completion. */
#include "cli/commands.h"

#include "advice/methods.h"
#include "advice/program.h"
#include "advice/rules.h"
#include "base/quantity.h"
#include "cli/help.h"

#include <stdio.h>
#include <string.h>

static const cli_option none[] = {{NULL, NULL, NULL}};

static lw_status run_help(cli_call *call, lw_error *err)
{
  if (call->argument_count == 0) {
    cli_help_all(call->out);
    return LW_OK;
  }
  char words[120];
  (void)snprintf(words, sizeof words, "%s%s%s", call->arguments[0], call->argument_count > 1 ? " " : "",
                 call->argument_count > 1 ? call->arguments[1] : "");
  for (const cli_command *const *c = cli_commands; *c; c++) {
    if (strcmp((*c)->words, words) == 0) {
      cli_help_command(call->out, *c);
      return LW_OK;
    }
  }
  if (call->argument_count == 1 && cli_help_family(call->out, words)) {
    return LW_OK;
  }
  char *asked[2] = {words, NULL};
  return cli_unknown_command(asked, 1, err);
}

const cli_command cli_help = {"help", "[COMMAND]", "Explain a command.", none, 0, 2, CLI_NO_STORE, run_help};

static lw_status run_version(cli_call *call, lw_error *err)
{
  (void)err;
  lw_text_add(call->out, "lakeward " LW_VERSION "\n");
  return LW_OK;
}

const cli_command cli_version = {"version", "", "Print the version.", none, 0, 0, CLI_NO_STORE, run_version};

/* '|' ends a table cell in Markdown. */
static void cell(lw_text *out, const char *text)
{
  for (; *text; text++) {
    if (*text == '|') {
      lw_text_add(out, "\\|");
    } else {
      lw_text_add_n(out, text, 1);
    }
  }
}

static void method_inputs(lw_text *out, const lw_method *m)
{
  lw_text_add(out, "| input | unit | range | meaning |\n|---|---|---|---|\n");
  for (size_t i = 0; i < lw_method_input_count(m); i++) {
    const lw_input *in = &m->inputs[i];
    char low[LW_NUMBER_MAX];
    char high[LW_NUMBER_MAX];
    bool numeric = in->kind == LW_INPUT_NUMBER || in->kind == LW_INPUT_LIST;
    lw_text_addf(out, "| %s%s | %s%s%s | ", in->name, in->optional || in->has_default ? " (optional)" : "",
                 in->unit ? in->unit : "", in->alternative ? " or " : "",
                 in->alternative ? in->alternative : "");
    if (numeric) {
      lw_text_addf(out, "%s to %s", lw_number_text(in->low, low), lw_number_text(in->high, high));
    } else {
      cell(out, in->choices ? in->choices : "text");
    }
    lw_text_add(out, " | ");
    cell(out, in->meaning);
    if (in->has_default) {
      lw_text_addf(out, "; default %s",
                   in->fallback_text ? in->fallback_text : lw_number_text(in->fallback, low));
    }
    lw_text_add(out, " |\n");
  }
}

static void document_method(lw_text *out, const lw_method *m)
{
  lw_text_addf(out, "\n## %s\n\n**%s.** %s\n\n", m->name, m->title, m->purpose);
  lw_text_addf(out, "```\n%s\n```\n\n", m->formula);
  method_inputs(out, m);
  lw_text_add(out, "\nGives:");
  for (size_t i = 0; i < lw_method_output_count(m); i++) {
    lw_text_addf(out, "%s %s (%s): %s", i ? ";" : "", m->outputs[i].name,
                 *m->outputs[i].unit ? m->outputs[i].unit : "the unit asked for", m->outputs[i].meaning);
  }
  lw_text_addf(out, ".\n\nSource: %s\nBasis: %s.\n", m->source, m->basis);
  if (*m->limits) {
    lw_text_addf(out, "\nLimits: %s\n", m->limits);
  }
}

static void document_methods(lw_text *out)
{
  lw_text_add(
      out, "# Methods\n\nMade from the method registry by `make docs`; do not edit. Basis: *read* = read in "
           "the source or a stored copy of it; *memory* = recalled, not yet found; *common practice* = a "
           "rule of thumb without a source; *computed* = follows from definitions.\n");
  for (const lw_method *const *m = lw_methods; *m; m++) {
    document_method(out, *m);
  }
}

static void document_rules(lw_text *out)
{
  const char *subject = "";
  lw_text_add(out,
              "# Rules of the advice\n\nMade from the table of rules by `make docs`; do not edit. Within a "
              "subject the first rule that decides gives the headline. Any rule can be set aside for a water "
              "with a reason, which is kept and shown.\n");
  for (const lw_rule *const *r = lw_rules; *r; r++) {
    if (strcmp(subject, (*r)->subject) != 0) {
      subject = (*r)->subject;
      lw_text_addf(out, "\n## %s\n\n| rule | condition | source | basis |\n|---|---|---|---|\n", subject);
    }
    lw_text_addf(out, "| `%s` | ", (*r)->id);
    cell(out, (*r)->condition);
    lw_text_add(out, " | ");
    cell(out, (*r)->source);
    lw_text_addf(out, " | %s |\n", (*r)->basis);
  }
  lw_text_add(
      out,
      "\n## The numbers they judge by\n\nEach can be changed: `lakeward settings set KEY VALUE`.\n\n| key | "
      "default | meaning | source | basis |\n|---|---|---|---|---|\n");
  for (size_t i = 0; i < lw_program_row_count; i++) {
    const lw_program_row *p = &lw_program_rows[i];
    char us[LW_SHOWN_MAX];
    lw_text_addf(out, "| `%s` | %s | ", p->key, lw_value_shown(p->fallback, p->unit, p->us_unit, 3, us));
    cell(out, p->meaning);
    lw_text_add(out, " | ");
    cell(out, p->source);
    lw_text_addf(out, " | %s |\n", p->basis);
  }
}

static void document_man(lw_text *out)
{
  lw_text_add(
      out, ".TH LAKEWARD 1 \"\" \"Lakeward " LW_VERSION "\"\n.SH NAME\nlakeward \\- what each fishing water "
           "needs today, how much, why, and at what cost\n.SH SYNOPSIS\n.B lakeward\n[\\-\\-store FILE] "
           "COMMAND ...\n.SH COMMANDS\n");
  for (const cli_command *const *c = cli_commands; *c; c++) {
    lw_text_addf(out, ".TP\n.B %s %s\n%s\n", (*c)->words, (*c)->arguments, (*c)->summary);
    for (const cli_option *o = (*c)->options; o && o->name; o++) {
      lw_text_addf(out, ".RS\n.TP\n\\-\\-%s %s\n%s\n.RE\n", o->name, o->value ? o->value : "", o->help);
    }
  }
  lw_text_add(out, ".SH OPTIONS OF EVERY COMMAND\n");
  for (const cli_option *o = cli_common_options; o->name; o++) {
    lw_text_addf(out, ".TP\n\\-\\-%s %s\n%s\n", o->name, o->value ? o->value : "", o->help);
  }
  lw_text_add(
      out,
      ".SH ENVIRONMENT\nLAKEWARD_STORE, LAKEWARD_WHO, LAKEWARD_GEO (path of lakeward\\-geo), LAKEWARD_TODAY "
      "(fixes the day).\n.SH EXIT STATUS\n0 done; 1 the machine's fault; 2 the input cannot be right, "
      "nothing was changed.\n");
}

static void document_completion(lw_text *out)
{
  lw_text_add(
      out,
      "# bash completion for lakeward; made from the table of commands\n_lakeward() {\n  local current=\"${"
      "COMP_WORDS[COMP_CWORD]}\" line=\" ${COMP_WORDS[*]:1} \"\n  COMPREPLY=()\n  case \"$line\" in\n");
  for (const cli_command *const *c = cli_commands; *c; c++) {
    lw_text_addf(out, "    *' %s '*) COMPREPLY=($(compgen -W '", (*c)->words);
    for (const cli_option *o = (*c)->options; o && o->name; o++) {
      lw_text_addf(out, "--%s ", o->name);
    }
    lw_text_add(out, "--store --json --who --why --help' -- \"$current\")) ;;\n");
  }
  lw_text_add(out, "    *) COMPREPLY=($(compgen -W '");
  for (const cli_command *const *c = cli_commands; *c; c++) {
    lw_text_addf(out, "%s ", (*c)->words);
  }
  lw_text_add(
      out, "--store --version' -- \"$current\")) ;;\n  esac\n}\ncomplete -o default -F _lakeward lakeward\n");
}

static lw_status run_docs(cli_call *call, lw_error *err)
{
  const char *what = call->arguments[0];
  if (strcmp(what, "methods") == 0) {
    document_methods(call->out);
  } else if (strcmp(what, "rules") == 0) {
    document_rules(call->out);
  } else if (strcmp(what, "man") == 0) {
    document_man(call->out);
  } else if (strcmp(what, "completion") == 0) {
    document_completion(call->out);
  } else {
    return lw_fail(err, LW_INVALID, "'%.40s' is not one of methods, rules, man, completion", what);
  }
  return LW_OK;
}

const cli_command cli_docs = {"docs",
                              "methods|rules|man|completion",
                              "Print a document made from Lakeward's own tables.",
                              none,
                              1,
                              1,
                              CLI_NO_STORE,
                              run_docs};
