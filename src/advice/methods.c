/* SPDX-License-Identifier: Apache-2.0 */
#include "advice/methods.h"

/* One line a method: the entry `lw_method_<name>` of the file of that name in its science folder. */
#define EVERY_METHOD(X)                                                                                      \
  /* size of the water: basin */                                                                             \
  X(basin_slices)                                                                                            \
  X(basin_end_areas)                                                                                         \
  X(mean_depth)                                                                                              \
  X(shoreline_development)                                                                                   \
  X(circle_area)                                                                                             \
  X(rectangle_area)                                                                                          \
  X(pond_capacity)                                                                                           \
  /* feeding and treating: water */                                                                          \
  X(material_dose)                                                                                           \
  X(water_dose)                                                                                              \
  X(phosphorus_cost)                                                                                         \
  /* lime: water */                                                                                          \
  X(lime_requirement)                                                                                        \
  X(lime_from_alkalinity)                                                                                    \
  X(lime_fineness)                                                                                           \
  X(neutralizing_value)                                                                                      \
  /* chemistry, light, oxygen: water */                                                                      \
  X(trophic_state)                                                                                           \
  X(light_attenuation)                                                                                       \
  X(unionized_ammonia)                                                                                       \
  X(oxygen_saturation)                                                                                       \
  X(oxygen_at_dawn)                                                                                          \
  X(oxygen_transfer)                                                                                         \
  X(air_pressure)                                                                                            \
  /* water through the lake: water */                                                                        \
  X(weir_flow)                                                                                               \
  X(retention)                                                                                               \
  /* units: base */                                                                                          \
  X(convert)

#define DECLARE(name) extern const lw_method lw_method_##name;
#define LIST(name) &lw_method_##name,

EVERY_METHOD(DECLARE)

const lw_method *const lw_methods[] = {EVERY_METHOD(LIST) NULL};
