/* SPDX-License-Identifier: Apache-2.0 */
/* PROJ and GEOS, opened on first use and kept: tables of typed pointers to their
 * functions. Private to exchange. Safe from several threads. */
#ifndef LW_EXCHANGE_LIBRARIES_H
#define LW_EXCHANGE_LIBRARIES_H

#include "base/status.h"

#ifndef GEOS_USE_ONLY_R_API
#define GEOS_USE_ONLY_R_API
#endif
#include <geodesic.h>
#include <geos_c.h>
#include <proj.h>

/* WGS 84: NGA.STND.0036 (2014), table 3.1. */
#define LW_WGS84_SEMI_MAJOR_AXIS_M 6378137.0
#define LW_WGS84_FLATTENING (1 / 298.257223563)

/* The formatter (version 14) never settles on these lists. */
/* clang-format off */
#define LW_PROJ_FUNCTIONS(X)                                                                                 \
  X(geod_init) X(geod_inverse) X(geod_polygon_init) X(geod_polygon_addpoint) X(geod_polygon_compute)         \
  X(proj_context_create) X(proj_context_destroy) X(proj_context_set_enable_network) X(proj_log_level)        \
  X(proj_create) X(proj_create_crs_to_crs) X(proj_normalize_for_visualization) X(proj_get_type)              \
  X(proj_trans_generic) X(proj_destroy)

#define LW_GEOS_FUNCTIONS(X)                                                                                 \
  X(GEOS_init_r)                                                                                             \
  X(GEOS_finish_r)                                                                                           \
  X(GEOSFree_r)                                                                                              \
  X(GEOSGeom_destroy_r)                                                                                      \
  X(GEOSCoordSeq_copyFromBuffer_r)                                                                           \
  X(GEOSCoordSeq_copyToBuffer_r)                                                                             \
  X(GEOSCoordSeq_getSize_r) X(GEOSGeom_createLinearRing_r) X(GEOSGeom_createPolygon_r)                       \
      X(GEOSGeom_createCollection_r) X(GEOSisValidDetail_r) X(GEOSUnaryUnion_r) X(GEOSPointOnSurface_r)      \
          X(GEOSArea_r) X(GEOSGeomTypeId_r) X(GEOSGetNumGeometries_r) X(GEOSGetGeometryN_r)                  \
              X(GEOSGetExteriorRing_r) X(GEOSGetNumInteriorRings_r) X(GEOSGetInteriorRingN_r)                \
                  X(GEOSGeom_getCoordSeq_r) X(GEOSGeomGetX_r) X(GEOSGeomGetY_r) X(GEOSCoverageUnion_r)       \
                      X(GEOS_interruptRegisterCallback) X(GEOS_interruptRequest) X(GEOS_interruptCancel)
/* clang-format on */

#define LW_LIBRARY_MEMBER(function) __typeof__(&function) function;

typedef struct lw_proj {
  LW_PROJ_FUNCTIONS(LW_LIBRARY_MEMBER)
} lw_proj;

typedef struct lw_geos {
  LW_GEOS_FUNCTIONS(LW_LIBRARY_MEMBER)
} lw_geos;

/* *out lives as long as the process. LW_NOT_FOUND with what to install. */
LW_MUST_CHECK lw_status lw_proj_open(const lw_proj **out, lw_error *err);
LW_MUST_CHECK lw_status lw_geos_open(const lw_geos **out, lw_error *err);

#endif
