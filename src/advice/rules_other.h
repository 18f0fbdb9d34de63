/* SPDX-License-Identifier: Apache-2.0 */
/* The rules for lime, too-green water, oxygen and weeds. */
#ifndef LW_ADVICE_RULES_OTHER_H
#define LW_ADVICE_RULES_OTHER_H

#include "advice/rules.h"

extern const lw_rule lw_rule_lime_alkalinity, lw_rule_lime_mud, lw_rule_lime_recent, lw_rule_lime_retention,
    lw_rule_lime_season, lw_rule_lime_size;
extern const lw_rule lw_rule_green_disk, lw_rule_green_ammonia;
extern const lw_rule lw_rule_oxygen_low, lw_rule_oxygen_crash, lw_rule_oxygen_risk;
extern const lw_rule lw_rule_weeds_breath, lw_rule_weeds_again, lw_rule_weeds_warmth;
extern const lw_rule lw_rule_weeds_cover, lw_rule_weeds_hot, lw_rule_weeds_copper, lw_rule_weeds_shade;
extern const lw_rule lw_rule_measure_due, lw_rule_stock_need;

/* The mud was read under pH 6 and the reading still counts. */
bool lw_mud_is_sour(const lw_view *view);

#endif
