/* SPDX-License-Identifier: Apache-2.0 */
/* Any text as a date, a time of day and an instant: what is accepted is written back as it was meant. */
#include "fuzz.h"

#include "base/dates.h"
#include "base/text.h"

#include <string.h>

/* A message repeats what was given: it is clean where that was. */
static bool is_sentence(const char *message, const char *given)
{
  return message[0] &&
         (lw_text_is_clean(message, strlen(message)) || !lw_text_is_clean(given, strlen(given)));
}

static void check_date(const char *text)
{
  lw_day day = 0;
  lw_error err = {0};
  if (lw_date_parse(&day, "date", text, &err) == LW_OK) {
    char again[LW_DATE_TEXT];
    CHECK(strcmp(lw_date_text(day, again), text) == 0);
    lw_civil civil = lw_civil_from_day(day);
    CHECK(lw_day_from_civil(civil) == day && civil.year >= 1900 && civil.year <= 2199);
    CHECK(lw_day_of_year(day) >= 1 && lw_day_of_year(day) <= 366);
  } else {
    CHECK(is_sentence(err.message, text));
  }
}

static void check_instant(const char *text)
{
  lw_instant instant = 0;
  lw_instant again = 0;
  lw_error err = {0};
  if (lw_instant_parse(&instant, "time", text, &err) == LW_OK) {
    char shown[LW_INSTANT_TEXT];
    CHECK(lw_instant_parse(&again, "time", lw_instant_text(instant, shown), &err) == LW_OK);
    CHECK(again == instant);
  } else {
    CHECK(is_sentence(err.message, text));
  }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
  char *text = malloc(size + 1);
  CHECK(text);
  memcpy(text, data, size);
  text[size] = '\0';
  check_date(text);
  check_instant(text);
  int minutes = -1;
  lw_error err = {0};
  if (lw_clock_parse(&minutes, "clock", text, &err) == LW_OK) {
    CHECK(minutes >= 0 && minutes < 1440);
  } else {
    CHECK(is_sentence(err.message, text));
  }
  free(text);
  return 0;
}
