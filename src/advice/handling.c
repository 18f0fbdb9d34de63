/* SPDX-License-Identifier: Apache-2.0 */
/* How each form is put out, with the caution beside it. Sources: eXtension (dilution 10:1, platforms
 * of 45 sq ft for 5-10 acres), Alabama liquid fertilizer page (a quarter of the shore or surface),
 * Mississippi State (second hand: powder over 2 ft of water, 4 in over a platform). */
#include "advice/amounts.h"
#include "advice/words.h"

#include <math.h>
#include <string.h>

#define ACRE_M2 4046.8564224

void lw_item_step(lw_item *item, const char *text)
{
  if (item->step_count < LW_LINES_MAX) {
    item->steps[item->step_count++] = text;
  }
}

void lw_item_caution(lw_item *item, const char *text)
{
  if (item->caution_count < LW_LINES_MAX) {
    item->cautions[item->caution_count++] = text;
  }
}

void lw_item_reason(lw_item *item, const char *rule, const char *text, const char *source, const char *basis)
{
  if (item->reason_count < LW_REASONS_MAX) {
    item->reasons[item->reason_count++] =
        (lw_reason){.rule = rule, .text = text, .source = source, .basis = basis};
  }
}

static void liquid(lw_item *item)
{
  lw_item_step(item, "Dilute at least 10 parts of water to 1 of liquid (Mississippi allows 2 to 1): it is "
                     "heavier than water and sinks to the mud undiluted. Never pour it in as it is.");
  lw_item_step(item,
               "Spray or let it run astern over at least a quarter of the surface, or of the shore of a "
               "small pond.");
  lw_item_caution(item, "Gloves and goggles: liquid fertilizer stings eyes and skin. The label comes first.");
}

static void powder(lw_item *item)
{
  lw_item_step(item, "From a slow boat, wind astern, over water at least 2 ft deep; keep off the last third "
                     "before the spillway.");
  lw_item_step(item, "It dissolves on the way down; no platform, no mixing.");
  lw_item_caution(item, "Pour astern with the wind behind you; the dust burns eyes. Goggles, gloves, a dust "
                        "mask.");
}

static void granular(const lw_view *v, lw_item *item, double area_m2)
{
  double most = ceil(area_m2 / ACRE_M2 / 5.0);
  double least = ceil(area_m2 / ACRE_M2 / 10.0);
  lw_item_step(item, least == most
                         ? lw_say(v,
                                  "On %.0f platform%s of 45 sq ft with about 4 in of water over it, open to "
                                  "the wind.",
                                  most, most > 1 ? "s" : "")
                         : lw_say(v,
                                  "On %.0f to %.0f platforms of 45 sq ft (one for 5 to 10 acres) with about "
                                  "4 in of water over them.",
                                  least, most));
  lw_item_step(item, "Never broadcast granules: the mud takes the phosphorus before the water does.");
  lw_item_caution(item, "Gloves and goggles; do not carry more than you can lift safely.");
}

static void controlled(lw_item *item)
{
  lw_item_step(item, "Hang or float it in its bags as the label says, once, at the start of the season.");
  lw_item_step(item, "Take the bags out when the disk comes above the too-green mark.");
  lw_item_caution(item, "It cannot be called back once spread: bags only, and read the disk every week.");
}

static void lime(lw_item *item)
{
  lw_item_step(item,
               "Spread evenly over the whole bottom: from a boat or a barge with a shovel or a pump, or "
               "over the dry bed with a spreader truck.");
  lw_item_step(item, "Wait a month, then test alkalinity; no feed in the same weeks.");
  lw_item_caution(item, "Lime dust burns eyes and lungs: goggles, gloves, a dust mask, and stand upwind.");
}

void lw_item_handling(const lw_view *view, lw_item *item, const char *form, double area_m2)
{
  if (strcmp(form, "liquid") == 0) {
    liquid(item);
  } else if (strcmp(form, "soluble-powder") == 0) {
    powder(item);
  } else if (strcmp(form, "controlled-release") == 0) {
    controlled(item);
  } else if (strcmp(form, "ground") == 0 || strcmp(form, "hydrated") == 0) {
    lime(item);
  } else {
    granular(view, item, area_m2);
  }
  lw_item_caution(item, "In a boat: life jackets on, the load under the plate's limit and low, no work in "
                        "strong wind.");
  if (strcmp(view->facts->water->downstream, "neighbours") == 0) {
    lw_item_caution(item, "Neighbours live downstream: follow local rules on what may leave your spillway.");
  }
}
