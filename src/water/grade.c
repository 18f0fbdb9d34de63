/* SPDX-License-Identifier: Apache-2.0 */
#include "water/dose.h"

#include "base/text.h"

#include <string.h>

/* One plain number of a grade: digits and at most a point. Signs, commas and fractions, which the
 * general reader takes, would hide a slip of the pen here. */
static bool read_part(const char *text, size_t length, double *out)
{
  char part[16];
  if (length == 0 || length >= sizeof part || strspn(text, "0123456789.") < length) {
    return false;
  }
  memcpy(part, text, length);
  part[length] = '\0';
  const char *end = NULL;
  return lw_read_number(part, false, out, &end) && *end == '\0' && *out >= 0 && *out <= 100;
}

lw_status lw_grade_parse(lw_grade *out, const char *text, lw_error *err)
{
  double parts[3] = {0, 0, 0};
  const char *p = text;
  for (int i = 0; i < 3; i++) {
    size_t n = strcspn(p, "-");
    bool last = i == 2;
    if (!read_part(p, n, &parts[i]) || (p[n] == '\0') != last) {
      return lw_fail(err, LW_INVALID,
                     "grade is '%.40s'; write the three numbers of the label, per cent nitrogen, P2O5 "
                     "and K2O, each 0 to 100, as 12-48-8 or 0-46-0",
                     text);
    }
    p += n + (last ? 0 : 1);
  }
  if (parts[0] + parts[1] + parts[2] > 100.0 + 1e-9) {
    return lw_fail(err, LW_INVALID,
                   "grade is '%.40s'; its three per cents add up to more than 100; check the label", text);
  }
  *out = (lw_grade){parts[0], parts[1], parts[2]};
  return LW_OK;
}
