/* SPDX-License-Identifier: Apache-2.0 */
#include "geo/geo.h"

#include <cpl_conv.h>
#include <cpl_error.h>
#include <cpl_string.h>
#include <math.h>
#include <ogr_api.h>
#include <ogr_srs_api.h>
#include <stdio.h>
#include <string.h>

typedef struct reading {
  const char *path;
  OGRSpatialReferenceH wgs84;
  OGRCoordinateTransformationH to_wgs84; /* of the present layer; NULL: none is needed */
  bool guessed;                          /* the present layer names no coordinate system */
  int features, positions, written;
} reading;

/* --- one geometry --- */

static bool is_shore(OGRGeometryH geometry)
{
  switch (wkbFlatten(OGR_G_GetGeometryType(geometry))) {
  case wkbPolygon:
  case wkbMultiPolygon:
  case wkbLineString:
  case wkbMultiLineString:
  case wkbGeometryCollection:
    return true;
  default:
    return false;
  }
}

static bool is_point(OGRGeometryH geometry)
{
  OGRwkbGeometryType type = wkbFlatten(OGR_G_GetGeometryType(geometry));
  return type == wkbPoint || type == wkbMultiPoint;
}

static bool all_finite(OGRGeometryH geometry)
{
  for (int i = 0; i < OGR_G_GetPointCount(geometry); i++) {
    if (!isfinite(OGR_G_GetX(geometry, i)) || !isfinite(OGR_G_GetY(geometry, i))) {
      return false;
    }
  }
  for (int i = 0; i < OGR_G_GetGeometryCount(geometry); i++) {
    if (!all_finite(OGR_G_GetGeometryRef(geometry, i))) {
      return false;
    }
  }
  return true;
}

static bool looks_like_degrees(OGRGeometryH geometry)
{
  OGREnvelope box;
  OGR_G_GetEnvelope(geometry, &box);
  return box.MinX >= -180 && box.MaxX <= 180 && box.MinY >= -90 && box.MaxY <= 90;
}

static int print_geometry(reading *r, OGRGeometryH geometry)
{
  char precision[] = "COORDINATE_PRECISION=9";
  char *options[] = {precision, NULL};
  char *json = OGR_G_ExportToJsonEx(geometry, options);
  if (!json) {
    return geo_complain(GEO_REFUSED, "%s: a geometry cannot be written as GeoJSON (%s)", r->path,
                        geo_last_words());
  }
  (void)printf("%s{\"type\":\"Feature\",\"properties\":null,\"geometry\":%s}", r->written ? ",\n" : "\n",
               json);
  CPLFree(json);
  r->written++;
  return GEO_OK;
}

/* Counts, reprojects and prints a geometry that is this function's own to change. */
static int take_geometry(reading *r, OGRGeometryH geometry)
{
  r->positions += geo_count_positions(geometry);
  if (r->positions > GEO_POSITIONS) {
    return geo_complain(GEO_REFUSED, "%s: it holds more than %d positions; simplify it", r->path,
                        GEO_POSITIONS);
  }
  OGR_G_FlattenTo2D(geometry);
  if (!all_finite(geometry)) {
    return geo_complain(GEO_REFUSED, "%s: it holds a position that is not a number; the file is damaged",
                        r->path);
  }
  if (r->guessed && !looks_like_degrees(geometry)) {
    return geo_complain(GEO_REFUSED,
                        "%s: it names no coordinate system, and its numbers are not degrees; keep the .prj "
                        "file beside it, or export it in longitude and latitude (WGS 84)",
                        r->path);
  }
  if (r->to_wgs84 && (OGR_G_Transform(geometry, r->to_wgs84) != OGRERR_NONE || !all_finite(geometry))) {
    return geo_complain(GEO_REFUSED, "%s: its positions do not fit its coordinate system (%s)", r->path,
                        geo_last_words());
  }
  return print_geometry(r, geometry);
}

static int take_feature(reading *r, OGRFeatureH feature)
{
  OGRGeometryH geometry = OGR_F_GetGeometryRef(feature);
  if (++r->features > GEO_FEATURES) {
    return geo_complain(GEO_REFUSED, "%s: it holds more than %d features; keep only the water's", r->path,
                        GEO_FEATURES);
  }
  if (!geometry || OGR_G_IsEmpty(geometry) || is_point(geometry)) {
    return GEO_OK;
  }
  if (geo_count_positions(geometry) > GEO_POSITIONS) {
    return geo_complain(GEO_REFUSED, "%s: it holds more than %d positions; simplify it", r->path,
                        GEO_POSITIONS);
  }
  OGRGeometryH straight = OGR_G_GetLinearGeometry(geometry, 0, NULL); /* arcs to short lines */
  if (!straight || !is_shore(straight)) {
    int code = geo_complain(GEO_REFUSED, "%s: it holds a geometry of the kind %s; export polygons", r->path,
                            OGR_G_GetGeometryName(geometry));
    OGR_G_DestroyGeometry(straight);
    return code;
  }
  int code = take_geometry(r, straight);
  OGR_G_DestroyGeometry(straight);
  return code;
}

/* --- layers --- */

static int prepare_layer(reading *r, OGRLayerH layer)
{
  r->guessed = OGR_L_GetSpatialRef(layer) == NULL;
  return geo_to_wgs84(layer, r->wgs84, r->path, &r->to_wgs84);
}

static int take_features(reading *r, OGRLayerH layer)
{
  int code = GEO_OK;
  CPLErrorReset();
  OGR_L_ResetReading(layer);
  for (OGRFeatureH feature; code == GEO_OK && (feature = OGR_L_GetNextFeature(layer)) != NULL;) {
    code = take_feature(r, feature);
    OGR_F_Destroy(feature);
  }
  /* a reader that comes upon damage ends the layer early: not the same as its end */
  if (code == GEO_OK && CPLGetLastErrorType() >= CE_Failure) {
    code = geo_complain(GEO_REFUSED, "%s: it is damaged or cut short (%s)", r->path, geo_last_words());
  }
  return code;
}

static int take_layer(reading *r, OGRLayerH layer)
{
  OGRwkbGeometryType type = wkbFlatten(OGR_L_GetGeomType(layer));
  if (type == wkbNone || type == wkbPoint || type == wkbMultiPoint) {
    return GEO_OK;
  }
  int before = r->written;
  int code = prepare_layer(r, layer);
  if (code == GEO_OK) {
    code = take_features(r, layer);
  }
  if (r->to_wgs84) {
    OCTDestroyCoordinateTransformation(r->to_wgs84);
  }
  if (code == GEO_OK && r->guessed && r->written > before) {
    (void)geo_complain(GEO_OK, "%s: it names no coordinate system; taken as longitude and latitude (WGS 84)",
                       r->path);
  }
  return code;
}

static int take_layers(void *context, GDALDatasetH file, OGRSpatialReferenceH wgs84)
{
  reading *r = context;
  r->wgs84 = wgs84;
  int code = GEO_OK;
  (void)printf("{\"type\":\"FeatureCollection\",\"features\":[");
  for (int i = 0; i < GDALDatasetGetLayerCount(file) && code == GEO_OK; i++) {
    code = take_layer(r, GDALDatasetGetLayer(file, i));
  }
  (void)printf("\n]}\n");
  if (code == GEO_OK && r->written == 0) {
    code = geo_complain(GEO_REFUSED, "%s: it holds no polygon and no line; draw the shore as a polygon",
                        r->path);
  }
  return geo_end_output(code);
}

int geo_outline(const char *path)
{
  reading r = {.path = path};
  return geo_with_file(path, take_layers, &r);
}
