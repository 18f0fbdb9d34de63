/* SPDX-License-Identifier: Apache-2.0 */
/* The page on this machine. */
#include "cli/commands.h"

#include "web/server.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>

static volatile sig_atomic_t stop_wanted; /* written by the signal handler only */

static void on_signal(int number)
{
  (void)number;
  stop_wanted = 1;
}

static void on_bound(void *user, const char *address, uint16_t port)
{
  (void)user;
  (void)port;
  (void)printf("Lakeward is at %s (this machine only). Stop with Ctrl-C.\n", address);
  (void)fflush(stdout);
}

static lw_status read_port(uint16_t *out, const char *text, lw_error *err)
{
  char *end = NULL;
  long port = text ? strtol(text, &end, 10) : 0;
  if (text && (end == text || *end || port < 0 || port > 65535)) {
    return lw_fail(err, LW_INVALID, "--port: '%.40s' is not a port from 0 to 65535", text);
  }
  *out = (uint16_t)port;
  return LW_OK;
}

static lw_status run_serve(cli_call *call, lw_error *err)
{
  const struct sigaction action = {.sa_handler = on_signal};
  lw_web_options options = {.store_path = call->store_path,
                            .geo_program = call->desk.geo_program,
                            .bound = on_bound,
                            .stop = &stop_wanted};
  const char *fixed = getenv("LAKEWARD_TODAY");
  options.day_is_fixed = fixed && *fixed;
  options.fixed_day = call->desk.today;
  lw_status s = read_port(&options.port, cli_option_text(call, "port"), err);
  if (s != LW_OK) {
    return s;
  }
  (void)sigaction(SIGINT, &action, NULL);
  (void)sigaction(SIGTERM, &action, NULL);
  return lw_web_serve(&options, err);
}

static const cli_option options_of_serve[] = {{"port", "N", "the port (default: a free one)"},
                                              {NULL, NULL, NULL}};

const cli_command cli_serve = {
    "serve",   "",       "Serve the page on 127.0.0.1 and print its address.", options_of_serve, 0, 0,
    CLI_STORE, run_serve};
