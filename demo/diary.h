/* SPDX-License-Identifier: Apache-2.0 */
/* What happened at the club, gathered in memory first and then written to the store as people would:
 * each month the hands' round cards of each water are typed in on its last day, as one change. */
#ifndef LW_DEMO_DIARY_H
#define LW_DEMO_DIARY_H

#include "base/arena.h"
#include "store/store.h"

typedef enum lw_demo_place {
  LW_DEMO_UPPER_SEDGE,
  LW_DEMO_HERON_POOL,
  LW_DEMO_LONG_RUN,
  LW_DEMO_BRICKYARD,
  LW_DEMO_WATERS,
  LW_DEMO_CLUB = LW_DEMO_WATERS, /* about no single water */
  LW_DEMO_PLACES
} lw_demo_place;

typedef enum lw_demo_material {
  LW_DEMO_POWDER,
  LW_DEMO_LIQUID,
  LW_DEMO_GRANULAR,
  LW_DEMO_LIMESTONE,
  LW_DEMO_MATERIALS
} lw_demo_material;

/* What the store called them. */
typedef struct lw_demo_ids {
  lw_id waters[LW_DEMO_PLACES]; /* 0 for the club */
  lw_id materials[LW_DEMO_MATERIALS];
} lw_demo_ids;

typedef struct lw_demo_line {
  lw_kind_id kind;
  lw_demo_place place;
  lw_demo_material material; /* of lots and treatments */
  lw_day day;
  size_t order;         /* as it was added */
  lw_any_record record; /* its water, material and day are filled in from the line */
} lw_demo_line;

/* The first fault sticks: the adders do nothing after it, and the writer returns it. */
typedef struct lw_demo_diary {
  lw_arena *arena;
  lw_demo_line *lines;
  size_t count, capacity;
  lw_status status;
  lw_error *err;
} lw_demo_diary;

extern const char *const lw_demo_names[LW_DEMO_PLACES];

/* Adds a copy of `line`; its texts must outlive the diary. */
void lw_demo_add(lw_demo_diary *diary, const lw_demo_line *line);

/* A reading with its value in the quantity's own unit. */
void lw_demo_add_reading(lw_demo_diary *diary, lw_demo_place place, const lw_reading *reading);

/* "2026-04-08"; a text that is no date is a fault of ours and sticks. */
lw_day lw_demo_day(lw_demo_diary *diary, const char *text);

/* Local clock time at the club in April (UTC-5), as an instant. */
lw_instant lw_demo_instant(lw_day day, int minute);

/* Writes all lines, month by month and place by place. */
LW_MUST_CHECK lw_status lw_demo_write_diary(lw_demo_diary *diary, lw_store *store, const lw_demo_ids *ids,
                                            lw_error *err);

#endif
