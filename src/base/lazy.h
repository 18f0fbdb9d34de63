/* SPDX-License-Identifier: Apache-2.0 */
/* Shared libraries opened on first use. PROJ and the HTTP library pull in dozens of others (measured:
 * 22 ms and 9 ms at every start against 4 ms without): a command that needs neither should not pay.
 * A user declares a struct of typed pointers and lists the symbols in the same order. */
#ifndef LW_BASE_LAZY_H
#define LW_BASE_LAZY_H

#include "base/status.h"

#include <stddef.h>

/* Opens `library` ("libproj.so.25") and stores the address of each of `count` symbols in
 * `table[0..count-1]` (a struct of function pointers, seen as bytes). LW_NOT_FOUND names the library
 * and the Debian `package` to install. The library stays open for the life of the process. Thread
 * safety is the caller's (call_once). */
LW_MUST_CHECK lw_status lw_lazy_open(const char *library, const char *package, const char *const *symbols,
                                     size_t count, void *table, lw_error *err);

#endif
