/* SPDX-License-Identifier: Apache-2.0 */
#include "web/checks.h"

#include "base/text.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

#define READ_METHODS "GET, HEAD"
#define API_METHODS "GET, HEAD, POST, PUT, PATCH, DELETE"

bool lw_web_refuse(lw_web_fault *fault, int http_status, lw_status id, const char *format, ...)
{
  char message[LW_MESSAGE_MAX];
  va_list args;
  va_start(args, format);
  (void)vsnprintf(message, sizeof message, format, args);
  va_end(args);
  *fault = (lw_web_fault){.http_status = http_status};
  (void)lw_fail(&fault->error, id, "%s", message);
  return false;
}

int lw_web_http_status(lw_status status)
{
  switch (status) {
  case LW_OK:
    return 200;
  case LW_INVALID:
    return 400;
  case LW_NOT_FOUND:
    return 404;
  case LW_CONFLICT:
    return 409;
  case LW_LIMIT:
    return 413;
  case LW_BUSY:
  case LW_MEMORY:
    return 503;
  default:
    return 500;
  }
}

void lw_web_head_take(lw_web_head *head, const char *name, const char *value)
{
  const struct {
    const char *name;
    const char **to;
  } known[] = {
      {"Host", &head->host},
      {"Origin", &head->origin},
      {"Sec-Fetch-Site", &head->fetch_site},
      {"Content-Type", &head->content_type},
      {"Content-Length", &head->content_length},
      {"Transfer-Encoding", &head->transfer_encoding},
      {"Content-Encoding", &head->content_encoding},
      {"Accept-Encoding", &head->accept_encoding},
      {"If-None-Match", &head->if_none_match},
  };
  for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
    if (strcasecmp(name, known[i].name) == 0) {
      head->repeated = head->repeated || *known[i].to;
      *known[i].to = value ? value : "";
      return;
    }
  }
}

bool lw_web_method_writes(const char *method)
{
  return strcmp(method, "POST") == 0 || strcmp(method, "PUT") == 0 || strcmp(method, "PATCH") == 0 ||
         strcmp(method, "DELETE") == 0;
}

static bool method_reads(const char *method)
{
  return strcmp(method, "GET") == 0 || strcmp(method, "HEAD") == 0;
}

/* "127.0.0.1:8123" and "localhost:8123"; without the port only where that is HTTP's own. */
static bool names_us(const char *authority, uint16_t port)
{
  static const char *const names[] = {"127.0.0.1", "localhost"};
  for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
    size_t n = strlen(names[i]);
    char tail[16];
    (void)snprintf(tail, sizeof tail, ":%u", port);
    if (strncasecmp(authority, names[i], n) == 0 &&
        (strcmp(authority + n, tail) == 0 || (port == 80 && authority[n] == '\0'))) {
      return true;
    }
  }
  return false;
}

static bool origin_is_ours(const char *origin, uint16_t port)
{
  static const char scheme[] = "http://";
  size_t n = sizeof scheme - 1;
  return strncasecmp(origin, scheme, n) == 0 && names_us(origin + n, port);
}

/* Programs that are no browser send no Sec-Fetch-Site; the address bar sends "none". */
static bool site_is_ours(const char *site)
{
  return !site || strcmp(site, "same-origin") == 0 || strcmp(site, "none") == 0;
}

static bool type_is_json(const char *type)
{
  static const char json[] = "application/json";
  size_t n = sizeof json - 1;
  if (!type || strncasecmp(type, json, n) != 0) {
    return false;
  }
  const char *rest = type + n + strspn(type + n, " \t");
  if (*rest == '\0') {
    return true;
  }
  rest += 1 + strspn(rest + 1, " \t");
  return type[n + strspn(type + n, " \t")] == ';' &&
         (strcasecmp(rest, "charset=utf-8") == 0 || strcasecmp(rest, "charset=\"utf-8\"") == 0);
}

/* Digits only. false when it is no length; *out is held at one past the limit. */
static bool read_length(const char *text, size_t *out)
{
  *out = 0;
  if (!*text || strspn(text, "0123456789") != strlen(text)) {
    return false;
  }
  for (const char *p = text; *p && *out <= LW_WEB_SURVEY_MAX; p++) {
    *out = *out * 10 + (size_t)(*p - '0');
  }
  return true;
}

size_t lw_web_body_max(const char *path)
{
  static const char before[] = "/api/waters/";
  size_t n = sizeof before - 1;
  bool of_water = strncmp(path, before, n) == 0;
  size_t digits = of_water ? strspn(path + n, "0123456789") : 0;
  return digits && strcmp(path + n + digits, "/surveys") == 0 ? LW_WEB_SURVEY_MAX : LW_WEB_BODY_MAX;
}

size_t lw_web_body_length(const lw_web_head *head)
{
  size_t length = 0;
  return head->content_length && read_length(head->content_length, &length) ? length : 0;
}

static bool check_length(const lw_web_head *head, lw_web_fault *fault)
{
  size_t length = 0;
  if (head->transfer_encoding) {
    return lw_web_refuse(fault, 411, LW_INVALID,
                         "the body must come with a Content-Length, not with Transfer-Encoding");
  }
  if (head->content_length && !read_length(head->content_length, &length)) {
    return lw_web_refuse(fault, 400, LW_INVALID, "Content-Length '%.40s' is not a number of bytes",
                         head->content_length);
  }
  if (length > head->body_max) {
    return lw_web_refuse(fault, 413, LW_LIMIT,
                         "the body is %.20s bytes long; at most %zu are taken in one request",
                         head->content_length, head->body_max);
  }
  if (length && !lw_web_method_writes(head->method)) {
    return lw_web_refuse(fault, 400, LW_INVALID,
                         "a %.10s request takes no body; put the question "
                         "in the query",
                         head->method);
  }
  return true;
}

static bool check_write(const lw_web_head *head, uint16_t port, lw_web_fault *fault)
{
  if (head->origin && !origin_is_ours(head->origin, port)) {
    return lw_web_refuse(fault, 403, LW_INVALID,
                         "this change was asked for by a page of '%.100s'; only Lakeward's own page "
                         "may change records",
                         head->origin);
  }
  bool bare_delete = strcmp(head->method, "DELETE") == 0 && lw_web_body_length(head) == 0;
  if (!bare_delete && !type_is_json(head->content_type)) {
    return lw_web_refuse(fault, 415, LW_INVALID,
                         "the body must be JSON in UTF-8: send 'Content-Type: application/json', "
                         "got '%.80s'",
                         head->content_type ? head->content_type : "none");
  }
  if (head->content_encoding && strcasecmp(head->content_encoding, "identity") != 0) {
    return lw_web_refuse(fault, 415, LW_INVALID,
                         "the body must come as it is, without "
                         "Content-Encoding '%.40s'",
                         head->content_encoding);
  }
  return true;
}

static bool check_method(const lw_web_head *head, bool api, lw_web_fault *fault)
{
  bool writes = lw_web_method_writes(head->method);
  if (method_reads(head->method) || (api && writes)) {
    return true;
  }
  const char *allow = api ? API_METHODS : READ_METHODS;
  (void)lw_web_refuse(fault, 405, LW_INVALID, "the method %.20s is not taken here; use one of %s",
                      head->method, allow);
  fault->allow = allow;
  return false;
}

bool lw_web_check(const lw_web_head *head, bool api, uint16_t port, lw_web_fault *fault)
{
  if (head->repeated) {
    return lw_web_refuse(fault, 400, LW_INVALID, "a header that may stand once stands twice in the request");
  }
  if (!head->host || !names_us(head->host, port)) {
    return lw_web_refuse(fault, 421, LW_INVALID,
                         "this server answers as 127.0.0.1:%u and localhost:%u only, not as "
                         "'%.100s'",
                         port, port, head->host ? head->host : "");
  }
  if (api && !site_is_ours(head->fetch_site)) {
    return lw_web_refuse(fault, 403, LW_INVALID,
                         "the request was made by a page elsewhere "
                         "(Sec-Fetch-Site: %.40s); open Lakeward's own page",
                         head->fetch_site);
  }
  return check_method(head, api, fault) && check_length(head, fault) &&
         (!lw_web_method_writes(head->method) || check_write(head, port, fault));
}
