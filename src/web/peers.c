/* SPDX-License-Identifier: Apache-2.0 */
#include "web/peers.h"

#include <stdlib.h>
#include <sys/socket.h>
#include <time.h>

int64_t lw_steady_ms(void)
{
  struct timespec now;
  (void)clock_gettime(CLOCK_MONOTONIC, &now);
  return (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

void lw_peers_begin(lw_web_peers *peers)
{
  *peers = (lw_web_peers){.first = NULL};
  (void)pthread_mutex_init(&peers->lock, NULL);
}

void lw_peers_end(lw_web_peers *peers)
{
  (void)pthread_mutex_destroy(&peers->lock);
}

lw_web_peer *lw_peer_join(lw_web_peers *peers, int fd, unsigned within_s)
{
  lw_web_peer *peer = calloc(1, sizeof *peer);
  if (!peer) {
    return NULL;
  }
  peer->fd = fd;
  atomic_init(&peer->answering, false);
  atomic_init(&peer->deadline_ms, lw_steady_ms() + (int64_t)within_s * 1000);
  (void)pthread_mutex_lock(&peers->lock);
  peer->next = peers->first;
  if (peer->next) {
    peer->next->previous = peer;
  }
  peers->first = peer;
  (void)pthread_mutex_unlock(&peers->lock);
  return peer;
}

void lw_peer_leave(lw_web_peers *peers, lw_web_peer *peer)
{
  (void)pthread_mutex_lock(&peers->lock);
  if (peer->previous) {
    peer->previous->next = peer->next;
  } else {
    peers->first = peer->next;
  }
  if (peer->next) {
    peer->next->previous = peer->previous;
  }
  (void)pthread_mutex_unlock(&peers->lock);
  lw_web_request_clear(&peer->request);
  free(peer);
}

void lw_peer_expect(lw_web_peer *peer, unsigned within_s)
{
  atomic_store(&peer->deadline_ms, lw_steady_ms() + (int64_t)within_s * 1000);
}

void lw_web_request_clear(lw_web_request *request)
{
  free(request->raw);
  free(request->body);
  lw_arena_free(request->arena);
  *request = (lw_web_request){.stage = LW_STAGE_HEAD};
}

size_t lw_peers_sweep(lw_web_peers *peers)
{
  int64_t now = lw_steady_ms();
  size_t answering = 0;
  (void)pthread_mutex_lock(&peers->lock);
  for (lw_web_peer *peer = peers->first; peer; peer = peer->next) {
    answering += atomic_load(&peer->answering);
    if (now > atomic_load(&peer->deadline_ms)) {
      (void)shutdown(peer->fd, SHUT_RDWR); /* wakes the connection's thread, which ends it */
    }
  }
  (void)pthread_mutex_unlock(&peers->lock);
  return answering;
}
