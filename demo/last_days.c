/* SPDX-License-Identifier: Apache-2.0 */
#include "demo/story.h"

#include "work/entries.h"

#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

typedef enum doing { READ, NOTE, RAIN, FORECAST, TAKE_BACK } doing;

typedef struct logged {
  const char *day, *who;
  int minute; /* local, when it was logged */
  doing what;
  lw_demo_place place;
  const char *quantity, *value; /* READ: as typed; NOTE: its text; RAIN, FORECAST: rain, wind */
  const char *on;               /* FORECAST: for which day */
} logged;

#define FIRST "first hand"
#define SECOND "second hand"
#define KEEPER "the keeper"

static const logged steps[] = {
    {"2026-04-03", KEEPER, 425, RAIN, LW_DEMO_CLUB, "1.2 in", "9 mph", NULL},
    {"2026-04-04", FIRST, 622, READ, LW_DEMO_BRICKYARD, "secchi", "9 in", NULL},
    {"2026-04-04", FIRST, 623, READ, LW_DEMO_BRICKYARD, "water-color", "brown-mud", NULL},
    {"2026-04-04", FIRST, 625, READ, LW_DEMO_BRICKYARD, "temperature", "66", NULL},
    {"2026-04-04", FIRST, 627, READ, LW_DEMO_BRICKYARD, "ph", "7.6", NULL},
    {"2026-04-04", FIRST, 630, READ, LW_DEMO_BRICKYARD, "weed-cover", "1", NULL},
    {"2026-04-05", FIRST, 675, READ, LW_DEMO_UPPER_SEDGE, "secchi", "52 in", NULL},
    {"2026-04-05", FIRST, 676, READ, LW_DEMO_UPPER_SEDGE, "water-color", "clear", NULL},
    {"2026-04-05", FIRST, 678, READ, LW_DEMO_UPPER_SEDGE, "temperature", "66", NULL},
    {"2026-04-05", FIRST, 681, READ, LW_DEMO_UPPER_SEDGE, "ph", "7.4", NULL},
    {"2026-04-05", FIRST, 700, READ, LW_DEMO_UPPER_SEDGE, "weed-cover", "3", NULL},
    {"2026-04-05", FIRST, 760, READ, LW_DEMO_HERON_POOL, "secchi", "74 in", NULL},
    {"2026-04-05", FIRST, 761, READ, LW_DEMO_HERON_POOL, "water-color", "clear", NULL},
    {"2026-04-05", FIRST, 763, READ, LW_DEMO_HERON_POOL, "temperature", "67", NULL},
    {"2026-04-05", FIRST, 766, READ, LW_DEMO_HERON_POOL, "ph", "6.2", NULL},
    {"2026-04-05", FIRST, 775, READ, LW_DEMO_HERON_POOL, "weed-cover", "6", NULL},
    {"2026-04-06", SECOND, 655, READ, LW_DEMO_LONG_RUN, "temperature", "46", NULL},
    {"2026-04-06", SECOND, 656, TAKE_BACK, LW_DEMO_LONG_RUN, NULL, NULL, NULL},
    {"2026-04-06", SECOND, 657, READ, LW_DEMO_LONG_RUN, "temperature", "64", NULL},
    {"2026-04-06", SECOND, 660, READ, LW_DEMO_LONG_RUN, "ph", "7.3", NULL},
    {"2026-04-06", SECOND, 668, READ, LW_DEMO_LONG_RUN, "outflow", "14 cfs", NULL},
    {"2026-04-06", SECOND, 690, READ, LW_DEMO_LONG_RUN, "weed-cover", "5", NULL},
    {"2026-04-06", SECOND, 692, NOTE, LW_DEMO_LONG_RUN, NULL,
     "The disk's line parted at the ramp, so no disk today. A new line is at the shed.", NULL},
    {"2026-04-07", KEEPER, 1110, NOTE, LW_DEMO_HERON_POOL, NULL,
     "The east bank is dry enough for a truck. Ask for a price on the lime, spread from a barge.", NULL},
    {"2026-04-08", KEEPER, 395, FORECAST, LW_DEMO_CLUB, "0 in", "6 mph", "2026-04-08"},
    {"2026-04-08", KEEPER, 396, FORECAST, LW_DEMO_CLUB, "0 in", "5 mph", "2026-04-09"},
    {"2026-04-08", KEEPER, 397, FORECAST, LW_DEMO_CLUB, "0.1 in", "8 mph", "2026-04-10"},
    {"2026-04-08", KEEPER, 398, FORECAST, LW_DEMO_CLUB, "0.25 in", "9 mph", "2026-04-11"},
};

static lw_status read_value(lw_entry *entry, const lw_desk *desk, const logged *step, lw_id water,
                            lw_error *err)
{
  const lw_field fields[] = {{"value", step->value},
                             {"by", step->who},
                             {"way", strcmp(step->quantity, "secchi") == 0 ? "disk" : ""}};
  const lw_form form = {fields, COUNT(fields)};
  return lw_add_reading(entry, desk, water, step->quantity, &form, err);
}

static lw_status write_note(lw_entry *entry, const lw_desk *desk, const logged *step, lw_id water,
                            lw_error *err)
{
  const lw_field fields[] = {{"text", step->value}, {"by", step->who}};
  const lw_form form = {fields, COUNT(fields)};
  return lw_add_note(entry, desk, water, &form, err);
}

static lw_status write_weather(lw_entry *entry, const lw_desk *desk, const logged *step, lw_error *err)
{
  bool forecast = step->what == FORECAST;
  const lw_field fields[] = {{"on", forecast ? step->on : step->day},
                             {"forecast", forecast ? "true" : "false"},
                             {"rain", step->quantity},
                             {"wind", step->value},
                             {"source", forecast ? "morning radio" : "the gauge at the shed"}};
  const lw_form form = {fields, COUNT(fields)};
  return lw_add_weather(entry, desk, 0, &form, err);
}

static lw_status take(lw_desk *desk, const logged *step, const lw_demo_ids *ids, lw_error *err)
{
  lw_entry entry;
  lw_id water = ids->waters[step->place];
  lw_status s = lw_date_parse(&desk->today, "demo", step->day, err);
  if (s != LW_OK) {
    return s;
  }
  desk->now = lw_demo_instant(desk->today, step->minute);
  desk->who = step->who;
  desk->why = step->what == TAKE_BACK ? "figures swapped" : "";
  switch (step->what) {
  case READ:
    return read_value(&entry, desk, step, water, err);
  case NOTE:
    return write_note(&entry, desk, step, water, err);
  case RAIN:
  case FORECAST:
    return write_weather(&entry, desk, step, err);
  case TAKE_BACK:
    return lw_undo(&entry, desk, 0, err);
  }
  return lw_fail(err, LW_INTERNAL, "the demonstration has an unknown step");
}

lw_status lw_demo_write_last_days(lw_store *store, const lw_demo_ids *ids, lw_arena *arena, lw_error *err)
{
  lw_desk desk = {.store = store, .arena = arena, .why = ""};
  lw_status s = LW_OK;
  for (size_t i = 0; s == LW_OK && i < COUNT(steps); i++) {
    s = take(&desk, &steps[i], ids, err);
  }
  return s;
}
