/* SPDX-License-Identifier: Apache-2.0 */
/* From the findings of a subject's rules to an item: which finding decides, what is set aside by the
 * owner, how the reasons are ordered. */
#ifndef LW_ADVICE_JUDGE_H
#define LW_ADVICE_JUDGE_H

#include "advice/rules.h"

/* Which way a subject leans when findings disagree. */
typedef enum lw_leaning {
  LW_CAREFUL, /* holds, then asks, then favours: doing it costs or harms */
  LW_ALARM    /* favours, then asks, then holds: not doing it harms */
} lw_leaning;

/* Judges all rules of `subject`. The item gets verdict, headline, reasons (deciding one first),
 * cautions, measure, look_again, urgency. A careful subject with nothing against it is 'do'; where
 * nothing at all was found it is 'hold'. */
void lw_judge_subject(const lw_view *view, const char *subject, lw_leaning leaning, lw_item *item);

#endif
