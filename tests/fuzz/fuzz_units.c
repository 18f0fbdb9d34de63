/* SPDX-License-Identifier: Apache-2.0 */
/* Any text as a unit, and as a quantity of several units. */
#include "fuzz.h"

#include "base/text.h"
#include "base/units.h"

#include <math.h>
#include <string.h>

/* A message repeats what was given: it is clean where that was. */
static bool is_sentence(const char *message, const char *given)
{
  return message[0] &&
         (lw_text_is_clean(message, strlen(message)) || !lw_text_is_clean(given, strlen(given)));
}

static void check_unit(const char *text)
{
  lw_unit unit = {0};
  lw_error err = {0};
  if (lw_unit_parse(&unit, text, &err) == LW_OK) {
    CHECK(isfinite(unit.factor) && unit.factor > 0 && isfinite(unit.offset));
    CHECK(lw_unit_same_dimension(&unit, &unit));
    double there = lw_unit_to_si(&unit, 3);
    CHECK(fabs(lw_unit_from_si(&unit, there) - 3) < 1e-6);
  } else {
    CHECK(err.status != LW_OK && is_sentence(err.message, text));
  }
}

static void check_quantity(const char *text)
{
  static const char *const units[] = {"kg/ha", "m", "degC", "m3", "1", "$/t"};
  for (size_t i = 0; i < sizeof units / sizeof *units; i++) {
    double value = 0;
    int which = -1;
    lw_error err = {0};
    if (lw_quantity_parse(&value, "field", text, units[i], &err) == LW_OK) {
      CHECK(isfinite(value));
    } else {
      CHECK(is_sentence(err.message, text));
    }
    if (lw_quantity_parse_either(&value, &which, "field", text, units[i], "L/ha", &err) == LW_OK) {
      CHECK(isfinite(value) && (which == 0 || which == 1));
    }
  }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
  char *text = malloc(size + 1);
  CHECK(text);
  memcpy(text, data, size);
  text[size] = '\0';
  check_unit(text);
  check_quantity(text);
  double value = 0;
  lw_error err = {0};
  if (lw_convert(&value, 1.5, "lb/acre", text, &err) == LW_OK) {
    CHECK(isfinite(value));
  }
  free(text);
  return 0;
}
