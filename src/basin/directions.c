/* SPDX-License-Identifier: Apache-2.0 */
#include "basin/reckon.h"

#include <math.h>

/* A channel guides the bed this far to either side, in shares of the root of the area; the long axis guides
 * only where the water is so much longer than wide (both common practice, no source: cross-validation
 * decides whether and how strongly a direction is used at all). */
#define CHANNEL_REACH 0.08
#define LONG_LEAST 1.8

/* Squared distance from (x, y) to a piece of channel, and the piece's direction. */
static double piece_distance(lw_spot a, lw_spot b, double x, double y)
{
  double dx = b.x_m - a.x_m;
  double dy = b.y_m - a.y_m;
  double length = dx * dx + dy * dy;
  double at = length > 0 ? ((x - a.x_m) * dx + (y - a.y_m) * dy) / length : 0;
  at = fmin(fmax(at, 0), 1);
  return pow(x - a.x_m - at * dx, 2) + pow(y - a.y_m - at * dy, 2);
}

static void along_channels(lw_directions *out, size_t k, double x, double y, const lw_basin_input *in,
                           double reach)
{
  double nearest = INFINITY;
  double angle = 0;
  for (size_t c = 0; c < in->channel_count; c++) {
    const lw_channel *channel = &in->channels[c];
    for (size_t p = 1; p < channel->count; p++) {
      double apart = piece_distance(channel->spots[p - 1], channel->spots[p], x, y);
      if (apart < nearest) {
        nearest = apart;
        angle = atan2(channel->spots[p].y_m - channel->spots[p - 1].y_m,
                      channel->spots[p].x_m - channel->spots[p - 1].x_m);
      }
    }
  }
  out->east[k] = (float)cos(angle);
  out->north[k] = (float)sin(angle);
  out->strength[k] = (float)exp(-nearest / (reach * reach));
}

lw_status lw_basin_directions(lw_directions *out, const lw_frame *f, const lw_basin_input *in,
                              lw_arena *arena, lw_error *err)
{
  double angle = 0;
  double ratio = 1;
  *out = (lw_directions){0};
  lw_shore_long_axis(&in->shore, &angle, &ratio);
  if (in->channel_count == 0 && ratio < LONG_LEAST) {
    return LW_OK;
  }
  size_t n = f->nx * f->ny;
  lw_directions d = {LW_NEW(arena, float, n), LW_NEW(arena, float, n), LW_NEW(arena, float, n)};
  if (!d.east || !d.north || !d.strength) {
    return lw_fail(err, LW_MEMORY, "no memory for the depth map");
  }
  double reach = CHANNEL_REACH * sqrt(lw_shore_area_m2(&in->shore));
  for (size_t k = 0; k < n; k++) {
    size_t row = k / f->nx;
    double x = f->x0_m + f->step_m * (double)(k % f->nx);
    double y = f->y0_m + f->step_m * (double)row;
    if (in->channel_count) {
      along_channels(&d, k, x, y, in, reach);
    } else {
      d.east[k] = (float)cos(angle);
      d.north[k] = (float)sin(angle);
      d.strength[k] = 1;
    }
  }
  *out = d;
  return LW_OK;
}
