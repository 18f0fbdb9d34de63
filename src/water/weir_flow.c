/* SPDX-License-Identifier: Apache-2.0 */
#include "base/method.h"
#include "base/text.h"
#include "water/check.h"
#include "water/flow.h"

#include <math.h>

#define FOOT_M 0.3048
#define LENGTH_MAX_M 1000.0
#define HEAD_MAX_M 10.0
#define CONTRACTIONS_MAX 20.0

static lw_status check(const lw_weir *weir, lw_error *err)
{
  lw_status s = lw_within("length", weir->length_m, 0, LENGTH_MAX_M, "m", err);
  if (s == LW_OK) {
    s = lw_within("head", weir->head_m, 0, HEAD_MAX_M, "m", err);
  }
  if (s == LW_OK) {
    s = lw_within("coefficient", weir->coefficient, 1, 5, "", err);
  }
  if (s == LW_OK) {
    s = lw_within("contractions", weir->contractions, 0, CONTRACTIONS_MAX, "", err);
  }
  if (s == LW_OK && weir->kind == LW_WEIR_KIND_BROAD && weir->contractions > 0) {
    s = lw_fail(err, LW_INVALID, "contractions belong to a sharp crest; leave them out for a broad one");
  }
  return s;
}

lw_status lw_weir_flow_m3_s(double *out, const lw_weir *weir, lw_error *err)
{
  lw_status s = check(weir, err);
  if (s != LW_OK) {
    return s;
  }
  double effective_m = weir->length_m - 0.1 * weir->contractions * weir->head_m;
  if (effective_m < 0) {
    return lw_fail(err, LW_INVALID,
                   "head is too high for this length and so many contractions (no length is left); "
                   "check head and length");
  }
  double length_ft = effective_m / FOOT_M;
  double head_ft = weir->head_m / FOOT_M;
  *out = weir->coefficient * length_ft * pow(head_ft, 1.5) * FOOT_M * FOOT_M * FOOT_M;
  return LW_OK;
}

enum { KIND, LENGTH, HEAD, COEFFICIENT, CONTRACTIONS };

static lw_status evaluate(const lw_argument *a, lw_result *r, lw_error *err)
{
  bool sharp = lw_same_word(a[KIND].text, "sharp");
  lw_weir weir = {.kind = sharp ? LW_WEIR_KIND_SHARP : LW_WEIR_KIND_BROAD,
                  .length_m = a[LENGTH].number,
                  .head_m = a[HEAD].number,
                  .coefficient = sharp ? LW_WEIR_SHARP : LW_WEIR_BROAD,
                  .contractions = a[CONTRACTIONS].number};
  if (a[COEFFICIENT].given) {
    weir.coefficient = a[COEFFICIENT].number;
  }
  r[0].known = true;
  return lw_weir_flow_m3_s(&r[0].value, &weir, err);
}

const lw_method lw_method_weir_flow = {
    .name = "weir-flow",
    .title = "Flow over a spillway",
    .purpose = "The flow over a spillway or weir from its length and the water's height above the crest, "
               "to know how much of a dose would leave.",
    .formula = "broad: Q = C L H^1.5, C 3.09; sharp: Q = C (L - 0.1 n H) H^1.5, C 3.33; L and H in feet, Q "
               "in ft3/s, C in ft^0.5/s",
    .source = "broad, C 3.09: San Diego State University, CIVE 530, solved problem (20 ft, 0.8 ft: 44.22 "
              "ft3/s); sharp, C 3.33: Francis formula, as in Lal 1959, Hydraulics, example 4.5",
    .basis = "read",
    .limits = "Coefficients are the United States customary ones (ft^0.5/s; metric ones are 0.552 of "
              "them). Measure the head upstream, two to three heads back from the crest. Not for a drowned "
              "weir or a pipe. Keep off a spillway in flow.",
    .inputs = {{.name = "kind",
                .meaning = "crest: broad (earth, concrete) or sharp (a plate)",
                .kind = LW_INPUT_TEXT,
                .choices = "broad|sharp"},
               {.name = "length",
                .meaning = "crest length across the flow",
                .unit = "m",
                .low = 0,
                .high = LENGTH_MAX_M},
               {.name = "head",
                .meaning = "water above the crest, upstream",
                .unit = "m",
                .low = 0,
                .high = HEAD_MAX_M},
               {.name = "coefficient",
                .meaning = "in ft^0.5/s; when left out 3.09 for a broad crest, 3.33 for a sharp one",
                .unit = "1",
                .low = 1,
                .high = 5,
                .optional = true},
               {.name = "contractions",
                .meaning = "sharp crest: ends where the flow narrows (0, 1, 2)",
                .unit = "1",
                .low = 0,
                .high = CONTRACTIONS_MAX,
                .optional = true,
                .has_default = true,
                .fallback = 0}},
    .outputs = {{"flow", "flow over the crest", "m3/s"}},
    .evaluate = evaluate,
};
