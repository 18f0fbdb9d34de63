/* SPDX-License-Identifier: Apache-2.0 */
/* The callbacks that the HTTP library calls on a connection's thread. `cls` is the lw_web_server. */
#ifndef LW_WEB_HANDLER_H
#define LW_WEB_HANDLER_H

#include "web/mhd.h"

#include <stddef.h>

void lw_web_on_connection(void *cls, struct MHD_Connection *connection, void **socket_context,
                          enum MHD_ConnectionNotificationCode code);
void *lw_web_on_target(void *cls, const char *raw, struct MHD_Connection *connection);
enum MHD_Result lw_web_on_request(void *cls, struct MHD_Connection *connection, const char *url,
                                  const char *method, const char *version, const char *upload,
                                  size_t *upload_size, void **con_cls);
void lw_web_on_completed(void *cls, struct MHD_Connection *connection, void **con_cls,
                         enum MHD_RequestTerminationCode code);

/* Leaves escapes alone: web/target.h reads the raw target. */
size_t lw_web_unescape_nothing(void *cls, struct MHD_Connection *connection, char *text);

#endif
