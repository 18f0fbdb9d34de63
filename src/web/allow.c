/* SPDX-License-Identifier: Apache-2.0 */
#include "web/allow.h"

#include "web/assets.h"

#include <jansson.h>
#include <stdbool.h>
#include <string.h>

/* "/api/waters/{id}" against "/api/waters/3": a braced segment takes any one segment. */
static bool path_fits(const char *pattern, const char *path)
{
  while (*pattern && *path) {
    size_t n = strcspn(pattern + 1, "/") + 1;
    size_t m = strcspn(path + 1, "/") + 1;
    bool any = n > 1 && pattern[1] == '{' && m > 1;
    if (!any && (n != m || strncmp(pattern, path, n) != 0)) {
      return false;
    }
    pattern += n;
    path += m;
  }
  return !*pattern && !*path;
}

static const char *join_methods(const json_t *operations, lw_arena *arena)
{
  static const struct {
    const char *key, *text;
  } methods[] = {
      {"get", "GET, HEAD"}, {"post", "POST"}, {"put", "PUT"}, {"patch", "PATCH"}, {"delete", "DELETE"}};
  const char *out = "";
  for (size_t i = 0; i < sizeof methods / sizeof *methods && out; i++) {
    if (json_object_get(operations, methods[i].key)) {
      out = lw_arena_format(arena, "%s%s%s", out, *out ? ", " : "", methods[i].text);
    }
  }
  return out;
}

const char *lw_web_allow(const char *path, lw_arena *arena)
{
  const lw_asset *asset = lw_asset_find("/api/openapi.json");
  json_t *description = asset ? json_loadb((const char *)asset->bytes, asset->length, 0, NULL) : NULL;
  const char *out = NULL;
  const char *pattern;
  json_t *operations;
  json_object_foreach(json_object_get(description, "paths"), pattern, operations)
  {
    if (!out && path_fits(pattern, path)) {
      out = join_methods(operations, arena);
    }
  }
  json_decref(description);
  return out;
}
