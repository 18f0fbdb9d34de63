/* SPDX-License-Identifier: Apache-2.0 */
/* A few open handles on one store, lent to requests one at a time, so that readers run side by side
 * and the number of connections does not become a number of open files. Opened when first needed. */
#ifndef LW_WEB_POOL_H
#define LW_WEB_POOL_H

#include "base/status.h"
#include "store/store.h"

#include <stdbool.h>

enum { LW_WEB_POOL_SIZE = 4, LW_WEB_POOL_WAIT_S = 10 };

typedef struct lw_web_pool lw_web_pool;

/* Opens the first handle at once, so that a file that cannot be opened is told here, with the
 * store's own status. The caller ends it with lw_web_pool_free. */
LW_MUST_CHECK lw_status lw_web_pool_new(lw_web_pool **out, const char *store_path, lw_error *err);

/* Closes every handle. All must have been given back. Accepts NULL. */
void lw_web_pool_free(lw_web_pool *pool);

/* Lends a handle; waits for one up to LW_WEB_POOL_WAIT_S seconds, then LW_BUSY. Any thread. */
LW_MUST_CHECK lw_status lw_web_pool_take(lw_web_pool *pool, lw_store **out, lw_error *err);

/* Takes it back. `broken` closes it: the next taker opens the file afresh. */
void lw_web_pool_give(lw_web_pool *pool, lw_store *store, bool broken);

#endif
