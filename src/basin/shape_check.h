/* SPDX-License-Identifier: Apache-2.0 */
/* Range check of the pond shapes. Private to basin. */
#ifndef LW_BASIN_SHAPE_CHECK_H
#define LW_BASIN_SHAPE_CHECK_H

#include "base/status.h"

static inline lw_status lw_shape_check(const char *field, double value, double high, const char *unit,
                                       lw_error *err)
{
  return value >= 0 && value <= high
             ? LW_OK
             : lw_fail(err, LW_INVALID, "%s must lie between 0 and %.0f %s; check the number and unit", field,
                       high, unit);
}

#endif
