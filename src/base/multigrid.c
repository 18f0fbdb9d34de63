/* SPDX-License-Identifier: Apache-2.0 */
#include "base/multigrid.h"

#include <math.h>
#include <string.h>

/* Of the spectrum, what the coarse grid cannot see: for plates the symbol at wave number pi/2 is a
 * sixteenth of the largest, for diffusion a quarter. */
enum { SMOOTHING_STEPS = 3, SPREAD_OF_REACH_1 = 4, SPREAD_OF_REACH_2 = 16 };

/* ---- one level ---- */

/* `out` and `first` begin at the row's first live node of `nx`. */
static void apply_row(const lw_grid_level *l, double *restrict out, const double *restrict in, size_t first,
                      size_t nx)
{
  const double *self = l->self + first;
  const double *here = in + first;
  for (size_t i = 0; i < nx; i++) {
    out[i] = self[i] * here[i];
  }
  for (int k = 0; k < l->pair_count; k++) {
    if (!l->touched[k]) {
      continue;
    }
    const double *up = l->pairs[k] + first;
    const double *down = up - l->offset[k];
    const double *after = here + l->offset[k];
    const double *before = here - l->offset[k];
    for (size_t i = 0; i < nx; i++) {
      out[i] += up[i] * after[i] + down[i] * before[i];
    }
  }
}

void lw_grid_apply(const lw_grid_level *l, double *out, const double *in)
{
  for (size_t j = 0; j < l->ny; j++) {
    size_t first = lw_grid_at(l, l->first[j], j);
    apply_row(l, out + first, in, first, l->last[j] - l->first[j]);
  }
}

static void subtract(const lw_grid_level *l, double *out, const double *a, const double *b)
{
  for (size_t j = 0; j < l->ny; j++) {
    size_t at = lw_grid_at(l, l->first[j], j);
    for (size_t i = at; i < at + l->last[j] - l->first[j]; i++) {
      out[i] = l->self[i] > 0 ? a[i] - b[i] : 0;
    }
  }
}

/* out = a - image of x. */
static void remainder_of(const lw_grid_level *l, double *out, const double *a, const double *x)
{
  lw_grid_apply(l, out, x);
  subtract(l, out, a, out);
}

/* Row sums first, so that the sum does not depend on how rows are shared out. */
static double dot(const lw_grid_level *l, const double *a, const double *b)
{
  double total = 0;
  for (size_t j = 0; j < l->ny; j++) {
    const double *x = a + lw_grid_at(l, l->first[j], j);
    const double *y = b + lw_grid_at(l, l->first[j], j);
    size_t count = l->last[j] - l->first[j];
    double row[4] = {0};
    size_t i = 0;
    for (; i + 4 <= count; i += 4) {
      for (size_t k = 0; k < 4; k++) {
        row[k] += x[i + k] * y[i + k];
      }
    }
    for (; i < count; i++) {
      row[0] += x[i] * y[i];
    }
    total += (row[0] + row[1]) + (row[2] + row[3]);
  }
  return total;
}

/* x += the Chebyshev polynomial of the Jacobi iteration on [largest / spread, largest]; x starts at 0
 * when `fresh`. r and p are scratch. */
static void smooth(const lw_grid_level *l, double *x, const double *b, double spread, bool fresh)
{
  double high = l->largest;
  double low = high / spread;
  double middle = (high + low) / 2;
  double half = (high - low) / 2;
  double rho = half / middle;
  for (int step = 0; step < SMOOTHING_STEPS; step++) {
    bool first = step == 0;
    double next = first ? rho : 1 / (2 * middle / half - rho);
    double keep = first ? 0 : next * rho;
    double take = first ? 1 / middle : 2 * next / half;
    bool zero = first && fresh;
    for (size_t j = 0; j < l->ny; j++) {
      size_t at = lw_grid_at(l, l->first[j], j);
      if (!zero) {
        apply_row(l, l->r + at, x, at, l->last[j] - l->first[j]);
      }
      for (size_t i = at; i < at + l->last[j] - l->first[j]; i++) {
        double residual = zero ? b[i] : b[i] - l->r[i];
        l->p[i] = (first ? 0 : keep * l->p[i]) + take * l->inverse[i] * residual;
      }
    }
    for (size_t j = 0; j < l->ny; j++) {
      size_t at = lw_grid_at(l, l->first[j], j);
      for (size_t i = at; i < at + l->last[j] - l->first[j]; i++) {
        x[i] = zero ? l->p[i] : x[i] + l->p[i];
      }
    }
    rho = next;
  }
}

/* ---- between levels ---- */

/* coarse = transpose of the interpolation, applied to fine. */
static void collect(const lw_grid_level *coarse, double *out, const lw_grid_level *fine, const double *in)
{
  for (size_t j = 0; j < coarse->ny; j++) {
    for (size_t i = coarse->first[j]; i < coarse->last[j]; i++) {
      size_t c = lw_grid_at(coarse, i, j);
      /* the last coarse node may lie one step past the fine grid, on its dead edge */
      const double *f = in + lw_grid_at(fine, 2 * i, 2 * j);
      ptrdiff_t s = (ptrdiff_t)fine->stride;
      double sum =
          f[0] + 0.5 * (f[-1] + f[1] + f[-s] + f[s]) + 0.25 * (f[-s - 1] + f[-s + 1] + f[s - 1] + f[s + 1]);
      out[c] = coarse->self[c] > 0 ? sum : 0;
    }
  }
}

/* fine += interpolated coarse, on live nodes. */
static void spread_row(const lw_grid_level *fine, double *out, const lw_grid_level *coarse, const double *in,
                       size_t j)
{
  const double *south = in + lw_grid_at(coarse, 0, j / 2);
  const double *north = in + lw_grid_at(coarse, 0, j / 2 + j % 2);
  size_t at = lw_grid_at(fine, 0, j);
  for (size_t i = fine->first[j]; i < fine->last[j]; i++) {
    size_t west = i / 2;
    size_t east = west + i % 2;
    double value = 0.25 * (south[west] + south[east] + north[west] + north[east]);
    out[at + i] += fine->self[at + i] > 0 ? value : 0;
  }
}

static void spread(const lw_grid_level *fine, double *out, const lw_grid_level *coarse, const double *in)
{
  for (size_t j = 0; j < fine->ny; j++) {
    spread_row(fine, out, coarse, in, j);
  }
}

static void solve_dense(const lw_multigrid *grid, double *x, const double *b)
{
  size_t n = grid->dense_count;
  const double *d = grid->dense;
  const size_t *row = grid->dense_row;
  for (size_t a = 0; a < n; a++) {
    double sum = b[row[a]];
    for (size_t k = 0; k < a; k++) {
      sum -= d[a * n + k] * x[row[k]];
    }
    x[row[a]] = sum / d[a * n + a];
  }
  for (size_t a = n; a-- > 0;) {
    double sum = x[row[a]];
    for (size_t k = a + 1; k < n; k++) {
      sum -= d[k * n + a] * x[row[k]];
    }
    x[row[a]] = sum / d[a * n + a];
  }
}

/* x of level v = V-cycle on b from 0. */
static void cycle(lw_multigrid *grid, size_t v, double *x, const double *b)
{
  lw_grid_level *l = &grid->levels[v];
  if (v + 1 == grid->level_count) {
    solve_dense(grid, x, b);
    return;
  }
  double range = grid->reach == 2 ? SPREAD_OF_REACH_2 : SPREAD_OF_REACH_1;
  lw_grid_level *below = &grid->levels[v + 1];
  smooth(l, x, b, range, true);
  remainder_of(l, l->r, b, x);
  collect(below, below->b, l, l->r);
  cycle(grid, v + 1, below->x, below->b);
  spread(l, x, below, below->x);
  smooth(l, x, b, range, false);
}

void lw_multigrid_cycle(lw_multigrid *grid, double *out, const double *b)
{
  cycle(grid, 0, out, b);
}

/* ---- conjugate gradients ---- */

/* x += scale * search and residual -= scale * its image. */
static void step_along(const lw_multigrid *grid, double *x, double scale)
{
  const lw_grid_level *l = &grid->levels[0];
  for (size_t j = 0; j < l->ny; j++) {
    size_t at = lw_grid_at(l, l->first[j], j);
    for (size_t i = at; i < at + l->last[j] - l->first[j]; i++) {
      x[i] += scale * grid->search[i];
      l->b[i] -= scale * grid->best[i];
    }
  }
}

static void new_search(const lw_multigrid *grid, double keep)
{
  const lw_grid_level *l = &grid->levels[0];
  for (size_t j = 0; j < l->ny; j++) {
    size_t at = lw_grid_at(l, l->first[j], j);
    for (size_t i = at; i < at + l->last[j] - l->first[j]; i++) {
      grid->search[i] = l->x[i] + keep * grid->search[i];
    }
  }
}

static double total(const double *gains)
{
  double sum = 0;
  for (int k = 0; k < LW_GRID_WATCH; k++) {
    sum += gains[k];
  }
  return sum;
}

lw_status lw_multigrid_solve(lw_multigrid *grid, double *x, const double *b, const lw_multigrid_how *how,
                             int *out_iterations, lw_error *err)
{
  lw_grid_level *l = &grid->levels[0];
  double gains[LW_GRID_WATCH] = {0};
  double rz = 0;
  int done = 0;
  if (!how->warm) {
    memset(x, 0, l->size * sizeof *x);
  }
  remainder_of(l, l->b, b, x);
  for (; done < LW_GRID_WATCH || total(gains) > how->energy; done++) {
    if (done == how->most) {
      return lw_fail(err, LW_INTERNAL, "the depth surface did not settle in %d steps", how->most);
    }
    lw_multigrid_cycle(grid, l->x, l->b);
    double now = dot(l, l->b, l->x);
    if (now == 0) {
      break;
    }
    new_search(grid, done ? now / rz : 0);
    rz = now;
    lw_grid_apply(l, grid->best, grid->search);
    double energy = dot(l, grid->search, grid->best);
    if (!(energy > 0) || !isfinite(rz)) {
      return lw_fail(err, LW_INTERNAL, "the depth surface has no finite solution");
    }
    step_along(grid, x, rz / energy);
    gains[done % LW_GRID_WATCH] = rz / energy * rz;
  }
  if (out_iterations) {
    *out_iterations = done;
  }
  return LW_OK;
}
