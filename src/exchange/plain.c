/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/plain.h"

#include "base/text.h"

#include <stdbool.h>
#include <string.h>

void lw_make_plain(char *text)
{
  size_t left = strlen(text);
  for (char *at = text; left;) {
    unsigned char c = (unsigned char)*at;
    size_t n = c < 0x80u ? 1 : c >= 0xF0u ? 4 : c >= 0xE0u ? 3 : 2;
    if (c == '\n' || c == '\r' || c == '\t') {
      *at = ' ';
    } else if (n > left || !lw_text_is_clean(at, n)) {
      *at = '?';
      n = 1;
    }
    at += n;
    left -= n;
  }
  for (size_t n = strlen(text); n && text[n - 1] == ' '; n--) {
    text[n - 1] = '\0';
  }
}

const char *lw_excerpt(const char *text, char out[LW_EXCERPT])
{
  static const char dots[] = "...";
  size_t n = strlen(text);
  bool cut = n > LW_EXCERPT - 1;
  n = cut ? LW_EXCERPT - sizeof dots : n;
  while (cut && n && ((unsigned char)text[n] & 0xC0u) == 0x80u) {
    n--;
  }
  memcpy(out, text, n);
  memcpy(out + n, dots, cut ? sizeof dots : 0);
  out[cut ? n + sizeof dots - 1 : n] = '\0';
  lw_make_plain(out);
  return out;
}
