/* SPDX-License-Identifier: Apache-2.0 */
#include "work/api.h"

#include "exchange/json_memory.h"
#include "work/api_routes.h"

#include <stdlib.h>
#include <string.h>

/* Matches "/waters/ID" against "/waters/3": ID takes a whole number, NAME the rest of a segment. */
static bool path_matches(const char *pattern, const char *path, lw_api_target *target)
{
  while (*pattern && *path) {
    if (strncmp(pattern, "ID", 2) == 0) {
      char *end = NULL;
      target->id = strtoll(path, &end, 10);
      if (end == path || target->id <= 0 || *path == '+' || *path == ' ') {
        return false;
      }
      path = end;
      pattern += 2;
    } else if (strncmp(pattern, "NAME", 4) == 0) {
      size_t n = strcspn(path, "/");
      if (n == 0 || n >= sizeof target->name) {
        return false;
      }
      memcpy(target->name, path, n);
      target->name[n] = '\0';
      path += n;
      pattern += 4;
    } else if (*pattern++ != *path++) {
      return false;
    }
  }
  return *pattern == '\0' && *path == '\0';
}

static lw_status set_people(lw_desk *desk, json_t *body, lw_error *err)
{
  const char *who = NULL;
  const char *why = NULL;
  lw_status s = lw_api_text(&who, body, "who", err);
  s = s == LW_OK ? lw_api_text(&why, body, "why", err) : s;
  desk->who = who ? who : desk->who;
  desk->why = why ? why : desk->why;
  return s;
}

lw_status lw_api_answer(const lw_api_request *request, const lw_desk *desk, json_t **out,
                        int *out_http_status, lw_error *err)
{
  bool path_known = false;
  *out = NULL;
  if (lw_json_ran_short()) { /* the body may have lost characters on the way in */
    *out_http_status = 0;
    return lw_fail(err, LW_MEMORY, "no memory to read this request; nothing was changed");
  }
  for (const lw_api_route *route = lw_api_routes; route->method; route++) {
    lw_api_target target = {0};
    if (!path_matches(route->path, request->path, &target)) {
      continue;
    }
    path_known = true;
    if (strcmp(route->method, request->method) != 0) {
      continue;
    }
    lw_desk mine = *desk;
    lw_status s = set_people(&mine, request->body, err);
    s = s == LW_OK ? route->answer(request, &target, &mine, out, err) : s;
    if (s == LW_OK && (lw_json_ran_short() || !*out)) {
      json_decref(*out); /* half an answer is none */
      *out = NULL;
      s = lw_fail(err, LW_MEMORY, "no memory for the answer");
    }
    *out_http_status = s == LW_OK ? 200 : 0;
    return s;
  }
  *out_http_status = path_known ? 405 : 404;
  return lw_fail(err, path_known ? LW_INVALID : LW_NOT_FOUND, "there is no %s %s here", request->method,
                 request->path);
}
