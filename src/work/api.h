/* SPDX-License-Identifier: Apache-2.0 */
/* The page's requests as calls of work/: a table of methods and paths, JSON in, JSON out. No HTTP
 * here: web/ does sockets, headers and limits. */
#ifndef LW_WORK_API_H
#define LW_WORK_API_H

#include "work/desk.h"

#include <jansson.h>

typedef struct lw_api_request {
  const char *method; /* "GET" */
  const char *path;   /* after /api: "/waters/3" */
  const char *const *query_keys, *const *query_values;
  size_t query_count;
  json_t *body; /* borrowed; NULL when there was none */
} lw_api_request;

/* Answers one request. *out is a new reference on LW_OK and NULL otherwise. *out_http_status is 200 on
 * LW_OK, 404 or 405 where no such path or method is in the table, and 0 for any other fault: web/ knows
 * which HTTP status goes with which. */
LW_MUST_CHECK lw_status lw_api_answer(const lw_api_request *request, const lw_desk *desk, json_t **out,
                                      int *out_http_status, lw_error *err);

#endif
