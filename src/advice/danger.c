/* SPDX-License-Identifier: Apache-2.0 */
#include "advice/danger.h"

#include "water/ammonia.h"

#include <string.h>

enum { CRASH_DAYS = 10, OXYGEN_REMEMBERED_DAYS = 14 };

static const double crash_rise_m = 16 * 0.0254;
static const double ammonia_harm_mg_l = 0.05; /* IFAS FA16 figure 2 */

static const lw_seen *seen(const lw_view *v, lw_quantity_id quantity)
{
  return &v->latest.seen[quantity];
}

/* The greenest disk reading of the ten days before the newest one. */
static lw_seen greenest_before(const lw_view *v, lw_day newest)
{
  lw_seen found = {.day = LW_NO_DAY};
  for (size_t i = 0; i < v->facts->reading_count; i++) {
    const lw_reading *r = &v->facts->readings[i];
    bool counts = strcmp(r->quantity, lw_quantities[LW_SECCHI].name) == 0 && r->day < newest &&
                  r->day >= newest - CRASH_DAYS;
    if (counts && (!found.known || r->value < found.value)) {
      found = (lw_seen){.known = true, .value = r->value, .day = r->day, .age_day = v->facts->today - r->day};
    }
  }
  return found;
}

bool lw_clearing_is_sudden(const lw_view *v, lw_seen *out_from)
{
  const lw_seen *now = seen(v, LW_SECCHI);
  const lw_seen *color = seen(v, LW_WATER_COLOR);
  bool was_mud = color->known && (int)color->value == LW_BROWN_MUD;
  if (!now->known || !now->fresh || was_mud || !v->latest.in_season) {
    return false;
  }
  lw_seen from = greenest_before(v, now->day);
  if (out_from) {
    *out_from = from;
  }
  return from.known && from.value <= v->facts->program.aim_high_m && now->value - from.value >= crash_rise_m;
}

bool lw_ammonia_is_harmful(const lw_view *v, double *out_mg_l)
{
  const lw_seen *n = seen(v, LW_AMMONIA);
  const lw_seen *ph = seen(v, LW_PH);
  const lw_seen *t = seen(v, LW_TEMPERATURE);
  double fraction = 0;
  if (!n->known || !n->fresh || !ph->known || !ph->fresh || !t->known || !t->fresh ||
      lw_unionized_ammonia_fraction(&fraction, t->value, ph->value, NULL) != LW_OK) {
    return false;
  }
  *out_mg_l = fraction * n->value;
  return *out_mg_l >= ammonia_harm_mg_l;
}

bool lw_oxygen_is_low(const lw_view *v)
{
  const lw_seen *o = seen(v, LW_OXYGEN);
  return o->known && o->age_day <= OXYGEN_REMEMBERED_DAYS && o->value <= v->facts->program.oxygen_watch_mg_l;
}

bool lw_color_is(const lw_view *v, lw_water_color color)
{
  const lw_seen *c = seen(v, LW_WATER_COLOR);
  return c->known && c->fresh && (int)c->value == (int)color;
}

bool lw_water_is_too_green(const lw_view *v)
{
  const lw_seen *s = seen(v, LW_SECCHI);
  return s->known && s->fresh && s->value < v->facts->program.alarm_m && !lw_color_is(v, LW_BROWN_MUD) &&
         !lw_color_is(v, LW_TEA);
}

int lw_days_since_weed_kill(const lw_view *v)
{
  int days = -1;
  for (size_t i = 0; i < v->facts->treatment_count; i++) {
    const lw_treatment *t = &v->facts->treatments[i];
    if (strcmp(t->purpose, "weed") == 0 && t->day <= v->facts->today) {
      days = v->facts->today - t->day; /* in order of day: the last stands */
    }
  }
  return days;
}
