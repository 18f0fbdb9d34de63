/* SPDX-License-Identifier: Apache-2.0 */
#include "http_load.h"

#include <arpa/inet.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/socket.h>
#include <sys/time.h>
#include <time.h>
#include <unistd.h>

enum { CONNECTIONS_MAX = 64, ANSWER_MAX = 1024 * 1024, SAMPLES_MAX = 1000000, PATIENCE_S = 10 };

typedef struct worker {
  const http_load *load;
  pthread_t thread;
  char *answer;      /* ANSWER_MAX */
  float *samples_us; /* SAMPLES_MAX */
  size_t count, bytes;
  bool failed;
} worker;

static double seconds_now(void)
{
  struct timespec t;
  (void)clock_gettime(CLOCK_MONOTONIC, &t);
  return (double)t.tv_sec + (double)t.tv_nsec / 1e9;
}

static int open_connection(uint16_t port)
{
  struct sockaddr_in there = {.sin_family = AF_INET, .sin_port = htons(port)};
  there.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  struct timeval patience = {.tv_sec = PATIENCE_S};
  int yes = 1;
  int fd = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
  if (fd >= 0 && (setsockopt(fd, SOL_SOCKET, SO_RCVTIMEO, &patience, sizeof patience) != 0 ||
                  setsockopt(fd, IPPROTO_TCP, TCP_NODELAY, &yes, sizeof yes) != 0 ||
                  connect(fd, (const struct sockaddr *)&there, sizeof there) != 0)) {
    (void)close(fd);
    fd = -1;
  }
  return fd;
}

/* Length of the body the head announces; -1 while the head is not whole. *body is where it starts. */
static long announced(const char *answer, size_t *body)
{
  const char *end = strstr(answer, "\r\n\r\n");
  if (!end) {
    return -1;
  }
  *body = (size_t)(end - answer) + 4;
  for (const char *line = answer; line && line < end; line = strstr(line + 2, "\r\n")) {
    if (strncasecmp(line, "\r\nContent-Length:", 17) == 0) {
      return strtol(line + 17, NULL, 10);
    }
  }
  return 0;
}

/* Sends and reads one whole answer; gives its status, 0 on failure. */
static int exchange(int fd, const char *request, size_t length, char *answer, size_t *bytes)
{
  if (send(fd, request, length, MSG_NOSIGNAL) != (ssize_t)length) {
    return 0;
  }
  size_t got = 0;
  size_t body = 0;
  long want = -1;
  while (want < 0 || got < body + (size_t)want) {
    ssize_t n = got < ANSWER_MAX - 1 ? recv(fd, answer + got, ANSWER_MAX - 1 - got, 0) : 0;
    if (n <= 0) {
      return 0;
    }
    got += (size_t)n;
    answer[got] = '\0';
    want = want < 0 ? announced(answer, &body) : want;
  }
  *bytes = (size_t)want;
  return strncmp(answer, "HTTP/1.1 ", 9) == 0 ? atoi(answer + 9) : 0;
}

static void *work(void *data)
{
  worker *w = data;
  char request[512];
  int length = snprintf(request, sizeof request, "GET %s HTTP/1.1\r\nHost: 127.0.0.1:%u\r\n\r\n",
                        w->load->target, w->load->port);
  int fd = open_connection(w->load->port);
  w->failed = fd < 0;
  double end = seconds_now() + w->load->seconds;
  for (double began = seconds_now(); !w->failed && began < end && w->count < SAMPLES_MAX;) {
    w->failed = exchange(fd, request, (size_t)length, w->answer, &w->bytes) != 200;
    double now = seconds_now();
    w->samples_us[w->count++] = (float)((now - began) * 1e6);
    began = now;
  }
  if (fd >= 0) {
    (void)close(fd);
  }
  return NULL;
}

static int compare(const void *a, const void *b)
{
  float x = *(const float *)a;
  float y = *(const float *)b;
  return (x > y) - (x < y);
}

static bool gather(worker *workers, unsigned count, double took_s, http_rate *out)
{
  bool good = true;
  for (unsigned i = 0; i < count; i++) {
    good = good && !workers[i].failed && workers[i].count > 0;
    out->answers += workers[i].count;
    out->bytes = workers[i].bytes;
  }
  float *all = good ? malloc(out->answers * sizeof *all) : NULL;
  if (!all) {
    return false;
  }
  size_t at = 0;
  for (unsigned i = 0; i < count; i++) {
    memcpy(all + at, workers[i].samples_us, workers[i].count * sizeof *all);
    at += workers[i].count;
  }
  qsort(all, out->answers, sizeof *all, compare);
  out->per_second = (double)out->answers / took_s;
  out->p50_us = (double)all[out->answers / 2];
  out->p99_us = (double)all[out->answers - 1 - out->answers / 100];
  free(all);
  return true;
}

bool http_load_run(const http_load *load, http_rate *out)
{
  static worker workers[CONNECTIONS_MAX];
  unsigned count = load->connections < CONNECTIONS_MAX ? load->connections : CONNECTIONS_MAX;
  unsigned started = 0;
  bool good = count > 0;
  *out = (http_rate){.answers = 0};
  double began = seconds_now();
  for (; started < count && good; started += good) {
    worker *w = &workers[started];
    *w = (worker){
        .load = load, .answer = malloc(ANSWER_MAX), .samples_us = malloc(SAMPLES_MAX * sizeof(float))};
    good = w->answer && w->samples_us && pthread_create(&w->thread, NULL, work, w) == 0;
    if (!good) {
      free(w->answer);
      free(w->samples_us);
    }
  }
  for (unsigned i = 0; i < started; i++) {
    (void)pthread_join(workers[i].thread, NULL);
  }
  good = good && gather(workers, started, seconds_now() - began, out);
  for (unsigned i = 0; i < started; i++) {
    free(workers[i].answer);
    free(workers[i].samples_us);
  }
  return good;
}

int http_load_once(uint16_t port, const char *method, const char *target, const char *body)
{
  char request[2048];
  size_t bytes = 0;
  char *answer = malloc(ANSWER_MAX);
  int length = snprintf(request, sizeof request,
                        "%s %s HTTP/1.1\r\nHost: 127.0.0.1:%u\r\nContent-Type: application/json\r\n"
                        "Content-Length: %zu\r\n\r\n%s",
                        method, target, port, body ? strlen(body) : 0, body ? body : "");
  int fd = answer && length > 0 && (size_t)length < sizeof request ? open_connection(port) : -1;
  int status = fd >= 0 ? exchange(fd, request, (size_t)length, answer, &bytes) : 0;
  if (fd >= 0) {
    (void)close(fd);
  }
  free(answer);
  return status;
}
