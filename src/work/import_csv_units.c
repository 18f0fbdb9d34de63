/* SPDX-License-Identifier: Apache-2.0 */
/* Units of cells and headers. A sheet from elsewhere says nothing about the units its writer had in
 * mind, so a bare number is never given one. */
#include "work/import_csv_parts.h"

#include "base/text.h"
#include "base/units.h"

#include <stdio.h>
#include <string.h>

typedef struct unit_words {
  const char *kept, *fit;
} unit_words;

/* By the unit kept: those people write. Every one converts (tests/unit/test_import.c). */
static const unit_words fitting[] = {
    {"m", "in, ft, cm or m"},
    {"mg/L", "mg/L, ppm or gpg"},
    {"ug/L", "ug/L, ppb or mg/L"},
    {"degC", "degF or degC"},
    {"%", "%"},
    {"m3/s", "cfs, gpm, L/s or m3/s"},
    {"kg", "lb, oz, ton, kg or g"},
    {"L", "gal, qt, L or mL"},
    {"kg/L", "lb/gal, g/mL or kg/L"},
    {"mm", "in, mm or cm"},
    {"m/s", "mph, kn, km/h or m/s"},
};

const char *lw_import_units_for(const char *kept_unit)
{
  for (size_t i = 0; kept_unit && i < sizeof fitting / sizeof fitting[0]; i++) {
    if (strcmp(fitting[i].kept, kept_unit) == 0) {
      return fitting[i].fit;
    }
  }
  return NULL;
}

bool lw_import_is_bare(const char *text)
{
  double number = 0;
  const char *end = NULL;
  if (!lw_read_number(text, true, &number, &end)) {
    return false;
  }
  return end[strspn(end, " \t")] == '\0';
}

bool lw_import_with_unit(lw_importing *job, const lw_csv_cell *at, const char *field, const char *text,
                         const char *unit, const char *kept_unit, char out[LW_IMPORT_NUMBER])
{
  const char *fit = lw_import_units_for(kept_unit);
  bool bare = lw_import_is_bare(text);
  if (bare && fit && !*unit) {
    size_t first = strcspn(fit, ", ");
    lw_import_fault(job, at,
                    "%s: '%.60s' has no unit; put it in the header, like '%s (%.*s)', or in the cell, like "
                    "'%.60s %.*s'; what fits is %s",
                    field, text, field, (int)first, fit, text, (int)first, fit, fit);
    return false;
  }
  int n = snprintf(out, LW_IMPORT_NUMBER, "%s%s%s", text, bare && *unit ? " " : "", bare ? unit : "");
  if (n < 0 || n >= LW_IMPORT_NUMBER) {
    lw_import_fault(job, at, "%s: '%.60s...' is too long to be a number with its unit", field, text);
    return false;
  }
  return true;
}
