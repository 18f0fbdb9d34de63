/* SPDX-License-Identifier: Apache-2.0 */
#include "base/method.h"
#include "basin/slices.h"

lw_status lw_mean_depth_m(double *out, const double *soundings_m, size_t count, lw_error *err)
{
  if (count == 0) {
    return lw_fail(err, LW_INVALID, "soundings need at least one depth");
  }
  double sum = 0;
  for (size_t i = 0; i < count; i++) {
    if (!(soundings_m[i] >= 0 && soundings_m[i] <= LW_BASIN_DEPTH_MAX_M)) {
      return lw_fail(err, LW_INVALID, "sounding %zu must lie between 0 and 500 m", i + 1);
    }
    sum += soundings_m[i];
  }
  *out = sum / (double)count;
  return LW_OK;
}

static lw_status evaluate(const lw_argument *a, lw_result *r, lw_error *err)
{
  lw_status s = lw_mean_depth_m(&r[0].value, a[0].list, a[0].list_count, err);
  r[0].known = s == LW_OK;
  if (s == LW_OK && a[1].given) {
    r[1].known = true;
    r[1].value = r[0].value * a[1].number;
  }
  return s;
}

const lw_method lw_method_mean_depth = {
    .name = "mean-depth",
    .title = "Mean depth from soundings",
    .purpose = "The mean depth of a pond from depths read with a rope or pole along lines from bank to bank, "
               "and its volume when the surface is known.",
    .formula = "mean depth = sum of soundings / number of soundings; volume = area x mean depth",
    .source = "Texas Parks & Wildlife, Estimating the Size of Your Pond; Higginbotham, The Tale of the Tape: "
              "Measuring Pond Surface Area and Volume, Texas Cooperative Extension; Taube 2000, Michigan DNR "
              "Special Report 25, ch. 12, method 3",
    .basis = "read",
    .limits =
        "Only for soundings evenly spaced over the water (30 to 50 feet apart is usual), with the zeros "
        "where each line begins and ends at the shore; without them the mean is too great. For depths "
        "read here and there, draw the basin instead.",
    .inputs = {{.name = "soundings",
                .meaning = "depths, evenly spaced, zeros at the shore among them",
                .kind = LW_INPUT_LIST,
                .unit = "m",
                .low = 0,
                .high = LW_BASIN_DEPTH_MAX_M},
               {.name = "area",
                .meaning = "water surface",
                .unit = "m2",
                .low = 0,
                .high = LW_BASIN_AREA_MAX_M2,
                .optional = true}},
    .outputs = {{"mean-depth", "mean depth", "m"}, {"volume", "area x mean depth", "m3"}},
    .evaluate = evaluate,
};
