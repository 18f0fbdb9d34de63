/* SPDX-License-Identifier: Apache-2.0 */
#include "base/method.h"
#include "basin/shape.h"
#include "basin/shape_check.h"
#include "basin/shore.h"

#include <math.h>

#define PI 3.14159265358979323846

lw_status lw_shore_development(double *out, double area_m2, double length_m, lw_error *err)
{
  lw_status s = lw_shape_check("area", area_m2, LW_SHAPE_AREA_MAX_M2, "m2", err);
  if (s == LW_OK) {
    s = lw_shape_check("shoreline", length_m, LW_SHAPE_SHORE_MAX_M, "m", err);
  }
  if (s != LW_OK) {
    return s;
  }
  if (!(area_m2 >= LW_SHAPE_AREA_LEAST_M2)) {
    return lw_fail(err, LW_INVALID,
                   "area must be at least 1 m2 for a shoreline development; give the water "
                   "surface");
  }
  double index = length_m / (2.0 * sqrt(PI * area_m2));
  if (index < 1 - 1e-3) {
    return lw_fail(err, LW_INVALID,
                   "shoreline is shorter than that of a circle of this area (%.1f m), which no water can be; "
                   "check both numbers and their units",
                   2.0 * sqrt(PI * area_m2));
  }
  *out = index;
  return LW_OK;
}

static lw_status evaluate(const lw_argument *a, lw_result *r, lw_error *err)
{
  r[0].known = true;
  return lw_shore_development(&r[0].value, a[1].number, a[0].number, err);
}

const lw_method lw_method_shoreline_development = {
    .name = "shoreline-development",
    .title = "Shoreline development",
    .purpose = "How much more shore a water has than a round one of the same size: much shore means much "
               "shallow water for weeds, fry and runoff.",
    .formula = "D = shoreline / (2 sqrt(pi area))",
    .source = "Spellman & Whiting 2014, Handbook of Mathematics and Statistics for the Environment, CRC "
              "Press, eq. 20.3; after Hutchinson 1957, A Treatise on Limnology I (from memory)",
    .basis = "read",
    .limits = "The length of a shore grows with the detail of its outline: compare only waters drawn alike. "
              "Islands' shores count here.",
    .inputs = {{.name = "shoreline",
                .meaning = "length of the shoreline",
                .unit = "m",
                .low = 0,
                .high = LW_SHAPE_SHORE_MAX_M},
               {.name = "area",
                .meaning = "water surface",
                .unit = "m2",
                .low = LW_SHAPE_AREA_LEAST_M2,
                .high = LW_SHAPE_AREA_MAX_M2}},
    .outputs = {{"development", "shoreline against a circle's of the same area; 1 is a circle", "1"}},
    .evaluate = evaluate,
};
