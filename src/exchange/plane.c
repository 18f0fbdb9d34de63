/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/plane.h"

#include "base/text.h"
#include "exchange/geojson.h"
#include "exchange/libraries.h"
#include "exchange/plain.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { DEFINITION = 240, LONGEST_SYSTEM = 200 };

struct lw_plane {
  const lw_proj *proj;
  PJ_CONTEXT *context;
  PJ *projection; /* degrees to metres */
};

static bool is_place(double longitude, double latitude)
{
  return fabs(longitude) <= 180 && fabs(latitude) <= 90; /* false for NaN */
}

/* Quiet, and never on the network. */
static PJ_CONTEXT *new_context(const lw_proj *proj)
{
  PJ_CONTEXT *context = proj->proj_context_create();
  if (context) {
    (void)proj->proj_log_level(context, PJ_LOG_NONE);
    (void)proj->proj_context_set_enable_network(context, 0);
  }
  return context;
}

/* --- opening and closing --- */

/* No table of systems is opened: the projection is written out. Snyder 1987, USGS Professional Paper
 * 1395, chapter 8; PROJ computes it after Engsager and Poder 2007 (Karney 2011, J. Geodesy 85:475). */
static PJ *new_projection(const lw_proj *proj, PJ_CONTEXT *context, double longitude, double latitude)
{
  char text[DEFINITION];
  (void)snprintf(text, sizeof text,
                 "+proj=pipeline +step +proj=unitconvert +xy_in=deg +xy_out=rad +step +proj=tmerc "
                 "+lat_0=%.9f +lon_0=%.9f +k=1 +x_0=0 +y_0=0 +ellps=WGS84",
                 latitude, longitude);
  return proj->proj_create(context, text);
}

lw_status lw_plane_open(lw_plane **out, double longitude, double latitude, lw_arena *arena, lw_error *err)
{
  if (!is_place(longitude, latitude)) {
    return lw_fail(err, LW_INVALID,
                   "longitude %.10g, latitude %.10g is no place; expected degrees, longitude within 180 and "
                   "latitude within 90 of zero",
                   longitude, latitude);
  }
  const lw_proj *proj = NULL;
  lw_status status = lw_proj_open(&proj, err);
  if (status != LW_OK) {
    return status;
  }
  lw_plane *plane = LW_NEW(arena, lw_plane, 1);
  if (!plane) {
    return lw_fail(err, LW_MEMORY, "there is no memory for the water's plane");
  }
  plane->proj = proj;
  plane->context = new_context(proj);
  plane->projection = plane->context ? new_projection(proj, plane->context, longitude, latitude) : NULL;
  if (!plane->projection) {
    lw_plane_close(plane);
    return lw_fail(err, LW_INTERNAL, "PROJ could not make the water's plane; install a current libproj25");
  }
  *out = plane;
  return LW_OK;
}

void lw_plane_close(lw_plane *plane)
{
  if (!plane) {
    return;
  }
  if (plane->projection) {
    (void)plane->proj->proj_destroy(plane->projection);
  }
  if (plane->context) {
    (void)plane->proj->proj_context_destroy(plane->context);
  }
  plane->projection = NULL;
  plane->context = NULL;
}

/* --- there and back --- */

static void transform(const lw_plane *plane, PJ_DIRECTION direction, double *x, double *y, size_t stride,
                      size_t count)
{
  (void)plane->proj->proj_trans_generic(plane->projection, direction, x, stride, count, y, stride, count,
                                        NULL, 0, 0, NULL, 0, 0);
}

lw_status lw_plane_to(lw_spot *out, const double *lon_lat, size_t count, const lw_plane *plane, lw_error *err)
{
  for (size_t i = 0; i < count; i++) {
    double longitude = lon_lat[2 * i];
    double latitude = lon_lat[2 * i + 1];
    if (!is_place(longitude, latitude)) {
      return lw_fail(err, LW_INVALID,
                     "position %zu, longitude %.10g, latitude %.10g, is no place; expected degrees", i + 1,
                     longitude, latitude);
    }
    out[i] = (lw_spot){longitude, latitude};
  }
  if (count == 0) {
    return LW_OK;
  }
  transform(plane, PJ_FWD, &out->x_m, &out->y_m, sizeof *out, count);
  for (size_t i = 0; i < count; i++) {
    if (!isfinite(out[i].x_m) || !isfinite(out[i].y_m)) {
      return lw_fail(
          err, LW_INVALID,
          "position %zu, longitude %.7f, latitude %.7f, lies too far from the water to be drawn in "
          "its plane; it belongs to another water",
          i + 1, lon_lat[2 * i], lon_lat[2 * i + 1]);
    }
  }
  return LW_OK;
}

lw_status lw_plane_from(double *lon_lat, const lw_spot *spots, size_t count, const lw_plane *plane,
                        lw_error *err)
{
  for (size_t i = 0; i < count; i++) {
    if (!(fabs(spots[i].x_m) <= 1e7 && fabs(spots[i].y_m) <= 1e7)) {
      return lw_fail(err, LW_INVALID, "spot %zu (%.10g, %.10g) lies outside the plane of any water", i + 1,
                     spots[i].x_m, spots[i].y_m);
    }
    lon_lat[2 * i] = spots[i].x_m;
    lon_lat[2 * i + 1] = spots[i].y_m;
  }
  if (count == 0) {
    return LW_OK;
  }
  transform(plane, PJ_INV, lon_lat, lon_lat + 1, 2 * sizeof *lon_lat, count);
  for (size_t i = 0; i < count; i++) {
    if (!is_place(lon_lat[2 * i], lon_lat[2 * i + 1])) {
      return lw_fail(err, LW_INVALID, "spot %zu (%.10g, %.10g) lies outside the plane of any water", i + 1,
                     spots[i].x_m, spots[i].y_m);
    }
  }
  return LW_OK;
}

/* --- shores --- */

static lw_status read_rings(lw_geometry *out, const char *geojson, lw_arena *arena, lw_error *err)
{
  lw_status status = lw_geojson_read(out, "outline", geojson, strlen(geojson), arena, err);
  if (status == LW_OK && out->polygons.count == 0) {
    return lw_fail(err, LW_INVALID, "the outline holds no polygon; draw the shore as a polygon");
  }
  return status;
}

static lw_status fill_shore(lw_shore *out, const lw_ring_list *rings, const lw_plane *plane, lw_spot *spots,
                            size_t *starts, lw_error *err)
{
  size_t n = 0;
  for (size_t i = 0; i < rings->count; i++) {
    const lw_ring *ring = &rings->rings[i];
    starts[i] = n;
    lw_status status = lw_plane_to(spots + n, ring->lon_lat, ring->count - 1, plane, err);
    if (status != LW_OK) {
      return status;
    }
    n += ring->count - 1;
  }
  starts[rings->count] = n;
  *out = (lw_shore){.spots = spots, .ring_start = starts, .ring_count = rings->count, .spot_count = n};
  return LW_OK;
}

lw_status lw_plane_shore(lw_shore *out, const char *geojson, const lw_plane *plane, lw_arena *arena,
                         lw_error *err)
{
  lw_geometry geometry;
  lw_status status = read_rings(&geometry, geojson, arena, err);
  if (status != LW_OK) {
    return status;
  }
  lw_spot *spots = LW_NEW(arena, lw_spot, geometry.positions);
  size_t *starts = LW_NEW(arena, size_t, geometry.polygons.count + 1);
  if (!spots || !starts) {
    return lw_fail(err, LW_MEMORY, "there is no memory for the water's shore");
  }
  return fill_shore(out, &geometry.polygons, plane, spots, starts, err);
}

lw_status lw_plane_middle(double *out_longitude, double *out_latitude, const char *geojson, lw_arena *arena,
                          lw_error *err)
{
  lw_geometry geometry;
  lw_status status = read_rings(&geometry, geojson, arena, err);
  if (status != LW_OK) {
    return status;
  }
  double low[2] = {INFINITY, INFINITY};
  double high[2] = {-INFINITY, -INFINITY};
  for (size_t r = 0; r < geometry.polygons.count; r++) {
    const lw_ring *ring = &geometry.polygons.rings[r];
    for (size_t i = 0; i < 2 * ring->count; i++) {
      low[i % 2] = fmin(low[i % 2], ring->lon_lat[i]);
      high[i % 2] = fmax(high[i % 2], ring->lon_lat[i]);
    }
  }
  *out_longitude = (low[0] + high[0]) / 2;
  *out_latitude = (low[1] + high[1]) / 2;
  return LW_OK;
}

/* --- other systems --- */

static bool is_map_system(PJ_TYPE type)
{
  return type == PJ_TYPE_PROJECTED_CRS || type == PJ_TYPE_GEOGRAPHIC_2D_CRS || type == PJ_TYPE_BOUND_CRS ||
         type == PJ_TYPE_GEOGRAPHIC_3D_CRS || type == PJ_TYPE_COMPOUND_CRS;
}

static lw_status refuse_system(const char *system, lw_error *err)
{
  char excerpt[LW_EXCERPT];
  return lw_fail(err, LW_INVALID,
                 "the coordinate system '%s' is not known; give its code, like EPSG:32616 (WGS 84 / UTM zone "
                 "16N) or EPSG:26916 (NAD 83 / UTM zone 16N)",
                 lw_excerpt(system, excerpt));
}

/* x east and y north whatever order the system's own definition has. NULL when it is unknown. */
static PJ *new_transformation(const lw_proj *proj, PJ_CONTEXT *context, const char *system)
{
  PJ *crs = proj->proj_create(context, system);
  bool known = crs && is_map_system(proj->proj_get_type(crs));
  (void)proj->proj_destroy(crs);
  PJ *plain = known ? proj->proj_create_crs_to_crs(context, system, "EPSG:4326", NULL) : NULL;
  PJ *out = plain ? proj->proj_normalize_for_visualization(context, plain) : NULL;
  (void)proj->proj_destroy(plain);
  return out;
}

static lw_status unproject_with(const lw_proj *proj, PJ *transformation, double *pairs, size_t count,
                                const char *system, lw_error *err)
{
  double first[2] = {pairs[0], pairs[1]};
  (void)proj->proj_trans_generic(transformation, PJ_FWD, pairs, 2 * sizeof *pairs, count, pairs + 1,
                                 2 * sizeof *pairs, count, NULL, 0, 0, NULL, 0, 0);
  for (size_t i = 0; i < count; i++) {
    if (!is_place(pairs[2 * i], pairs[2 * i + 1])) {
      return lw_fail(
          err, LW_INVALID,
          "position %zu falls off the Earth in the coordinate system '%s' (the first is x %.10g, y "
          "%.10g); check the system, and that x is the easting and y the northing",
          i + 1, system, first[0], first[1]);
    }
  }
  return LW_OK;
}

lw_status lw_plane_unproject(double *pairs, size_t count, const char *system, lw_error *err)
{
  if (!*system || strlen(system) > LONGEST_SYSTEM || !lw_text_is_clean(system, strlen(system))) {
    return refuse_system(system, err);
  }
  for (size_t i = 0; i < 2 * count; i++) {
    if (!isfinite(pairs[i])) {
      return lw_fail(err, LW_INVALID, "position %zu is not a number", i / 2 + 1);
    }
  }
  const lw_proj *proj = NULL;
  lw_status status = lw_proj_open(&proj, err);
  if (status != LW_OK) {
    return status;
  }
  PJ_CONTEXT *context = new_context(proj);
  PJ *transformation = context ? new_transformation(proj, context, system) : NULL;
  status = !transformation ? refuse_system(system, err)
           : count         ? unproject_with(proj, transformation, pairs, count, system, err)
                           : LW_OK;
  (void)proj->proj_destroy(transformation);
  if (context) {
    (void)proj->proj_context_destroy(context);
  }
  return status;
}
