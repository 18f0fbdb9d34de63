/* SPDX-License-Identifier: Apache-2.0 */
/* The open connections and the request each is at. The HTTP library's own timeout counts silence; a
 * client that sends a byte now and then would stay for ever. So every connection also has a
 * deadline for its present step, and one past it is shut down.
 *
 * Threads: a peer belongs to its connection's thread but for `fd`, `deadline_ms` and `answering`,
 * which the sweeping thread reads. The list is under its lock. A peer leaves the list before the
 * library closes its socket, so a sweep never touches a number that means another socket by then. */
#ifndef LW_WEB_PEERS_H
#define LW_WEB_PEERS_H

#include "base/arena.h"
#include "web/checks.h"
#include "web/target.h"

#include <pthread.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef enum lw_stage { LW_STAGE_HEAD, LW_STAGE_BODY, LW_STAGE_ANSWERED } lw_stage;

/* One request; all zero between requests. */
typedef struct lw_web_request {
  lw_stage stage;
  char *raw; /* the target as it came; malloc'ed */
  lw_web_head head;
  lw_web_target target;
  lw_web_fault fault; /* found at the head, told once the request is whole */
  lw_arena *arena;
  char *body;
  size_t body_length, body_size;
} lw_web_request;

typedef struct lw_web_peer lw_web_peer;
struct lw_web_peer {
  lw_web_peer *next, *previous;
  int fd;
  _Atomic int64_t deadline_ms; /* by lw_steady_ms */
  atomic_bool answering;
  lw_web_request request;
};

typedef struct lw_web_peers {
  pthread_mutex_t lock;
  lw_web_peer *first;
} lw_web_peers;

int64_t lw_steady_ms(void); /* a clock that never jumps */

void lw_peers_begin(lw_web_peers *peers);
void lw_peers_end(lw_web_peers *peers); /* all must have left */

/* NULL when there is no memory. lw_peer_leave releases it with its request. */
lw_web_peer *lw_peer_join(lw_web_peers *peers, int fd, unsigned within_s);
void lw_peer_leave(lw_web_peers *peers, lw_web_peer *peer);

/* The present step must be over within that many seconds from now. */
void lw_peer_expect(lw_web_peer *peer, unsigned within_s);

/* Releases what the request holds. */
void lw_web_request_clear(lw_web_request *request);

/* Shuts down connections past their deadline; tells how many are answering a request. */
size_t lw_peers_sweep(lw_web_peers *peers);

#endif
