/* SPDX-License-Identifier: Apache-2.0 */
#include "web/target.h"

#include "base/text.h"

#include <stdbool.h>
#include <string.h>

/* A piece of the target, not NUL-terminated. */
typedef struct piece {
  const char *text;
  size_t length;
} piece;

static int hex_digit(char c)
{
  if (c >= '0' && c <= '9') {
    return c - '0';
  }
  if (c >= 'a' && c <= 'f') {
    return c - 'a' + 10;
  }
  return c >= 'A' && c <= 'F' ? c - 'A' + 10 : -1;
}

/* The escape at `at` ("%2f"); -1 when it is broken. */
static int escape(const char *at, const char *end)
{
  if (end - at < 3) {
    return -1;
  }
  int high = hex_digit(at[1]);
  int low = hex_digit(at[2]);
  return high < 0 || low < 0 ? -1 : high * 16 + low;
}

static lw_status decode(char **out, const char *what, piece from, bool plus_is_space, lw_arena *arena,
                        lw_error *err)
{
  char *to = lw_arena_alloc(arena, from.length + 1, 1);
  if (!to) {
    return lw_fail(err, LW_MEMORY, "no memory to read the request");
  }
  *out = to;
  const char *end = from.text + from.length;
  for (const char *p = from.text; p < end;) {
    int c = (unsigned char)*p;
    if (c == '%') {
      c = escape(p, end);
      p += 3;
    } else {
      c = plus_is_space && c == '+' ? ' ' : (c == ' ' ? -1 : c);
      p++;
    }
    if (c < 0x20 || c == 0x7f) {
      return lw_fail(err, LW_INVALID,
                     "the %s of the address holds a broken %% escape, a blank or a "
                     "control character; escape it once, as %%20 for a blank",
                     what);
    }
    *to++ = (char)c;
  }
  if (!lw_text_is_clean(*out, (size_t)(to - *out))) {
    return lw_fail(err, LW_INVALID, "the %s of the address is not UTF-8 text", what);
  }
  return LW_OK;
}

/* "", "." and ".." as segments, and characters another program could take for a separator. */
static bool path_is_plain(const char *path)
{
  for (const char *p = path; *p;) {
    const char *segment = p + 1;
    size_t n = strcspn(segment, "/");
    bool last = segment[n] == '\0';
    bool dots = (n == 1 && segment[0] == '.') || (n == 2 && segment[0] == '.' && segment[1] == '.');
    if (dots || (n == 0 && !last)) {
      return false;
    }
    p = segment + n;
  }
  return !strchr(path, '\\');
}

static lw_status read_path(lw_web_target *out, piece raw, lw_arena *arena, lw_error *err)
{
  for (size_t i = 0; i + 2 < raw.length; i++) {
    if (raw.text[i] == '%' && escape(raw.text + i, raw.text + raw.length) == '/') {
      return lw_fail(err, LW_INVALID,
                     "the path of the address holds an escaped slash; no path here "
                     "needs one");
    }
  }
  char *path = NULL;
  lw_status s = decode(&path, "path", raw, false, arena, err);
  if (s != LW_OK) {
    return s;
  }
  if (path[0] != '/' || !path_is_plain(path)) {
    return lw_fail(err, LW_INVALID,
                   "the path '%.100s' must begin with one '/' and may hold no '//', "
                   "'.', '..' or backslash",
                   path);
  }
  out->path = path;
  return LW_OK;
}

static lw_status read_pair(lw_web_target *out, piece pair, lw_arena *arena, lw_error *err)
{
  if (out->count == LW_WEB_QUERY_MAX) {
    return lw_fail(err, LW_LIMIT, "the address has more than %d query keys; ask with fewer",
                   LW_WEB_QUERY_MAX);
  }
  const char *equals = memchr(pair.text, '=', pair.length);
  size_t key_length = equals ? (size_t)(equals - pair.text) : pair.length;
  piece value = {"", 0};
  if (equals) {
    value = (piece){equals + 1, pair.length - key_length - 1};
  }
  char *key = NULL;
  char *text = NULL;
  lw_status s = decode(&key, "query", (piece){pair.text, key_length}, true, arena, err);
  if (s == LW_OK) {
    s = decode(&text, "query", value, true, arena, err);
  }
  if (s != LW_OK) {
    return s;
  }
  if (!*key) {
    return lw_fail(err, LW_INVALID, "the query of the address has a value without a key ('=%.60s')", text);
  }
  out->keys[out->count] = key;
  out->values[out->count] = text;
  out->count++;
  return LW_OK;
}

lw_status lw_web_target_read(lw_web_target *out, const char *raw, lw_arena *arena, lw_error *err)
{
  *out = (lw_web_target){.path = "/"};
  size_t length = strlen(raw);
  if (length > LW_WEB_TARGET_MAX) {
    return lw_fail(err, LW_LIMIT, "the address is %zu bytes long; at most %d are taken", length,
                   LW_WEB_TARGET_MAX);
  }
  size_t path_length = strcspn(raw, "?");
  lw_status s = read_path(out, (piece){raw, path_length}, arena, err);
  const char *p = raw + path_length;
  while (s == LW_OK && *p) {
    p++; /* past '?' or '&' */
    size_t n = strcspn(p, "&");
    if (n) {
      s = read_pair(out, (piece){p, n}, arena, err);
    }
    p += n;
  }
  return s;
}
