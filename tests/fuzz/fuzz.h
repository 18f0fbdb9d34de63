/* SPDX-License-Identifier: Apache-2.0 */
/* A fuzz target: takes any bytes, must neither crash, leak, hang nor hand out nonsense. CHECK ends the
 * process, so that a broken promise is found as a crash is. */
#ifndef LW_TESTS_FUZZ_H
#define LW_TESTS_FUZZ_H

#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

#define CHECK(condition)                                                                                     \
  do {                                                                                                       \
    if (!(condition)) {                                                                                      \
      (void)fprintf(stderr, "%s:%d: broken promise: %s\n", __FILE__, __LINE__, #condition);                  \
      abort();                                                                                               \
    }                                                                                                        \
  } while (0)

#endif
