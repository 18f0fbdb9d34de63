/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/outline_write.h"

#include "exchange/plain.h"

#include <jansson.h>
#include <math.h>
#include <stdlib.h>

static lw_status write_feature(lw_text *out, const lw_outline_feature *feature, lw_error *err)
{
  char excerpt[LW_EXCERPT];
  json_t *name = json_string(feature->name);
  char *quoted = name ? json_dumps(name, JSON_ENCODE_ANY) : NULL;
  json_decref(name);
  if (!quoted) {
    return lw_fail(err, LW_INVALID, "the name '%s' is not UTF-8 text; rename the water",
                   lw_excerpt(feature->name, excerpt));
  }
  lw_text_addf(out, "{\"type\":\"Feature\",\"properties\":{\"name\":%s", quoted);
  free(quoted);
  if (feature->area_m2.known) {
    char number[LW_NUMBER_MAX];
    if (!isfinite(feature->area_m2.value)) {
      return lw_fail(err, LW_INVALID, "the area of '%s' is not a number", lw_excerpt(feature->name, excerpt));
    }
    lw_text_addf(out, ",\"area_m2\":%s", lw_number_text(feature->area_m2.value, number));
  }
  lw_text_addf(out, "},\"geometry\":%s}", feature->geojson);
  return LW_OK;
}

lw_status lw_outline_collection(lw_text *out, const lw_outline_feature *features, size_t count, lw_error *err)
{
  lw_text_add(out, "{\"type\":\"FeatureCollection\",\"features\":[");
  for (size_t i = 0; i < count; i++) {
    lw_text_add(out, i ? ",\n" : "\n");
    lw_status status = write_feature(out, &features[i], err);
    if (status != LW_OK) {
      return status;
    }
  }
  lw_text_add(out, "\n]}\n");
  return out->failed ? lw_fail(err, LW_MEMORY, "there is no memory for %zu outlines", count) : LW_OK;
}
