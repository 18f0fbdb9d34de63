/* SPDX-License-Identifier: Apache-2.0 */
#include "base/method.h"
#include "base/text.h"
#include "water/check.h"
#include "water/lime.h"

#include <math.h>

enum { BUFFER_CELLS = 10, MUD_ROWS = 8 };

typedef struct mud_row {
  double mud_ph;
  double kg_ha[BUFFER_CELLS]; /* at buffer pH 7.9, 7.8 ... 7.0; nothing at 8.0 */
} mud_row;

/* Eight of the eleven rows of the published table; 5.5, 5.1 and 4.8 are taken on the line between. */
static const mud_row rows[MUD_ROWS] = {
    {5.7, {91, 182, 272, 363, 454, 544, 635, 726, 817, 908}},
    {5.6, {126, 252, 378, 504, 630, 756, 882, 1008, 1134, 1260}},
    {5.4, {290, 580, 869, 1160, 1449, 1738, 2029, 2318, 2608, 2898}},
    {5.3, {340, 680, 1021, 1360, 1701, 2042, 2382, 2722, 3062, 3402}},
    {5.2, {391, 782, 1172, 1562, 1954, 2344, 2734, 3124, 3515, 3906}},
    {5.0, {504, 1008, 1512, 2016, 2520, 3024, 3528, 4032, 4536, 5040}},
    {4.9, {656, 1310, 1966, 2620, 3276, 3932, 4586, 5242, 5898, 6552}},
    {4.7, {706, 1412, 2116, 2822, 3528, 4234, 4940, 5644, 6350, 7056}},
};

/* A reading of 7.4 is not exactly six tenths under 8 in binary; the cell must come out as printed. */
static double snapped(double position)
{
  double nearest = round(position);
  return fabs(position - nearest) < 1e-9 ? nearest : position;
}

static double cell(const mud_row *row, int tenths)
{
  return tenths == 0 ? 0.0 : row->kg_ha[tenths - 1];
}

static double along_row(const mud_row *row, double buffer_ph)
{
  double position = snapped((LW_LIME_BUFFER_PH_HIGH - buffer_ph) * 10.0);
  int below = (int)floor(position);
  double share = position - below;
  double low = cell(row, below);
  return share > 0 ? low + share * (cell(row, below + 1) - low) : low;
}

static lw_status check_mud(double mud_ph, lw_error *err)
{
  char got[LW_NUMBER_MAX];
  lw_status s = lw_within("mud-ph", mud_ph, 3, 9, "", err);
  if (s == LW_OK && mud_ph > LW_LIME_MUD_PH_HIGH + 1e-9) {
    s = lw_fail(err, LW_INVALID,
                "mud-ph is %s; the table covers 4.7 to 5.7. Mud at about 6 or above needs no lime; "
                "between 5.7 and 6 the figure for mud-ph=5.7 is the most it can need",
                lw_rounded_text(mud_ph, 4, got));
  } else if (s == LW_OK && mud_ph < LW_LIME_MUD_PH_LOW - 1e-9) {
    s = lw_fail(err, LW_INVALID,
                "mud-ph is %s; the table covers 4.7 to 5.7. Use mud-ph=4.7 as a minimum and test the "
                "mud again after a season",
                lw_rounded_text(mud_ph, 4, got));
  }
  return s;
}

static lw_status check_buffer(double buffer_ph, lw_error *err)
{
  char got[LW_NUMBER_MAX];
  lw_status s = lw_within("buffer-ph", buffer_ph, 3, 9, "", err);
  if (s == LW_OK && buffer_ph > LW_LIME_BUFFER_PH_HIGH) {
    s = lw_fail(err, LW_INVALID,
                "buffer-ph is %s; mud cannot raise the pond mud buffer above its own 8.0. Ask the "
                "laboratory which buffer was used",
                lw_rounded_text(buffer_ph, 4, got));
  } else if (s == LW_OK && buffer_ph < LW_LIME_BUFFER_PH_LOW - 1e-9) {
    s = lw_fail(err, LW_INVALID,
                "buffer-ph is %s; the table covers 7.0 to 8.0. Ask the laboratory to repeat the test "
                "with half the mud and double the answer",
                lw_rounded_text(buffer_ph, 4, got));
  }
  return s;
}

lw_status lw_lime_requirement(double *out_kg_ha, double mud_ph, double buffer_ph, lw_error *err)
{
  lw_status s = check_mud(mud_ph, err);
  if (s == LW_OK) {
    s = check_buffer(buffer_ph, err);
  }
  if (s != LW_OK) {
    return s;
  }
  double buffer = fmax(buffer_ph, LW_LIME_BUFFER_PH_LOW);
  int i = 0;
  while (i < MUD_ROWS - 1 && mud_ph < rows[i].mud_ph - 1e-9) {
    i++;
  }
  *out_kg_ha = along_row(&rows[i], buffer);
  if (i > 0 && mud_ph > rows[i].mud_ph + 1e-9) {
    double share = (mud_ph - rows[i].mud_ph) / (rows[i - 1].mud_ph - rows[i].mud_ph);
    *out_kg_ha += share * (along_row(&rows[i - 1], buffer) - *out_kg_ha);
  }
  return LW_OK;
}

lw_status lw_lime_material_rate(double *out_kg_ha, double carbonate_kg_ha, double neutralizing_percent,
                                double fineness_percent, lw_error *err)
{
  lw_status s = lw_within("calcium-carbonate-rate", carbonate_kg_ha, 0, 1e6, "kg/ha", err);
  if (s == LW_OK) {
    s = lw_within("neutralizing-value", neutralizing_percent, LW_NEUTRALIZING_MIN_PERCENT,
                  LW_NEUTRALIZING_MAX_PERCENT, "%", err);
  }
  if (s == LW_OK) {
    s = lw_within("fineness", fineness_percent, 1, 100, "%", err);
  }
  if (s == LW_OK) {
    *out_kg_ha = carbonate_kg_ha / (neutralizing_percent / 100.0) / (fineness_percent / 100.0);
  }
  return s;
}

enum { MUD, BUFFER, AREA, VALUE, FINENESS };

static lw_status evaluate(const lw_argument *a, lw_result *r, lw_error *err)
{
  r[0].known = r[1].known = true;
  lw_status s = lw_lime_requirement(&r[0].value, a[MUD].number, a[BUFFER].number, err);
  if (s == LW_OK) {
    s = lw_lime_material_rate(&r[1].value, r[0].value, a[VALUE].number, a[FINENESS].number, err);
  }
  if (s == LW_OK && a[AREA].given) {
    r[2] = (lw_result){true, r[1].value * a[AREA].number / 10000.0};
  }
  return s;
}

const lw_method lw_method_lime_requirement = {
    .name = "lime-requirement",
    .title = "Lime from a mud test",
    .purpose = "How much lime a pond's bottom mud needs, from its pH in water and in the pond mud "
               "buffer, and how much of a given liming material that is.",
    .formula = "table of Boyd, straight line between its cells (along a row nearly k x (8.00 - buffer "
               "pH) / 0.1); material = carbonate / (neutralizing value / 100 x fineness / 100)",
    .source = "Boyd 1979, Water Quality in Warmwater Fish Ponds, modified Adams-Evans buffer table "
              "(repeated in Boyd 1990; Boyd & Tucker 1998); material rate Boyd 1990",
    .basis = "memory",
    .limits = "Rows for mud pH 5.5, 5.1 and 4.8 are on the line between their neighbours; the table is "
              "from memory and cell 4.9/7.1 is recalled both as 5898 and 5980. Ground limestone only: "
              "quick and hydrated lime are caustic and can kill fish in a stocked pond. Lime after the "
              "growing season, spread over the whole bottom; where water stays under 3 to 4 weeks it "
              "washes out. Dust: mask, gloves and eyes.",
    .inputs = {{.name = "mud-ph", .meaning = "pH of the mud in water", .unit = "1", .low = 3, .high = 9},
               {.name = "buffer-ph",
                .meaning = "pH of the mud in the pond mud buffer of pH 8.00",
                .unit = "1",
                .low = 3,
                .high = 9},
               {.name = "area",
                .meaning = "water surface to lime",
                .unit = "m2",
                .low = 0,
                .high = LW_LIME_AREA_MAX_M2,
                .optional = true},
               {.name = "neutralizing-value",
                .meaning = "of the material, against calcium carbonate",
                .unit = "%",
                .low = LW_NEUTRALIZING_MIN_PERCENT,
                .high = LW_NEUTRALIZING_MAX_PERCENT,
                .optional = true,
                .has_default = true,
                .fallback = 100},
               {.name = "fineness",
                .meaning = "efficiency of the material's grinding",
                .unit = "%",
                .low = 1,
                .high = 100,
                .optional = true,
                .has_default = true,
                .fallback = 100}},
    .outputs = {{"calcium-carbonate-rate", "pure, fine calcium carbonate per area", "kg/ha"},
                {"material-rate", "liming material per area", "kg/ha"},
                {"material-mass", "liming material for the area", "kg"}},
    .evaluate = evaluate,
};
