/* SPDX-License-Identifier: Apache-2.0 */
#include "geo/geo.h"

#include <cpl_error.h>
#include <ogr_api.h>
#include <ogr_srs_api.h>
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

int geo_refuse_unreadable(const char *path, const geo_format *format)
{
  bool shapefile = strcmp(format->kind, "shp") == 0;
  return geo_complain(GEO_REFUSED, "%s: it cannot be read as %s%s (%s)", path, format->driver,
                      shapefile ? "; keep its .shp, .shx, .dbf and .prj files together" : "",
                      geo_last_words());
}

GDALDatasetH geo_open(const char *path, const geo_format *format)
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
