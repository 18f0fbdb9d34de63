/* SPDX-License-Identifier: Apache-2.0 */
#include "base/method.h"
#include "basin/shape.h"
#include "basin/shape_check.h"

lw_status lw_rectangle_area_m2(double *out, double length_m, double width_m, lw_error *err)
{
  lw_status s = lw_shape_check("length", length_m, LW_SHAPE_LENGTH_MAX_M, "m", err);
  if (s == LW_OK) {
    s = lw_shape_check("width", width_m, LW_SHAPE_LENGTH_MAX_M, "m", err);
  }
  if (s == LW_OK) {
    *out = length_m * width_m;
  }
  return s;
}

static lw_status evaluate(const lw_argument *a, lw_result *r, lw_error *err)
{
  r[0].known = true;
  return lw_rectangle_area_m2(&r[0].value, a[0].number, a[1].number, err);
}

const lw_method lw_method_rectangle_area = {
    .name = "rectangle-area",
    .title = "Area of a rectangular pond",
    .purpose = "The surface of a nearly rectangular pond from its two sides.",
    .formula = "area = length x width",
    .source = "Texas Parks & Wildlife, Estimating the Size of Your Pond",
    .basis = "read",
    .limits = "Rounded corners and a narrowing end make the pond smaller than this.",
    .inputs =
        {{.name = "length", .meaning = "longer side", .unit = "m", .low = 0, .high = LW_SHAPE_LENGTH_MAX_M},
         {.name = "width", .meaning = "shorter side", .unit = "m", .low = 0, .high = LW_SHAPE_LENGTH_MAX_M}},
    .outputs = {{"area", "water surface", "m2"}},
    .evaluate = evaluate,
};
