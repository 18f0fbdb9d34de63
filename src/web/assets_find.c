/* SPDX-License-Identifier: Apache-2.0 */
#include "web/assets.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

static int compare_path(const void *path, const void *asset)
{
  return strcmp(path, ((const lw_asset *)asset)->path);
}

const lw_asset *lw_asset_find(const char *path)
{
  return bsearch(path, lw_assets, lw_asset_count, sizeof *lw_assets, compare_path);
}

/* The weight of one coding (";q=0.5" at `at`) is nothing: "0", "0.", "0.000". */
static bool weight_is_zero(const char *at, const char *end)
{
  while (at < end && strchr("; \t", *at)) {
    at++;
  }
  if (end - at < 3 || (at[0] != 'q' && at[0] != 'Q') || at[1] != '=') {
    return false;
  }
  for (at += 2; at < end; at++) {
    if (*at >= '1' && *at <= '9') {
      return false;
    }
  }
  return true;
}

bool lw_accepts_gzip(const char *accept_encoding)
{
  bool star = false;
  for (const char *p = accept_encoding; p && *p;) {
    p += strspn(p, ", \t");
    size_t whole = strcspn(p, ",");
    size_t name = strcspn(p, ",; \t");
    bool wanted = !weight_is_zero(p + name, p + whole);
    if (name == 4 && strncasecmp(p, "gzip", 4) == 0) {
      return wanted;
    }
    star = star || (name == 1 && *p == '*' && wanted);
    p += whole;
  }
  return star;
}

bool lw_etag_is_named(const char *if_none_match, const char *etag)
{
  size_t n = strlen(etag);
  for (const char *p = if_none_match; p && *p;) {
    p += strspn(p, ", \t");
    if (strncmp(p, "W/", 2) == 0) {
      p += 2; /* a weak comparison: RFC 9110, 13.1.2 */
    }
    size_t length = strcspn(p, ", \t");
    if ((length == n && strncmp(p, etag, n) == 0) || (length == 1 && *p == '*')) {
      return true;
    }
    p += length;
  }
  return false;
}
