/* SPDX-License-Identifier: Apache-2.0 */
#include "work/method_json.h"

#include "advice/methods.h"
#include "advice/rules.h"
#include "work/json.h"

#include <string.h>

static json_t *argument_json(const lw_method *m, size_t i, const lw_argument *a)
{
  const lw_input *input = &m->inputs[i];
  json_t *o = json_object();
  json_t *value = NULL;
  if (input->kind == LW_INPUT_LIST) {
    value = json_array();
    for (size_t k = 0; k < a->list_count; k++) {
      (void)json_array_append_new(value, json_real(a->list[k]));
    }
  } else if (input->kind == LW_INPUT_NUMBER) {
    value = json_real(a->number);
  } else {
    value = json_string(a->text);
  }
  lw_json_set(o, "value", value);
  lw_json_set(o, "unit", json_string(lw_argument_unit(m, i, a)));
  if (a->by_default) {
    lw_json_set(o, "default", json_true());
  }
  return o;
}

/* The unit of `convert` is the one that was asked for. */
static const char *result_unit(const lw_evaluation *e, const lw_output *output)
{
  if (*output->unit) {
    return output->unit;
  }
  for (size_t i = 0; e->method->inputs[i].name; i++) {
    if (strcmp(e->method->inputs[i].name, "to") == 0) {
      return e->arguments[i].text;
    }
  }
  return "";
}

json_t *lw_evaluation_json(const lw_evaluation *e)
{
  const lw_method *m = e->method;
  json_t *inputs = json_object();
  json_t *outputs = json_object();
  for (size_t i = 0; i < lw_method_input_count(m); i++) {
    if (e->arguments[i].given) {
      lw_json_set(inputs, m->inputs[i].name, argument_json(m, i, &e->arguments[i]));
    }
  }
  for (size_t i = 0; i < lw_method_output_count(m); i++) {
    if (e->results[i].known) {
      lw_json_set(
          outputs, m->outputs[i].name,
          json_pack("{s:f,s:s}", "value", e->results[i].value, "unit", result_unit(e, &m->outputs[i])));
    }
  }
  json_t *o = json_object();
  lw_json_set(o, "method", json_string(m->name));
  lw_json_set(o, "inputs", inputs);
  lw_json_set(o, "outputs", outputs);
  lw_json_set(o, "source", json_string(m->source));
  lw_json_set(o, "basis", json_string(m->basis));
  return o;
}

static const char *kind_word(lw_input_kind kind)
{
  static const char *const words[] = {"number", "list", "text", "date", "clock"};
  return words[kind];
}

static json_t *choices_json(const char *choices)
{
  if (!choices) {
    return json_null();
  }
  json_t *list = json_array();
  char word[LW_SHOWN_MAX];
  for (int i = 0; lw_choice_word(choices, i, word, sizeof word); i++) {
    (void)json_array_append_new(list, json_string(word));
  }
  return list;
}

static json_t *input_json(const lw_input *input)
{
  bool numeric = input->kind == LW_INPUT_NUMBER || input->kind == LW_INPUT_LIST;
  json_t *fallback = NULL;
  if (input->has_default) {
    fallback = input->fallback_text ? json_string(input->fallback_text) : json_real(input->fallback);
  }
  json_t *o = json_object();
  lw_json_set(o, "name", json_string(input->name));
  lw_json_set(o, "meaning", json_string(input->meaning));
  lw_json_set(o, "kind", json_string(kind_word(input->kind)));
  lw_json_set(o, "unit", json_string(input->unit ? input->unit : ""));
  lw_json_set(o, "alternative", lw_text_json(input->alternative));
  lw_json_set(o, "optional", json_boolean(input->optional || input->has_default));
  lw_json_set(o, "default", fallback);
  lw_json_set(o, "low", numeric ? json_real(input->low) : NULL);
  lw_json_set(o, "high", numeric ? json_real(input->high) : NULL);
  lw_json_set(o, "choices", choices_json(input->choices));
  return o;
}

json_t *lw_method_json(const lw_method *m)
{
  json_t *takes = json_array();
  json_t *gives = json_array();
  for (size_t i = 0; i < lw_method_input_count(m); i++) {
    (void)json_array_append_new(takes, input_json(&m->inputs[i]));
  }
  for (size_t i = 0; i < lw_method_output_count(m); i++) {
    (void)json_array_append_new(gives, json_pack("{s:s,s:s,s:s}", "name", m->outputs[i].name, "meaning",
                                                 m->outputs[i].meaning, "unit", m->outputs[i].unit));
  }
  json_t *o = json_object();
  lw_json_set(o, "method", json_string(m->name));
  lw_json_set(o, "title", json_string(m->title));
  lw_json_set(o, "purpose", json_string(m->purpose));
  lw_json_set(o, "formula", json_string(m->formula));
  lw_json_set(o, "source", json_string(m->source));
  lw_json_set(o, "basis", json_string(m->basis));
  lw_json_set(o, "limits", json_string(m->limits));
  lw_json_set(o, "takes", takes);
  lw_json_set(o, "gives", gives);
  return o;
}

json_t *lw_methods_json(void)
{
  json_t *list = json_array();
  for (const lw_method *const *m = lw_methods; *m; m++) {
    (void)json_array_append_new(list, json_pack("{s:s,s:s,s:s,s:s}", "name", (*m)->name, "title", (*m)->title,
                                                "purpose", (*m)->purpose, "basis", (*m)->basis));
  }
  return json_pack("{s:o}", "methods", list);
}

static json_t *program_json(const lw_program *program, lw_unit_system units)
{
  json_t *list = json_array();
  for (size_t i = 0; i < lw_program_row_count; i++) {
    const lw_program_row *row = &lw_program_rows[i];
    double value = *(const double *)(const void *)((const char *)program + row->offset);
    json_t *o = json_object();
    lw_json_set(o, "key", json_string(row->key));
    lw_json_set(o, "meaning", json_string(row->meaning));
    lw_json_set(o, "value", lw_value_json(lw_known(value), row->unit, row->us_unit, row->metric_unit, units));
    lw_json_set(o, "fallback",
                lw_value_json(lw_known(row->fallback), row->unit, row->us_unit, row->metric_unit, units));
    lw_json_set(o, "source", json_string(row->source));
    lw_json_set(o, "basis", json_string(row->basis));
    (void)json_array_append_new(list, o);
  }
  return list;
}

json_t *lw_rules_json(const lw_program *program, lw_unit_system units)
{
  json_t *list = json_array();
  for (const lw_rule *const *r = lw_rules; *r; r++) {
    (void)json_array_append_new(list, json_pack("{s:s,s:s,s:s,s:s,s:s}", "id", (*r)->id, "subject",
                                                (*r)->subject, "condition", (*r)->condition, "source",
                                                (*r)->source, "basis", (*r)->basis));
  }
  return json_pack("{s:o,s:o}", "rules", list, "program", program_json(program, units));
}

json_t *lw_quantities_json(void)
{
  json_t *list = json_array();
  for (int i = 0; i < LW_QUANTITY_COUNT; i++) {
    const lw_quantity *q = &lw_quantities[i];
    json_t *o = json_pack("{s:s,s:s,s:s,s:s,s:s,s:s}", "name", q->name, "label", q->label, "unit", q->unit,
                          "us_unit", q->us_unit, "metric_unit", q->metric_unit, "how", q->how);
    lw_json_set(o, "choices", choices_json(q->choices));
    (void)json_array_append_new(list, o);
  }
  return json_pack("{s:o}", "quantities", list);
}
