/* SPDX-License-Identifier: Apache-2.0 */
#include "base/method.h"
#include "water/ammonia.h"
#include "water/check.h"

#include <math.h>

#define TEMPERATURE_MAX_C 50.0
#define TOTAL_MAX_MG_L 1000.0

lw_status lw_unionized_ammonia_fraction(double *out, double temperature_c, double ph, lw_error *err)
{
  lw_status s = lw_within("temperature", temperature_c, 0, TEMPERATURE_MAX_C, "degC", err);
  if (s == LW_OK) {
    s = lw_within("ph", ph, 0, 14, "", err);
  }
  if (s == LW_OK) {
    double pka = 0.09018 + 2729.92 / (temperature_c + 273.15);
    *out = 1.0 / (1.0 + pow(10.0, pka - ph));
  }
  return s;
}

static lw_status evaluate(const lw_argument *a, lw_result *r, lw_error *err)
{
  r[0].known = true;
  lw_status s = lw_unionized_ammonia_fraction(&r[0].value, a[0].number, a[1].number, err);
  if (s == LW_OK && a[2].given) {
    r[1] = (lw_result){true, r[0].value * a[2].number};
  }
  return s;
}

const lw_method lw_method_unionized_ammonia = {
    .name = "unionized-ammonia",
    .title = "Poisonous part of ammonia",
    .purpose = "How much of the total ammonia is the un-ionized form that harms fish; it rises steeply "
               "with pH, so test in the afternoon.",
    .formula = "pKa = 0.09018 + 2729.92 / T; fraction = 1 / (1 + 10^(pKa - pH)); T in K",
    .source = "Emerson, Russo, Lund & Thurston 1975, J. Fish. Res. Board Can. 32:2379; table: Univ. "
              "Florida IFAS FA16, Table 1",
    .basis = "read",
    .limits = "Fresh water. The answer counts as nitrogen or as ammonia just as the test did. May harm "
              "fish above 0.05 mg/L (FA16, Fig. 2). Test kits after Trussell 1972 read up to 2.5 % "
              "lower; the printed FA16 row of pH 7.0 is up to 2 % off the formula.",
    .inputs =
        {{.name = "temperature",
          .meaning = "water temperature",
          .unit = "degC",
          .low = 0,
          .high = TEMPERATURE_MAX_C},
         {.name = "ph", .meaning = "pH of the water at the same hour", .unit = "1", .low = 0, .high = 14},
         {.name = "total-ammonia",
          .meaning = "total ammonia of the test",
          .unit = "mg/L",
          .low = 0,
          .high = TOTAL_MAX_MG_L,
          .optional = true}},
    .outputs = {{"fraction", "un-ionized share of the total", "1"},
                {"unionized", "un-ionized ammonia", "mg/L"}},
    .evaluate = evaluate,
};
