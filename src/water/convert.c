/* SPDX-License-Identifier: Apache-2.0 */
/* The registry entry of the unit table in base/units.h. */
#include "base/method.h"
#include "base/text.h"
#include "base/units.h"

#include <string.h>

static lw_status evaluate(const lw_argument *a, lw_result *r, lw_error *err)
{
  const char *end = NULL;
  double bare = 0;
  const char *text = a[0].text + strspn(a[0].text, " ");
  if (lw_read_number(text, true, &bare, &end) && end[strspn(end, " ")] == '\0') {
    return lw_fail(err, LW_INVALID,
                   "quantity is '%.40s', a number without a unit; write for example quantity=\"4 "
                   "lb/acre\"",
                   a[0].text);
  }
  r[0].known = true;
  return lw_quantity_parse(&r[0].value, "quantity", a[0].text, a[1].text, err);
}

const lw_method lw_method_convert = {
    .name = "convert",
    .title = "Units",
    .purpose = "Turns a quantity from one unit into another, with the exact definitions of the trade's "
               "units.",
    .formula = "value in SI = value x factor (+ offset for temperatures)",
    .source = "NIST SP 811 (2008) appendix B.8: international foot and pound (1959), US gallon of 231 "
              "in3, acre of 43,560 ft2",
    .basis = "read",
    .limits = "ppm and ppb mean mg/L and ug/L in water. Length classes of fish are published in inches and "
              "in millimetres apart: do not convert them.",
    .inputs = {{.name = "quantity", .meaning = "number with its unit, as 40 acre-ft", .kind = LW_INPUT_TEXT},
               {.name = "to", .meaning = "unit wanted, as gal", .kind = LW_INPUT_TEXT}},
    .outputs = {{"value", "the quantity in the unit asked for", ""}},
    .evaluate = evaluate,
};
