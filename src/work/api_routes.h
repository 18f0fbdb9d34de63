/* SPDX-License-Identifier: Apache-2.0 */
/* The table of what can be asked, and the functions behind it. */
#ifndef LW_WORK_API_ROUTES_H
#define LW_WORK_API_ROUTES_H

#include "work/api.h"
#include "work/api_form.h"

typedef struct lw_api_target {
  lw_id id;      /* of the path */
  char name[80]; /* of the path */
} lw_api_target;

typedef lw_status (*lw_api_function)(const lw_api_request *request, const lw_api_target *target,
                                     const lw_desk *desk, json_t **out, lw_error *err);

typedef struct lw_api_route {
  const char *method, *path;
  lw_api_function answer;
} lw_api_route;

extern const lw_api_route lw_api_routes[]; /* ended by a NULL method */

/* A query value, NULL when not given. */
const char *lw_api_query(const lw_api_request *request, const char *key);

/* api_read.c */
lw_status lw_api_version(const lw_api_request *, const lw_api_target *, const lw_desk *, json_t **,
                         lw_error *);
lw_status lw_api_now(const lw_api_request *, const lw_api_target *, const lw_desk *, json_t **, lw_error *);
lw_status lw_api_waters(const lw_api_request *, const lw_api_target *, const lw_desk *, json_t **,
                        lw_error *);
lw_status lw_api_water(const lw_api_request *, const lw_api_target *, const lw_desk *, json_t **, lw_error *);
lw_status lw_api_shelf(const lw_api_request *, const lw_api_target *, const lw_desk *, json_t **, lw_error *);
lw_status lw_api_log(const lw_api_request *, const lw_api_target *, const lw_desk *, json_t **, lw_error *);
lw_status lw_api_quantities(const lw_api_request *, const lw_api_target *, const lw_desk *, json_t **,
                            lw_error *);
lw_status lw_api_methods(const lw_api_request *, const lw_api_target *, const lw_desk *, json_t **,
                         lw_error *);
lw_status lw_api_method(const lw_api_request *, const lw_api_target *, const lw_desk *, json_t **,
                        lw_error *);
lw_status lw_api_rules(const lw_api_request *, const lw_api_target *, const lw_desk *, json_t **, lw_error *);
lw_status lw_api_season(const lw_api_request *, const lw_api_target *, const lw_desk *, json_t **,
                        lw_error *);
lw_status lw_api_settings(const lw_api_request *, const lw_api_target *, const lw_desk *, json_t **,
                          lw_error *);

/* api_basin.c */
lw_status lw_api_basin(const lw_api_request *, const lw_api_target *, const lw_desk *, json_t **, lw_error *);
lw_status lw_api_basin_map(const lw_api_request *, const lw_api_target *, const lw_desk *, json_t **,
                           lw_error *);
lw_status lw_api_basin_contours(const lw_api_request *, const lw_api_target *, const lw_desk *, json_t **,
                                lw_error *);
lw_status lw_api_soundings(const lw_api_request *, const lw_api_target *, const lw_desk *, json_t **,
                           lw_error *);

#endif
