/* SPDX-License-Identifier: Apache-2.0 */
/* Soundings from GeoJSON (RFC 7946): points whose depth is a property. Feature after feature, so that a file
 * of a million needs no more memory than one of ten. */
#include "exchange/soundings_read.h"

#include "exchange/geojson_check.h"
#include "exchange/json_memory.h"
#include "exchange/plain.h"

#include <jansson.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct points_reader {
  lw_soundings_reading *r;
  const char *at, *end;
  const char *counted; /* the text before it holds `line` - 1 line ends */
  long line;
  double scale;
  bool scale_known, any_feature;
} points_reader;

/* --- places --- */

static long line_at(points_reader *p, const char *at)
{
  for (; p->counted < at; p->counted++) {
    p->line += *p->counted == '\n' ? 1 : 0;
  }
  return p->line;
}

static long column_at(const points_reader *p, const char *at)
{
  long column = 1;
  for (const char *c = at; c > p->r->text && c[-1] != '\n'; c--) {
    column += ((unsigned char)c[-1] & 0xC0u) != 0x80u ? 1 : 0;
  }
  return column;
}

static lw_status refuse_at(points_reader *p, const char *at, const char *sentence)
{
  long line = line_at(p, at);
  return lw_soundings_refuse(p->r, line, column_at(p, at), "%s", sentence);
}

static const char truncated[] = "the file ends before its last bracket is closed: it was cut short, perhaps "
                                "while it was copied; copy or export "
                                "it again";

/* --- pieces of JSON --- */

static void skip_space(points_reader *p)
{
  while (p->at < p->end && (*p->at == ' ' || *p->at == '\t' || *p->at == '\n' || *p->at == '\r')) {
    p->at++;
  }
}

/* The character expected next; false leaves the place. */
static bool take_mark(points_reader *p, char mark)
{
  skip_space(p);
  bool fits = p->at < p->end && *p->at == mark;
  p->at += fits ? 1 : 0;
  return fits;
}

static lw_status refuse_mark(points_reader *p, const char *expected)
{
  char sentence[160];
  skip_space(p);
  (void)snprintf(sentence, sizeof sentence, "this is not JSON: expected %s here", expected);
  return refuse_at(p, p->at, p->at == p->end ? truncated : sentence);
}

/* The next value, whatever it is; the caller lets go of it. */
static lw_status take_value(points_reader *p, json_t **out)
{
  json_error_t fault;
  skip_space(p);
  const char *from = p->at;
  *out = NULL;
  if (from == p->end) {
    return refuse_at(p, from, truncated);
  }
  (void)lw_json_ran_short();
  json_t *value = json_loadb(
      from, (size_t)(p->end - from),
      JSON_REJECT_DUPLICATES | JSON_DECODE_ANY | JSON_DECODE_INT_AS_REAL | JSON_DISABLE_EOF_CHECK, &fault);
  if (lw_json_ran_short()) {
    json_decref(value);
    return lw_soundings_fail_memory(p->r);
  }
  if (!value) {
    size_t passed = fault.position > 0 ? (size_t)fault.position : 0;
    /* the position is past what it stumbled over */
    const char *place = passed < (size_t)(p->end - from) ? from + (passed ? passed - 1 : 0) : p->end;
    char sentence[JSON_ERROR_TEXT_LENGTH + 32];
    lw_make_plain(fault.text);
    (void)snprintf(sentence, sizeof sentence, "this is not JSON: %s", fault.text);
    return refuse_at(p, place, place == p->end ? truncated : sentence);
  }
  p->at += fault.position > 0 ? fault.position : 0;
  *out = value;
  return LW_OK;
}

/* --- one point --- */

/* The value of a property as a number: as it is, or written in quotes. */
static bool number_of(const json_t *value, double *out, bool *empty)
{
  *empty = value == NULL || json_is_null(value);
  if (json_is_number(value)) {
    *out = json_number_value(value);
    return isfinite(*out);
  }
  const char *text = json_string_value(value);
  if (!text) {
    return false;
  }
  lw_span span = lw_span_trim((lw_span){text, text + strlen(text)});
  *empty = lw_field_is_empty(span);
  return lw_span_number(span, false, out);
}

static lw_span span_of(const char *text)
{
  return (lw_span){text, text + strlen(text)};
}

/* The name of the depth's property; NULL: there is none. */
static const char *find_depth(const points_reader *p, json_t *properties, lw_field *out)
{
  const lw_soundings_how *how = p->r->how;
  lw_field_kind wanted = how->elevations ? LW_FIELD_ELEVATION : LW_FIELD_DEPTH;
  const char *best = NULL;
  for (void *i = json_object_iter(properties); i; i = json_object_iter_next(properties, i)) {
    const char *name = json_object_iter_key(i);
    lw_field field = lw_field_of(span_of(name));
    bool fits = how->depth_field ? lw_field_is(span_of(name), how->depth_field) : field.kind == wanted;
    if (fits && (!best || field.rank < out->rank)) {
      best = name;
      *out = field;
    }
  }
  return best;
}

static lw_status take_depth(points_reader *p, json_t *properties, const char *from, lw_fix *fix, bool *there)
{
  lw_field field = {0};
  const char *name = find_depth(p, properties, &field);
  double value = 0;
  bool empty = true;
  bool number = name && number_of(json_object_get(properties, name), &value, &empty);
  *there = name && !empty && !(number && lw_field_is_no_depth(value));
  if (!*there) {
    p->r->out.without_depth++;
    return LW_OK;
  }
  if (!number) {
    char excerpt[LW_EXCERPT];
    long line = line_at(p, from);
    return lw_soundings_refuse(p->r, line, column_at(p, from),
                               "the property '%s' of this point is not a number", lw_excerpt(name, excerpt));
  }
  if (!p->scale_known) {
    long line = line_at(p, from);
    lw_status status = lw_field_scale(p->r, span_of(name), field.unit, line, column_at(p, from), &p->scale);
    if (status != LW_OK) {
      return status;
    }
    p->scale_known = true;
  }
  return lw_field_depth(p->r, value, p->scale, &fix->depth_m)
             ? LW_OK
             : refuse_at(p, from, "the depth of this point is that of no water on Earth");
}

/* Time and track, where a property tells them. Other values of such names are not meant for us. */
static void take_extras(json_t *properties, lw_fix *fix)
{
  for (void *i = json_object_iter(properties); i; i = json_object_iter_next(properties, i)) {
    const json_t *value = json_object_iter_value(i);
    const char *text = json_string_value(value);
    lw_field_kind kind = lw_field_of(span_of(json_object_iter_key(i))).kind;
    double number = 0;
    bool empty = true;
    if (kind == LW_FIELD_TIME && text) {
      (void)lw_read_instant(lw_span_trim(span_of(text)), &fix->time_s);
    } else if (kind == LW_FIELD_TIME && json_is_number(value)) {
      char written[40];
      (void)snprintf(written, sizeof written, "%.6f", json_number_value(value));
      (void)lw_read_instant(span_of(written), &fix->time_s);
    } else if (kind == LW_FIELD_TRACK && number_of(value, &number, &empty) && number >= 0 && number < 1e9) {
      fix->track = (int32_t)number;
    }
  }
}

static lw_status take_position(points_reader *p, const json_t *position, const char *from, lw_fix *fix)
{
  const json_t *x = json_array_get(position, 0);
  const json_t *y = json_array_get(position, 1);
  if (!json_is_number(x) || !json_is_number(y)) {
    return refuse_at(p, from, "a position should be [longitude, latitude] in degrees");
  }
  fix->longitude = json_number_value(x);
  fix->latitude = json_number_value(y);
  long line = line_at(p, from);
  return lw_soundings_check_position(p->r, fix->longitude, fix->latitude, line, column_at(p, from));
}

/* A point that has a depth, or one of a MultiPoint that share it. */
static lw_status take_points(points_reader *p, const json_t *geometry, json_t *properties, const char *from)
{
  const char *type = json_string_value(json_object_get(geometry, "type"));
  const json_t *coordinates = json_object_get(geometry, "coordinates");
  bool many = type && strcmp(type, "MultiPoint") == 0;
  lw_fix fix = {.time_s = NAN, .track = -1, .line = line_at(p, from)};
  bool there = false;
  if (!many && (!type || strcmp(type, "Point") != 0)) {
    return type && json_is_array(coordinates)
               ? refuse_at(p, from,
                           "soundings are points; this feature is none: leave out lines and polygons")
               : refuse_at(p, from, "the geometry of a sounding should be a Point with its \"coordinates\"");
  }
  lw_status status = take_depth(p, properties, from, &fix, &there);
  take_extras(properties, &fix);
  size_t n = many ? json_array_size(coordinates) : 1;
  for (size_t i = 0; i < n && there && status == LW_OK; i++) {
    status = take_position(p, many ? json_array_get(coordinates, i) : coordinates, from, &fix);
    if (status == LW_OK) {
      status = lw_soundings_add(p->r, &fix);
    }
  }
  return status;
}

static lw_status take_feature(points_reader *p, const json_t *feature, const char *from)
{
  const char *type = json_string_value(json_object_get(feature, "type"));
  const json_t *geometry = json_object_get(feature, "geometry");
  p->any_feature = true;
  if (!type || strcmp(type, "Feature") != 0) {
    return refuse_at(p, from, "expected a Feature with a Point and its depth among its \"properties\"");
  }
  if (!geometry || json_is_null(geometry)) {
    p->r->out.without_position++;
    return LW_OK;
  }
  return take_points(p, geometry, json_object_get(feature, "properties"), from);
}

/* --- the document --- */

static lw_status take_features(points_reader *p)
{
  if (!take_mark(p, '[')) {
    return refuse_mark(p, "a list of features");
  }
  p->any_feature = true;
  if (take_mark(p, ']')) {
    return LW_OK;
  }
  lw_status status = LW_OK;
  do {
    json_t *feature = NULL;
    skip_space(p);
    const char *from = p->at;
    status = take_value(p, &feature);
    if (status == LW_OK) {
      status = take_feature(p, feature, from);
    }
    json_decref(feature);
  } while (status == LW_OK && take_mark(p, ','));
  return status != LW_OK || take_mark(p, ']') ? status : refuse_mark(p, "',' or ']'");
}

static lw_status check_crs(points_reader *p, const json_t *crs, const char *from)
{
  const json_t *name = json_object_get(json_object_get(crs, "properties"), "name");
  char sentence[LW_POSITION_SENTENCE];
  const char *text = json_string_value(name);
  if (text && !p->r->how->system && !lw_crs_is_degrees(text, sentence)) {
    return refuse_at(p, from,
                     "the file names a coordinate system of its own; name the same with --crs, or export the "
                     "soundings in longitude and latitude");
  }
  return LW_OK;
}

static lw_status take_member(points_reader *p)
{
  json_t *key = NULL;
  json_t *value = NULL;
  lw_status status = take_value(p, &key);
  if (status == LW_OK && !json_is_string(key)) {
    status = refuse_mark(p, "a name in quotes");
  }
  if (status == LW_OK && !take_mark(p, ':')) {
    status = refuse_mark(p, "':'");
  }
  bool features = status == LW_OK && strcmp(json_string_value(key), "features") == 0;
  const char *from = p->at;
  if (features) {
    status = take_features(p);
  } else if (status == LW_OK) {
    status = take_value(p, &value);
  }
  if (value && strcmp(json_string_value(key), "crs") == 0) {
    status = check_crs(p, value, from);
  }
  json_decref(key);
  json_decref(value);
  return status;
}

static lw_status take_members(points_reader *p)
{
  if (!take_mark(p, '{')) {
    return refuse_mark(p, "a GeoJSON object");
  }
  if (take_mark(p, '}')) {
    return LW_OK;
  }
  lw_status status = LW_OK;
  do {
    status = take_member(p);
  } while (status == LW_OK && take_mark(p, ','));
  return status != LW_OK || take_mark(p, '}') ? status : refuse_mark(p, "',' or '}'");
}

static lw_status check_rest(points_reader *p)
{
  skip_space(p);
  return p->at == p->end ? LW_OK : refuse_mark(p, "the end of the file");
}

static lw_status refuse_without_depth(points_reader *p)
{
  char excerpt[LW_EXCERPT];
  const char *asked = p->r->how->depth_field;
  if (asked) {
    return lw_soundings_refuse(p->r, 0, 0, "none of the %zu points has a property '%s' with a depth",
                               p->r->out.without_depth, lw_excerpt(asked, excerpt));
  }
  return lw_soundings_refuse(
      p->r, 0, 0,
      "none of the %zu points has a property for its depth; name the one that holds it with "
      "--depth-field",
      p->r->out.without_depth);
}

lw_status lw_soundings_read_geojson(lw_soundings_reading *r)
{
  points_reader p = {.r = r, .at = r->text, .end = r->text + r->length, .counted = r->text, .line = 1};
  r->out.format = "GeoJSON";
  r->is_grid = r->how->system != NULL;
  lw_status status = take_members(&p);
  if (status == LW_OK) {
    status = check_rest(&p);
  }
  if (status == LW_OK && !p.any_feature) {
    return lw_soundings_refuse(
        r, 1, 1,
        "this is JSON but no FeatureCollection of points; soundings are Features with a Point "
        "and a property for the depth");
  }
  if (status == LW_OK && r->out.count == 0 && r->out.without_depth > 0) {
    return refuse_without_depth(&p);
  }
  return status;
}
