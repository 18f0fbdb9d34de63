/* SPDX-License-Identifier: Apache-2.0 */
#include "base/method.h"
#include "water/check.h"
#include "water/light.h"

#include <math.h>

lw_status lw_light_attenuation(double *out_per_m, double *out_one_percent_m, double secchi_m, double factor,
                               lw_error *err)
{
  lw_status s = lw_within("secchi", secchi_m, 0.01, 100, "m", err);
  if (s == LW_OK) {
    s = lw_within("factor", factor, 0.5, 5, "", err);
  }
  if (s == LW_OK) {
    *out_per_m = factor / secchi_m;
    *out_one_percent_m = log(100.0) / *out_per_m;
  }
  return s;
}

static lw_status evaluate(const lw_argument *a, lw_result *r, lw_error *err)
{
  r[0].known = r[1].known = true;
  return lw_light_attenuation(&r[0].value, &r[1].value, a[0].number, a[1].number, err);
}

const lw_method lw_method_light_attenuation = {
    .name = "light-attenuation",
    .title = "Light under water",
    .purpose = "How fast light fades with depth and where 1 % of it is left, about the depth to which "
               "plants and algae gain.",
    .formula = "k = factor / secchi; depth of 1 % = ln(100) / k",
    .source = "factor 1.7: Poole & Atkins 1929, J. Mar. Biol. Ass. U.K. 16:297; 1.44 in turbid water: "
              "Holmes 1970, Limnol. Oceanogr. 15:688 (both second hand); Beer's law",
    .basis = "read",
    .limits = "The factor runs from about 1.4 in muddy or very green water to 1.7 in clear water; ponds "
              "lie between.",
    .inputs = {{.name = "secchi", .meaning = "disk depth", .unit = "m", .low = 0.01, .high = 100},
               {.name = "factor",
                .meaning = "attenuation x disk depth; 1.7 clear, 1.44 turbid",
                .unit = "1",
                .low = 0.5,
                .high = 5,
                .optional = true,
                .has_default = true,
                .fallback = LW_LIGHT_FACTOR_CLEAR}},
    .outputs = {{"attenuation", "attenuation of light", "1/m"},
                {"depth-one-percent", "depth with 1 % of the surface light", "m"}},
    .evaluate = evaluate,
};
