/* SPDX-License-Identifier: Apache-2.0 */
/* Ordinary kriging as a reference: plain, exact, no faster than it needs to be. */
#include "gridders.h"

#include "base/random.h"

#include <math.h>
#include <string.h>

enum {
  NEIGHBOURS = 24,
  SECTORS = 8,
  ROWS = NEIGHBOURS + 1,
  LAGS = 24,
  SAMPLE = 1200,
  RANGES = 60,
  PER_BUCKET = 6
};

/* ---- the variogram ---- */

typedef struct variogram {
  bool spherical;
  double nugget, sill, range_m; /* the sill without the nugget */
} variogram;

typedef struct lags {
  double apart_m[LAGS], half_square[LAGS], pairs[LAGS];
} lags;

/* The part of the sill reached at a distance. */
static double reached(bool spherical, double share)
{
  if (spherical) {
    return share < 1 ? 1.5 * share - 0.5 * share * share * share : 1;
  }
  return 1 - exp(-3 * share);
}

/* Half the mean squared difference of pairs of a random sample, by distance up to a third of the extent. */
static lags look_at_pairs(const known *from)
{
  lags l = {0};
  size_t pick[SAMPLE];
  double low[2] = {from->x_m[0], from->y_m[0]};
  double high[2] = {low[0], low[1]};
  for (size_t k = 0; k < SAMPLE; k++) {
    size_t n = (size_t)(lw_random_uniform(&(lw_random){1, 7301}, k) * (double)from->count);
    pick[k] = n;
    low[0] = fmin(low[0], from->x_m[n]), high[0] = fmax(high[0], from->x_m[n]);
    low[1] = fmin(low[1], from->y_m[n]), high[1] = fmax(high[1], from->y_m[n]);
  }
  double most = hypot(high[0] - low[0], high[1] - low[1]) / 3;
  for (size_t a = 0; a < SAMPLE; a++) {
    for (size_t b = a + 1; b < SAMPLE; b++) {
      double apart = hypot(from->x_m[pick[a]] - from->x_m[pick[b]], from->y_m[pick[a]] - from->y_m[pick[b]]);
      double off = from->depth_m[pick[a]] - from->depth_m[pick[b]];
      if (apart > 0 && apart < most) {
        size_t k = (size_t)(apart / most * LAGS);
        l.pairs[k] += 1;
        l.apart_m[k] += apart;
        l.half_square[k] += off * off / 2;
      }
    }
  }
  for (size_t k = 0; k < LAGS; k++) {
    l.apart_m[k] /= fmax(l.pairs[k], 1);
    l.half_square[k] /= fmax(l.pairs[k], 1);
  }
  return l;
}

/* Nugget and sill by least squares weighted with pairs / distance^2, so that the near ones decide; the
 * misfit.
 */
static double fit(variogram *v, const lags *l)
{
  double s = 0, sf = 0, sff = 0, sg = 0, sfg = 0, misfit = 0;
  for (size_t k = 0; k < LAGS; k++) {
    double w = l->pairs[k] > 0 ? l->pairs[k] / (l->apart_m[k] * l->apart_m[k]) : 0;
    double f = reached(v->spherical, l->apart_m[k] / v->range_m);
    s += w, sf += w * f, sff += w * f * f, sg += w * l->half_square[k], sfg += w * f * l->half_square[k];
  }
  v->sill = (s * sfg - sf * sg) / (s * sff - sf * sf);
  v->nugget = (sg - v->sill * sf) / s;
  if (!(v->nugget >= 0)) {
    v->nugget = 0;
    v->sill = sfg / sff;
  }
  for (size_t k = 0; k < LAGS; k++) {
    double w = l->pairs[k] > 0 ? l->pairs[k] / (l->apart_m[k] * l->apart_m[k]) : 0;
    double f = reached(v->spherical, l->apart_m[k] / v->range_m);
    double off = v->nugget + v->sill * f - l->half_square[k];
    misfit += w * off * off;
  }
  return v->sill > 0 ? misfit : (double)INFINITY;
}

static variogram best_variogram(const known *from)
{
  lags l = look_at_pairs(from);
  variogram best = {.sill = 1, .range_m = 1};
  double least = (double)INFINITY;
  for (int k = 0; k < 2 * RANGES; k++) {
    variogram v = {.spherical = k % 2 != 0, .range_m = l.apart_m[1] * pow(40, (double)(k / 2) / RANGES)};
    double misfit = fit(&v, &l);
    if (misfit < least) {
      least = misfit;
      best = v;
    }
  }
  best.nugget = fmax(best.nugget, 1e-6 * best.sill);
  return best;
}

static double covariance(const variogram *v, double apart_m)
{
  return v->sill * (1 - reached(v->spherical, apart_m / v->range_m));
}

/* ---- the nearest points ---- */

typedef struct buckets {
  double west, south, side;
  size_t nx, ny;
  size_t *start, *list; /* points of bucket k: list[start[k]] to list[start[k + 1] - 1] */
} buckets;

static size_t bucket_of(const buckets *b, double x, double y)
{
  double i = fmin(fmax(floor((x - b->west) / b->side), 0), (double)b->nx - 1);
  double j = fmin(fmax(floor((y - b->south) / b->side), 0), (double)b->ny - 1);
  return (size_t)j * b->nx + (size_t)i;
}

static bool fill_buckets(buckets *b, const known *from, lw_arena *arena)
{
  double east = b->west = from->x_m[0];
  double north = b->south = from->y_m[0];
  for (size_t k = 0; k < from->count; k++) {
    b->west = fmin(b->west, from->x_m[k]), east = fmax(east, from->x_m[k]);
    b->south = fmin(b->south, from->y_m[k]), north = fmax(north, from->y_m[k]);
  }
  b->side = sqrt((east - b->west) * (north - b->south) * PER_BUCKET / (double)from->count);
  b->nx = (size_t)((east - b->west) / b->side) + 1;
  b->ny = (size_t)((north - b->south) / b->side) + 1;
  b->start = LW_NEW(arena, size_t, b->nx * b->ny + 2);
  b->list = LW_NEW(arena, size_t, from->count);
  if (!b->start || !b->list) {
    return false;
  }
  for (size_t k = 0; k < from->count; k++) {
    b->start[bucket_of(b, from->x_m[k], from->y_m[k]) + 2]++;
  }
  for (size_t k = 2; k < b->nx * b->ny + 2; k++) {
    b->start[k] += b->start[k - 1];
  }
  for (size_t k = 0; k < from->count; k++) {
    b->list[b->start[bucket_of(b, from->x_m[k], from->y_m[k]) + 1]++] = k;
  }
  return true;
}

typedef struct nearest {
  size_t sectors;        /* directions */
  size_t count[SECTORS]; /* found in each, at most NEIGHBOURS / sectors */
  size_t point[SECTORS][NEIGHBOURS];
  double apart[SECTORS][NEIGHBOURS];
} nearest;

static void offer(nearest *n, size_t sector, size_t point, double apart)
{
  size_t most = NEIGHBOURS / n->sectors;
  size_t at = n->count[sector];
  double *aparts = n->apart[sector];
  if (at == most) {
    if (!(apart < aparts[most - 1])) {
      return;
    }
    at--;
  } else {
    n->count[sector]++;
  }
  for (; at > 0 && aparts[at - 1] > apart; at--) {
    aparts[at] = aparts[at - 1];
    n->point[sector][at] = n->point[sector][at - 1];
  }
  aparts[at] = apart;
  n->point[sector][at] = point;
}

static void offer_bucket(nearest *n, const buckets *b, const known *from, lw_spot spot, size_t bucket)
{
  for (size_t k = b->start[bucket]; k < b->start[bucket + 1]; k++) {
    size_t p = b->list[k];
    double x = from->x_m[p] - spot.x_m;
    double y = from->y_m[p] - spot.y_m;
    size_t octant = (size_t)((x < 0) + 2 * (y < 0) + 4 * (fabs(x) < fabs(y)));
    offer(n, n->sectors == 1 ? 0 : octant, p, hypot(x, y));
  }
}

/* No point farther off than this could still be wanted. */
static bool is_full(const nearest *n, double beyond_m)
{
  size_t most = NEIGHBOURS / n->sectors;
  for (size_t s = 0; s < n->sectors; s++) {
    if (n->count[s] < most || n->apart[s][most - 1] > beyond_m) {
      return false;
    }
  }
  return true;
}

/* Ring after ring of buckets, until no nearer one can come. */
static void find_nearest(nearest *n, const buckets *b, const known *from, lw_spot spot)
{
  size_t middle = bucket_of(b, spot.x_m, spot.y_m);
  ptrdiff_t ci = (ptrdiff_t)(middle % b->nx);
  ptrdiff_t cj = (ptrdiff_t)(middle / b->nx);
  memset(n->count, 0, sizeof n->count);
  for (ptrdiff_t ring = 0; ring <= (ptrdiff_t)(b->nx + b->ny); ring++) {
    for (ptrdiff_t j = cj - ring; j <= cj + ring; j++) {
      bool whole = j == cj - ring || j == cj + ring;
      for (ptrdiff_t i = ci - ring; i <= ci + ring; i += whole || ring == 0 ? 1 : 2 * ring) {
        if (i >= 0 && j >= 0 && i < (ptrdiff_t)b->nx && j < (ptrdiff_t)b->ny) {
          offer_bucket(n, b, from, spot, (size_t)j * b->nx + (size_t)i);
        }
      }
    }
    if (is_full(n, (double)ring * b->side)) {
      return;
    }
  }
}

/* ---- the system ---- */

/* Gauss with pivots; the right-hand side is column n, and becomes the answer. */
static bool eliminate(double m[ROWS][ROWS + 1], size_t n)
{
  for (size_t c = 0; c < n; c++) {
    size_t pivot = c;
    for (size_t r = c + 1; r < n; r++) {
      pivot = fabs(m[r][c]) > fabs(m[pivot][c]) ? r : pivot;
    }
    if (!(fabs(m[pivot][c]) > 0)) {
      return false;
    }
    for (size_t k = 0; k <= n; k++) {
      double swap = m[c][k];
      m[c][k] = m[pivot][k];
      m[pivot][k] = swap;
    }
    for (size_t r = 0; r < n; r++) {
      double factor = r == c ? 0 : m[r][c] / m[c][c];
      for (size_t k = c; k <= n && factor != 0; k++) {
        m[r][k] -= factor * m[c][k];
      }
    }
  }
  for (size_t c = 0; c < n; c++) {
    m[c][n] /= m[c][c];
  }
  return true;
}

static bool krige(double *out, const variogram *v, const known *from, const nearest *n, lw_spot spot)
{
  double m[ROWS][ROWS + 1];
  size_t list[NEIGHBOURS];
  size_t count = 0;
  for (size_t s = 0; s < n->sectors; s++) {
    for (size_t k = 0; k < n->count[s]; k++) {
      list[count++] = n->point[s][k];
    }
  }
  for (size_t a = 0; a < count; a++) {
    double x = from->x_m[list[a]];
    double y = from->y_m[list[a]];
    for (size_t b = 0; b < count; b++) {
      double apart = hypot(x - from->x_m[list[b]], y - from->y_m[list[b]]);
      m[a][b] = covariance(v, apart) + (a == b ? v->nugget : 0);
    }
    m[a][count] = m[count][a] = 1;
    m[a][count + 1] = covariance(v, hypot(x - spot.x_m, y - spot.y_m));
  }
  m[count][count] = 0;
  m[count][count + 1] = 1;
  if (!eliminate(m, count + 1)) {
    return false;
  }
  *out = 0;
  for (size_t a = 0; a < count; a++) {
    *out += m[a][count + 1] * from->depth_m[list[a]];
  }
  *out = fmax(*out, 0);
  return true;
}

bool kriging_at(double *out, const lw_spot *spots, size_t count, const known *from, bool all_round,
                lw_arena *arena)
{
  buckets b = {0};
  bool good = from->count >= NEIGHBOURS && fill_buckets(&b, from, arena);
  variogram v = good ? best_variogram(from) : (variogram){0};
  for (size_t k = 0; k < count && good; k++) {
    nearest n = {.sectors = all_round ? SECTORS : 1};
    find_nearest(&n, &b, from, spots[k]);
    good = krige(&out[k], &v, from, &n, spots[k]);
  }
  return good;
}
