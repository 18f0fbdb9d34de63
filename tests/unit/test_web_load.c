/* SPDX-License-Identifier: Apache-2.0 */
/* Many clients, slow ones and rude ones, over real loopback sockets. Store and API are fakes. Every
 * test is bounded: sockets give up after ten seconds, the server's timeout is one second. */
#include "check.h"
#include "web_harness.h"

#include <dirent.h>
#include <errno.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <sys/socket.h>
#include <time.h>
#include <unistd.h>

enum { THREADS = 16, REQUESTS = 200, MANY = 80, LIMIT = 64 };

static web_server server;

static int start(void **state)
{
  (void)state;
  web_start(&server, (lw_web_options){.timeout_s = 1});
  return 0;
}

static int stop(void **state)
{
  (void)state;
  web_stop(&server);
  assert_int_equal(web_open_stores(), 0);
  assert_false(web_store_was_shared());
  return 0;
}

static void pause_ms(long ms)
{
  struct timespec t = {.tv_sec = ms / 1000, .tv_nsec = ms % 1000 * 1000000};
  (void)nanosleep(&t, NULL);
}

static double seconds(void)
{
  struct timespec t;
  (void)clock_gettime(CLOCK_MONOTONIC, &t);
  return (double)t.tv_sec + (double)t.tv_nsec / 1e9;
}

/* While the connections of those who left are still being ended, a new one may be turned away. */
static void assert_serves(void)
{
  double began = seconds();
  int status = 0;
  while (status == 0 && seconds() - began < 20) {
    web_reply reply = web_ask(&server, "GET", "/api/echo", "", NULL);
    status = reply.status;
    web_free(&reply);
  }
  assert_int_equal(status, 200);
}

/* One request of the mix on a kept connection: reads, writes, files, refusals. */
static bool ask_one(int fd, int client, int i)
{
  char text[512];
  char mark[64];
  int n = 0;
  int want = 200;
  (void)snprintf(mark, sizeof mark, "c%d-%d", client, i);
  switch (i % 4) {
  case 0:
    n = snprintf(text, sizeof text, "GET /api/echo?mark=%s HTTP/1.1\r\nHost: 127.0.0.1:%u\r\n\r\n", mark,
                 server.port);
    break;
  case 1:
    n = snprintf(text, sizeof text,
                 "POST /api/echo HTTP/1.1\r\nHost: localhost:%u\r\nContent-Type: application/json"
                 "\r\nContent-Length: %zu\r\n\r\n{\"mark\":\"%s\"}",
                 server.port, strlen(mark) + 11, mark);
    break;
  case 2:
    (void)snprintf(mark, sizeof mark, "fixture script");
    n = snprintf(text, sizeof text, "GET /app.js HTTP/1.1\r\nHost: 127.0.0.1:%u\r\n\r\n", server.port);
    break;
  default:
    want = 421;
    (void)snprintf(mark, sizeof mark, "\"invalid\"");
    n = snprintf(text, sizeof text, "GET / HTTP/1.1\r\nHost: elsewhere.example\r\n\r\n");
  }
  if (!web_send(fd, text, (size_t)n)) {
    return false;
  }
  web_reply reply = web_receive(fd, false);
  bool good = reply.status == want && strstr(reply.body, mark);
  web_free(&reply);
  return good;
}

static atomic_int wrong;

static void *client(void *number)
{
  int fd = web_connect(&server);
  for (int i = 0; i < REQUESTS; i++) {
    if (!ask_one(fd, *(const int *)number, i)) {
      atomic_fetch_add(&wrong, 1);
      break;
    }
  }
  (void)close(fd);
  return NULL;
}

static void sixteen_clients_get_their_own_answers(void **state)
{
  (void)state;
  pthread_t threads[THREADS];
  int numbers[THREADS];
  int before = web_calls();
  for (int i = 0; i < THREADS; i++) {
    numbers[i] = i;
    assert_int_equal(pthread_create(&threads[i], NULL, client, &numbers[i]), 0);
  }
  for (int i = 0; i < THREADS; i++) {
    assert_int_equal(pthread_join(threads[i], NULL), 0);
  }
  assert_int_equal(atomic_load(&wrong), 0);
  assert_int_equal(web_calls() - before, THREADS * REQUESTS / 2);
}

static void *slow_client(void *unused)
{
  (void)unused;
  web_reply reply = web_ask(&server, "GET", "/api/slow?ms=500", "", NULL);
  if (reply.status != 200) {
    atomic_fetch_add(&wrong, 1);
  }
  web_free(&reply);
  return NULL;
}

static void requests_run_side_by_side(void **state)
{
  (void)state;
  pthread_t threads[8];
  double began = seconds();
  for (int i = 0; i < 8; i++) {
    assert_int_equal(pthread_create(&threads[i], NULL, slow_client, NULL), 0);
  }
  for (int i = 0; i < 8; i++) {
    assert_int_equal(pthread_join(threads[i], NULL), 0);
  }
  double took = seconds() - began;
  assert_int_equal(atomic_load(&wrong), 0);
  assert_true(took >= 0.99); /* four handles: the second four wait */
  assert_true(took < 3.0);   /* one at a time would take 4 s */
  assert_int_equal(web_most_stores(), 4);
}

/* Seconds until the server ends the connection; the test fails when it does not. */
static double until_closed(int fd)
{
  char rest[4096];
  double began = seconds();
  ssize_t n;
  do {
    n = recv(fd, rest, sizeof rest, 0);
  } while (n > 0);
  assert_true(n == 0 || errno == ECONNRESET);
  (void)close(fd);
  return seconds() - began;
}

static void silent_connection_is_ended(void **state)
{
  (void)state;
  int fd = web_connect(&server);
  assert_true(web_send(fd, "GET / HT", 8));
  double took = until_closed(fd);
  assert_true(took > 0.5 && took < 8);
}

static void dripping_head_is_ended(void **state)
{
  (void)state;
  int fd = web_connect(&server);
  double began = seconds();
  assert_true(web_send(fd, "GET / HTTP/1.1\r\nX: ", 19));
  while (seconds() - began < 9 && web_send(fd, "x", 1)) {
    pause_ms(100);
  }
  double took = seconds() - began;
  (void)close(fd);
  assert_true(took > 0.8 && took < 8);
}

static void dripping_body_is_ended(void **state)
{
  (void)state;
  char text[256];
  int fd = web_connect(&server);
  double began = seconds();
  int n = snprintf(text, sizeof text,
                   "POST /api/echo HTTP/1.1\r\nHost: 127.0.0.1:%u\r\nContent-Type: "
                   "application/json\r\nContent-Length: 1000\r\n\r\n",
                   server.port);
  assert_true(web_send(fd, text, (size_t)n));
  int before = web_calls();
  while (seconds() - began < 9 && web_send(fd, " ", 1)) {
    pause_ms(100);
  }
  double took = seconds() - began;
  (void)close(fd);
  assert_true(took > 0.8 && took < 8);
  assert_int_equal(web_calls(), before);
}

static void unread_answer_is_given_up(void **state)
{
  (void)state;
  char text[256];
  int fd = web_connect(&server);
  int n = snprintf(text, sizeof text, "GET /api/big?n=30000000 HTTP/1.1\r\nHost: 127.0.0.1:%u\r\n\r\n",
                   server.port);
  assert_true(web_send(fd, text, (size_t)n));
  pause_ms(6000); /* four timeouts for an answer, then it is cut */
  size_t got = 0;
  char piece[65536];
  ssize_t k;
  while ((k = recv(fd, piece, sizeof piece, 0)) > 0) {
    got += (size_t)k;
  }
  (void)close(fd);
  assert_true(got < 30000000);
}

static void leaving_midway_harms_nobody(void **state)
{
  (void)state;
  static const char *const starts[] = {
      "G",
      "GET /api/echo HTTP/1.1\r\nHost:",
      ("POST /api/echo HTTP/1.1\r\nHost: 127.0.0.1:PORT\r\nContent-Type: application/json\r\n"
       "Content-Length: 50\r\n\r\n{\"half\":"),
      "GET /api/big?n=400000 HTTP/1.1\r\nHost: 127.0.0.1:PORT\r\n\r\n",
      "GET /api/slow?ms=50 HTTP/1.1\r\nHost: 127.0.0.1:PORT\r\n\r\n",
  };
  struct linger now = {.l_onoff = 1, .l_linger = 0}; /* a reset, the rudest way to leave */
  for (int i = 0; i < 100; i++) {
    char text[512];
    const char *from = starts[i % 5];
    const char *port = strstr(from, "PORT");
    int n = port ? snprintf(text, sizeof text, "%.*s%u%s", (int)(port - from), from, server.port, port + 4)
                 : snprintf(text, sizeof text, "%s", from);
    int fd = web_connect(&server);
    assert_true(web_send(fd, text, (size_t)n));
    if (i % 2) {
      (void)setsockopt(fd, SOL_SOCKET, SO_LINGER, &now, sizeof now);
    }
    (void)close(fd);
  }
  assert_serves();
}

static int thread_count(void)
{
  int count = 0;
  DIR *tasks = opendir("/proc/self/task");
  assert_non_null(tasks);
  while (readdir(tasks)) {
    count++;
  }
  (void)closedir(tasks);
  return count;
}

/* The library closes what comes past the limit, or leaves it waiting to be taken: either is bounded. */
static void connections_past_the_limit_take_nothing(void **state)
{
  (void)state;
  static web_server crowded;
  int fds[MANY];
  web_start(&crowded, (lw_web_options){.timeout_s = 4});
  int before = thread_count();
  for (int i = 0; i < MANY; i++) {
    fds[i] = web_connect(&crowded);
    assert_true(fds[i] >= 0);
  }
  double began = seconds(); /* all must be taken before the first is ended */
  while (thread_count() - before < LIMIT && seconds() - began < 3) {
    pause_ms(20);
  }
  pause_ms(200);
  assert_int_equal(thread_count() - before, LIMIT);
  while (thread_count() > before && seconds() - began < 12) {
    pause_ms(100); /* until the idle ones are ended, though their clients still hold them */
  }
  for (int i = 0; i < MANY; i++) {
    web_reply reply = web_ask(&crowded, "GET", "/api/echo", "", NULL);
    assert_int_equal(reply.status, 200);
    web_free(&reply);
  }
  for (int i = 0; i < MANY; i++) {
    (void)close(fds[i]);
  }
  web_stop(&crowded);
}

static void *ask_slowly(void *reply)
{
  web_server *ending = ((void **)reply)[0];
  *(web_reply *)((void **)reply)[1] = web_ask(ending, "GET", "/api/slow?ms=1000", "", NULL);
  return NULL;
}

static void running_request_ends_before_the_server(void **state)
{
  (void)state;
  static web_server ending;
  web_reply reply = {.status = 0};
  void *both[2] = {&ending, &reply};
  pthread_t thread;
  web_start(&ending, (lw_web_options){.timeout_s = 5});
  int idle = web_connect(&ending); /* an open connection must not hold the end up */
  int before = web_calls();
  double began = seconds();
  assert_int_equal(pthread_create(&thread, NULL, ask_slowly, both), 0);
  while (web_calls() == before && seconds() - began < 5) {
    pause_ms(10);
  }
  began = seconds();
  web_stop(&ending);
  double took = seconds() - began;
  assert_int_equal(pthread_join(thread, NULL), 0);
  assert_int_equal(reply.status, 200);
  web_free(&reply);
  assert_true(took > 0.2 && took < 5);
  assert_true(until_closed(idle) < 1);
  assert_int_equal(web_connect(&ending), -1);
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(connections_past_the_limit_take_nothing), /* first: it counts threads */
      cmocka_unit_test(sixteen_clients_get_their_own_answers),
      cmocka_unit_test(requests_run_side_by_side),
      cmocka_unit_test(silent_connection_is_ended),
      cmocka_unit_test(dripping_head_is_ended),
      cmocka_unit_test(dripping_body_is_ended),
      cmocka_unit_test(unread_answer_is_given_up),
      cmocka_unit_test(leaving_midway_harms_nobody),
      cmocka_unit_test(running_request_ends_before_the_server),
  };
  return cmocka_run_group_tests(tests, start, stop);
}
