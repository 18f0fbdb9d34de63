/* SPDX-License-Identifier: Apache-2.0 */
#include "base/method.h"
#include "base/text.h"
#include "water/lime.h"

#include <stddef.h>

#define MATERIALS                                                                                            \
  "calcium-carbonate|magnesium-carbonate|calcium-hydroxide|calcium-oxide|magnesium-oxide|dolomite"

lw_status lw_neutralizing_value(double *out_percent, const char *material, lw_error *err)
{
  static const struct {
    const char *material;
    double percent;
  } values[] = {
      {"calcium-carbonate", 100}, {"magnesium-carbonate", 119}, {"calcium-hydroxide", 135},
      {"calcium-oxide", 178},     {"magnesium-oxide", 250},     {"dolomite", 109},
  };
  for (size_t i = 0; i < sizeof values / sizeof values[0]; i++) {
    if (lw_same_word(values[i].material, material)) {
      *out_percent = values[i].percent;
      return LW_OK;
    }
  }
  return lw_fail(err, LW_INVALID, "material is '%.40s'; it must be one of %s", material, MATERIALS);
}

static lw_status evaluate(const lw_argument *a, lw_result *r, lw_error *err)
{
  r[0].known = true;
  return lw_neutralizing_value(&r[0].value, a[0].text, err);
}

const lw_method lw_method_neutralizing_value = {
    .name = "neutralizing-value",
    .title = "Strength of a liming material",
    .purpose = "How much acid a pure liming material takes up against the same weight of pure calcium "
               "carbonate.",
    .formula = "table: calcium carbonate 100, magnesium carbonate 119, calcium hydroxide 135, calcium "
               "oxide 178, magnesium oxide 250, dolomite 109 %",
    .source = "University of Nebraska plant and soil e-library, Liming Materials, Table 4.4; dolomite: "
              "Boyd & Tucker 1998 (from memory; molar masses give 108.55)",
    .basis = "read",
    .limits = "Pure materials; bagged lime is less pure, so use the value on its label. Others print 179 "
              "for calcium oxide. Calcium oxide and hydroxide are caustic: they burn skin and eyes and "
              "can kill fish in a stocked pond.",
    .inputs =
        {{.name = "material", .meaning = "the pure material", .kind = LW_INPUT_TEXT, .choices = MATERIALS}},
    .outputs = {{"value", "neutralizing value against calcium carbonate", "%"}},
    .evaluate = evaluate,
};
