/* SPDX-License-Identifier: Apache-2.0 */
/* What a record must be like to be kept, as far as it can be said from the record alone. */
#include "store/internal.h"

#include "base/quantity.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct subject {
  const lw_kind *kind;
  const lw_column *column;
  const void *record;
} subject;

/* ---- texts ---- */

static size_t characters(const char *text)
{
  size_t n = 0;
  for (; *text; text++) {
    n += ((unsigned char)*text & 0xC0u) != 0x80u;
  }
  return n;
}

/* Texts of any source are shown in messages only as far as they are clean. */
static lw_status check_clean(const char *kind, const char *label, const char *text, int longest,
                             lw_error *err)
{
  size_t length = strlen(text);
  if (!lw_text_is_clean(text, length)) {
    return lw_fail(err, LW_INVALID,
                   "%s %s holds bytes that are not text (UTF-8 without control "
                   "characters); type it again",
                   kind, label);
  }
  if (characters(text) > (size_t)longest) {
    return lw_fail(err, LW_INVALID, "%s %s has %zu characters; at most %d are kept: shorten it", kind, label,
                   characters(text), longest);
  }
  return LW_OK;
}

static lw_status check_name(const subject *of, const char *text, lw_error *err)
{
  size_t length = strlen(text);
  if (strpbrk(text, "\t\n")) {
    return lw_fail(err, LW_INVALID, "%s %s '%.80s' runs over a line or holds a tab; use one line",
                   of->kind->name, of->column->label, text);
  }
  if (length && (text[0] == ' ' || text[length - 1] == ' ')) {
    return lw_fail(err, LW_INVALID, "%s %s '%.80s' begins or ends with a space; leave it out", of->kind->name,
                   of->column->label, text);
  }
  return LW_OK;
}

static lw_status check_month_day(const subject *of, const char *text, lw_error *err)
{
  const int leap_year = 2024; /* 02-29 may begin a season */
  bool shaped = strlen(text) == 5 && strspn(text, "0123456789") == 2 && text[2] == '-' &&
                strspn(text + 3, "0123456789") == 2;
  int month = shaped ? (text[0] - '0') * 10 + text[1] - '0' : 0;
  int day = shaped ? (text[3] - '0') * 10 + text[4] - '0' : 0;
  if (month < 1 || month > 12 || day < 1 || day > lw_days_in_month(leap_year, month)) {
    return lw_fail(err, LW_INVALID, "%s %s is '%.20s'; it must be month and day such as 04-20",
                   of->kind->name, of->column->label, text);
  }
  return LW_OK;
}

static lw_status check_grade(const subject *of, const char *text, lw_error *err)
{
  double sum = 0;
  int parts = 0;
  const char *at = text;
  bool good = true;
  while (good && parts < 3) {
    double part = 0;
    const char *end = NULL;
    good = *at >= '0' && *at <= '9' && lw_read_number(at, false, &part, &end) &&
           !memchr(at, '/', (size_t)(end - at)) && *end == (parts < 2 ? '-' : '\0');
    sum += part;
    parts++;
    at = good ? end + 1 : at;
  }
  if (!good || !(sum <= 100)) {
    return lw_fail(err, LW_INVALID,
                   "%s %s is '%.40s'; it must be three percentages such as 12-48-8 "
                   "(nitrogen, P2O5, K2O), together at most 100",
                   of->kind->name, of->column->label, text);
  }
  return LW_OK;
}

static lw_status check_quantity(const subject *of, const char *text, lw_error *err)
{
  const lw_quantity *quantity = lw_quantity_find(text);
  if (quantity && strcmp(quantity->name, text) == 0) {
    return LW_OK;
  }
  lw_text names = LW_TEXT(400);
  for (int i = 0; i < LW_QUANTITY_COUNT; i++) {
    lw_text_addf(&names, "%s%s", i ? ", " : "", lw_quantities[i].name);
  }
  lw_status status = lw_fail(err, LW_INVALID, "%s %s is '%.40s'; it must be one of %s", of->kind->name,
                             of->column->label, text, lw_text_view(&names));
  lw_text_free(&names);
  return status;
}

/* "3,17-20": digits without a leading 0, each number above the one before. */
static bool is_numbers(const char *text)
{
  long before = 0;
  bool in_range = false;
  for (const char *at = text;; at++) {
    char *end = NULL;
    long number = *at >= '1' && *at <= '9' ? strtol(at, &end, 10) : 0;
    if (number <= before || number > INT32_MAX) {
      return false;
    }
    before = number;
    at = end;
    if (*at == '\0') {
      return true;
    }
    if (*at != ',' && (*at != '-' || in_range)) {
      return false;
    }
    in_range = *at == '-';
  }
}

static lw_status check_numbers(const subject *of, const char *text, lw_error *err)
{
  return is_numbers(text) ? LW_OK
                          : lw_fail(err, LW_INVALID,
                                    "%s %s is '%.40s'; it must be numbers of soundings from 1 upwards, such "
                                    "as 3,17-20",
                                    of->kind->name, of->column->label, text);
}

static bool is_choice(const char *choices, const char *text)
{
  size_t length = strlen(text);
  for (const char *word = choices; word; word = strchr(word, '|')) {
    word += *word == '|';
    if (strcspn(word, "|") == length && memcmp(word, text, length) == 0) {
      return true;
    }
  }
  return false;
}

static lw_status check_text(const subject *of, const char *text, lw_error *err)
{
  const lw_column *column = of->column;
  if (!text) {
    return lw_fail(err, LW_INTERNAL, "%s %s was given as no text at all", of->kind->name, column->label);
  }
  if (*text == '\0') {
    return column->required
               ? lw_fail(err, LW_INVALID, "%s %s is missing; give it", of->kind->name, column->label)
               : LW_OK;
  }
  lw_status status = check_clean(of->kind->name, column->label, text, column->longest, err);
  if (status != LW_OK) {
    return status;
  }
  if (column->choices && !is_choice(column->choices, text)) {
    return lw_fail(err, LW_INVALID, "%s %s is '%.40s'; it must be one of %s", of->kind->name, column->label,
                   text, column->choices);
  }
  switch (column->rule) {
  case LW_RULE_NAME:
    return check_name(of, text, err);
  case LW_RULE_MONTH_DAY:
    return check_month_day(of, text, err);
  case LW_RULE_GRADE:
    return check_grade(of, text, err);
  case LW_RULE_QUANTITY:
    return check_quantity(of, text, err);
  case LW_RULE_NUMBERS:
    return check_numbers(of, text, err);
  default:
    return LW_OK;
  }
}

/* ---- numbers ---- */

/* Written in full as it was given, with its unit: NaN and infinities too. */
static const char *shown(double value, const char *unit, char out[LW_SHOWN_MAX])
{
  char number[LW_NUMBER_MAX] = "not a number";
  if (isfinite(value)) {
    (void)lw_number_text(value, number);
  }
  bool bare = !unit || *unit == '\0' || strcmp(unit, "1") == 0;
  (void)snprintf(out, LW_SHOWN_MAX, "%s%s%.12s", number, bare ? "" : " ", bare ? "" : unit);
  return out;
}

static lw_status check_range(const subject *of, const char *what, double value, double low, double high,
                             const char *unit, lw_error *err)
{
  char text[3][LW_SHOWN_MAX];
  if (value >= low && value <= high) {
    return LW_OK;
  }
  return lw_fail(err, LW_INVALID,
                 "%s %s is %s; it must be between %s and %s: check the number and "
                 "its unit",
                 of->kind->name, what, shown(value, unit, text[0]), shown(low, unit, text[1]),
                 shown(high, unit, text[2]));
}

static lw_status check_quantity_value(const subject *of, double value, lw_error *err)
{
  const lw_column *name = lw_kind_column(of->kind, "quantity");
  const lw_quantity *quantity =
      name ? lw_quantity_find(*(const char *const *)lw_member(of->record, name)) : NULL;
  if (!quantity) {
    return LW_OK; /* refused at its own column */
  }
  if (quantity->choices && isfinite(value) && value != floor(value)) {
    char text[LW_SHOWN_MAX];
    return lw_fail(err, LW_INVALID, "%s %s is %s; it must be one of %s", of->kind->name, quantity->label,
                   shown(value, NULL, text), quantity->choices);
  }
  return check_range(of, quantity->label, value, quantity->possible_low, quantity->possible_high,
                     quantity->unit, err);
}

static lw_status check_number(const subject *of, double value, lw_error *err)
{
  const lw_column *column = of->column;
  if (column->rule == LW_RULE_QUANTITY_VALUE) {
    return check_quantity_value(of, value, err);
  }
  lw_status status = check_range(of, column->label, value, column->low, column->high, column->unit, err);
  if (status == LW_OK && column->rule == LW_RULE_NOT_ZERO && value == 0) {
    status = lw_fail(err, LW_INVALID, "%s %s is 0; give how much it was", of->kind->name, column->label);
  }
  if (status == LW_OK && column->type == LW_COLUMN_MAYBE_WHOLE && value != floor(value)) {
    char text[LW_SHOWN_MAX];
    status = lw_fail(err, LW_INVALID, "%s %s is %s; it must be a whole number", of->kind->name, column->label,
                     shown(value, column->unit, text));
  }
  return status;
}

/* "mean depth is 4 m, more than greatest depth, 3 m" */
static lw_status check_not_above(const subject *of, double value, lw_error *err)
{
  const lw_column *other = lw_kind_column(of->kind, of->column->not_above);
  lw_maybe limit = *(const lw_maybe *)lw_member(of->record, other);
  if (!limit.known || value <= limit.value) {
    return LW_OK;
  }
  char text[2][LW_SHOWN_MAX];
  return lw_fail(err, LW_INVALID, "%s %s is %s, more than %s, %s; correct one of them", of->kind->name,
                 of->column->label, shown(value, of->column->unit, text[0]), other->label,
                 shown(limit.value, other->unit, text[1]));
}

static lw_status check_maybe(const subject *of, lw_maybe maybe, lw_error *err)
{
  lw_status status = LW_OK;
  if (maybe.known) {
    status = check_number(of, maybe.value, err);
    if (status == LW_OK && of->column->not_above) {
      status = check_not_above(of, maybe.value, err);
    }
  }
  return status;
}

/* ---- dates ---- */

static bool is_day(lw_day day)
{
  return day >= lw_day_from_civil((lw_civil){1900, 1, 1}) &&
         day <= lw_day_from_civil((lw_civil){2199, 12, 31});
}

static lw_status check_date(const subject *of, lw_day day, lw_error *err)
{
  const lw_column *column = of->column;
  if (day == LW_NO_DAY) {
    return column->type == LW_COLUMN_MAYBE_DATE
               ? LW_OK
               : lw_fail(err, LW_INVALID, "%s %s is missing; give a date such as 2026-04-15", of->kind->name,
                         column->label);
  }
  if (!is_day(day)) {
    return lw_fail(err, LW_INVALID,
                   "%s %s is %d days from 1970; it must lie in the years 1900 to "
                   "2199",
                   of->kind->name, column->label, (int)day);
  }
  if (column->not_above) {
    const lw_column *other = lw_kind_column(of->kind, column->not_above);
    lw_day limit = *(const lw_day *)lw_member(of->record, other);
    if (limit != LW_NO_DAY && day > limit && is_day(limit)) {
      char text[2][LW_DATE_TEXT];
      return lw_fail(err, LW_INVALID, "%s %s is %s, after %s, %s; correct one of them", of->kind->name,
                     column->label, lw_date_text(day, text[0]), other->label, lw_date_text(limit, text[1]));
    }
  }
  return LW_OK;
}

/* ---- records and changes ---- */

static lw_status check_column(const subject *of, lw_error *err)
{
  const void *member = lw_member(of->record, of->column);
  switch (of->column->type) {
  case LW_COLUMN_TEXT:
    return check_text(of, *(const char *const *)member, err);
  case LW_COLUMN_NUMBER:
    return check_number(of, *(const double *)member, err);
  case LW_COLUMN_MAYBE:
  case LW_COLUMN_MAYBE_WHOLE:
    return check_maybe(of, *(const lw_maybe *)member, err);
  case LW_COLUMN_DATE:
  case LW_COLUMN_MAYBE_DATE:
    return check_date(of, *(const lw_day *)member, err);
  case LW_COLUMN_REFERENCE:
    if (*(const lw_id *)member == 0 && of->column->required) {
      return lw_fail(err, LW_INVALID, "%s %s is missing; say which", of->kind->name, of->column->label);
    }
    return LW_OK;
  case LW_COLUMN_BOOLEAN:
  case LW_COLUMN_OUTLINE: /* large.c */
  case LW_COLUMN_SOUNDINGS:
    break;
  }
  return LW_OK;
}

lw_status lw_record_check(lw_kind_id kind, const void *record, lw_error *err)
{
  const lw_kind *description = &lw_kinds[kind];
  for (size_t i = 0; i < description->column_count; i++) {
    subject of = {description, &description->columns[i], record};
    lw_status status = check_column(&of, err);
    if (status != LW_OK) {
      return status;
    }
  }
  return LW_OK;
}

lw_status lw_change_check(const lw_change *change, lw_error *err)
{
  enum { WHO = 80, WHY = 2000, ACTION = 2000 };
  const lw_instant per_day = 86400000;
  if (!change || !change->who || !change->why || !change->action) {
    return lw_fail(err, LW_INTERNAL, "a change was begun without saying who, why or what");
  }
  if (change->at < lw_day_from_civil((lw_civil){1900, 1, 1}) * per_day ||
      change->at >= (lw_day_from_civil((lw_civil){2199, 12, 31}) + 1) * per_day) {
    return lw_fail(err, LW_INVALID,
                   "the time of the change must lie in the years 1900 to 2199; set "
                   "the clock of this machine");
  }
  lw_status status = check_clean("change", "who", change->who, WHO, err);
  if (status == LW_OK) {
    status = check_clean("change", "why", change->why, WHY, err);
  }
  return status == LW_OK ? check_clean("change", "action", change->action, ACTION, err) : status;
}
