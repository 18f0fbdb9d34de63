/* SPDX-License-Identifier: Apache-2.0 */
#include "web/answer.h"

#include "web/allow.h"
#include "web/assets.h"
#include "web/body.h"
#include "web/reply.h"
#include "work/api.h"

#include <string.h>
#include <time.h>

#define API "/api"

bool lw_web_path_is_api(const char *path)
{
  size_t n = sizeof API - 1;
  return strncmp(path, API, n) == 0 && (path[n] == '/' || !path[n]) && !lw_asset_find(path);
}

/* The machine's clock, and the day it is here. */
static void system_clock(lw_day *today, lw_instant *now)
{
  struct timespec at;
  struct tm here;
  (void)clock_gettime(CLOCK_REALTIME, &at);
  *now = (lw_instant)at.tv_sec * 1000 + at.tv_nsec / 1000000;
  *today = (lw_day)(at.tv_sec / 86400);
  if (localtime_r(&at.tv_sec, &here)) {
    *today = lw_day_from_civil((lw_civil){here.tm_year + 1900, here.tm_mon + 1, here.tm_mday});
  }
}

static void read_clock(const lw_web_options *options, lw_desk *desk)
{
  if (options->clock) {
    options->clock(options->clock_user, &desk->today, &desk->now);
  } else {
    system_clock(&desk->today, &desk->now);
  }
  if (options->day_is_fixed) {
    desk->today = options->fixed_day;
  }
}

/* Calls the API with one of the handles. *out is NULL or the caller's. */
static lw_status call_api(lw_web_server *server, const lw_web_request *request, json_t **out,
                          int *out_http_status, lw_error *err)
{
  lw_desk desk = {.arena = request->arena, .geo_program = server->options->geo_program};
  lw_web_body body = {.json = NULL};
  lw_status s = lw_web_pool_take(server->pool, &desk.store, err);
  if (s != LW_OK) {
    return s;
  }
  /* Read while holding a handle: so at most a few bodies are unpacked at any time. */
  s = lw_web_body_read(&body, request->body, request->body_length, request->arena, err);
  if (s == LW_OK) {
    const char *path = request->target.path + sizeof API - 1;
    const lw_api_request call = {
        .method = strcmp(request->head.method, "HEAD") == 0 ? "GET" : request->head.method,
        .path = *path ? path : "/",
        .query_keys = request->target.keys,
        .query_values = request->target.values,
        .query_count = request->target.count,
        .body = body.json,
    };
    desk.who = body.who;
    desk.why = body.why;
    read_clock(server->options, &desk);
    s = lw_api_answer(&call, &desk, out, out_http_status, err);
  }
  json_decref(body.json);
  if (s != LW_OK) {
    lw_store_rollback(desk.store); /* an unfinished change must not keep the file locked */
  }
  bool broken = s == LW_CORRUPT || s == LW_IO || s == LW_INTERNAL;
  lw_web_pool_give(server->pool, desk.store, broken);
  return s;
}

static enum MHD_Result answer_fault(lw_web_server *server, struct MHD_Connection *connection,
                                    const lw_web_request *request, int http_status, const lw_error *err)
{
  lw_web_fault fault = {.http_status = http_status, .error = *err};
  if (http_status == 405) {
    fault.allow = lw_web_allow(request->target.path, request->arena);
  }
  return lw_web_reply_fault(server->mhd, connection, &fault);
}

static enum MHD_Result answer_api(lw_web_server *server, struct MHD_Connection *connection,
                                  const lw_web_request *request)
{
  json_t *json = NULL;
  int http_status = 0;
  lw_error err = {.status = LW_OK};
  lw_status s = call_api(server, request, &json, &http_status, &err);
  if (s == LW_OK && !json) {
    s = lw_fail(&err, LW_INTERNAL, "the API gave no answer to %.10s %.100s", request->head.method,
                request->target.path);
    http_status = 0;
  }
  if (s != LW_OK) {
    json_decref(json);
    err.status = s;
    return answer_fault(server, connection, request, http_status >= 400 ? http_status : lw_web_http_status(s),
                        &err);
  }
  return lw_web_reply_json(server->mhd, connection, http_status ? http_status : 200, json);
}

enum MHD_Result lw_web_answer(lw_web_server *server, struct MHD_Connection *connection,
                              const lw_web_request *request)
{
  if (lw_web_path_is_api(request->target.path)) {
    return answer_api(server, connection, request);
  }
  const lw_asset *asset = lw_asset_find(request->target.path);
  if (asset) {
    return lw_web_reply_asset(server->mhd, connection, asset, &request->head);
  }
  lw_error err = {.status = LW_OK};
  (void)lw_fail(&err, LW_NOT_FOUND, "there is nothing at '%.100s'; the page is at '/'", request->target.path);
  return answer_fault(server, connection, request, 404, &err);
}
