/* SPDX-License-Identifier: Apache-2.0 */
#include "work/basin.h"

#include "base/text.h"
#include "base/units.h"

#include <math.h>

static const double level_lowest_m = -500;
static const double level_highest_m = 30; /* as for readings of the level */
static const double depth_most_m = 500;
static const double step_least_m = 0.1;
static const double step_most_m = 1000;

static lw_status read_within(double *out, const char *name, const char *text, double low, double high,
                             const char *for_example, lw_error *err)
{
  lw_status s = lw_quantity_parse(out, name, text, "m", err);
  if (s == LW_OK && !(*out >= low && *out <= high)) {
    s = lw_fail(err, LW_INVALID, "%s: '%.40s' is outside %g to %g m; write for example \"%s\"", name, text,
                low, high, for_example);
  }
  return s;
}

static lw_status read_depth(lw_maybe *out, const char *name, const char *text, lw_error *err)
{
  double value = 0;
  lw_status s = text ? read_within(&value, name, text, 0, depth_most_m, "9 ft", err) : LW_OK;
  *out = text && s == LW_OK ? lw_known(value) : (lw_maybe){.known = false};
  return s;
}

static lw_status read_place(lw_basin_options *out, const char *text, lw_error *err)
{
  const char *p = NULL;
  double latitude = 0;
  double longitude = 0;
  bool ok = lw_read_number(text, false, &latitude, &p) && *p == ',';
  if (ok) {
    p++;
    p += *p == ' ';
    ok = lw_read_number(p, false, &longitude, &p) && *p == '\0';
  }
  if (!ok || fabs(latitude) > 90 || fabs(longitude) > 180) {
    return lw_fail(err, LW_INVALID,
                   "at: '%.60s' is not latitude,longitude in degrees; write for example 33.1,-86.4", text);
  }
  out->latitude = lw_known(latitude);
  out->longitude = lw_known(longitude);
  return LW_OK;
}

lw_status lw_basin_options_read(lw_basin_options *out, const lw_basin_words *words, lw_error *err)
{
  *out = (lw_basin_options){.level_m = 0};
  lw_status s = words->level ? read_within(&out->level_m, "level", words->level, level_lowest_m,
                                           level_highest_m, "-1.5 ft", err)
                             : LW_OK;
  if (s == LW_OK && words->step) {
    s = read_within(&out->step_m, "step", words->step, step_least_m, step_most_m, "5 m", err);
  }
  s = s == LW_OK && words->at ? read_place(out, words->at, err) : s;
  s = s == LW_OK ? read_depth(&out->thermocline_m, "thermocline", words->thermocline, err) : s;
  return s == LW_OK ? read_depth(&out->shallower_m, "shallower", words->shallower, err) : s;
}
