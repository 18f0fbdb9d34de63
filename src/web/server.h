/* SPDX-License-Identifier: Apache-2.0 */
/* The HTTP server of Lakeward: the page and the JSON API of one store, for the person at this
 * machine only. It listens on 127.0.0.1 and nowhere else, answers only requests that name it as
 * their host, takes writes only from its own page or from programs that are no page, and serves
 * only what was embedded at build time: no path reaches the file system.
 *
 * Every answer under /api comes from lw_api_answer (work/api.h); web/ holds no science and no use
 * case. docs/openapi.json describes the API and is served at /api/openapi.json.
 *
 * Threads: one a connection, at most `connections` of them (more are closed or wait to be taken); a
 * few store handles are lent out, one to a request, so that requests run side by side. lw_web_serve
 * may run more than once in a process, also at the same time, each on its own port. */
#ifndef LW_WEB_SERVER_H
#define LW_WEB_SERVER_H

#include "base/dates.h"
#include "base/status.h"

#include <signal.h>
#include <stdbool.h>
#include <stdint.h>

/* Tells the local date of today and the instant. Called from several threads at once. */
typedef void lw_web_clock(void *user, lw_day *today, lw_instant *now);

/* Told once, when requests are taken: "http://127.0.0.1:8123/" and the port. */
typedef void lw_web_bound(void *user, const char *address, uint16_t port);

typedef struct lw_web_options {
  const char *store_path;  /* an existing store */
  uint16_t port;           /* 0: a free one is picked */
  const char *geo_program; /* path of lakeward-geo handed to the API, or NULL */
  lw_web_bound *bound;     /* may be NULL */
  void *bound_user;
  const volatile sig_atomic_t *stop; /* becomes non-zero when the server shall end; required */
  lw_web_clock *clock;               /* NULL: this machine's clock and time zone */
  void *clock_user;
  bool day_is_fixed; /* today is `fixed_day` whatever the clock says */
  lw_day fixed_day;
  unsigned timeout_s;   /* a request must have arrived within this; 0: 30. 1-3600 */
  unsigned connections; /* at the same time; 0: 64. 1-1024 */
} lw_web_options;

/* Serves until *stop, then lets running requests end (at most five seconds) and returns LW_OK.
 * Blocks. The store is opened once before the port, so that a missing or broken file is told here
 * with the store's own status. LW_CONFLICT: the port is taken. LW_NOT_FOUND: no store, or the HTTP
 * library is not installed. LW_IO: no socket. LW_INVALID: options out of range. Signals sent to
 * the process are left to the calling thread; its threads block them all. */
LW_MUST_CHECK lw_status lw_web_serve(const lw_web_options *options, lw_error *err);

#endif
