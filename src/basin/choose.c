/* SPDX-License-Identifier: Apache-2.0 */
#include "basin/choose.h"

#include "base/stats.h"

#include <math.h>
#include <string.h>

#define ENERGY 0.05
#define WORTH_WHILE 0.998 /* a knob is turned on while the mean loss falls to less than this share */
#define ERROR_LEAST_M 0.02
#define ERROR_MOST_M 0.5
#define ERROR_UNKNOWN_M 0.05
#define NORMAL_MEDIAN 0.674489750196082 /* of |x|, x standard normal */
#define ORDINARY 2.0                    /* residuals up to so many sounding errors ... */
#define ORDINARY_SHARE 0.005            /* ... and a share (0.03) of the depth are ordinary */
#define SOFTEST 3e-3
#define STIFFEST 1e5
#define LONGEST 5.0
#define CHANNEL_ALONG 4.0 /* where to begin with the owner's channel */
#define ALONG_MOST 64.0

enum { STRETCH_DRAWS = 4, DIFFERENCES_LEAST = 20, DIFFERENCES_MOST = 20000 };

lw_status lw_basin_go_on(const lw_basin_input *input, double done, lw_error *err)
{
  return !input->go_on || input->go_on(input->context, done)
             ? LW_OK
             : lw_fail(err, LW_CONFLICT, "the depth map was cancelled; nothing has changed");
}

double lw_sounding_error_m(const lw_sounding *z, size_t count, lw_arena *arena)
{
  size_t stride = count / DIFFERENCES_MOST + 1;
  double *apart = LW_NEW(arena, double, DIFFERENCES_MOST + 2);
  size_t n = 0;
  for (size_t k = 1; apart && k + 1 < count && n < DIFFERENCES_MOST; k += stride) {
    const lw_sounding *a = &z[k - 1];
    bool good =
        a[0].flaw == LW_SOUNDING_GOOD && a[1].flaw == LW_SOUNDING_GOOD && a[2].flaw == LW_SOUNDING_GOOD;
    if (good && a[0].track == a[1].track && a[1].track == a[2].track) {
      apart[n++] = fabs((double)a[0].depth_m - 2 * (double)a[1].depth_m + (double)a[2].depth_m);
    }
  }
  if (n < DIFFERENCES_LEAST) {
    return ERROR_UNKNOWN_M;
  }
  double middle = 0;
  lw_sort(apart, n);
  if (lw_quantile(&middle, apart, n, 0.5, NULL) != LW_OK) {
    return ERROR_UNKNOWN_M;
  }
  middle /= NORMAL_MEDIAN * sqrt(6.0);
  return fmin(fmax(middle, ERROR_LEAST_M), ERROR_MOST_M);
}

lw_penalty lw_penalty_usual(double area_m2, double depth_m)
{
  double depth = fmax(depth_m, 0.1);
  return (lw_penalty){.slope_weight = 0.025 / (depth * depth), .length_m = sqrt(area_m2) / 4};
}

/* ---- cross-validation ---- */

/* `loss` grows as the square of a residual while it is small and as its logarithm beyond (Cauchy's
 * likelihood): lines along a steep shore, which nothing can predict when left out, must not choose the
 * penalty for the rest. */
typedef struct score {
  double squares, sum, count, loss;
  double ordinary_m; /* where small ends */
} score;

static void score_fold(score *out, const lw_surface *s, int32_t fold)
{
  for (size_t k = 0; k < s->bins[0].count; k++) {
    const lw_bin *bin = &s->bins[0].list[k];
    if (bin->fold != fold) {
      continue;
    }
    double residual = (double)bin->depth_m - fmax(lw_surface_at(s, s->depth, bin), 0);
    out->squares += (double)bin->count * residual * residual;
    out->sum += (double)bin->count * residual;
    out->count += (double)bin->count;
    out->loss += (double)bin->count * log1p(residual * residual / (out->ordinary_m * out->ordinary_m));
  }
}

static lw_status run_fold(lw_surface *s, const lw_penalty *penalty, int32_t fold, score *out, lw_error *err)
{
  lw_status status = lw_surface_state(s, penalty, fold, err);
  status = status == LW_OK ? lw_surface_solve(s, fold, ENERGY, err) : status;
  if (status == LW_OK) {
    score_fold(out, s, fold);
  }
  return status;
}

typedef struct search {
  lw_surface *surface;
  const lw_basin_input *input;
  size_t folds;
  lw_penalty begin, best;
  double best_loss, ordinary_m;
  int tried;
} search;

static lw_status try_penalty(search *s, const lw_penalty *penalty, bool *better, lw_error *err)
{
  score sum = {.ordinary_m = s->ordinary_m};
  lw_status status = lw_basin_go_on(s->input, 0.02 * s->tried, err);
  /* every second fold tells penalties apart well enough, in half the time */
  size_t apart = s->folds < LW_FOLDS ? 1 : 2;
  for (size_t f = 0; status == LW_OK && f < s->folds; f += apart) {
    status = run_fold(s->surface, penalty, (int32_t)f, &sum, err);
  }
  double mean = sum.count > 0 ? sum.loss / sum.count : 0;
  if (status == LW_INTERNAL) {
    /* so soft a surface that rounding decides: no better */
    *better = false;
    return LW_OK;
  }
  *better = status == LW_OK && mean < s->best_loss * WORTH_WHILE;
  if (*better) {
    s->best = *penalty;
    s->best_loss = mean;
  }
  s->tried++;
  return status;
}

typedef enum knob { WEIGHT, LENGTH, ALONG } knob;

static lw_penalty turned(lw_penalty p, knob which, double factor, double first_along)
{
  p.slope_weight *= which == WEIGHT ? factor : 1;
  p.length_m *= which == LENGTH ? factor : 1;
  /* the same stiffness against curvature */
  p.slope_weight /= which == LENGTH ? factor * factor : 1;
  p.along = which == ALONG ? (p.along > 0 ? p.along * factor : first_along) : p.along;
  return p;
}

/* Outside these bounds the data no longer tell anything, and the system is hard to solve. */
static bool within(const search *s, const lw_penalty *p)
{
  double stiffness = p->slope_weight * p->length_m * p->length_m /
                     (s->begin.slope_weight * s->begin.length_m * s->begin.length_m);
  return stiffness > SOFTEST && stiffness < STIFFEST && p->length_m > s->surface->frame.step_m &&
         p->length_m < LONGEST * s->begin.length_m && p->along <= ALONG_MOST;
}

/* Turns one knob from the best so far, up while it helps, else down while it helps. */
static lw_status turn(search *s, knob which, double factor, int most, lw_error *err)
{
  lw_status status = LW_OK;
  bool ever = false;
  for (int way = 0; status == LW_OK && way < 2 && !ever; way++) {
    bool better = true;
    for (int k = 0; status == LW_OK && better && k < most; k++) {
      lw_penalty next =
          turned(s->best, which, way ? 1 / factor : factor, s->input->channel_count ? CHANNEL_ALONG : 1);
      if (!within(s, &next) || (which == ALONG && way && s->best.along == 0)) {
        break;
      }
      status = try_penalty(s, &next, &better, err);
      ever = ever || better;
    }
  }
  return status;
}

lw_status lw_choose_penalty(lw_choice *out, lw_surface *surface, const lw_penalty *begin, size_t fold_count,
                            const lw_basin_input *input, lw_error *err)
{
  search s = {
      .surface = surface, .input = input, .folds = fold_count, .begin = *begin, .best_loss = INFINITY};
  s.ordinary_m = ORDINARY * surface->sounding_error_m + ORDINARY_SHARE / sqrt(begin->slope_weight);
  bool better;
  lw_status status = try_penalty(&s, begin, &better, err);
  status = status == LW_OK ? turn(&s, WEIGHT, 10, 4, err) : status;
  status = status == LW_OK ? turn(&s, LENGTH, 4, 3, err) : status;
  if (status == LW_OK && surface->direction.strength) {
    status = turn(&s, ALONG, 4, 4, err);
  }
  status = status == LW_OK ? turn(&s, WEIGHT, 3, 3, err) : status;
  status = status == LW_OK ? turn(&s, LENGTH, 2, 2, err) : status;
  *out = (lw_choice){.penalty = s.best, .stretch = 1, .folds = fold_count};
  return status;
}

/* ---- stretch ---- */

/* Adds the formal variance of what was left out: the surface's, by a few draws, and the soundings' own. */
static lw_status formal_variance(double *sum, const lw_choice *c, lw_surface *s, int32_t fold, uint64_t seed,
                                 lw_error *err)
{
  lw_status status = LW_OK;
  for (uint32_t d = 0; status == LW_OK && d < STRETCH_DRAWS; d++) {
    lw_draw draw = {.random = {.seed = seed, .stream = 0x1000u + (uint32_t)fold * STRETCH_DRAWS + d}};
    status = lw_surface_draw(s, &c->penalty, fold, &draw, err);
    for (size_t k = 0; status == LW_OK && k < s->bins[0].count; k++) {
      const lw_bin *bin = &s->bins[0].list[k];
      if (bin->fold == fold) {
        double error = lw_surface_at(s, s->depth, bin);
        *sum += (double)bin->count * (error * error + 1 / lw_surface_weight(s, bin, 0)) / STRETCH_DRAWS;
      }
    }
  }
  return status;
}

static void residuals(float *residual_m, score *sum, const lw_surface *s, int32_t fold,
                      const int32_t *fold_of, const lw_basin_input *input)
{
  for (size_t k = 0; k < input->sounding_count; k++) {
    const lw_sounding *z = &input->soundings[k];
    lw_bin place;
    if (z->flaw != LW_SOUNDING_GOOD || fold_of[z->track] != fold || !lw_surface_place(&place, s, z)) {
      continue;
    }
    double residual = (double)z->depth_m - fmax(lw_surface_at(s, s->depth, &place), 0);
    residual_m[k] = (float)residual;
    sum->squares += residual * residual;
    sum->sum += residual;
    sum->count += 1;
  }
}

lw_status lw_choose_stretch(lw_choice *c, float *residual_m, lw_surface *s, const int32_t *fold_of,
                            const lw_basin_input *input, lw_error *err)
{
  score bins = {.ordinary_m = 1};
  score each = {0};
  double formal = 0;
  lw_status status = LW_OK;
  for (size_t f = 0; status == LW_OK && f < c->folds; f++) {
    status = lw_basin_go_on(input, 0.5 + 0.2 * (double)f / (double)c->folds, err);
    status = status == LW_OK ? run_fold(s, &c->penalty, (int32_t)f, &bins, err) : status;
    if (status == LW_OK) {
      residuals(residual_m, &each, s, (int32_t)f, fold_of, input);
      status = formal_variance(&formal, c, s, (int32_t)f, input->seed, err);
    }
  }
  if (status != LW_OK || !(each.count > 0) || !(formal > 0)) {
    return status;
  }
  c->rmse_m = sqrt(each.squares / each.count);
  c->bias_m = each.sum / each.count;
  c->stretch = sqrt(bins.squares / formal);
  return LW_OK;
}
