/* SPDX-License-Identifier: Apache-2.0 */
#include "geo/geo.h"

#include <cpl_error.h>
#include <ogr_api.h>
#include <ogr_srs_api.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/resource.h>

/* Exported by GDAL, declared only in its C++ headers. */
void RegisterOGRShape(void);
void RegisterOGRGeoPackage(void);
void RegisterOGRKML(void);
void RegisterOGRGPX(void);
void RegisterOGRGeoJSON(void);

static const geo_format formats[] = {
    {"kml", "KML", RegisterOGRKML},
    {"gpx", "GPX", RegisterOGRGPX},
    {"shp", "ESRI Shapefile", RegisterOGRShape},
    {"gpkg", "GPKG", RegisterOGRGeoPackage},
    {"geojson", "GeoJSON", RegisterOGRGeoJSON},
    {"json", "GeoJSON", RegisterOGRGeoJSON},
};

const geo_format *geo_format_of_kind(const char *kind)
{
  for (size_t i = 0; i < sizeof formats / sizeof *formats; i++) {
    if (strcasecmp(formats[i].kind, kind) == 0) {
      return &formats[i];
    }
  }
  return NULL;
}

const geo_format *geo_format_of_path(const char *path)
{
  const char *dot = strrchr(path, '.');
  return dot && !strchr(dot, '/') ? geo_format_of_kind(dot + 1) : NULL;
}

static void one_line(char *text)
{
  for (char *at = text; *at; at++) {
    if ((unsigned char)*at < 0x20u || *at == 0x7F) {
      *at = ' ';
    }
  }
}

int geo_complain(int code, const char *format, ...)
{
  char sentence[560];
  va_list args;
  va_start(args, format);
  (void)vsnprintf(sentence, sizeof sentence, format, args);
  va_end(args);
  one_line(sentence);
  (void)fprintf(stderr, "lakeward-geo: %s\n", sentence);
  return code;
}

const char *geo_last_words(void)
{
  static char words[240];
  const char *last = CPLGetLastErrorMsg();
  (void)snprintf(words, sizeof words, "%s", last && *last ? last : "no reason given");
  one_line(words);
  return words;
}

static bool limit(int resource, rlim_t value)
{
  struct rlimit now;
  if (getrlimit(resource, &now) != 0) {
    return false;
  }
  rlim_t most = now.rlim_max == RLIM_INFINITY || value < now.rlim_max ? value : now.rlim_max;
  struct rlimit wanted = {.rlim_cur = most, .rlim_max = most};
  return setrlimit(resource, &wanted) == 0;
}

/* The address sanitizer reserves terabytes of addresses it does not use. */
#if defined(__SANITIZE_ADDRESS__)
#define GEO_SANITIZED 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define GEO_SANITIZED 1
#endif
#endif
#ifndef GEO_SANITIZED
#define GEO_SANITIZED 0
#endif

bool geo_limit_self(bool writes, int cpu_seconds)
{
  const rlim_t mib = (rlim_t)1024 * 1024;
  return limit(RLIMIT_CPU, (rlim_t)cpu_seconds) && limit(RLIMIT_CORE, 0) && limit(RLIMIT_NOFILE, 64) &&
         limit(RLIMIT_FSIZE, writes ? 256 * mib : mib) && (GEO_SANITIZED || limit(RLIMIT_AS, 2048 * mib));
}

OGRSpatialReferenceH geo_wgs84(void)
{
  OGRSpatialReferenceH reference = OSRNewSpatialReference(NULL);
  if (!reference) {
    return NULL;
  }
  if (OSRImportFromEPSG(reference, 4326) != OGRERR_NONE) {
    OSRDestroySpatialReference(reference);
    return NULL;
  }
  OSRSetAxisMappingStrategy(reference, OAMS_TRADITIONAL_GIS_ORDER);
  return reference;
}

int geo_count_positions(OGRGeometryH geometry)
{
  int own = OGR_G_GetPointCount(geometry);
  int parts = OGR_G_GetGeometryCount(geometry);
  for (int i = 0; i < parts && own <= GEO_POSITIONS; i++) {
    own += geo_count_positions(OGR_G_GetGeometryRef(geometry, i));
  }
  return own;
}

unsigned char *geo_read_input(size_t *out_length)
{
  size_t capacity = 65536;
  size_t length = 0;
  unsigned char *data = malloc(capacity);
  while (data && !feof(stdin) && !ferror(stdin)) {
    length += fread(data + length, 1, capacity - length, stdin);
    if (length < capacity) {
      continue;
    }
    capacity *= 2;
    unsigned char *larger = capacity <= 2 * (size_t)GEO_INPUT_BYTES ? realloc(data, capacity) : NULL;
    if (!larger) {
      free(data);
    }
    data = larger;
  }
  *out_length = length;
  return data;
}
