/* SPDX-License-Identifier: Apache-2.0 */
#include "web/server.h"

#include "web/answer.h"
#include "web/handler.h"

#include <arpa/inet.h>
#include <errno.h>
#include <netinet/in.h>
#include <pthread.h>
#include <stdio.h>
#include <string.h>
#include <sys/socket.h>
#include <time.h>
#include <unistd.h>

enum {
  DEFAULT_TIMEOUT_S = 30,
  MAX_TIMEOUT_S = 3600,
  DEFAULT_CONNECTIONS = 64,
  MAX_CONNECTIONS = 1024,
  HEAD_BYTES = 16 * 1024, /* request line and headers; more is answered 431 by the library */
  SWEEP_MS = 100,
  DRAIN_MS = 5000
};

static lw_status check_options(const lw_web_options *options, lw_error *err)
{
  if (!options->store_path || !*options->store_path || !options->stop) {
    return lw_fail(err, LW_INVALID, "the server needs the path of a store and a stop flag");
  }
  if (options->timeout_s > MAX_TIMEOUT_S || options->connections > MAX_CONNECTIONS) {
    return lw_fail(err, LW_INVALID,
                   "a timeout of %u s for %u connections is out of range; at most "
                   "%d s and %d are served",
                   options->timeout_s, options->connections, MAX_TIMEOUT_S, MAX_CONNECTIONS);
  }
  return LW_OK;
}

static lw_status bind_fault(uint16_t port, int fault, lw_error *err)
{
  if (fault == EADDRINUSE) {
    return lw_fail(err, LW_CONFLICT,
                   "port %u is in use by another program; choose another, or 0 "
                   "for any free one",
                   port);
  }
  return lw_fail(err, LW_IO, "127.0.0.1 port %u cannot be listened on: %s%s", port, strerror(fault),
                 fault == EACCES ? "; choose a port from 1024 up" : "");
}

/* A listening socket on the loopback address only; *port becomes the one bound. */
static lw_status listen_here(int *out, uint16_t *port, lw_error *err)
{
  struct sockaddr_in here = {.sin_family = AF_INET, .sin_port = htons(*port)};
  here.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  socklen_t size = sizeof here;
  int yes = 1;
  int fd = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0);
  if (fd < 0) {
    return bind_fault(*port, errno, err);
  }
  if (setsockopt(fd, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes) != 0 ||
      bind(fd, (const struct sockaddr *)&here, size) != 0 || listen(fd, SOMAXCONN) != 0 ||
      getsockname(fd, (struct sockaddr *)&here, &size) != 0) {
    int fault = errno;
    (void)close(fd);
    return bind_fault(*port, fault, err);
  }
  *port = ntohs(here.sin_port);
  *out = fd;
  return LW_OK;
}

/* The library's threads are born with every signal blocked: signals reach the caller's thread. */
static struct MHD_Daemon *start(lw_web_server *server, int fd)
{
  const lw_web_options *options = server->options;
  unsigned connections = options->connections ? options->connections : DEFAULT_CONNECTIONS;
  sigset_t all;
  sigset_t before;
  (void)sigfillset(&all);
  (void)pthread_sigmask(SIG_BLOCK, &all, &before);
  struct MHD_Daemon *daemon = server->mhd->MHD_start_daemon(
      MHD_USE_INTERNAL_POLLING_THREAD | MHD_USE_POLL | MHD_USE_THREAD_PER_CONNECTION | MHD_USE_ITC, 0, NULL,
      NULL, lw_web_on_request, server, MHD_OPTION_LISTEN_SOCKET, fd, MHD_OPTION_CONNECTION_LIMIT, connections,
      MHD_OPTION_CONNECTION_TIMEOUT, server->timeout_s, MHD_OPTION_CONNECTION_MEMORY_LIMIT,
      (size_t)HEAD_BYTES, MHD_OPTION_STRICT_FOR_CLIENT, 1, MHD_OPTION_URI_LOG_CALLBACK, lw_web_on_target,
      server, MHD_OPTION_UNESCAPE_CALLBACK, lw_web_unescape_nothing, server, MHD_OPTION_NOTIFY_CONNECTION,
      lw_web_on_connection, server, MHD_OPTION_NOTIFY_COMPLETED, lw_web_on_completed, server, MHD_OPTION_END);
  (void)pthread_sigmask(SIG_SETMASK, &before, NULL);
  return daemon;
}

static void pause_ms(long ms)
{
  struct timespec t = {.tv_sec = ms / 1000, .tv_nsec = ms % 1000 * 1000000};
  (void)nanosleep(&t, NULL); /* a signal ends it early, which is wanted */
}

/* No new connections; running requests may end; then everything is closed. */
static void stop(lw_web_server *server, struct MHD_Daemon *daemon, int fd)
{
  atomic_store(&server->stopping, true);
  int listening = server->mhd->MHD_quiesce_daemon(daemon);
  int64_t until = lw_steady_ms() + DRAIN_MS;
  while (lw_peers_sweep(&server->peers) > 0 && lw_steady_ms() < until) {
    pause_ms(SWEEP_MS / 10);
  }
  server->mhd->MHD_stop_daemon(daemon);
  if (listening >= 0) {
    (void)close(fd); /* handed back by quiesce; without it, the library has closed it */
  }
}

static lw_status run(lw_web_server *server, lw_error *err)
{
  const lw_web_options *options = server->options;
  int fd = -1;
  server->port = options->port;
  lw_status s = listen_here(&fd, &server->port, err);
  if (s != LW_OK) {
    return s;
  }
  struct MHD_Daemon *daemon = start(server, fd);
  if (!daemon) {
    (void)close(fd);
    return lw_fail(err, LW_IO, "the HTTP library could not start on port %u", server->port);
  }
  if (options->bound) {
    char address[40];
    (void)snprintf(address, sizeof address, "http://127.0.0.1:%u/", server->port);
    options->bound(options->bound_user, address, server->port);
  }
  while (!*options->stop) {
    (void)lw_peers_sweep(&server->peers);
    pause_ms(SWEEP_MS);
  }
  stop(server, daemon, fd);
  return LW_OK;
}

lw_status lw_web_serve(const lw_web_options *options, lw_error *err)
{
  lw_web_server server = {.options = options};
  lw_status s = check_options(options, err);
  if (s == LW_OK) {
    s = lw_mhd(&server.mhd, err);
  }
  if (s == LW_OK) {
    s = lw_web_pool_new(&server.pool, options->store_path, err);
  }
  if (s != LW_OK) {
    return s;
  }
  server.timeout_s = options->timeout_s ? options->timeout_s : DEFAULT_TIMEOUT_S;
  atomic_init(&server.stopping, false);
  lw_peers_begin(&server.peers);
  s = run(&server, err);
  lw_peers_end(&server.peers);
  lw_web_pool_free(server.pool);
  return s;
}
