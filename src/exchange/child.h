/* SPDX-License-Identifier: Apache-2.0 */
/* One child process: started without a shell, fed, listened to, ended in time. Private to exchange. */
#ifndef LW_EXCHANGE_CHILD_H
#define LW_EXCHANGE_CHILD_H

#include "base/status.h"
#include "base/text.h"

#include <signal.h>
#include <stddef.h>

enum { LW_CHILD_OUTPUT = 64 * 1024 * 1024, LW_CHILD_COMPLAINT = 600 };

typedef enum lw_child_end { LW_CHILD_ENDED, LW_CHILD_TIMEOUT, LW_CHILD_TOO_MUCH } lw_child_end;

typedef struct lw_child {
  const char *program;      /* a path; not searched for */
  const char *arguments[6]; /* the program's name first, NULL-ended */
  const char *input;        /* NULL: /dev/null */
  size_t input_length;
  int timeout_ms;
  size_t most_output; /* 0: LW_CHILD_OUTPUT */
  lw_child_end end;
  int wait_status;                        /* of waitpid, when it ended by itself */
  lw_text output;                         /* freed by the caller with lw_text_free */
  char complaint[LW_CHILD_COMPLAINT + 1]; /* the beginning of its standard error */
} lw_child;

/* Runs it to its end. LW_IO when it could not be started; how it ended is in `child`. */
LW_MUST_CHECK lw_status lw_child_run(lw_child *child, lw_error *err);

#endif
