/* SPDX-License-Identifier: Apache-2.0 */
/* A small HTTP load generator for the benchmarks: kept connections on the loopback address, one
 * request after the other on each, every answer read whole. */
#ifndef LW_BENCH_HTTP_LOAD_H
#define LW_BENCH_HTTP_LOAD_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef struct http_load {
  uint16_t port;
  const char *target;   /* "/api/version" */
  unsigned connections; /* 1-64, a thread each */
  double seconds;       /* how long to ask */
} http_load;

typedef struct http_rate {
  size_t answers; /* all with status 200 */
  size_t bytes;   /* of one answer's body */
  double per_second;
  double p50_us, p99_us; /* from sending to the last byte read */
} http_rate;

/* false when a connection failed or an answer was not 200: the figures are then worth nothing. */
bool http_load_run(const http_load *load, http_rate *out);

/* One request with a JSON body (NULL: none) on its own connection; gives the status, 0 on failure. */
int http_load_once(uint16_t port, const char *method, const char *target, const char *body);

#endif
