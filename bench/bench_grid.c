/* SPDX-License-Identifier: Apache-2.0 */
/* The system of one depth map solved by base/multigrid and, exactly, by CHOLMOD of SuiteSparse (Chen, Davis,
 * Hager & Rajamanickam 2008, ACM TOMS 35:22): how far the answers lie apart, and the times.
 *   bench_grid [NODES A SIDE [TURNS]]    (400, 3)
 * The figures are for reading, no threshold is judged. */
#include "clock.h"
#include "survey.h"

#include "basin/surface.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#ifdef LW_HAVE_CHOLMOD

#include <suitesparse/cholmod.h>

#define ARENA ((size_t)8 << 30)

enum { TURNS_MOST = 99 };

typedef struct figures {
  double solve_ms, tight_ms, apart, tight_apart; /* by multigrid: as the depth map asks, and to 1e-10 */
  int iterations, tight_iterations;
  double state_ms, factor_ms, back_ms; /* stating the levels; by CHOLMOD */
  double mib;
} figures;

/* ---- the operator as a sparse matrix ---- */

typedef struct numbering {
  size_t *at;   /* place of unknown k in the padded arrays */
  int *unknown; /* of each place; -1: dead */
  size_t count;
} numbering;

static bool number_nodes(numbering *n, const lw_grid_level *l, lw_arena *arena)
{
  n->at = LW_NEW(arena, size_t, l->size);
  n->unknown = LW_NEW(arena, int, l->size);
  n->count = 0;
  for (size_t k = 0; n->at && n->unknown && k < l->size; k++) {
    n->unknown[k] = l->self[k] > 0 ? (int)n->count : -1;
    if (l->self[k] > 0) {
      n->at[n->count++] = k;
    }
  }
  return n->count > 0;
}

/* Lower triangle, column by column. */
static cholmod_sparse *matrix_of(const lw_grid_level *l, const numbering *n, cholmod_common *c)
{
  size_t most = n->count * (size_t)(l->pair_count + 1);
  cholmod_sparse *m = cholmod_allocate_sparse(n->count, n->count, most, 1, 1, -1, CHOLMOD_REAL, c);
  if (!m) {
    return NULL;
  }
  int *start = m->p;
  int *row = m->i;
  double *value = m->x;
  int filled = 0;
  for (size_t k = 0; k < n->count; k++) {
    start[k] = filled;
    row[filled] = (int)k;
    value[filled++] = l->self[n->at[k]];
    for (int p = 0; p < l->pair_count; p++) {
      double pair = l->pairs[p][n->at[k]];
      if (pair != 0) {
        row[filled] = n->unknown[n->at[k] + (size_t)l->offset[p]];
        value[filled++] = pair;
      }
    }
  }
  start[n->count] = filled;
  return m;
}

/* ---- both ways ---- */

static bool by_cholmod(double *x, figures *f, const lw_surface *s, lw_arena *arena)
{
  const lw_grid_level *l = &s->grid->levels[0];
  cholmod_common c;
  numbering n;
  (void)cholmod_start(&c);
  bool good = number_nodes(&n, l, arena);
  cholmod_sparse *m = good ? matrix_of(l, &n, &c) : NULL;
  cholmod_dense *b = m ? cholmod_zeros(n.count, 1, CHOLMOD_REAL, &c) : NULL;
  for (size_t k = 0; b && k < n.count; k++) {
    ((double *)b->x)[k] = s->rhs[n.at[k]];
  }
  double start = clock_ms();
  cholmod_factor *factor = b ? cholmod_analyze(m, &c) : NULL;
  good = factor && cholmod_factorize(m, factor, &c) && c.status == CHOLMOD_OK;
  double factored = clock_ms();
  cholmod_dense *answer = good ? cholmod_solve(CHOLMOD_A, factor, b, &c) : NULL;
  f->factor_ms = factored - start;
  f->back_ms = clock_ms() - factored;
  f->mib = (double)c.memory_usage / 1048576;
  for (size_t k = 0; answer && k < n.count; k++) {
    x[n.at[k]] = ((double *)answer->x)[k];
  }
  good = answer != NULL;
  (void)cholmod_free_dense(&answer, &c);
  (void)cholmod_free_dense(&b, &c);
  (void)cholmod_free_factor(&factor, &c);
  (void)cholmod_free_sparse(&m, &c);
  (void)cholmod_finish(&c);
  return good;
}

/* The largest difference over the largest answer. */
static double apart_of(const double *a, const double *b, size_t count)
{
  double apart = 0;
  double most = 0;
  for (size_t k = 0; k < count; k++) {
    apart = fmax(apart, fabs(a[k] - b[k]));
    most = fmax(most, fabs(b[k]));
  }
  return apart / most;
}

static bool by_multigrid(double *out_ms, double *out_apart, int *out_iterations, lw_surface *s,
                         const double *exact, double energy, size_t turns)
{
  double ms[TURNS_MOST];
  lw_error err = {0};
  lw_multigrid_how how = {.energy = energy, .most = 1000};
  for (size_t k = 0; k < turns; k++) {
    double start = clock_ms();
    if (lw_multigrid_solve(s->grid, s->depth, s->rhs, &how, out_iterations, &err) != LW_OK) {
      (void)fprintf(stderr, "bench_grid: %s\n", err.message);
      return false;
    }
    ms[k] = clock_ms() - start;
  }
  *out_ms = median_of(ms, turns);
  *out_apart = apart_of(s->depth, exact, s->grid->levels[0].size);
  return true;
}

static bool measure(figures *f, lw_surface *s, const lw_penalty *penalty, double *exact, size_t turns)
{
  lw_error err = {0};
  lw_arena *scratch = lw_arena_new(ARENA);
  double start = clock_ms();
  bool good = scratch && lw_surface_state(s, penalty, -2, &err) == LW_OK;
  f->state_ms = clock_ms() - start;
  good = good && lw_surface_solve(s, -2, 1e-6, &err) == LW_OK; /* fills the right-hand side */
  if (scratch && !good) {
    (void)fprintf(stderr, "bench_grid: %s\n", err.message);
  }
  memset(exact, 0, s->grid->levels[0].size * sizeof *exact);
  good = good && by_cholmod(exact, f, s, scratch);
  lw_arena_free(scratch);
  return good && by_multigrid(&f->solve_ms, &f->apart, &f->iterations, s, exact, 1e-6, turns) &&
         by_multigrid(&f->tight_ms, &f->tight_apart, &f->tight_iterations, s, exact, 1e-10, turns);
}

/* ---- the problem ---- */

static bool make_surface(lw_surface **out, size_t nodes, survey *s, lw_arena *arena)
{
  lw_lake_ask ask = {LW_LAKE_ROUGH, 200, 5, 0.4, 1};
  lw_sailing how = {.lines = 30, .spacing_m = 2, .heading = 0.9, .noise_m = 0.05, .tracks = true, .seed = 3};
  lw_error err = {0};
  float *cover = NULL;
  if (!survey_make(s, &ask, &how, arena)) {
    return false;
  }
  lw_box box = lw_shore_box(&s->lake.shore);
  double side = fmax(box.east_m - box.west_m, box.north_m - box.south_m);
  lw_frame frame = {.nx = nodes, .ny = nodes, .step_m = side / (double)(nodes - 5)};
  frame.x0_m = (box.west_m + box.east_m) / 2 - frame.step_m * (double)(nodes - 1) / 2;
  frame.y0_m = (box.south_m + box.north_m) / 2 - frame.step_m * (double)(nodes - 1) / 2;
  lw_status status = lw_shore_cover(&cover, &s->lake.shore, &frame, arena, &err);
  status = status == LW_OK ? lw_surface_new(out, &frame, cover, &s->input, NULL, 0.05, arena, &err) : status;
  if (status != LW_OK) {
    (void)fprintf(stderr, "bench_grid: %s\n", err.message);
  }
  return status == LW_OK;
}

static size_t unknowns(const lw_grid_level *l)
{
  size_t count = 0;
  for (size_t k = 0; k < l->size; k++) {
    count += l->self[k] > 0;
  }
  return count;
}

static void print_row(const char *name, const figures *f)
{
  double exact_ms = f->factor_ms + f->back_ms;
  (void)printf("%-20s %8.0f %7.1f %9.0f %6d %9.1e %9.0f %6d %9.1e %9.2f\n", name, exact_ms, f->mib,
               f->solve_ms, f->iterations, f->apart, f->tight_ms, f->tight_iterations, f->tight_apart,
               (f->solve_ms + f->state_ms) / exact_ms);
  (void)fflush(stdout);
}

/* What cross-validation chooses for this survey. */
static bool chosen(lw_penalty *out, const survey *s, lw_arena *arena)
{
  lw_error err = {0};
  lw_basin *b = LW_NEW(arena, lw_basin, 1);
  bool good = b && lw_basin_reckon(b, &s->input, arena, &err) == LW_OK;
  if (good) {
    *out = (lw_penalty){b->smoothness, b->tension_length_m, 0};
  } else {
    (void)fprintf(stderr, "bench_grid: %s\n", err.message);
  }
  return good;
}

static void print_head(size_t nodes, size_t live, size_t soundings)
{
  (void)printf("one spline system, %zu x %zu nodes, %zu of them live, %zu soundings, solved\n", nodes, nodes,
               live, soundings);
  (void)printf("%-20s %16s %26s %26s %9s\n", "", "exactly, CHOLMOD", "by multigrid, as used", "to 1e-10",
               "as used");
  (void)printf("%-20s %8s %7s %9s %6s %9s %9s %6s %9s %9s\n", "penalty", "ms", "MiB", "ms", "steps", "apart",
               "ms", "steps", "apart", "/ exact");
}

static bool run(size_t nodes, size_t turns, lw_arena *arena)
{
  static const char *const names[] = {"as chosen", "100 times softer", "100 times stiffer", "length a tenth"};
  lw_surface *s = NULL;
  survey sailed = {0};
  lw_penalty p = {0};
  if (!make_surface(&s, nodes, &sailed, arena) || !chosen(&p, &sailed, arena)) {
    return false;
  }
  const lw_penalty tries[] = {p,
                              {p.slope_weight / 100, p.length_m, 0},
                              {p.slope_weight * 100, p.length_m, 0},
                              {p.slope_weight, p.length_m / 10, 0}};
  double *exact = LW_NEW(arena, double, s->grid->levels[0].size);
  bool good = exact != NULL;
  for (size_t k = 0; good && k < sizeof tries / sizeof tries[0]; k++) {
    figures f = {0};
    good = measure(&f, s, &tries[k], exact, turns);
    if (good && k == 0) {
      print_head(nodes, unknowns(&s->grid->levels[0]), sailed.input.sounding_count);
    }
    if (good) {
      print_row(names[k], &f);
    }
  }
  return good;
}

int main(int count, char **arguments)
{
  size_t nodes = count > 1 ? strtoul(arguments[1], NULL, 10) : 400;
  size_t turns = count > 2 ? strtoul(arguments[2], NULL, 10) : 3;
  if (nodes < 20 || nodes > 2000 || turns < 1 || turns > TURNS_MOST) {
    (void)fprintf(stderr, "usage: bench_grid [NODES A SIDE, 20 to 2000 [TURNS, 1 to 99]]\n");
    return 2;
  }
  lw_arena *arena = lw_arena_new(ARENA);
  bool good = arena && run(nodes, turns, arena);
  lw_arena_free(arena);
  return good ? 0 : 1;
}

#else

int main(void)
{
  (void)printf("bench_grid: built without CHOLMOD (Debian: libsuitesparse-dev), nothing to compare with\n");
  return 0;
}

#endif
