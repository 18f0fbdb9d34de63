/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/soundings.h"

#include "base/text.h"
#include "exchange/files.h"
#include "exchange/plain.h"
#include "exchange/soundings_read.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { FIRST_FIXES = 1024, LOOK_BYTES = 65536 };

/* --- what the readers share --- */

lw_status lw_soundings_refuse(lw_soundings_reading *r, long line, long column, const char *format, ...)
{
  char sentence[LW_MESSAGE_MAX];
  va_list args;
  va_start(args, format);
  (void)vsnprintf(sentence, sizeof sentence, format, args);
  va_end(args);
  return lw_fail_at(r->err, LW_INVALID, r->name, line, column, "%s", sentence);
}

lw_status lw_soundings_fail_memory(lw_soundings_reading *r)
{
  return lw_fail_at(r->err, LW_MEMORY, r->name, 0, 0,
                    "there is no memory for these soundings; split the file");
}

lw_status lw_soundings_add(lw_soundings_reading *r, const lw_fix *fix)
{
  if (r->out.count == LW_SOUNDINGS_MOST) {
    return lw_fail_at(r->err, LW_LIMIT, r->name, fix->line, 0,
                      "the file holds more than %d soundings; thin it", LW_SOUNDINGS_MOST);
  }
  if (r->out.count == r->capacity) {
    size_t capacity = r->capacity ? 2 * r->capacity : FIRST_FIXES;
    lw_fix *more = realloc(r->fixes, capacity * sizeof *more);
    if (!more) {
      return lw_soundings_fail_memory(r);
    }
    r->fixes = more;
    r->capacity = capacity;
  }
  r->fixes[r->out.count++] = *fix;
  return LW_OK;
}

lw_status lw_soundings_check_position(lw_soundings_reading *r, double longitude, double latitude, long line,
                                      long column)
{
  double x = fabs(longitude);
  double y = fabs(latitude);
  if (r->is_grid) {
    return x < 1e9 && y < 1e9
               ? LW_OK
               : lw_soundings_refuse(r, line, column, "x %.10g, y %.10g is no place on a map grid", longitude,
                                     latitude);
  }
  if (x <= 180 && y <= 90 && latitude >= -60) {
    return LW_OK;
  }
  if (x > 360 || y > 360) {
    return lw_soundings_refuse(
        r, line, column,
        "x %.10g, y %.10g are no degrees: they look like metres or feet of a map grid; "
        "name its system, like --crs EPSG:32616 (UTM zone 16 north)",
        longitude, latitude);
  }
  if (x <= 90 && y <= 180) {
    return lw_soundings_refuse(
        r, line, column,
        "the latitude %.10g %s; longitude and latitude seem to be swapped: name them the "
        "other way round",
        latitude, y > 90 ? "is beyond 90 degrees" : "lies in the Antarctic");
  }
  return lw_soundings_refuse(r, line, column,
                             "longitude %.10g, latitude %.10g is no place; expected degrees, west and south "
                             "negative",
                             longitude, latitude);
}

/* --- which format --- */

typedef lw_status (*reader)(lw_soundings_reading *r);

static bool has_ending(const char *name, const char *ending)
{
  const char *dot = strrchr(name, '.');
  return dot && lw_same_word(dot, ending);
}

static lw_status refuse_binary(lw_soundings_reading *r)
{
  static const struct {
    const char *begins, *what;
  } known[] = {{"PK\003\004", "a zip archive or a spreadsheet: unpack it, or save the sheet as CSV"},
               {"%PDF", "a PDF: export the soundings themselves as CSV or GPX"},
               {"SQLite format 3", "a database: if it is a GeoPackage, let its name end in .gpkg"},
               {"\x1F\x8B", "compressed: unpack it first"}};
  for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
    size_t n = strlen(known[i].begins);
    if (r->length >= n && memcmp(r->text, known[i].begins, n) == 0) {
      return lw_soundings_refuse(r, 0, 0, "the file is %s", known[i].what);
    }
  }
  return lw_soundings_refuse(
      r, 0, 0,
      "this is no text: the file is in a recorder's own binary format, or damaged; export the "
      "soundings from the recorder's software as CSV, NMEA 0183, GPX or GeoJSON");
}

/* One byte in thirty that no text holds: a log damaged on the wire has fewer, random bytes three times as
 * many. */
static bool is_noise(const lw_soundings_reading *r)
{
  size_t look = r->length < LOOK_BYTES ? r->length : LOOK_BYTES;
  size_t odd = 0;
  for (size_t i = 0; i < look; i++) {
    unsigned char c = (unsigned char)r->text[i];
    odd += c == 0x7F || (c < 0x20 && !(c >= '\t' && c <= '\r')) ? 1 : 0;
  }
  return 30 * odd > look;
}

/* Text in UTF-8, without its mark; nothing that no text holds. */
static lw_status check_text(lw_soundings_reading *r)
{
  if (r->length > LW_SOUNDINGS_BYTES) {
    return lw_fail_at(r->err, LW_LIMIT, r->name, 0, 0, "the file is %zu bytes long; at most %d are read",
                      r->length, LW_SOUNDINGS_BYTES);
  }
  if (r->length >= 2 && (memcmp(r->text, "\xFF\xFE", 2) == 0 || memcmp(r->text, "\xFE\xFF", 2) == 0)) {
    return lw_soundings_refuse(r, 1, 1, "the text is UTF-16; save the file as UTF-8");
  }
  if (r->length && (memchr(r->text, '\0', r->length) || is_noise(r))) {
    return refuse_binary(r);
  }
  if (r->length >= 3 && memcmp(r->text, "\xEF\xBB\xBF", 3) == 0) {
    r->text += 3;
    r->length -= 3;
  }
  return LW_OK;
}

static char first_character(const lw_soundings_reading *r)
{
  const char *end = r->text + r->length;
  const char *at = r->text;
  while (at < end && strchr(" \t\r\n", *at)) {
    at++;
  }
  return at < end ? *at : '\0';
}

/* "<html", "<!DOCTYPE html", or what a page saved without its head begins with. */
static bool is_web_page(const lw_soundings_reading *r)
{
  static const char *const begins[] = {"<!doctype html", "<html", "<head", "<body", "<table"};
  const char *end = r->text + r->length;
  const char *at = memchr(r->text, '<', r->length);
  for (size_t i = 0; at && i < sizeof begins / sizeof *begins; i++) {
    size_t n = strlen(begins[i]);
    size_t k = 0;
    while (k < n && at + k < end && (at[k] | (at[k] >= 'A' && at[k] <= 'Z' ? 0x20 : 0)) == begins[i][k]) {
      k++;
    }
    if (k == n) {
      return true;
    }
  }
  return false;
}

/* By content, which cannot lie; the ending speaks where the content is silent. */
static lw_status choose_reader(lw_soundings_reading *r, reader *out)
{
  size_t look = r->length < LOOK_BYTES ? r->length : LOOK_BYTES;
  char first = first_character(r);
  if (first == '\0') {
    return lw_soundings_refuse(r, 0, 0, "the file is empty; nothing was recorded, or the copy failed");
  }
  if (first == '<' && is_web_page(r)) {
    return lw_soundings_refuse(r, 0, 0,
                               "this is a web page, not the soundings: it was saved in place of the file, "
                               "perhaps a page that asks to sign in; download the file itself");
  }
  if (first == '<') {
    *out = lw_soundings_read_gpx;
  } else if (first == '{' || (first == '[' && has_ending(r->name, ".json"))) {
    *out = lw_soundings_read_geojson;
  } else if (lw_soundings_are_nmea(r->text, look) || has_ending(r->name, ".nmea") ||
             has_ending(r->name, ".nma")) {
    *out = lw_soundings_read_nmea;
  } else {
    *out = lw_soundings_read_table;
  }
  return LW_OK;
}

/* --- all of it --- */

static lw_status hand_out(lw_fixes *out, lw_soundings_reading *r)
{
  lw_fix *fixes = LW_NEW(r->arena, lw_fix, r->out.count);
  if (!fixes) {
    return lw_soundings_fail_memory(r);
  }
  memcpy(fixes, r->fixes, r->out.count * sizeof *fixes);
  r->out.fixes = fixes;
  *out = r->out;
  return LW_OK;
}

static lw_status read_text(lw_fixes *out, lw_soundings_reading *r)
{
  reader read = NULL;
  lw_status status = check_text(r);
  if (status == LW_OK) {
    status = choose_reader(r, &read);
  }
  if (status == LW_OK) {
    status = read(r);
  }
  if (status == LW_OK) {
    status = lw_soundings_judge(r);
  }
  return status == LW_OK ? hand_out(out, r) : status;
}

/* Formats that only lakeward-geo reads. */
static bool needs_program(const char *name)
{
  return has_ending(name, ".kml") || has_ending(name, ".shp") || has_ending(name, ".gpkg");
}

lw_status lw_soundings_take(lw_fixes *out, const char *name, const char *text, size_t length,
                            const lw_soundings_how *how, lw_arena *arena, lw_error *err)
{
  static const lw_soundings_how nothing_told = {.day = LW_NO_DAY};
  lw_soundings_reading r = {.name = name,
                            .text = text,
                            .length = length,
                            .how = how ? how : &nothing_told,
                            .arena = arena,
                            .err = err};
  r.out.day = LW_NO_DAY;
  lw_status status = read_text(out, &r);
  free(r.fixes);
  return status;
}

lw_status lw_soundings_parse(lw_fixes *out, const char *name, const char *text, size_t length,
                             const lw_soundings_how *how, lw_arena *arena, lw_error *err)
{
  if (needs_program(name)) {
    return lw_fail_at(
        err, LW_INVALID, name, 0, 0,
        "KML, Shapefile and GeoPackage files are read from disk by the command line; give CSV, NMEA "
        "0183, GPX or GeoJSON here");
  }
  return lw_soundings_take(out, name, text, length, how, arena, err);
}

lw_status lw_soundings_read(lw_fixes *out, const char *path, const lw_soundings_how *how, lw_arena *arena,
                            lw_error *err)
{
  if (needs_program(path)) {
    return lw_soundings_through_program(out, path, how, arena, err);
  }
  char *text = NULL;
  size_t length = 0;
  lw_status status = lw_file_read(path, LW_SOUNDINGS_BYTES, arena, &text, &length, err);
  return status == LW_OK ? lw_soundings_parse(out, path, text, length, how, arena, err) : status;
}
