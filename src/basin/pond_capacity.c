/* SPDX-License-Identifier: Apache-2.0 */
#include "base/method.h"
#include "basin/shape.h"
#include "basin/shape_check.h"

#define FULLNESS 0.4

lw_status lw_pond_capacity_m3(double *out, double area_m2, double max_depth_m, lw_error *err)
{
  lw_status s = lw_shape_check("area", area_m2, LW_SHAPE_AREA_MAX_M2, "m2", err);
  if (s == LW_OK) {
    s = lw_shape_check("max-depth", max_depth_m, LW_SHAPE_DEPTH_MAX_M, "m", err);
  }
  if (s == LW_OK) {
    *out = FULLNESS * max_depth_m * area_m2;
  }
  return s;
}

static lw_status evaluate(const lw_argument *a, lw_result *r, lw_error *err)
{
  r[0].known = true;
  return lw_pond_capacity_m3(&r[0].value, a[0].number, a[1].number, err);
}

const lw_method lw_method_pond_capacity = {
    .name = "pond-capacity",
    .title = "Volume of a dammed pond, roughly",
    .purpose = "A first estimate of a dammed pond's volume from its surface and the depth at the dam, until "
               "it is sounded.",
    .formula = "volume = 0.4 x greatest depth x area",
    .source = "USDA NRCS Agriculture Handbook 590 (1997), Ponds: Planning, Design, Construction, pond "
              "capacity",
    .basis = "memory",
    .limits = "Dammed valleys only; dug ponds hold more. A rough figure: sound the pond before dosing by "
              "volume.",
    .inputs =
        {{.name = "area", .meaning = "water surface", .unit = "m2", .low = 0, .high = LW_SHAPE_AREA_MAX_M2},
         {.name = "max-depth",
          .meaning = "greatest depth, at the dam",
          .unit = "m",
          .low = 0,
          .high = LW_SHAPE_DEPTH_MAX_M}},
    .outputs = {{"volume", "capacity", "m3"}},
    .evaluate = evaluate,
};
