/* SPDX-License-Identifier: Apache-2.0 */
/* Counter-based random numbers (Philox4x32-10 of Random123: Salmon, Moraes, Dror & Shaw 2011, SC11).
 * A draw is a function of (seed, stream, index): same seed, same answer, whatever the thread count
 * or the order of asking. No state to share or lock. */
#ifndef LW_BASE_RANDOM_H
#define LW_BASE_RANDOM_H

#include <stdint.h>

typedef struct lw_random {
  uint64_t seed;
  uint32_t stream; /* one per purpose: water, member, quantity ... */
} lw_random;

/* Four 32-bit words of block `index`. */
void lw_random_words(const lw_random *random, uint64_t index, uint32_t out[4]);

/* Uniform in the open interval (0, 1); 52 bits. */
double lw_random_uniform(const lw_random *random, uint64_t index);

/* Standard normal (Box & Muller 1958). */
double lw_random_normal(const lw_random *random, uint64_t index);

#endif
