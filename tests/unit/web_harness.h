/* SPDX-License-Identifier: Apache-2.0 */
/* A running server with a fake store and a fake API behind it, and a client of raw sockets, so that
 * the web tests see HTTP only. Everything is on the loopback address and bounded in time. */
#ifndef LW_TESTS_WEB_HARNESS_H
#define LW_TESTS_WEB_HARNESS_H

#include "web/server.h"

#include <pthread.h>
#include <stdbool.h>
#include <stddef.h>

/* The fake API, under /api:
 *   /echo      what it was called with, as JSON
 *   /slow?ms=  the same after a pause
 *   /fail?status=N[&http=M]  fails with lw_status N and asks for HTTP status M
 *   /silent    LW_OK without an answer
 *   /created   201
 *   /big?n=    a text of n bytes */
typedef struct web_server {
  pthread_t thread;
  lw_web_options options;
  volatile sig_atomic_t stop;
  uint16_t port;
  char address[64];
  pthread_mutex_t lock;
  pthread_cond_t ready;
  bool is_ready, ended;
  lw_status status;
  lw_error err;
} web_server;

/* Starts a server with these options (store, stop and bound are filled in), waits until it listens.
 * Fails the test otherwise. */
void web_start(web_server *server, lw_web_options options);

/* Stops it by its flag; the test fails when it does not end well. */
void web_stop(web_server *server);

/* What the fakes saw since the process began. */
int web_calls(void);             /* of lw_api_answer */
int web_open_stores(void);       /* handles open now */
int web_most_stores(void);       /* most handles ever open at once */
bool web_store_was_shared(void); /* one handle in two calls at once: must stay false */

typedef struct web_reply {
  int status; /* 0: the connection closed or timed out before a whole answer came */
  char head[4096];
  char *body; /* malloc'ed, NUL-terminated */
  size_t length;
} web_reply;

/* A connection to the server; reads and writes give up after ten seconds. */
int web_connect(const web_server *server);
bool web_send(int fd, const char *text, size_t length);

/* Reads one answer. `head_request`: no body follows whatever the head says. */
web_reply web_receive(int fd, bool head_request);
void web_free(web_reply *reply);

/* One request on its own connection. `lines` are more header lines, each ended by "\r\n"; a Host line
 * is added unless `lines` has one; Content-Length is added for a body. */
web_reply web_ask(const web_server *server, const char *method, const char *target, const char *lines,
                  const char *body);

/* The value of a header in the reply, in `out`; "" when it is absent. */
const char *web_header(const web_reply *reply, const char *name, char *out, size_t size);

#endif
