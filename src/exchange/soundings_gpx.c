/* SPDX-License-Identifier: Apache-2.0 */
/* Soundings from GPX 1.0 and 1.1: waypoints, track points and route points whose depth stands in an element
 * of the point or of its extensions. Read by Expat, without a document type: nothing is expanded, nothing
 * fetched. GPX is in metres throughout (topografix.com/GPX/1/1), and so are depths in it unless the caller
 * says feet. */
#include "exchange/soundings_read.h"

#include "exchange/plain.h"

#include <expat.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { DEEPEST = 64, TEXT_BYTES = 128, PIECE = 1 << 20 };

typedef struct gpx_reader {
  lw_soundings_reading *r;
  XML_Parser parser;
  lw_status status;
  int depth;       /* of open elements */
  int point_depth; /* of the open point's element, 0: none is open */
  lw_fix fix;
  bool has_position, has_depth;
  int depth_rank;
  int32_t track;
  double scale;
  bool scale_known;
  char element[TEXT_BYTES]; /* the innermost open one */
  char text[TEXT_BYTES];    /* in it */
  size_t text_length;
  bool leaf;    /* no element has ended in it */
  bool is_long; /* its text */
} gpx_reader;

static long line_of(const gpx_reader *g)
{
  return (long)XML_GetCurrentLineNumber(g->parser);
}

static long column_of(const gpx_reader *g)
{
  return (long)XML_GetCurrentColumnNumber(g->parser) + 1;
}

static void stop(gpx_reader *g, lw_status status)
{
  if (g->status == LW_OK && status != LW_OK) {
    g->status = status;
    (void)XML_StopParser(g->parser, XML_FALSE);
  }
}

/* Without the prefix of its name space. */
static const char *local_name(const char *name)
{
  const char *colon = strrchr(name, ':');
  return colon ? colon + 1 : name;
}

static lw_span span_of(const char *text)
{
  return (lw_span){text, text + strlen(text)};
}

/* --- points --- */

static bool is_point(const char *name)
{
  return strcmp(name, "trkpt") == 0 || strcmp(name, "wpt") == 0 || strcmp(name, "rtept") == 0;
}

static lw_status read_attribute(gpx_reader *g, const char *name, const char *text, double *out)
{
  if (lw_span_number(lw_span_trim(span_of(text)), false, out)) {
    return LW_OK;
  }
  char excerpt[LW_EXCERPT];
  return lw_soundings_refuse(g->r, line_of(g), column_of(g),
                             "%s=\"%s\" is not a number; expected decimal degrees", name,
                             lw_excerpt(text, excerpt));
}

static lw_status open_point(gpx_reader *g, const char *name, const char **attributes)
{
  lw_status status = LW_OK;
  double lat = NAN;
  double lon = NAN;
  for (size_t i = 0; attributes[i] && status == LW_OK; i += 2) {
    if (strcmp(attributes[i], "lat") == 0) {
      status = read_attribute(g, "lat", attributes[i + 1], &lat);
    } else if (strcmp(attributes[i], "lon") == 0) {
      status = read_attribute(g, "lon", attributes[i + 1], &lon);
    }
  }
  g->point_depth = g->depth;
  g->has_position = !isnan(lat) && !isnan(lon);
  g->has_depth = false;
  g->depth_rank = 1 << 20;
  g->fix = (lw_fix){.longitude = lon, .latitude = lat, .time_s = NAN, .line = line_of(g)};
  g->fix.track = strcmp(name, "trkpt") == 0 ? g->track : -1;
  if (status == LW_OK && g->has_position) {
    status = lw_soundings_check_position(g->r, lon, lat, line_of(g), column_of(g));
  }
  return status;
}

static lw_status close_point(gpx_reader *g)
{
  g->point_depth = 0;
  if (!g->has_position) {
    g->r->out.without_position++;
    return LW_OK;
  }
  if (!g->has_depth) {
    g->r->out.without_depth++;
    return LW_OK;
  }
  return lw_soundings_add(g->r, &g->fix);
}

/* --- what a point holds --- */

static lw_status take_depth(gpx_reader *g, lw_span name, lw_field field)
{
  lw_span text = lw_span_trim((lw_span){g->text, g->text + g->text_length});
  double value = 0;
  if (lw_field_is_empty(text)) {
    return LW_OK;
  }
  if (!lw_span_number(text, false, &value)) {
    char excerpt[LW_EXCERPT];
    return lw_soundings_refuse(g->r, line_of(g), column_of(g), "the depth '%s' is not a number",
                               lw_excerpt(g->text, excerpt));
  }
  if (lw_field_is_no_depth(value)) {
    return LW_OK;
  }
  lw_field_unit unit = field.unit == LW_FIELD_BARE && !g->r->how->depth_unit ? LW_FIELD_METRES : field.unit;
  if (!g->scale_known) {
    lw_status status = lw_field_scale(g->r, name, unit, line_of(g), column_of(g), &g->scale);
    if (status != LW_OK) {
      return status;
    }
    g->scale_known = true;
  }
  if (!lw_field_depth(g->r, value, g->scale, &g->fix.depth_m)) {
    return lw_soundings_refuse(g->r, line_of(g), column_of(g), "%.10g is no depth of any water on Earth",
                               value);
  }
  g->has_depth = true;
  g->depth_rank = field.rank;
  return LW_OK;
}

static bool is_depth(const gpx_reader *g, lw_span name, lw_field field)
{
  const lw_soundings_how *how = g->r->how;
  if (how->depth_field) {
    return lw_field_is(name, how->depth_field) && !g->has_depth;
  }
  lw_field_kind wanted = how->elevations ? LW_FIELD_ELEVATION : LW_FIELD_DEPTH;
  return field.kind == wanted && field.rank < g->depth_rank;
}

static lw_status take_leaf(gpx_reader *g)
{
  lw_span name = span_of(g->element);
  if (strcmp(g->element, "time") == 0 && g->depth == g->point_depth + 1) {
    lw_span text = lw_span_trim((lw_span){g->text, g->text + g->text_length});
    if (text.at < text.end && !lw_read_instant(text, &g->fix.time_s)) {
      char excerpt[LW_EXCERPT];
      return lw_soundings_refuse(g->r, line_of(g), column_of(g),
                                 "the time '%s' is not an instant like 2026-04-15T10:30:00Z",
                                 lw_excerpt(g->text, excerpt));
    }
    return LW_OK;
  }
  lw_field field = lw_field_of(name);
  return is_depth(g, name, field) ? take_depth(g, name, field) : LW_OK;
}

/* --- what Expat calls --- */

static void XMLCALL on_start(void *data, const char *full_name, const char **attributes)
{
  gpx_reader *g = data;
  const char *name = local_name(full_name);
  if (g->status != LW_OK) {
    return; /* Expat goes on to the end of an empty element after it was stopped */
  }
  g->depth++;
  if (g->depth == 1 && strcmp(name, "gpx") != 0) {
    char excerpt[LW_EXCERPT];
    stop(g, lw_soundings_refuse(
                g->r, line_of(g), column_of(g),
                "the file is XML, but not GPX: it begins with <%s>; export the soundings as GPX or CSV",
                lw_excerpt(name, excerpt)));
    return;
  }
  if (g->depth > DEEPEST) {
    stop(g, lw_soundings_refuse(g->r, line_of(g), column_of(g), "elements are nested too deeply for GPX"));
    return;
  }
  g->track += strcmp(name, "trkseg") == 0 ? 1 : 0;
  (void)snprintf(g->element, sizeof g->element, "%s", name);
  g->text_length = 0;
  g->text[0] = '\0';
  g->leaf = true;
  g->is_long = false;
  if (g->point_depth == 0 && is_point(name)) {
    stop(g, open_point(g, name, attributes));
  }
}

static void XMLCALL on_end(void *data, const char *full_name)
{
  gpx_reader *g = data;
  (void)full_name;
  if (g->status != LW_OK) {
    return;
  }
  if (g->point_depth && g->depth > g->point_depth && g->leaf) {
    stop(g, take_leaf(g));
  } else if (g->point_depth && g->depth == g->point_depth) {
    stop(g, close_point(g));
  }
  g->leaf = false;
  g->depth--;
}

static void XMLCALL on_text(void *data, const char *text, int length)
{
  gpx_reader *g = data;
  static const char too_long[] = "(a long text)"; /* half a number would be another number */
  size_t left = sizeof g->text - 1 - g->text_length;
  bool fits = (size_t)length <= left;
  if (!g->point_depth || !g->leaf) {
    return;
  }
  if (!fits || g->is_long) {
    g->is_long = true;
    memcpy(g->text, too_long, sizeof too_long);
    g->text_length = sizeof too_long - 1;
    return;
  }
  memcpy(g->text + g->text_length, text, (size_t)length);
  g->text_length += (size_t)length;
  g->text[g->text_length] = '\0';
}

static void XMLCALL on_doctype(void *data, const char *name, const char *system, const char *public_id,
                               int internal)
{
  gpx_reader *g = data;
  (void)name;
  (void)system;
  (void)public_id;
  (void)internal;
  stop(g, lw_soundings_refuse(g->r, line_of(g), column_of(g),
                              "the file declares a document type, which GPX has none of; export it anew"));
}

/* --- the file --- */

static lw_status refuse_xml(gpx_reader *g)
{
  enum XML_Error code = XML_GetErrorCode(g->parser);
  if (code == XML_ERROR_NO_MEMORY) {
    return lw_soundings_fail_memory(g->r);
  }
  bool cut = code == XML_ERROR_NO_ELEMENTS || code == XML_ERROR_UNCLOSED_TOKEN ||
             code == XML_ERROR_PARTIAL_CHAR || code == XML_ERROR_UNCLOSED_CDATA_SECTION;
  if (cut) {
    return lw_soundings_refuse(
        g->r, line_of(g), column_of(g),
        "the file ends before its last element is closed: it was cut short, perhaps while it "
        "was copied; copy or export it again");
  }
  return lw_soundings_refuse(g->r, line_of(g), column_of(g),
                             "this is not well-formed XML (%s); export it again", XML_ErrorString(code));
}

static lw_status feed(gpx_reader *g)
{
  size_t at = 0;
  do {
    size_t n = g->r->length - at < PIECE ? g->r->length - at : PIECE;
    bool last = at + n == g->r->length;
    if (XML_Parse(g->parser, g->r->text + at, (int)n, last) != XML_STATUS_OK) {
      return g->status != LW_OK ? g->status : refuse_xml(g);
    }
    at += n;
  } while (at < g->r->length);
  return g->status;
}

lw_status lw_soundings_read_gpx(lw_soundings_reading *r)
{
  gpx_reader g = {.r = r, .track = -1, .parser = XML_ParserCreate(NULL)};
  if (!g.parser) {
    return lw_soundings_fail_memory(r);
  }
  r->out.format = "GPX";
  XML_SetUserData(g.parser, &g);
  XML_SetElementHandler(g.parser, on_start, on_end);
  XML_SetCharacterDataHandler(g.parser, on_text);
  XML_SetStartDoctypeDeclHandler(g.parser, on_doctype);
  lw_status status = feed(&g);
  XML_ParserFree(g.parser);
  if (status == LW_OK && r->out.count == 0 && r->out.without_depth > 0) {
    return lw_soundings_refuse(
        r, 0, 0,
        "none of its %zu points has a depth; name the element that holds it with --depth-field, "
        "or export the soundings as CSV",
        r->out.without_depth);
  }
  return status;
}
