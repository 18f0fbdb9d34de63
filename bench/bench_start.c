/* SPDX-License-Identifier: Apache-2.0 */
/* What it costs to start Lakeward: `lakeward --version` against a C program that does nothing, by turns,
 * fork to end.
 *   bench_start LAKEWARD BARE [TURNS]    (200)
 * The figures are for reading, no threshold is judged. */
#include "clock.h"

#include <stdio.h>
#include <stdlib.h>

enum { TURNS_MAX = 10000 };

int main(int count, char **arguments)
{
  static double lakeward_ms[TURNS_MAX];
  static double bare_ms[TURNS_MAX];
  long turns = count > 3 ? strtol(arguments[3], NULL, 10) : 200;
  if (count < 3 || turns < 1 || turns > TURNS_MAX) {
    (void)fprintf(stderr, "usage: bench_start LAKEWARD BARE [TURNS]\n");
    return 2;
  }
  char version[] = "--version";
  char *lakeward[] = {arguments[1], version, NULL};
  char *bare[] = {arguments[2], NULL};
  for (long i = 0; i < turns; i++) {
    bare_ms[i] = run_ms(bare, NULL);
    lakeward_ms[i] = run_ms(lakeward, NULL);
    if (bare_ms[i] < 0 || lakeward_ms[i] < 0) {
      (void)fprintf(stderr, "bench_start: one of the programs did not end well\n");
      return 1;
    }
  }
  double bare_median = median_of(bare_ms, (size_t)turns);
  double median = median_of(lakeward_ms, (size_t)turns);
  size_t tenth = (size_t)turns / 10;
  (void)printf("start, fork to end, %ld turns by turns\n", turns);
  (void)printf("%-44s %9s %9s %9s\n", "", "median ms", "10 % ms", "x bare");
  (void)printf("%-44s %9.2f %9.2f %9.2f\n", "C program that returns 0", bare_median, bare_ms[tenth], 1.0);
  (void)printf("%-44s %9.2f %9.2f %9.2f\n", "lakeward --version", median, lakeward_ms[tenth],
               median / bare_median);
  return 0;
}
