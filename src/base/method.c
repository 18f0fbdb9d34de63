/* SPDX-License-Identifier: Apache-2.0 */
#include "base/method.h"

#include "base/text.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

size_t lw_method_input_count(const lw_method *method)
{
  size_t n = 0;
  while (n < LW_METHOD_INPUTS && method->inputs[n].name) {
    n++;
  }
  return n;
}

size_t lw_method_output_count(const lw_method *method)
{
  size_t n = 0;
  while (n < LW_METHOD_OUTPUTS && method->outputs[n].name) {
    n++;
  }
  return n;
}

const lw_method *lw_method_find(const lw_method *const *list, const char *name)
{
  for (; *list; list++) {
    if (strcmp((*list)->name, name) == 0) {
      return *list;
    }
  }
  return NULL;
}

void lw_evaluation_begin(lw_evaluation *evaluation, const lw_method *method)
{
  memset(evaluation, 0, sizeof *evaluation);
  evaluation->method = method;
}

static lw_status fill_default(const lw_method *method, size_t i, lw_argument *argument, lw_error *err)
{
  const lw_input *input = &method->inputs[i];
  if (argument->given) {
    return LW_OK;
  }
  if (input->has_default) {
    argument->given = true;
    argument->by_default = true;
    argument->number = input->fallback;
    (void)snprintf(argument->text, sizeof argument->text, "%s",
                   input->fallback_text ? input->fallback_text : "");
    return LW_OK;
  }
  if (input->optional) {
    return LW_OK;
  }
  const char *unit = input->unit ? input->unit : "";
  return lw_fail(err, LW_INVALID, "%s needs %s (%s%s%s); add for example %s=...", method->name, input->name,
                 input->meaning, *unit ? ", in " : "", unit, input->name);
}

static lw_status check_results(const lw_evaluation *evaluation, lw_error *err)
{
  size_t n = lw_method_output_count(evaluation->method);
  for (size_t i = 0; i < n; i++) {
    const lw_result *r = &evaluation->results[i];
    if (r->known && !isfinite(r->value)) {
      return lw_fail(err, LW_INVALID, "%s: %s comes out of range for these inputs; check their sizes",
                     evaluation->method->name, evaluation->method->outputs[i].name);
    }
  }
  return LW_OK;
}

lw_status lw_evaluation_run(lw_evaluation *evaluation, lw_error *err)
{
  const lw_method *method = evaluation->method;
  size_t n = lw_method_input_count(method);
  for (size_t i = 0; i < n; i++) {
    lw_status s = fill_default(method, i, &evaluation->arguments[i], err);
    if (s != LW_OK) {
      return s;
    }
  }
  memset(evaluation->results, 0, sizeof evaluation->results);
  lw_status s = method->evaluate(evaluation->arguments, evaluation->results, err);
  if (s != LW_OK) {
    lw_error_prefix(err, "%s", method->name);
    return s;
  }
  return check_results(evaluation, err);
}

lw_status lw_evaluation_result(const lw_evaluation *evaluation, const char *name, double *out, lw_error *err)
{
  size_t n = lw_method_output_count(evaluation->method);
  for (size_t i = 0; i < n; i++) {
    if (strcmp(evaluation->method->outputs[i].name, name) == 0 && evaluation->results[i].known) {
      *out = evaluation->results[i].value;
      return LW_OK;
    }
  }
  return lw_fail(err, LW_NOT_FOUND, "%s gives no %s from these inputs", evaluation->method->name, name);
}

const char *lw_argument_unit(const lw_method *method, size_t input, const lw_argument *argument)
{
  const lw_input *spec = &method->inputs[input];
  const char *unit = argument->alternative ? spec->alternative : spec->unit;
  return unit ? unit : "";
}
