/* SPDX-License-Identifier: Apache-2.0 */
/* Layers of points as one table: longitude, latitude, then the attributes. A table, because five million
 * points would be a gigabyte as GeoJSON. */
#include "geo/geo.h"

#include <cpl_error.h>
#include <math.h>
#include <ogr_api.h>
#include <ogr_srs_api.h>
#include <stdio.h>
#include <string.h>

typedef struct points {
  const char *path;
  OGRSpatialReferenceH wgs84;
  OGRCoordinateTransformationH to_wgs84; /* of the present layer; NULL: none is needed */
  bool guessed;                          /* the present layer names no coordinate system */
  OGRFeatureDefnH columns;               /* of the first layer; NULL before it */
  bool with_z;                           /* a column z after them */
  long written;
} points;

/* --- cells --- */

static void print_quoted(const char *text)
{
  (void)putchar('"');
  for (; *text; text++) {
    if (*text == '"') {
      (void)putchar('"');
    }
    (void)putchar(*text);
  }
  (void)putchar('"');
}

/* Lists and raw bytes are no attribute of a sounding. */
static bool is_printed(OGRFieldDefnH field)
{
  switch (OGR_Fld_GetType(field)) {
  case OFTInteger:
  case OFTInteger64:
  case OFTReal:
  case OFTString:
  case OFTDate:
  case OFTTime:
  case OFTDateTime:
    return true;
  default:
    return false;
  }
}

static bool is_number(OGRFieldDefnH field)
{
  OGRFieldType type = OGR_Fld_GetType(field);
  return type == OFTInteger || type == OFTInteger64 || type == OFTReal;
}

static void print_heading(const points *p)
{
  (void)printf("longitude,latitude");
  for (int i = 0; i < OGR_FD_GetFieldCount(p->columns); i++) {
    OGRFieldDefnH field = OGR_FD_GetFieldDefn(p->columns, i);
    if (is_printed(field)) {
      (void)putchar(',');
      print_quoted(OGR_Fld_GetNameRef(field));
    }
  }
  (void)printf("%s\n", p->with_z ? ",z" : "");
}

static void print_attributes(const points *p, OGRFeatureH feature)
{
  for (int i = 0; i < OGR_FD_GetFieldCount(p->columns); i++) {
    OGRFieldDefnH field = OGR_FD_GetFieldDefn(p->columns, i);
    if (!is_printed(field)) {
      continue;
    }
    (void)putchar(',');
    if (!OGR_F_IsFieldSetAndNotNull(feature, i)) {
      continue;
    }
    if (OGR_Fld_GetType(field) == OFTReal) {
      (void)printf("%.15g", OGR_F_GetFieldAsDouble(feature, i));
    } else if (is_number(field)) {
      (void)fputs(OGR_F_GetFieldAsString(feature, i), stdout);
    } else {
      print_quoted(OGR_F_GetFieldAsString(feature, i));
    }
  }
}

/* --- points --- */

static int refuse_place(const points *p, double x, double y)
{
  if (p->guessed) {
    return geo_complain(
        GEO_REFUSED,
        "%s: it names no coordinate system, and its numbers (%.10g, %.10g) are not degrees; keep the "
        ".prj file beside it, or export it in longitude and latitude (WGS 84)",
        p->path, x, y);
  }
  return geo_complain(GEO_REFUSED, "%s: the position %.10g, %.10g does not fit its coordinate system (%s)",
                      p->path, x, y, geo_last_words());
}

static int take_point(points *p, OGRFeatureH feature, OGRGeometryH point)
{
  double x = OGR_G_GetX(point, 0);
  double y = OGR_G_GetY(point, 0);
  double longitude = x;
  double latitude = y;
  if (++p->written > GEO_SOUNDINGS) {
    return geo_complain(GEO_REFUSED, "%s: it holds more than %d points; thin it", p->path, GEO_SOUNDINGS);
  }
  bool done = !p->to_wgs84 || OCTTransform(p->to_wgs84, 1, &longitude, &latitude, NULL);
  if (!done || !(fabs(longitude) <= 180 && fabs(latitude) <= 90)) {
    return refuse_place(p, x, y);
  }
  (void)printf("%.9f,%.9f", longitude, latitude);
  print_attributes(p, feature);
  if (p->with_z) {
    (void)printf(",%.15g", OGR_G_GetZ(point, 0));
  }
  (void)putchar('\n');
  return GEO_OK;
}

static int take_feature(points *p, OGRFeatureH feature)
{
  OGRGeometryH geometry = OGR_F_GetGeometryRef(feature);
  if (!geometry || OGR_G_IsEmpty(geometry)) {
    return GEO_OK;
  }
  OGRwkbGeometryType type = wkbFlatten(OGR_G_GetGeometryType(geometry));
  if (type == wkbPoint) {
    return take_point(p, feature, geometry);
  }
  if (type != wkbMultiPoint) {
    return geo_complain(GEO_REFUSED, "%s: it holds a geometry of the kind %s; soundings are points", p->path,
                        OGR_G_GetGeometryName(geometry));
  }
  int code = GEO_OK;
  for (int i = 0; i < OGR_G_GetGeometryCount(geometry) && code == GEO_OK; i++) {
    code = take_point(p, feature, OGR_G_GetGeometryRef(geometry, i));
  }
  return code;
}

/* --- layers --- */

static bool same_columns(OGRFeatureDefnH a, OGRFeatureDefnH b)
{
  int n = OGR_FD_GetFieldCount(a);
  if (n != OGR_FD_GetFieldCount(b)) {
    return false;
  }
  for (int i = 0; i < n; i++) {
    OGRFieldDefnH one = OGR_FD_GetFieldDefn(a, i);
    OGRFieldDefnH other = OGR_FD_GetFieldDefn(b, i);
    if (strcmp(OGR_Fld_GetNameRef(one), OGR_Fld_GetNameRef(other)) != 0 ||
        is_printed(one) != is_printed(other)) {
      return false;
    }
  }
  return true;
}

/* The first layer of points gives the heading; others must have the same attributes. */
static int take_heading(points *p, OGRLayerH layer)
{
  OGRFeatureDefnH definition = OGR_L_GetLayerDefn(layer);
  if (!p->columns) {
    p->columns = definition;
    p->with_z = wkbHasZ(OGR_L_GetGeomType(layer)) && OGR_FD_GetFieldIndex(definition, "z") < 0;
    print_heading(p);
    return GEO_OK;
  }
  if (!same_columns(p->columns, definition)) {
    return geo_complain(
        GEO_REFUSED,
        "%s: it holds several layers of points with different attributes; keep the layer of soundings "
        "only",
        p->path);
  }
  return GEO_OK;
}

static int take_features(points *p, OGRLayerH layer)
{
  int code = GEO_OK;
  CPLErrorReset();
  OGR_L_ResetReading(layer);
  for (OGRFeatureH feature; code == GEO_OK && (feature = OGR_L_GetNextFeature(layer)) != NULL;) {
    code = take_feature(p, feature);
    OGR_F_Destroy(feature);
  }
  /* a reader that comes upon damage ends the layer early: not the same as its end */
  if (code == GEO_OK && CPLGetLastErrorType() >= CE_Failure) {
    code = geo_complain(GEO_REFUSED, "%s: it is damaged or cut short (%s)", p->path, geo_last_words());
  }
  return code;
}

static int take_layer(points *p, OGRLayerH layer)
{
  OGRwkbGeometryType type = wkbFlatten(OGR_L_GetGeomType(layer));
  if (type != wkbPoint && type != wkbMultiPoint && type != wkbUnknown) {
    return GEO_OK; /* shores and tracks beside the soundings */
  }
  int code = geo_to_wgs84(layer, p->wgs84, p->path, &p->to_wgs84);
  p->guessed = OGR_L_GetSpatialRef(layer) == NULL;
  if (code == GEO_OK) {
    code = take_heading(p, layer);
  }
  if (code == GEO_OK) {
    code = take_features(p, layer);
  }
  if (p->to_wgs84) {
    OCTDestroyCoordinateTransformation(p->to_wgs84);
    p->to_wgs84 = NULL;
  }
  return code;
}

static int take_layers(void *context, GDALDatasetH file, OGRSpatialReferenceH wgs84)
{
  points *p = context;
  p->wgs84 = wgs84;
  int code = GEO_OK;
  for (int i = 0; i < GDALDatasetGetLayerCount(file) && code == GEO_OK; i++) {
    code = take_layer(p, GDALDatasetGetLayer(file, i));
  }
  if (code == GEO_OK && p->written == 0) {
    code = geo_complain(GEO_REFUSED, "%s: it holds no points; soundings are points with a depth", p->path);
  }
  return geo_end_output(code);
}

int geo_points(const char *path)
{
  points p = {.path = path};
  return geo_with_file(path, take_layers, &p);
}
