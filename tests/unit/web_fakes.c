/* SPDX-License-Identifier: Apache-2.0 */
/* Stands in for store/ and work/ when the web tests are linked. */
#include "web_harness.h"

#include "base/text.h"
#include "store/store.h"
#include "work/api.h"

#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

struct lw_store {
  atomic_bool busy;
};

static atomic_int calls, open_stores, most_stores;
static atomic_bool shared;

int web_calls(void)
{
  return atomic_load(&calls);
}

int web_open_stores(void)
{
  return atomic_load(&open_stores);
}

int web_most_stores(void)
{
  return atomic_load(&most_stores);
}

bool web_store_was_shared(void)
{
  return atomic_load(&shared);
}

lw_status lw_store_open(lw_store **out, const char *path, lw_error *err)
{
  *out = NULL;
  if (strcmp(path, "fake-store") != 0) {
    return lw_fail(err, LW_NOT_FOUND, "there is no store at %s", path);
  }
  *out = calloc(1, sizeof **out);
  int now = atomic_fetch_add(&open_stores, 1) + 1;
  if (now > atomic_load(&most_stores)) {
    atomic_store(&most_stores, now);
  }
  return *out ? LW_OK : lw_fail(err, LW_MEMORY, "no memory");
}

void lw_store_close(lw_store *store)
{
  if (store) {
    atomic_fetch_sub(&open_stores, 1);
    free(store);
  }
}

void lw_store_rollback(lw_store *store)
{
  (void)store;
}

static const char *query(const lw_api_request *request, const char *key)
{
  for (size_t i = 0; i < request->query_count; i++) {
    if (strcmp(request->query_keys[i], key) == 0) {
      return request->query_values[i];
    }
  }
  return "0";
}

static json_t *echo(const lw_api_request *request, const lw_desk *desk)
{
  json_t *asked = json_object();
  for (size_t i = 0; i < request->query_count; i++) {
    (void)json_object_set_new(asked, request->query_keys[i], json_string(request->query_values[i]));
  }
  return json_pack("{s:s, s:s, s:o, s:O?, s:s, s:s, s:i, s:I, s:f}", "method", request->method, "path",
                   request->path, "query", asked, "body", request->body, "who", desk->who, "why", desk->why,
                   "today", (int)desk->today, "now", (json_int_t)desk->now, "tenth", 0.1);
}

static json_t *big(size_t n)
{
  char *text = malloc(n + 1);
  if (!text) {
    return NULL;
  }
  memset(text, 'x', n);
  text[n] = '\0';
  json_t *json = json_pack("{s:s}", "text", text);
  free(text);
  return json;
}

static lw_status answer(const lw_api_request *request, const lw_desk *desk, json_t **out,
                        int *out_http_status, lw_error *err)
{
  const char *path = request->path;
  if (strcmp(path, "/fail") == 0) {
    *out_http_status = atoi(query(request, "http"));
    return lw_fail(err, (lw_status)atoi(query(request, "status")), "the fake failed \"as asked\"");
  }
  if (strcmp(path, "/silent") == 0) {
    return LW_OK;
  }
  if (strcmp(path, "/slow") == 0) {
    long ms = atol(query(request, "ms"));
    struct timespec t = {ms / 1000, ms % 1000 * 1000000};
    (void)nanosleep(&t, NULL);
  } else if (strcmp(path, "/created") == 0) {
    *out_http_status = 201;
  } else if (strcmp(path, "/big") == 0) {
    *out = big((size_t)atol(query(request, "n")));
    return LW_OK;
  } else if (strcmp(path, "/echo") != 0) {
    return lw_fail(err, LW_NOT_FOUND, "the fake has no %s", path);
  }
  *out = echo(request, desk);
  return LW_OK;
}

lw_status lw_api_answer(const lw_api_request *request, const lw_desk *desk, json_t **out,
                        int *out_http_status, lw_error *err)
{
  atomic_fetch_add(&calls, 1);
  if (atomic_exchange(&desk->store->busy, true)) {
    atomic_store(&shared, true);
  }
  lw_status s = answer(request, desk, out, out_http_status, err);
  atomic_store(&desk->store->busy, false);
  return s;
}
