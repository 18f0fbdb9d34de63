/* SPDX-License-Identifier: Apache-2.0 */
#include "soundings.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
  const lw_soundings_how told = {.depth_unit = "ft", .day = 20000, .deepest_likely_m = 5};
  const lw_soundings_how boxed = {
      .depth_unit = "m", .west = -84.2, .south = 33.1, .east = -84, .north = 33.3};
  try_soundings("run.geojson", data, size, size % 3 == 0 ? NULL : size % 3 == 1 ? &told : &boxed);
  return 0;
}
