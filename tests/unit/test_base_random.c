/* SPDX-License-Identifier: Apache-2.0 */
/* Counter-based random numbers. Philox4x32-10 is written out here a second time from the paper (Salmon,
 * Moraes, Dror & Shaw 2011, "Parallel random numbers: as easy as 1, 2, 3", SC11, section 3.3 and its
 * constants); that copy is held to the known answers of the Random123 distribution (file kat_vectors,
 * release 1.14), and Lakeward's words are held to the copy. Then: are they uniform, normal, independent? */
#include "check.h"

#include "base/random.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

enum { LAKE = 0x4C414B45 }; /* the fourth counter word, fixed */

/* ---- the paper's generator ---- */

static void philox_round(uint32_t c[4], const uint32_t k[2])
{
  uint64_t a = (uint64_t)0xD2511F53u * c[0];
  uint64_t b = (uint64_t)0xCD9E8D57u * c[2];
  uint32_t next[4] = {(uint32_t)(b >> 32) ^ c[1] ^ k[0], (uint32_t)b, (uint32_t)(a >> 32) ^ c[3] ^ k[1],
                      (uint32_t)a};
  memcpy(c, next, sizeof next);
}

static void philox(const uint32_t counter[4], const uint32_t key[2], uint32_t out[4])
{
  uint32_t k[2] = {key[0], key[1]};
  memcpy(out, counter, 4 * sizeof *out);
  for (int round = 0; round < 10; round++) {
    philox_round(out, k);
    k[0] += 0x9E3779B9u; /* the golden ratio's digits, and those of the square root of 3 less 1 */
    k[1] += 0xBB67AE85u;
  }
}

static void meets_the_known_answers(void **state)
{
  (void)state;
  static const struct {
    uint32_t counter[4], key[2], want[4];
  } vectors[] = {{{0, 0, 0, 0}, {0, 0}, {0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8}},
                 {{0xffffffff, 0xffffffff, 0xffffffff, 0xffffffff},
                  {0xffffffff, 0xffffffff},
                  {0x408f276d, 0x41c83b0e, 0xa20bc7c6, 0x6d5451fd}},
                 {{0x243f6a88, 0x85a308d3, 0x13198a2e, 0x03707344},
                  {0xa4093822, 0x299f31d0},
                  {0xd16cfe09, 0x94fdcceb, 0x5001e420, 0x24126ea1}}};
  for (size_t i = 0; i < COUNT(vectors); i++) {
    uint32_t got[4];
    philox(vectors[i].counter, vectors[i].key, got);
    assert_memory_equal(got, vectors[i].want, sizeof got);
  }
}

static void gives_the_words_of_the_paper(void **state)
{
  (void)state;
  static const uint64_t seeds[] = {0, 1, 20260415, 0xffffffffffffffff, 0x243f6a8885a308d3};
  static const uint32_t streams[] = {0, 1, 7, 0xffffffff};
  static const uint64_t indices[] = {
      0, 1, 2, 0xffffffff, 0x100000000, 0xdeadbeefcafef00d, 0xffffffffffffffff};
  for (size_t i = 0; i < COUNT(seeds) * COUNT(streams) * COUNT(indices); i++) {
    uint64_t seed = seeds[i % COUNT(seeds)];
    uint32_t stream = streams[i / COUNT(seeds) % COUNT(streams)];
    uint64_t index = indices[i / (COUNT(seeds) * COUNT(streams))];
    const lw_random random = {.seed = seed, .stream = stream};
    const uint32_t counter[4] = {(uint32_t)index, (uint32_t)(index >> 32), stream, LAKE};
    const uint32_t key[2] = {(uint32_t)seed, (uint32_t)(seed >> 32)};
    uint32_t want[4];
    uint32_t got[4];
    philox(counter, key, want);
    lw_random_words(&random, index, got);
    assert_memory_equal(got, want, sizeof got);
  }
}

/* ---- uniform ---- */

/* Chi-square with 255 degrees of freedom: mean 255, deviation sqrt(510) = 22.6. Fixed seeds, so the
 * bounds (about 4.5 deviations) either always hold or never. */
static double chi_square(const size_t *counts, size_t cells, double draws)
{
  double want = draws / (double)cells;
  double sum = 0;
  for (size_t i = 0; i < cells; i++) {
    sum += ((double)counts[i] - want) * ((double)counts[i] - want) / want;
  }
  return sum;
}

static void is_uniform(void **state)
{
  (void)state;
  enum { CELLS = 256, DRAWS = 200000 };
  for (uint32_t stream = 0; stream < 3; stream++) {
    const lw_random random = {.seed = 20260415, .stream = stream};
    size_t high[CELLS] = {0};
    size_t fine[CELLS] = {0}; /* the 12th to 19th bit */
    double sum = 0;
    double squares = 0;
    for (uint64_t i = 0; i < DRAWS; i++) {
      double u = lw_random_uniform(&random, i);
      assert_true(u > 0 && u < 1);
      high[(size_t)(u * CELLS)]++;
      fine[(size_t)(u * 4096 * CELLS) % CELLS]++;
      sum += u;
      squares += u * u;
    }
    assert_close(chi_square(high, CELLS, DRAWS), 255, 100);
    assert_close(chi_square(fine, CELLS, DRAWS), 255, 100);
    double mean = sum / DRAWS;
    assert_close(mean, 0.5, 4.5 * sqrt(1.0 / 12 / DRAWS));
    assert_close(squares / DRAWS - mean * mean, 1.0 / 12, 4.5 * sqrt(1.0 / 180 / DRAWS));
  }
}

/* The 52 bits come from the first two words, and a half keeps both ends out. */
static void makes_fractions_of_52_bits(void **state)
{
  (void)state;
  const lw_random random = {.seed = 3, .stream = 5};
  for (uint64_t i = 0; i < 1000; i++) {
    uint32_t words[4];
    lw_random_words(&random, i, words);
    double want = ldexp(words[0], -32) + ldexp(words[1] >> 12, -52) + ldexp(1, -53);
    assert_true(lw_random_uniform(&random, i) == want);
  }
}

/* ---- normal ---- */

static void is_normal(void **state)
{
  (void)state;
  enum { DRAWS = 200000, CELLS = 40 };
  const lw_random random = {.seed = 20260415, .stream = 9};
  double moments[5] = {0};
  size_t counts[CELLS] = {0};
  for (uint64_t i = 0; i < DRAWS; i++) {
    double z = lw_random_normal(&random, i);
    assert_true(isfinite(z) && fabs(z) < 9);
    double power = 1;
    for (int k = 0; k < 5; k++, power *= z) {
      moments[k] += power / DRAWS;
    }
    size_t cell = (size_t)(CELLS * 0.5 * erfc(-z / sqrt(2))); /* equally likely cells */
    counts[cell < CELLS ? cell : CELLS - 1]++;
  }
  assert_close(moments[1], 0, 4.5 * sqrt(1.0 / DRAWS));
  assert_close(moments[2], 1, 4.5 * sqrt(2.0 / DRAWS));
  assert_close(moments[3], 0, 4.5 * sqrt(15.0 / DRAWS));
  assert_close(moments[4], 3, 4.5 * sqrt(96.0 / DRAWS));
  assert_close(chi_square(counts, CELLS, DRAWS), CELLS - 1, 4.5 * sqrt(2.0 * (CELLS - 1)));
}

/* ---- independence ---- */

/* The correlation of neighbouring draws, streams and seeds. */
static double correlation(const lw_random *a, uint64_t shift, const lw_random *b, uint64_t draws)
{
  double sum = 0;
  for (uint64_t i = 0; i < draws; i++) {
    sum += (lw_random_uniform(a, i) - 0.5) * (lw_random_uniform(b, i + shift) - 0.5);
  }
  return 12 * sum / (double)draws;
}

static void is_independent_of_its_neighbours(void **state)
{
  (void)state;
  enum { DRAWS = 50000 };
  const double bound = 4.5 / sqrt(DRAWS);
  const lw_random one = {.seed = 1, .stream = 0};
  const lw_random next_seed = {.seed = 2, .stream = 0};
  const lw_random next_stream = {.seed = 1, .stream = 1};
  assert_close(correlation(&one, 1, &one, DRAWS), 0, bound);
  assert_close(correlation(&one, 0, &next_seed, DRAWS), 0, bound);
  assert_close(correlation(&one, 0, &next_stream, DRAWS), 0, bound);
  assert_close(correlation(&one, 0, &one, DRAWS), 1, bound); /* the measure measures */
}

/* Backwards, twice, and with others asked in between: always the same answer. */
static void does_not_depend_on_the_order_of_asking(void **state)
{
  (void)state;
  enum { DRAWS = 500 };
  const lw_random random = {.seed = 20260415, .stream = 2};
  const lw_random other = {.seed = 20260415, .stream = 3};
  double uniform[DRAWS];
  double normal[DRAWS];
  for (uint64_t i = 0; i < DRAWS; i++) {
    uniform[i] = lw_random_uniform(&random, i);
    normal[i] = lw_random_normal(&random, i);
  }
  for (uint64_t i = DRAWS; i-- > 0;) {
    assert_true(lw_random_uniform(&other, i) != uniform[i]);
    assert_true(lw_random_normal(&random, i) == normal[i]);
    assert_true(lw_random_uniform(&random, i) == uniform[i]);
  }
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(meets_the_known_answers),
      cmocka_unit_test(gives_the_words_of_the_paper),
      cmocka_unit_test(is_uniform),
      cmocka_unit_test(makes_fractions_of_52_bits),
      cmocka_unit_test(is_normal),
      cmocka_unit_test(is_independent_of_its_neighbours),
      cmocka_unit_test(does_not_depend_on_the_order_of_asking),
  };
  return cmocka_run_group_tests_name("base random", tests, NULL, NULL);
}
