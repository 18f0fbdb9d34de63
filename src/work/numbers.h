/* SPDX-License-Identifier: Apache-2.0 */
/* Sets of soundings by their numbers, as people write them and surveys keep them: "3,17-20". */
#ifndef LW_WORK_NUMBERS_H
#define LW_WORK_NUMBERS_H

#include "base/arena.h"
#include "base/status.h"

#include <stddef.h>

typedef struct lw_number_range {
  size_t first, last; /* both belong to it; from 1 */
} lw_number_range;

/* Ascending, with a gap between one range and the next. */
typedef struct lw_numbers {
  lw_number_range *ranges; /* in the arena */
  size_t count;
} lw_numbers;

enum { LW_NUMBERS_RANGES = 20000 };

/* Numbers and ranges with commas or blanks between them, in any order, also repeated; "" is none.
 * LW_INVALID names `field` and what cannot be read, and a number past `most`; LW_LIMIT past
 * LW_NUMBERS_RANGES pieces. */
LW_MUST_CHECK lw_status lw_numbers_parse(lw_numbers *out, const char *field, const char *text, size_t most,
                                         lw_arena *arena, lw_error *err);

/* All that are in a or in b; all of a that are not in b. LW_MEMORY. */
LW_MUST_CHECK lw_status lw_numbers_join(lw_numbers *out, const lw_numbers *a, const lw_numbers *b,
                                        lw_arena *arena, lw_error *err);
LW_MUST_CHECK lw_status lw_numbers_without(lw_numbers *out, const lw_numbers *a, const lw_numbers *b,
                                           lw_arena *arena, lw_error *err);

/* How many numbers it holds. */
size_t lw_numbers_size(const lw_numbers *numbers);

/* "3,17-20", "" for none, in the arena. LW_LIMIT past what a survey keeps (200,000 characters). */
LW_MUST_CHECK lw_status lw_numbers_text(const char **out, const lw_numbers *numbers, lw_arena *arena,
                                        lw_error *err);

#endif
