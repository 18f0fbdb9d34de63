/* SPDX-License-Identifier: Apache-2.0 */
#include "base/utf8.h"

size_t lw_utf8_length(const char *text, size_t left)
{
  const unsigned char *s = (const unsigned char *)text;
  if (s[0] < 0x80u) {
    return 1;
  }
  size_t n = s[0] >= 0xF0u ? 4 : s[0] >= 0xE0u ? 3 : 2;
  if (s[0] < 0xC2u || s[0] > 0xF4u || left < n) {
    return 0;
  }
  for (size_t i = 1; i < n; i++) {
    if ((s[i] & 0xC0u) != 0x80u) {
      return 0;
    }
  }
  bool overlong = (s[0] == 0xE0u && s[1] < 0xA0u) || (s[0] == 0xF0u && s[1] < 0x90u);
  bool out_of_range = (s[0] == 0xEDu && s[1] > 0x9Fu) || (s[0] == 0xF4u && s[1] > 0x8Fu);
  return overlong || out_of_range ? 0 : n;
}

bool lw_utf8_is_control(const char *text, size_t length)
{
  const unsigned char *s = (const unsigned char *)text;
  return (length == 1 && (s[0] < 0x20u || s[0] == 0x7Fu)) || (length == 2 && s[0] == 0xC2u && s[1] < 0xA0u);
}
