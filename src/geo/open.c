/* SPDX-License-Identifier: Apache-2.0 */
#include "geo/geo.h"

#include <cpl_error.h>
#include <ogr_api.h>
#include <ogr_srs_api.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

int geo_check_path(const char *path)
{
  struct stat info;
  if (strncmp(path, "/vsi", 4) == 0 || stat(path, &info) != 0 || !S_ISREG(info.st_mode)) {
    return geo_complain(GEO_REFUSED, "%s: there is no such file", path);
  }
  return GEO_OK;
}

static int refuse_unreadable(const char *path, const geo_format *format)
{
  bool shapefile = strcmp(format->kind, "shp") == 0;
  return geo_complain(GEO_REFUSED, "%s: it cannot be read as %s%s (%s)", path, format->driver,
                      shapefile ? "; keep its .shp, .shx, .dbf and .prj files together" : "",
                      geo_last_words());
}

static GDALDatasetH open_file(const char *path, const geo_format *format)
{
  const char *const drivers[] = {format->driver, NULL};
  /* a GeoPackage is opened as it lies, without journal files beside it */
  const char *const options[] = {"NOLOCK=YES", NULL};
  bool geopackage = strcmp(format->kind, "gpkg") == 0;
  format->enroll();
  CPLErrorReset();
  return GDALOpenEx(path, GDAL_OF_VECTOR | GDAL_OF_READONLY | GDAL_OF_VERBOSE_ERROR, drivers,
                    geopackage ? options : NULL, NULL);
}

int geo_with_file(const char *path, int (*take)(void *context, GDALDatasetH file, OGRSpatialReferenceH wgs84),
                  void *context)
{
  int code = geo_check_path(path);
  const geo_format *format = geo_format_of_path(path);
  if (code != GEO_OK) {
    return code;
  }
  if (!format) {
    return geo_complain(GEO_REFUSED, "%s: its ending should be .kml, .gpx, .shp, .gpkg or .geojson", path);
  }
  OGRSpatialReferenceH wgs84 = geo_wgs84();
  if (!wgs84) {
    return geo_complain(GEO_FAILED,
                        "the table of coordinate systems (proj.db) is missing; install PROJ's data");
  }
  GDALDatasetH file = open_file(path, format);
  code = file ? take(context, file, wgs84) : refuse_unreadable(path, format);
  if (file) {
    GDALClose(file);
  }
  OSRDestroySpatialReference(wgs84);
  return code;
}

int geo_end_output(int code)
{
  if (code == GEO_OK && (fflush(stdout) != 0 || ferror(stdout))) {
    return geo_complain(GEO_FAILED, "standard output could not be written");
  }
  return code;
}

int geo_to_wgs84(OGRLayerH layer, OGRSpatialReferenceH wgs84, const char *path,
                 OGRCoordinateTransformationH *out)
{
  OGRSpatialReferenceH own = OGR_L_GetSpatialRef(layer);
  *out = NULL;
  if (!own) {
    return GEO_OK;
  }
  OGRSpatialReferenceH from = OSRClone(own);
  if (from) {
    OSRSetAxisMappingStrategy(from, OAMS_TRADITIONAL_GIS_ORDER);
    *out = OCTNewCoordinateTransformation(from, wgs84);
    OSRDestroySpatialReference(from);
  }
  return *out ? GEO_OK
              : geo_complain(GEO_REFUSED, "%s: its coordinate system is not understood (%s)", path,
                             geo_last_words());
}
