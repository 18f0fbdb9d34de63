/* SPDX-License-Identifier: Apache-2.0 */
/* Any text as a number; any double as text. */
#include "fuzz.h"

#include "base/text.h"

#include <math.h>
#include <string.h>

static void check_reading(const char *text, size_t length, bool commas)
{
  double value = 0;
  const char *end = NULL;
  if (lw_read_number(text, commas, &value, &end)) {
    CHECK(isfinite(value));
    CHECK(end > text && end <= text + length);
    char again[LW_NUMBER_MAX];
    CHECK(strtod(lw_number_text(value, again), NULL) == value);
  }
}

static void check_showing(const uint8_t *data)
{
  double value = 0;
  char shown[LW_NUMBER_MAX];
  memcpy(&value, data, sizeof value);
  if (!isfinite(value) || fabs(value) > 1e300) { /* rounded up, the largest are infinite */
    return;
  }
  CHECK(strtod(lw_number_text(value, shown), NULL) == value);
  for (int digits = 1; digits <= 6; digits++) {
    double got = strtod(lw_rounded_text(value, digits, shown), NULL);
    CHECK(fabs(got - value) <= 0.51 * pow(10, 1 - digits) * fabs(value) + 1e-300);
  }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
  char *text = malloc(size + 1);
  CHECK(text);
  memcpy(text, data, size);
  text[size] = '\0';
  check_reading(text, size, false);
  check_reading(text, size, true);
  (void)lw_text_is_clean(text, size);
  if (size >= sizeof(double)) {
    check_showing(data);
  }
  free(text);
  return 0;
}
