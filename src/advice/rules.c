/* SPDX-License-Identifier: Apache-2.0 */
#include "advice/rules.h"

#include "advice/rules_feed.h"
#include "advice/rules_other.h"

#include <string.h>

/* Within a subject the first deciding rule gives the headline: what can kill fish first, what the
 * water is next, then time, weather and size; the disk last, because it speaks only when nothing else
 * is against it. */
const lw_rule *const lw_rules[] = {
    &lw_rule_oxygen_low,        &lw_rule_oxygen_crash,
    &lw_rule_oxygen_risk,       &lw_rule_green_disk,
    &lw_rule_green_ammonia,     &lw_rule_feed_oxygen,
    &lw_rule_feed_too_green,    &lw_rule_feed_crash,
    &lw_rule_feed_ammonia,      &lw_rule_feed_weed_kill,
    &lw_rule_feed_use,          &lw_rule_feed_fish,
    &lw_rule_feed_harvest,      &lw_rule_feed_mud,
    &lw_rule_feed_stain,        &lw_rule_feed_alkalinity,
    &lw_rule_feed_hardness,     &lw_rule_feed_ph,
    &lw_rule_feed_lime,         &lw_rule_feed_retention,
    &lw_rule_feed_downstream,   &lw_rule_feed_weeds,
    &lw_rule_feed_pellets,      &lw_rule_feed_season,
    &lw_rule_feed_temperature,  &lw_rule_feed_hot,
    &lw_rule_feed_interval,     &lw_rule_feed_clarity,
    &lw_rule_feed_color,        &lw_rule_feed_rain,
    &lw_rule_feed_wind,         &lw_rule_feed_size,
    &lw_rule_feed_clears_early, &lw_rule_feed_rate,
    &lw_rule_lime_alkalinity,   &lw_rule_lime_mud,
    &lw_rule_lime_recent,       &lw_rule_lime_retention,
    &lw_rule_lime_size,         &lw_rule_lime_season,
    &lw_rule_weeds_breath,      &lw_rule_weeds_hot,
    &lw_rule_weeds_again,       &lw_rule_weeds_warmth,
    &lw_rule_weeds_cover,       &lw_rule_weeds_copper,
    &lw_rule_weeds_shade,       &lw_rule_measure_due,
    &lw_rule_stock_need,        NULL,
};

const lw_rule *lw_rule_find(const char *id)
{
  for (const lw_rule *const *rule = lw_rules; *rule; rule++) {
    if (strcmp((*rule)->id, id) == 0) {
      return *rule;
    }
  }
  return NULL;
}
