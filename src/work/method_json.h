/* SPDX-License-Identifier: Apache-2.0 */
/* Methods and rules as JSON. */
#ifndef LW_WORK_METHOD_JSON_H
#define LW_WORK_METHOD_JSON_H

#include "advice/program.h"
#include "base/method.h"
#include "base/quantity.h"

#include <jansson.h>

/* {"method","inputs":{k:{"value","unit"}},"outputs":{...},"source","basis"} */
json_t *lw_evaluation_json(const lw_evaluation *evaluation);

/* What the entry is: title, purpose, formula, source, basis, limits, takes, gives. */
json_t *lw_method_json(const lw_method *method);

/* {"methods":[{"name","title","purpose","basis"}]} */
json_t *lw_methods_json(void);

/* {"rules":[...],"program":[...]}; `program` holds the values in force. */
json_t *lw_rules_json(const lw_program *program, lw_unit_system units);

json_t *lw_quantities_json(void);

#endif
