/* SPDX-License-Identifier: Apache-2.0 */
/* Whether the positions lie at the water, and if they do not, what was most likely done to them. */
#include "exchange/plane.h"
#include "exchange/soundings_read.h"

#include "base/text.h"
#include "exchange/plain.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define RADIANS 0.017453292519943295
#define KM_PER_DEGREE 111.32
#define ZONE_DEGREES 6 /* of the Universal Transverse Mercator grid */

typedef struct box {
  double west, south, east, north;
} box;

/* What may have been done to a position: the cure is applied and the box looked into again. */
typedef struct cure {
  bool swap;
  double sign_longitude, sign_latitude, shift_longitude;
  const char *sentence;
} cure;

static const cure none = {false, 1, 1, 0, NULL};

static const cure cures[] = {
    {true, 1, 1, 0, "longitude and latitude are swapped: name them the other way round"},
    {false, -1, 1, 0, "the sign of the longitude is lost: degrees west are negative"},
    {false, 1, -1, 0, "the sign of the latitude is lost: degrees south are negative, north positive"},
    {false, -1, -1, 0, "the signs of longitude and latitude are lost: west and south are negative"},
    {true, -1, 1, 0, "longitude and latitude are swapped, and the sign of the longitude is lost"},
    {true, 1, -1, 0, "longitude and latitude are swapped, and the sign of the latitude is lost"},
    {true, -1, -1, 0, "longitude and latitude are swapped, and their signs are lost"},
};

/* The water's box with a little room for the boat at the ramp and a poor outline. */
static box water_box(const lw_soundings_how *how)
{
  double x = 0.05 * (how->east - how->west) + 0.0005;
  double y = 0.05 * (how->north - how->south) + 0.0005;
  return (box){how->west - x, how->south - y, how->east + x, how->north + y};
}

static bool is_told(const lw_soundings_how *how)
{
  return how->west < how->east && how->south < how->north;
}

static bool holds(const box *b, double longitude, double latitude)
{
  return longitude >= b->west && longitude <= b->east && latitude >= b->south && latitude <= b->north;
}

static size_t count_inside(const lw_soundings_reading *r, const box *b, const cure *c)
{
  size_t n = 0;
  for (size_t i = 0; i < r->out.count; i++) {
    const lw_fix *fix = &r->fixes[i];
    double x = c->swap ? fix->latitude : fix->longitude;
    double y = c->swap ? fix->longitude : fix->latitude;
    n += holds(b, c->sign_longitude * x + c->shift_longitude, c->sign_latitude * y) ? 1 : 0;
  }
  return n;
}

static bool cures_most(const lw_soundings_reading *r, const box *b, const cure *c)
{
  return 2 * count_inside(r, b, c) >= r->out.count;
}

/* --- the likely cause --- */

static lw_status refuse_zone(lw_soundings_reading *r, int zones)
{
  char excerpt[LW_EXCERPT];
  return lw_soundings_refuse(
      r, 0, 0,
      "the positions lie exactly %d degrees of longitude %s of this water: the system %s is "
      "that of another zone, %d to the %s; name the water's own",
      abs(zones) * ZONE_DEGREES, zones < 0 ? "east" : "west", lw_excerpt(r->how->system, excerpt), abs(zones),
      zones < 0 ? "west" : "east");
}

static box fixes_box(const lw_soundings_reading *r)
{
  box b = {INFINITY, INFINITY, -INFINITY, -INFINITY};
  for (size_t i = 0; i < r->out.count; i++) {
    b.west = fmin(b.west, r->fixes[i].longitude);
    b.east = fmax(b.east, r->fixes[i].longitude);
    b.south = fmin(b.south, r->fixes[i].latitude);
    b.north = fmax(b.north, r->fixes[i].latitude);
  }
  return b;
}

static const char *direction(double east_km, double north_km)
{
  static const char *const names[] = {"east", "north-east", "north", "north-west",
                                      "west", "south-west", "south", "south-east"};
  int eighth = (int)lround(atan2(north_km, east_km) / (45 * RADIANS));
  return names[(eighth + 8) % 8];
}

/* No simple slip: say how far off they are, and whether the whole file is shifted as one piece. */
static lw_status refuse_elsewhere(lw_soundings_reading *r, const box *b, size_t inside)
{
  box f = fixes_box(r);
  double shrink = cos((b->south + b->north) / 2 * RADIANS);
  double east_km = ((f.west + f.east) - (b->west + b->east)) / 2 * KM_PER_DEGREE * shrink;
  double north_km = ((f.south + f.north) - (b->south + b->north)) / 2 * KM_PER_DEGREE;
  double away_km = hypot(east_km, north_km);
  bool fits = f.east - f.west <= b->east - b->west && f.north - f.south <= b->north - b->south;
  if (fits) {
    return lw_soundings_refuse(
        r, 0, 0,
        "all positions lie about %.3g km to the %s of this water, shifted as one piece: they "
        "belong to another water, or to another zone, datum or system",
        away_km, direction(east_km, north_km));
  }
  return lw_soundings_refuse(
      r, 0, 0,
      "only %zu of %zu positions lie at this water; the others reach from longitude %.5f to "
      "%.5f and latitude %.5f to %.5f: check the water, and the coordinate system of the file",
      inside, r->out.count, f.west, f.east, f.south, f.north);
}

static lw_status refuse_place(lw_soundings_reading *r, const box *b, size_t inside)
{
  for (size_t i = 0; i < sizeof cures / sizeof *cures; i++) {
    if (cures_most(r, b, &cures[i])) {
      return lw_soundings_refuse(r, 0, 0, "the positions do not lie at this water: %s", cures[i].sentence);
    }
  }
  for (int zones = -59; r->is_grid && zones <= 59; zones++) {
    cure shifted = none;
    shifted.shift_longitude = zones * ZONE_DEGREES;
    if (zones != 0 && cures_most(r, b, &shifted)) {
      return refuse_zone(r, zones);
    }
  }
  return refuse_elsewhere(r, b, inside);
}

/* --- map grids --- */

/* Does the middle one lie at the water with x and y the other way round? */
static bool is_swapped_grid(const lw_soundings_reading *r, const double *raw)
{
  double pair[2] = {raw[1], raw[0]};
  box b = water_box(r->how);
  lw_error ignored = {0};
  return is_told(r->how) && lw_plane_unproject(pair, 1, r->how->system, &ignored) == LW_OK &&
         holds(&b, pair[0], pair[1]);
}

static lw_status refuse_swapped_grid(lw_soundings_reading *r)
{
  return lw_soundings_refuse(
      r, 0, 0,
      "x and y are swapped: x is the easting, y the northing; name the columns the other "
      "way round");
}

static lw_status unproject(lw_soundings_reading *r, double *pairs)
{
  for (size_t i = 0; i < r->out.count; i++) {
    pairs[2 * i] = r->fixes[i].longitude;
    pairs[2 * i + 1] = r->fixes[i].latitude;
  }
  size_t middle = r->out.count / 2;
  double raw[2] = {pairs[2 * middle], pairs[2 * middle + 1]};
  lw_error fault = {0};
  lw_status status = lw_plane_unproject(pairs, r->out.count, r->how->system, &fault);
  box b = water_box(r->how);
  bool at_water = status == LW_OK && is_told(r->how) && holds(&b, pairs[2 * middle], pairs[2 * middle + 1]);
  if (!at_water && (status == LW_OK || status == LW_INVALID) && is_swapped_grid(r, raw)) {
    return refuse_swapped_grid(r);
  }
  for (size_t i = 0; status == LW_OK && i < r->out.count; i++) {
    r->fixes[i].longitude = pairs[2 * i];
    r->fixes[i].latitude = pairs[2 * i + 1];
  }
  return status == LW_OK ? LW_OK : lw_fail_at(r->err, status, r->name, 0, 0, "%s", fault.message);
}

lw_status lw_soundings_judge_place(lw_soundings_reading *r)
{
  lw_status status = LW_OK;
  if (r->is_grid) {
    double *pairs = calloc(r->out.count, 2 * sizeof *pairs);
    status = pairs ? unproject(r, pairs) : lw_soundings_fail_memory(r);
    free(pairs);
  }
  if (status != LW_OK || !is_told(r->how)) {
    return status;
  }
  box b = water_box(r->how);
  size_t inside = count_inside(r, &b, &none);
  return 2 * inside >= r->out.count ? LW_OK : refuse_place(r, &b, inside);
}
