/* SPDX-License-Identifier: Apache-2.0 */
/* The arena: aligned zeroed pieces that do not overlap, a maximum that holds, sizes that cannot wrap. */
#include "check.h"

#include "base/arena.h"

#include <stdlib.h>

static void gives_aligned_zeroed_pieces(void **state)
{
  (void)state;
  enum { PIECES = 2000 };
  lw_arena *arena = lw_arena_new(0);
  unsigned char *pieces[PIECES];
  for (size_t i = 0; i < PIECES; i++) {
    size_t size = i * 37 % 1500;
    pieces[i] = lw_arena_alloc(arena, size, 1);
    assert_non_null(pieces[i]);
    assert_int_equal((uintptr_t)pieces[i] % _Alignof(max_align_t), 0);
    for (size_t k = 0; k < size; k++) {
      assert_int_equal(pieces[i][k], 0);
    }
    memset(pieces[i], (int)(i % 251) + 1, size);
  }
  for (size_t i = 0; i < PIECES; i++) { /* nothing written later ran into it */
    for (size_t k = 0; k < i * 37 % 1500; k++) {
      assert_int_equal(pieces[i][k], i % 251 + 1);
    }
  }
  lw_arena_free(arena);
}

static void gives_something_for_nothing(void **state)
{
  (void)state;
  lw_arena *arena = lw_arena_new(0);
  void *a = lw_arena_alloc(arena, 0, 8);
  void *b = lw_arena_alloc(arena, 8, 0);
  assert_non_null(a);
  assert_non_null(b);
  assert_ptr_not_equal(a, b);
  assert_non_null(LW_NEW(arena, double, 3));
  lw_arena_free(arena);
  lw_arena_free(NULL);
}

static void refuses_sizes_that_wrap(void **state)
{
  (void)state;
  lw_arena *arena = lw_arena_new(SIZE_MAX);
  assert_null(lw_arena_alloc(arena, SIZE_MAX, 2));
  assert_null(lw_arena_alloc(arena, SIZE_MAX / 2 + 1, 2));
  assert_null(lw_arena_alloc(arena, 3, SIZE_MAX / 2));
  assert_null(lw_arena_alloc(arena, SIZE_MAX, 1));
  assert_null(lw_arena_alloc(arena, 1, SIZE_MAX - 15));
  assert_null(lw_arena_copy_n(arena, "x", SIZE_MAX));
  assert_non_null(lw_arena_alloc(arena, 1, 1)); /* and goes on after a refusal */
  lw_arena_free(arena);
}

/* How much a new arena of `max` bytes hands out in pieces of `size`. */
static size_t handed_out(size_t max, size_t size)
{
  lw_arena *arena = lw_arena_new(max);
  size_t sum = 0;
  while (lw_arena_alloc(arena, size, 1)) {
    sum += size;
    assert_true(sum <= max);
  }
  lw_arena_free(arena);
  return sum;
}

static void hands_out_no_more_than_its_maximum(void **state)
{
  (void)state;
  assert_int_equal(handed_out(64, 16), 64);
  assert_int_equal(handed_out(15, 1), 0); /* not one aligned piece */
  assert_int_equal(handed_out(1 << 20, 1 << 20), 1 << 20);
  assert_int_equal(handed_out(1 << 20, (1 << 20) + 1), 0);
  size_t sum = handed_out(1 << 20, 4096);
  assert_in_range(sum, (1 << 20) - 3 * 4096, 1 << 20);
  sum = handed_out(100000, 16);
  assert_in_range(sum, 100000 - 4096, 100000);
}

static void copies_and_formats_text(void **state)
{
  (void)state;
  lw_arena *arena = lw_arena_new(0);
  char typed[] = "Upper Sedge";
  char *copy = lw_arena_copy(arena, typed);
  typed[0] = 'x';
  assert_string_equal(copy, "Upper Sedge");
  assert_string_equal(lw_arena_copy(arena, ""), "");
  assert_null(lw_arena_copy(arena, NULL));
  assert_null(lw_arena_copy_n(arena, NULL, 3));
  assert_string_equal(lw_arena_copy_n(arena, "Heron Pool", 5), "Heron");
  assert_string_equal(lw_arena_copy_n(arena, "", 0), "");
  assert_string_equal(lw_arena_format(arena, "%d in %s", 40, "Long Run"), "40 in Long Run");
  assert_string_equal(lw_arena_format(arena, "%s", ""), "");
  char *wide = lw_arena_format(arena, "%50000d", 7);
  assert_int_equal(strlen(wide), 50000);
  assert_int_equal(wide[49999], '7');
  lw_arena_free(arena);
}

static void fails_text_beyond_the_maximum(void **state)
{
  (void)state;
  lw_arena *arena = lw_arena_new(64);
  assert_null(lw_arena_format(arena, "%100d", 1));
  assert_null(lw_arena_copy_n(arena, "0123456789012345678901234567890123456789012345678901234567890123", 64));
  assert_string_equal(lw_arena_copy(arena, "fits"), "fits");
  lw_arena_free(arena);
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(gives_aligned_zeroed_pieces), cmocka_unit_test(gives_something_for_nothing),
      cmocka_unit_test(refuses_sizes_that_wrap),     cmocka_unit_test(hands_out_no_more_than_its_maximum),
      cmocka_unit_test(copies_and_formats_text),     cmocka_unit_test(fails_text_beyond_the_maximum),
  };
  return cmocka_run_group_tests_name("base arena", tests, NULL, NULL);
}
