/* SPDX-License-Identifier: Apache-2.0 */
/* What the server answers and what it refuses, over a real loopback socket. Store and API are fakes
 * (web_fakes.c): only HTTP is tested here. The page is tests/fixtures/page. */
#include "check.h"
#include "web_harness.h"

#include <arpa/inet.h>
#include <jansson.h>
#include <netinet/in.h>
#include <stdlib.h>
#include <sys/socket.h>
#include <unistd.h>

#define JSON_LINE "Content-Type: application/json\r\n"

static web_server server;

static int start(void **state)
{
  (void)state;
  web_start(&server, (lw_web_options){.day_is_fixed = true, .fixed_day = 20558});
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

static void check_header(const web_reply *reply, const char *name, const char *want)
{
  char got[512];
  assert_string_equal(web_header(reply, name, got, sizeof got), want);
}

/* Asks and gives the body as JSON; the status must be as told. */
static json_t *ask_json(const char *method, const char *target, const char *lines, const char *body,
                        int status)
{
  web_reply reply = web_ask(&server, method, target, lines, body);
  if (reply.status != status) {
    print_error("%s %s: status %d, want %d: %s\n", method, target, reply.status, status,
                reply.body ? reply.body : "");
  }
  assert_int_equal(reply.status, status);
  check_header(&reply, "Content-Type", "application/json; charset=utf-8");
  check_header(&reply, "Cache-Control", "no-store");
  json_t *json = json_loads(reply.body, 0, NULL);
  assert_non_null(json);
  web_free(&reply);
  return json;
}

static const char *text_of(const json_t *json, const char *outer, const char *key)
{
  const json_t *from = outer ? json_object_get(json, outer) : json;
  const char *text = json_string_value(json_object_get(from, key));
  return text ? text : "(none)";
}

static void every_answer_carries_the_guards(void **state)
{
  (void)state;
  static const char *const targets[] = {"/", "/sw.js", "/nothing", "/api/echo", "/api/openapi.json"};
  for (size_t i = 0; i < sizeof targets / sizeof *targets; i++) {
    web_reply reply = web_ask(&server, "GET", targets[i], "", NULL);
    check_header(&reply, "Content-Security-Policy",
                 "default-src 'self'; object-src 'none'; "
                 "base-uri 'none'; form-action 'self'; frame-ancestors 'none'");
    check_header(&reply, "X-Content-Type-Options", "nosniff");
    check_header(&reply, "Referrer-Policy", "no-referrer");
    check_header(&reply, "Cross-Origin-Resource-Policy", "same-origin");
    check_header(&reply, "Access-Control-Allow-Origin", "");
    web_free(&reply);
  }
}

static void page_and_its_files_have_their_types(void **state)
{
  (void)state;
  static const char *const rows[][2] = {
      {"/", "text/html; charset=utf-8"},
      {"/index.html", "text/html; charset=utf-8"},
      {"/app.js", "text/javascript; charset=utf-8"},
      {"/app.css", "text/css; charset=utf-8"},
      {"/sw.js", "text/javascript; charset=utf-8"},
      {"/manifest.webmanifest", "application/manifest+json; charset=utf-8"},
      {"/icon.svg", "image/svg+xml; charset=utf-8"},
      {"/api/openapi.json", "application/json; charset=utf-8"},
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    web_reply reply = web_ask(&server, "GET", rows[i][0], "", NULL);
    assert_int_equal(reply.status, 200);
    check_header(&reply, "Content-Type", rows[i][1]);
    check_header(&reply, "Cache-Control", "no-cache");
    assert_true(reply.length > 0);
    web_free(&reply);
  }
}

static void known_file_is_not_sent_again(void **state)
{
  (void)state;
  char etag[128];
  char lines[256];
  web_reply first = web_ask(&server, "GET", "/app.js", "", NULL);
  (void)web_header(&first, "ETag", etag, sizeof etag);
  assert_true(strlen(etag) > 10);
  (void)snprintf(lines, sizeof lines, "If-None-Match: \"other\", W/%s\r\n", etag);
  web_reply again = web_ask(&server, "GET", "/app.js", lines, NULL);
  assert_int_equal(again.status, 304);
  check_header(&again, "ETag", etag);
  web_free(&again);
  again = web_ask(&server, "GET", "/app.js", "If-None-Match: \"other\"\r\n", NULL);
  assert_int_equal(again.status, 200);
  web_free(&again);
  web_free(&first);
}

static void packed_twin_goes_to_who_takes_it(void **state)
{
  (void)state;
  web_reply plain = web_ask(&server, "GET", "/app.js", "Accept-Encoding: gzip;q=0, br\r\n", NULL);
  web_reply packed = web_ask(&server, "GET", "/app.js", "Accept-Encoding: br, gzip\r\n", NULL);
  char a[128];
  char b[128];
  assert_int_equal(packed.status, 200);
  check_header(&plain, "Content-Encoding", "");
  check_header(&packed, "Content-Encoding", "gzip");
  check_header(&packed, "Vary", "Accept-Encoding");
  assert_string_not_equal(web_header(&plain, "ETag", a, sizeof a), web_header(&packed, "ETag", b, sizeof b));
  assert_true(packed.length > 18 && packed.length < plain.length);
  /* RFC 1952: magic at the start, length of the plain bytes at the end */
  const unsigned char *p = (const unsigned char *)packed.body;
  const unsigned char *tail = p + packed.length - 4;
  assert_true(p[0] == 0x1f && p[1] == 0x8b);
  assert_int_equal(tail[0] | tail[1] << 8 | tail[2] << 16, plain.length);
  web_free(&plain);
  web_free(&packed);
}

static void head_tells_what_get_would_send(void **state)
{
  (void)state;
  char size[32];
  static const char *const targets[] = {"/app.js", "/api/echo", "/nothing"};
  for (size_t i = 0; i < sizeof targets / sizeof *targets; i++) {
    web_reply get = web_ask(&server, "GET", targets[i], "", NULL);
    web_reply head = web_ask(&server, "HEAD", targets[i], "", NULL);
    assert_int_equal(head.status, get.status);
    if (i != 1) { /* echo tells the time: its length may differ by a digit */
      assert_int_equal(strtoul(web_header(&head, "Content-Length", size, sizeof size), NULL, 10), get.length);
    }
    assert_int_equal(head.length, 0);
    web_free(&get);
    web_free(&head);
  }
}

static void api_gets_the_request_decoded(void **state)
{
  (void)state;
  json_t *got =
      ask_json("GET", "/api/echo?area=12%20acre&rate=4+lb/acre&name=J%C3%B6rg&empty=&bare", "", NULL, 200);
  assert_string_equal(text_of(got, NULL, "method"), "GET");
  assert_string_equal(text_of(got, NULL, "path"), "/echo");
  assert_string_equal(text_of(got, "query", "area"), "12 acre");
  assert_string_equal(text_of(got, "query", "rate"), "4 lb/acre");
  assert_string_equal(text_of(got, "query", "name"), "J\xc3\xb6rg");
  assert_string_equal(text_of(got, "query", "empty"), "");
  assert_string_equal(text_of(got, "query", "bare"), "");
  assert_int_equal(json_integer_value(json_object_get(got, "today")), 20558);
  /* milliseconds since 1970, later than 2024 */
  assert_true(json_integer_value(json_object_get(got, "now")) > INT64_C(1704067200000));
  json_decref(got);
}

static void api_gets_the_body_who_and_why(void **state)
{
  (void)state;
  json_t *got =
      ask_json("POST", "/api/echo", JSON_LINE,
               "{\"water\": 3, \"value\": \"40 in\", \"who\": \"keeper\", \"why\": \"first\"}", 200);
  assert_string_equal(text_of(got, NULL, "who"), "keeper");
  assert_string_equal(text_of(got, NULL, "why"), "first");
  assert_string_equal(text_of(got, "body", "value"), "40 in");
  assert_null(json_object_get(json_object_get(got, "body"), "who"));
  json_decref(got);
  got = ask_json("DELETE", "/api/echo", "", NULL, 200);
  assert_true(json_is_null(json_object_get(got, "body")));
  assert_string_equal(text_of(got, NULL, "who"), "");
  json_decref(got);
  json_decref(ask_json("PUT", "/api/echo", JSON_LINE, "{}", 200));
  json_decref(
      ask_json("PATCH", "/api/echo", "Content-Type: Application/JSON ; charset=UTF-8\r\n", "{}", 200));
  json_decref(ask_json("POST", "/api/created", JSON_LINE, "{}", 201));
}

static void numbers_are_written_as_people_write_them(void **state)
{
  (void)state;
  web_reply reply = web_ask(&server, "GET", "/api/echo", "", NULL);
  assert_holds(reply.body, "\"tenth\":0.1}");
  web_free(&reply);
}

static void faults_of_the_api_have_their_status(void **state)
{
  (void)state;
  static const struct {
    const char *target, *id;
    int http;
  } rows[] = {
      {"/api/fail?status=1", "invalid", 400},
      {"/api/fail?status=2", "not-found", 404},
      {"/api/fail?status=3", "conflict", 409},
      {"/api/fail?status=4", "limit", 413},
      {"/api/fail?status=5", "corrupt", 500},
      {"/api/fail?status=6", "io", 500},
      {"/api/fail?status=7", "busy", 503},
      {"/api/fail?status=8", "memory", 503},
      {"/api/fail?status=9", "internal", 500},
      {"/api/fail?status=5&http=400", "corrupt", 400},
      {"/api/silent", "internal", 500},
      {"/api/other", "not-found", 404},
      {"/api", "not-found", 404},
      {"/apix", "not-found", 404},
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    json_t *got = ask_json("GET", rows[i].target, "", NULL, rows[i].http);
    assert_string_equal(text_of(got, "error", "id"), rows[i].id);
    assert_true(strlen(text_of(got, "error", "message")) > 10);
    assert_true(json_is_null(json_object_get(json_object_get(got, "error"), "field")));
    json_decref(got);
  }
}

static void wrong_method_names_the_right_ones(void **state)
{
  (void)state;
  web_reply reply = web_ask(&server, "POST", "/app.js", JSON_LINE, "{}");
  assert_int_equal(reply.status, 405);
  check_header(&reply, "Allow", "GET, HEAD");
  web_free(&reply);
  reply = web_ask(&server, "OPTIONS", "/api/echo", "", NULL);
  assert_int_equal(reply.status, 405);
  check_header(&reply, "Allow", "GET, HEAD, POST, PUT, PATCH, DELETE");
  web_free(&reply);
  /* a 405 of the API itself takes Allow from the description: the fixture knows /api/fail */
  reply = web_ask(&server, "PUT", "/api/fail?status=1&http=405", JSON_LINE, "{}");
  assert_int_equal(reply.status, 405);
  check_header(&reply, "Allow", "GET, HEAD, DELETE");
  web_free(&reply);
}

static void two_requests_share_a_connection(void **state)
{
  (void)state;
  int fd = web_connect(&server);
  char text[512];
  int n = snprintf(text, sizeof text,
                   "GET /api/echo?n=1 HTTP/1.1\r\nHost: 127.0.0.1:%u\r\n\r\n"
                   "POST /api/echo HTTP/1.1\r\nHost: localhost:%u\r\nContent-Type: "
                   "application/json\r\nContent-Length: 7\r\n\r\n{\"b\":2}"
                   "GET /nothing HTTP/1.1\r\nHost: 127.0.0.1:%u\r\n\r\n"
                   "GET /app.css HTTP/1.1\r\nHost: 127.0.0.1:%u\r\n\r\n",
                   server.port, server.port, server.port, server.port);
  assert_true(web_send(fd, text, (size_t)n)); /* all at once */
  static const int want[] = {200, 200, 404, 200};
  for (size_t i = 0; i < 4; i++) {
    web_reply reply = web_receive(fd, false);
    assert_int_equal(reply.status, want[i]);
    web_free(&reply);
  }
  (void)close(fd);
}

static void only_this_machine_can_connect(void **state)
{
  (void)state;
  assert_int_equal(strncmp(server.address, "http://127.0.0.1:", 17), 0);
  /* 127.0.0.2 is this machine too: a server on every address would be heard there */
  struct sockaddr_in other = {.sin_family = AF_INET, .sin_port = htons(server.port)};
  assert_int_equal(inet_pton(AF_INET, "127.0.0.2", &other.sin_addr), 1);
  int fd = socket(AF_INET, SOCK_STREAM, 0);
  assert_int_not_equal(connect(fd, (const struct sockaddr *)&other, sizeof other), 0);
  (void)close(fd);
}

static void what_cannot_be_served_is_told(void **state)
{
  (void)state;
  volatile sig_atomic_t now = 1;
  lw_error err = {.status = LW_OK};
  lw_web_options options = {.store_path = "fake-store", .stop = &now, .port = server.port};
  assert_int_equal(lw_web_serve(&options, &err), LW_CONFLICT);
  assert_holds(err.message, "in use");
  options = (lw_web_options){.store_path = "elsewhere", .stop = &now};
  assert_int_equal(lw_web_serve(&options, &err), LW_NOT_FOUND);
  options = (lw_web_options){.store_path = "fake-store"};
  assert_int_equal(lw_web_serve(&options, &err), LW_INVALID);
  options = (lw_web_options){.store_path = "fake-store", .stop = &now, .timeout_s = 4000};
  assert_int_equal(lw_web_serve(&options, &err), LW_INVALID);
  options = (lw_web_options){.store_path = "fake-store", .stop = &now};
  assert_int_equal(lw_web_serve(&options, &err), LW_OK);
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(every_answer_carries_the_guards),
      cmocka_unit_test(page_and_its_files_have_their_types),
      cmocka_unit_test(known_file_is_not_sent_again),
      cmocka_unit_test(packed_twin_goes_to_who_takes_it),
      cmocka_unit_test(head_tells_what_get_would_send),
      cmocka_unit_test(api_gets_the_request_decoded),
      cmocka_unit_test(api_gets_the_body_who_and_why),
      cmocka_unit_test(numbers_are_written_as_people_write_them),
      cmocka_unit_test(faults_of_the_api_have_their_status),
      cmocka_unit_test(wrong_method_names_the_right_ones),
      cmocka_unit_test(two_requests_share_a_connection),
      cmocka_unit_test(only_this_machine_can_connect),
      cmocka_unit_test(what_cannot_be_served_is_told),
  };
  return cmocka_run_group_tests(tests, start, stop);
}
