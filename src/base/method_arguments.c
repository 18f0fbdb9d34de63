/* SPDX-License-Identifier: Apache-2.0 */
/* From the person's words to checked arguments of a method. */
#include "base/method.h"
#include "base/quantity.h"
#include "base/text.h"
#include "base/units.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static lw_status find_input(const lw_evaluation *evaluation, const char *key, size_t *out, lw_error *err)
{
  const lw_method *method = evaluation->method;
  size_t n = lw_method_input_count(method);
  lw_text names = LW_TEXT(400);
  for (size_t i = 0; i < n; i++) {
    if (strcmp(method->inputs[i].name, key) == 0) {
      lw_text_free(&names);
      *out = i;
      return LW_OK;
    }
    lw_text_addf(&names, "%s%s", i ? ", " : "", method->inputs[i].name);
  }
  (void)lw_fail(err, LW_INVALID, "%s has no input '%.60s'; it takes %s", method->name, key,
                lw_text_view(&names));
  lw_text_free(&names);
  return LW_INVALID;
}

static lw_status check_range(const lw_input *input, double value, lw_error *err)
{
  if (isfinite(value) && value >= input->low && value <= input->high) {
    return LW_OK;
  }
  char got[LW_NUMBER_MAX];
  char low[LW_NUMBER_MAX];
  char high[LW_NUMBER_MAX];
  const char *unit = input->unit ? input->unit : "";
  return lw_fail(err, LW_INVALID, "%s is %s%s%s; it must lie between %s and %s%s%s", input->name,
                 isfinite(value) ? lw_rounded_text(value, 6, got) : "not a number", *unit ? " " : "", unit,
                 lw_number_text(input->low, low), lw_number_text(input->high, high), *unit ? " " : "", unit);
}

static lw_status set_number(const lw_input *input, lw_argument *argument, const char *text, lw_error *err)
{
  int which = 0;
  lw_status s = lw_quantity_parse_either(&argument->number, &which, input->name, text, input->unit,
                                         input->alternative, err);
  argument->alternative = which == 1;
  if (s != LW_OK) {
    return s;
  }
  if (which == 1) {
    return argument->number >= 0
               ? LW_OK
               : lw_fail(err, LW_INVALID, "%s is negative; it must be 0 or more", input->name);
  }
  return check_range(input, argument->number, err);
}

static lw_status set_list(const lw_input *input, lw_argument *argument, const char *text, lw_error *err)
{
  for (const char *p = text;;) {
    const char *comma = strchr(p, ',');
    size_t n = comma ? (size_t)(comma - p) : strlen(p);
    char piece[LW_METHOD_TEXT];
    if (n >= sizeof piece) {
      return lw_fail(err, LW_INVALID, "%s: '%.40s...' is too long to be a number", input->name, p);
    }
    if (argument->list_count == LW_METHOD_LIST) {
      return lw_fail(err, LW_LIMIT, "%s holds at most %d values", input->name, LW_METHOD_LIST);
    }
    memcpy(piece, p, n);
    piece[n] = '\0';
    double *value = &argument->list[argument->list_count++];
    lw_status s = lw_quantity_parse(value, input->name, piece, input->unit, err);
    if (s == LW_OK) {
      s = check_range(input, *value, err);
    }
    if (s != LW_OK || !comma) {
      return s;
    }
    p = comma + 1;
  }
}

static lw_status set_text(const lw_input *input, lw_argument *argument, const char *text, lw_error *err)
{
  size_t n = strlen(text);
  if (n == 0 || n >= sizeof argument->text || !lw_text_is_clean(text, n)) {
    return lw_fail(err, LW_INVALID, "%s: give a text of 1 to %d plain characters", input->name,
                   LW_METHOD_TEXT - 1);
  }
  if (input->choices && lw_choice_index(input->choices, text) < 0) {
    return lw_fail(err, LW_INVALID, "%s is '%.40s'; it must be one of %s", input->name, text, input->choices);
  }
  memcpy(argument->text, text, n + 1);
  return LW_OK;
}

static lw_status set_value(const lw_input *input, lw_argument *argument, const char *text, lw_error *err)
{
  int minutes = 0;
  lw_status s = LW_INTERNAL;
  switch (input->kind) {
  case LW_INPUT_NUMBER:
    return set_number(input, argument, text, err);
  case LW_INPUT_LIST:
    return set_list(input, argument, text, err);
  case LW_INPUT_TEXT:
    return set_text(input, argument, text, err);
  case LW_INPUT_DATE:
    (void)snprintf(argument->text, sizeof argument->text, "%.20s", text);
    return lw_date_parse(&argument->day, input->name, text, err);
  case LW_INPUT_CLOCK:
    (void)snprintf(argument->text, sizeof argument->text, "%.20s", text);
    s = lw_clock_parse(&minutes, input->name, text, err);
    argument->number = minutes;
    return s;
  }
  return lw_fail(err, LW_INTERNAL, "%s has an unknown kind of input", input->name);
}

lw_status lw_evaluation_set(lw_evaluation *evaluation, const char *key, const char *text, lw_error *err)
{
  size_t i = 0;
  lw_status s = find_input(evaluation, key, &i, err);
  if (s != LW_OK) {
    return s;
  }
  lw_argument *argument = &evaluation->arguments[i];
  if (argument->given) {
    return lw_fail(err, LW_INVALID, "%s is given twice; give it once", key);
  }
  s = set_value(&evaluation->method->inputs[i], argument, text, err);
  argument->given = s == LW_OK;
  return s;
}

lw_status lw_evaluation_set_number(lw_evaluation *evaluation, const char *key, double value, lw_error *err)
{
  size_t i = 0;
  lw_status s = find_input(evaluation, key, &i, err);
  if (s != LW_OK) {
    return s;
  }
  const lw_input *input = &evaluation->method->inputs[i];
  if (input->kind != LW_INPUT_NUMBER) {
    return lw_fail(err, LW_INTERNAL, "%s is not a number", key);
  }
  s = check_range(input, value, err);
  if (s == LW_OK) {
    evaluation->arguments[i].number = value;
    evaluation->arguments[i].given = true;
  }
  return s;
}
