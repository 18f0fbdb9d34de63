/* SPDX-License-Identifier: Apache-2.0 */
#include "base/method.h"
#include "basin/slices.h"

lw_status lw_end_areas_volume_m3(double *out, const double *areas_m2, const double *depths_m, size_t count,
                                 lw_error *err)
{
  lw_status s = lw_slices_check(areas_m2, depths_m, count, err);
  if (s != LW_OK) {
    return s;
  }
  double volume = 0;
  for (size_t i = 1; i < count; i++) {
    volume += (depths_m[i] - depths_m[i - 1]) * (areas_m2[i - 1] + areas_m2[i]) / 2;
  }
  *out = volume;
  return LW_OK;
}

static lw_status evaluate(const lw_argument *a, lw_result *r, lw_error *err)
{
  if (a[0].list_count != a[1].list_count) {
    return lw_fail(err, LW_INVALID, "areas has %zu values and depths %zu; give one depth for each area",
                   a[0].list_count, a[1].list_count);
  }
  r[0].known = true;
  return lw_end_areas_volume_m3(&r[0].value, a[0].list, a[1].list, a[0].list_count, err);
}

const lw_method lw_method_basin_end_areas = {
    .name = "basin-end-areas",
    .title = "Volume from contour areas, by average end areas",
    .purpose = "The volume of a pond or reservoir from the areas inside its depth contours as engineers "
               "reckon it: for comparing with a dam's papers.",
    .formula = "V = sum of H (A1 + A2) / 2 over the slices",
    .source = "Taube 2000, Three Methods for Computing the Volume of a Lake, ch. 12 in Schneider, Manual "
              "of Fisheries Survey Methods II, Michigan DNR Special Report 25, method 2 (its formula from "
              "memory); a stormwater pond calculation on public file in Minnesota (2008) is reproduced to "
              "the cubic foot",
    .basis = "memory",
    .limits = "Gives more than the slices of a cone (basin-slices), most of all where a slice shrinks fast: "
              "half as much again for the last slice down to a point.",
    .inputs = {{.name = "areas",
                .meaning = "area inside each contour, from the top",
                .kind = LW_INPUT_LIST,
                .unit = "m2",
                .low = 0,
                .high = LW_BASIN_AREA_MAX_M2},
               {.name = "depths",
                .meaning = "depth of each contour, growing",
                .kind = LW_INPUT_LIST,
                .unit = "m",
                .low = 0,
                .high = LW_BASIN_DEPTH_MAX_M}},
    .outputs = {{"volume", "volume between the first and the last contour", "m3"}},
    .evaluate = evaluate,
};
