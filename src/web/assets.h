/* SPDX-License-Identifier: Apache-2.0 */
/* The page's files, embedded at build time by tools/embed.py, looked up by exact path only. */
#ifndef LW_WEB_ASSETS_H
#define LW_WEB_ASSETS_H

#include <stdbool.h>
#include <stddef.h>

typedef struct lw_asset {
  const char *path; /* "/app.js" */
  const char *type; /* Content-Type */
  const char *etag; /* with its quotes; of the plain bytes */
  const unsigned char *bytes;
  size_t length;
  const char *gzip_etag; /* of the packed twin; NULL when packing would not make it smaller */
  const unsigned char *gzip_bytes;
  size_t gzip_length;
  int http_status; /* 200; 503 for the notice that stands in for a page that was not built */
} lw_asset;

/* Sorted by path (strcmp). Generated. */
extern const lw_asset lw_assets[];
extern const size_t lw_asset_count;

/* The asset at exactly that path, NULL when there is none. */
const lw_asset *lw_asset_find(const char *path);

/* Whether an Accept-Encoding value (may be NULL) takes gzip. */
bool lw_accepts_gzip(const char *accept_encoding);

/* Whether an If-None-Match value (may be NULL) names this etag. */
bool lw_etag_is_named(const char *if_none_match, const char *etag);

#endif
