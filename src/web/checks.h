/* SPDX-License-Identifier: Apache-2.0 */
/* What a request must be before anything is done for it. Any page on the web can make the person's
 * browser send requests to 127.0.0.1, under a name of its own choosing: so the host must be ours
 * (421), a write must come from our own page or from no page at all (403), and must say that it is
 * JSON (415), which a page elsewhere cannot send without asking first. */
#ifndef LW_WEB_CHECKS_H
#define LW_WEB_CHECKS_H

#include "base/status.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* The survey of a water comes as one text. */
enum { LW_WEB_BODY_MAX = 1024 * 1024, LW_WEB_SURVEY_MAX = 24 * 1024 * 1024 };

/* The head of a request: header values as they came, NULL where absent. */
typedef struct lw_web_head {
  const char *method;
  const char *host, *origin, *fetch_site, *content_type, *content_length, *transfer_encoding;
  const char *content_encoding, *accept_encoding, *if_none_match;
  bool repeated;   /* one of those that may stand once stood twice */
  size_t body_max; /* of its path: lw_web_body_max */
} lw_web_head;

/* A refusal or a fault on its way to the client. */
typedef struct lw_web_fault {
  int http_status;   /* 0: none */
  const char *allow; /* the Allow header of a 405, or NULL */
  lw_error error;
} lw_web_fault;

/* Fills *fault and returns false, so that `return lw_web_refuse(...)` reads well. */
bool lw_web_refuse(lw_web_fault *fault, int http_status, lw_status id, const char *format, ...)
    LW_PRINTF(4, 5);

/* The HTTP status that says `status` when the API names none. */
int lw_web_http_status(lw_status status);

/* Takes a header if it is one of those in lw_web_head. `name` is compared without case. */
void lw_web_head_take(lw_web_head *head, const char *name, const char *value);

bool lw_web_method_writes(const char *method); /* POST, PUT, PATCH, DELETE */

/* Most bytes of body that a request to this path (with /api) may bring. */
size_t lw_web_body_max(const char *path);

/* Bytes of body the head declares; 0 when none. Only after lw_web_check said yes. */
size_t lw_web_body_length(const lw_web_head *head);

/* All checks that need only the head. `api`: the path is under /api/. true when it may be answered. */
bool lw_web_check(const lw_web_head *head, bool api, uint16_t port, lw_web_fault *fault);

#endif
