/* SPDX-License-Identifier: Apache-2.0 */
/* The table of rules: id, subject, the condition in plain words, source and basis, one function
 * each. docs/rules.md is generated from it. A rule looks at the case and says nothing, or gives one
 * finding; how findings make a verdict is in decide.c. */
#ifndef LW_ADVICE_RULES_H
#define LW_ADVICE_RULES_H

#include "advice/advice.h"
#include "advice/latest.h"

typedef enum lw_effect {
  LW_SILENT,  /* does not apply */
  LW_NOTES,   /* worth saying, decides nothing */
  LW_FAVOURS, /* speaks for doing it */
  LW_ASKS,    /* cannot be judged without an input */
  LW_HOLDS    /* speaks against */
} lw_effect;

typedef struct lw_finding {
  lw_effect effect;
  const char *text;    /* the reason, for the person */
  const char *measure; /* LW_ASKS: the quantity or fact that would settle it */
  lw_day look_again;   /* LW_HOLDS: when; LW_NO_DAY */
  const char *caution; /* NULL or a caution that goes with it */
  int urgency;         /* as lw_item, for deciding findings */
  lw_cited inputs[LW_CITED_MAX];
  size_t input_count;
} lw_finding;

/* The case with its latest readings picked out, and the arena for texts. */
typedef struct lw_view {
  const lw_case *facts;
  lw_latest latest;
  lw_arena *arena;
} lw_view;

typedef struct lw_rule {
  const char *id, *subject;
  const char *condition; /* plain words */
  const char *source, *basis;
  void (*judge)(const lw_view *view, lw_finding *out);
} lw_rule;

/* NULL-ended, in order of weight within a subject. */
extern const lw_rule *const lw_rules[];
const lw_rule *lw_rule_find(const char *id);

#endif
