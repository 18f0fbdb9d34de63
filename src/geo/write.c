/* SPDX-License-Identifier: Apache-2.0 */
#include "geo/geo.h"

#include <cpl_conv.h>
#include <cpl_error.h>
#include <cpl_vsi.h>
#include <ogr_api.h>
#include <ogr_srs_api.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>

static const char memory_file[] = "/vsimem/in.geojson";

typedef struct writing {
  const char *path;
  const geo_format *format;
  OGRLayerH layer;
  OGRSpatialReferenceH wgs84;
  const char *name_field; /* the target's */
  bool with_area, with_depth;
  bool one_polygon_each; /* a track is one shore and its islands */
  int written;
} writing;

/* --- standard input --- */

static GDALDatasetH open_input(unsigned char *data, size_t length)
{
  static const char *const drivers[] = {"GeoJSON", NULL};
  VSILFILE *file = VSIFileFromMemBuffer(memory_file, data, length, 0);
  if (!file) {
    return NULL;
  }
  (void)VSIFCloseL(file);
  geo_format_of_kind("geojson")->enroll();
  CPLErrorReset();
  return GDALOpenEx(memory_file, GDAL_OF_VECTOR | GDAL_OF_READONLY, drivers, NULL, NULL);
}

/* --- one feature --- */

/* The shape as the target keeps it: polygons, or for GPX, which has none, one track with a segment a
 * ring. Takes `geometry` over. */
static OGRGeometryH fit(const writing *w, OGRGeometryH geometry)
{
  if (strcmp(w->format->kind, "gpx") != 0) {
    return strcmp(w->format->kind, "gpkg") == 0 ? OGR_G_ForceToMultiPolygon(geometry) : geometry;
  }
  return OGR_G_ForceToMultiLineString(geometry);
}

static bool is_polygon(OGRGeometryH geometry)
{
  OGRwkbGeometryType type = geometry ? wkbFlatten(OGR_G_GetGeometryType(geometry)) : wkbNone;
  return type == wkbPolygon || type == wkbMultiPolygon;
}

static void copy_fields(const writing *w, OGRFeatureH from, OGRFeatureH to)
{
  int name = OGR_F_GetFieldIndex(from, "name");
  int area = OGR_F_GetFieldIndex(from, "area_m2");
  if (name >= 0) {
    OGR_F_SetFieldString(to, OGR_F_GetFieldIndex(to, w->name_field), OGR_F_GetFieldAsString(from, name));
  }
  if (w->with_area && area >= 0 && OGR_F_IsFieldSetAndNotNull(from, area)) {
    OGR_F_SetFieldDouble(to, OGR_F_GetFieldIndex(to, "area_m2"), OGR_F_GetFieldAsDouble(from, area));
  }
  int depth = OGR_F_GetFieldIndex(from, "depth_m");
  if (w->with_depth && depth >= 0 && OGR_F_IsFieldSetAndNotNull(from, depth)) {
    OGR_F_SetFieldDouble(to, OGR_F_GetFieldIndex(to, "depth_m"), OGR_F_GetFieldAsDouble(from, depth));
  }
}

/* Adds one feature with the shape of `source` and the fields of `from`. */
static int write_shape(writing *w, OGRFeatureH from, OGRGeometryH source)
{
  OGRFeatureH to = OGR_F_Create(OGR_L_GetLayerDefn(w->layer));
  OGRGeometryH shape = fit(w, OGR_G_Clone(source));
  bool done = to && shape && OGR_F_SetGeometryDirectly(to, shape) == OGRERR_NONE;
  if (done) {
    copy_fields(w, from, to);
    done = OGR_L_CreateFeature(w->layer, to) == OGRERR_NONE;
  }
  OGR_F_Destroy(to);
  w->written += done ? 1 : 0;
  return done ? GEO_OK
              : geo_complain(GEO_FAILED, "%s: a shape could not be written (%s)", w->path, geo_last_words());
}

static int write_feature(writing *w, OGRFeatureH from)
{
  OGRGeometryH source = OGR_F_GetGeometryRef(from);
  if (!is_polygon(source)) {
    return geo_complain(GEO_REFUSED, "the GeoJSON should hold polygons only, not %s",
                        source ? OGR_G_GetGeometryName(source) : "features without a place");
  }
  if (geo_count_positions(source) > GEO_POSITIONS || w->written >= GEO_FEATURES) {
    return geo_complain(GEO_REFUSED,
                        "the GeoJSON holds more than %d positions in a feature or more than %d features",
                        GEO_POSITIONS, GEO_FEATURES);
  }
  bool split = w->one_polygon_each && wkbFlatten(OGR_G_GetGeometryType(source)) == wkbMultiPolygon;
  int code = split ? GEO_OK : write_shape(w, from, source);
  for (int i = 0; split && code == GEO_OK && i < OGR_G_GetGeometryCount(source); i++) {
    code = write_shape(w, from, OGR_G_GetGeometryRef(source, i));
  }
  return code;
}

/* --- the file --- */

static bool add_field(OGRLayerH layer, const char *name, OGRFieldType type)
{
  OGRFieldDefnH field = OGR_Fld_Create(name, type);
  if (type == OFTString) {
    OGR_Fld_SetWidth(field, 120);
  }
  bool made = OGR_L_CreateField(layer, field, 1) == OGRERR_NONE;
  OGR_Fld_Destroy(field);
  return made;
}

/* Contours have a depth, waters have none. */
static bool make_layer(writing *w, GDALDatasetH file, OGRLayerH from)
{
  const char *kind = w->format->kind;
  bool gpx = strcmp(kind, "gpx") == 0;
  bool kml = strcmp(kind, "kml") == 0;
  OGRwkbGeometryType type = gpx                         ? wkbMultiLineString
                            : strcmp(kind, "gpkg") == 0 ? wkbMultiPolygon
                            : kml                       ? wkbUnknown
                                                        : wkbPolygon;
  w->name_field = kml ? "Name" : "name";
  w->with_area = !gpx;
  w->one_polygon_each = gpx;
  bool depth = OGR_FD_GetFieldIndex(OGR_L_GetLayerDefn(from), "depth_m") >= 0;
  w->with_depth = depth && !gpx;
  w->layer = GDALDatasetCreateLayer(file,
                                    gpx     ? "tracks"
                                    : depth ? "contours"
                                            : "waters",
                                    w->wgs84, type, NULL);
  return w->layer && (gpx || add_field(w->layer, w->name_field, OFTString)) &&
         (gpx || add_field(w->layer, "area_m2", OFTReal)) &&
         (!w->with_depth || add_field(w->layer, "depth_m", OFTReal));
}

static int fill(writing *w, GDALDatasetH file, GDALDatasetH input)
{
  OGRLayerH from = GDALDatasetGetLayerCount(input) ? GDALDatasetGetLayer(input, 0) : NULL;
  if (!from) {
    return geo_complain(GEO_REFUSED, "the GeoJSON holds no features");
  }
  if (!make_layer(w, file, from)) {
    return geo_complain(GEO_FAILED, "%s: it could not be begun (%s)", w->path, geo_last_words());
  }
  int code = GEO_OK;
  for (OGRFeatureH feature; code == GEO_OK && (feature = OGR_L_GetNextFeature(from)) != NULL;) {
    code = write_feature(w, feature);
    OGR_F_Destroy(feature);
  }
  return code;
}

static int create(writing *w, GDALDatasetH input)
{
  w->format->enroll();
  GDALDriverH driver = GDALGetDriverByName(w->format->driver);
  CPLErrorReset();
  GDALDatasetH file = driver ? GDALCreate(driver, w->path, 0, 0, 0, GDT_Unknown, NULL) : NULL;
  if (!file) {
    return geo_complain(GEO_FAILED, "%s: it could not be created (%s)", w->path, geo_last_words());
  }
  int code = fill(w, file, input);
  CPLErrorReset();
  GDALClose(file); /* much is written only now */
  if (code == GEO_OK && CPLGetLastErrorType() >= CE_Failure) {
    code = geo_complain(GEO_FAILED, "%s: it could not be finished (%s)", w->path, geo_last_words());
  }
  if (code != GEO_OK) {
    (void)GDALDeleteDataset(driver, w->path);
  }
  return code;
}

static int check_target(const geo_format *format, const char *kind, const char *path)
{
  struct stat info;
  if (!format || strcmp(format->driver, "GeoJSON") == 0) {
    return geo_complain(GEO_REFUSED, "'%s' is not a kind of file; expected kml, gpx, shp or gpkg", kind);
  }
  if (geo_format_of_path(path) != format || strncmp(path, "/vsi", 4) == 0) {
    return geo_complain(GEO_REFUSED, "%s: the name of a %s file should end in .%s", path, kind, format->kind);
  }
  if (lstat(path, &info) == 0) {
    return geo_complain(GEO_REFUSED, "%s: it exists already; name another file", path);
  }
  return GEO_OK;
}

int geo_write(const char *kind, const char *path)
{
  writing w = {.path = path, .format = geo_format_of_kind(kind)};
  int code = check_target(w.format, kind, path);
  if (code != GEO_OK) {
    return code;
  }
  size_t length = 0;
  unsigned char *data = geo_read_input(&length);
  w.wgs84 = geo_wgs84();
  if (!data || !w.wgs84) {
    free(data);
    OSRDestroySpatialReference(w.wgs84);
    return geo_complain(GEO_FAILED, "the GeoJSON could not be taken in");
  }
  GDALDatasetH input = open_input(data, length);
  code = input ? create(&w, input)
               : geo_complain(GEO_REFUSED, "standard input is not GeoJSON (%s)", geo_last_words());
  if (input) {
    GDALClose(input);
  }
  (void)VSIUnlink(memory_file);
  OSRDestroySpatialReference(w.wgs84);
  free(data);
  return code;
}
