/* SPDX-License-Identifier: Apache-2.0 */
#include "base/method.h"
#include "water/check.h"
#include "water/oxygen.h"

#include <math.h>

#define FAO_SEA_LEVEL_KPA 101.3

lw_status lw_air_pressure_kpa(double *out, double elevation_m, lw_error *err)
{
  lw_status s = lw_within("elevation", elevation_m, LW_ELEVATION_LOW_M, LW_ELEVATION_HIGH_M, "m", err);
  if (s == LW_OK) {
    *out = FAO_SEA_LEVEL_KPA * pow((293.0 - 0.0065 * elevation_m) / 293.0, 5.26);
  }
  return s;
}

static lw_status evaluate(const lw_argument *a, lw_result *r, lw_error *err)
{
  r[0].known = true;
  return lw_air_pressure_kpa(&r[0].value, a[0].number, err);
}

const lw_method lw_method_air_pressure = {
    .name = "air-pressure",
    .title = "Air pressure from elevation",
    .purpose = "The usual air pressure at a water's elevation, for oxygen and evaporation.",
    .formula = "P = 101.3 ((293 - 0.0065 z) / 293)^5.26",
    .source = "Allen et al. 1998, FAO Irrigation and Drainage Paper 56, eq. 7, p. 31",
    .basis = "read",
    .limits = "A mean for 20 degC at sea level; weather moves the day's pressure about it.",
    .inputs = {{.name = "elevation",
                .meaning = "height above sea level",
                .unit = "m",
                .low = LW_ELEVATION_LOW_M,
                .high = LW_ELEVATION_HIGH_M}},
    .outputs = {{"pressure", "air pressure", "kPa"}},
    .evaluate = evaluate,
};
