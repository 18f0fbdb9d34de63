/* SPDX-License-Identifier: Apache-2.0 */
/* What the API costs above plain HTTP: requests a second and 99th percentile of GET /api/version and
 * GET /api/now, as ratios to a static file served by the same library (libmicrohttpd, thread per
 * connection, nothing else) in the same run, on the same machine, by the same load generator.
 *   bench_http [SECONDS [CONNECTIONS [STORE]]]    (2 s, 8 connections, a made-up store of 4 waters)
 * Exit 0 when every request was answered; the figures are for reading, no threshold is judged. */
#include "http_load.h"

#include "store/store.h"
#include "web/mhd.h"
#include "web/server.h"

#include <netinet/in.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

enum { FILE_BYTES = 2048, WATERS = 4, READINGS = 12 };

/* ---- the yardstick ---- */

static char file[FILE_BYTES];

static enum MHD_Result answer_file(void *cls, struct MHD_Connection *connection, const char *url,
                                   const char *method, const char *version, const char *upload,
                                   size_t *upload_size, void **con_cls)
{
  (void)url, (void)method, (void)version, (void)upload, (void)upload_size;
  static int seen;
  const lw_mhd_table *mhd = cls;
  if (!*con_cls) { /* the first call has the head only; an answer now would end the connection */
    *con_cls = &seen;
    return MHD_YES;
  }
  struct MHD_Response *response =
      mhd->MHD_create_response_from_buffer(sizeof file, file, MHD_RESPMEM_PERSISTENT);
  enum MHD_Result good = mhd->MHD_add_response_header(response, "Content-Type", "text/plain");
  good = good == MHD_YES ? mhd->MHD_queue_response(connection, 200, response) : good;
  mhd->MHD_destroy_response(response);
  return good;
}

static bool measure_file(const lw_mhd_table *mhd, http_load load, http_rate *out)
{
  struct sockaddr_in here = {.sin_family = AF_INET};
  here.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  socklen_t size = sizeof here;
  int fd = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0);
  if (fd < 0 || bind(fd, (const struct sockaddr *)&here, size) != 0 || listen(fd, 64) != 0 ||
      getsockname(fd, (struct sockaddr *)&here, &size) != 0) {
    return false;
  }
  memset(file, 'x', sizeof file);
  struct MHD_Daemon *daemon = mhd->MHD_start_daemon(
      MHD_USE_INTERNAL_POLLING_THREAD | MHD_USE_POLL | MHD_USE_THREAD_PER_CONNECTION, 0, NULL, NULL,
      answer_file, (void *)(uintptr_t)mhd, MHD_OPTION_LISTEN_SOCKET, fd, MHD_OPTION_END);
  if (!daemon) {
    (void)close(fd);
    return false;
  }
  load.port = ntohs(here.sin_port);
  load.target = "/file";
  bool good = http_load_run(&load, out);
  mhd->MHD_stop_daemon(daemon);
  return good;
}

/* ---- the server ---- */

typedef struct serving {
  lw_web_options options;
  volatile sig_atomic_t stop;
  pthread_mutex_t lock;
  pthread_cond_t ready;
  uint16_t port;
  bool ended;
  lw_error err;
} serving;

static void bound(void *user, const char *address, uint16_t port)
{
  (void)address;
  serving *s = user;
  (void)pthread_mutex_lock(&s->lock);
  s->port = port;
  (void)pthread_cond_signal(&s->ready);
  (void)pthread_mutex_unlock(&s->lock);
}

/* The flag is set on the server's own thread, by a signal, as the command line does it. */
static _Thread_local serving *mine;

static void on_signal(int number)
{
  (void)number;
  if (mine) {
    mine->stop = 1;
  }
}

static void *serve(void *user)
{
  serving *s = user;
  mine = s;
  if (lw_web_serve(&s->options, &s->err) != LW_OK) {
    (void)fprintf(stderr, "bench_http: %s\n", s->err.message);
  }
  (void)pthread_mutex_lock(&s->lock);
  s->ended = true;
  (void)pthread_cond_signal(&s->ready);
  (void)pthread_mutex_unlock(&s->lock);
  return NULL;
}

/* Four waters with a season of readings each: what a small club has. */
static bool fill(uint16_t port)
{
  for (int w = 1; w <= WATERS; w++) {
    char body[300];
    (void)snprintf(body, sizeof body,
                   "{\"name\":\"Water %d\",\"area\":\"%d acre\",\"mean_depth\":\"6 ft\","
                   "\"downstream\":\"nobody\",\"fish\":\"stocked\",\"harvest\":\"yes\"}",
                   w, 5 * w);
    if (http_load_once(port, "POST", "/api/waters", body) != 200) {
      return false;
    }
    for (int r = 0; r < READINGS; r++) {
      static const char *const what[][2] = {
          {"secchi", "30 in"}, {"temperature", "70 degF"}, {"alkalinity", "40"}};
      (void)snprintf(body, sizeof body,
                     "{\"water\":%d,\"quantity\":\"%s\",\"value\":\"%s\",\"on\":\"2026-0%d-1%d\"}", w,
                     what[r % 3][0], what[r % 3][1], 1 + r / 4, r % 4);
      if (http_load_once(port, "POST", "/api/readings", body) != 200) {
        return false;
      }
    }
  }
  return true;
}

static void print_row(const char *name, const http_rate *rate, const http_rate *file_rate)
{
  (void)printf("%-34s %8zu %10.0f %9.0f %9.0f %8.2f %8.2f\n", name, rate->bytes, rate->per_second,
               rate->p50_us, rate->p99_us, rate->per_second / file_rate->per_second,
               rate->p99_us / file_rate->p99_us);
}

static bool measure_server(http_load load, const http_rate *file_rate)
{
  static const char *const targets[] = {"/index.html", "/api/openapi.json", "/api/version", "/api/now"};
  for (size_t i = 0; i < sizeof targets / sizeof *targets; i++) {
    http_rate rate;
    load.target = targets[i];
    if (!http_load_run(&load, &rate)) {
      (void)fprintf(stderr, "bench_http: GET %s was not answered with 200\n", targets[i]);
      return false;
    }
    print_row(targets[i], &rate, file_rate);
  }
  return true;
}

static bool measure(http_load load, const char *store, bool empty)
{
  const lw_mhd_table *mhd = NULL;
  lw_error err = {.status = LW_OK};
  static serving s = {.lock = PTHREAD_MUTEX_INITIALIZER, .ready = PTHREAD_COND_INITIALIZER};
  http_rate file_rate;
  pthread_t thread;
  if (lw_mhd(&mhd, &err) != LW_OK || !measure_file(mhd, load, &file_rate)) {
    (void)fprintf(stderr, "bench_http: the static file could not be measured. %s\n", err.message);
    return false;
  }
  s.options = (lw_web_options){.store_path = store,
                               .bound = bound,
                               .bound_user = &s,
                               .stop = &s.stop,
                               .day_is_fixed = true,
                               .fixed_day = lw_day_from_civil((lw_civil){2026, 4, 8})};
  const struct sigaction action = {.sa_handler = on_signal};
  (void)sigaction(SIGUSR1, &action, NULL);
  if (pthread_create(&thread, NULL, serve, &s) != 0) {
    return false;
  }
  (void)pthread_mutex_lock(&s.lock);
  while (!s.port && !s.ended) {
    (void)pthread_cond_wait(&s.ready, &s.lock);
  }
  (void)pthread_mutex_unlock(&s.lock);
  load.port = s.port;
  (void)printf("%u connections, %.1f s each; ratios to the static file\n", load.connections, load.seconds);
  (void)printf("%-34s %8s %10s %9s %9s %8s %8s\n", "GET", "bytes", "req/s", "p50 us", "p99 us", "req/s x",
               "p99 x");
  print_row("static file, libmicrohttpd alone", &file_rate, &file_rate);
  bool good = s.port && (!empty || fill(s.port)) && measure_server(load, &file_rate);
  (void)pthread_kill(thread, SIGUSR1);
  (void)pthread_join(thread, NULL);
  return good;
}

int main(int count, char **arguments)
{
  http_load load = {.seconds = count > 1 ? atof(arguments[1]) : 2.0,
                    .connections = count > 2 ? (unsigned)atoi(arguments[2]) : 8};
  if (count > 3) {
    return measure(load, arguments[3], false) ? 0 : 1;
  }
  char folder[] = "/tmp/lakeward-bench-XXXXXX";
  char store[64];
  lw_error err = {.status = LW_OK};
  if (!mkdtemp(folder)) {
    return 1;
  }
  (void)snprintf(store, sizeof store, "%s/bench.lake", folder);
  bool good = lw_store_create(store, &err) == LW_OK && measure(load, store, true);
  if (err.status != LW_OK) {
    (void)fprintf(stderr, "bench_http: %s\n", err.message);
  }
  static const char *const endings[] = {"", "-wal", "-shm"};
  for (size_t i = 0; i < 3; i++) {
    char path[80];
    (void)snprintf(path, sizeof path, "%s%s", store, endings[i]);
    (void)unlink(path);
  }
  (void)rmdir(folder);
  return good ? 0 : 1;
}
