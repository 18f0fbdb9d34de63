/* SPDX-License-Identifier: Apache-2.0 */
/* What a column or property holds, by its name. The names are those that loggers, map programs and people
 * write (common practice, no source). */
#include "exchange/soundings_read.h"

#include "exchange/plain.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

#define METRES_PER_FOOT 0.3048 /* exact: the international foot */
#define MOST_DEPTH_M 12000.0

enum { WORDS_BYTES = 64 };

typedef struct field_name {
  const char *words; /* lower case, single spaces between */
  lw_field_kind kind;
} field_name;

/* Of two that fit, the one further up is meant. */
static const field_name names[] = {
    {"longitude", LW_FIELD_LONGITUDE},
    {"lon", LW_FIELD_LONGITUDE},
    {"long", LW_FIELD_LONGITUDE},
    {"lng", LW_FIELD_LONGITUDE},
    {"lon dd", LW_FIELD_LONGITUDE},
    {"long dd", LW_FIELD_LONGITUDE},
    {"latitude", LW_FIELD_LATITUDE},
    {"lat", LW_FIELD_LATITUDE},
    {"lat dd", LW_FIELD_LATITUDE},
    {"easting", LW_FIELD_EASTING},
    {"x", LW_FIELD_EASTING},
    {"east", LW_FIELD_EASTING},
    {"x coord", LW_FIELD_EASTING},
    {"xcoord", LW_FIELD_EASTING},
    {"point x", LW_FIELD_EASTING},
    {"utm x", LW_FIELD_EASTING},
    {"utm e", LW_FIELD_EASTING},
    {"northing", LW_FIELD_NORTHING},
    {"y", LW_FIELD_NORTHING},
    {"north", LW_FIELD_NORTHING},
    {"y coord", LW_FIELD_NORTHING},
    {"ycoord", LW_FIELD_NORTHING},
    {"point y", LW_FIELD_NORTHING},
    {"utm y", LW_FIELD_NORTHING},
    {"utm n", LW_FIELD_NORTHING},
    {"depth", LW_FIELD_DEPTH},
    {"water depth", LW_FIELD_DEPTH},
    {"waterdepth", LW_FIELD_DEPTH},
    {"bottom depth", LW_FIELD_DEPTH},
    {"depth below surface", LW_FIELD_DEPTH},
    {"depth below transducer", LW_FIELD_DEPTH},
    {"sounding", LW_FIELD_DEPTH},
    {"sonar depth", LW_FIELD_DEPTH},
    {"dbs", LW_FIELD_DEPTH},
    {"dbt", LW_FIELD_DEPTH},
    {"dpt", LW_FIELD_DEPTH},
    {"z", LW_FIELD_DEPTH},
    {"elevation", LW_FIELD_ELEVATION},
    {"bed elevation", LW_FIELD_ELEVATION},
    {"bottom elevation", LW_FIELD_ELEVATION},
    {"elev", LW_FIELD_ELEVATION},
    {"altitude", LW_FIELD_ELEVATION},
    {"height", LW_FIELD_ELEVATION},
    {"ele", LW_FIELD_ELEVATION},
    {"time", LW_FIELD_TIME},
    {"datetime", LW_FIELD_TIME},
    {"date time", LW_FIELD_TIME},
    {"timestamp", LW_FIELD_TIME},
    {"time utc", LW_FIELD_TIME},
    {"utc time", LW_FIELD_TIME},
    {"gps time", LW_FIELD_TIME},
    {"utc", LW_FIELD_TIME},
    {"date", LW_FIELD_DATE},
    {"day", LW_FIELD_DATE},
    {"track", LW_FIELD_TRACK},
    {"line", LW_FIELD_TRACK},
    {"transect", LW_FIELD_TRACK},
    {"track id", LW_FIELD_TRACK},
    {"line id", LW_FIELD_TRACK},
    {"fix quality", LW_FIELD_QUALITY},
    {"gps quality", LW_FIELD_QUALITY},
    {"quality", LW_FIELD_QUALITY},
};

static const struct {
  const char *word;
  lw_field_unit unit;
} units[] = {{"m", LW_FIELD_METRES},       {"metre", LW_FIELD_METRES},    {"metres", LW_FIELD_METRES},
             {"meter", LW_FIELD_METRES},   {"meters", LW_FIELD_METRES},   {"ft", LW_FIELD_FEET},
             {"foot", LW_FIELD_FEET},      {"feet", LW_FIELD_FEET},       {"cm", LW_FIELD_STRANGE},
             {"mm", LW_FIELD_STRANGE},     {"in", LW_FIELD_STRANGE},      {"inches", LW_FIELD_STRANGE},
             {"fathom", LW_FIELD_STRANGE}, {"fathoms", LW_FIELD_STRANGE}, {"fm", LW_FIELD_STRANGE},
             {"yd", LW_FIELD_STRANGE}};

/* "Depth_(ft)" and "depthFt" to "depth ft": words in lower case. Longer names are cut: no known one is. */
static void to_words(lw_span name, char out[WORDS_BYTES])
{
  size_t n = 0;
  bool gap = false;
  bool was_small = false;
  for (const char *at = name.at; at < name.end && n < WORDS_BYTES - 2; at++) {
    unsigned char c = (unsigned char)*at;
    if (!isalnum(c) && c < 0x80u) {
      gap = true;
      continue;
    }
    bool hump = isupper(c) && was_small; /* depthFt */
    if ((gap || hump) && n) {
      out[n++] = ' ';
    }
    gap = false;
    was_small = islower(c) != 0;
    out[n++] = (char)tolower(c);
  }
  out[n] = '\0';
}

/* Takes a unit off the end of the words: not when it is all there is. */
static lw_field_unit take_unit(char *words)
{
  char *last = strrchr(words, ' ');
  for (size_t i = 0; last && i < sizeof units / sizeof *units; i++) {
    if (strcmp(last + 1, units[i].word) == 0) {
      *last = '\0';
      return units[i].unit;
    }
  }
  return LW_FIELD_BARE;
}

lw_field lw_field_of(lw_span name)
{
  char words[WORDS_BYTES];
  to_words(name, words);
  lw_field field = {.unit = take_unit(words)};
  for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
    if (strcmp(words, names[i].words) == 0) {
      field.kind = names[i].kind;
      field.rank = (int)i;
      break;
    }
  }
  return field;
}

bool lw_field_is(lw_span name, const char *asked)
{
  if (lw_span_is(lw_span_trim(name), asked)) {
    return true;
  }
  char have[WORDS_BYTES];
  char want[WORDS_BYTES];
  to_words(name, have);
  to_words((lw_span){asked, asked + strlen(asked)}, want);
  (void)take_unit(have);
  return *have && strcmp(have, want) == 0;
}

/* --- the unit of depth --- */

static lw_field_unit unit_of_text(const char *text)
{
  for (size_t i = 0; i < sizeof units / sizeof *units; i++) {
    if (lw_span_is((lw_span){text, text + strlen(text)}, units[i].word)) {
      return units[i].unit;
    }
  }
  return LW_FIELD_STRANGE;
}

static lw_status refuse_unit(lw_soundings_reading *r, lw_span name, long line, long column, const char *what)
{
  char text[LW_EXCERPT];
  char excerpt[LW_EXCERPT];
  return lw_soundings_refuse(r, line, column, "the depth field '%s' %s",
                             lw_excerpt(lw_span_text(name, text, sizeof text), excerpt), what);
}

lw_status lw_field_scale(lw_soundings_reading *r, lw_span name, lw_field_unit unit, long line, long column,
                         double *out)
{
  lw_field_unit told = r->how->depth_unit ? unit_of_text(r->how->depth_unit) : LW_FIELD_BARE;
  if (told == LW_FIELD_STRANGE) {
    char excerpt[LW_EXCERPT];
    return lw_fail(r->err, LW_INVALID, "the depth unit '%s' should be m or ft",
                   lw_excerpt(r->how->depth_unit, excerpt));
  }
  if (unit == LW_FIELD_STRANGE) {
    return refuse_unit(r, name, line, column, "is neither in metres nor in feet; convert it to one of them");
  }
  if (unit == LW_FIELD_BARE && told == LW_FIELD_BARE) {
    return refuse_unit(r, name, line, column,
                       "does not say its unit; write it in the heading, like 'depth (ft)', or give "
                       "--depth-unit m or --depth-unit ft");
  }
  if (unit != LW_FIELD_BARE && told != LW_FIELD_BARE && unit != told) {
    return refuse_unit(r, name, line, column,
                       unit == LW_FIELD_FEET
                           ? "says feet, but the depth unit given is metres; one of them is wrong"
                           : "says metres, but the depth unit given is feet; one of them is wrong");
  }
  r->unit_told_by_file = unit != LW_FIELD_BARE;
  r->in_feet = (unit != LW_FIELD_BARE ? unit : told) == LW_FIELD_FEET;
  *out = r->in_feet ? METRES_PER_FOOT : 1;
  return LW_OK;
}

bool lw_field_depth(const lw_soundings_reading *r, double value, double scale, double *out)
{
  double depth_m = value * scale;
  if (r->how->elevations) {
    depth_m = r->how->surface_elevation_m - depth_m;
  }
  *out = depth_m;
  return fabs(depth_m) <= MOST_DEPTH_M;
}

bool lw_field_is_empty(lw_span cell)
{
  static const char *const words[] = {"-", "--", "---", "n/a", "na", "null", "none"};
  if (cell.at == cell.end) {
    return true;
  }
  for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
    if (lw_span_is(cell, words[i])) {
      return true;
    }
  }
  return false;
}

/* What recorders and map programs write for "no value" (common practice, no source). */
bool lw_field_is_no_depth(double value)
{
  return value == -9999 || value == -99999 || value == -999 || value == -32768;
}
