/* SPDX-License-Identifier: Apache-2.0 */
/* Any bytes as an outline: what is accepted is finite, within range, and reads again as the same. */
#include "fuzz.h"

#include "base/text.h"
#include "exchange/outline.h"

#include <math.h>
#include <string.h>

static void check_outline(const lw_outline *o)
{
  CHECK(isfinite(o->area_m2) && o->area_m2 >= 10 && o->area_m2 <= 1e10);
  CHECK(isfinite(o->perimeter_m) && o->perimeter_m > 0);
  CHECK(o->west < o->east && o->south < o->north);
  CHECK(o->centre_longitude > o->west && o->centre_longitude < o->east);
  CHECK(o->centre_latitude > o->south && o->centre_latitude < o->north);
  CHECK(o->parts >= 1 && o->points >= 3 * (o->parts + o->islands));
  CHECK(o->points <= LW_OUTLINE_POINTS + 1);
  /* no shape encloses more than a circle of its perimeter, on a plane; allow for the ellipsoid */
  CHECK(o->area_m2 <= 1.02 * o->perimeter_m * o->perimeter_m / (4 * 3.14159265358979));
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
  lw_arena *arena = lw_arena_new((size_t)64 << 20);
  lw_outline first = {0};
  lw_outline again = {0};
  lw_error err = {0};
  CHECK(arena);
  if (lw_outline_parse(&first, "fuzz", (const char *)data, size, arena, &err) == LW_OK) {
    check_outline(&first);
    lw_status status = lw_outline_parse(&again, "again", first.geojson, strlen(first.geojson), arena, &err);
    CHECK(status == LW_OK);
    CHECK(strcmp(first.geojson, again.geojson) == 0);
    CHECK(fabs(first.area_m2 - again.area_m2) <= 1e-6 * first.area_m2);
  } else {
    CHECK(err.message[0] && lw_text_is_clean(err.message, strlen(err.message)));
  }
  lw_arena_free(arena);
  return 0;
}
