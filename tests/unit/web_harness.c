/* SPDX-License-Identifier: Apache-2.0 */
#include "check.h"
#include "web_harness.h"

#include <arpa/inet.h>
#include <netinet/in.h>
#include <stdlib.h>
#include <strings.h>
#include <sys/socket.h>
#include <sys/time.h>
#include <time.h>
#include <unistd.h>

enum { PATIENCE_S = 10, REPLY_MAX = 64 * 1024 * 1024 };

/* The flag is set by a signal handled on the server's own thread, as the command line does it. */
static _Thread_local web_server *mine;

static void on_signal(int number)
{
  (void)number;
  if (mine) {
    mine->stop = 1;
  }
}

static void bound(void *user, const char *address, uint16_t port)
{
  web_server *server = user;
  (void)pthread_mutex_lock(&server->lock);
  server->port = port;
  (void)snprintf(server->address, sizeof server->address, "%s", address);
  server->is_ready = true;
  (void)pthread_cond_signal(&server->ready);
  (void)pthread_mutex_unlock(&server->lock);
}

static void *serve(void *user)
{
  web_server *server = user;
  mine = server;
  lw_status s = lw_web_serve(&server->options, &server->err);
  (void)pthread_mutex_lock(&server->lock);
  server->status = s;
  server->ended = true;
  (void)pthread_cond_signal(&server->ready);
  (void)pthread_mutex_unlock(&server->lock);
  return NULL;
}

void web_start(web_server *server, lw_web_options options)
{
  struct sigaction action = {.sa_handler = on_signal};
  (void)sigaction(SIGUSR1, &action, NULL);
  *server = (web_server){.options = options};
  server->options.store_path = "fake-store";
  server->options.stop = &server->stop;
  server->options.bound = bound;
  server->options.bound_user = server;
  (void)pthread_mutex_init(&server->lock, NULL);
  (void)pthread_cond_init(&server->ready, NULL);
  assert_int_equal(pthread_create(&server->thread, NULL, serve, server), 0);
  (void)pthread_mutex_lock(&server->lock);
  while (!server->is_ready && !server->ended) {
    (void)pthread_cond_wait(&server->ready, &server->lock);
  }
  bool good = server->is_ready && !server->ended;
  (void)pthread_mutex_unlock(&server->lock);
  if (!good) {
    fail_msg("the server did not start: %s", server->err.message);
  }
}

void web_stop(web_server *server)
{
  assert_int_equal(pthread_kill(server->thread, SIGUSR1), 0);
  assert_int_equal(pthread_join(server->thread, NULL), 0);
  assert_int_equal(server->status, LW_OK);
  (void)pthread_cond_destroy(&server->ready);
  (void)pthread_mutex_destroy(&server->lock);
}

int web_connect(const web_server *server)
{
  struct sockaddr_in there = {.sin_family = AF_INET, .sin_port = htons(server->port)};
  there.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  struct timeval patience = {.tv_sec = PATIENCE_S};
  int fd = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
  if (fd < 0 || setsockopt(fd, SOL_SOCKET, SO_RCVTIMEO, &patience, sizeof patience) != 0 ||
      setsockopt(fd, SOL_SOCKET, SO_SNDTIMEO, &patience, sizeof patience) != 0 ||
      connect(fd, (const struct sockaddr *)&there, sizeof there) != 0) {
    if (fd >= 0) {
      (void)close(fd);
    }
    return -1;
  }
  return fd;
}

bool web_send(int fd, const char *text, size_t length)
{
  while (length) {
    ssize_t n = send(fd, text, length, MSG_NOSIGNAL);
    if (n <= 0) {
      return false;
    }
    text += n;
    length -= (size_t)n;
  }
  return true;
}

const char *web_header(const web_reply *reply, const char *name, char *out, size_t size)
{
  size_t n = strlen(name);
  out[0] = '\0';
  for (const char *line = strstr(reply->head, "\r\n"); line; line = strstr(line + 2, "\r\n")) {
    const char *at = line + 2;
    if (strncasecmp(at, name, n) == 0 && at[n] == ':') {
      at += n + 1 + strspn(at + n + 1, " ");
      (void)snprintf(out, size, "%.*s", (int)strcspn(at, "\r"), at);
      break;
    }
  }
  return out;
}

/* The head, byte by byte: nothing past it is taken from the connection. */
static bool receive_head(int fd, web_reply *reply)
{
  size_t n = 0;
  while (n + 1 < sizeof reply->head && recv(fd, reply->head + n, 1, 0) == 1) {
    reply->head[++n] = '\0';
    if (n >= 4 && strcmp(reply->head + n - 4, "\r\n\r\n") == 0) {
      return true;
    }
  }
  return false;
}

web_reply web_receive(int fd, bool head_request)
{
  web_reply reply = {.status = 0};
  char value[64];
  if (fd < 0 || !receive_head(fd, &reply)) {
    return reply;
  }
  int status = 0;
  (void)sscanf(reply.head, "HTTP/%*s %d", &status);
  size_t want = (size_t)strtoul(web_header(&reply, "Content-Length", value, sizeof value), NULL, 10);
  if (head_request || status == 304) {
    want = 0;
  }
  reply.body = want < REPLY_MAX ? malloc(want + 1) : NULL;
  while (reply.body && reply.length < want) {
    ssize_t n = recv(fd, reply.body + reply.length, want - reply.length, 0);
    if (n <= 0) {
      break;
    }
    reply.length += (size_t)n;
  }
  if (reply.body) {
    reply.body[reply.length] = '\0';
  }
  reply.status = reply.body && reply.length == want ? status : 0;
  return reply;
}

void web_free(web_reply *reply)
{
  free(reply->body);
  reply->body = NULL;
}

web_reply web_ask(const web_server *server, const char *method, const char *target, const char *lines,
                  const char *body)
{
  static const char form[] = "%s %s HTTP/1.1\r\n%s%s%s%s\r\n";
  char host[64] = "";
  char size[64] = "";
  if (!strstr(lines, "Host:")) {
    (void)snprintf(host, sizeof host, "Host: 127.0.0.1:%u\r\n", server->port);
  }
  if (body) {
    (void)snprintf(size, sizeof size, "Content-Length: %zu\r\n", strlen(body));
  }
  int n = snprintf(NULL, 0, form, method, target, host, lines, size, "Connection: close\r\n");
  char *head = malloc((size_t)n + 1);
  assert_non_null(head);
  (void)snprintf(head, (size_t)n + 1, form, method, target, host, lines, size, "Connection: close\r\n");
  int fd = web_connect(server);
  (void)(web_send(fd, head, (size_t)n) && body && web_send(fd, body, strlen(body)));
  free(head);
  web_reply reply = web_receive(fd, strcmp(method, "HEAD") == 0);
  if (fd >= 0) {
    (void)close(fd);
  }
  return reply;
}
