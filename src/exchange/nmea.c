/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/nmea.h"

#include <math.h>
#include <string.h>

/* --- one sentence out of a line --- */

static int hex_digit(char c)
{
  if (c >= '0' && c <= '9') {
    return c - '0';
  }
  if (c >= 'A' && c <= 'F') {
    return c - 'A' + 10;
  }
  return c >= 'a' && c <= 'f' ? c - 'a' + 10 : -1;
}

static bool is_name(const char *at)
{
  for (int i = 0; i < 5; i++) {
    if (!((at[i] >= 'A' && at[i] <= 'Z') || (i < 2 && at[i] >= '0' && at[i] <= '9'))) {
      return false;
    }
  }
  return true;
}

/* Takes "*hh" off the end. The checksum is the exclusive or of all between '$' and '*'. */
static lw_sentence_state take_checksum(lw_span *body, bool *checked)
{
  const char *star = memchr(body->at, '*', lw_span_length(*body));
  *checked = star != NULL;
  if (!star) {
    return LW_SENTENCE_GOOD;
  }
  if (body->end - star != 3 || hex_digit(star[1]) < 0 || hex_digit(star[2]) < 0) {
    return LW_SENTENCE_BROKEN;
  }
  unsigned sum = 0;
  for (const char *at = body->at; at < star; at++) {
    sum ^= (unsigned char)*at;
  }
  body->end = star;
  return sum == (unsigned)(hex_digit(star[1]) * 16 + hex_digit(star[2])) ? LW_SENTENCE_GOOD
                                                                         : LW_SENTENCE_CHECKSUM;
}

static bool is_printable(lw_span body)
{
  for (const char *at = body.at; at < body.end; at++) {
    if (*at < 0x20 || *at > 0x7E) {
      return false;
    }
  }
  return true;
}

static void split_fields(lw_sentence *out, lw_span body)
{
  const char *at = body.at;
  out->count = 0;
  while (out->count < LW_SENTENCE_FIELDS) {
    const char *comma = memchr(at, ',', (size_t)(body.end - at));
    const char *stop = comma ? comma : body.end;
    out->fields[out->count++] = lw_span_trim((lw_span){at, stop});
    if (!comma) {
      return;
    }
    at = comma + 1;
  }
}

lw_sentence_state lw_sentence_next(const char **at, const char *end, lw_sentence *out)
{
  const char *from = *at < end ? memchr(*at, '$', (size_t)(end - *at)) : NULL;
  if (!from) {
    *at = end;
    return LW_SENTENCE_NONE;
  }
  const char *next = memchr(from + 1, '$', (size_t)(end - from - 1));
  *at = next ? next : end;
  lw_span body = lw_span_trim((lw_span){from + 1, *at});
  size_t length = lw_span_length(body);
  if (length < 2 || length > LW_SENTENCE_LENGTH || !is_printable(body)) {
    return LW_SENTENCE_BROKEN;
  }
  lw_sentence_state state = take_checksum(&body, &out->checked);
  if (state != LW_SENTENCE_GOOD) {
    return state;
  }
  if (*body.at == 'P') { /* a maker's own */
    return LW_SENTENCE_OTHER;
  }
  if (lw_span_length(body) < 6 || !is_name(body.at) || body.at[5] != ',') {
    return LW_SENTENCE_BROKEN;
  }
  memcpy(out->name, body.at, 5);
  out->name[5] = '\0';
  split_fields(out, (lw_span){body.at + 6, body.end});
  return LW_SENTENCE_GOOD;
}

const char *lw_sentence_kind(const lw_sentence *sentence)
{
  return sentence->name + 2;
}

lw_span lw_sentence_field(const lw_sentence *sentence, size_t index)
{
  return index < sentence->count ? sentence->fields[index] : (lw_span){NULL, NULL};
}

/* --- fields --- */

static bool is_empty(lw_span field)
{
  return field.at == field.end;
}

static bool is_letter(lw_span field, char letter)
{
  return lw_span_length(field) == 1 && (*field.at == letter || *field.at == letter + ('a' - 'A'));
}

/* "ddmm.mmm" or "dddmm.mmm": `digits` of degrees. */
static bool read_angle(lw_span field, int digits, double *out)
{
  double minutes = 0;
  if (lw_span_length(field) < (size_t)digits + 2 || lw_digits(field.at + digits, 2) < 0) {
    return false;
  }
  int degrees = lw_digits(field.at, digits);
  if (degrees < 0 || !lw_span_number((lw_span){field.at + digits, field.end}, false, &minutes) ||
      minutes >= 60) {
    return false;
  }
  *out = degrees + minutes / 60;
  return true;
}

bool lw_sentence_position(const lw_sentence *sentence, size_t index, double *longitude, double *latitude)
{
  lw_span north = lw_sentence_field(sentence, index + 1);
  lw_span east = lw_sentence_field(sentence, index + 3);
  if (!read_angle(lw_sentence_field(sentence, index), 2, latitude) ||
      !read_angle(lw_sentence_field(sentence, index + 2), 3, longitude)) {
    return false;
  }
  if (!(is_letter(north, 'N') || is_letter(north, 'S')) || !(is_letter(east, 'E') || is_letter(east, 'W'))) {
    return false;
  }
  *latitude = is_letter(north, 'S') ? -*latitude : *latitude;
  *longitude = is_letter(east, 'W') ? -*longitude : *longitude;
  return fabs(*latitude) <= 90 && fabs(*longitude) <= 180;
}

bool lw_sentence_time(lw_span field, double *out_s)
{
  *out_s = NAN;
  if (is_empty(field)) {
    return true;
  }
  double seconds = 0;
  if (lw_span_length(field) < 6) {
    return false;
  }
  int hours = lw_digits(field.at, 2);
  int minutes = lw_digits(field.at + 2, 2);
  if (hours < 0 || hours > 23 || minutes < 0 || minutes > 59 || lw_digits(field.at + 4, 2) < 0 ||
      !lw_span_number((lw_span){field.at + 4, field.end}, false, &seconds) || seconds >= 61) {
    return false;
  }
  *out_s = hours * 3600.0 + minutes * 60.0 + seconds;
  return true;
}

static bool make_day(int year, int month, int day, lw_day *out)
{
  if (year < 1980 || year > 2199 || month < 1 || month > 12 || day < 1 ||
      day > lw_days_in_month(year, month)) {
    return false;
  }
  *out = lw_day_from_civil((lw_civil){year, month, day});
  return true;
}

bool lw_sentence_day(lw_span field, lw_day *out)
{
  *out = LW_NO_DAY;
  if (is_empty(field)) {
    return true;
  }
  if (lw_span_length(field) != 6) {
    return false;
  }
  int year = lw_digits(field.at + 4, 2);
  return year >= 0 &&
         make_day(year + (year >= 80 ? 1900 : 2000), lw_digits(field.at + 2, 2), lw_digits(field.at, 2), out);
}

/* --- positions --- */

/* Quality 0 is no fix; 6 to 8 are reckoned, typed in or simulated: no place of a boat either. */
static bool is_fix_quality(lw_span field)
{
  return lw_span_length(field) == 1 && strchr("123459", *field.at);
}

/* Mode indicator (since version 2.3): A autonomous, D differential, P precise, F and R real-time kinematic.
 */
static bool is_fix_mode(lw_span field)
{
  return is_empty(field) || (lw_span_length(field) == 1 && strchr("ADPFR", *field.at));
}

static lw_nmea_answer answer(bool has_fix, const lw_sentence *s, size_t position, size_t time,
                             lw_nmea_fix *out)
{
  if (!lw_sentence_time(lw_sentence_field(s, time), &out->time_s)) {
    return LW_NMEA_BAD;
  }
  if (!has_fix || is_empty(lw_sentence_field(s, position))) {
    return LW_NMEA_EMPTY;
  }
  if (!lw_sentence_position(s, position, &out->longitude, &out->latitude)) {
    return LW_NMEA_BAD;
  }
  /* what receivers write that have no fix but say otherwise */
  return out->longitude == 0 && out->latitude == 0 ? LW_NMEA_EMPTY : LW_NMEA_YES;
}

lw_nmea_answer lw_nmea_position(const lw_sentence *s, lw_nmea_fix *out)
{
  const char *kind = lw_sentence_kind(s);
  out->day = LW_NO_DAY;
  if (strcmp(kind, "GGA") == 0) {
    return answer(is_fix_quality(lw_sentence_field(s, 5)), s, 1, 0, out);
  }
  if (strcmp(kind, "GLL") == 0) {
    /* old ones end before the status */
    bool valid = s->count < 6 || is_letter(lw_sentence_field(s, 5), 'A');
    return answer(valid && is_fix_mode(lw_sentence_field(s, 6)), s, 0, 4, out);
  }
  if (strcmp(kind, "RMC") == 0) {
    bool valid = is_letter(lw_sentence_field(s, 1), 'A') && is_fix_mode(lw_sentence_field(s, 11));
    return lw_sentence_day(lw_sentence_field(s, 8), &out->day) ? answer(valid, s, 2, 0, out) : LW_NMEA_BAD;
  }
  return LW_NMEA_NO;
}

lw_nmea_answer lw_nmea_date(const lw_sentence *s, lw_nmea_fix *out)
{
  if (strcmp(lw_sentence_kind(s), "ZDA") != 0) {
    return LW_NMEA_NO;
  }
  lw_span day = lw_sentence_field(s, 1);
  lw_span month = lw_sentence_field(s, 2);
  lw_span year = lw_sentence_field(s, 3);
  if (is_empty(day) || is_empty(month) || is_empty(year)) {
    return LW_NMEA_EMPTY;
  }
  if (lw_span_length(day) != 2 || lw_span_length(month) != 2 || lw_span_length(year) != 4 ||
      !lw_sentence_time(lw_sentence_field(s, 0), &out->time_s) ||
      !make_day(lw_digits(year.at, 4), lw_digits(month.at, 2), lw_digits(day.at, 2), &out->day)) {
    return LW_NMEA_BAD;
  }
  return isnan(out->time_s) ? LW_NMEA_EMPTY : LW_NMEA_YES;
}

/* --- depths --- */

static lw_nmea_answer check_depth(double depth_m)
{
  return depth_m >= 0 && depth_m <= 12000 ? LW_NMEA_YES : LW_NMEA_BAD;
}

/* "$--DPT,depth,offset,range": a positive offset is the distance from transducer to waterline, a negative one
 * from transducer to keel (NOAA NCEI, format-dpt.txt), which is no part of the depth. */
static lw_nmea_answer take_dpt(const lw_sentence *s, lw_nmea_depth *out)
{
  lw_span depth = lw_sentence_field(s, 0);
  lw_span offset = lw_sentence_field(s, 1);
  if (is_empty(depth)) {
    return LW_NMEA_EMPTY;
  }
  if (!lw_span_number(depth, false, &out->depth_m) ||
      (!is_empty(offset) && !lw_span_number(offset, false, &out->offset_m)) || fabs(out->offset_m) > 100) {
    return LW_NMEA_BAD;
  }
  out->offset_m = fmax(out->offset_m, 0);
  return check_depth(out->depth_m);
}

/* "$--DBT,feet,f,metres,M,fathoms,F". Feet and metres must say the same, as far as their decimals go. */
static lw_nmea_answer take_dbt(const lw_sentence *s, lw_nmea_depth *out)
{
  static const double metres[] = {0.3048, 1, 1.8288};
  static const char letters[] = {'F', 'M', 'F'};
  static const size_t best_first[] = {1, 0, 2};
  double value[3] = {NAN, NAN, NAN};
  for (size_t i = 0; i < 3; i++) {
    lw_span field = lw_sentence_field(s, 2 * i);
    if (!is_empty(field) && (!is_letter(lw_sentence_field(s, 2 * i + 1), letters[i]) ||
                             !lw_span_number(field, false, &value[i]))) {
      return LW_NMEA_BAD;
    }
    value[i] *= metres[i];
  }
  if (fabs(value[0] - value[1]) > 0.3 + 0.03 * fabs(value[1])) {
    return LW_NMEA_BAD;
  }
  for (size_t i = 0; i < 3; i++) {
    if (!isnan(value[best_first[i]])) {
      out->depth_m = value[best_first[i]];
      return check_depth(out->depth_m);
    }
  }
  return LW_NMEA_EMPTY;
}

lw_nmea_answer lw_nmea_depth_of(const lw_sentence *s, lw_nmea_depth *out)
{
  const char *kind = lw_sentence_kind(s);
  *out = (lw_nmea_depth){.from_surface = strcmp(kind, "DBS") == 0};
  if (strcmp(kind, "DPT") == 0) {
    return take_dpt(s, out);
  }
  return out->from_surface || strcmp(kind, "DBT") == 0 ? take_dbt(s, out) : LW_NMEA_NO;
}
