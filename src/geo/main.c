/* SPDX-License-Identifier: Apache-2.0 */
#include "geo/geo.h"

#include <cpl_conv.h>
#include <ogr_srs_api.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/prctl.h>

enum { USUAL_CPU_S = 20, POINTS_CPU_S = 120 };

static const char usage[] =
    "lakeward-geo outline FILE       shore lines of a .kml, .gpx, .shp, .gpkg or .geojson file as GeoJSON\n"
    "lakeward-geo write KIND FILE    GeoJSON from standard input to a new kml, gpx, shp or gpkg file\n"
    "lakeward-geo points FILE        points with their attributes, as CSV in longitude and latitude\n"
    "lakeward-geo raster FILE        a grid of depths from standard input to a new GeoTIFF file\n"
    "lakeward-geo --version\n";

/* No network, no plug-ins, nothing looked up beside the file but its own parts. */
static void configure(void)
{
  static const char *const options[][2] = {
      {"GDAL_DRIVER_PATH", "disable"},  {"GDAL_HTTP_TIMEOUT", "1"},
      {"CPL_CURL_ENABLE_VSIMEM", "NO"}, {"OGR_SQLITE_LOAD_EXTENSIONS", "NO"},
      {"GDAL_NUM_THREADS", "1"},        {"PROJ_NETWORK", "OFF"},
      {"SHAPE_RESTORE_SHX", "NO"},      {"OGR_GEOJSON_MAX_OBJ_SIZE", "64"},
      {"GDAL_CACHEMAX", "16"},
  };
  for (size_t i = 0; i < sizeof options / sizeof *options; i++) {
    CPLSetConfigOption(options[i][0], options[i][1]);
  }
  OSRSetPROJEnableNetwork(0);
  CPLSetErrorHandler(CPLQuietErrorHandler);
}

static int version(void)
{
  (void)printf("lakeward-geo %s (GDAL %s)\n", LW_VERSION, GDALVersionInfo("RELEASE_NAME"));
  return GEO_OK;
}

int main(int argc, char **argv)
{
  /* end with the program that asked */
  (void)prctl(PR_SET_PDEATHSIG, SIGKILL);
  (void)prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0);
  bool writes = argc == 4 && strcmp(argv[1], "write") == 0;
  bool reads = argc == 3 && strcmp(argv[1], "outline") == 0;
  bool grids = argc == 3 && strcmp(argv[1], "raster") == 0;
  bool points = argc == 3 && strcmp(argv[1], "points") == 0;
  if (argc == 2 && strcmp(argv[1], "--version") == 0) {
    return version();
  }
  if (!writes && !reads && !grids && !points) {
    (void)fputs(usage, argc == 2 && strcmp(argv[1], "--help") == 0 ? stdout : stderr);
    return argc == 2 && strcmp(argv[1], "--help") == 0 ? GEO_OK : GEO_REFUSED;
  }
  if (!geo_limit_self(writes || grids, points ? POINTS_CPU_S : USUAL_CPU_S)) {
    return geo_complain(GEO_FAILED, "the limits on time and memory could not be set");
  }
  configure();
  if (grids) {
    return geo_raster(argv[2]);
  }
  if (points) {
    return geo_points(argv[2]);
  }
  return writes ? geo_write(argv[2], argv[3]) : geo_outline(argv[2]);
}
