/* SPDX-License-Identifier: Apache-2.0 */
#include "base/method.h"
#include "water/check.h"
#include "water/oxygen.h"

#include <math.h>

/* Fresh or salt water at one atmosphere. */
static double at_one_atmosphere(double kelvin, double salinity_g_kg)
{
  double ln_c = -139.34411 + 1.575701e5 / kelvin - 6.642308e7 / pow(kelvin, 2) +
                1.243800e10 / pow(kelvin, 3) - 8.621949e11 / pow(kelvin, 4);
  double salt = salinity_g_kg * (0.017674 - 10.754 / kelvin + 2140.7 / pow(kelvin, 2));
  return exp(ln_c - salt);
}

/* Factor for another pressure (atm): drier share of the air, and the second-order term theta. */
static double pressure_factor(double celsius, double kelvin, double p)
{
  double vapour = exp(11.8571 - 3840.70 / kelvin - 216961.0 / pow(kelvin, 2));
  double theta = 0.000975 - 1.426e-5 * celsius + 6.436e-8 * celsius * celsius;
  return p * (1 - vapour / p) * (1 - theta * p) / ((1 - vapour) * (1 - theta));
}

lw_status lw_oxygen_saturation_mg_l(double *out, double temperature_c, double pressure_atm,
                                    double salinity_g_kg, lw_error *err)
{
  lw_status s = lw_within("temperature", temperature_c, LW_WATER_TEMPERATURE_LOW_C,
                          LW_WATER_TEMPERATURE_HIGH_C, "degC", err);
  if (s == LW_OK) {
    s = lw_within("pressure", pressure_atm, LW_PRESSURE_LOW_KPA / LW_KPA_PER_ATM,
                  LW_PRESSURE_HIGH_KPA / LW_KPA_PER_ATM, "atm", err);
  }
  if (s == LW_OK) {
    s = lw_within("salinity", salinity_g_kg, 0, LW_SALINITY_HIGH_G_KG, "g/kg", err);
  }
  if (s == LW_OK) {
    double kelvin = temperature_c + 273.15;
    *out = at_one_atmosphere(kelvin, salinity_g_kg) * pressure_factor(temperature_c, kelvin, pressure_atm);
  }
  return s;
}

enum { TEMPERATURE, ELEVATION, PRESSURE, SALINITY };

static lw_status evaluate(const lw_argument *a, lw_result *r, lw_error *err)
{
  double pressure_kpa = LW_KPA_PER_ATM;
  lw_status s = LW_OK;
  if (a[ELEVATION].given && a[PRESSURE].given) {
    return lw_fail(err, LW_INVALID,
                   "elevation and pressure are both given and may disagree; give the pressure measured "
                   "at the water, or the elevation, not both");
  }
  if (a[PRESSURE].given) {
    pressure_kpa = a[PRESSURE].number;
  } else if (a[ELEVATION].given) {
    s = lw_air_pressure_kpa(&pressure_kpa, a[ELEVATION].number, err);
  }
  if (s != LW_OK) {
    return s;
  }
  r[0].known = true;
  return lw_oxygen_saturation_mg_l(&r[0].value, a[TEMPERATURE].number, pressure_kpa / LW_KPA_PER_ATM,
                                   a[SALINITY].number, err);
}

const lw_method lw_method_oxygen_saturation = {
    .name = "oxygen-saturation",
    .title = "Oxygen that water can hold",
    .purpose = "The oxygen of water in balance with the air above it, from temperature, elevation and "
               "salt: the ceiling a reading is compared with.",
    .formula = "ln C = -139.34411 + 1.575701e5/T - 6.642308e7/T^2 + 1.243800e10/T^3 - 8.621949e11/T^4 - "
               "S (0.017674 - 10.754/T + 2140.7/T^2); x P [(1 - Pwv/P)(1 - theta P)] / [(1 - Pwv)(1 - "
               "theta)], P in atm, T in K; theta = 0.000975 - 1.426e-5 t + 6.436e-8 t^2; ln Pwv = "
               "11.8571 - 3840.70/T - 216961/T^2",
    .source = "Benson & Krause 1984, Limnol. Oceanogr. 29:620-632, as adopted in Standard Methods "
              "4500-O; pressure from elevation: FAO-56 (Allen et al. 1998) eq. 7",
    .basis = "read",
    .limits = "At the surface. A bloom lifts afternoon water well above it. Without elevation or pressure "
              "it is for one atmosphere, 101.325 kPa; elevation 0 counts as the 101.3 kPa of FAO-56. Older "
              "tables differ by up to 1 %.",
    .inputs = {{.name = "temperature",
                .meaning = "water temperature",
                .unit = "degC",
                .low = LW_WATER_TEMPERATURE_LOW_C,
                .high = LW_WATER_TEMPERATURE_HIGH_C},
               {.name = "elevation",
                .meaning = "height above sea level",
                .unit = "m",
                .low = LW_ELEVATION_LOW_M,
                .high = LW_ELEVATION_HIGH_M,
                .optional = true},
               {.name = "pressure",
                .meaning = "air pressure at the water, not reduced to sea level",
                .unit = "kPa",
                .low = LW_PRESSURE_LOW_KPA,
                .high = LW_PRESSURE_HIGH_KPA,
                .optional = true},
               {.name = "salinity",
                .meaning = "salt in the water",
                .unit = "g/kg",
                .low = 0,
                .high = LW_SALINITY_HIGH_G_KG,
                .optional = true,
                .has_default = true,
                .fallback = 0}},
    .outputs = {{"oxygen", "oxygen at saturation", "mg/L"}},
    .evaluate = evaluate,
};
