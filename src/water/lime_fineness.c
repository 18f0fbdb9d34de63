/* SPDX-License-Identifier: Apache-2.0 */
#include "base/method.h"
#include "base/text.h"
#include "water/check.h"
#include "water/lime.h"

#include <stddef.h>

#define SUM_MAX_PERCENT 101.0

lw_status lw_lime_fineness(double *out_percent, const lw_lime_sieves *shares, lw_lime_rating rating,
                           lw_error *err)
{
  static const double efficiency[][4] = {
      [LW_LIME_AGRONOMIC] = {100, 60, 20, 0},
      [LW_LIME_POND] = {100, 52.2, 12.7, 3.6},
  };
  static const char *const fields[] = {"passing-60-mesh", "mesh-20-60", "mesh-8-20", "over-8-mesh"};
  const double share[] = {shares->passing_60, shares->mesh_20_60, shares->mesh_8_20, shares->over_8};
  double sum = 0;
  double rated = 0;
  for (size_t i = 0; i < 4; i++) {
    lw_status s = lw_within(fields[i], share[i], 0, 100, "%", err);
    if (s != LW_OK) {
      return s;
    }
    sum += share[i];
    rated += share[i] * efficiency[rating][i] / 100.0;
  }
  if (sum > SUM_MAX_PERCENT + 1e-9) {
    char got[LW_NUMBER_MAX];
    return lw_fail(err, LW_INVALID,
                   "the four shares add up to %s %%; they must add up to about 100. Give the share "
                   "between two sieves, not the share passing each",
                   lw_rounded_text(sum, 5, got));
  }
  *out_percent = rated > 100.0 ? 100.0 : rated;
  return LW_OK;
}

static lw_status evaluate(const lw_argument *a, lw_result *r, lw_error *err)
{
  lw_lime_sieves shares = {a[0].number, a[1].number, a[2].number, a[3].number};
  lw_lime_rating rating = lw_same_word(a[4].text, "pond") ? LW_LIME_POND : LW_LIME_AGRONOMIC;
  r[0].known = true;
  return lw_lime_fineness(&r[0].value, &shares, rating, err);
}

#define SHARE(name_text, meaning_text)                                                                       \
  {                                                                                                          \
    .name = name_text, .meaning = meaning_text, .unit = "%", .low = 0, .high = 100                           \
  }

const lw_method lw_method_lime_fineness = {
    .name = "lime-fineness",
    .title = "Worth of a limestone's grinding",
    .purpose = "How much of a ground limestone reacts, from its sieve report; coarse grains lie on the "
               "bottom and do nothing.",
    .formula = "efficiency = sum of share x rating; rating by size (under 60 mesh, 20-60, 8-20, over 8 "
               "mesh): agronomic 100, 60, 20, 0 %; pond 100, 52.2, 12.7, 3.6 %",
    .source = "agronomic: BC Ministry of Agriculture, Factsheet 637.200-2 (rev. 2015), Ohio method, p. "
              "1; pond: Boyd & Hollerman 1982 in Boyd & Tucker 1998 (from memory)",
    .basis = "read",
    .limits = "The two ratings disagree for coarse stone. The printed example's shares add up to 99.0; "
              "the missing share counts as nothing.",
    .inputs = {SHARE("passing-60-mesh", "share finer than 60 mesh (0.25 mm)"),
               SHARE("mesh-20-60", "share between 20 and 60 mesh (0.25-0.85 mm)"),
               SHARE("mesh-8-20", "share between 8 and 20 mesh (0.85-2.4 mm; pond rating to 1.7 mm)"),
               SHARE("over-8-mesh", "share held on 8 mesh"),
               {.name = "rating",
                .meaning = "whose rating of the sizes",
                .kind = LW_INPUT_TEXT,
                .choices = "agronomic|pond",
                .optional = true,
                .has_default = true,
                .fallback_text = "agronomic"}},
    .outputs = {{"efficiency", "share that does the work of fine limestone", "%"}},
    .evaluate = evaluate,
};
