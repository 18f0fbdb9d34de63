/* SPDX-License-Identifier: Apache-2.0 */
#include "web/pool.h"

#include <pthread.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

/* `idle` holds the open handles nobody has; `out` counts places lent, also while one is opened.
 * Invariant under the lock: idle_count + out <= LW_WEB_POOL_SIZE. */
struct lw_web_pool {
  pthread_mutex_t lock;
  pthread_cond_t returned;
  lw_store *idle[LW_WEB_POOL_SIZE];
  size_t idle_count, out;
  char path[];
};

static bool make_cond(pthread_cond_t *cond)
{
  pthread_condattr_t steady;
  if (pthread_condattr_init(&steady) != 0) {
    return false;
  }
  bool made =
      pthread_condattr_setclock(&steady, CLOCK_MONOTONIC) == 0 && pthread_cond_init(cond, &steady) == 0;
  (void)pthread_condattr_destroy(&steady);
  return made;
}

lw_status lw_web_pool_new(lw_web_pool **out, const char *store_path, lw_error *err)
{
  size_t length = strlen(store_path);
  lw_web_pool *pool = calloc(1, sizeof *pool + length + 1);
  if (!pool || !make_cond(&pool->returned)) {
    free(pool);
    return lw_fail(err, LW_MEMORY, "no memory to serve the store");
  }
  (void)pthread_mutex_init(&pool->lock, NULL);
  memcpy(pool->path, store_path, length + 1);
  lw_status s = lw_store_open(&pool->idle[0], pool->path, err);
  if (s != LW_OK) {
    lw_web_pool_free(pool);
    return s;
  }
  pool->idle_count = 1;
  *out = pool;
  return LW_OK;
}

void lw_web_pool_free(lw_web_pool *pool)
{
  if (!pool) {
    return;
  }
  for (size_t i = 0; i < pool->idle_count; i++) {
    lw_store_close(pool->idle[i]);
  }
  (void)pthread_cond_destroy(&pool->returned);
  (void)pthread_mutex_destroy(&pool->lock);
  free(pool);
}

/* Waits until a handle is idle or may be opened, and takes the place. *out is NULL in the latter
 * case. */
static bool take_place(lw_web_pool *pool, lw_store **out)
{
  struct timespec until;
  (void)clock_gettime(CLOCK_MONOTONIC, &until);
  until.tv_sec += LW_WEB_POOL_WAIT_S;
  (void)pthread_mutex_lock(&pool->lock);
  int late = 0;
  while (pool->out == LW_WEB_POOL_SIZE && late == 0) {
    late = pthread_cond_timedwait(&pool->returned, &pool->lock, &until);
  }
  bool taken = pool->out < LW_WEB_POOL_SIZE;
  *out = NULL;
  if (taken) {
    pool->out++;
    if (pool->idle_count) {
      *out = pool->idle[--pool->idle_count];
    }
  }
  (void)pthread_mutex_unlock(&pool->lock);
  return taken;
}

lw_status lw_web_pool_take(lw_web_pool *pool, lw_store **out, lw_error *err)
{
  if (!take_place(pool, out)) {
    return lw_fail(err, LW_BUSY, "the store was busy for %d seconds; try again", LW_WEB_POOL_WAIT_S);
  }
  if (*out) {
    return LW_OK;
  }
  lw_status s = lw_store_open(out, pool->path, err);
  if (s != LW_OK) {
    lw_web_pool_give(pool, NULL, false);
  }
  return s;
}

void lw_web_pool_give(lw_web_pool *pool, lw_store *store, bool broken)
{
  if (broken) {
    lw_store_close(store);
    store = NULL;
  }
  (void)pthread_mutex_lock(&pool->lock);
  pool->out--;
  if (store) {
    pool->idle[pool->idle_count++] = store;
  }
  (void)pthread_cond_signal(&pool->returned);
  (void)pthread_mutex_unlock(&pool->lock);
}
