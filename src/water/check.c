/* SPDX-License-Identifier: Apache-2.0 */
#include "water/check.h"

#include "base/text.h"

#include <math.h>

lw_status lw_within(const char *field, double value, double low, double high, const char *unit, lw_error *err)
{
  if (value >= low && value <= high) {
    return LW_OK;
  }
  char got[LW_NUMBER_MAX];
  char least[LW_NUMBER_MAX];
  char most[LW_NUMBER_MAX];
  const char *gap = *unit ? " " : "";
  return lw_fail(err, LW_INVALID, "%s is %s%s%s; it must lie between %s and %s%s%s", field,
                 isfinite(value) ? lw_rounded_text(value, 6, got) : "not a number", gap, unit,
                 lw_rounded_text(low, 6, least), lw_rounded_text(high, 6, most), gap, unit);
}
