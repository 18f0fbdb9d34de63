/* SPDX-License-Identifier: Apache-2.0 */
/* The grid solver against closed solutions, against a dense solution, and its own promises. */
#include "base/multigrid.h"
#include "base/random.h"

#include "check.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define assert_fine(f, call) check_fine(&(f)->err, (call), __LINE__)

typedef struct fixture {
  lw_arena *arena;
  lw_error err;
} fixture;

static void check_fine(const lw_error *err, lw_status status, int line)
{
  if (status != LW_OK) {
    print_error("%s\n", err->message);
    _fail(__FILE__, line);
  }
}

static int set_up(void **state)
{
  fixture *f = calloc(1, sizeof *f);
  assert_non_null(f);
  f->arena = lw_arena_new(0);
  *state = f;
  return f->arena ? 0 : -1;
}

static int tear_down(void **state)
{
  fixture *f = *state;
  lw_arena_free(f->arena);
  free(f);
  return 0;
}

/* -laplace u = load on the unit square with u = 0 at the border: nodes 1 to n are inside, and each level's
 * border lies on the same lines only when its own nodes 0 and last stand for it, so they are held by a stiff
 * spring. */
static void state_square(lw_multigrid *grid)
{
  for (size_t v = 0; v < grid->level_count; v++) {
    lw_grid_level *l = &grid->levels[v];
    size_t last = (grid->levels[0].nx - 1) >> v;
    for (size_t j = 0; j <= last; j++) {
      for (size_t i = 0; i <= last; i++) {
        size_t n = lw_grid_at(l, i, j);
        const double apart[2] = {1, -1};
        const double one = 1;
        bool border = i == 0 || j == 0 || i == last || j == last;
        if (border) {
          lw_grid_add_square(l, &n, &one, 1, 1e6);
        }
        if (i < last) {
          lw_grid_add_square(l, (size_t[]){n, n + 1}, apart, 2, 1);
        }
        if (j < last) {
          lw_grid_add_square(l, (size_t[]){n, n + l->stride}, apart, 2, 1);
        }
      }
    }
  }
}

/* sin(pi x) sin(pi y) under the load 2 pi^2 sin sin. */
static double square_error(fixture *f, size_t cells, int *iterations)
{
  lw_multigrid *grid = NULL;
  double pi = acos(-1);
  double h = 1 / (double)cells;
  assert_fine(f, lw_multigrid_new(&grid, cells + 1, cells + 1, 1, f->arena, &f->err));
  state_square(grid);
  assert_fine(f, lw_multigrid_ready(grid, &f->err));
  const lw_grid_level *l = &grid->levels[0];
  double *b = LW_NEW(f->arena, double, l->size);
  double *x = LW_NEW(f->arena, double, l->size);
  for (size_t j = 1; j < cells; j++) {
    for (size_t i = 1; i < cells; i++) {
      b[lw_grid_at(l, i, j)] = 2 * pi * pi * sin(pi * h * (double)i) * sin(pi * h * (double)j) * h * h;
    }
  }
  const lw_multigrid_how how = {.energy = 1e-20, .most = 100};
  assert_fine(f, lw_multigrid_solve(grid, x, b, &how, iterations, &f->err));
  double worst = 0;
  for (size_t j = 0; j <= cells; j++) {
    for (size_t i = 0; i <= cells; i++) {
      double truth = sin(pi * h * (double)i) * sin(pi * h * (double)j);
      worst = fmax(worst, fabs(x[lw_grid_at(l, i, j)] - truth));
    }
  }
  return worst;
}

static void poisson_is_second_order_in_few_steps(void **state)
{
  fixture *f = *state;
  int steps[3] = {0};
  double coarse = square_error(f, 32, &steps[0]);
  double middle = square_error(f, 64, &steps[1]);
  double fine = square_error(f, 256, &steps[2]);
  assert_true(coarse < 1e-3);
  assert_close(log2(coarse / middle), 2, 0.05);
  assert_close(log2(middle / fine) / 2, 2, 0.05);
  assert_true(steps[0] <= 16 && steps[2] <= 18);
}

/* A spline over a ragged region: plate energy where all nodes live, springs at seeded nodes; every level. */
static void state_plate(lw_multigrid *grid, size_t side, double spring)
{
  lw_random random = {.seed = 5, .stream = 1};
  for (size_t v = 0; v < grid->level_count; v++) {
    lw_grid_level *l = &grid->levels[v];
    size_t apart = (size_t)1 << v;
    double scale = 1 / (double)(apart * apart);
    const double bend[3] = {1, -2, 1};
    const double twist[4] = {1, -1, -1, 1};
    for (size_t j = 1; j + 1 < l->ny && (j + 1) * apart < side; j++) {
      for (size_t i = 1; i + 1 < l->nx && (i + 1) * apart + j * apart / 2 < side; i++) {
        size_t n = lw_grid_at(l, i, j);
        size_t up = l->stride;
        lw_grid_add_square(l, (size_t[]){n - 1, n, n + 1}, bend, 3, scale);
        lw_grid_add_square(l, (size_t[]){n - up, n, n + up}, bend, 3, scale);
        lw_grid_add_square(l, (size_t[]){n, n + 1, n + up, n + up + 1}, twist, 4, 2 * scale);
        lw_grid_add_square(l, (size_t[]){n, n + 1}, (double[]){1, -1}, 2, 1e-3);
        lw_grid_add_square(l, (size_t[]){n, n + up}, (double[]){1, -1}, 2, 1e-3);
      }
    }
    for (size_t k = 0; k < side; k++) {
      size_t i = 1 + (size_t)(lw_random_uniform(&random, 2 * k) * (double)(side / 2));
      size_t j = 1 + (size_t)(lw_random_uniform(&random, 2 * k + 1) * (double)(side / 2));
      size_t n = lw_grid_at(l, i / apart, j / apart);
      const double one = 1;
      if (l->self[n] > 0) {
        lw_grid_add_square(l, &n, &one, 1, spring);
      }
    }
  }
}

static lw_multigrid *ready_plate(fixture *f, size_t side, double spring)
{
  lw_multigrid *grid = NULL;
  assert_fine(f, lw_multigrid_new(&grid, side, side, 2, f->arena, &f->err));
  state_plate(grid, side, spring);
  assert_fine(f, lw_multigrid_ready(grid, &f->err));
  return grid;
}

static void fill(double *x, const lw_grid_level *l, uint32_t stream)
{
  lw_random random = {.seed = 9, .stream = stream};
  for (size_t j = 0; j < l->ny; j++) {
    for (size_t i = 0; i < l->nx; i++) {
      size_t n = lw_grid_at(l, i, j);
      x[n] = l->self[n] > 0 ? lw_random_normal(&random, n) : 0;
    }
  }
}

static double product(const lw_grid_level *l, const double *a, const double *b)
{
  double sum = 0;
  for (size_t n = 0; n < l->size; n++) {
    sum += a[n] * b[n];
  }
  return sum;
}

/* Gaussian elimination with the operator's columns found by applying it: nothing shared with the solver. */
static void dense_solution(fixture *f, const lw_grid_level *l, double *x, const double *b)
{
  size_t *live = LW_NEW(f->arena, size_t, l->size);
  size_t n = 0;
  for (size_t k = 0; k < l->size; k++) {
    if (l->self[k] > 0) {
      live[n++] = k;
    }
  }
  double *a = LW_NEW(f->arena, double, n *(n + 1));
  double *unit = LW_NEW(f->arena, double, l->size);
  double *column = LW_NEW(f->arena, double, l->size);
  for (size_t c = 0; c < n; c++) {
    unit[live[c]] = 1;
    lw_grid_apply(l, column, unit);
    unit[live[c]] = 0;
    for (size_t r = 0; r < n; r++) {
      a[r * (n + 1) + c] = column[live[r]];
    }
    a[c * (n + 1) + n] = b[live[c]];
  }
  for (size_t p = 0; p < n; p++) {
    for (size_t r = p + 1; r < n; r++) {
      double factor = a[r * (n + 1) + p] / a[p * (n + 1) + p];
      for (size_t c = p; factor != 0 && c <= n; c++) {
        a[r * (n + 1) + c] -= factor * a[p * (n + 1) + c];
      }
    }
  }
  for (size_t r = n; r-- > 0;) {
    double sum = a[r * (n + 1) + n];
    for (size_t c = r + 1; c < n; c++) {
      sum -= a[r * (n + 1) + c] * x[live[c]];
    }
    x[live[r]] = sum / a[r * (n + 1) + r];
  }
}

static void plate_agrees_with_elimination(void **state)
{
  fixture *f = *state;
  for (int stiff = 0; stiff < 3; stiff++) {
    lw_multigrid *grid = ready_plate(f, 41, pow(10, 3 * stiff - 2));
    const lw_grid_level *l = &grid->levels[0];
    double *b = LW_NEW(f->arena, double, l->size);
    double *x = LW_NEW(f->arena, double, l->size);
    double *truth = LW_NEW(f->arena, double, l->size);
    const lw_multigrid_how how = {.energy = 1e-20, .most = 1000};
    fill(b, l, 3);
    assert_fine(f, lw_multigrid_solve(grid, x, b, &how, NULL, &f->err));
    dense_solution(f, l, truth, b);
    double most = 0;
    double worst = 0;
    for (size_t n = 0; n < l->size; n++) {
      most = fmax(most, fabs(truth[n]));
      worst = fmax(worst, fabs(truth[n] - x[n]));
    }
    assert_true(most > 0.1);
    assert_true(worst < 1e-7 * most);
  }
}

/* As a preconditioner the cycle must be symmetric and positive. */
static void cycle_is_symmetric_and_positive(void **state)
{
  fixture *f = *state;
  lw_multigrid *grid = ready_plate(f, 67, 10);
  const lw_grid_level *l = &grid->levels[0];
  double *a = LW_NEW(f->arena, double, l->size);
  double *b = LW_NEW(f->arena, double, l->size);
  double *ma = LW_NEW(f->arena, double, l->size);
  double *mb = LW_NEW(f->arena, double, l->size);
  fill(a, l, 1);
  fill(b, l, 2);
  lw_multigrid_cycle(grid, ma, a);
  lw_multigrid_cycle(grid, mb, b);
  double ab = product(l, b, ma);
  assert_close(ab, product(l, a, mb), 1e-9 * fabs(ab));
  assert_true(product(l, a, ma) > 0 && product(l, b, mb) > 0);
}

static void the_operator_is_symmetric_and_cleared(void **state)
{
  fixture *f = *state;
  lw_multigrid *grid = ready_plate(f, 30, 1);
  const lw_grid_level *l = &grid->levels[0];
  double *a = LW_NEW(f->arena, double, l->size);
  double *b = LW_NEW(f->arena, double, l->size);
  double *image = LW_NEW(f->arena, double, l->size);
  fill(a, l, 1);
  fill(b, l, 2);
  lw_grid_apply(l, image, a);
  double ba = product(l, b, image);
  lw_grid_apply(l, image, b);
  assert_close(product(l, a, image), ba, 1e-10 * fabs(ba));
  lw_multigrid_clear(grid);
  for (size_t n = 0; n < l->size; n++) {
    assert_true(l->self[n] == 0);
  }
}

static void warm_start_ends_at_once(void **state)
{
  fixture *f = *state;
  lw_multigrid *grid = ready_plate(f, 50, 10);
  const lw_grid_level *l = &grid->levels[0];
  double *b = LW_NEW(f->arena, double, l->size);
  double *x = LW_NEW(f->arena, double, l->size);
  double *again = LW_NEW(f->arena, double, l->size);
  int cold = 0;
  int warm = 0;
  lw_multigrid_how how = {.energy = 1e-16, .most = 200};
  fill(b, l, 4);
  assert_fine(f, lw_multigrid_solve(grid, x, b, &how, &cold, &f->err));
  assert_fine(f, lw_multigrid_solve(grid, again, b, &how, NULL, &f->err));
  assert_memory_equal(x, again, l->size * sizeof *x);
  how.warm = true;
  assert_fine(f, lw_multigrid_solve(grid, x, b, &how, &warm, &f->err));
  assert_true(warm <= 5 && cold > warm);
}

static void refuses_what_is_no_grid(void **state)
{
  fixture *f = *state;
  lw_multigrid *grid = NULL;
  assert_int_equal(lw_multigrid_new(&grid, 2, 100, 2, f->arena, &f->err), LW_LIMIT);
  assert_int_equal(lw_multigrid_new(&grid, 3000, 3000, 2, f->arena, &f->err), LW_LIMIT);
  assert_fine(f, lw_multigrid_new(&grid, 20, 20, 2, f->arena, &f->err));
  state_plate(grid, 20, 1);
  grid->levels[0].self[lw_grid_at(&grid->levels[0], 5, 5)] = NAN;
  assert_int_equal(lw_multigrid_ready(grid, &f->err), LW_INVALID);
  assert_non_null(strstr(f->err.message, "5, 5"));
}

static void too_few_steps_are_a_fault(void **state)
{
  fixture *f = *state;
  lw_multigrid *grid = ready_plate(f, 60, 10);
  const lw_grid_level *l = &grid->levels[0];
  double *b = LW_NEW(f->arena, double, l->size);
  double *x = LW_NEW(f->arena, double, l->size);
  const lw_multigrid_how how = {.energy = 1e-20, .most = 1};
  fill(b, l, 4);
  assert_int_equal(lw_multigrid_solve(grid, x, b, &how, NULL, &f->err), LW_INTERNAL);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
  const struct CMUnitTest tests[] = {
      TEST(poisson_is_second_order_in_few_steps),
      TEST(plate_agrees_with_elimination),
      TEST(cycle_is_symmetric_and_positive),
      TEST(the_operator_is_symmetric_and_cleared),
      TEST(warm_start_ends_at_once),
      TEST(refuses_what_is_no_grid),
      TEST(too_few_steps_are_a_fault),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
