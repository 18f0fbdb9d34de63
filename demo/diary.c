/* SPDX-License-Identifier: Apache-2.0 */
#include "demo/diary.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { FIRST_LINES = 256, MINUTE_MS = 60000, DAY_MINUTES = 1440, UTC_MINUS_LOCAL = 300 };
enum { TYPED_AT = 18 * 60 + 10, TYPING_MINUTES = 9 };

const char *const lw_demo_names[LW_DEMO_PLACES] = {"Upper Sedge", "Heron Pool", "Long Run", "Brickyard",
                                                   "Sedgewater Club"};

static const char *const typists[LW_DEMO_PLACES] = {"first hand", "the keeper", "second hand", "the keeper",
                                                    "the keeper"};

lw_instant lw_demo_instant(lw_day day, int minute)
{
  return ((lw_instant)day * DAY_MINUTES + minute + UTC_MINUS_LOCAL) * MINUTE_MS;
}

lw_day lw_demo_day(lw_demo_diary *diary, const char *text)
{
  lw_day day = LW_NO_DAY;
  lw_status s = lw_date_parse(&day, "demo", text, diary->status == LW_OK ? diary->err : NULL);
  diary->status = diary->status == LW_OK ? s : diary->status;
  return day;
}

static bool make_room(lw_demo_diary *diary)
{
  if (diary->count < diary->capacity) {
    return true;
  }
  size_t capacity = diary->capacity ? 2 * diary->capacity : FIRST_LINES;
  lw_demo_line *lines = LW_NEW(diary->arena, lw_demo_line, capacity);
  if (!lines) {
    diary->status = lw_fail(diary->err, LW_MEMORY, "no memory for the demonstration");
    return false;
  }
  if (diary->count) {
    memcpy(lines, diary->lines, diary->count * sizeof *lines);
  }
  diary->lines = lines;
  diary->capacity = capacity;
  return true;
}

void lw_demo_add(lw_demo_diary *diary, const lw_demo_line *line)
{
  if (diary->status == LW_OK && make_room(diary)) {
    diary->lines[diary->count] = *line;
    diary->lines[diary->count].order = diary->count;
    diary->count++;
  }
}

void lw_demo_add_reading(lw_demo_diary *diary, lw_demo_place place, const lw_reading *reading)
{
  lw_demo_line line = {.kind = LW_KIND_READING, .place = place, .day = reading->day};
  line.record.reading = *reading;
  lw_demo_add(diary, &line);
}

/* ---- writing ---- */

static int month_of(lw_day day)
{
  lw_civil c = lw_civil_from_day(day);
  return c.year * 12 + c.month - 1;
}

static int by_month_and_place(const void *a, const void *b)
{
  const lw_demo_line *x = a;
  const lw_demo_line *y = b;
  int month_x = month_of(x->day);
  int month_y = month_of(y->day);
  if (month_x != month_y) {
    return month_x < month_y ? -1 : 1;
  }
  if (x->place != y->place) {
    return x->place < y->place ? -1 : 1;
  }
  return x->day != y->day ? (x->day < y->day ? -1 : 1) : (x->order < y->order ? -1 : 1);
}

static void settle(lw_demo_line *line, const lw_demo_ids *ids)
{
  lw_any_record *r = &line->record;
  lw_id water = ids->waters[line->place];
  switch (line->kind) {
  case LW_KIND_READING:
    r->reading.water = water;
    break;
  case LW_KIND_LOT:
    r->lot.material = ids->materials[line->material];
    r->lot.day = line->day;
    break;
  case LW_KIND_TREATMENT:
    r->treatment.water = water;
    r->treatment.material = ids->materials[line->material];
    r->treatment.day = line->day;
    break;
  case LW_KIND_NOTE:
    r->note.water = water;
    r->note.day = line->day;
    break;
  case LW_KIND_OVERRIDE:
    r->override.water = water;
    r->override.day = line->day;
    break;
  default: /* weather carries its own day, for all waters */
    break;
  }
}

static const char *const months[] = {"January", "February", "March",     "April",   "May",      "June",
                                     "July",    "August",   "September", "October", "November", "December"};

static lw_status write_group(lw_store *store, const lw_demo_line *lines, size_t count, lw_error *err)
{
  lw_civil c = lw_civil_from_day(lines[0].day);
  int last = lw_days_in_month(c.year, c.month);
  lw_day month_end = lw_day_from_civil((lw_civil){c.year, c.month, last});
  char action[120];
  (void)snprintf(action, sizeof action, "%s: the cards of %s %d, %zu entr%s", lw_demo_names[lines[0].place],
                 months[c.month - 1], c.year, count, count == 1 ? "y" : "ies");
  const lw_change change = {.who = typists[lines[0].place],
                            .why = "typed in from the round cards",
                            .action = action,
                            .at =
                                lw_demo_instant(month_end, TYPED_AT + TYPING_MINUTES * (int)lines[0].place)};
  lw_id id = 0;
  lw_status s = lw_store_begin(store, &change, err);
  for (size_t i = 0; s == LW_OK && i < count; i++) {
    s = lw_store_add(store, lines[i].kind, &lines[i].record, &id, err);
  }
  if (s != LW_OK) {
    lw_store_rollback(store);
    return s;
  }
  return lw_store_commit(store, &id, err);
}

lw_status lw_demo_write_diary(lw_demo_diary *diary, lw_store *store, const lw_demo_ids *ids, lw_error *err)
{
  lw_status s = diary->status;
  lw_demo_line *lines = diary->lines;
  if (s == LW_OK && diary->count) {
    qsort(lines, diary->count, sizeof *lines, by_month_and_place);
  }
  for (size_t i = 0, n = 0; s == LW_OK && i < diary->count; i += n) {
    for (n = 0; i + n < diary->count && lines[i + n].place == lines[i].place &&
                month_of(lines[i + n].day) == month_of(lines[i].day);
         n++) {
      settle(&lines[i + n], ids);
    }
    s = write_group(store, &lines[i], n, err);
  }
  return s;
}
