/* SPDX-License-Identifier: Apache-2.0 */
#include "survey.h"

#include <math.h>
#include <stdio.h>

bool survey_make(survey *out, const lw_lake_ask *lake, const lw_sailing *how, lw_arena *arena)
{
  lw_error err = {0};
  lw_status status = lw_lake_make(&out->lake, lake, arena, &err);
  status = status == LW_OK ? lw_lake_sail(&out->sailed, &out->lake, how, arena, &err) : status;
  out->input = (lw_basin_input){.shore = out->lake.shore,
                                .soundings = out->sailed.soundings,
                                .sounding_count = out->sailed.count,
                                .seed = 1};
  if (status != LW_OK) {
    (void)fprintf(stderr, "no survey: %s\n", err.message);
  }
  return status == LW_OK;
}

size_t survey_shore(lw_spot *out, size_t room, const lw_shore *shore, double apart_m)
{
  size_t n = 0;
  for (size_t r = 0; r < shore->ring_count; r++) {
    size_t first = shore->ring_start[r];
    size_t end = shore->ring_start[r + 1];
    for (size_t k = first; k < end; k++) {
      lw_spot p = shore->spots[k];
      lw_spot q = shore->spots[k + 1 < end ? k + 1 : first];
      size_t pieces = (size_t)ceil(hypot(q.x_m - p.x_m, q.y_m - p.y_m) / apart_m);
      for (size_t m = 0; m < pieces; m++, n++) {
        double at = (double)m / (double)pieces;
        if (n < room) {
          out[n] = (lw_spot){p.x_m + at * (q.x_m - p.x_m), p.y_m + at * (q.y_m - p.y_m)};
        }
      }
    }
  }
  return n;
}
