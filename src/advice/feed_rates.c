/* SPDX-License-Identifier: Apache-2.0 */
/* Rates of phosphate a dose, by form. Products are printed per acre; they are kept here as kg of P2O5
 * a hectare so that any grade can stand in. */
#include "advice/amounts.h"
#include "advice/rules_feed.h"
#include "advice/sources.h"

#include <string.h>

#define LB_ACRE (0.45359237 / 0.40468564224) /* kg/ha in a lb/acre */
#define POWDER(lb) ((lb)*LB_ACRE * 0.52)     /* of 10-52-0, 10-52-4 */
#define GALLON_1034 (11.65 * LB_ACRE * 0.34) /* P2O5 in a gal/acre of 10-34-0 at 11.65 lb/gal */

#define ARKANSAS_HARD "; over 50 mg/L hardness " LW_SRC_ARKANSAS " prints double"

static lw_feed_rate powder(bool first, bool hard)
{
  lw_feed_rate r = {
      .low = POWDER(4),
      .used = POWDER(4),
      .high = POWDER(8),
      .text = "Repeat dose: about 4 lb an acre of a 52 % powder; 4-6 (Alabama) to 4-8 (Arkansas) is printed.",
      .source = "Practice, about 4 lb/acre (" LW_SRC_PRACTICE "); " LW_SRC_ALABAMA
                ": 4-6 lb/acre; " LW_SRC_ARKANSAS ": 4-8 lb/acre in soft water",
      .basis = "read"};
  if (first) {
    r.used = POWDER(6);
    r.text = "First dose: 4-8 lb an acre of a 52 % powder; the middle, 6, is used.";
  }
  if (hard) {
    r.used = POWDER(8);
    r.high = POWDER(16);
    r.text = "Hard water: 8 lb an acre of a 52 % powder is used, where Arkansas' hard-water range (8-16) "
             "begins.";
    r.source = LW_SRC_ARKANSAS ": 8-16 lb/acre over 50 mg/L calcium hardness";
  }
  return r;
}

static lw_feed_rate liquid(bool first, bool hard)
{
  lw_feed_rate r = {
      .low = 0.5 * GALLON_1034,
      .used = 0.75 * GALLON_1034,
      .high = GALLON_1034,
      .text = "Repeat dose: 3 quarts an acre of 10-34-0; 3-4 (Alabama) and 2-4 (Arkansas) are printed.",
      .source = LW_SRC_ALABAMA ": 3-4 qt/acre; " LW_SRC_ARKANSAS ": 0.5-1 gal/acre in soft water; density "
                               "11.65 lb/gal (second hand)",
      .basis = "read"};
  if (first) {
    r.used = GALLON_1034;
    r.text = "First dose: 4 quarts an acre of 10-34-0, the upper end of Alabama's 3-4.";
  }
  if (hard) {
    r.used = GALLON_1034;
    r.high = 2 * GALLON_1034;
    r.text = "Hard water: 1 gallon an acre of 10-34-0, where Arkansas' hard-water range (1-2) begins.";
    r.source = LW_SRC_ARKANSAS ": 1-2 gal/acre over 50 mg/L calcium hardness";
  }
  return r;
}

static lw_feed_rate granular(void)
{
  return (lw_feed_rate){.low = 4 * LB_ACRE,
                        .used = 8 * LB_ACRE,
                        .high = 8 * LB_ACRE,
                        .text = "8 lb of P2O5 an acre (40 lb of 20-20-5); 4-8 is printed elsewhere.",
                        .source = LW_SRC_ALABAMA ": 40 lb/acre of 20-20-5; " LW_SRC_EXTENSION ": 4-8 lb/acre",
                        .basis = "read"};
}

static lw_feed_rate controlled(void)
{
  return (lw_feed_rate){
      .low = POWDER(25),
      .used = POWDER(32.5),
      .high = POWDER(40),
      .text = "Controlled release, once a season: 25-40 lb an acre, the middle is used. The printed grade is "
              "doubtful (10-5-0, taken as 10-52-0): follow the label first.",
      .source = LW_SRC_ALABAMA ", item E: 25-40 lb/acre a year; grade doubtful as printed",
      .basis = "read"};
}

lw_feed_rate lw_feed_rate_for(const char *form, bool first, bool hard, bool half)
{
  lw_feed_rate r = strcmp(form, "liquid") == 0               ? liquid(first, hard)
                   : strcmp(form, "soluble-powder") == 0     ? powder(first, hard)
                   : strcmp(form, "controlled-release") == 0 ? controlled()
                                                             : granular();
  if (half && strcmp(form, "liquid") == 0) {
    r.low /= 2;
    r.used /= 2;
    r.text = "Half of the repeat dose, every two weeks, because the liquid cleared inside two weeks.";
    r.source = "Alabama Wildlife & Freshwater Fisheries Division, Liquid Fertilizer page";
  }
  return r;
}

lw_feed_rate lw_feed_rate_now(const lw_view *view, const char *form)
{
  const lw_seen *h = &view->latest.seen[LW_HARDNESS];
  bool hard = h->known && h->fresh && h->value > view->facts->program.hardness_high_mg_l;
  return lw_feed_rate_for(form, view->latest.feed_doses == 0, hard, lw_cleared_early(view));
}
