/* SPDX-License-Identifier: Apache-2.0 */
/* Status and messages. Every function that can fail returns an lw_status and, when given an
 * lw_error, leaves a sentence in it that names the field, the value, what was expected and what
 * to do. Set where the fault is known, passed up unchanged, shown once by cli/ or web/.
 * Nothing here prints, aborts or keeps global state. */
#ifndef LW_BASE_STATUS_H
#define LW_BASE_STATUS_H

#include <stddef.h>

/* code, stable text id, process exit code */
#define LW_STATUS_LIST(X)                                                                                    \
  X(LW_OK, "ok", 0)                                                                                          \
  X(LW_INVALID, "invalid", 2)     /* the person's input cannot be right as given */                          \
  X(LW_NOT_FOUND, "not-found", 2) /* the named thing does not exist */                                       \
  X(LW_CONFLICT, "conflict", 2)   /* it exists already, or changed under us */                               \
  X(LW_LIMIT, "limit", 2)         /* larger than Lakeward accepts */                                         \
  X(LW_CORRUPT, "corrupt", 2)     /* a file is not what it should be */                                      \
  X(LW_IO, "io", 1)               /* reading or writing failed */                                            \
  X(LW_BUSY, "busy", 1)           /* another program holds the store */                                      \
  X(LW_MEMORY, "memory", 1)       /* no memory */                                                            \
  X(LW_INTERNAL, "internal", 1)   /* a fault of ours */

#define LW_STATUS_ENUM(code, id, exit_code) code,
typedef enum lw_status { LW_STATUS_LIST(LW_STATUS_ENUM) LW_STATUS_COUNT } lw_status;
#undef LW_STATUS_ENUM

#define LW_MUST_CHECK __attribute__((warn_unused_result))
#define LW_PRINTF(fmt, args) __attribute__((format(printf, fmt, args)))

enum { LW_MESSAGE_MAX = 640, LW_PATH_MAX = 256 };

/* One fault, in the person's terms. `file`, `line`, `column` are for readers of files; line and
 * column count from 1, 0 means 'not about a place in a file'. */
typedef struct lw_error {
  lw_status status;
  char message[LW_MESSAGE_MAX];
  char file[LW_PATH_MAX];
  long line, column;
} lw_error;

/* Records the fault and returns `status`, so that `return lw_fail(...)` reads well. `err` may be
 * NULL. An over-long message is cut at a character boundary. */
lw_status lw_fail(lw_error *err, lw_status status, const char *format, ...) LW_PRINTF(3, 4);

/* As lw_fail, at a place in a file. `file` may be NULL to keep the one already set. */
lw_status lw_fail_at(lw_error *err, lw_status status, const char *file, long line, long column,
                     const char *format, ...) LW_PRINTF(6, 7);

/* Puts 'prefix: ' before the message already in `err` (ignored where err is NULL or clean). */
void lw_error_prefix(lw_error *err, const char *format, ...) LW_PRINTF(2, 3);

/* Stable text id ("invalid"), and the exit code of a process that ends with this status. */
const char *lw_status_id(lw_status status);
int lw_status_exit_code(lw_status status);

#endif
