/* SPDX-License-Identifier: Apache-2.0 */
/* The decision: from what is known of one water to what it needs today, how much, by when and why.
 * Every answer is 'do', 'hold' or 'ask', and carries the rules that led to it with their inputs and
 * sources. Pure: the caller assembles the case, nothing is read or printed here. */
#ifndef LW_ADVICE_ADVICE_H
#define LW_ADVICE_ADVICE_H

#include "advice/program.h"
#include "base/arena.h"
#include "base/maybe.h"
#include "base/quantity.h"
#include "base/records.h"
#include "base/status.h"

#include <stdbool.h>
#include <stddef.h>

/* ---- in ---- */

/* What is left of a material on the shelf. */
typedef struct lw_stock {
  const lw_material *material;
  double packages_left; /* bought less used; may be negative when the book is wrong */
  bool counted;         /* any lot was ever entered */
} lw_stock;

enum { LW_DEPTH_ROWS = 65 };

/* A sounded water's measured area and volume against its pool's level: row k stands for the pool
 * k * deepest_m / (LW_DEPTH_ROWS - 1) below full, the last row is the empty basin. Reckoned by basin/. */
typedef struct lw_depth_table {
  double deepest_m; /* below full pool */
  double area_m2[LW_DEPTH_ROWS], volume_m3[LW_DEPTH_ROWS];
  double low_m3[LW_DEPTH_ROWS], high_m3[LW_DEPTH_ROWS]; /* 90 % interval of the volume */
  const char *from;                                     /* "depth map of 2 surveys, 2026-03-14" */
} lw_depth_table;

/* All that is known of one water on one day. Arrays belong to the caller; readings, treatments and
 * weather are in order of day. Records after `today` are ignored but for forecasts. */
typedef struct lw_case {
  lw_day today;
  lw_unit_system units;
  const char *money; /* "$" */
  lw_program program;
  const lw_water *water;
  const lw_reading *readings;
  size_t reading_count;
  const lw_treatment *treatments;
  size_t treatment_count;
  const lw_stock *stock; /* every material, with what is left */
  size_t stock_count;
  const lw_weather *weather;
  size_t weather_count;
  const lw_override *overrides;
  size_t override_count;
  const lw_depth_table *depths; /* NULL: never sounded, or the soundings cannot be used */
  const char *depths_fault;     /* why they cannot be used; NULL */
} lw_case;

/* ---- out ---- */

typedef enum lw_verdict { LW_HOLD, LW_ASK, LW_DO } lw_verdict;

/* A value that a reason rests on, with its date and how it is shown to this owner. */
typedef struct lw_cited {
  const char *name; /* "secchi" */
  double value;
  const char *unit;
  const char *shown; /* "40 in" */
  lw_day day;        /* LW_NO_DAY: a fact without date */
} lw_cited;

enum { LW_CITED_MAX = 4, LW_REASONS_MAX = 32, LW_LINES_MAX = 12, LW_CHOICES_MAX = 24 };

typedef struct lw_reason {
  const char *rule; /* id in advice/rules.h */
  const char *text;
  const char *source, *basis;
  bool decides;          /* it made the verdict */
  const char *set_aside; /* the owner's reason where he overrode it, else NULL */
  lw_cited inputs[LW_CITED_MAX];
  size_t input_count;
} lw_reason;

typedef struct lw_amount {
  bool known;
  double value, low, high;  /* low = high = value when there is no range */
  const char *unit;         /* "kg", "L" */
  const char *shown;        /* "4 sacks of 50 lb (200 lb)" */
  const char *method;       /* registry entry that explains it, or NULL */
  const char *method_query; /* its inputs: "area=153781 m2&rate=..." (URL-encoded), or NULL */
} lw_amount;

/* One material that could do the job, side by side with the others. */
typedef struct lw_choice {
  const char *material, *form, *grade;
  double mass_kg;
  lw_maybe volume_l;
  lw_maybe packages;            /* whole */
  lw_maybe left;                /* packages on the shelf */
  lw_maybe to_buy;              /* whole packages */
  lw_maybe cost;                /* of the whole packages used */
  lw_maybe price_per_kg_active; /* per kg P2O5, or per kg effective CaCO3 */
  const char *shown;            /* "4 x 50 lb" */
  bool chosen;
} lw_choice;

typedef struct lw_item {
  const char *subject; /* "feeding the bloom", "lime", "too-green water", "weeds", "missing
                          measurements", "stock on the shelf", "oxygen" */
  lw_verdict verdict;
  const char *headline; /* the figure first, then the reason, one sentence */
  lw_amount amount;
  lw_day by;         /* do it by; LW_NO_DAY */
  lw_day look_again; /* hold: when to look again; LW_NO_DAY */
  int urgency;       /* 0 kills fish, 1 cannot wait, 2 the rest: for ordering */
  lw_reason reasons[LW_REASONS_MAX];
  size_t reason_count;
  const char *cautions[LW_LINES_MAX];
  size_t caution_count;
  const char *steps[LW_LINES_MAX]; /* how it is put out, or how to measure */
  size_t step_count;
  const char *measure; /* ask: the quantity that would settle it, else NULL */
  lw_choice choices[LW_CHOICES_MAX];
  size_t choice_count;
  const char *choice_active; /* what price_per_kg_active is per: "P2O5" */
} lw_item;

enum { LW_ITEMS_MAX = 8 };

typedef struct lw_water_advice {
  const char *water;
  lw_id water_id;
  lw_unit_system units; /* in which its texts are written */
  const char *money;
  lw_item items[LW_ITEMS_MAX]; /* most urgent first */
  size_t item_count;
} lw_water_advice;

/* Judges every subject. All texts live in `arena` or are constants. LW_INVALID only for a case that
 * cannot be (no water, today out of range); a poor case gives 'ask', not a fault. */
LW_MUST_CHECK lw_status lw_advise(lw_water_advice *out, const lw_case *facts, lw_arena *arena, lw_error *err);

const char *lw_verdict_word(lw_verdict verdict); /* "do", "hold", "ask" */

/* Where an item stands in the order of the day, smaller first: danger, what cannot wait, the rest,
 * the shelf, and last what needs nothing. */
int lw_item_pressure(const lw_item *item);

#endif
