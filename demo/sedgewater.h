/* SPDX-License-Identifier: Apache-2.0 */
/* The demonstration: Sedgewater Club, an invented fishing club with four waters and two seasons of
 * records, for trying Lakeward out, for tests and for pictures. No place, person or figure in it is
 * real. Upper Sedge and Long Run are sounded by boat, Heron Pool with a rope (soundings.h); of Brickyard
 * there is what was told. Its last day is fixed, so that it always tells the same four stories:
 *   Upper Sedge  38 acres, clear, warm and few weeds: ready for the season's first dose ('do');
 *   Heron Pool    6 acres, sour mud and alkalinity 9 mg/L: lime first ('do'), no feed ('hold');
 *   Long Run     96 acres, a creek through it, nobody has lowered the disk for two weeks ('ask');
 *   Brickyard     2 acres, the disk at 9 in, but that is mud: no feed ('hold'), no alarm ('hold'). */
#ifndef LW_DEMO_SEDGEWATER_H
#define LW_DEMO_SEDGEWATER_H

#include "base/status.h"

#include <stdint.h>

#define LW_DEMO_TODAY "2026-04-08" /* the day to look at it: nothing is logged after */
#define LW_DEMO_SEED UINT64_C(33086)

/* Makes a new store at `path` and fills it: the file is complete or absent. Same seed, same records,
 * whatever the machine's clock says; another seed gives other rounds, rain and doses but the same four
 * stories. LW_CONFLICT when something is at `path`; LW_NOT_FOUND when PROJ, which measures the
 * outlines, is not installed; LW_IO, LW_BUSY, LW_MEMORY as the store. */
LW_MUST_CHECK lw_status lw_demo_write(const char *path, uint64_t seed, lw_error *err);

#endif
