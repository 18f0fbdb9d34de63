/* SPDX-License-Identifier: Apache-2.0 */
/* Units of the trade, exact: international foot and acre, US gallon of 231 cubic inches, the
 * avoirdupois pound. Reads what people write ("4 lb/acre", "40 acre-ft", "5 ft 6 in", "68degF",
 * "3 ppm", "1.5 tons/acre") and converts in both directions. `ppm` and `ppb` mean mg/L and ug/L, as
 * water tests do. Source of the factors: NIST SP 811 (2008) appendix B, where exact. */
#ifndef LW_BASE_UNITS_H
#define LW_BASE_UNITS_H

#include "base/status.h"

#include <stdbool.h>
#include <stddef.h>

/* Exponents of length, mass, time, temperature and money. Two units convert when these agree. */
typedef struct lw_dimension {
  signed char length, mass, time, temperature, money;
} lw_dimension;

/* si = value * factor + offset (offset only for temperatures). */
typedef struct lw_unit {
  lw_dimension dimension;
  double factor, offset;
} lw_unit;

/* One row of the table: the symbol Lakeward prints, other spellings ('|' between them), and the
 * unit. `exact` tells whether the factor is a definition. */
typedef struct lw_unit_row {
  const char *symbol, *spellings, *name;
  lw_unit unit;
  bool exact;
} lw_unit_row;

extern const lw_unit_row lw_unit_rows[];
extern const size_t lw_unit_row_count;

/* Reads a unit expression such as "lb/acre", "MJ/m2/day", "gal per acre", "1/m", "%". The empty
 * text and "1" are the plain number. LW_INVALID names the piece that is not a unit. */
LW_MUST_CHECK lw_status lw_unit_parse(lw_unit *out, const char *text, lw_error *err);

bool lw_unit_same_dimension(const lw_unit *a, const lw_unit *b);

/* Values to and from SI. No check: the caller has a parsed unit. */
double lw_unit_to_si(const lw_unit *unit, double value);
double lw_unit_from_si(const lw_unit *unit, double si);

/* `value` in unit text `from`, expressed in unit text `to`. LW_INVALID when they measure different
 * things. */
LW_MUST_CHECK lw_status lw_convert(double *out, double value, const char *from, const char *to,
                                   lw_error *err);

/* Reads a quantity, `text` = number with an optional unit, into the unit `unit_text`; a bare number
 * takes that unit. `field` names it in messages. Feet and inches may be added ("5 ft 6 in").
 * Thousands commas are read ("1,200 lb"). Result is finite. */
LW_MUST_CHECK lw_status lw_quantity_parse(double *out, const char *field, const char *text,
                                          const char *unit_text, lw_error *err);

/* As above with a choice: tries `unit_text`, then `alternative` (may be NULL); *which is 0 or 1. A
 * bare number takes `unit_text`. */
LW_MUST_CHECK lw_status lw_quantity_parse_either(double *out, int *which, const char *field, const char *text,
                                                 const char *unit_text, const char *alternative,
                                                 lw_error *err);

#endif
