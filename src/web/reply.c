/* SPDX-License-Identifier: Apache-2.0 */
#include "web/reply.h"

#include <stdlib.h>
#include <string.h>

#define JSON_TYPE "application/json; charset=utf-8"

typedef struct header {
  const char *name, *value;
} header;

/* The page may load and call only this server, holds no inline script or style, and may stand in
 * nobody's frame; nobody else's page may load anything from here. */
static const header everywhere[] = {
    {"Content-Security-Policy", "default-src 'self'; object-src 'none'; base-uri 'none'; "
                                "form-action 'self'; frame-ancestors 'none'"},
    {"X-Content-Type-Options", "nosniff"},
    {"Referrer-Policy", "no-referrer"},
    {"Cross-Origin-Resource-Policy", "same-origin"},
    {"Cross-Origin-Opener-Policy", "same-origin"},
};

/* Adds the headers (those without a value are left out), queues and releases the response. */
static enum MHD_Result queue(const lw_mhd_table *mhd, struct MHD_Connection *connection, int http_status,
                             struct MHD_Response *response, const header *own, size_t own_count)
{
  if (!response) {
    return MHD_NO;
  }
  enum MHD_Result good = MHD_YES;
  for (size_t i = 0; i < sizeof everywhere / sizeof *everywhere && good == MHD_YES; i++) {
    good = mhd->MHD_add_response_header(response, everywhere[i].name, everywhere[i].value);
  }
  for (size_t i = 0; i < own_count && good == MHD_YES; i++) {
    if (own[i].value) {
      good = mhd->MHD_add_response_header(response, own[i].name, own[i].value);
    }
  }
  if (good == MHD_YES) {
    good = mhd->MHD_queue_response(connection, (unsigned)http_status, response);
  }
  mhd->MHD_destroy_response(response);
  return good;
}

static enum MHD_Result send_json(const lw_mhd_table *mhd, struct MHD_Connection *connection, int http_status,
                                 const char *allow, json_t *json)
{
  /* 15 digits: every decimal a person wrote comes back as written. */
  char *text = json ? json_dumps(json, JSON_COMPACT | JSON_REAL_PRECISION(15)) : NULL;
  json_decref(json);
  if (!text) {
    return MHD_NO;
  }
  struct MHD_Response *response =
      mhd->MHD_create_response_from_buffer(strlen(text), text, MHD_RESPMEM_MUST_FREE);
  if (!response) {
    free(text);
  }
  const header own[] = {{"Content-Type", JSON_TYPE}, {"Cache-Control", "no-store"}, {"Allow", allow}};
  return queue(mhd, connection, http_status, response, own, sizeof own / sizeof *own);
}

enum MHD_Result lw_web_reply_json(const lw_mhd_table *mhd, struct MHD_Connection *connection, int http_status,
                                  json_t *json)
{
  return send_json(mhd, connection, http_status, NULL, json);
}

enum MHD_Result lw_web_reply_fault(const lw_mhd_table *mhd, struct MHD_Connection *connection,
                                   const lw_web_fault *fault)
{
  json_t *json = json_pack("{s:{s:s, s:s, s:n}}", "error", "id", lw_status_id(fault->error.status), "message",
                           fault->error.message, "field");
  return send_json(mhd, connection, fault->http_status, fault->allow, json);
}

enum MHD_Result lw_web_reply_asset(const lw_mhd_table *mhd, struct MHD_Connection *connection,
                                   const lw_asset *asset, const lw_web_head *head)
{
  bool packed = asset->gzip_bytes && lw_accepts_gzip(head->accept_encoding);
  const char *etag = packed ? asset->gzip_etag : asset->etag;
  const void *bytes = packed ? asset->gzip_bytes : asset->bytes;
  size_t length = packed ? asset->gzip_length : asset->length;
  bool has_it = asset->http_status == 200 && lw_etag_is_named(head->if_none_match, etag);
  if (has_it) {
    length = 0;
    packed = false;
  }
  /* The library takes the bytes as not const, and leaves persistent ones alone. */
  void *body = NULL;
  memcpy(&body, &bytes, sizeof body);
  const header own[] = {
      {"Content-Type", has_it ? NULL : asset->type},
      {"Cache-Control", asset->http_status == 200 ? "no-cache" : "no-store"},
      {"ETag", etag},
      {"Vary", asset->gzip_bytes ? "Accept-Encoding" : NULL},
      {"Content-Encoding", packed ? "gzip" : NULL},
  };
  return queue(mhd, connection, has_it ? 304 : asset->http_status,
               mhd->MHD_create_response_from_buffer(length, body, MHD_RESPMEM_PERSISTENT), own,
               sizeof own / sizeof *own);
}
