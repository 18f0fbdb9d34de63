/* SPDX-License-Identifier: Apache-2.0 */
/* The quantities people read off a water: name, unit kept, units shown, what is possible in nature
 * and what is usual. One table feeds the command line, the store's checks, CSV headers and the
 * page's forms. */
#ifndef LW_BASE_QUANTITY_H
#define LW_BASE_QUANTITY_H

#include "base/status.h"

#include <stdbool.h>
#include <stddef.h>

typedef enum lw_quantity_id {
  LW_SECCHI,
  LW_WATER_COLOR,
  LW_ALKALINITY,
  LW_HARDNESS,
  LW_PH,
  LW_TEMPERATURE,
  LW_OXYGEN,
  LW_WEED_COVER,
  LW_PHOSPHORUS,
  LW_CHLOROPHYLL,
  LW_AMMONIA,
  LW_MUD_PH,
  LW_BUFFER_PH,
  LW_OUTFLOW,
  LW_LEVEL,
  LW_QUANTITY_COUNT
} lw_quantity_id;

/* The words of water-color, in the order of its choices. */
typedef enum lw_water_color { LW_GREEN, LW_BROWN_MUD, LW_TEA, LW_CLEAR } lw_water_color;

typedef struct lw_quantity {
  lw_quantity_id id;
  const char *name;                   /* fixed: used on the command line and in files ("weed-cover") */
  const char *label;                  /* "weed cover" */
  const char *unit;                   /* kept and written to JSON */
  const char *us_unit, *metric_unit;  /* shown */
  const char *choices;                /* values that are words ("green|brown-mud|tea|clear"), else NULL */
  double possible_low, possible_high; /* refused outside */
  double usual_low, usual_high;       /* asked about once outside */
  int digits;                         /* significant digits worth showing */
  const char *how;                    /* cheapest way to get it, one sentence */
} lw_quantity;

extern const lw_quantity lw_quantities[LW_QUANTITY_COUNT];

/* The quantity of that name; NULL when there is none. */
const lw_quantity *lw_quantity_find(const char *name);

/* Reads a value the person typed. Words become the index in `choices`. Refuses the impossible with
 * the range in the sentence; sets *unusual (may be NULL) where it is possible but not usual. */
LW_MUST_CHECK lw_status lw_quantity_read(double *out, bool *unusual, const lw_quantity *quantity,
                                         const char *text, lw_error *err);

/* The word at `index` of a "a|b|c" list; NULL past its end. `out` holds it. And the way back: -1
 * when the word is not in the list. */
const char *lw_choice_word(const char *choices, int index, char *out, size_t size);
int lw_choice_index(const char *choices, const char *word);

typedef enum lw_unit_system { LW_US, LW_METRIC } lw_unit_system;

/* "40 in", "102 cm", "34 mg/L", "brown-mud": for people. `out` holds it. */
enum { LW_SHOWN_MAX = 64 };
const char *lw_quantity_shown(const lw_quantity *quantity, double value, lw_unit_system system,
                              char out[LW_SHOWN_MAX]);

/* `value` in `unit`, shown as `shown_unit` with `digits` significant digits: "12 acre". When the
 * units do not convert the value is shown in its own unit. */
const char *lw_value_shown(double value, const char *unit, const char *shown_unit, int digits,
                           char out[LW_SHOWN_MAX]);

#endif
