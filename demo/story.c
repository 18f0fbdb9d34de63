/* SPDX-License-Identifier: Apache-2.0 */
#include "demo/story.h"

#include "base/quantity.h"
#include "demo/places.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* ---- readings ---- */

typedef struct told_reading {
  lw_demo_place place;
  const char *day, *quantity, *value, *by, *way;
} told_reading;

#define KIT "drop-count kit"
#define LAB "soil laboratory, twelve scoops mixed"

static const told_reading readings[] = {
    {LW_DEMO_UPPER_SEDGE, "2024-02-21", "alkalinity", "31 mg/L", "the keeper", KIT},
    {LW_DEMO_UPPER_SEDGE, "2024-02-21", "hardness", "35 mg/L", "the keeper", KIT},
    {LW_DEMO_LONG_RUN, "2024-02-22", "alkalinity", "37 mg/L", "the keeper", KIT},
    {LW_DEMO_LONG_RUN, "2024-02-22", "hardness", "41 mg/L", "the keeper", KIT},
    {LW_DEMO_UPPER_SEDGE, "2024-08-14", "alkalinity", "36 mg/L", "first hand", KIT},
    {LW_DEMO_UPPER_SEDGE, "2025-02-19", "alkalinity", "33 mg/L", "the keeper", KIT},
    {LW_DEMO_UPPER_SEDGE, "2025-02-19", "hardness", "37 mg/L", "the keeper", KIT},
    {LW_DEMO_LONG_RUN, "2025-02-20", "alkalinity", "40 mg/L", "the keeper", KIT},
    {LW_DEMO_LONG_RUN, "2025-02-20", "hardness", "43 mg/L", "the keeper", KIT},
    {LW_DEMO_HERON_POOL, "2025-02-20", "alkalinity", "10 mg/L", "the keeper", KIT},
    {LW_DEMO_HERON_POOL, "2025-02-20", "hardness", "12 mg/L", "the keeper", KIT},
    {LW_DEMO_BRICKYARD, "2025-02-20", "alkalinity", "47 mg/L", "the keeper", KIT},
    {LW_DEMO_LONG_RUN, "2025-05-01", "outflow", "21 cfs", "second hand", "head over the weir"},
    {LW_DEMO_LONG_RUN, "2025-08-13", "alkalinity", "44 mg/L", "second hand", KIT},
    {LW_DEMO_HERON_POOL, "2026-01-14", "mud-ph", "5.2", "the keeper", LAB},
    {LW_DEMO_HERON_POOL, "2026-01-14", "buffer-ph", "7.5", "the keeper", LAB},
    {LW_DEMO_UPPER_SEDGE, "2026-02-18", "alkalinity", "34 mg/L", "the keeper", KIT},
    {LW_DEMO_UPPER_SEDGE, "2026-02-18", "hardness", "38 mg/L", "the keeper", KIT},
    {LW_DEMO_LONG_RUN, "2026-02-18", "alkalinity", "41 mg/L", "the keeper", KIT},
    {LW_DEMO_LONG_RUN, "2026-02-18", "hardness", "44 mg/L", "the keeper", KIT},
    {LW_DEMO_HERON_POOL, "2026-02-19", "alkalinity", "9 mg/L", "the keeper", KIT},
    {LW_DEMO_HERON_POOL, "2026-02-19", "hardness", "11 mg/L", "the keeper", KIT},
    {LW_DEMO_BRICKYARD, "2026-02-19", "alkalinity", "48 mg/L", "the keeper", KIT},
    {LW_DEMO_BRICKYARD, "2026-02-19", "hardness", "42 mg/L", "the keeper", KIT},
    /* the last rounds before the day */
    {LW_DEMO_UPPER_SEDGE, "2026-03-21", "secchi", "84 in", "first hand", "disk"},
    {LW_DEMO_UPPER_SEDGE, "2026-03-21", "temperature", "60 degF", "first hand", ""},
    {LW_DEMO_UPPER_SEDGE, "2026-03-21", "water-color", "clear", "first hand", ""},
    {LW_DEMO_UPPER_SEDGE, "2026-03-29", "secchi", "67 in", "first hand", "disk"},
    {LW_DEMO_UPPER_SEDGE, "2026-03-29", "temperature", "63 degF", "first hand", ""},
    {LW_DEMO_HERON_POOL, "2026-03-22", "secchi", "80 in", "first hand", "disk"},
    {LW_DEMO_HERON_POOL, "2026-03-22", "temperature", "62 degF", "first hand", ""},
    {LW_DEMO_LONG_RUN, "2026-03-17", "secchi", "64 in", "second hand", "disk"},
    {LW_DEMO_LONG_RUN, "2026-03-25", "secchi", "46 in", "second hand", "disk"},
    {LW_DEMO_LONG_RUN, "2026-03-25", "temperature", "61 degF", "second hand", ""},
    {LW_DEMO_LONG_RUN, "2026-03-25", "water-color", "clear", "second hand", ""},
    {LW_DEMO_LONG_RUN, "2026-03-25", "outflow", "22 cfs", "second hand", "head over the weir"},
    {LW_DEMO_BRICKYARD, "2026-03-24", "secchi", "19 in", "first hand", "disk"},
    {LW_DEMO_BRICKYARD, "2026-03-24", "water-color", "green", "first hand", ""},
};

static void add_readings(lw_demo_diary *diary)
{
  for (size_t i = 0; i < COUNT(readings); i++) {
    const told_reading *t = &readings[i];
    const lw_quantity *q = lw_quantity_find(t->quantity);
    lw_reading r = {
        .quantity = t->quantity, .day = lw_demo_day(diary, t->day), .by = t->by, .way = t->way, .note = ""};
    lw_status s = q ? lw_quantity_read(&r.value, NULL, q, t->value, diary->err)
                    : lw_fail(diary->err, LW_INTERNAL, "the demonstration reads '%s'", t->quantity);
    diary->status = diary->status == LW_OK ? s : diary->status;
    lw_demo_add_reading(diary, t->place, &r);
  }
}

/* ---- notes ---- */

typedef struct told_note {
  lw_demo_place place;
  const char *day, *by, *text;
} told_note;

static const told_note notes[] = {
    {LW_DEMO_CLUB, "2024-02-10", "the keeper",
     "Aim for both big waters: disk at 18 to 24 in, April to October."},
    {LW_DEMO_UPPER_SEDGE, "2024-03-09", "first hand", "Spillway screen cleaned and bolted back."},
    {LW_DEMO_HERON_POOL, "2024-07-03", "the keeper",
     "Two doses and the disk never moved. Stop here until somebody tests the water."},
    {LW_DEMO_LONG_RUN, "2024-06-18", "second hand",
     "Good bream beds along the west arm, three feet of water."},
    {LW_DEMO_LONG_RUN, "2024-11-16", "the keeper",
     "All those gallons are a lot of hauling. Sacks next year."},
    {LW_DEMO_UPPER_SEDGE, "2025-04-12", "first hand", "Pondweed along the west arm, thinner than last year."},
    {LW_DEMO_BRICKYARD, "2025-06-21", "the keeper",
     "Grass the east bank before anything else: every rain brings the clay down."},
    {LW_DEMO_HERON_POOL, "2025-03-01", "the keeper",
     "Alkalinity 10. That is why the feed did nothing. Mud to the laboratory next winter."},
    {LW_DEMO_UPPER_SEDGE, "2025-08-30", "second hand",
     "Members: best bass in years, most of them 14 to 16 in."},
    {LW_DEMO_CLUB, "2025-11-22", "the keeper", "Shed counted. One sack of powder got wet and is thrown out."},
    {LW_DEMO_HERON_POOL, "2026-02-02", "the keeper",
     "Laboratory: mud pH 5.2, buffer 7.5. Lime it when a truck can reach the bank."},
    {LW_DEMO_LONG_RUN, "2026-03-26", "second hand", "Creek over the lower crossing after the rain."},
};

static void add_notes(lw_demo_diary *diary)
{
  for (size_t i = 0; i < COUNT(notes); i++) {
    lw_demo_line line = {
        .kind = LW_KIND_NOTE, .place = notes[i].place, .day = lw_demo_day(diary, notes[i].day)};
    line.record.note = (lw_note){.text = notes[i].text, .by = notes[i].by};
    lw_demo_add(diary, &line);
  }
}

/* ---- the trial, the override, the rain of March ---- */

static void add_trial(lw_demo_diary *diary)
{
  static const char *const days[] = {"2024-05-14", "2024-06-11"};
  static const char *const conditions[] = {"wind W 4 mph, dry", "wind SW 5 mph, dry"};
  for (size_t i = 0; i < COUNT(days); i++) {
    lw_demo_line line = {.kind = LW_KIND_TREATMENT,
                         .place = LW_DEMO_HERON_POOL,
                         .material = LW_DEMO_GRANULAR,
                         .day = lw_demo_day(diary, days[i])};
    line.record.treatment = (lw_treatment){.mass_kg = 5 * lw_demo_package_kg(LW_DEMO_GRANULAR),
                                           .purpose = "feed",
                                           .conditions = conditions[i],
                                           .by = "the keeper",
                                           .note = "Trial, from the platform."};
    lw_demo_add(diary, &line);
  }
}

static void add_override(lw_demo_diary *diary)
{
  lw_demo_line line = {
      .kind = LW_KIND_OVERRIDE, .place = LW_DEMO_LONG_RUN, .day = lw_demo_day(diary, "2025-05-02")};
  line.record.override = (lw_override){.rule = "feed-retention",
                                       .by = "the keeper",
                                       .reason = "The weir was dry this morning: the boards went in after "
                                                 "that reading.",
                                       .until = lw_demo_day(diary, "2025-05-16")};
  lw_demo_add(diary, &line);
}

static void add_march_rain(lw_demo_diary *diary)
{
  lw_demo_line line = {
      .kind = LW_KIND_WEATHER, .place = LW_DEMO_CLUB, .day = lw_demo_day(diary, "2026-03-24")};
  line.record.weather = (lw_weather){.day = line.day,
                                     .issued = LW_NO_DAY,
                                     .rain_mm = lw_known(1.7 * 25.4),
                                     .source = "the gauge at the shed"};
  lw_demo_add(diary, &line);
}

void lw_demo_add_story(lw_demo_diary *diary)
{
  add_readings(diary);
  add_notes(diary);
  add_trial(diary);
  add_override(diary);
  add_march_rain(diary);
}

/* ---- the shelf ---- */

static void add_lot(lw_demo_diary *diary, lw_demo_material material, const char *day, double packages,
                    double price, const char *note)
{
  lw_demo_line line = {
      .kind = LW_KIND_LOT, .place = LW_DEMO_CLUB, .material = material, .day = lw_demo_day(diary, day)};
  line.record.lot = (lw_lot){.packages = packages, .price = {price, price > 0}, .note = note};
  lw_demo_add(diary, &line);
}

void lw_demo_add_lots(lw_demo_diary *diary, const lw_demo_used *used)
{
  enum { SPARE = 6, LEFT = 8, WET = 1, LIQUID_LEFT = 14, TRIAL = 10, GRANULAR_LEFT = 4, MORE = 3 };
  const double(*of)[LW_DEMO_SEASONS] = used->packages;
  add_lot(diary, LW_DEMO_POWDER, "2024-02-06", of[LW_DEMO_POWDER][0] + SPARE, 58, "");
  add_lot(diary, LW_DEMO_LIQUID, "2024-02-06", of[LW_DEMO_LIQUID][0] + LIQUID_LEFT, 9.1, "Tote on loan.");
  add_lot(diary, LW_DEMO_GRANULAR, "2024-02-06", TRIAL + GRANULAR_LEFT, 18.25, "");
  add_lot(diary, LW_DEMO_POWDER, "2025-01-21", of[LW_DEMO_POWDER][1] + LEFT + WET - SPARE, 61.5, "");
  add_lot(diary, LW_DEMO_GRANULAR, "2025-01-21", MORE, 18.75, "");
  add_lot(diary, LW_DEMO_POWDER, "2025-11-22", -WET, 0, "Wet, thrown out.");
}
