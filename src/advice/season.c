/* SPDX-License-Identifier: Apache-2.0 */
#include "advice/season.h"

#include "advice/amounts.h"
#include "advice/words.h"

#include <math.h>
#include <string.h>

/* Where no temperature says otherwise a season's first dose is expected here: "late April or early
 * May", common practice, no source. */
enum { USUAL_START_MONTH = 4, USUAL_START_DAY = 25, HALF_YEAR = 182 };

static void assume(lw_season_plan *plan, const char *text)
{
  if (plan->assumption_count < LW_LINES_MAX) {
    plan->assumptions[plan->assumption_count++] = text;
  }
}

/* Lasting reasons not to feed at all: the same words as the rules use. */
static const char *never_fed(const lw_view *v)
{
  const lw_water *w = v->facts->water;
  const lw_seen *a = &v->latest.seen[LW_ALKALINITY];
  if (strcmp(w->use, "clear-water") == 0 || strcmp(w->use, "wildlife") == 0 ||
      strcmp(w->use, "livestock") == 0) {
    return "No doses: this water is not kept for fishing.";
  }
  if (strcmp(w->harvest, "no") == 0) {
    return "No doses: nobody takes fish out.";
  }
  if (a->known && a->fresh && a->value < v->facts->program.alkalinity_min_mg_l) {
    return "No doses yet: alkalinity is under 20 mg/L, lime comes first.";
  }
  const lw_seen *c = &v->latest.seen[LW_WATER_COLOR];
  if (c->known && c->fresh && (int)c->value == LW_BROWN_MUD) {
    return "No doses yet: the water is muddy; the mud comes first.";
  }
  return NULL;
}

static lw_day usual_start(const lw_view *v)
{
  bool own = v->facts->water->season_start[0] != '\0';
  bool south = v->facts->water->latitude.known && v->facts->water->latitude.value < 0;
  if (own) {
    return v->latest.season_start;
  }
  int year = lw_civil_from_day(v->latest.season_start).year;
  lw_day day = lw_day_from_civil((lw_civil){year, USUAL_START_MONTH, USUAL_START_DAY});
  if (south) {
    day += HALF_YEAR;
    day -= day - HALF_YEAR > v->latest.season_end ? 365 : 0;
  }
  return day < v->latest.season_start ? v->latest.season_start : day;
}

static lw_day first_day(lw_season_plan *plan, const lw_view *v)
{
  const lw_seen *t = &v->latest.seen[LW_TEMPERATURE];
  lw_day today = v->facts->today;
  int least = (int)v->facts->program.opening_interval_day;
  if (v->latest.feed_doses > 0 && v->latest.last_feed != LW_NO_DAY) {
    int gap = v->latest.feed_doses < v->facts->program.opening_doses
                  ? least
                  : (int)v->facts->program.routine_interval_day;
    lw_day next = v->latest.last_feed + gap;
    assume(plan, lw_say(v, "%d dose%s given this season.", v->latest.feed_doses,
                        v->latest.feed_doses == 1 ? " was" : "s were"));
    return next > today ? next : today;
  }
  if (v->latest.in_season && t->known && t->fresh && t->value >= v->facts->program.start_temperature_c) {
    assume(plan, "The water is warm enough: the first dose is set for today.");
    return today;
  }
  lw_day start = usual_start(v);
  assume(plan, "First dose at the usual start of the season; it moves with the water's temperature.");
  return start > today ? start : today;
}

static const lw_choice *pick(const lw_view *v, double area_m2, lw_choice *choices, size_t *index)
{
  size_t n = lw_feed_choices(v, area_m2, choices, LW_CHOICES_MAX);
  for (size_t i = 0; i < n; i++) {
    if (choices[i].chosen) {
      *index = i;
      return &choices[i];
    }
  }
  return NULL;
}

static const lw_material *material_named(const lw_case *facts, const char *name)
{
  for (size_t i = 0; i < facts->stock_count; i++) {
    if (strcmp(facts->stock[i].material->name, name) == 0) {
      return facts->stock[i].material;
    }
  }
  return NULL;
}

/* The dose as the choices would reckon it with `given` doses behind it. */
static bool reckon_dose(const lw_view *v, const char *material, int given, double area_m2,
                        lw_season_dose *dose)
{
  lw_view later = *v;
  later.latest.feed_doses = given;
  later.latest.last_feed_treatment = NULL; /* half rates are not planned ahead */
  lw_choice choices[LW_CHOICES_MAX];
  size_t n = lw_feed_choices(&later, area_m2, choices, LW_CHOICES_MAX);
  for (size_t i = 0; i < n; i++) {
    if (strcmp(choices[i].material, material) == 0) {
      dose->mass_kg = choices[i].mass_kg;
      dose->volume_l = choices[i].volume_l;
      dose->packages = choices[i].packages;
      dose->cost = choices[i].cost;
      dose->first = given == 0;
      return true;
    }
  }
  return false;
}

static void total(lw_season_plan *plan, const lw_view *v)
{
  const lw_material *m = material_named(v->facts, plan->material);
  double mass = 0;
  for (size_t i = 0; i < plan->dose_count; i++) {
    mass += plan->doses[i].mass_kg;
  }
  if (m && m->package_kg.known && m->package_kg.value > 0) {
    plan->packages = lw_known(ceil(mass / m->package_kg.value - 1e-9));
    if (m->price.known) {
      plan->cost = lw_known(plan->packages.value * m->price.value);
    }
  }
}

static void fill(lw_season_plan *plan, const lw_view *v, double area_m2, lw_day day)
{
  const lw_program *p = &v->facts->program;
  bool once = strcmp(plan->form, "controlled-release") == 0;
  for (int given = v->latest.feed_doses; day <= plan->to && plan->dose_count < LW_SEASON_DOSES; given++) {
    lw_season_dose *dose = &plan->doses[plan->dose_count];
    if (given > v->latest.feed_doses + 1) {
      *dose = dose[-1]; /* every dose after the first is reckoned alike */
    } else if (!reckon_dose(v, plan->material, given, area_m2, dose)) {
      return;
    }
    dose->number = given + 1;
    dose->day = day;
    plan->dose_count++;
    if (once) {
      return;
    }
    day += (lw_day)(given + 1 < p->opening_doses ? p->opening_interval_day : p->routine_interval_day);
  }
}

lw_status lw_season_reckon(lw_season_plan *out, const lw_view *view)
{
  memset(out, 0, sizeof *out);
  out->from = view->latest.season_start;
  out->to = view->latest.season_end;
  if (!view->latest.area_m2.known) {
    return LW_NOT_FOUND;
  }
  const char *never = never_fed(view);
  out->material = out->form = out->grade = "";
  if (never) {
    assume(out, never);
    return LW_OK;
  }
  double area_m2 = view->latest.area_m2.value;
  lw_choice choices[LW_CHOICES_MAX];
  size_t index = 0;
  const lw_choice *c = pick(view, area_m2, choices, &index);
  if (!c) {
    return LW_INTERNAL;
  }
  out->material = c->material;
  out->form = c->form;
  out->grade = c->grade;
  out->left = c->left;
  lw_day day = first_day(out, view);
  fill(out, view, area_m2, day);
  total(out, view);
  assume(out, lw_say(view,
                     "%.0f opening doses %.0f days apart, then every %.0f days; each only when the disk "
                     "is deeper than the aim.",
                     view->facts->program.opening_doses, view->facts->program.opening_interval_day,
                     view->facts->program.routine_interval_day));
  return LW_OK;
}
