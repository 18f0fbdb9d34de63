/* SPDX-License-Identifier: Apache-2.0 */
/* Making the levels, and getting them ready once the caller has filled them. */
#include "base/multigrid.h"

#include <math.h>
#include <string.h>

enum { NODES_MOST = 4000000, SIDE_MOST = 20000, COARSEST_SIDE = 17 };

static void set_offsets(lw_grid_level *l, int reach)
{
  int k = 0;
  for (int dj = 0; dj <= reach; dj++) {
    for (int di = dj == 0 ? 1 : -reach; di <= reach; di++) {
      l->offset[k++] = (ptrdiff_t)dj * (ptrdiff_t)l->stride + di;
    }
  }
  l->pair_count = k;
}

static lw_status make_level(lw_grid_level *l, size_t nx, size_t ny, int reach, lw_arena *arena, lw_error *err)
{
  l->nx = nx;
  l->ny = ny;
  l->stride = nx + 2 * (size_t)LW_GRID_EDGE;
  l->size = l->stride * (ny + 2 * (size_t)LW_GRID_EDGE);
  set_offsets(l, reach);
  double **arrays[] = {&l->self, &l->inverse, &l->x, &l->b, &l->r, &l->p};
  for (size_t a = 0; a < sizeof arrays / sizeof *arrays; a++) {
    *arrays[a] = LW_NEW(arena, double, l->size);
    if (!*arrays[a]) {
      return lw_fail(err, LW_MEMORY, "no memory for a grid of %zu x %zu nodes; take a wider step", nx, ny);
    }
  }
  l->first = LW_NEW(arena, size_t, ny);
  l->last = LW_NEW(arena, size_t, ny);
  if (!l->first || !l->last) {
    return lw_fail(err, LW_MEMORY, "no memory for a grid of %zu x %zu nodes; take a wider step", nx, ny);
  }
  for (int k = 0; k < l->pair_count; k++) {
    l->pairs[k] = LW_NEW(arena, double, l->size);
    if (!l->pairs[k]) {
      return lw_fail(err, LW_MEMORY, "no memory for a grid of %zu x %zu nodes; take a wider step", nx, ny);
    }
  }
  return LW_OK;
}

lw_status lw_multigrid_new(lw_multigrid **out, size_t nx, size_t ny, int reach, lw_arena *arena,
                           lw_error *err)
{
  if (nx < 3 || ny < 3 || nx > SIDE_MOST || ny > SIDE_MOST || nx * ny > NODES_MOST) {
    return lw_fail(err, LW_LIMIT,
                   "a grid of %zu x %zu nodes is outside 3 to %d a side and %d in all; take another step", nx,
                   ny, (int)SIDE_MOST, (int)NODES_MOST);
  }
  lw_multigrid *grid = LW_NEW(arena, lw_multigrid, 1);
  if (!grid) {
    return lw_fail(err, LW_MEMORY, "no memory for a grid");
  }
  grid->reach = reach;
  for (;;) {
    lw_status s = make_level(&grid->levels[grid->level_count++], nx, ny, reach, arena, err);
    if (s != LW_OK) {
      return s;
    }
    if ((nx <= COARSEST_SIDE && ny <= COARSEST_SIDE) || grid->level_count == LW_GRID_LEVELS) {
      break;
    }
    nx = nx / 2 + 1;
    ny = ny / 2 + 1;
  }
  grid->best = LW_NEW(arena, double, grid->levels[0].size);
  grid->search = LW_NEW(arena, double, grid->levels[0].size);
  const lw_grid_level *last = &grid->levels[grid->level_count - 1];
  size_t n = last->nx * last->ny;
  grid->dense = LW_NEW(arena, double, n *n);
  grid->dense_row = LW_NEW(arena, size_t, n);
  if (!grid->best || !grid->search || !grid->dense || !grid->dense_row) {
    return lw_fail(err, LW_MEMORY, "no memory for a grid");
  }
  *out = grid;
  return LW_OK;
}

void lw_multigrid_clear(lw_multigrid *grid)
{
  for (size_t v = 0; v < grid->level_count; v++) {
    lw_grid_level *l = &grid->levels[v];
    for (int k = 0; k < l->pair_count; k++) {
      if (l->touched[k]) {
        memset(l->pairs[k], 0, l->size * sizeof *l->pairs[k]);
        l->touched[k] = false;
      }
    }
    memset(l->self, 0, l->size * sizeof *l->self);
  }
}

static int pair_of(const lw_grid_level *l, ptrdiff_t offset)
{
  for (int k = 0; k < l->pair_count; k++) {
    if (l->offset[k] == offset) {
      return k;
    }
  }
  return 0;
}

void lw_grid_add_square(lw_grid_level *l, const size_t *at, const double *c, size_t count, double weight)
{
  for (size_t a = 0; a < count; a++) {
    l->self[at[a]] += weight * c[a] * c[a];
    for (size_t b = a + 1; b < count; b++) {
      size_t low = at[a] < at[b] ? at[a] : at[b];
      size_t high = at[a] < at[b] ? at[b] : at[a];
      int pair = pair_of(l, (ptrdiff_t)(high - low));
      lw_grid_touch(l, pair);
      l->pairs[pair][low] += weight * c[a] * c[b];
    }
  }
}

/* Gershgorin: no eigenvalue of the scaled operator is above the largest row sum. `row` is scratch. */
static lw_status prepare_row(lw_grid_level *l, size_t j, double *row, lw_error *err)
{
  size_t at = lw_grid_at(l, 0, j);
  memset(row, 0, l->nx * sizeof *row);
  for (int k = 0; k < l->pair_count; k++) {
    if (!l->touched[k]) {
      continue;
    }
    const double *up = l->pairs[k] + at;
    const double *down = up - l->offset[k];
    for (size_t i = 0; i < l->nx; i++) {
      row[i] += fabs(up[i]) + fabs(down[i]);
    }
  }
  l->first[j] = l->nx;
  l->last[j] = 0;
  for (size_t i = 0; i < l->nx; i++) {
    double self = l->self[at + i];
    if (self > 0) {
      l->first[j] = i < l->first[j] ? i : l->first[j];
      l->last[j] = i + 1;
    }
    if (!isfinite(row[i]) || !isfinite(self) || self < 0 || (self == 0 && row[i] > 0)) {
      return lw_fail(err, LW_INVALID, "the grid's operator is not positive definite at node %zu, %zu", i, j);
    }
    double inverse = self > 0 ? 1 / self : 0;
    double bound = 1 + row[i] * inverse;
    l->inverse[at + i] = inverse;
    l->largest = bound > l->largest ? bound : l->largest;
  }
  l->first[j] = l->last[j] ? l->first[j] : 0;
  return LW_OK;
}

static lw_status prepare_level(lw_grid_level *l, lw_error *err)
{
  lw_status s = LW_OK;
  l->largest = 1;
  for (size_t j = 0; s == LW_OK && j < l->ny; j++) {
    s = prepare_row(l, j, l->r, err);
  }
  memset(l->r, 0, l->size * sizeof *l->r);
  return s;
}

static void fill_dense(lw_multigrid *grid, const lw_grid_level *l)
{
  size_t n = 0;
  for (size_t j = 0; j < l->ny; j++) {
    for (size_t i = 0; i < l->nx; i++) {
      size_t at = lw_grid_at(l, i, j);
      if (l->self[at] > 0) {
        grid->dense_row[n++] = at;
      }
    }
  }
  grid->dense_count = n;
  for (size_t a = 0; a < n; a++) {
    for (size_t b = 0; b <= a; b++) {
      ptrdiff_t apart = (ptrdiff_t)(grid->dense_row[a] - grid->dense_row[b]);
      double value = 0;
      for (int k = 0; a != b && k < l->pair_count; k++) {
        value = l->offset[k] == apart ? l->pairs[k][grid->dense_row[b]] : value;
      }
      grid->dense[a * n + b] = a == b ? l->self[grid->dense_row[a]] : value;
    }
  }
}

static lw_status factor_dense(lw_multigrid *grid, lw_error *err)
{
  size_t n = grid->dense_count;
  double *d = grid->dense;
  for (size_t a = 0; a < n; a++) {
    for (size_t b = 0; b <= a; b++) {
      double sum = d[a * n + b];
      for (size_t k = 0; k < b; k++) {
        sum -= d[a * n + k] * d[b * n + k];
      }
      if (a == b && !(sum > 1e-14 * d[a * n + a])) {
        return lw_fail(err, LW_INVALID, "the grid's coarsest operator is not positive definite");
      }
      d[a * n + b] = a == b ? sqrt(sum) : sum / d[b * n + b];
    }
  }
  return LW_OK;
}

lw_status lw_multigrid_ready(lw_multigrid *grid, lw_error *err)
{
  lw_status s = LW_OK;
  for (size_t v = 0; s == LW_OK && v < grid->level_count; v++) {
    s = prepare_level(&grid->levels[v], err);
  }
  if (s == LW_OK) {
    fill_dense(grid, &grid->levels[grid->level_count - 1]);
    s = factor_dense(grid, err);
  }
  return s;
}
