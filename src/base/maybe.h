/* SPDX-License-Identifier: Apache-2.0 */
/* A number that may be missing. Lakeward never stands NaN or 0 for 'not measured'. */
#ifndef LW_BASE_MAYBE_H
#define LW_BASE_MAYBE_H

#include <stdbool.h>

typedef struct lw_maybe {
  double value; /* 0 when not known */
  bool known;
} lw_maybe;

static inline lw_maybe lw_known(double value)
{
  return (lw_maybe){.value = value, .known = true};
}

static inline double lw_or(lw_maybe maybe, double otherwise)
{
  return maybe.known ? maybe.value : otherwise;
}

#endif
