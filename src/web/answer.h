/* SPDX-License-Identifier: Apache-2.0 */
/* What the server knows while it runs, and the answering of one whole request. */
#ifndef LW_WEB_ANSWER_H
#define LW_WEB_ANSWER_H

#include "web/mhd.h"
#include "web/peers.h"
#include "web/pool.h"
#include "web/server.h"

#include <stdatomic.h>

typedef struct lw_web_server {
  const lw_web_options *options;
  const lw_mhd_table *mhd;
  lw_web_pool *pool;
  lw_web_peers peers;
  uint16_t port;
  unsigned timeout_s;
  atomic_bool stopping;
} lw_web_server;

/* Whether the path belongs to the API (and not to the embedded assets). */
bool lw_web_path_is_api(const char *path);

/* Answers a request that passed every check, its body in request->body. */
enum MHD_Result lw_web_answer(lw_web_server *server, struct MHD_Connection *connection,
                              const lw_web_request *request);

#endif
