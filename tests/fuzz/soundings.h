/* SPDX-License-Identifier: Apache-2.0 */
/* Any bytes as soundings of one format: what is accepted lies on the Earth, is finite, can be kept as text
 * and read again as the same; what is refused is told in a clean sentence. */
#ifndef LW_TESTS_FUZZ_SOUNDINGS_H
#define LW_TESTS_FUZZ_SOUNDINGS_H

#include "fuzz.h"

#include "base/text.h"
#include "exchange/soundings.h"

#include <math.h>
#include <string.h>

static inline void check_fixes(const lw_fixes *got)
{
  CHECK(got->count > 0 && got->count <= LW_SOUNDINGS_MOST && got->format);
  bool any_time = false;
  for (size_t i = 0; i < got->count; i++) {
    const lw_fix *fix = &got->fixes[i];
    CHECK(fabs(fix->longitude) <= 180 && fabs(fix->latitude) <= 90);
    CHECK(fabs(fix->depth_m) <= 12100);
    CHECK(isnan(fix->time_s) || fabs(fix->time_s) < 7.4e9);
    CHECK(fix->track >= -1 && fix->line >= 0);
    any_time = any_time || !isnan(fix->time_s);
  }
  CHECK(any_time == got->has_time);
  CHECK(!got->has_time || got->day != LW_NO_DAY);
}

static inline void check_text(const lw_fixes *got, lw_arena *arena)
{
  char *text = NULL;
  char *again = NULL;
  size_t length = 0;
  size_t again_length = 0;
  lw_fix *back = NULL;
  size_t count = 0;
  lw_error err = {0};
  lw_status status = lw_fixes_write(&text, &length, got->fixes, got->count, arena, &err);
  if (status == LW_INVALID) {
    return; /* the last metre or year that a reader takes and the text does not */
  }
  CHECK(status == LW_OK);
  CHECK(lw_fixes_parse(&back, &count, text, length, arena, &err) == LW_OK && count == got->count);
  CHECK(lw_fixes_write(&again, &again_length, back, count, arena, &err) == LW_OK);
  CHECK(again_length == length && memcmp(again, text, length) == 0);
}

static inline void try_soundings(const char *name, const uint8_t *data, size_t size,
                                 const lw_soundings_how *how)
{
  lw_arena *arena = lw_arena_new((size_t)64 << 20);
  lw_fixes got = {0};
  lw_error err = {0};
  CHECK(arena);
  if (lw_soundings_parse(&got, name, (const char *)data, size, how, arena, &err) == LW_OK) {
    check_fixes(&got);
    check_text(&got, arena);
  } else {
    CHECK(err.message[0] && lw_text_is_clean(err.message, strlen(err.message)));
    CHECK(got.fixes == NULL && err.line >= 0 && err.column >= 0);
  }
  lw_arena_free(arena);
}

#endif
