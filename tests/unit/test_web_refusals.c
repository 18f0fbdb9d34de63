/* SPDX-License-Identifier: Apache-2.0 */
/* Every request the server must refuse, each with its exact status, and that none of them reaches
 * the API. Over a real loopback socket; store and API are fakes. */
#include "check.h"
#include "web_harness.h"

#include <jansson.h>
#include <stdlib.h>
#include <unistd.h>

static web_server server;

static int start(void **state)
{
  (void)state;
  web_start(&server, (lw_web_options){.port = 0});
  return 0;
}

static int stop(void **state)
{
  (void)state;
  web_stop(&server);
  return 0;
}

/* Zeroed memory, or the end: the compiler does not know that an assertion never returns. */
static char *zeroed(size_t size)
{
  char *out = calloc(1, size);
  if (!out) {
    abort();
  }
  return out;
}

/* PORT and ELSE in the text become this server's port and another one. */
static char *with_port(const char *text)
{
  char port[8];
  char other[8];
  (void)snprintf(port, sizeof port, "%u", server.port);
  (void)snprintf(other, sizeof other, "%u", server.port ^ 1U);
  char *out = zeroed(strlen(text) * 2 + 16);
  for (char *to = out; *text; to = out + strlen(out)) {
    if (strncmp(text, "PORT", 4) == 0 || strncmp(text, "ELSE", 4) == 0) {
      strcat(out, *text == 'P' ? port : other);
      text += 4;
    } else {
      *to = *text++;
    }
  }
  return out;
}

typedef struct row {
  const char *method, *target, *lines, *body;
  int status;
} row;

/* Each row's answer must have its status; a refusal must not have called the API. */
static void check_rows(const row *rows, size_t count)
{
  for (size_t i = 0; i < count; i++) {
    char *lines = with_port(rows[i].lines);
    int before = web_calls();
    web_reply reply = web_ask(&server, rows[i].method, rows[i].target, lines, rows[i].body);
    if (reply.status != rows[i].status) {
      print_error("%s %.80s [%s] %.60s: status %d, want %d: %.200s\n", rows[i].method, rows[i].target, lines,
                  rows[i].body ? rows[i].body : "", reply.status, rows[i].status,
                  reply.body ? reply.body : "");
    }
    assert_int_equal(reply.status, rows[i].status);
    if (rows[i].status >= 400) {
      assert_int_equal(web_calls(), before);
    }
    web_free(&reply);
    free(lines);
  }
}

#define CHECK(rows) check_rows((rows), sizeof(rows) / sizeof *(rows))
#define J "Content-Type: application/json\r\n"

static void host_must_be_ours(void **state)
{
  (void)state;
  static const row rows[] = {
      {"GET", "/api/echo", "Host: 127.0.0.1:PORT\r\n", NULL, 200},
      {"GET", "/api/echo", "Host: localhost:PORT\r\n", NULL, 200},
      {"GET", "/api/echo", "Host: LocalHost:PORT\r\n", NULL, 200},
      {"GET", "/", "Host: 127.0.0.1:ELSE\r\n", NULL, 421},
      {"GET", "/", "Host: 127.0.0.1\r\n", NULL, 421},
      {"GET", "/", "Host: \r\n", NULL, 421},
      {"GET", "/", "Host: rebind.example:PORT\r\n", NULL, 421},
      {"GET", "/", "Host: 127.0.0.1:PORT.rebind.example\r\n", NULL, 421},
      {"GET", "/", "Host: 127.0.0.1:PORT:PORT\r\n", NULL, 421},
      {"GET", "/", "Host: x@127.0.0.1:PORT\r\n", NULL, 421},
      {"GET", "/", "Host: [::1]:PORT\r\n", NULL, 421},
      {"GET", "/", "Host: 127.0.0.1:0PORT\r\n", NULL, 421},
      {"GET", "/", "Host: localhost.:PORT\r\n", NULL, 421},
      {"GET", "/api/echo", "Host: rebind.example:PORT\r\n", NULL, 421},
      {"POST", "/api/echo", J "Host: rebind.example:PORT\r\n", "{}", 421},
      {"GET", "/", "Host: 127.0.0.1:PORT\r\nHost: rebind.example\r\n", NULL, 400},
  };
  CHECK(rows);
}

static void writes_come_from_our_page_or_no_page(void **state)
{
  (void)state;
  static const row rows[] = {
      {"POST", "/api/echo", J, "{}", 200},
      {"POST", "/api/echo", J "Origin: http://127.0.0.1:PORT\r\n", "{}", 200},
      {"POST", "/api/echo", J "Origin: http://localhost:PORT\r\n", "{}", 200},
      {"POST", "/api/echo", J "Origin: http://127.0.0.1:ELSE\r\n", "{}", 403},
      {"POST", "/api/echo", J "Origin: https://127.0.0.1:PORT\r\n", "{}", 403},
      {"POST", "/api/echo", J "Origin: http://127.0.0.1:PORT/\r\n", "{}", 403},
      {"POST", "/api/echo", J "Origin: http://page.example\r\n", "{}", 403},
      {"POST", "/api/echo", J "Origin: null\r\n", "{}", 403},
      {"POST", "/api/echo", J "Origin: \r\n", "{}", 403},
      {"PUT", "/api/echo", J "Origin: http://page.example\r\n", "{}", 403},
      {"PATCH", "/api/echo", J "Origin: http://page.example\r\n", "{}", 403},
      {"DELETE", "/api/echo", "Origin: http://page.example\r\n", NULL, 403},
      {"POST", "/api/echo", J "Sec-Fetch-Site: same-origin\r\n", "{}", 200},
      {"POST", "/api/echo", J "Sec-Fetch-Site: cross-site\r\n", "{}", 403},
      {"POST", "/api/echo", J "Sec-Fetch-Site: same-site\r\n", "{}", 403},
      {"DELETE", "/api/echo", "Sec-Fetch-Site: cross-site\r\n", NULL, 403},
      {"GET", "/api/echo", "Sec-Fetch-Site: cross-site\r\n", NULL, 403},
      {"GET", "/api/echo", "Sec-Fetch-Site: none\r\n", NULL, 200},
      {"GET", "/", "Sec-Fetch-Site: cross-site\r\n", NULL, 200}, /* a link to the page is fine */
  };
  CHECK(rows);
}

static void methods_are_the_known_ones(void **state)
{
  (void)state;
  static const row rows[] = {
      {"OPTIONS", "/api/echo", "", NULL, 405},
      {"TRACE", "/", "", NULL, 405},
      {"PROPFIND", "/", "", NULL, 405},
      {"get", "/", "", NULL, 405},
      {"POST", "/", J, "{}", 405},
      {"DELETE", "/app.js", "", NULL, 405},
      {"POST", "/api/openapi.json", J, "{}", 405},
      {"CONNECT", "/api/echo", "", NULL, 405},
  };
  CHECK(rows);
}

static void bodies_are_json(void **state)
{
  (void)state;
  static const row rows[] = {
      {"POST", "/api/echo", "", "{}", 415},
      {"POST", "/api/echo", "", NULL, 415},
      {"POST", "/api/echo", "Content-Type: text/plain\r\n", "{}", 415},
      {"POST", "/api/echo", "Content-Type: application/x-www-form-urlencoded\r\n", "a=1", 415},
      {"POST", "/api/echo", "Content-Type: application/jsonx\r\n", "{}", 415},
      {"POST", "/api/echo", "Content-Type: application/json; charset=latin-1\r\n", "{}", 415},
      {"POST", "/api/echo", J "Content-Encoding: gzip\r\n", "{}", 415},
      {"DELETE", "/api/echo", "Content-Type: text/plain\r\n", "{}", 415},
      {"POST", "/api/echo", J J, "{}", 400},
      {"POST", "/api/echo", J, "{", 400},
      {"POST", "/api/echo", J, "[]", 400},
      {"POST", "/api/echo", J, "7", 400},
      {"POST", "/api/echo", J, "{\"a\":1,\"a\":2}", 400},
      {"POST", "/api/echo", J, "{\"a\":1} {}", 400},
      {"POST", "/api/echo", J, "{\"a\":\"\xff\"}", 400},
      {"POST", "/api/echo", J, "{\"a\":1e999}", 400},
      {"POST", "/api/echo", J, "{\"a\":NaN}", 400},
      {"POST", "/api/echo", J, "{\"a\":\"\\u0000\"}", 400},
      {"POST", "/api/echo", J, "{\"who\":7}", 400},
      {"POST", "/api/echo", J, "{\"why\":\"a\\u0007\"}", 400},
      {"POST", "/api/echo", J, "{\"outline-file\":\"/etc/hosts.geojson\"}", 400},
      {"POST", "/api/echo", J, "{\"outline_file\":\"/etc/hosts.geojson\"}", 400},
      {"POST", "/api/echo", J, "{\"profile\":1}", 200},
      {"GET", "/api/echo", J, "{}", 400},
      {"POST", "/api/echo", J "Transfer-Encoding: chunked\r\n", NULL, 411},
  };
  CHECK(rows);
}

static void targets_mean_one_thing(void **state)
{
  (void)state;
  static const row rows[] = {
      {"GET", "/../etc/passwd", "", NULL, 400},
      {"GET", "/%2e%2e/etc/passwd", "", NULL, 400},
      {"GET", "/..%2fetc/passwd", "", NULL, 400},
      {"GET", "/..%5cetc", "", NULL, 400},
      {"GET", "/a\\..\\b", "", NULL, 400},
      {"GET", "/./app.js", "", NULL, 400},
      {"GET", "//app.js", "", NULL, 400},
      {"GET", "/api//echo", "", NULL, 400},
      {"GET", "/api/../api/echo", "", NULL, 400},
      {"GET", "/app.js%00.html", "", NULL, 400},
      {"GET", "/%00", "", NULL, 400},
      {"GET", "/app.js%0d%0aX:1", "", NULL, 400},
      {"GET", "/%", "", NULL, 400},
      {"GET", "/%4", "", NULL, 400},
      {"GET", "/%zz", "", NULL, 400},
      {"GET", "/%ff", "", NULL, 400},
      {"GET", "app.js", "", NULL, 400},
      {"GET", "http://127.0.0.1/app.js", "", NULL, 400},
      {"GET", "/api/echo?=1", "", NULL, 400},
      {"GET", "/api/echo?a=%00", "", NULL, 400},
      {"GET", "/api/echo?a=%c0%af", "", NULL, 400},
      {"GET", "/%252e%252e/etc/passwd", "", NULL, 404}, /* decoded once: no such name */
      {"GET", "/etc/passwd", "", NULL, 404},
      {"GET", "/app.js/", "", NULL, 404},
      {"GET", "/APP.JS", "", NULL, 404},
      {"GET", "/app%2ejs", "", NULL, 200}, /* the same name, written otherwise */
  };
  CHECK(rows);
}

static void a_raw_nul_reaches_nothing(void **state)
{
  (void)state;
  char text[256];
  int n = snprintf(text, sizeof text,
                   "GET /@/../../etc/passwd HTTP/1.1\r\nHost: 127.0.0.1:%u\r\n"
                   "Connection: close\r\n\r\n",
                   server.port);
  *strchr(text, '@') = '\0';
  int fd = web_connect(&server);
  assert_true(web_send(fd, text, (size_t)n));
  web_reply reply = web_receive(fd, false);
  if (reply.status == 200) { /* the library reads up to the NUL: that is the page itself */
    assert_holds(reply.body, "fixture page");
  } else {
    assert_true(reply.status == 0 || reply.status == 400);
  }
  web_free(&reply);
  (void)close(fd);
}

static void queries_are_few_and_targets_short(void **state)
{
  (void)state;
  char target[6000] = "/api/echo?k0=0";
  for (int i = 1; i < 40; i++) {
    (void)snprintf(target + strlen(target), 40, "&k%d=%d", i, i);
  }
  row rows[] = {{"GET", target, "", NULL, 200}};
  CHECK(rows);
  strcat(target, "&one=more");
  rows[0].status = 400;
  CHECK(rows);
  memset(target, 'a', sizeof target);
  target[0] = '/';
  target[4096] = '\0';
  rows[0].status = 404;
  CHECK(rows);
  target[4096] = 'a';
  target[4097] = '\0';
  rows[0].status = 414;
  CHECK(rows);
}

static void heads_are_bounded(void **state)
{
  (void)state;
  char *lines = zeroed(70000);
  memset(lines, 'x', 70000);
  memcpy(lines, "X-Long: ", 8);
  memcpy(lines + 60000, "\r\n", 3);
  web_reply reply = web_ask(&server, "GET", "/", lines, NULL);
  assert_true(reply.status == 431 || reply.status == 0); /* 0: cut off while still sending */
  web_free(&reply);
  memcpy(lines + 14500, "\r\n", 3);
  reply = web_ask(&server, "GET", "/", lines, NULL);
  assert_int_equal(reply.status, 200);
  web_free(&reply);
  free(lines);
}

/* A JSON body `open` n times, `middle`, `close` n times, under "a". */
static char *nested(size_t n, const char *middle)
{
  char *text = zeroed(2 * n + strlen(middle) + 16);
  strcpy(text, "{\"a\":");
  memset(text + 5, '[', n);
  strcat(text, middle);
  memset(text + strlen(text), ']', n);
  strcat(text, "}");
  return text;
}

static void bodies_are_bounded(void **state)
{
  (void)state;
  row rows[] = {{"POST", "/api/echo", J, NULL, 0}};
  char *text = nested(31, "1");
  rows[0] = (row){"POST", "/api/echo", J, text, 200};
  CHECK(rows);
  free(text);
  text = nested(32, "\"]]]\"");
  rows[0] = (row){"POST", "/api/echo", J, text, 413};
  CHECK(rows);
  free(text);
  text = nested(200000, "");
  rows[0].body = text;
  CHECK(rows);
  free(text);
  char *many = zeroed(400010);
  for (size_t i = 0; i < 200000; i++) {
    memcpy(many + 2 * i, "1,", 2);
  }
  many[399999] = '\0';
  text = nested(1, many);
  rows[0].body = text;
  CHECK(rows);
  free(text);
  free(many);
}

/* Only the head is sent: the answer tells whether a body of that size would be taken. */
static int status_of_length(const char *path, const char *size)
{
  char text[512];
  int fd = web_connect(&server);
  int n =
      snprintf(text, sizeof text, "POST %s HTTP/1.1\r\nHost: 127.0.0.1:%u\r\n" J "Content-Length: %s\r\n\r\n",
               path, server.port, size);
  assert_true(web_send(fd, text, (size_t)n));
  web_reply reply = web_receive(fd, false);
  int status = reply.status;
  web_free(&reply);
  (void)close(fd);
  return status;
}

static void a_survey_may_be_longer(void **state)
{
  (void)state;
  static const char past[] = "25165825"; /* 24 MiB and a byte */
  static const char *const usual[] = {"/api/waters/3/surveysx", "/api/waters/3/surveys/4",
                                      "/api/waters/3x/surveys", "/api/surveys/3", "/api/waters/3"};
  assert_int_equal(status_of_length("/api/waters/3/surveys", past), 413);
  for (size_t i = 0; i < sizeof usual / sizeof *usual; i++) {
    assert_int_equal(status_of_length(usual[i], "1048577"), 413);
  }
  char *body = zeroed(2 * 1024 * 1024 + 1);
  memset(body, ' ', 2 * 1024 * 1024);
  memcpy(body, "{}", 2);
  web_reply reply = web_ask(&server, "POST", "/api/waters/3/surveys", J, body);
  assert_int_not_equal(reply.status, 413); /* read: what then becomes of it is the fake's */
  web_free(&reply);
  free(body);
}

static void a_long_body_is_not_read(void **state)
{
  (void)state;
  char *body = zeroed(1024 * 1024 + 2);
  memset(body, ' ', 1024 * 1024 + 1);
  body[1024 * 1024 + 1] = '\0';
  memcpy(body, "{}", 2);
  web_reply reply = web_ask(&server, "POST", "/api/echo", J, body + 1);
  assert_int_equal(reply.status, 400); /* exactly 1 MiB is read, and is not JSON */
  web_free(&reply);
  free(body);
  /* only the head is sent: the answer must not wait for the body */
  static const char *const sizes[] = {"1048577", "20000000", "99999999999999999999999999"};
  for (size_t i = 0; i < 3; i++) {
    char text[512];
    int fd = web_connect(&server);
    int n = snprintf(text, sizeof text,
                     "POST /api/echo HTTP/1.1\r\nHost: 127.0.0.1:%u\r\n" J "Content-Length: %s\r\n\r\n",
                     server.port, sizes[i]);
    assert_true(web_send(fd, text, (size_t)n));
    reply = web_receive(fd, false);
    assert_int_equal(reply.status, 413);
    if (i < 2) { /* the last is past 64 bits: the library itself refuses it, its head written twice */
      char rest[8];
      assert_int_equal(read(fd, rest, sizeof rest), 0); /* and the connection ends */
    }
    web_free(&reply);
    (void)close(fd);
  }
  static const row rows[] = {
      {"POST", "/api/echo", J "Content-Length: -1\r\n", NULL, 400},
      {"POST", "/api/echo", J "Content-Length: 1x\r\n", NULL, 400},
      {"POST", "/api/echo", J "Content-Length: 2\r\nContent-Length: 3\r\n", NULL, 400},
  };
  CHECK(rows);
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(host_must_be_ours),
      cmocka_unit_test(writes_come_from_our_page_or_no_page),
      cmocka_unit_test(methods_are_the_known_ones),
      cmocka_unit_test(bodies_are_json),
      cmocka_unit_test(targets_mean_one_thing),
      cmocka_unit_test(a_raw_nul_reaches_nothing),
      cmocka_unit_test(queries_are_few_and_targets_short),
      cmocka_unit_test(heads_are_bounded),
      cmocka_unit_test(bodies_are_bounded),
      cmocka_unit_test(a_long_body_is_not_read),
      cmocka_unit_test(a_survey_may_be_longer),
  };
  return cmocka_run_group_tests(tests, start, stop);
}
