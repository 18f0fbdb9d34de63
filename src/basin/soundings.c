/* SPDX-License-Identifier: Apache-2.0 */
#include "basin/soundings.h"

#define FLAW_ID(code, id, text) id,
#define FLAW_TEXT(code, id, text) text,

const char *lw_sounding_flaw_id(lw_sounding_flaw flaw)
{
  static const char *const ids[] = {LW_SOUNDING_FLAW_LIST(FLAW_ID)};
  return (size_t)flaw < LW_SOUNDING_FLAW_COUNT ? ids[flaw] : "unknown";
}

const char *lw_sounding_flaw_text(lw_sounding_flaw flaw)
{
  static const char *const texts[] = {LW_SOUNDING_FLAW_LIST(FLAW_TEXT)};
  return (size_t)flaw < LW_SOUNDING_FLAW_COUNT ? texts[flaw] : "set aside for a reason this version lacks";
}

lw_cleaning lw_cleaning_usual(void)
{
  return (lw_cleaning){.outside_tolerance_m = 5,
                       .deepest_m = 0,
                       .duplicate_distance_m = 0.05,
                       .spike_factor = 6,
                       .spike_least_m = 0.3};
}
