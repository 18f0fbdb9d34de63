/* SPDX-License-Identifier: Apache-2.0 */
#include "base/random.h"

#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wconversion"
#pragma GCC diagnostic ignored "-Wsign-conversion"
#pragma GCC diagnostic ignored "-Wpedantic"
#pragma GCC diagnostic ignored "-Wshadow"
#include <Random123/philox.h>
#pragma GCC diagnostic pop

#include <math.h>

void lw_random_words(const lw_random *random, uint64_t index, uint32_t out[4])
{
  philox4x32_ctr_t counter = {{(uint32_t)index, (uint32_t)(index >> 32), random->stream, 0x4C414B45u}};
  philox4x32_key_t key = {{(uint32_t)random->seed, (uint32_t)(random->seed >> 32)}};
  philox4x32_ctr_t block = philox4x32(counter, key);
  for (int i = 0; i < 4; i++) {
    out[i] = block.v[i];
  }
}

static double to_uniform(uint32_t high, uint32_t low)
{
  uint64_t bits = ((uint64_t)high << 20) ^ ((uint64_t)low >> 12);
  return ((double)bits + 0.5) * 0x1p-52; /* the half keeps both ends out */
}

double lw_random_uniform(const lw_random *random, uint64_t index)
{
  uint32_t words[4];
  lw_random_words(random, index, words);
  return to_uniform(words[0], words[1]);
}

double lw_random_normal(const lw_random *random, uint64_t index)
{
  uint32_t words[4];
  lw_random_words(random, index, words);
  double u = to_uniform(words[0], words[1]);
  double v = to_uniform(words[2], words[3]);
  return sqrt(-2.0 * log(u)) * cos(6.283185307179586477 * v);
}
