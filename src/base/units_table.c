/* SPDX-License-Identifier: Apache-2.0 */
/* The unit table. Factors are definitions where `exact` is true: international foot 0.3048 m and
 * pound 0.45359237 kg (1959 agreement), US gallon 231 in3, acre 43,560 ft2; source NIST SP 811 (2008)
 * appendix B.8. */
#include "base/units.h"

#define INCH 0.0254
#define FOOT 0.3048
#define POUND 0.45359237
#define ACRE (43560.0 * FOOT * FOOT)
#define GALLON (231.0 * INCH * INCH * INCH)
#define POUND_FORCE (POUND * 9.80665)

#define LENGTH                                                                                               \
  {                                                                                                          \
    1, 0, 0, 0, 0                                                                                            \
  }
#define AREA                                                                                                 \
  {                                                                                                          \
    2, 0, 0, 0, 0                                                                                            \
  }
#define VOLUME                                                                                               \
  {                                                                                                          \
    3, 0, 0, 0, 0                                                                                            \
  }
#define MASS                                                                                                 \
  {                                                                                                          \
    0, 1, 0, 0, 0                                                                                            \
  }
#define TIME                                                                                                 \
  {                                                                                                          \
    0, 0, 1, 0, 0                                                                                            \
  }
#define FLOW                                                                                                 \
  {                                                                                                          \
    3, 0, -1, 0, 0                                                                                           \
  }
#define SPEED                                                                                                \
  {                                                                                                          \
    1, 0, -1, 0, 0                                                                                           \
  }
#define TEMPERATURE                                                                                          \
  {                                                                                                          \
    0, 0, 0, 1, 0                                                                                            \
  }
#define PRESSURE                                                                                             \
  {                                                                                                          \
    -1, 1, -2, 0, 0                                                                                          \
  }
#define DENSITY                                                                                              \
  {                                                                                                          \
    -3, 1, 0, 0, 0                                                                                           \
  }
#define ENERGY                                                                                               \
  {                                                                                                          \
    2, 1, -2, 0, 0                                                                                           \
  }
#define POWER                                                                                                \
  {                                                                                                          \
    2, 1, -3, 0, 0                                                                                           \
  }
#define MONEY                                                                                                \
  {                                                                                                          \
    0, 0, 0, 0, 1                                                                                            \
  }
#define NUMBER                                                                                               \
  {                                                                                                          \
    0, 0, 0, 0, 0                                                                                            \
  }

#define ROW(symbol, spellings, name, dimension, factor)                                                      \
  {                                                                                                          \
    symbol, spellings, name, {dimension, factor, 0.0}, true                                                  \
  }
#define NEAR(symbol, spellings, name, dimension, factor)                                                     \
  {                                                                                                          \
    symbol, spellings, name, {dimension, factor, 0.0}, false                                                 \
  }

const lw_unit_row lw_unit_rows[] = {
    ROW("m", "meter|meters|metre|metres", "metre", LENGTH, 1.0),
    ROW("cm", "centimeter|centimeters|centimetre|centimetres", "centimetre", LENGTH, 0.01),
    ROW("mm", "millimeter|millimeters|millimetre|millimetres", "millimetre", LENGTH, 0.001),
    ROW("km", "kilometer|kilometers|kilometre|kilometres", "kilometre", LENGTH, 1000.0),
    ROW("in", "inch|inches|in.|\"|″", "inch", LENGTH, INCH),
    ROW("ft", "foot|feet|ft.|'|′", "foot (international)", LENGTH, FOOT),
    ROW("yd", "yard|yards", "yard", LENGTH, 3.0 * FOOT),
    ROW("mi", "mile|miles", "mile", LENGTH, 5280.0 * FOOT),
    ROW("m2", "m^2|m²|sq m|square meter|square meters|square metre|square metres", "square metre", AREA, 1.0),
    ROW("ha", "hectare|hectares", "hectare", AREA, 10000.0),
    ROW("km2", "km^2|km²|sq km|square kilometers|square kilometres", "square kilometre", AREA, 1e6),
    ROW("acre", "acres|ac", "acre (international)", AREA, ACRE),
    ROW("ft2", "ft^2|ft²|sq ft|square foot|square feet|sqft", "square foot", AREA, FOOT *FOOT),
    ROW("yd2", "yd^2|yd²|sq yd|square yard|square yards", "square yard", AREA, 9.0 * FOOT * FOOT),
    ROW("mi2", "mi^2|mi²|sq mi|square mile|square miles", "square mile", AREA, 640.0 * ACRE),
    ROW("m3", "m^3|m³|cubic meter|cubic meters|cubic metre|cubic metres", "cubic metre", VOLUME, 1.0),
    ROW("L", "l|liter|liters|litre|litres", "litre", VOLUME, 0.001),
    ROW("mL", "ml|milliliter|milliliters|millilitre|millilitres", "millilitre", VOLUME, 1e-6),
    ROW("gal", "gallon|gallons|US gal|us gallon|us gallons", "gallon (US liquid)", VOLUME, GALLON),
    ROW("qt", "quart|quarts", "quart (US liquid)", VOLUME, GALLON / 4.0),
    ROW("pt", "pint|pints", "pint (US liquid)", VOLUME, GALLON / 8.0),
    ROW("fl-oz", "fl oz|floz|fluid ounce|fluid ounces", "fluid ounce (US)", VOLUME, GALLON / 128.0),
    ROW("MG", "million gal|million gallon|million gallons", "million gallons (US)", VOLUME, 1e6 * GALLON),
    ROW("acre-ft", "acre ft|acre foot|acre-foot|acre feet|acre-feet|ac-ft|ac ft|acft|af", "acre-foot", VOLUME,
        ACRE *FOOT),
    ROW("acre-in", "acre in|acre inch|acre-inch|acre inches|acre-inches|ac-in", "acre-inch", VOLUME,
        ACRE *INCH),
    ROW("ft3", "ft^3|ft³|cu ft|cubic foot|cubic feet|cuft", "cubic foot", VOLUME, FOOT *FOOT *FOOT),
    ROW("yd3", "yd^3|yd³|cu yd|cubic yard|cubic yards", "cubic yard", VOLUME, 27.0 * FOOT * FOOT * FOOT),
    ROW("kg", "kilogram|kilograms|kilo|kilos", "kilogram", MASS, 1.0),
    ROW("g", "gram|grams", "gram", MASS, 0.001),
    ROW("mg", "milligram|milligrams", "milligram", MASS, 1e-6),
    ROW("ug", "µg|μg|microgram|micrograms", "microgram", MASS, 1e-9),
    ROW("t", "tonne|tonnes|metric ton|metric tons", "tonne", MASS, 1000.0),
    ROW("lb", "lbs|lb.|lbs.|pound|pounds|#", "pound", MASS, POUND),
    ROW("oz", "ounce|ounces", "ounce", MASS, POUND / 16.0),
    ROW("ton", "tons|short ton|short tons|US ton|us tons", "ton (US short, 2,000 lb)", MASS, 2000.0 * POUND),
    ROW("s", "sec|second|seconds", "second", TIME, 1.0),
    ROW("min", "minute|minutes", "minute", TIME, 60.0),
    ROW("h", "hr|hrs|hour|hours", "hour", TIME, 3600.0),
    ROW("day", "d|days", "day", TIME, 86400.0),
    ROW("week", "weeks|wk", "week", TIME, 7.0 * 86400.0),
    ROW("yr", "y|year|years|a", "year (365.25 days)", TIME, 365.25 * 86400.0),
    ROW("cfs", "ft3/s|cubic feet per second|second-feet", "cubic foot per second", FLOW, FOOT *FOOT *FOOT),
    ROW("gpm", "gal/min|gallons per minute", "gallon per minute", FLOW, GALLON / 60.0),
    ROW("mgd", "MGD|million gallons per day", "million gallons per day", FLOW, 1e6 * GALLON / 86400.0),
    ROW("mph", "mi/h|miles per hour", "mile per hour", SPEED, 5280.0 * FOOT / 3600.0),
    ROW("kn", "knot|knots|kt", "knot", SPEED, 1852.0 / 3600.0),
    {"degC",
     "C|°C|deg C|celsius|degrees C|degrees celsius",
     "degree Celsius",
     {TEMPERATURE, 1.0, 273.15},
     true},
    {"degF",
     "F|°F|deg F|fahrenheit|degrees F|degrees fahrenheit",
     "degree Fahrenheit",
     {TEMPERATURE, 5.0 / 9.0, 273.15 - 32.0 * 5.0 / 9.0},
     true},
    ROW("K", "kelvin", "kelvin", TEMPERATURE, 1.0),
    ROW("Pa", "pascal|pascals", "pascal", PRESSURE, 1.0),
    ROW("hPa", "mbar|millibar|millibars|mb", "hectopascal", PRESSURE, 100.0),
    ROW("kPa", "kilopascal|kilopascals", "kilopascal", PRESSURE, 1000.0),
    ROW("bar", "bars", "bar", PRESSURE, 1e5),
    ROW("atm", "atmosphere|atmospheres", "standard atmosphere", PRESSURE, 101325.0),
    ROW("psi", "lbf/in2", "pound-force per square inch", PRESSURE, POUND_FORCE / (INCH * INCH)),
    NEAR("mmHg", "mm Hg|torr", "conventional millimetre of mercury", PRESSURE, 133.3224),
    NEAR("inHg", "in Hg|inches of mercury", "conventional inch of mercury", PRESSURE, 3386.389),
    ROW("ppm", "parts per million", "part per million in water (mg/L)", DENSITY, 1e-3),
    ROW("ppb", "parts per billion", "part per billion in water (ug/L)", DENSITY, 1e-6),
    ROW("gpg", "grain/gal|grains/gal|grains per gallon|grain per gallon", "grain per US gallon", DENSITY,
        POUND / 7000.0 / GALLON),
    ROW("J", "joule|joules", "joule", ENERGY, 1.0),
    ROW("kJ", "kilojoule|kilojoules", "kilojoule", ENERGY, 1e3),
    ROW("MJ", "megajoule|megajoules", "megajoule", ENERGY, 1e6),
    ROW("kWh", "kilowatt-hour|kilowatt hours", "kilowatt hour", ENERGY, 3.6e6),
    ROW("W", "watt|watts", "watt", POWER, 1.0),
    ROW("kW", "kilowatt|kilowatts", "kilowatt", POWER, 1e3),
    ROW("hp", "horsepower", "horsepower (550 ft lbf/s)", POWER, 550.0 * FOOT * POUND_FORCE),
    ROW("$", "dollar|dollars|money", "the store's money", MONEY, 1.0),
    ROW("1", "", "number", NUMBER, 1.0),
    ROW("%", "percent|pct", "per cent", NUMBER, 0.01),
    ROW("degree", "degrees|deg|°", "degree of arc (kept as degrees)", NUMBER, 1.0),
};

const size_t lw_unit_row_count = sizeof lw_unit_rows / sizeof lw_unit_rows[0];
