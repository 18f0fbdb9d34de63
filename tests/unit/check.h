/* SPDX-License-Identifier: Apache-2.0 */
/* What every unit test includes first: cmocka with the headers it needs, and comparisons of doubles,
 * which cmocka 1.1.5 lacks. */
#ifndef LW_TESTS_CHECK_H
#define LW_TESTS_CHECK_H

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

/* |got - want| <= tolerance, in the units of the value. Prints both on failure; NaN fails. */
static inline void check_close(double got, double want, double tolerance, const char *what, const char *file,
                               int line)
{
  if (!(fabs(got - want) <= tolerance)) {
    print_error("%s: got %.17g, want %.17g within %g\n", what, got, want, tolerance);
    _fail(file, line);
  }
}

#define assert_close(got, want, abs_tol) check_close((got), (want), (abs_tol), #got, __FILE__, __LINE__)

/* `text` holds `piece`. */
static inline void check_holds(const char *text, const char *piece, const char *file, int line)
{
  if (!text || !strstr(text, piece)) {
    print_error("\"%s\" does not hold \"%s\"\n", text ? text : "(null)", piece);
    _fail(file, line);
  }
}

#define assert_holds(text, piece) check_holds((text), (piece), __FILE__, __LINE__)

#endif
