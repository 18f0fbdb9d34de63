/* SPDX-License-Identifier: Apache-2.0 */
#include "basin/contours_parts.h"

#include "basin/shore_edges.h"

#include <math.h>
#include <stdlib.h>

enum { FIRST_ROOM = 1024 };

lw_status lw_tracing_begin(lw_tracing *out, const lw_level_grid *grid, lw_error *err)
{
  *out = (lw_tracing){0};
  out->label = calloc(grid->wide * grid->high, sizeof *out->label);
  return out->label ? LW_OK : lw_fail(err, LW_MEMORY, "no memory for contours");
}

void lw_tracing_end(lw_tracing *tracing)
{
  free(tracing->spots);
  free(tracing->rings);
  free(tracing->label);
  *tracing = (lw_tracing){0};
}

/* The list with room for one more element of `size` bytes; NULL (and the list as it was) without memory. */
static void *with_room(void *list, size_t count, size_t *room, size_t size)
{
  if (count < *room) {
    return list;
  }
  size_t more = *room ? *room * 2 : FIRST_ROOM;
  void *grown = more <= SIZE_MAX / size ? realloc(list, more * size) : NULL;
  *room = grown ? more : *room;
  return grown;
}

lw_status lw_tracing_add_spot(lw_tracing *tracing, lw_spot spot, lw_error *err)
{
  lw_spot *spots = with_room(tracing->spots, tracing->spot_count, &tracing->spot_room, sizeof spot);
  if (!spots) {
    return lw_fail(err, LW_MEMORY, "no memory for contours; take a wider interval");
  }
  tracing->spots = spots;
  spots[tracing->spot_count++] = spot;
  return LW_OK;
}

lw_status lw_tracing_add_ring(lw_tracing *tracing, lw_traced_ring ring, lw_error *err)
{
  lw_traced_ring *rings = with_room(tracing->rings, tracing->ring_count, &tracing->ring_room, sizeof ring);
  if (!rings) {
    return lw_fail(err, LW_MEMORY, "no memory for contours; take a wider interval");
  }
  tracing->rings = rings;
  rings[tracing->ring_count++] = ring;
  return LW_OK;
}

double lw_tracing_area_m2(const lw_tracing *tracing, size_t first)
{
  if (tracing->spot_count < first + 3) {
    return 0;
  }
  lw_spot origin = tracing->spots[first]; /* near, so that little is lost to rounding */
  double twice = 0;
  for (size_t k = first + 1; k + 1 < tracing->spot_count; k++) {
    lw_spot a = tracing->spots[k];
    lw_spot b = tracing->spots[k + 1];
    twice += (a.x_m - origin.x_m) * (b.y_m - origin.y_m) - (b.x_m - origin.x_m) * (a.y_m - origin.y_m);
  }
  return twice / 2;
}

/* ---- the shore as the contour of depth 0 ---- */

static void turn_round(lw_spot *spots, size_t count)
{
  for (size_t k = 0; k < count / 2; k++) {
    lw_spot held = spots[k];
    spots[k] = spots[count - 1 - k];
    spots[count - 1 - k] = held;
  }
}

/* A spot half way along an edge of the ring against another ring. */
static bool ring_holds(const lw_tracing *tracing, const lw_traced_ring *outer, lw_spot p)
{
  const lw_spot *spots = tracing->spots + outer->first;
  bool inside = false;
  for (size_t k = 0; k < outer->count; k++) {
    lw_spot a = spots[k];
    lw_spot b = spots[k + 1 < outer->count ? k + 1 : 0];
    if (lw_edge_cuts(a, b, p.y_m) && lw_edge_x_m(a, b, p.y_m) < p.x_m) {
      inside = !inside;
    }
  }
  return inside;
}

/* The smallest outer ring about a hole; the largest of all where touching rings leave none. */
static size_t outer_of(const lw_tracing *tracing, const lw_traced_ring *hole)
{
  lw_spot a = tracing->spots[hole->first];
  lw_spot b = tracing->spots[hole->first + 1];
  lw_spot p = {(a.x_m + b.x_m) / 2, (a.y_m + b.y_m) / 2};
  size_t best = SIZE_MAX;
  size_t largest = SIZE_MAX;
  for (size_t r = 0; r < tracing->ring_count; r++) {
    const lw_traced_ring *ring = &tracing->rings[r];
    if (ring->area_m2 <= 0) {
      continue;
    }
    if (largest == SIZE_MAX || ring->area_m2 > tracing->rings[largest].area_m2) {
      largest = r;
    }
    bool smaller = best == SIZE_MAX || ring->area_m2 < tracing->rings[best].area_m2;
    if (smaller && ring->area_m2 >= -hole->area_m2 && ring_holds(tracing, ring, p)) {
      best = r;
    }
  }
  return best != SIZE_MAX ? best : largest;
}

static lw_status add_shore_ring(lw_tracing *tracing, const lw_shore *shore, size_t r, lw_error *err)
{
  int sign = lw_shore_ring_sign(shore, r);
  size_t first = tracing->spot_count;
  lw_status s = LW_OK;
  for (size_t k = shore->ring_start[r]; s == LW_OK && k < shore->ring_start[r + 1]; k++) {
    s = lw_tracing_add_spot(tracing, shore->spots[k], err);
  }
  if (s != LW_OK || sign == 0) {
    return s;
  }
  lw_traced_ring ring = {first, tracing->spot_count - first, 0, tracing->ring_count};
  if (sign < 0) { /* the water must lie on the left */
    turn_round(tracing->spots + first, ring.count);
  }
  ring.area_m2 = lw_tracing_area_m2(tracing, first);
  return lw_tracing_add_ring(tracing, ring, err);
}

lw_status lw_tracing_shore(lw_tracing *tracing, const lw_shore *shore, lw_error *err)
{
  tracing->ring_count = 0;
  tracing->spot_count = 0;
  lw_status s = LW_OK;
  for (size_t r = 0; s == LW_OK && r < shore->ring_count; r++) {
    s = add_shore_ring(tracing, shore, r, err);
  }
  for (size_t r = 0; s == LW_OK && r < tracing->ring_count; r++) {
    if (tracing->rings[r].area_m2 < 0) {
      size_t outer = outer_of(tracing, &tracing->rings[r]);
      tracing->rings[r].outer = outer != SIZE_MAX ? outer : r;
    }
  }
  return s;
}
