/* SPDX-License-Identifier: Apache-2.0 */
/* Single soundings far off, where no sailing order is known: each against the plane through those around
 * it. No published method; the deviation is Hampel's (1974, JASA 69:383). */
#include "basin/clean_parts.h"

#include <math.h>

enum { NEIGHBOURS = 32, NEIGHBOURS_LEAST = 6, IN_A_SQUARE = 3, CROWD = 64 };

static const double bed_slope = 0.1;

typedef struct field {
  const lw_clean_job *job;
  const lw_course *course;
  lw_spot *spots;
  lw_squares squares;
} field;

/* The soundings of the nine squares about one, x and y from it. */
typedef struct around {
  double x[NEIGHBOURS], y[NEIGHBOURS], z[NEIGHBOURS];
  size_t count;
} around;

/* depth = p[0] + p[1] x + p[2] y */
typedef struct plane {
  double p[3];
} plane;

static lw_sounding *sounding_at(const field *f, size_t k)
{
  return &f->job->soundings[f->course->index[k]];
}

static double far_m2(const field *f, size_t a, size_t b)
{
  double dx = f->spots[a].x_m - f->spots[b].x_m;
  double dy = f->spots[a].y_m - f->spots[b].y_m;
  return dx * dx + dy * dy;
}

/* Nearer comes first; of equals the deeper: never by place in the file. */
static bool comes_before(const field *f, size_t self, size_t a, size_t b)
{
  double to_a = far_m2(f, self, a);
  double to_b = far_m2(f, self, b);
  return to_a != to_b ? to_a < to_b : sounding_at(f, a)->depth_m > sounding_at(f, b)->depth_m;
}

/* The nearest few of a square; of a crowd only a sample is looked at. */
static void gather_square(const field *f, size_t self, size_t square, around *out)
{
  size_t best[IN_A_SQUARE];
  size_t n = 0;
  uint32_t from = f->squares.start[square];
  uint32_t count = f->squares.start[square + 1] - from;
  for (uint32_t m = 0; m < count; m += 1 + count / CROWD) {
    size_t k = f->squares.item[from + m];
    size_t at = n;
    while (at > 0 && comes_before(f, self, k, best[at - 1])) {
      at--;
    }
    if (k == self || at == IN_A_SQUARE) {
      continue;
    }
    n = n < IN_A_SQUARE ? n + 1 : n;
    for (size_t j = n - 1; j > at; j--) {
      best[j] = best[j - 1];
    }
    best[at] = k;
  }
  for (size_t j = 0; j < n && out->count < NEIGHBOURS; j++, out->count++) {
    out->x[out->count] = f->spots[best[j]].x_m - f->spots[self].x_m;
    out->y[out->count] = f->spots[best[j]].y_m - f->spots[self].y_m;
    out->z[out->count] = (double)sounding_at(f, best[j])->depth_m;
  }
}

static void gather(const field *f, size_t self, around *out)
{
  const lw_squares *q = &f->squares;
  double reach = q->size_m;
  size_t east = lw_squares_column(q, f->spots[self].x_m + reach);
  size_t north = lw_squares_row(q, f->spots[self].y_m + reach);
  out->count = 0;
  for (size_t row = lw_squares_row(q, f->spots[self].y_m - reach); row <= north; row++) {
    for (size_t column = lw_squares_column(q, f->spots[self].x_m - reach); column <= east; column++) {
      gather_square(f, self, row * q->nx + column, out);
    }
  }
}

/* Least squares over those within `within_m` of `from`; false when they lie in a line or are too few.
 * Normal equations of three unknowns by Cramer's rule; `size_m` scales the places to about 1. */
static bool fit_plane(const around *a, const plane *from, double within_m, double size_m, plane *out)
{
  double n = 0, sx = 0, sy = 0, sxx = 0, sxy = 0, syy = 0, sz = 0, sxz = 0, syz = 0;
  for (size_t k = 0; k < a->count; k++) {
    double x = a->x[k] / size_m;
    double y = a->y[k] / size_m;
    double off = a->z[k] - from->p[0] - from->p[1] * a->x[k] - from->p[2] * a->y[k];
    if (fabs(off) <= within_m) {
      n += 1, sx += x, sy += y, sxx += x * x, sxy += x * y, syy += y * y;
      sz += a->z[k], sxz += x * a->z[k], syz += y * a->z[k];
    }
  }
  double c0 = sxx * syy - sxy * sxy;
  double c1 = sy * sxy - sx * syy;
  double c2 = sx * sxy - sxx * sy;
  double whole = n * c0 + sx * c1 + sy * c2;
  if (n < NEIGHBOURS_LEAST || !(whole > 1e-3 * n)) {
    return false;
  }
  double c11 = n * syy - sy * sy;
  double c12 = sx * sy - n * sxy;
  double c22 = n * sxx - sx * sx;
  out->p[0] = (c0 * sz + c1 * sxz + c2 * syz) / whole;
  out->p[1] = (c1 * sz + c11 * sxz + c12 * syz) / whole / size_m;
  out->p[2] = (c2 * sz + c12 * sxz + c22 * syz) / whole / size_m;
  return true;
}

static double scatter_m(const around *a, const plane *p, double *out_middle_m)
{
  float off[NEIGHBOURS];
  double deviation = 0;
  for (size_t k = 0; k < a->count; k++) {
    off[k] = (float)(a->z[k] - p->p[0] - p->p[1] * a->x[k] - p->p[2] * a->y[k]);
  }
  lw_median_and_deviation(off, a->count, out_middle_m, &deviation);
  return deviation;
}

/* A plane that outliers do not tilt: first about the median, then about the first plane. */
static bool robust_plane(const around *a, double size_m, double least_m, plane *out, double *out_deviation)
{
  plane level = {{0, 0, 0}};
  double middle = 0;
  double deviation = scatter_m(a, &level, &middle);
  level.p[0] = middle;
  plane first;
  if (!fit_plane(a, &level, fmax(3 * deviation, least_m), size_m, &first)) {
    return false;
  }
  deviation = scatter_m(a, &first, &middle);
  first.p[0] += middle;
  if (!fit_plane(a, &first, fmax(3 * deviation, least_m), size_m, out)) {
    return false;
  }
  *out_deviation = scatter_m(a, out, &middle);
  return true;
}

/* Near enough to the median of those around: spared the planes, which cost ten times as much. */
static bool like_most(const around *a, double depth_m, double least_m)
{
  float depths[NEIGHBOURS];
  for (size_t k = 0; k < a->count; k++) {
    depths[k] = (float)a->z[k];
  }
  return fabs(depth_m - lw_median_of(depths, a->count)) <= least_m;
}

static lw_sounding_flaw judge(const field *f, size_t k)
{
  around a;
  plane p;
  double deviation = 0;
  const lw_cleaning *how = &f->job->how;
  gather(f, k, &a);
  if (a.count < NEIGHBOURS_LEAST || like_most(&a, (double)sounding_at(f, k)->depth_m, how->spike_least_m) ||
      !robust_plane(&a, f->squares.size_m, how->spike_least_m, &p, &deviation)) {
    return LW_SOUNDING_GOOD;
  }
  double z = (double)sounding_at(f, k)->depth_m;
  double limit = fmax(fmax(how->spike_least_m, how->spike_factor * deviation), bed_slope * f->squares.size_m);
  if (fabs(z - p.p[0]) <= limit) {
    return LW_SOUNDING_GOOD;
  }
  if (p.p[0] > 0.5 && z > 1.8 * p.p[0] && z < 2.2 * p.p[0]) {
    return LW_SOUNDING_DOUBLE_ECHO;
  }
  return z <= 0.05 ? LW_SOUNDING_ZERO : LW_SOUNDING_SPIKE;
}

static lw_status build(field *f, const lw_clean_job *job, lw_error *err)
{
  size_t count = f->course->count;
  f->spots = LW_NEW(job->arena, lw_spot, count);
  if (!f->spots) {
    return lw_fail(err, LW_MEMORY, "no memory to clean %zu soundings", count);
  }
  for (size_t k = 0; k < count; k++) {
    const lw_sounding *s = sounding_at(f, k);
    f->spots[k] = (lw_spot){s->x_m, s->y_m};
  }
  /* about three to a square, were they evenly spread */
  double size = sqrt(3 * lw_shore_area_m2(job->shore) / (double)count);
  return lw_squares_build(&f->squares, f->spots, count, size, job->arena, err);
}

/* All are judged before any is marked: the answer does not depend on their order. */
static void judge_leg(const field *f, const lw_leg *leg, uint8_t *flaw)
{
  for (size_t k = leg->first; k < leg->first + leg->count && leg->scattered; k++) {
    flaw[k] = (uint8_t)judge(f, k);
  }
}

lw_status lw_clean_scattered(lw_clean_job *job, lw_error *err)
{
  const lw_course *course = &job->course;
  field f = {.job = job, .course = course};
  bool any = false;
  for (size_t g = 0; g < course->leg_count; g++) {
    any = any || (course->legs[g].scattered && course->legs[g].count >= LW_CLEAN_FEW);
  }
  if (!any) {
    return LW_OK;
  }
  lw_status s = build(&f, job, err);
  uint8_t *flaw = LW_NEW(job->arena, uint8_t, course->count);
  if (s == LW_OK && !flaw) {
    s = lw_fail(err, LW_MEMORY, "no memory to clean %zu soundings", course->count);
  }
  for (size_t g = 0; s == LW_OK && g < course->leg_count; g++) {
    judge_leg(&f, &course->legs[g], flaw);
  }
  for (size_t k = 0; s == LW_OK && k < course->count; k++) {
    if (flaw[k] != LW_SOUNDING_GOOD) {
      lw_clean_mark(sounding_at(&f, k), (lw_sounding_flaw)flaw[k]);
    }
  }
  return s;
}
