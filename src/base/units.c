/* SPDX-License-Identifier: Apache-2.0 */
#include "base/units.h"

#include "base/text.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { EXPRESSION_MAX = 64 };

/* Folds runs of blanks to one and trims. */
static bool normalise(const char *text, size_t n, char out[EXPRESSION_MAX])
{
  size_t k = 0;
  for (size_t i = 0; i < n; i++) {
    char c = text[i];
    if (isspace((unsigned char)c)) {
      if (k && out[k - 1] != ' ') {
        out[k++] = ' ';
      }
    } else {
      out[k++] = c;
    }
    if (k + 1 >= EXPRESSION_MAX) {
      return false;
    }
  }
  while (k && out[k - 1] == ' ') {
    k--;
  }
  out[k] = '\0';
  return true;
}

static bool in_list(const char *list, const char *word, bool exact_case)
{
  size_t n = strlen(word);
  for (const char *p = list; *p;) {
    const char *bar = strchr(p, '|');
    size_t length = bar ? (size_t)(bar - p) : strlen(p);
    if (length == n) {
      bool same = true;
      for (size_t i = 0; i < n && same; i++) {
        int a = (unsigned char)p[i];
        int b = (unsigned char)word[i];
        same = exact_case ? a == b : tolower(a) == tolower(b);
      }
      if (same) {
        return true;
      }
    }
    if (!bar) {
      break;
    }
    p = bar + 1;
  }
  return false;
}

/* Exact spelling first (MG is not mg), then without case where that is not ambiguous. */
static const lw_unit_row *find_row(const char *word)
{
  for (size_t i = 0; i < lw_unit_row_count; i++) {
    const lw_unit_row *row = &lw_unit_rows[i];
    if (strcmp(row->symbol, word) == 0 || in_list(row->spellings, word, true)) {
      return row;
    }
  }
  const lw_unit_row *found = NULL;
  for (size_t i = 0; i < lw_unit_row_count; i++) {
    const lw_unit_row *row = &lw_unit_rows[i];
    if (lw_same_word(row->symbol, word) || in_list(row->spellings, word, false)) {
      if (found) {
        return NULL;
      }
      found = row;
    }
  }
  return found;
}

static void multiply(lw_unit *into, const lw_unit *by, int power)
{
  into->dimension.length = (signed char)(into->dimension.length + power * by->dimension.length);
  into->dimension.mass = (signed char)(into->dimension.mass + power * by->dimension.mass);
  into->dimension.time = (signed char)(into->dimension.time + power * by->dimension.time);
  into->dimension.temperature =
      (signed char)(into->dimension.temperature + power * by->dimension.temperature);
  into->dimension.money = (signed char)(into->dimension.money + power * by->dimension.money);
  into->factor *= power > 0 ? by->factor : 1.0 / by->factor;
}

/* The piece between two slashes of `text`; " per " counts as a slash. Returns where it ends. */
static const char *piece_end(const char *p, size_t *skip)
{
  const char *slash = strchr(p, '/');
  const char *per = strstr(p, " per ");
  if (per && (!slash || per < slash)) {
    *skip = 5;
    return per;
  }
  *skip = slash ? 1 : 0;
  return slash ? slash : p + strlen(p);
}

static lw_status bad_unit(lw_error *err, const char *piece, const char *whole)
{
  return lw_fail(err, LW_INVALID,
                 "'%s' in '%s' is not a unit Lakeward knows; use for example ft, acre, acre-ft, gal, "
                 "lb, ton, lb/acre, mg/L, degF, cfs or their metric counterparts",
                 piece, whole);
}

lw_status lw_unit_parse(lw_unit *out, const char *text, lw_error *err)
{
  char whole[EXPRESSION_MAX];
  size_t length = strlen(text);
  if (length >= EXPRESSION_MAX || !normalise(text, length, whole)) {
    return lw_fail(err, LW_INVALID, "the unit '%.40s...' is too long to be a unit", text);
  }
  *out = (lw_unit){.factor = 1.0};
  if (whole[0] == '\0') {
    return LW_OK;
  }
  const lw_unit_row *row = find_row(whole);
  if (row) {
    *out = row->unit;
    return LW_OK;
  }
  int power = 1;
  for (const char *p = whole; *p;) {
    size_t skip = 0;
    const char *end = piece_end(p, &skip);
    char piece[EXPRESSION_MAX];
    if (!normalise(p, (size_t)(end - p), piece)) {
      return bad_unit(err, p, whole);
    }
    row = find_row(piece);
    if (!row) {
      return bad_unit(err, piece, whole);
    }
    multiply(out, &row->unit, power);
    power = -1;
    p = end + skip;
    if (skip && !*p) {
      return bad_unit(err, "/", whole);
    }
  }
  return LW_OK;
}

bool lw_unit_same_dimension(const lw_unit *a, const lw_unit *b)
{
  return memcmp(&a->dimension, &b->dimension, sizeof a->dimension) == 0;
}

double lw_unit_to_si(const lw_unit *unit, double value)
{
  return value * unit->factor + unit->offset;
}

double lw_unit_from_si(const lw_unit *unit, double si)
{
  return (si - unit->offset) / unit->factor;
}

/* Same unit, or same factor and offset: no rounding on the way. */
static double change_unit(const lw_unit *from, const lw_unit *to, double value)
{
  if (from->factor == to->factor && from->offset == to->offset) {
    return value;
  }
  if (from->offset == 0.0 && to->offset == 0.0) {
    return value * (from->factor / to->factor);
  }
  return (value * from->factor + (from->offset - to->offset)) / to->factor;
}

lw_status lw_convert(double *out, double value, const char *from, const char *to, lw_error *err)
{
  lw_unit a;
  lw_unit b;
  lw_status s = lw_unit_parse(&a, from, err);
  if (s == LW_OK) {
    s = lw_unit_parse(&b, to, err);
  }
  if (s != LW_OK) {
    return s;
  }
  if (!lw_unit_same_dimension(&a, &b)) {
    return lw_fail(err, LW_INVALID, "%s cannot be expressed in %s: they measure different things",
                   *from ? from : "a plain number", *to ? to : "a plain number");
  }
  *out = change_unit(&a, &b, value);
  return isfinite(*out) ? LW_OK : lw_fail(err, LW_INVALID, "%g %s is out of range", value, from);
}

/* Reads "number unit" at *p. The unit runs to the next blank-plus-digit or the end. */
static bool read_part(const char **p, double *number, char unit[EXPRESSION_MAX])
{
  while (isspace((unsigned char)**p)) {
    (*p)++;
  }
  const char *s = *p;
  bool money = *s == '$';
  if (!lw_read_number(s + (money ? 1 : 0), true, number, &s)) {
    return false;
  }
  const char *end = s;
  while (*end &&
         !(end > s && isdigit((unsigned char)*end) && (isspace((unsigned char)end[-1]) || end[-1] == '\''))) {
    end++;
  }
  if (!normalise(s, (size_t)(end - s), unit)) {
    return false;
  }
  if (money) {
    char after[EXPRESSION_MAX];
    memcpy(after, unit, sizeof after);
    (void)snprintf(unit, EXPRESSION_MAX, "$%.*s", EXPRESSION_MAX - 2, after);
  }
  *p = end;
  return true;
}

static lw_status not_a_quantity(lw_error *err, const char *field, const char *text, const char *unit)
{
  return lw_fail(err, LW_INVALID, "%s: '%.80s' is not a number%s%s; write for example '12%s%s'", field, text,
                 *unit ? " with a unit of " : "", unit, *unit ? " " : "", unit);
}

/* "5 ft 6 in": more parts, each a length with its own unit. A minus before the first is meant for
 * all of them, be it a zero ("-0 ft 6 in"). */
static lw_status add_parts(double *si, bool negative, const char **p, const char *field, const char *text,
                           lw_error *err)
{
  while (**p) {
    double number = 0;
    char unit_name[EXPRESSION_MAX];
    lw_unit unit;
    if (!read_part(p, &number, unit_name) || !*unit_name || number < 0) {
      return not_a_quantity(err, field, text, "");
    }
    lw_status s = lw_unit_parse(&unit, unit_name, err);
    if (s != LW_OK) {
      return s;
    }
    const lw_dimension length = {.length = 1};
    if (memcmp(&unit.dimension, &length, sizeof length) != 0) {
      return lw_fail(err, LW_INVALID, "%s: '%.80s' adds things that are not feet and inches", field, text);
    }
    *si += negative ? -lw_unit_to_si(&unit, number) : lw_unit_to_si(&unit, number);
  }
  return LW_OK;
}

static lw_status parse_as(double *out, bool *other_dimension, const char *field, const char *text,
                          const char *unit_text, lw_error *err)
{
  lw_unit wanted;
  lw_status s = lw_unit_parse(&wanted, unit_text, err);
  if (s != LW_OK) {
    return s;
  }
  const char *p = text;
  double number = 0;
  char name[EXPRESSION_MAX];
  if (!read_part(&p, &number, name)) {
    return not_a_quantity(err, field, text, unit_text);
  }
  lw_unit unit = wanted;
  if (*name) {
    s = lw_unit_parse(&unit, name, err);
    if (s != LW_OK) {
      lw_error_prefix(err, "%s", field);
      return s;
    }
  }
  *other_dimension = !lw_unit_same_dimension(&unit, &wanted);
  if (*other_dimension) {
    return lw_fail(err, LW_INVALID, "%s: '%.80s' is in %s, which is not a measure of %s; give it in %s",
                   field, text, name, field, *unit_text ? unit_text : "plain numbers");
  }
  if (!*p) {
    *out = change_unit(&unit, &wanted, number);
  } else {
    const lw_dimension length = {.length = 1};
    if (!*name || memcmp(&unit.dimension, &length, sizeof length) != 0) {
      return not_a_quantity(err, field, text, unit_text);
    }
    double si = lw_unit_to_si(&unit, number);
    s = add_parts(&si, signbit(number), &p, field, text, err);
    if (s != LW_OK) {
      return s;
    }
    *out = lw_unit_from_si(&wanted, si);
  }
  return isfinite(*out) ? LW_OK : not_a_quantity(err, field, text, unit_text);
}

lw_status lw_quantity_parse(double *out, const char *field, const char *text, const char *unit_text,
                            lw_error *err)
{
  bool other = false;
  return parse_as(out, &other, field, text, unit_text, err);
}

lw_status lw_quantity_parse_either(double *out, int *which, const char *field, const char *text,
                                   const char *unit_text, const char *alternative, lw_error *err)
{
  bool other = false;
  *which = 0;
  lw_status s = parse_as(out, &other, field, text, unit_text, err);
  if (s == LW_OK || !other || !alternative) {
    return s;
  }
  lw_error second = {0};
  bool still_other = false;
  if (parse_as(out, &still_other, field, text, alternative, &second) == LW_OK) {
    *which = 1;
    if (err) {
      *err = (lw_error){0};
    }
    return LW_OK;
  }
  return s;
}
