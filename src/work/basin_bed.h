/* SPDX-License-Identifier: Apache-2.0 */
/* The bed of a water: everything lw_basin_reckon found, reckoned once for one set of inputs and kept in
 * the store's cache under a digest of them. A damaged or missing cache costs time, never an answer. */
#ifndef LW_WORK_BASIN_BED_H
#define LW_WORK_BASIN_BED_H

#include "advice/advice.h"
#include "basin/basin.h"
#include "exchange/plane.h"
#include "work/desk.h"
#include "work/surveys.h"

typedef struct lw_bed {
  lw_basin basin;
  size_t residual_count;    /* soundings given, in the order of lw_work_soundings */
  lw_survey_tally *surveys; /* of those that are used */
  size_t survey_count;
} lw_bed;

/* The water in its metric plane. */
typedef struct lw_ground {
  lw_plane *plane;
  lw_shore shore;
} lw_ground;

/* LW_INVALID with the remedy for a water without an outline. Ended by lw_plane_close(out->plane). */
LW_MUST_CHECK lw_status lw_ground_open(lw_ground *out, const lw_water *water, const lw_desk *desk,
                                       lw_error *err);

/* Positions of a Point or LineString (GeoJSON text) as pairs of longitude and latitude; *out_count 0 for
 * any other geometry. */
LW_MUST_CHECK lw_status lw_line_pairs(double **out, size_t *out_count, const char *geojson,
                                      const lw_desk *desk, lw_error *err);
bool lw_geometry_has_area(const char *geojson);

/* From the cache, or reckoned and put there. `step_m` 0: chosen. */
LW_MUST_CHECK lw_status lw_bed_find(lw_bed *out, const lw_water *water, const lw_ground *ground,
                                    double step_m, const lw_desk *desk, lw_error *err);

/* ---- the blob (basin_blob.c) ---- */

/* Bytes in the arena, of this machine's byte order. */
LW_MUST_CHECK lw_status lw_bed_pack(void **out, size_t *out_length, const lw_bed *bed, lw_arena *arena,
                                    lw_error *err);
/* LW_CORRUPT for anything that lw_bed_pack cannot have written: sizes, values that are no numbers, a wet
 * cell without depths. */
LW_MUST_CHECK lw_status lw_bed_unpack(lw_bed *out, const void *blob, size_t length, lw_arena *arena,
                                      lw_error *err);

#endif
