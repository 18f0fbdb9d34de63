/* SPDX-License-Identifier: Apache-2.0 */
/* Today's advice and the season sheet. */
#include "cli/commands.h"

#include "work/json.h"
#include "work/now.h"

#include <stdio.h>
#include <string.h>

enum { INDENT = 6, WIDTH = 96 };

static const cli_option now_options[] = {{"on", "DATE", "the day to judge (default: today)"},
                                         {"water", "NAME", "one water only"},
                                         {"full", NULL, "all reasons, steps and sources"},
                                         {NULL, NULL, NULL}};

static void line(lw_text *out, const char *lead, const char *text)
{
  lw_text_addf(out, "%*s%s", INDENT, "", lead);
  cli_fold(out, text, INDENT + (int)strlen(lead), WIDTH);
  lw_text_add(out, "\n");
}

static void print_dates(lw_text *out, const lw_item *item, lw_day today)
{
  char day[LW_DATE_TEXT];
  int year = lw_civil_from_day(today).year;
  if (item->by != LW_NO_DAY && item->verdict == LW_DO) {
    lw_text_addf(out, " By %s.", lw_date_words(item->by, lw_civil_from_day(item->by).year != year, day));
  }
  if (item->look_again != LW_NO_DAY && item->verdict == LW_HOLD) {
    lw_text_addf(out, " Look again %s.",
                 lw_date_words(item->look_again, lw_civil_from_day(item->look_again).year != year, day));
  }
}

/* Side by side: the dose in each material, its cost, what must be bought, the price of what works. */
static void print_choices(lw_text *out, const lw_item *item, const lw_water_advice *water)
{
  bool us = water->units == LW_US;
  for (size_t i = 0; i < item->choice_count; i++) {
    const lw_choice *c = &item->choices[i];
    lw_text_addf(out, "%*s%s %-28s %s", INDENT, "", c->chosen ? "*" : " ", c->material, c->shown);
    if (c->cost.known) {
      lw_text_addf(out, ", %s%.2f", water->money, c->cost.value);
    }
    if (c->price_per_kg_active.known) {
      lw_text_addf(out, " (%s%.2f per %s %s)", water->money,
                   c->price_per_kg_active.value * (us ? 0.45359237 : 1), us ? "lb" : "kg",
                   item->choice_active);
    }
    if (c->to_buy.known && c->to_buy.value > 0) {
      lw_text_addf(out, ", %.0f to buy", c->to_buy.value);
    }
    lw_text_add(out, "\n");
  }
}

static void print_reasons(lw_text *out, const lw_item *item)
{
  for (size_t i = 0; i < item->reason_count; i++) {
    const lw_reason *r = &item->reasons[i];
    line(out, r->set_aside ? "~ " : "- ", r->text);
    if (r->set_aside) {
      line(out, "    set aside: ", r->set_aside);
    }
    char tag[96];
    int n = snprintf(tag, sizeof tag, "[%s; %s] ", r->rule, r->basis);
    lw_text_addf(out, "%*s  %s", INDENT, "", tag);
    cli_fold_from(out, r->source, INDENT + 2 + n, INDENT + 2, WIDTH);
    lw_text_add(out, "\n");
  }
}

/* The same reading is often asked for by several subjects: how to take it is told once a water. */
static bool told_before(const lw_water_advice *water, size_t index)
{
  const char *measure = water->items[index].measure;
  for (size_t i = 0; measure && i < index; i++) {
    const char *earlier = water->items[i].measure;
    if (earlier && strcmp(earlier, measure) == 0) {
      return true;
    }
  }
  return false;
}

static void print_item(lw_text *out, const lw_water_advice *water, size_t index, lw_day today, bool full)
{
  const lw_item *item = &water->items[index];
  char head[64];
  lw_text_addf(out, "  %-5s", lw_verdict_word(item->verdict));
  (void)snprintf(head, sizeof head, "%s: ", item->subject);
  lw_text_add(out, head);
  cli_fold_from(out, item->headline, 7 + (int)strlen(head), 7, WIDTH);
  print_dates(out, item, today);
  lw_text_add(out, "\n");
  bool acts = item->verdict != LW_HOLD;
  if (full) {
    print_reasons(out, item);
  }
  if (acts) {
    print_choices(out, item, water);
    for (size_t i = 0; i < item->step_count && !told_before(water, index); i++) {
      line(out, "> ", item->steps[i]);
    }
  }
  for (size_t i = 0; i < item->caution_count && (acts || full); i++) {
    line(out, "! ", item->cautions[i]);
  }
}

static lw_status run_now(cli_call *call, lw_error *err)
{
  lw_now now;
  lw_day on = 0;
  lw_status s = cli_day(&on, call, err);
  s = s == LW_OK ? lw_work_now(&now, &call->desk, on, cli_option_text(call, "water"), err) : s;
  if (s != LW_OK || call->json) {
    return s == LW_OK ? cli_print_json(call, lw_now_json(&now), err) : s;
  }
  char day[LW_DATE_TEXT];
  bool full = cli_option_text(call, "full") != NULL;
  lw_text_addf(call->out, "What each water needs on %s\n", lw_date_words(on, true, day));
  for (size_t i = 0; i < now.count; i++) {
    lw_text_addf(call->out, "\n%s\n", now.waters[i].water);
    for (size_t k = 0; k < now.waters[i].item_count; k++) {
      print_item(call->out, &now.waters[i], k, on, full);
    }
  }
  if (now.count == 0) {
    lw_text_add(call->out, "\nNo waters yet. Add one:\n  lakeward water add \"Name\" --area \"12 acre\" "
                           "--mean-depth \"6 ft\"\n");
  } else if (!full) {
    lw_text_add(call->out, "\nReasons with rules and sources: lakeward now --full. Labels, permits and local "
                           "codes come before any figure here.\n");
  }
  return LW_OK;
}

const cli_command cli_now = {
    "now",     "",     "What each water needs today: do, hold or ask, how much, why.", now_options, 0, 0,
    CLI_STORE, run_now};

static const cli_option season_options[] = {{"on", "DATE", "the day to reckon from (default: today)"},
                                            {NULL, NULL, NULL}};

static void print_season(lw_text *out, const lw_season_sheet *sheet)
{
  const lw_season_plan *p = &sheet->plan;
  char a[LW_DATE_TEXT];
  char b[LW_DATE_TEXT];
  char shown[LW_SHOWN_MAX];
  lw_text_addf(out, "%s, season %s to %s\n", sheet->water, lw_date_text(p->from, a), lw_date_text(p->to, b));
  for (size_t i = 0; i < p->dose_count; i++) {
    const lw_season_dose *d = &p->doses[i];
    bool us = sheet->units == LW_US;
    const char *amount = d->volume_l.known
                             ? lw_value_shown(d->volume_l.value, "L", us ? "gal" : "L", 2, shown)
                             : lw_value_shown(d->mass_kg, "kg", us ? "lb" : "kg", 2, shown);
    lw_text_addf(out, "  %s  dose %-2d  %-10s", lw_date_text(d->day, a), d->number, amount);
    if (d->packages.known) {
      lw_text_addf(out, " %3.0f packages", d->packages.value);
    }
    if (d->cost.known) {
      lw_text_addf(out, "  %s%.2f", sheet->money, d->cost.value);
    }
    lw_text_addf(out, "%s\n", d->first ? "  (first-dose rate)" : "");
  }
  if (p->packages.known) {
    lw_text_addf(out, "Together %.0f packages of %s", p->packages.value, p->material);
    if (p->cost.known) {
      lw_text_addf(out, ", %s%.2f", sheet->money, p->cost.value);
    }
    if (p->left.known) {
      lw_text_addf(out, "; %.3g on the shelf", p->left.value);
    }
    lw_text_add(out, "\n");
  }
  for (size_t i = 0; i < p->assumption_count; i++) {
    line(out, "- ", p->assumptions[i]);
  }
  lw_text_add(out, "A calendar by the rules, not a forecast: lower the disk before each dose.\n");
}

static lw_status run_season(cli_call *call, lw_error *err)
{
  lw_season_sheet *sheet = LW_NEW(call->desk.arena, lw_season_sheet, 1);
  lw_day on = 0;
  lw_status s = sheet ? cli_day(&on, call, err) : lw_fail(err, LW_MEMORY, "no memory for the season");
  s = s == LW_OK ? lw_work_season(sheet, &call->desk, on, call->arguments[0], err) : s;
  if (s != LW_OK || call->json) {
    return s == LW_OK ? cli_print_json(call, lw_season_json(sheet), err) : s;
  }
  print_season(call->out, sheet);
  return LW_OK;
}

const cli_command cli_season = {
    "season",       "WATER",   "Expected doses, packages and cost to the end of the season, by the rules.",
    season_options, 1,         1,
    CLI_STORE,      run_season};
