/* SPDX-License-Identifier: Apache-2.0 */
#include "basin/slices.h"

#include "base/method.h"
#include "base/text.h"

#include <math.h>

/* One contour against the one above it. `i` counts from 0. */
static lw_status check_contour(const double *areas_m2, const double *depths_m, size_t i, lw_error *err)
{
  if (!(areas_m2[i] >= 0 && areas_m2[i] <= LW_BASIN_AREA_MAX_M2) ||
      !(depths_m[i] >= 0 && depths_m[i] <= LW_BASIN_DEPTH_MAX_M)) {
    return lw_fail(err, LW_INVALID,
                   "contour %zu: area must lie between 0 and 1000000000 m2 and depth between 0 and 500 m",
                   i + 1);
  }
  char above[LW_NUMBER_MAX];
  char here[LW_NUMBER_MAX];
  if (i > 0 && depths_m[i] <= depths_m[i - 1]) {
    return lw_fail(err, LW_INVALID,
                   "depths must grow from the top: number %zu is %s m after %s m; list the contours "
                   "downwards, each once",
                   i + 1, lw_rounded_text(depths_m[i], 6, here), lw_rounded_text(depths_m[i - 1], 6, above));
  }
  if (i > 0 && areas_m2[i] > areas_m2[i - 1]) {
    return lw_fail(err, LW_INVALID,
                   "areas must not grow downwards: number %zu is %s m2 under %s m2; check the order of "
                   "the two lists",
                   i + 1, lw_rounded_text(areas_m2[i], 6, here), lw_rounded_text(areas_m2[i - 1], 6, above));
  }
  return LW_OK;
}

lw_status lw_slices_check(const double *areas_m2, const double *depths_m, size_t count, lw_error *err)
{
  if (count < 2) {
    return lw_fail(err, LW_INVALID,
                   "areas and depths need at least two contours, the surface and one below it");
  }
  lw_status s = LW_OK;
  for (size_t i = 0; s == LW_OK && i < count; i++) {
    s = check_contour(areas_m2, depths_m, i, err);
  }
  return s;
}

lw_status lw_slices_volume_m3(double *out, const double *areas_m2, const double *depths_m, size_t count,
                              lw_error *err)
{
  lw_status s = lw_slices_check(areas_m2, depths_m, count, err);
  if (s != LW_OK) {
    return s;
  }
  double volume = 0;
  for (size_t i = 1; i < count; i++) {
    double a = areas_m2[i - 1];
    double b = areas_m2[i];
    volume += (depths_m[i] - depths_m[i - 1]) / 3.0 * (a + b + sqrt(a * b));
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
  return lw_slices_volume_m3(&r[0].value, a[0].list, a[1].list, a[0].list_count, err);
}

const lw_method lw_method_basin_slices = {
    .name = "basin-slices",
    .title = "Volume from contour areas",
    .purpose = "The volume of a lake from the areas inside its depth contours, the base of every dose "
               "by volume and of the time water stays.",
    .formula = "V = sum of H / 3 (A1 + A2 + sqrt(A1 A2)) over the slices",
    .source = "Taube 2000, Three Methods for Computing the Volume of a Lake, ch. 12 in Schneider, Manual "
              "of Fisheries Survey Methods II, Michigan DNR Special Report 25, method 1",
    .basis = "read",
    .limits = "Only between the first and the last contour: begin with the surface at depth 0 and end with "
              "area 0 at the deepest point, or that part is missing. Few contours round off a steep "
              "basin.",
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
