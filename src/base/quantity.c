/* SPDX-License-Identifier: Apache-2.0 */
#include "base/quantity.h"

#include "base/text.h"
#include "base/units.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

const lw_quantity lw_quantities[LW_QUANTITY_COUNT] = {
    [LW_SECCHI] = {LW_SECCHI, "secchi", "clarity (disk depth)", "m", "in", "cm", NULL, 0.01, 20.0, 0.1, 4.0,
                   2,
                   "Lower a black-and-white disk on a marked line in the shade, near midday, until it "
                   "just disappears, and read the line."},
    [LW_WATER_COLOR] = {LW_WATER_COLOR, "water-color", "water colour", "1", "1", "1",
                        "green|brown-mud|tea|clear", 0, 3, 0, 3, 1,
                        "Look at a white cup of the water: green, muddy brown, tea-coloured or clear."},
    [LW_ALKALINITY] = {LW_ALKALINITY, "alkalinity", "total alkalinity", "mg/L", "mg/L", "mg/L", NULL, 0, 2000,
                       2, 400, 2, "A drop-count alkalinity kit takes five minutes at the bank."},
    [LW_HARDNESS] = {LW_HARDNESS, "hardness", "total hardness", "mg/L", "mg/L", "mg/L", NULL, 0, 5000, 2, 600,
                     2, "A drop-count hardness kit takes five minutes at the bank."},
    [LW_PH] = {LW_PH, "ph", "pH", "1", "1", "1", NULL, 0, 14, 5, 10, 2,
               "A pH kit or meter, at dawn and again in the afternoon."},
    [LW_TEMPERATURE] = {LW_TEMPERATURE, "temperature", "water temperature", "degC", "degF", "degC", NULL, -2,
                        45, 0, 36, 2, "A thermometer a foot under the surface, mid-morning."},
    [LW_OXYGEN] = {LW_OXYGEN, "oxygen", "dissolved oxygen", "mg/L", "mg/L", "mg/L", NULL, 0, 40, 0.5, 18, 2,
                   "An oxygen meter or drop kit at dusk and two to three hours later."},
    [LW_WEED_COVER] = {LW_WEED_COVER, "weed-cover", "weed cover", "%", "%", "%", NULL, 0, 100, 0, 100, 2,
                       "Go round by boat and judge what share of the surface has weeds to the top or "
                       "in sight."},
    [LW_PHOSPHORUS] = {LW_PHOSPHORUS, "phosphorus", "total phosphorus", "ug/L", "ug/L", "ug/L", NULL, 0,
                       20000, 1, 1000, 2, "A bottle to a laboratory, kept cold."},
    [LW_CHLOROPHYLL] = {LW_CHLOROPHYLL, "chlorophyll", "chlorophyll a", "ug/L", "ug/L", "ug/L", NULL, 0, 2000,
                        0.5, 300, 2, "A dark bottle to a laboratory, kept cold."},
    [LW_AMMONIA] = {LW_AMMONIA, "ammonia", "total ammonia nitrogen", "mg/L", "mg/L", "mg/L", NULL, 0, 100, 0,
                    5, 2, "An ammonia kit, with pH and temperature at the same hour."},
    [LW_MUD_PH] = {LW_MUD_PH, "mud-ph", "mud pH", "1", "1", "1", NULL, 2, 11, 4, 9, 2,
                   "Twelve scoops of bottom mud, mixed, dried and sent to a soil laboratory."},
    [LW_BUFFER_PH] = {LW_BUFFER_PH, "buffer-ph", "mud buffer pH", "1", "1", "1", NULL, 3, 9, 6.5, 8, 2,
                      "Ask the soil laboratory for the pond-mud buffer test (p-nitrophenol, pH 8.0)."},
    [LW_OUTFLOW] = {LW_OUTFLOW, "outflow", "outflow", "m3/s", "cfs", "L/s", NULL, 0, 1000, 0, 10, 2,
                    "Measure the head over the spillway and its length; weir-flow gives the flow."},
    [LW_LEVEL] = {LW_LEVEL, "level", "water level against full pool", "m", "in", "cm", NULL, -30, 30, -3, 1,
                  2, "Read the staff gauge, below full pool as a minus."},
};

const lw_quantity *lw_quantity_find(const char *name)
{
  for (int i = 0; i < LW_QUANTITY_COUNT; i++) {
    if (lw_same_word(lw_quantities[i].name, name)) {
      return &lw_quantities[i];
    }
  }
  return NULL;
}

const char *lw_choice_word(const char *choices, int index, char *out, size_t size)
{
  for (const char *p = choices; index >= 0; index--) {
    size_t n = strcspn(p, "|");
    if (index == 0 && n < size) {
      memcpy(out, p, n);
      out[n] = '\0';
      return out;
    }
    if (p[n] == '\0') {
      return NULL;
    }
    p += n + 1;
  }
  return NULL;
}

int lw_choice_index(const char *choices, const char *word)
{
  char candidate[LW_SHOWN_MAX];
  for (int i = 0; lw_choice_word(choices, i, candidate, sizeof candidate); i++) {
    if (lw_same_word(candidate, word)) {
      return i;
    }
  }
  return -1;
}

static lw_status read_word(double *out, const lw_quantity *quantity, const char *text, lw_error *err)
{
  int index = lw_choice_index(quantity->choices, text);
  if (index < 0) {
    return lw_fail(err, LW_INVALID, "%s is '%.40s'; it must be one of %s", quantity->name, text,
                   quantity->choices);
  }
  *out = index;
  return LW_OK;
}

lw_status lw_quantity_read(double *out, bool *unusual, const lw_quantity *quantity, const char *text,
                           lw_error *err)
{
  if (unusual) {
    *unusual = false;
  }
  if (quantity->choices) {
    return read_word(out, quantity, text, err);
  }
  lw_status s = lw_quantity_parse(out, quantity->name, text, quantity->unit, err);
  if (s != LW_OK) {
    return s;
  }
  if (*out < quantity->possible_low || *out > quantity->possible_high) {
    char low[LW_SHOWN_MAX];
    char high[LW_SHOWN_MAX];
    return lw_fail(err, LW_INVALID,
                   "%s of '%.40s' is not possible; expected between %s and %s; check the number and "
                   "its unit",
                   quantity->label, text,
                   lw_value_shown(quantity->possible_low, quantity->unit, quantity->unit, 4, low),
                   lw_value_shown(quantity->possible_high, quantity->unit, quantity->unit, 4, high));
  }
  if (unusual) {
    *unusual = *out < quantity->usual_low || *out > quantity->usual_high;
  }
  return LW_OK;
}

const char *lw_value_shown(double value, const char *unit, const char *shown_unit, int digits,
                           char out[LW_SHOWN_MAX])
{
  double shown = value;
  if (lw_convert(&shown, value, unit, shown_unit, NULL) != LW_OK) {
    shown = value;
    shown_unit = unit;
  }
  /* whole numbers up to 9,999 are kept whole: 41 in, 1250 lb, never 1200 for a thing counted */
  char number[LW_NUMBER_MAX];
  int before = fabs(shown) >= 1 ? (int)floor(log10(fabs(shown))) + 1 : 1;
  (void)lw_rounded_text(shown, before > digits && before <= 4 ? before : digits, number);
  bool bare = strcmp(shown_unit, "1") == 0 || *shown_unit == '\0';
  const char *gap = bare || *shown_unit == '%' ? "" : " ";
  const char *unit_text = bare ? "" : shown_unit;
  if (strcmp(shown_unit, "degF") == 0) {
    gap = " °";
    unit_text = "F";
  } else if (strcmp(shown_unit, "degC") == 0) {
    gap = " °";
    unit_text = "C";
  }
  (void)snprintf(out, LW_SHOWN_MAX, "%s%s%s", number, gap, unit_text);
  return out;
}

const char *lw_quantity_shown(const lw_quantity *quantity, double value, lw_unit_system system,
                              char out[LW_SHOWN_MAX])
{
  if (quantity->choices) {
    const char *word = lw_choice_word(quantity->choices, (int)value, out, LW_SHOWN_MAX);
    return word ? word : "";
  }
  return lw_value_shown(value, quantity->unit, system == LW_US ? quantity->us_unit : quantity->metric_unit,
                        quantity->digits, out);
}
