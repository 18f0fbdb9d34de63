/* SPDX-License-Identifier: Apache-2.0 */
/* The method registry: every formula Lakeward uses is an entry that says what it is for, its
 * inputs, outputs, published source and basis, and carries the C function. The command line, the
 * page, the documentation and the published checks all go through these entries; none of them holds
 * a formula of its own. Entries are constants in the science folders; the list of all of them is
 * advice/methods.c. Nothing here prints, allocates or holds state. */
#ifndef LW_BASE_METHOD_H
#define LW_BASE_METHOD_H

#include "base/dates.h"
#include "base/status.h"

#include <stdbool.h>
#include <stddef.h>

enum { LW_METHOD_INPUTS = 16, LW_METHOD_OUTPUTS = 12, LW_METHOD_LIST = 400, LW_METHOD_TEXT = 64 };

typedef enum lw_input_kind {
  LW_INPUT_NUMBER,
  LW_INPUT_LIST, /* numbers, comma between them */
  LW_INPUT_TEXT, /* free or one of `choices` */
  LW_INPUT_DATE, /* ISO 8601 */
  LW_INPUT_CLOCK /* local time of day "19:30", as minutes in `number` */
} lw_input_kind;

typedef struct lw_input {
  const char *name;
  const char *meaning; /* one line, for the person */
  lw_input_kind kind;
  const char *unit;        /* of a bare number, and of the value handed to the function */
  const char *alternative; /* a second unit of another dimension that is accepted, or NULL */
  const char *choices;     /* LW_INPUT_TEXT: "broad|sharp", or NULL for free text */
  double low, high;        /* valid range in `unit`, both ends valid; not checked on alternative */
  bool optional;           /* may be left out */
  bool has_default;        /* when left out: `fallback` or `fallback_text` stands in, and is shown */
  double fallback;
  const char *fallback_text;
} lw_input;

typedef struct lw_output {
  const char *name;
  const char *meaning;
  const char *unit;
} lw_output;

/* What the function sees of one input, in the order of the entry's inputs. */
typedef struct lw_argument {
  bool given; /* by the person or by the default */
  bool by_default;
  bool alternative; /* `number` is in the alternative unit */
  double number;
  char text[LW_METHOD_TEXT]; /* LW_INPUT_TEXT */
  lw_day day;                /* LW_INPUT_DATE */
  size_t list_count;
  double list[LW_METHOD_LIST];
} lw_argument;

typedef struct lw_result {
  bool known; /* optional outputs stay unknown when their inputs are missing */
  double value;
} lw_result;

typedef struct lw_method lw_method;

/* A whole evaluation: what went in and what came out. Large (lists): allocate it, or keep one. */
typedef struct lw_evaluation {
  const lw_method *method;
  lw_argument arguments[LW_METHOD_INPUTS];
  lw_result results[LW_METHOD_OUTPUTS];
} lw_evaluation;

struct lw_method {
  const char *name; /* fixed: called from outside */
  const char *title;
  const char *purpose; /* what it is for, one or two sentences */
  const char *formula; /* in symbols, plain text */
  const char *source;  /* authors, year, publication, table or page */
  const char *basis;   /* "read", "memory", "common practice" or "computed" */
  const char *limits;  /* where it must not be trusted; "" when nothing is to be said */
  lw_input inputs[LW_METHOD_INPUTS];
  lw_output outputs[LW_METHOD_OUTPUTS];
  /* Arguments are within range, required ones given. Must fill `results` with finite values or
   * return LW_INVALID with a message. */
  lw_status (*evaluate)(const lw_argument *arguments, lw_result *results, lw_error *err);
};

size_t lw_method_input_count(const lw_method *method);
size_t lw_method_output_count(const lw_method *method);

/* The entry with that name in a NULL-ended list; NULL when there is none. */
const lw_method *lw_method_find(const lw_method *const *list, const char *name);

/* Starts an evaluation: nothing given. */
void lw_evaluation_begin(lw_evaluation *evaluation, const lw_method *method);

/* Sets one input from the person's text ("68degF", "12 acre", "305mm,280mm"). Refuses unknown keys,
 * keys set twice, wrong units and values out of range. */
LW_MUST_CHECK lw_status lw_evaluation_set(lw_evaluation *evaluation, const char *key, const char *text,
                                          lw_error *err);

/* Sets one input from a number already in the entry's unit. */
LW_MUST_CHECK lw_status lw_evaluation_set_number(lw_evaluation *evaluation, const char *key, double value,
                                                 lw_error *err);

/* Fills defaults, checks that required inputs are there, calls the function, refuses non-finite
 * results. */
LW_MUST_CHECK lw_status lw_evaluation_run(lw_evaluation *evaluation, lw_error *err);

/* A result by name; LW_NOT_FOUND when the method has no such output or it stayed unknown. */
LW_MUST_CHECK lw_status lw_evaluation_result(const lw_evaluation *evaluation, const char *name, double *out,
                                             lw_error *err);

/* The unit an argument's number is in (its alternative when that was used). */
const char *lw_argument_unit(const lw_method *method, size_t input, const lw_argument *argument);

#endif
