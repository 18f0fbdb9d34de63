/* SPDX-License-Identifier: Apache-2.0 */
/* The functions of libmicrohttpd that web/ uses, opened on first use: a command that serves nothing
 * does not pay for the library (and GnuTLS behind it) at its start. */
#ifndef LW_WEB_MHD_H
#define LW_WEB_MHD_H

#include "base/status.h"

#include <microhttpd.h>

#define LW_MHD_FUNCTIONS(X)                                                                                  \
  X(MHD_start_daemon)                                                                                        \
  X(MHD_quiesce_daemon)                                                                                      \
  X(MHD_stop_daemon)                                                                                         \
  X(MHD_get_connection_info)                                                                                 \
  X(MHD_get_connection_values)                                                                               \
  X(MHD_create_response_from_buffer)                                                                         \
  X(MHD_add_response_header)                                                                                 \
  X(MHD_queue_response)                                                                                      \
  X(MHD_destroy_response)

#define LW_MHD_MEMBER(function) __typeof__(&function) function;
typedef struct lw_mhd_table {
  LW_MHD_FUNCTIONS(LW_MHD_MEMBER)
} lw_mhd_table;
#undef LW_MHD_MEMBER

/* The table, opened once for the process; any thread may ask. LW_NOT_FOUND names the library and
 * the package. *out is never freed. */
LW_MUST_CHECK lw_status lw_mhd(const lw_mhd_table **out, lw_error *err);

#endif
