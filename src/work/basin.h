/* SPDX-License-Identifier: Apache-2.0 */
/* The shape of one water as a person asks for it: the depth map from its surveys (or from the depths
 * told), and what is measured on it at a pool level: area, volume with its 90 % interval, curve, zones,
 * layers. What is slow to reckon is kept in the store's cache (basin_bed.h), so that every further
 * question costs milliseconds. Levels are against full pool (the level of the outline): -0.4 m is the
 * pool down 0.4 m. Depths of the map are below full pool. */
#ifndef LW_WORK_BASIN_H
#define LW_WORK_BASIN_H

#include "work/basin_bed.h"
#include "work/desk.h"

#include <jansson.h>

enum { LW_BASIN_ROWS = 120 };

typedef struct lw_basin_options {
  double level_m;               /* 0: full pool; -500 to 30 */
  double step_m;                /* of the grid; 0: chosen from data and area; 0.1 to 1000 */
  lw_maybe latitude, longitude; /* where the depth is asked for */
  lw_maybe thermocline_m;       /* under the water's surface at that level, 0 to 500 */
  lw_maybe shallower_m;         /* as above */
} lw_basin_options;

/* The texts of a request as options; NULL where not given. A bare number is metres. `at` is
 * "33.1,-86.4". LW_INVALID names the option. */
typedef struct lw_basin_words {
  const char *level, *step, *at, *thermocline, *shallower;
} lw_basin_words;

LW_MUST_CHECK lw_status lw_basin_options_read(lw_basin_options *out, const lw_basin_words *words,
                                              lw_error *err);

typedef struct lw_volume {
  double value_m3, low_m3, high_m3; /* 90 % interval */
} lw_volume;

/* The water with its surface at one level. */
typedef struct lw_pool {
  double level_m, area_m2;
  lw_volume volume;
  double mean_depth_m, max_depth_m, max_low_m, max_high_m; /* under the surface at that level */
} lw_pool;

typedef struct lw_basin_zone {
  lw_zone zone;
  bool measured; /* a zone with an area on this water */
  double area_m2, mean_depth_m;
  lw_volume volume;
} lw_basin_zone;

typedef struct lw_basin_share {
  double depth_m, share; /* share of the area shallower than that */
} lw_basin_share;

typedef struct lw_basin_sheet {
  lw_water water;
  lw_unit_system units;
  lw_bed bed;
  lw_survey *surveys; /* used or not; their soundings are not read here */
  size_t survey_count;
  lw_ground ground; /* its plane is closed by lw_basin_close */
  lw_pool pool;     /* at the level asked for */
  double shoreline_m, shoreline_development;
  lw_pool *curve; /* from full pool down to empty */
  size_t curve_count;
  lw_basin_share *shares; /* at the level asked for */
  size_t share_count;
  lw_basin_zone *zones;
  size_t zone_count;
  bool today_known; /* a level was ever read */
  lw_pool today;
  lw_day today_day;
  bool at_asked;
  double at_latitude, at_longitude, at_depth_m; /* under the surface at that level */
  lw_maybe at_error_m;
  lw_maybe thermocline_m;
  double above_m3, below_m3;
  lw_maybe shallower_m;
  double shallower_share;
} lw_basin_sheet;

/* By name, or by id when `name` is NULL. LW_INVALID with the remedy where the water has no outline, or
 * neither soundings nor a depth told; LW_NOT_FOUND where the place asked about is off the water. The
 * caller ends *out with lw_basin_close, also after a failure. */
LW_MUST_CHECK lw_status lw_work_basin(lw_basin_sheet *out, const lw_desk *desk, const char *name, lw_id id,
                                      const lw_basin_options *options, lw_error *err);

/* Only the map, its ground and the pool: for drawing and for files. Ended as above. */
LW_MUST_CHECK lw_status lw_work_basin_map(lw_basin_sheet *out, const lw_desk *desk, const char *name,
                                          lw_id id, const lw_basin_options *options, lw_error *err);

void lw_basin_close(lw_basin_sheet *sheet);

/* Area, volume and depths with the surface at `level_m`. */
LW_MUST_CHECK lw_status lw_basin_pool(lw_pool *out, const lw_basin *basin, double level_m, lw_error *err);

/* The parts of lw_work_basin that basin_pool.c measures. */
LW_MUST_CHECK lw_status lw_basin_curve(lw_basin_sheet *sheet, lw_arena *arena, lw_error *err);
LW_MUST_CHECK lw_status lw_basin_shares(lw_basin_sheet *sheet, lw_arena *arena, lw_error *err);
LW_MUST_CHECK lw_status lw_basin_measure_zone(lw_basin_zone *zone, const lw_basin_sheet *sheet,
                                              lw_arena *arena, lw_error *err);

/* The step of curves and tables: 1 ft or 0.25 m, doubled until there are at most LW_BASIN_ROWS rows. */
double lw_basin_row_step_m(const lw_basin *basin, lw_unit_system units);

/* Where each figure comes from: those that apply to this basin. Returns how many. */
typedef struct lw_basin_method {
  const char *name, *source;
} lw_basin_method;
enum { LW_BASIN_METHODS = 12 };
size_t lw_basin_methods(lw_basin_method out[LW_BASIN_METHODS], const lw_basin_sheet *sheet);

const char *lw_basin_way_id(lw_basin_way way); /* "sounded" */
extern const char lw_basin_caution[];

json_t *lw_basin_json(const lw_basin_sheet *sheet);

/* [SURVEY, ...] as lw_survey_json has it: the surveys and what became of their soundings. */
json_t *lw_basin_surveys_json(const lw_basin_sheet *sheet);

/* The counts of one survey; NULL where it is not used. */
const lw_survey_tally *lw_basin_tally(const lw_basin_sheet *sheet, lw_id survey);

/* {"value","unit","shown"} of any value, and of a length with a tenth of a foot or metre. */
json_t *lw_basin_q_json(double value, const char *unit, const char *shown_unit, int digits);
json_t *lw_basin_length_json(double value_m, lw_unit_system units);

/* For the page: at most `most` nodes a side, the map thinned where it has more. */
LW_MUST_CHECK lw_status lw_basin_map_json(json_t **out, const lw_basin_sheet *sheet, size_t most,
                                          const lw_desk *desk, lw_error *err);

/* Contours every `interval_m` (0.05 to 100) from one interval under `down_m` below full pool, with
 * `waterline` from `down_m` itself, in the desk's arena. LW_LIMIT where they would be more than
 * LW_CONTOURS_MOST. */
typedef struct lw_basin_lines {
  double interval_m, down_m;
  bool waterline;
} lw_basin_lines;
LW_MUST_CHECK lw_status lw_basin_contours(lw_contour **out, size_t *out_count, const lw_basin_sheet *sheet,
                                          const lw_basin_lines *lines, const lw_desk *desk, lw_error *err);

/* Contours every `interval_m` (0.05 to 100) below full pool. */
LW_MUST_CHECK lw_status lw_basin_contours_json(json_t **out, const lw_basin_sheet *sheet, double interval_m,
                                               const lw_desk *desk, lw_error *err);

/* Contour interval that gives about ten lines: 1, 2, 5, 10 ft or 0.5, 1, 2, 5 m. */
double lw_basin_interval_m(const lw_basin *basin, lw_unit_system units);

/* At most `most` soundings, those set aside first, the others evenly thinned. */
LW_MUST_CHECK lw_status lw_basin_soundings_json(json_t **out, const lw_basin_sheet *sheet, size_t most,
                                                const lw_desk *desk, lw_error *err);

#endif
