/* SPDX-License-Identifier: Apache-2.0 */
/* Any bytes as the text of soundings: what is accepted is written again byte for byte. */
#include "soundings.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
  lw_arena *arena = lw_arena_new((size_t)64 << 20);
  lw_fix *fixes = NULL;
  size_t count = 0;
  char *text = NULL;
  size_t length = 0;
  lw_error err = {0};
  CHECK(arena);
  if (lw_fixes_parse(&fixes, &count, (const char *)data, size, arena, &err) == LW_OK) {
    CHECK(lw_fixes_write(&text, &length, fixes, count, arena, &err) == LW_OK);
    CHECK(length == size && memcmp(text, data, size) == 0);
  } else {
    CHECK(err.message[0] && lw_text_is_clean(err.message, strlen(err.message)));
  }
  lw_arena_free(arena);
  return 0;
}
