/* SPDX-License-Identifier: Apache-2.0 */
#include "base/method.h"
#include "basin/shape.h"
#include "basin/shape_check.h"

#define PI 3.14159265358979323846

lw_status lw_circle_area_m2(double *out, double shoreline_m, lw_error *err)
{
  lw_status s = lw_shape_check("shoreline", shoreline_m, LW_SHAPE_LENGTH_MAX_M, "m", err);
  if (s == LW_OK) {
    *out = shoreline_m * shoreline_m / (4.0 * PI);
  }
  return s;
}

static lw_status evaluate(const lw_argument *a, lw_result *r, lw_error *err)
{
  r[0].known = true;
  return lw_circle_area_m2(&r[0].value, a[0].number, err);
}

const lw_method lw_method_circle_area = {
    .name = "circle-area",
    .title = "Area of a round pond",
    .purpose = "The surface of a nearly round pond from pacing its shoreline.",
    .formula = "area = shoreline^2 / (4 pi); in acres and feet, shoreline^2 / 547,391",
    .source = "Texas Parks & Wildlife, Estimating the Size of Your Pond (divides by 547,390)",
    .basis = "read",
    .limits = "The circle holds the most area for its shoreline: any other shape is smaller, so a dose from "
              "this is on the high side.",
    .inputs = {{.name = "shoreline",
                .meaning = "length of the shoreline",
                .unit = "m",
                .low = 0,
                .high = LW_SHAPE_LENGTH_MAX_M}},
    .outputs = {{"area", "water surface", "m2"}},
    .evaluate = evaluate,
};
