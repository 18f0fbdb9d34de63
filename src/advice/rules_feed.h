/* SPDX-License-Identifier: Apache-2.0 */
/* The rules for feeding the bloom, and what they share. */
#ifndef LW_ADVICE_RULES_FEED_H
#define LW_ADVICE_RULES_FEED_H

#include "advice/rules.h"

extern const lw_rule lw_rule_feed_oxygen, lw_rule_feed_too_green, lw_rule_feed_crash, lw_rule_feed_mud,
    lw_rule_feed_stain, lw_rule_feed_color, lw_rule_feed_temperature, lw_rule_feed_alkalinity,
    lw_rule_feed_hardness, lw_rule_feed_ammonia, lw_rule_feed_weed_kill, lw_rule_feed_ph, lw_rule_feed_weeds,
    lw_rule_feed_clarity;
extern const lw_rule lw_rule_feed_use, lw_rule_feed_fish, lw_rule_feed_harvest, lw_rule_feed_pellets,
    lw_rule_feed_size, lw_rule_feed_season, lw_rule_feed_interval, lw_rule_feed_lime, lw_rule_feed_retention,
    lw_rule_feed_downstream, lw_rule_feed_rain, lw_rule_feed_wind, lw_rule_feed_hot, lw_rule_feed_rate,
    lw_rule_feed_clears_early;

/* Mid-season by the calendar: more than 60 days after its start and before its end. */
bool lw_deep_season(const lw_view *view);

/* The last dose was liquid, the disk came into the aim after it and left again within two weeks. */
bool lw_cleared_early(const lw_view *view);

#endif
