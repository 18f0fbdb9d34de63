/* SPDX-License-Identifier: Apache-2.0 */
/* Outlines out to GeoJSON (RFC 7946): one FeatureCollection, a Feature a water, with its name and
 * area. The same text is what lw_geo_write (geo_program.h) turns into KML, GPX, Shapefile and
 * GeoPackage. */
#ifndef LW_EXCHANGE_OUTLINE_WRITE_H
#define LW_EXCHANGE_OUTLINE_WRITE_H

#include "base/maybe.h"
#include "base/status.h"
#include "base/text.h"

#include <stddef.h>

typedef struct lw_outline_feature {
  const char *name;    /* UTF-8 */
  const char *geojson; /* a geometry as lw_outline_parse normalised it */
  lw_maybe area_m2;    /* left out when not known */
} lw_outline_feature;

/* Adds the whole collection to `out`. LW_INVALID for a name that is not UTF-8 and an area that is not
 * finite; LW_MEMORY when `out` is full. */
LW_MUST_CHECK lw_status lw_outline_collection(lw_text *out, const lw_outline_feature *features, size_t count,
                                              lw_error *err);

#endif
