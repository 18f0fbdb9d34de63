/* SPDX-License-Identifier: Apache-2.0 */
/* What single positions and rings of an outline must hold, in degrees of longitude and latitude
 * (WGS 84), and the sentences for when they do not. Private to exchange. */
#ifndef LW_EXCHANGE_GEOJSON_CHECK_H
#define LW_EXCHANGE_GEOJSON_CHECK_H

#include "exchange/geojson.h"

enum { LW_POSITION_SENTENCE = 400 };

/* True when a fishing water can lie there; else `sentence` says what is wrong and the likely cause
 * (latitude first, metres of a map grid). The ice south of 60 S counts as wrong: there the swapped
 * positions of North American waters land. */
bool lw_position_is_sound(double longitude, double latitude, char sentence[LW_POSITION_SENTENCE]);

/* Equal after rounding to 1e-8 degree. */
bool lw_same_position(const double *a, const double *b);

/* Index of the first position more than 180 degrees of longitude from the one before it; 0: none. */
size_t lw_meridian_jump(const lw_ring *ring);

/* The old "crs" member (GeoJSON of 2008) may only name longitude and latitude: WGS 84, or NAD 83
 * which agrees with it within about two metres; else `sentence` says what to do. */
bool lw_crs_is_degrees(const char *crs, char sentence[LW_POSITION_SENTENCE]);

#endif
