/* SPDX-License-Identifier: Apache-2.0 */
/* `lakeward-geo raster FILE`: a grid from standard input to a new Cloud Optimized GeoTIFF (OGC 21-026).
 * What comes in: lines of text, an empty line, then the bands one after the other, each row by row from
 * the south, as 32-bit floats in this machine's order, NaN where there is nothing:
 *
 *   lakeward-grid 1
 *   nodes NX NY                       of each band
 *   step METRES
 *   origin X Y                        of the south-west node, metres in the plane
 *   middle LONGITUDE LATITUDE         of the plane: transverse Mercator about it, WGS 84
 *   band UNIT DESCRIPTION             one line a band, at most 4
 *
 * A pixel is the square about its node. */
#include "geo/geo.h"

#include <cpl_conv.h>
#include <cpl_error.h>
#include <cpl_string.h>
#include <cpl_vsi.h>
#include <errno.h>
#include <fcntl.h>
#include <math.h>
#include <ogr_srs_api.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>
#include <unistd.h>

/* Exported by GDAL; gdal_frmts.h, which declares them, is no public header everywhere. */
void GDALRegister_COG(void);
void GDALRegister_GTiff(void);
void GDALRegister_MEM(void);

enum { BANDS_MOST = 4, NODES_MOST = 4000000, UNIT_BYTES = 16, DESCRIPTION_BYTES = 160, HEADER_BYTES = 2048 };
enum { COUNT_MOST = 999999999 };

static const float nothing = -9999;
static const char cloud_file[] = "/vsimem/out.tif";

typedef struct grid {
  int nx, ny, bands;
  double step_m, x0_m, y0_m, longitude, latitude;
  char unit[BANDS_MOST][UNIT_BYTES];
  char description[BANDS_MOST][DESCRIPTION_BYTES];
  unsigned char *values; /* of the input; rows from the south */
} grid;

/* --- the header --- */

static bool read_band(grid *g, const char *line)
{
  if (g->bands >= BANDS_MOST) {
    return false;
  }
  /* the widths are UNIT_BYTES - 1 and DESCRIPTION_BYTES - 1 */
  return sscanf(line, "band %15s %159[^\n]", g->unit[g->bands], g->description[g->bands]) == 2 &&
         ++g->bands > 0;
}

/* What follows `word` on a line that begins with it, or NULL. */
static const char *after(const char *line, const char *word)
{
  size_t n = strlen(word);
  return strncmp(line, word, n) == 0 ? line + n : NULL;
}

/* Moves *text past a whole number of at most nine digits. */
static bool take_count(const char **text, int *out)
{
  char *end = NULL;
  errno = 0;
  long value = strtol(*text, &end, 10);
  if (end == *text || errno != 0 || value < -COUNT_MOST || value > COUNT_MOST) {
    return false;
  }
  *out = (int)value;
  *text = end;
  return true;
}

/* Moves *text past a number; sound() turns away what is not finite or out of range. */
static bool take_number(const char **text, double *out)
{
  char *end = NULL;
  *out = strtod(*text, &end);
  bool read = end != *text;
  *text = end;
  return read;
}

static bool read_line(grid *g, const char *line)
{
  const char *rest = NULL;
  if (strncmp(line, "band ", 5) == 0) {
    return read_band(g, line);
  }
  if ((rest = after(line, "nodes "))) {
    return take_count(&rest, &g->nx) && take_count(&rest, &g->ny) && *rest == '\0';
  }
  if ((rest = after(line, "step "))) {
    return take_number(&rest, &g->step_m) && *rest == '\0';
  }
  if ((rest = after(line, "origin "))) {
    return take_number(&rest, &g->x0_m) && take_number(&rest, &g->y0_m) && *rest == '\0';
  }
  if ((rest = after(line, "middle "))) {
    return take_number(&rest, &g->longitude) && take_number(&rest, &g->latitude) && *rest == '\0';
  }
  return strcmp(line, "lakeward-grid 1") == 0;
}

static bool sound(const grid *g)
{
  return g->nx >= 2 && g->ny >= 2 && g->nx <= NODES_MOST / g->ny && g->bands >= 1 && g->step_m > 0 &&
         g->step_m <= 1e5 && fabs(g->x0_m) <= 1e7 && fabs(g->y0_m) <= 1e7 && fabs(g->longitude) <= 180 &&
         fabs(g->latitude) <= 90;
}

/* Takes the header's lines; *out_length of them, with the empty one. */
static bool read_header(grid *g, const char *text, size_t length, size_t *out_length)
{
  size_t at = 0;
  while (at < length && at < HEADER_BYTES) {
    const char *line_end = memchr(text + at, '\n', length - at);
    size_t n = line_end ? (size_t)(line_end - (text + at)) : length;
    char line[DESCRIPTION_BYTES + 64];
    if (n == 0) {
      *out_length = at + 1;
      return true;
    }
    if (n >= sizeof line || n >= length - at) {
      return false;
    }
    memcpy(line, text + at, n);
    line[n] = '\0';
    if (strlen(line) != n || !read_line(g, line) || (at == 0 && strncmp(line, "lakeward-grid", 13) != 0)) {
      return false;
    }
    at += n + 1;
  }
  return false;
}

static int take_grid(grid *g, unsigned char *data, size_t length)
{
  size_t header = 0;
  g->step_m = g->x0_m = g->y0_m = g->longitude = g->latitude = NAN;
  if (!read_header(g, (const char *)data, length, &header) || !sound(g)) {
    return geo_complain(GEO_REFUSED,
                        "standard input is not a grid as described in raster.c, or larger than %d nodes",
                        NODES_MOST);
  }
  size_t expected = (size_t)g->nx * (size_t)g->ny * (size_t)g->bands * sizeof(float);
  if (length - header != expected) {
    return geo_complain(GEO_REFUSED, "the grid should hold %zu bytes of values, not %zu", expected,
                        length - header);
  }
  g->values = data + header;
  return GEO_OK;
}

/* --- the raster in memory --- */

static bool write_row(const grid *g, GDALRasterBandH band, int band_index, int row, float *line)
{
  size_t node = ((size_t)band_index * (size_t)g->ny + (size_t)(g->ny - 1 - row)) * (size_t)g->nx;
  memcpy(line, g->values + node * sizeof *line, (size_t)g->nx * sizeof *line);
  for (int i = 0; i < g->nx; i++) {
    line[i] = isfinite(line[i]) ? line[i] : nothing;
  }
  return GDALRasterIO(band, GF_Write, 0, row, g->nx, 1, line, g->nx, 1, GDT_Float32, 0, 0) == CE_None;
}

static bool fill_band(const grid *g, GDALDatasetH raster, int index)
{
  GDALRasterBandH band = GDALGetRasterBand(raster, index + 1);
  float *line = malloc((size_t)g->nx * sizeof *line);
  bool done = band && line && GDALSetRasterNoDataValue(band, (double)nothing) == CE_None;
  for (int row = 0; done && row < g->ny; row++) {
    done = write_row(g, band, index, row, line);
  }
  free(line);
  if (done) {
    GDALSetDescription(band, g->description[index]);
    done = GDALSetRasterUnitType(band, g->unit[index]) == CE_None;
  }
  return done;
}

static bool set_place(const grid *g, GDALDatasetH raster)
{
  double corner[6] = {
      g->x0_m - g->step_m / 2, g->step_m, 0, g->y0_m + ((double)g->ny - 0.5) * g->step_m, 0, -g->step_m};
  OGRSpatialReferenceH plane = OSRNewSpatialReference(NULL);
  bool done = plane && OSRSetProjCS(plane, "local plane of the water") == OGRERR_NONE &&
              OSRSetWellKnownGeogCS(plane, "WGS84") == OGRERR_NONE &&
              OSRSetTM(plane, g->latitude, g->longitude, 1, 0, 0) == OGRERR_NONE &&
              OSRSetLinearUnits(plane, "metre", 1) == OGRERR_NONE &&
              GDALSetGeoTransform(raster, corner) == CE_None && GDALSetSpatialRef(raster, plane) == CE_None;
  OSRDestroySpatialReference(plane);
  return done;
}

static GDALDatasetH in_memory(const grid *g)
{
  GDALDriverH driver = GDALGetDriverByName("MEM");
  GDALDatasetH raster = driver ? GDALCreate(driver, "", g->nx, g->ny, g->bands, GDT_Float32, NULL) : NULL;
  bool done = raster && set_place(g, raster);
  for (int k = 0; done && k < g->bands; k++) {
    done = fill_band(g, raster, k);
  }
  if (raster && !done) {
    GDALClose(raster);
    raster = NULL;
  }
  return raster;
}

/* --- the file --- */

static bool write_all(int fd, const unsigned char *data, size_t length)
{
  for (size_t done = 0; done < length;) {
    ssize_t n = write(fd, data + done, length - done);
    if (n < 0 && errno != EINTR) {
      return false;
    }
    done += n > 0 ? (size_t)n : 0;
  }
  return fsync(fd) == 0;
}

/* A link takes no existing name; where the file system has none, the check made before must do. */
static bool give_name(const char *beside, const char *path)
{
  return link(beside, path) == 0 || (errno != EEXIST && rename(beside, path) == 0);
}

/* Complete or absent, and never over a file that is there. */
static int put_file(const char *path, const unsigned char *data, size_t length)
{
  char beside[4096];
  int n = snprintf(beside, sizeof beside, "%s.%ld.part", path, (long)getpid());
  int fd = n > 0 && n < (int)sizeof beside ? open(beside, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666) : -1;
  if (fd < 0) {
    return geo_complain(GEO_FAILED, "%s: it could not be created (%s)", path, strerror(errno));
  }
  bool done = write_all(fd, data, length);
  done = close(fd) == 0 && done && give_name(beside, path);
  int why = errno;
  (void)unlink(beside);
  if (!done && why == EEXIST) {
    return geo_complain(GEO_REFUSED, "%s: it exists already; name another file", path);
  }
  return done ? GEO_OK : geo_complain(GEO_FAILED, "%s: it could not be written (%s)", path, strerror(why));
}

static int make_cloud_optimized(GDALDatasetH raster, const char *path)
{
  static const char *const options[] = {"COMPRESS=DEFLATE", "PREDICTOR=YES", "OVERVIEWS=IGNORE_EXISTING",
                                        "OVERVIEW_RESAMPLING=AVERAGE", NULL};
  GDALDriverH driver = GDALGetDriverByName("COG");
  CPLErrorReset();
  GDALDatasetH made =
      driver ? GDALCreateCopy(driver, cloud_file, raster, 1, (CSLConstList)options, NULL, NULL) : NULL;
  if (!made) {
    return geo_complain(GEO_FAILED, "%s: it could not be made (%s)", path, geo_last_words());
  }
  GDALClose(made);
  vsi_l_offset length = 0;
  unsigned char *bytes = VSIGetMemFileBuffer(cloud_file, &length, 0);
  int code = bytes && length > 0 ? put_file(path, bytes, (size_t)length)
                                 : geo_complain(GEO_FAILED, "%s: it came out empty", path);
  (void)VSIUnlink(cloud_file);
  return code;
}

static int check_target(const char *path)
{
  struct stat info;
  const char *dot = strrchr(path, '.');
  if (!dot || (strcasecmp(dot, ".tif") != 0 && strcasecmp(dot, ".tiff") != 0) ||
      strncmp(path, "/vsi", 4) == 0) {
    return geo_complain(GEO_REFUSED, "%s: the name of a GeoTIFF should end in .tif", path);
  }
  if (lstat(path, &info) == 0) {
    return geo_complain(GEO_REFUSED, "%s: it exists already; name another file", path);
  }
  return GEO_OK;
}

int geo_raster(const char *path)
{
  int code = check_target(path);
  if (code != GEO_OK) {
    return code;
  }
  size_t length = 0;
  unsigned char *data = geo_read_input(&length);
  grid g = {0};
  code = data ? take_grid(&g, data, length) : geo_complain(GEO_FAILED, "the grid could not be taken in");
  if (code == GEO_OK) {
    GDALRegister_MEM();
    GDALRegister_GTiff();
    GDALRegister_COG();
    GDALDatasetH raster = in_memory(&g);
    code = raster ? make_cloud_optimized(raster, path)
                  : geo_complain(GEO_FAILED, "%s: the grid could not be set up (%s)", path, geo_last_words());
    if (raster) {
      GDALClose(raster);
    }
  }
  free(data);
  return code;
}
