/* SPDX-License-Identifier: Apache-2.0 */
/* The shape of a water in words and tables. */
#include "cli/commands.h"

#include "work/basin_export.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define ACRE_M2 4046.8564224
#define ACRE_FOOT_M3 1233.48183754752
#define HOLES 5e-4 /* of the area */

enum { WIDTH = 96 };

static const cli_option basin_options[] = {
    {"level", "L", "pool level against full pool, for example \"-1.5 ft\" (a bare number is metres)"},
    {"step", "M", "grid step of the map (default: from the soundings and the area)"},
    {"at", "LAT,LON", "depth at a place, for example 33.1,-86.4"},
    {"thermocline", "D", "volume above and below this depth under the surface"},
    {"shallower", "D", "share of the water shallower than this depth, for weeds"},
    {NULL, NULL, NULL}};

/* "-1.3 ft", "0.25 m" */
static const char *length(double value_m, lw_unit_system units, char out[LW_SHOWN_MAX])
{
  double shown = units == LW_US ? value_m / 0.3048 : value_m;
  return lw_value_shown(value_m == 0 ? 0 : value_m, "m", units == LW_US ? "ft" : "m",
                        fabs(shown) >= 10 ? 3 : 2, out);
}

static const char *area(double value_m2, lw_unit_system units, char out[LW_SHOWN_MAX])
{
  return lw_value_shown(value_m2, "m2", units == LW_US ? "acre" : "ha", 3, out);
}

static const char *volume(double value_m3, lw_unit_system units, char out[LW_SHOWN_MAX])
{
  return lw_value_shown(value_m3, "m3", units == LW_US ? "acre-ft" : "m3", 3, out);
}

/* "(290-335)": the unit is said by the volume before it. */
static const char *interval(const lw_volume *v, lw_unit_system units, char out[LW_SHOWN_MAX])
{
  double unit = units == LW_US ? ACRE_FOOT_M3 : 1;
  char low[LW_NUMBER_MAX];
  char high[LW_NUMBER_MAX];
  (void)snprintf(out, LW_SHOWN_MAX, "%.28s-%.28s", lw_rounded_text(v->low_m3 / unit, 3, low),
                 lw_rounded_text(v->high_m3 / unit, 3, high));
  return out;
}

static void print_pool(lw_text *out, const lw_pool *p, lw_unit_system units, bool all)
{
  char a[LW_SHOWN_MAX];
  char v[LW_SHOWN_MAX];
  char i[LW_SHOWN_MAX];
  char d[LW_SHOWN_MAX];
  lw_text_addf(out, "%s%s, %s (%s, 9 in 10)", area(p->area_m2, units, a), units == LW_US ? "s" : "",
               volume(p->volume.value_m3, units, v), interval(&p->volume, units, i));
  lw_text_addf(out, ", mean %s", length(p->mean_depth_m, units, d));
  if (all) {
    lw_text_addf(out, ", deepest %s", length(p->max_depth_m, units, d));
  }
}

static void print_head(lw_text *out, const lw_basin_sheet *s)
{
  char level[LW_SHOWN_MAX];
  char day[LW_DATE_TEXT];
  lw_text_addf(out, "%s: ", s->water.name);
  print_pool(out, &s->pool, s->units, true);
  if (s->pool.level_m == 0) {
    lw_text_add(out, " (at full pool)\n");
  } else {
    lw_text_addf(out, " (at level %s)\n", length(s->pool.level_m, s->units, level));
  }
  if (s->today_known) {
    lw_text_addf(out, "  Level read %s on %s: ", length(s->today.level_m, s->units, level),
                 lw_date_text(s->today_day, day));
    print_pool(out, &s->today, s->units, true);
    lw_text_add(out, "\n");
  }
}

static void print_asked(lw_text *out, const lw_basin_sheet *s)
{
  char a[LW_SHOWN_MAX];
  char b[LW_SHOWN_MAX];
  char c[LW_SHOWN_MAX];
  if (s->at_asked) {
    lw_text_addf(out, "  Depth at %.6f,%.6f: %s", s->at_latitude, s->at_longitude,
                 s->at_depth_m > 0 ? length(s->at_depth_m, s->units, a) : "dry at this level");
    if (s->at_error_m.known) {
      lw_text_addf(out, ", give or take %s", length(s->at_error_m.value, s->units, b));
    }
    lw_text_add(out, "\n");
  }
  if (s->thermocline_m.known) {
    lw_text_addf(out, "  Above %s: %s; below: %s\n", length(s->thermocline_m.value, s->units, a),
                 volume(s->above_m3, s->units, b), volume(s->below_m3, s->units, c));
  }
  if (s->shallower_m.known) {
    lw_text_addf(out, "  Shallower than %s: %.0f %% of the water, %s\n",
                 length(s->shallower_m.value, s->units, a), 100 * s->shallower_share,
                 area(s->shallower_share * s->pool.area_m2, s->units, b));
  }
}

static void print_how(lw_text *out, const lw_basin_sheet *s)
{
  const lw_basin *basin = &s->bed.basin;
  char a[LW_SHOWN_MAX];
  char b[LW_SHOWN_MAX];
  lw_text_add(out, "\nHow      ");
  cli_fold(out, basin->how, 9, WIDTH);
  lw_text_add(out, "\n");
  if (basin->cross_validated) {
    lw_text_addf(out,
                 "Checked  with whole lines left out, %zu soundings were missed by %s (root mean square),\n"
                 "         %s on average, in %zu parts\n",
                 basin->used, length(basin->rmse_m, s->units, a), length(basin->bias_m, s->units, b),
                 basin->folds);
  }
  lw_text_addf(out, "Shore    %s, %.2f times a circle's; grid step %s\n",
               lw_value_shown(s->shoreline_m, "m", s->units == LW_US ? "ft" : "m", 3, a),
               s->shoreline_development, length(basin->map.frame.step_m, s->units, b));
}

/* No false digits: a row of a table in hundredths of an acre and an acre-foot, of a hectare, in tens of m3.
 */
static double to_least(double value, double least)
{
  return round(value / least) * least;
}

static void print_row(lw_text *out, const lw_pool *p, bool full, lw_unit_system units)
{
  char l[LW_SHOWN_MAX];
  char a[LW_SHOWN_MAX];
  char v[LW_SHOWN_MAX];
  char n[LW_SHOWN_MAX];
  double least_m2 = units == LW_US ? 0.01 * ACRE_M2 : 100;
  double least_m3 = units == LW_US ? 0.01 * ACRE_FOOT_M3 : 10;
  const lw_volume shown = {to_least(p->volume.value_m3, least_m3), to_least(p->volume.low_m3, least_m3),
                           to_least(p->volume.high_m3, least_m3)};
  lw_text_addf(out, "%-10s %-12s %-16s %s\n", full ? "full" : length(p->level_m, units, l),
               area(to_least(p->area_m2, least_m2), units, a), volume(shown.value_m3, units, v),
               interval(&shown, units, n));
}

/* Every row of 1 ft, every other one of 0.25 m. The first and the last always stand. */
static void print_curve(lw_text *out, const lw_basin_sheet *s)
{
  size_t every = lw_basin_row_step_m(&s->bed.basin, s->units) < 0.3 ? 2 : 1;
  lw_text_addf(out, "\n%-10s %-12s %-16s %s\n", "Level", "Area", "Volume", "9 in 10");
  for (size_t i = 0; i < s->curve_count; i++) {
    /* a last hole or two of a few square feet would fill the table with noughts */
    bool holes = s->curve[i].area_m2 < HOLES * s->curve[0].area_m2;
    if ((i % every == 0 && !holes) || i + 1 == s->curve_count) {
      print_row(out, &s->curve[i], i == 0, s->units);
    }
  }
}

static void print_zones(lw_text *out, const lw_basin_sheet *s)
{
  if (s->zone_count) {
    lw_text_addf(out, "\n%-24s %-10s %-12s %-16s %-14s %s\n", "Zone", "Kind", "Area", "Volume", "9 in 10",
                 "Mean depth");
  }
  for (size_t i = 0; i < s->zone_count; i++) {
    const lw_basin_zone *z = &s->zones[i];
    char a[LW_SHOWN_MAX];
    char v[LW_SHOWN_MAX];
    char n[LW_SHOWN_MAX];
    char d[LW_SHOWN_MAX];
    if (z->measured) {
      lw_text_addf(out, "%-24s %-10s %-12s %-16s %-14s %s\n", z->zone.name, z->zone.kind,
                   area(z->area_m2, s->units, a), volume(z->volume.value_m3, s->units, v),
                   interval(&z->volume, s->units, n), length(z->mean_depth_m, s->units, d));
    } else {
      lw_text_addf(out, "%-24s %s\n", z->zone.name, z->zone.kind);
    }
  }
}

static void print_survey(lw_text *out, const lw_basin_sheet *s, const lw_survey *survey)
{
  const lw_survey_tally *tally = lw_basin_tally(s, survey->id);
  char day[LW_DATE_TEXT];
  char level[LW_SHOWN_MAX];
  lw_text_addf(out, "  %s, %s, %.0f soundings", survey->name, lw_date_text(survey->day, day),
               survey->sounding_count);
  if (survey->level_m.known) {
    lw_text_addf(out, ", level %s", length(survey->level_m.value, s->units, level));
  } else {
    lw_text_add(out, ", level not told: full pool assumed");
  }
  if (!survey->used) {
    lw_text_add(out, "; not used\n");
    return;
  }
  lw_text_add(out, "\n");
  for (int f = LW_SOUNDING_GOOD + 1; tally && f < LW_SOUNDING_FLAW_COUNT; f++) {
    if (tally->flaws[f]) {
      lw_text_addf(out, "    %zu set aside: %s\n", tally->flaws[f],
                   lw_sounding_flaw_text((lw_sounding_flaw)f));
    }
  }
}

static void print_sheet(lw_text *out, const lw_basin_sheet *s)
{
  lw_basin_method methods[LW_BASIN_METHODS];
  size_t n = lw_basin_methods(methods, s);
  print_head(out, s);
  print_asked(out, s);
  print_how(out, s);
  print_curve(out, s);
  print_zones(out, s);
  lw_text_add(out, s->survey_count ? "\nSurveys ('survey removed' lists every sounding set aside)\n" : "");
  for (size_t i = 0; i < s->survey_count; i++) {
    print_survey(out, s, &s->surveys[i]);
  }
  lw_text_add(out, "\nSources\n");
  for (size_t i = 0; i < n; i++) {
    lw_text_addf(out, "  %s: ", methods[i].name);
    cli_fold_from(out, methods[i].source, 4 + (int)strlen(methods[i].name), 4, WIDTH);
    lw_text_add(out, "\n");
  }
  lw_text_add(out, "\n! ");
  cli_fold(out, lw_basin_caution, 2, WIDTH);
  lw_text_add(out, "\n");
}

static lw_status run_basin(cli_call *call, lw_error *err)
{
  lw_basin_options options;
  lw_basin_sheet *sheet = LW_NEW(call->desk.arena, lw_basin_sheet, 1);
  const lw_basin_words words = {.level = cli_option_text(call, "level"),
                                .step = cli_option_text(call, "step"),
                                .at = cli_option_text(call, "at"),
                                .thermocline = cli_option_text(call, "thermocline"),
                                .shallower = cli_option_text(call, "shallower")};
  if (!sheet) {
    return lw_fail(err, LW_MEMORY, "no memory for the water's shape");
  }
  lw_status s = lw_basin_options_read(&options, &words, err);
  if (s != LW_OK) {
    return s;
  }
  s = lw_work_basin(sheet, &call->desk, call->arguments[0], 0, &options, err);
  if (s == LW_OK && call->json) {
    s = cli_print_json(call, lw_basin_json(sheet), err);
  } else if (s == LW_OK) {
    print_sheet(call->out, sheet);
  }
  lw_basin_close(sheet);
  return s;
}

const cli_command cli_basin = {
    "basin",       "WATER",  "The shape of a water: area, volume with its range, depths, zones, by level.",
    basin_options, 1,        1,
    CLI_STORE,     run_basin};

static const cli_option export_options[] = {
    {"level", "L", "pool level against full pool, for example \"-1.5 ft\" (a bare number is metres)"},
    {"interval", "D", "between contours, for example \"2 ft\" (default: about ten of them)"},
    {"paper", "letter|a4", "for .svg, .png and .pdf"},
    {NULL, NULL, NULL}};

static lw_status run_export(cli_call *call, lw_error *err)
{
  const char *shown = "";
  const lw_basin_file how = {.level = cli_option_text(call, "level"),
                             .interval = cli_option_text(call, "interval"),
                             .paper = cli_option_text(call, "paper")};
  lw_status s = lw_work_basin_export(&shown, &call->desk, call->arguments[0], call->arguments[1], &how, err);
  if (s != LW_OK || call->json) {
    return s == LW_OK
               ? cli_print_json(call, json_pack("{s:s,s:s}", "file", call->arguments[1], "shown", shown), err)
               : s;
  }
  lw_text_addf(call->out, "%s\n%s\n", shown, lw_basin_caution);
  return LW_OK;
}

const cli_command cli_basin_export = {"basin export",
                                      "WATER FILE",
                                      "Write the depth map (.tif), contours (.geojson .gpkg .kml .gpx), "
                                      "curve (.csv) or a map (.svg .png .pdf).",
                                      export_options,
                                      2,
                                      2,
                                      CLI_STORE,
                                      run_export};
