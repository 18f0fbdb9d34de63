/* SPDX-License-Identifier: Apache-2.0 */
#include "advice/judge.h"

#include "advice/amounts.h"

#include <string.h>

static const lw_override *standing_override(const lw_case *facts, const char *rule)
{
  for (size_t i = 0; i < facts->override_count; i++) {
    const lw_override *o = &facts->overrides[i];
    if (strcmp(o->rule, rule) == 0 && o->day <= facts->today &&
        (o->until == LW_NO_DAY || o->until >= facts->today)) {
      return o;
    }
  }
  return NULL;
}

/* What the rules of a subject found: the first finding of each kind. */
typedef struct tally {
  lw_finding first[LW_HOLDS + 1];
  int reason[LW_HOLDS + 1]; /* index of its reason, -1 when none */
  bool set_aside;
} tally;

static void add_reason(lw_item *item, const lw_rule *rule, const lw_finding *finding, const char *set_aside)
{
  if (item->reason_count == LW_REASONS_MAX) {
    return;
  }
  lw_reason *r = &item->reasons[item->reason_count++];
  *r = (lw_reason){.rule = rule->id,
                   .text = finding->text,
                   .source = rule->source,
                   .basis = rule->basis,
                   .set_aside = set_aside,
                   .input_count = finding->input_count};
  memcpy(r->inputs, finding->inputs, sizeof r->inputs);
}

static void hear(const lw_view *view, const lw_rule *rule, lw_item *item, tally *t)
{
  lw_finding f = {.look_again = LW_NO_DAY, .urgency = 2};
  rule->judge(view, &f);
  if (f.effect == LW_SILENT) {
    return;
  }
  const lw_override *o = standing_override(view->facts, rule->id);
  bool aside = o && (f.effect == LW_HOLDS || f.effect == LW_ASKS);
  if (aside) {
    t->set_aside = true;
    f.effect = LW_NOTES;
  }
  if (t->reason[f.effect] < 0 && item->reason_count < LW_REASONS_MAX) {
    t->first[f.effect] = f;
    t->reason[f.effect] = (int)item->reason_count;
  }
  if (f.caution) {
    lw_item_caution(item, f.caution);
  }
  add_reason(item, rule, &f, aside ? o->reason : NULL);
}

static lw_effect deciding(const tally *t, lw_leaning leaning)
{
  static const lw_effect careful[] = {LW_HOLDS, LW_ASKS, LW_FAVOURS};
  static const lw_effect alarm[] = {LW_FAVOURS, LW_ASKS, LW_HOLDS};
  const lw_effect *order = leaning == LW_CAREFUL ? careful : alarm;
  for (int i = 0; i < 3; i++) {
    if (t->reason[order[i]] >= 0) {
      return order[i];
    }
  }
  return LW_SILENT;
}

/* The deciding reason is read first. */
static void move_first(lw_item *item, int index)
{
  lw_reason first = item->reasons[index];
  first.decides = true;
  memmove(&item->reasons[1], &item->reasons[0], (size_t)index * sizeof item->reasons[0]);
  item->reasons[0] = first;
}

void lw_judge_subject(const lw_view *view, const char *subject, lw_leaning leaning, lw_item *item)
{
  *item = (lw_item){.subject = subject, .by = LW_NO_DAY, .look_again = LW_NO_DAY, .urgency = 2};
  tally t = {.reason = {-1, -1, -1, -1, -1}};
  for (const lw_rule *const *rule = lw_rules; *rule; rule++) {
    if (strcmp((*rule)->subject, subject) == 0) {
      hear(view, *rule, item, &t);
    }
  }
  lw_effect effect = deciding(&t, leaning);
  if (effect == LW_SILENT) {
    item->verdict = t.set_aside && leaning == LW_CAREFUL ? LW_DO : LW_HOLD;
    item->headline = item->reason_count ? item->reasons[0].text : "Nothing to do.";
    return;
  }
  const lw_finding *f = &t.first[effect];
  item->verdict = effect == LW_HOLDS ? LW_HOLD : effect == LW_ASKS ? LW_ASK : LW_DO;
  item->headline = f->text;
  item->measure = effect == LW_ASKS ? f->measure : NULL;
  item->look_again = effect == LW_HOLDS ? f->look_again : LW_NO_DAY;
  item->urgency = f->urgency;
  move_first(item, t.reason[effect]);
}
