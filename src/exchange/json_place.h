/* SPDX-License-Identifier: Apache-2.0 */
/* Where in a JSON text a value stands. The JSON library tells line and column of a syntax fault
 * only; a fault of meaning ("position 17 has latitude 120") is found again by its path. Private to
 * exchange. */
#ifndef LW_EXCHANGE_JSON_PLACE_H
#define LW_EXCHANGE_JSON_PLACE_H

#include <stdbool.h>
#include <stddef.h>

enum { LW_JSON_PATH = 40 };

/* One step down: into an object by `key`, or, with `key` NULL, into an array by `index`. */
typedef struct lw_json_step {
  const char *key;
  size_t index;
} lw_json_step;

typedef struct lw_json_path {
  lw_json_step steps[LW_JSON_PATH];
  size_t depth;
} lw_json_path;

/* Line and column (from 1, in characters) of the value at `path` in `text`. False, and both 0, when
 * it is not there; text that is not JSON gives some place or none, never a fault. */
bool lw_json_place(const char *text, size_t length, const lw_json_path *path, long *line, long *column);

#endif
