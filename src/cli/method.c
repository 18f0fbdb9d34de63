/* SPDX-License-Identifier: Apache-2.0 */
/* Methods, rules and settings. */
#include "cli/commands.h"

#include "advice/methods.h"
#include "advice/rules.h"
#include "work/book.h"
#include "work/entries.h"
#include "work/json.h"
#include "work/method_json.h"

#include <stdlib.h>
#include <string.h>

enum { WIDTH = 96 };

static const cli_option none[] = {{NULL, NULL, NULL}};

static void list_methods(lw_text *out)
{
  for (const lw_method *const *m = lw_methods; *m; m++) {
    lw_text_addf(out, "%-24s ", (*m)->name);
    cli_fold(out, (*m)->title, 25, WIDTH);
    lw_text_add(out, "\n");
  }
  lw_text_add(out, "\nlakeward method NAME explains one; lakeward method NAME key=value ... reckons it.\n");
}

static void labelled(lw_text *out, const char *label, const char *text)
{
  if (*text) {
    lw_text_addf(out, "%-9s", label);
    cli_fold(out, text, 9, WIDTH);
    lw_text_add(out, "\n");
  }
}

static void explain_input(lw_text *out, const lw_input *input)
{
  char low[LW_NUMBER_MAX];
  char high[LW_NUMBER_MAX];
  lw_text_addf(out, "  %s%s%s", input->optional || input->has_default ? "[" : "", input->name,
               input->optional || input->has_default ? "]" : "");
  if (input->unit && *input->unit) {
    lw_text_addf(out, " in %s", input->unit);
  }
  if (input->kind == LW_INPUT_NUMBER || input->kind == LW_INPUT_LIST) {
    lw_text_addf(out, ", %s to %s", lw_number_text(input->low, low), lw_number_text(input->high, high));
  }
  if (input->choices) {
    lw_text_addf(out, ", one of %s", input->choices);
  }
  if (input->has_default) {
    lw_text_addf(out, ", default %s",
                 input->fallback_text ? input->fallback_text : lw_number_text(input->fallback, low));
  }
  lw_text_add(out, "\n      ");
  cli_fold(out, input->meaning, 6, WIDTH);
  lw_text_add(out, "\n");
}

static void explain(lw_text *out, const lw_method *m)
{
  lw_text_addf(out, "%s: %s\n", m->name, m->title);
  labelled(out, "For", m->purpose);
  labelled(out, "Formula", m->formula);
  lw_text_add(out, "Takes\n");
  for (size_t i = 0; i < lw_method_input_count(m); i++) {
    explain_input(out, &m->inputs[i]);
  }
  lw_text_add(out, "Gives\n");
  for (size_t i = 0; i < lw_method_output_count(m); i++) {
    lw_text_addf(out, "  %s in %s: %s\n", m->outputs[i].name,
                 *m->outputs[i].unit ? m->outputs[i].unit : "that unit", m->outputs[i].meaning);
  }
  labelled(out, "Source", m->source);
  labelled(out, "Basis", m->basis);
  labelled(out, "Limits", m->limits);
}

static lw_status take_pair(lw_evaluation *e, const char *pair, lw_error *err)
{
  const char *equals = strchr(pair, '=');
  char key[64];
  if (!equals || equals == pair || (size_t)(equals - pair) >= sizeof key) {
    return lw_fail(err, LW_INVALID, "'%.80s' is not key=value, for example temperature=68degF", pair);
  }
  memcpy(key, pair, (size_t)(equals - pair));
  key[equals - pair] = '\0';
  return lw_evaluation_set(e, key, equals + 1, err);
}

static void print_evaluation(lw_text *out, const lw_evaluation *e)
{
  json_t *json = lw_evaluation_json(e);
  json_t *outputs = json_object_get(json, "outputs");
  const char *key = NULL;
  json_t *value = NULL;
  json_object_foreach(outputs, key, value)
  {
    char number[LW_NUMBER_MAX];
    const char *unit = json_string_value(json_object_get(value, "unit"));
    lw_text_addf(out, "%-24s %s %s\n", key,
                 lw_rounded_text(json_number_value(json_object_get(value, "value")), 6, number),
                 strcmp(unit, "1") == 0 ? "" : unit);
  }
  json_decref(json);
  labelled(out, "Source", e->method->source);
  labelled(out, "Basis", e->method->basis);
  labelled(out, "Limits", e->method->limits);
}

static lw_status evaluate(cli_call *call, const lw_method *m, lw_error *err)
{
  lw_evaluation *e = LW_NEW(call->desk.arena, lw_evaluation, 1);
  if (!e) {
    return lw_fail(err, LW_MEMORY, "no memory for the method");
  }
  lw_evaluation_begin(e, m);
  lw_status s = LW_OK;
  for (size_t i = 1; s == LW_OK && i < call->argument_count; i++) {
    s = take_pair(e, call->arguments[i], err);
  }
  s = s == LW_OK ? lw_evaluation_run(e, err) : s;
  if (s != LW_OK || call->json) {
    return s == LW_OK ? cli_print_json(call, lw_evaluation_json(e), err) : s;
  }
  print_evaluation(call->out, e);
  return LW_OK;
}

static lw_status run_method(cli_call *call, lw_error *err)
{
  if (call->argument_count == 0) {
    if (call->json) {
      return cli_print_json(call, lw_methods_json(), err);
    }
    list_methods(call->out);
    return LW_OK;
  }
  const lw_method *m = lw_method_find(lw_methods, call->arguments[0]);
  if (!m) {
    return lw_fail(err, LW_NOT_FOUND, "there is no method '%.60s'; 'lakeward method' lists them",
                   call->arguments[0]);
  }
  if (call->argument_count > 1) {
    return evaluate(call, m, err);
  }
  if (call->json) {
    return cli_print_json(call, lw_method_json(m), err);
  }
  explain(call->out, m);
  return LW_OK;
}

const cli_command cli_method = {"method",
                                "[NAME [KEY=VALUE ...]]",
                                "The formulas: list them, explain one, or reckon it.",
                                none,
                                0,
                                CLI_ARGUMENTS,
                                CLI_NO_STORE,
                                run_method};

static lw_status program_in_force(lw_book *book, cli_call *call, lw_error *err)
{
  memset(book, 0, sizeof *book);
  lw_program_default(&book->program);
  return call->store_path ? lw_store_open(&call->desk.store, call->store_path, err) : LW_OK;
}

static lw_status run_rules(cli_call *call, lw_error *err)
{
  lw_book book;
  lw_status s = program_in_force(&book, call, err);
  if (s == LW_OK && call->desk.store) {
    s = lw_book_settings(&book, &call->desk, err);
  }
  if (s != LW_OK || call->json) {
    return s == LW_OK ? cli_print_json(call, lw_rules_json(&book.program, book.units), err) : s;
  }
  for (const lw_rule *const *r = lw_rules; *r; r++) {
    lw_text_addf(call->out, "%s (%s)\n", (*r)->id, (*r)->subject);
    lw_text_add(call->out, "    ");
    cli_fold(call->out, (*r)->condition, 4, WIDTH);
    lw_text_addf(call->out, "\n    [%s] ", (*r)->basis);
    cli_fold(call->out, (*r)->source, 4, WIDTH);
    lw_text_add(call->out, "\n");
  }
  return LW_OK;
}

const cli_command cli_rules = {
    "rules",      "",       "The rules of the advice, each with its condition and source.", none, 0, 0,
    CLI_NO_STORE, run_rules};

static lw_status run_settings(cli_call *call, lw_error *err)
{
  lw_book book;
  lw_status s = lw_book_settings(&book, &call->desk, err);
  if (s != LW_OK || call->json) {
    return s == LW_OK ? cli_print_json(call, lw_rules_json(&book.program, book.units), err) : s;
  }
  lw_text_addf(call->out, "%-20s %s\n%-20s %s\n%-20s %s\n", "units", book.units == LW_US ? "us" : "metric",
               "money", book.money, "place", book.place);
  for (size_t i = 0; i < lw_program_row_count; i++) {
    const lw_program_row *row = &lw_program_rows[i];
    char shown[LW_SHOWN_MAX];
    double value = *(const double *)(const void *)((const char *)&book.program + row->offset);
    lw_text_addf(
        call->out, "%-20s %-12s %s\n", row->key,
        lw_value_shown(value, row->unit, book.units == LW_US ? row->us_unit : row->metric_unit, 3, shown),
        row->meaning);
  }
  return LW_OK;
}

const cli_command cli_settings_show = {
    "settings", "",          "The numbers the rules judge by, and units, money and place.", none, 0, 0,
    CLI_STORE,  run_settings};

static lw_status run_settings_set(cli_call *call, lw_error *err)
{
  lw_entry entry;
  const char *value = call->argument_count == 2 ? call->arguments[1] : NULL;
  call->fields[call->field_count++] = (lw_field){call->arguments[0], value};
  const lw_form form = cli_form(call);
  lw_status s = lw_set_settings(&entry, &call->desk, &form, err);
  return s == LW_OK ? cli_print_entry(call, &entry, err) : s;
}

const cli_command cli_settings_set = {"settings set",
                                      "KEY [VALUE]",
                                      "Change a setting; without a value it goes back to its default.",
                                      none,
                                      1,
                                      2,
                                      CLI_STORE,
                                      run_settings_set};
