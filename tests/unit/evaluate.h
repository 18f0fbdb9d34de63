/* SPDX-License-Identifier: Apache-2.0 */
/* Methods called in a line, the way a person types them: evaluate("circle-area", "area",
 * "shoreline=%g ft", 800.0). For tests only. */
#ifndef LW_TESTS_EVALUATE_H
#define LW_TESTS_EVALUATE_H

#include "check.h"

#include "advice/methods.h"

#include <stdlib.h>

/* Runs a method with "key=value; key=value" and gives the output of that name (NULL: none asked). */
static inline lw_status try_evaluate(double *out, const char *method, const char *output, const char *inputs,
                                     lw_error *err)
{
  const lw_method *entry = lw_method_find(lw_methods, method);
  lw_evaluation *evaluation = calloc(1, sizeof *evaluation);
  char text[2000];
  char *rest = NULL;
  assert_non_null(entry);
  assert_non_null(evaluation);
  assert_true(strlen(inputs) < sizeof text);
  (void)snprintf(text, sizeof text, "%s", inputs);
  lw_evaluation_begin(evaluation, entry);
  lw_status s = LW_OK;
  for (char *pair = strtok_r(text, ";", &rest); pair && s == LW_OK; pair = strtok_r(NULL, ";", &rest)) {
    pair += strspn(pair, " ");
    char *value = strchr(pair, '=');
    assert_non_null(value);
    *value++ = '\0';
    s = lw_evaluation_set(evaluation, pair, value, err);
  }
  if (s == LW_OK) {
    s = lw_evaluation_run(evaluation, err);
  }
  if (s == LW_OK && output) {
    s = lw_evaluation_result(evaluation, output, out, err);
  }
  free(evaluation);
  return s;
}

/* The same where it must work; a failure prints the message. */
static inline double evaluate(const char *method, const char *output, const char *format, ...)
    LW_PRINTF(3, 4);

static inline double evaluate(const char *method, const char *output, const char *format, ...)
{
  char inputs[2000];
  lw_error err = {0};
  double out = 0;
  va_list args;
  va_start(args, format);
  int n = vsnprintf(inputs, sizeof inputs, format, args);
  va_end(args);
  assert_true(n >= 0 && (size_t)n < sizeof inputs);
  if (try_evaluate(&out, method, output, inputs, &err) != LW_OK) {
    print_error("%s %s: %s\n", method, inputs, err.message);
    fail();
  }
  return out;
}

/* Must be refused with a message that holds `piece`. */
static inline void check_refused(const char *method, const char *inputs, const char *piece, const char *file,
                                 int line)
{
  lw_error err = {0};
  double out = 0;
  if (try_evaluate(&out, method, NULL, inputs, &err) == LW_OK) {
    print_error("%s %s: accepted\n", method, inputs);
    _fail(file, line);
  }
  check_holds(err.message, piece, file, line);
}

#define assert_refused(method, inputs, piece) check_refused((method), (inputs), (piece), __FILE__, __LINE__)

#endif
