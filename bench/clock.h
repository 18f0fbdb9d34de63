/* SPDX-License-Identifier: Apache-2.0 */
/* Time and processes for the benchmarks. */
#ifndef LW_BENCH_CLOCK_H
#define LW_BENCH_CLOCK_H

#include <stddef.h>

double clock_ms(void);

/* Sorts `values`. */
double median_of(double *values, size_t count);

/* Runs a program with its output thrown away; gives the time from before the fork to its end, in ms, or a
 * negative number when it could not be run or did not end with 0. *peak_mib (may be NULL): its memory. */
double run_ms(char *const arguments[], double *peak_mib);

#endif
