/* SPDX-License-Identifier: Apache-2.0 */
#include "advice/words.h"

#include <stdarg.h>
#include <stdio.h>

const char *lw_say(const lw_view *view, const char *format, ...)
{
  char text[1024];
  va_list args;
  va_start(args, format);
  (void)vsnprintf(text, sizeof text, format, args);
  va_end(args);
  const char *copy = lw_arena_copy(view->arena, text);
  return copy ? copy : "(no memory for the text)";
}

const char *lw_show(const lw_view *view, lw_quantity_id quantity, double value)
{
  char shown[LW_SHOWN_MAX];
  return lw_say(view, "%s", lw_quantity_shown(&lw_quantities[quantity], value, view->facts->units, shown));
}

const char *lw_show_value(const lw_view *view, double value, const char *unit, const char *us,
                          const char *metric)
{
  char shown[LW_SHOWN_MAX];
  const char *wanted = view->facts->units == LW_US ? us : metric;
  return lw_say(view, "%s", lw_value_shown(value, unit, wanted, 2, shown));
}

static const char *pool_words(const lw_view *v)
{
  double level = v->latest.pool_level_m;
  if (level == 0) {
    return "";
  }
  return lw_say(v, ", the pool %s %s full", lw_show_value(v, level < 0 ? -level : level, "m", "ft", "m"),
                level < 0 ? "below" : "above");
}

const char *lw_size_words(const lw_view *v, const char *shown)
{
  const lw_latest *l = &v->latest;
  if (!l->from_map || !l->volume_m3.known) {
    return lw_say(v, "Reckoned on %s (%s).", shown, l->area_from);
  }
  const char *unit = v->facts->units == LW_US ? "acre-ft" : "m3";
  return lw_say(v, "Reckoned on %s and %s (%s to %s, 9 in 10; %s%s).", shown,
                lw_show_value(v, l->volume_m3.value, "m3", unit, unit),
                lw_show_value(v, l->volume_low_m3.value, "m3", unit, unit),
                lw_show_value(v, l->volume_high_m3.value, "m3", unit, unit), l->area_from, pool_words(v));
}

const char *lw_show_day(const lw_view *view, lw_day day)
{
  char text[LW_DATE_TEXT];
  return lw_say(
      view, "%s",
      lw_date_words(day, lw_civil_from_day(day).year != lw_civil_from_day(view->facts->today).year, text));
}

const char *lw_show_age(const lw_view *view, int days)
{
  if (days == 0) {
    return "today";
  }
  return days == 1 ? "yesterday" : lw_say(view, "%d days ago", days);
}

void lw_cite_fact(const lw_view *view, lw_finding *finding, const char *name, double value, const char *unit,
                  const char *shown, lw_day day)
{
  (void)view;
  if (finding->input_count < LW_CITED_MAX) {
    finding->inputs[finding->input_count++] =
        (lw_cited){.name = name, .value = value, .unit = unit, .shown = shown, .day = day};
  }
}

void lw_cite(const lw_view *view, lw_finding *finding, lw_quantity_id quantity)
{
  const lw_seen *seen = &view->latest.seen[quantity];
  if (seen->known) {
    const lw_quantity *q = &lw_quantities[quantity];
    lw_cite_fact(view, finding, q->name, seen->value, q->unit, lw_show(view, quantity, seen->value),
                 seen->day);
  }
}

void lw_finding_holds(lw_finding *finding, const char *text, lw_day look_again)
{
  finding->effect = LW_HOLDS;
  finding->text = text;
  finding->look_again = look_again;
}

void lw_finding_asks(lw_finding *finding, const char *text, const char *measure)
{
  finding->effect = LW_ASKS;
  finding->text = text;
  finding->measure = measure;
}

void lw_finding_notes(lw_finding *finding, const char *text)
{
  finding->effect = LW_NOTES;
  finding->text = text;
}

void lw_finding_favours(lw_finding *finding, const char *text)
{
  finding->effect = LW_FAVOURS;
  finding->text = text;
}
