/* SPDX-License-Identifier: Apache-2.0 */
#include "base/method.h"
#include "water/check.h"
#include "water/flow.h"

#define VOLUME_MAX_M3 1e11
#define OUTFLOW_MIN_M3_S 1e-9
#define OUTFLOW_MAX_M3_S 1e5
#define SECONDS_PER_DAY 86400.0

lw_status lw_retention_days(double *out, double volume_m3, double outflow_m3_s, lw_error *err)
{
  lw_status s = lw_within("volume", volume_m3, 0, VOLUME_MAX_M3, "m3", err);
  if (s == LW_OK) {
    s = lw_within("outflow", outflow_m3_s, 0, OUTFLOW_MAX_M3_S, "m3/s", err);
  }
  if (s == LW_OK && outflow_m3_s < OUTFLOW_MIN_M3_S) {
    s = lw_fail(err, LW_INVALID,
                "outflow is 0, so water stays until it evaporates or seeps away and has no retention "
                "time; give the mean outflow of a month in which some leaves");
  }
  if (s == LW_OK) {
    *out = volume_m3 / outflow_m3_s / SECONDS_PER_DAY;
  }
  return s;
}

static lw_status evaluate(const lw_argument *a, lw_result *r, lw_error *err)
{
  r[0].known = true;
  return lw_retention_days(&r[0].value, a[0].number, a[1].number, err);
}

const lw_method lw_method_retention = {
    .name = "retention",
    .title = "How long water stays",
    .purpose = "The mean stay of water in a lake, month by month, to compare with the three to four weeks "
               "a bloom or lime needs.",
    .formula = "time = volume / outflow",
    .source = "definition of hydraulic residence time",
    .basis = "computed",
    .limits = "A mean: part of the inflow may run straight to the spillway. Under 3 to 4 weeks, feed and "
              "lime are washed out (from memory, Boyd).",
    .inputs =
        {{.name = "volume", .meaning = "volume of the water", .unit = "m3", .low = 0, .high = VOLUME_MAX_M3},
         {.name = "outflow", .meaning = "mean outflow", .unit = "m3/s", .low = 0, .high = OUTFLOW_MAX_M3_S}},
    .outputs = {{"time", "mean stay", "day"}},
    .evaluate = evaluate,
};
