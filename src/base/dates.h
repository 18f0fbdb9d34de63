/* SPDX-License-Identifier: Apache-2.0 */
/* Civil dates (local to the water) as day numbers, times of day as minutes, and instants (UTC) as
 * milliseconds. Proleptic Gregorian, years 1900-2199. No clock is read here: the caller says what
 * today is. */
#ifndef LW_BASE_DATES_H
#define LW_BASE_DATES_H

#include "base/status.h"

#include <stdbool.h>
#include <stdint.h>

typedef int32_t lw_day;     /* days since 1970-01-01 */
typedef int64_t lw_instant; /* milliseconds since 1970-01-01T00:00:00Z */

#define LW_NO_DAY INT32_MIN

typedef struct lw_civil {
  int year, month, day; /* month 1-12, day 1-31 */
} lw_civil;

enum { LW_DATE_TEXT = 16, LW_INSTANT_TEXT = 32 };

bool lw_is_leap_year(int year);
int lw_days_in_month(int year, int month);
lw_day lw_day_from_civil(lw_civil civil);
lw_civil lw_civil_from_day(lw_day day);
int lw_day_of_year(lw_day day); /* 1-366 */

/* "2026-04-15" and nothing else; `field` names it in messages. */
LW_MUST_CHECK lw_status lw_date_parse(lw_day *out, const char *field, const char *text, lw_error *err);
const char *lw_date_text(lw_day day, char out[LW_DATE_TEXT]);

/* "15 Apr" or, with `with_year`, "15 Apr 2026": for people. */
const char *lw_date_words(lw_day day, bool with_year, char out[LW_DATE_TEXT]);

/* "19:30" -> minutes after midnight, 0-1439. "24:00" is refused. */
LW_MUST_CHECK lw_status lw_clock_parse(int *out_minutes, const char *field, const char *text, lw_error *err);

/* "2026-04-15T10:30:00.000Z". Parsing takes Z or an offset, with or without fractions. */
const char *lw_instant_text(lw_instant instant, char out[LW_INSTANT_TEXT]);
LW_MUST_CHECK lw_status lw_instant_parse(lw_instant *out, const char *field, const char *text, lw_error *err);

#endif
