/* SPDX-License-Identifier: Apache-2.0 */
/* Any text as a reading of every quantity: what is accepted is possible in nature and can be shown. */
#include "fuzz.h"

#include "base/quantity.h"
#include "base/text.h"

#include <math.h>
#include <string.h>

/* A message repeats what was given: it is clean where that was. */
static bool is_sentence(const char *message, const char *given)
{
  return message[0] &&
         (lw_text_is_clean(message, strlen(message)) || !lw_text_is_clean(given, strlen(given)));
}

static void check_reading(const lw_quantity *quantity, const char *text)
{
  double value = 0;
  bool unusual = false;
  lw_error err = {0};
  if (lw_quantity_read(&value, &unusual, quantity, text, &err) != LW_OK) {
    CHECK(is_sentence(err.message, text));
    return;
  }
  CHECK(isfinite(value));
  CHECK(value >= quantity->possible_low && value <= quantity->possible_high);
  char shown[LW_SHOWN_MAX];
  CHECK(lw_quantity_shown(quantity, value, LW_US, shown) && shown[0]);
  CHECK(lw_quantity_shown(quantity, value, LW_METRIC, shown) && shown[0]);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
  char *text = malloc(size + 1);
  CHECK(text);
  memcpy(text, data, size);
  text[size] = '\0';
  for (int i = 0; i < LW_QUANTITY_COUNT; i++) {
    check_reading(&lw_quantities[i], text);
  }
  (void)lw_quantity_find(text);
  free(text);
  return 0;
}
