/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/geojson_check.h"

#include "exchange/plain.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static double rounded(double degrees)
{
  return round(degrees * 1e8) / 1e8 + 0.0; /* the sum turns -0 into 0 */
}

bool lw_position_is_sound(double longitude, double latitude, char sentence[LW_POSITION_SENTENCE])
{
  double x = fabs(longitude);
  double y = fabs(latitude);
  if (x <= 180 && y <= 90 && latitude >= -60) {
    return true;
  }
  if (x > 360 || y > 360) {
    (void)snprintf(sentence, LW_POSITION_SENTENCE,
                   "[%.10g, %.10g] looks like metres or feet of a map grid; export the outline in "
                   "longitude and latitude (WGS 84, EPSG:4326)",
                   longitude, latitude);
  } else if (x > 180) {
    (void)snprintf(sentence, LW_POSITION_SENTENCE,
                   "the longitude %.10g is beyond 180 degrees; expected [longitude, latitude] in "
                   "degrees, west and south negative",
                   longitude);
  } else if (y > 90) {
    (void)snprintf(sentence, LW_POSITION_SENTENCE,
                   "the latitude %.10g is beyond 90 degrees; latitude seems to come first here: write "
                   "[longitude, latitude], longitude first",
                   latitude);
  } else {
    (void)snprintf(sentence, LW_POSITION_SENTENCE,
                   "the latitude %.10g lies in the Antarctic; latitude seems to come first here: write "
                   "[longitude, latitude], longitude first",
                   latitude);
  }
  return false;
}

bool lw_same_position(const double *a, const double *b)
{
  return rounded(a[0]) == rounded(b[0]) && rounded(a[1]) == rounded(b[1]);
}

size_t lw_meridian_jump(const lw_ring *ring)
{
  for (size_t i = 1; i < ring->count; i++) {
    if (fabs(ring->lon_lat[2 * i] - ring->lon_lat[2 * i - 2]) > 180) {
      return i;
    }
  }
  return 0;
}

bool lw_crs_is_degrees(const char *crs, char sentence[LW_POSITION_SENTENCE])
{
  static const char *const known[] = {"CRS84", "CRS83", ":4326", ":4269"};
  char excerpt[LW_EXCERPT];
  size_t n = strlen(crs);
  for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
    if (n >= 5 && strcmp(crs + n - 5, known[i]) == 0) {
      return true;
    }
  }
  (void)snprintf(sentence, LW_POSITION_SENTENCE,
                 "the file names the coordinate system '%s'; export the outline in longitude and "
                 "latitude (WGS 84, EPSG:4326)",
                 lw_excerpt(crs, excerpt));
  return false;
}

lw_ring *lw_ring_list_add(lw_ring_list *list, lw_arena *arena)
{
  if (list->count == list->capacity) {
    size_t capacity = list->capacity ? 2 * list->capacity : 8;
    lw_ring *rings = LW_NEW(arena, lw_ring, capacity);
    if (!rings) {
      return NULL;
    }
    if (list->count) {
      memcpy(rings, list->rings, list->count * sizeof *rings);
    }
    list->rings = rings;
    list->capacity = capacity;
  }
  lw_ring *ring = &list->rings[list->count++];
  *ring = (lw_ring){0};
  return ring;
}

bool lw_ring_tidy(lw_ring *ring)
{
  double *p = ring->lon_lat;
  size_t kept = 0;
  for (size_t i = 0; i < ring->count; i++) {
    double longitude = rounded(p[2 * i]);
    double latitude = rounded(p[2 * i + 1]);
    if (kept && p[2 * kept - 2] == longitude && p[2 * kept - 1] == latitude) {
      continue;
    }
    p[2 * kept] = longitude;
    p[2 * kept + 1] = latitude;
    kept++;
  }
  ring->count = kept;
  return kept >= 4 && lw_same_position(p, p + 2 * (kept - 1));
}
