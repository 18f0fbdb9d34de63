/* SPDX-License-Identifier: Apache-2.0 */
/* From an answer to bytes on the connection, with the headers every answer carries. */
#ifndef LW_WEB_REPLY_H
#define LW_WEB_REPLY_H

#include "web/assets.h"
#include "web/checks.h"
#include "web/mhd.h"

#include <jansson.h>
#include <stdbool.h>
#include <stddef.h>

/* All return what the access handler returns: MHD_NO only when the answer could not be queued, and
 * the connection is then closed. */

/* Releases `json`. */
enum MHD_Result lw_web_reply_json(const lw_mhd_table *mhd, struct MHD_Connection *connection, int http_status,
                                  json_t *json);

/* {"error":{"id":...,"message":...,"field":null}} with fault->http_status. */
enum MHD_Result lw_web_reply_fault(const lw_mhd_table *mhd, struct MHD_Connection *connection,
                                   const lw_web_fault *fault);

/* The asset, packed where the client takes that, or 304 where it has it already. */
enum MHD_Result lw_web_reply_asset(const lw_mhd_table *mhd, struct MHD_Connection *connection,
                                   const lw_asset *asset, const lw_web_head *head);

#endif
