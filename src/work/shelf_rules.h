/* SPDX-License-Identifier: Apache-2.0 */
/* What must hold of materials and amounts, whoever enters them: single entries and imported tables
 * call the same rules. */
#ifndef LW_WORK_SHELF_RULES_H
#define LW_WORK_SHELF_RULES_H

#include "base/records.h"
#include "base/status.h"

#include <stdbool.h>

/* Fills the kind where it was not told (a grade makes a fertilizer; ground and hydrated are lime) and
 * checks that a fertilizer has a grade that can be. */
LW_MUST_CHECK lw_status lw_material_settle_kind(lw_material *material, lw_error *err);

/* A package sold by volume gets its mass from the density; LW_INVALID where that is missing. */
LW_MUST_CHECK lw_status lw_material_weigh_package(lw_material *material, lw_error *err);

/* "4", "4 bags", "1,200 packages": true with the number. */
bool lw_read_packages(const char *text, double *out);

/* A word for packages, "" included: "bags", "sacks" ... */
bool lw_is_package_word(const char *word);

/* The amount of a treatment from packages (more than 0) or from a volume poured, by what is on record
 * of the material. */
LW_MUST_CHECK lw_status lw_treatment_take_packages(lw_treatment *treatment, const lw_material *material,
                                                   double packages, lw_error *err);
LW_MUST_CHECK lw_status lw_treatment_take_volume(lw_treatment *treatment, const lw_material *material,
                                                 double volume_l, lw_error *err);

/* What a material is put in for: feed, lime or other. */
const char *lw_material_purpose(const lw_material *material);

#endif
