/* SPDX-License-Identifier: Apache-2.0 */
/* Large symmetric positive definite systems on a masked regular grid: each unknown is coupled to
 * neighbours at most two steps away (25-point stencils: plates and splines) or one (9-point: diffusion,
 * stream functions). Solved by conjugate gradients with a multigrid V-cycle as preconditioner: the caller
 * states the same problem on every level, halved from one to the next (coarse node (I, J) is fine node
 * (2I, 2J)); corrections are interpolated bilinearly and residuals collected by the transpose; smoothing
 * is by Chebyshev polynomials of the Jacobi iteration, symmetric and free of order, so the answer
 * does not depend on how the work is shared out.
 * Sources: Briggs, Henson & McCormick 2000, A Multigrid Tutorial, 2nd ed., SIAM, ch. 3 and 7 (cycles,
 * transfer); Adams, Brezina, Hu & Tuminaro 2003, J. Comput. Phys. 188:593 (polynomial smoothing); Hestenes
 * & Stiefel 1952 (conjugate gradients); Tatebe 1993 (multigrid as its preconditioner).
 *
 * Use: new; fill `self` and `pairs` of each level; ready; solve as often as wanted. */
#ifndef LW_BASE_MULTIGRID_H
#define LW_BASE_MULTIGRID_H

#include "base/arena.h"
#include "base/status.h"

#include <stdbool.h>
#include <stddef.h>

enum { LW_GRID_EDGE = 2, LW_GRID_PAIRS = 12, LW_GRID_LEVELS = 14, LW_GRID_WATCH = 5 };

/* One level: the operator of nx * ny nodes, stored with an edge of two dead nodes all round so that no
 * loop looks out for borders. Node (i, j) is at lw_grid_at(level, i, j). */
typedef struct lw_grid_level {
  size_t nx, ny, stride, size;  /* size: doubles in each array, edge included */
  double *self;                 /* coefficient of the node itself; 0 where nothing has been added: dead */
  double *pairs[LW_GRID_PAIRS]; /* pairs[k][n]: coupling of node n with node n + offset[k] (upper half;
                                   the lower half is its mirror). NULL above the reach. */
  ptrdiff_t offset[LW_GRID_PAIRS];
  int pair_count;
  bool touched[LW_GRID_PAIRS]; /* set where a pair has been written to; the others are left alone */
  size_t *first, *last;        /* of each row: live nodes lie in first[j] <= i < last[j] (made by ready) */
  double *inverse;             /* 1 / self, 0 where dead (made by ready) */
  double largest;              /* bound on the eigenvalues of inverse * operator (made by ready) */
  double *x, *b, *r, *p;       /* working arrays */
} lw_grid_level;

typedef struct lw_multigrid {
  int reach; /* 1 or 2 */
  size_t level_count;
  lw_grid_level levels[LW_GRID_LEVELS]; /* 0: finest */
  double *dense;                        /* Cholesky factor of the coarsest level */
  size_t *dense_row;                    /* its live nodes */
  size_t dense_count;
  double *best, *search; /* working arrays of the finest level */
} lw_multigrid;

/* Levels for nx * ny nodes (each 3 to 20,000; together at most 4,000,000), all coefficients 0, everything
 * in the arena: (13 + 8) doubles a node at reach 2. reach 1 or 2. LW_LIMIT, LW_MEMORY. */
LW_MUST_CHECK lw_status lw_multigrid_new(lw_multigrid **out, size_t nx, size_t ny, int reach, lw_arena *arena,
                                         lw_error *err);

static inline size_t lw_grid_at(const lw_grid_level *level, size_t i, size_t j)
{
  return (j + LW_GRID_EDGE) * level->stride + i + LW_GRID_EDGE;
}

/* Whoever writes to pairs[pair] says so first. */
static inline void lw_grid_touch(lw_grid_level *level, int pair)
{
  level->touched[pair] = true;
}

/* Sets every coefficient of every level to 0, to state another problem of the same size. */
void lw_multigrid_clear(lw_multigrid *grid);

/* Adds weight * (sum of c[k] u[at[k]])^2 to the energy of a level: at most 9 nodes within the reach of each
 * other. weight >= 0. */
void lw_grid_add_square(lw_grid_level *level, const size_t *at, const double *c, size_t count, double weight);

/* Checks the coefficients (finite, diagonals positive where coupled) and prepares smoothing and the
 * coarsest level. LW_INVALID when an operator is not positive definite. */
LW_MUST_CHECK lw_status lw_multigrid_ready(lw_multigrid *grid, lw_error *err);

/* out = operator * in on a level, once ready (arrays of `size`, edges 0). */
void lw_grid_apply(const lw_grid_level *level, double *out, const double *in);

typedef struct lw_multigrid_how {
  double energy; /* the last LW_GRID_WATCH steps together lowered the energy x' A x / 2 - b' x by less than
                    half of this (Hestenes & Stiefel 1952; Strakos & Tichy 2002, ETNA 13:56). Where the energy
                    is a sum of squares in standard errors, 0.01 is a tenth of one for the worst direction.
                    (Residuals would be no guide: stiff data outweigh the soft surface between.) */
  int most;      /* iterations, 1 to 1000 */
  bool warm;     /* `x` is a first guess; otherwise it begins at 0 */
} lw_multigrid_how;

/* Solves operator * x = b on the finest level (arrays of levels[0].size, edges 0; dead nodes give 0).
 * *out_iterations may be NULL. LW_INTERNAL when it does not converge or a number is not finite. */
LW_MUST_CHECK lw_status lw_multigrid_solve(lw_multigrid *grid, double *x, const double *b,
                                           const lw_multigrid_how *how, int *out_iterations, lw_error *err);

/* One V-cycle from 0: out is the preconditioned `b` (symmetric, positive definite). Both of levels[0].size.
 */
void lw_multigrid_cycle(lw_multigrid *grid, double *out, const double *b);

#endif
