/* SPDX-License-Identifier: Apache-2.0 */
#include "advice/latest.h"

#include <ctype.h>
#include <string.h>

/* The feeding window by calendar, north of the equator; the temperature decides inside it. Alabama
 * leaflets begin in late February and end in November; practice runs to the end of October. */
static const char default_start[] = "02-20";
static const char default_end[] = "10-31";

enum { SURFACE_CM = 100, HALF_YEAR = 182, SEASON_LEAST = 30 };

static bool near_surface(const lw_reading *r)
{
  return !r->depth_m.known || r->depth_m.value <= SURFACE_CM / 100.0;
}

/* The newest by day; within a day the later entry wins. */
static const lw_reading *find_newest(const lw_case *facts, lw_quantity_id quantity)
{
  const lw_reading *newest = NULL;
  for (size_t i = 0; i < facts->reading_count; i++) {
    const lw_reading *r = &facts->readings[i];
    if (r->day <= facts->today && near_surface(r) && strcmp(r->quantity, lw_quantities[quantity].name) == 0 &&
        (!newest || r->day >= newest->day)) {
      newest = r;
    }
  }
  return newest;
}

static lw_seen seen_from(const lw_reading *r, lw_day today, double fresh_day)
{
  if (!r) {
    return (lw_seen){.day = LW_NO_DAY};
  }
  int age = today - r->day;
  return (lw_seen){
      .known = true, .fresh = age <= fresh_day, .value = r->value, .day = r->day, .age_day = age};
}

static double fresh_days(const lw_program *p, lw_quantity_id quantity)
{
  switch (quantity) {
  case LW_SECCHI:
    return p->secchi_fresh_day;
  case LW_WATER_COLOR:
    return p->color_fresh_day;
  case LW_TEMPERATURE:
  case LW_PH:
  case LW_AMMONIA:
    return p->temperature_fresh_day;
  case LW_WEED_COVER:
    return p->weed_fresh_day;
  case LW_OUTFLOW:
  case LW_LEVEL: /* both follow the rain */
    return p->outflow_fresh_day;
  case LW_OXYGEN:
    return p->oxygen_fresh_day;
  default:
    return p->chemistry_fresh_day;
  }
}

const lw_material *lw_case_material(const lw_case *facts, lw_id material)
{
  for (size_t i = 0; i < facts->stock_count; i++) {
    if (facts->stock[i].material->id == material) {
      return facts->stock[i].material;
    }
  }
  return NULL;
}

/* A column of the table with the pool `down_m` below full; above full pool as at full. */
static double at_level(const double *column, const lw_depth_table *table, double down_m)
{
  double row = table->deepest_m > 0 ? down_m / table->deepest_m * (LW_DEPTH_ROWS - 1) : 0;
  if (!(row > 0)) {
    return column[0];
  }
  if (row >= LW_DEPTH_ROWS - 1) {
    return column[LW_DEPTH_ROWS - 1];
  }
  size_t k = (size_t)row;
  return column[k] + (row - (double)k) * (column[k + 1] - column[k]);
}

/* Measured: area and volume of the depth map at today's level. Above full pool the shore is taken as
 * upright. A pool that has run dry has no size: the rules then ask. */
static void find_measured(lw_latest *out, const lw_depth_table *table)
{
  const lw_seen *level = &out->seen[LW_LEVEL];
  double down = level->known && level->fresh ? -level->value : 0;
  double area = at_level(table->area_m2, table, down);
  double above = down < 0 ? -down * area : 0;
  double volume = at_level(table->volume_m3, table, down) + above;
  out->from_map = true;
  out->pool_level_m = -down;
  out->area_from = out->volume_from = table->from;
  if (area > 0 && volume > 0) {
    out->area_m2 = lw_known(area);
    out->volume_m3 = lw_known(volume);
    out->mean_depth_m = lw_known(volume / area);
    out->volume_low_m3 = lw_known(at_level(table->low_m3, table, down) + above);
    out->volume_high_m3 = lw_known(at_level(table->high_m3, table, down) + above);
  }
}

static void find_told(lw_latest *out, const lw_water *w, bool unusable)
{
  if (w->area_m2.known) {
    out->area_m2 = w->area_m2;
    out->area_from = "as given";
  } else if (w->outline_area_m2.known) {
    out->area_m2 = w->outline_area_m2;
    out->area_from = "outline";
  }
  if (w->mean_depth_m.known) {
    out->mean_depth_m = w->mean_depth_m;
    out->volume_from = unusable ? "area x mean depth as given; the soundings cannot be used, 'basin' says why"
                                : "area x mean depth as given";
  } else if (w->max_depth_m.known) {
    /* USDA Agriculture Handbook 590: capacity of a dammed pond = 0.4 x greatest depth x area */
    out->mean_depth_m = lw_known(0.4 * w->max_depth_m.value);
    out->volume_from = unusable ? "0.4 x greatest depth x area (USDA AH-590); the soundings cannot be used, "
                                  "'basin' says why"
                                : "0.4 x greatest depth x area (USDA AH-590)";
  }
  if (out->area_m2.known && out->mean_depth_m.known) {
    out->volume_m3 = lw_known(out->area_m2.value * out->mean_depth_m.value);
  }
}

static void find_size(lw_latest *out, const lw_case *facts)
{
  if (facts->depths) {
    find_measured(out, facts->depths);
  } else {
    find_told(out, facts->water, facts->depths_fault != NULL);
  }
}

const char *lw_volume_words(const lw_latest *latest)
{
  return latest->from_map ? " (volume from the depth map)" : "";
}

lw_maybe lw_share_shallower(const lw_latest *latest, const lw_case *facts, double depth_m)
{
  const lw_depth_table *table = facts->depths;
  if (!latest->from_map || !latest->area_m2.known || !table) {
    return (lw_maybe){.known = false};
  }
  double deeper = at_level(table->area_m2, table, depth_m - latest->pool_level_m);
  double share = 1 - deeper / latest->area_m2.value;
  return lw_known(share > 0 ? share : 0);
}

static void find_retention(lw_latest *out, const lw_water *w)
{
  const lw_seen *flow = &out->seen[LW_OUTFLOW];
  out->outflow_m3_s = flow->known && flow->fresh ? lw_known(flow->value) : w->outflow_m3_s;
  if (out->volume_m3.known && out->outflow_m3_s.known && out->outflow_m3_s.value > 0) {
    out->retention_day = lw_known(out->volume_m3.value / out->outflow_m3_s.value / 86400.0);
  }
}

/* "04-20", as the store keeps it; anything else is 1 January. */
static lw_civil read_month_day(const char *text, int year)
{
  lw_civil c = {.year = year, .month = 1, .day = 1};
  if (strlen(text) == 5 && isdigit((unsigned char)text[0]) && isdigit((unsigned char)text[1]) &&
      isdigit((unsigned char)text[3]) && isdigit((unsigned char)text[4])) {
    c.month = (text[0] - '0') * 10 + (text[1] - '0');
    c.day = (text[3] - '0') * 10 + (text[4] - '0');
  }
  return c;
}

/* `text` in `year`; 29 February falls on the 28th where there is none. */
static lw_day on_year(const char *text, int year, bool south)
{
  lw_civil c = read_month_day(text, year);
  int longest = lw_days_in_month(year, c.month);
  c.day = c.day > longest ? longest : c.day;
  lw_day d = lw_day_from_civil(c);
  return south ? d + HALF_YEAR : d;
}

static void find_season(lw_latest *out, const lw_case *facts)
{
  const lw_water *w = facts->water;
  bool own_start = w->season_start && *w->season_start;
  bool own_end = w->season_end && *w->season_end;
  bool south = w->latitude.known && w->latitude.value < 0;
  const char *start = own_start ? w->season_start : default_start;
  const char *end = own_end ? w->season_end : default_end;
  int year = lw_civil_from_day(facts->today).year;
  for (int y = year - 1; y <= year + 1; y++) {
    out->season_start = on_year(start, y, south && !own_start);
    out->season_end = on_year(end, y, south && !own_end);
    if (out->season_end < out->season_start) { /* over the turn of the year */
      out->season_end = on_year(end, y + 1, south && !own_end);
    }
    if (facts->today <= out->season_end) {
      break;
    }
  }
  out->in_season = facts->today >= out->season_start && facts->today <= out->season_end;
}

static void find_doses(lw_latest *out, const lw_case *facts)
{
  out->last_feed = out->first_feed = out->last_lime = LW_NO_DAY;
  for (size_t i = 0; i < facts->treatment_count; i++) {
    const lw_treatment *t = &facts->treatments[i];
    if (t->day > facts->today) {
      continue;
    }
    if (strcmp(t->purpose, "lime") == 0) {
      out->last_lime = t->day;
    } else if (strcmp(t->purpose, "feed") == 0 && t->day >= out->season_start - SEASON_LEAST) {
      out->feed_doses += t->day != out->last_feed; /* two loads on one day are one dose */
      out->first_feed = out->first_feed == LW_NO_DAY ? t->day : out->first_feed;
      out->last_feed = t->day;
      out->last_feed_treatment = t;
    }
  }
}

void lw_latest_find(lw_latest *out, const lw_case *facts)
{
  *out = (lw_latest){.area_from = "", .volume_from = ""};
  for (int q = 0; q < LW_QUANTITY_COUNT; q++) {
    lw_quantity_id quantity = (lw_quantity_id)q;
    out->seen[q] =
        seen_from(find_newest(facts, quantity), facts->today, fresh_days(&facts->program, quantity));
  }
  find_size(out, facts);
  find_retention(out, facts->water);
  find_season(out, facts);
  find_doses(out, facts);
}
