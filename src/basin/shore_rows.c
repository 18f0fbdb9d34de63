/* SPDX-License-Identifier: Apache-2.0 */
#include "basin/shore_rows.h"

#include "basin/shore_edges.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { ROWS_MOST = 65536, ENTRIES_PER_EDGE = 16 };

static size_t row_of(const lw_shore_rows *r, double y_m)
{
  double row = (y_m - r->south_m) * r->per_m;
  return row < (double)r->count ? (size_t)fmax(row, 0) : r->count - 1;
}

/* What to do with one edge: count it (entry NULL) or put it into its rows. */
static void put(const lw_shore_rows *r, lw_spot a, lw_spot b, size_t *at, lw_rise *entry)
{
  lw_spot low = a.y_m < b.y_m ? a : b;
  lw_spot high = a.y_m < b.y_m ? b : a;
  if (!(high.y_m > low.y_m)) {
    return;
  }
  size_t last = row_of(r, high.y_m);
  for (size_t row = row_of(r, low.y_m); row <= last; row++) {
    if (entry) {
      entry[at[row]] = (lw_rise){low.y_m, high.y_m, low.x_m, (high.x_m - low.x_m) / (high.y_m - low.y_m)};
    }
    at[row]++;
  }
}

static void put_all(const lw_shore_rows *r, const lw_shore *shore, size_t *at, lw_rise *entry)
{
  for (size_t ring = 0; ring < shore->ring_count; ring++) {
    for (size_t k = shore->ring_start[ring]; k < shore->ring_start[ring + 1]; k++) {
      put(r, shore->spots[k], shore->spots[lw_shore_next(shore, ring, k)], at, entry);
    }
  }
}

/* About as many rows as edges, fewer when the edges are so tall that the lists would grow long. */
static size_t row_count(const lw_shore *shore, double height_m)
{
  double climb = 0;
  for (size_t ring = 0; ring < shore->ring_count; ring++) {
    for (size_t k = shore->ring_start[ring]; k < shore->ring_start[ring + 1]; k++) {
      climb += fabs(shore->spots[lw_shore_next(shore, ring, k)].y_m - shore->spots[k].y_m);
    }
  }
  double edges = (double)shore->spot_count;
  double count = fmin(edges, ROWS_MOST);
  if (height_m > 0 && climb > 0) {
    count = fmin(count, ENTRIES_PER_EDGE * edges * height_m / climb);
  }
  return (size_t)fmax(count, 1);
}

lw_status lw_shore_rows_build(lw_shore_rows *out, const lw_shore *shore, lw_arena *arena, lw_error *err)
{
  lw_box box = lw_shore_box(shore);
  double height = box.north_m - box.south_m;
  *out = (lw_shore_rows){.south_m = box.south_m, .north_m = box.north_m, .count = row_count(shore, height)};
  out->per_m = height > 0 ? (double)out->count / height : 0;
  out->start = LW_NEW(arena, size_t, out->count + 1);
  size_t *at = LW_NEW(arena, size_t, out->count + 1);
  if (!out->start || !at) {
    return lw_fail(err, LW_MEMORY, "no memory for the outline's %zu edges", shore->spot_count);
  }
  put_all(out, shore, out->start + 1, NULL);
  for (size_t row = 0; row < out->count; row++) {
    out->longest = out->longest > out->start[row + 1] ? out->longest : out->start[row + 1];
    out->start[row + 1] += out->start[row];
  }
  out->rises = LW_NEW(arena, lw_rise, out->start[out->count]);
  if (!out->rises) {
    return lw_fail(err, LW_MEMORY, "no memory for the outline's %zu edges", shore->spot_count);
  }
  memcpy(at, out->start, (out->count + 1) * sizeof *at);
  put_all(out, shore, at, out->rises);
  return LW_OK;
}

bool lw_shore_rows_inside(const lw_shore_rows *r, lw_spot spot)
{
  if (!(spot.y_m >= r->south_m && spot.y_m < r->north_m)) {
    return false;
  }
  size_t row = row_of(r, spot.y_m);
  size_t west = 0;
  for (size_t k = r->start[row]; k < r->start[row + 1]; k++) {
    const lw_rise *e = &r->rises[k];
    bool cuts = (e->low_m <= spot.y_m) & (spot.y_m < e->high_m);
    west += cuts & (e->x_m + (spot.y_m - e->low_m) * e->slope < spot.x_m);
  }
  return west % 2 == 1;
}

static int growing(const void *a, const void *b)
{
  double x = *(const double *)a;
  double y = *(const double *)b;
  return (x > y) - (x < y);
}

size_t lw_shore_rows_cuts(double *x_m, const lw_shore_rows *r, double y_m)
{
  if (!(y_m >= r->south_m && y_m < r->north_m)) {
    return 0;
  }
  size_t row = row_of(r, y_m);
  size_t count = 0;
  for (size_t k = r->start[row]; k < r->start[row + 1]; k++) {
    const lw_rise *e = &r->rises[k];
    if (e->low_m <= y_m && y_m < e->high_m) {
      x_m[count++] = e->x_m + (y_m - e->low_m) * e->slope;
    }
  }
  qsort(x_m, count, sizeof *x_m, growing);
  return count;
}
