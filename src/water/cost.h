/* SPDX-License-Identifier: Apache-2.0 */
/* What a nutrient costs, so that offers of different grade and package can be compared. */
#ifndef LW_WATER_COST_H
#define LW_WATER_COST_H

#include "base/status.h"
#include "water/dose.h"

#define LW_PRICE_MAX 1e7

/* Price of a kilogram of P2O5 in a package of `package_kg` that costs `price` (in the store's money).
 * LW_INVALID where the grade holds no phosphate. Arithmetic. */
LW_MUST_CHECK lw_status lw_phosphorus_cost(double *out_per_kg, double price, double package_kg,
                                           const lw_grade *grade, lw_error *err);

#endif
