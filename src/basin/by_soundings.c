/* SPDX-License-Identifier: Apache-2.0 */
/* The bed from soundings: cross-validation and errors on a grid coarse enough to be solved some hundred
 * times, then the map itself on the fine one. */
#include "basin/choose.h"
#include "basin/reckon.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define SCALE_ERROR 0.01
#define LEVEL_ERROR_M 0.02
#define MAP_ENERGY 1e-2
#define FEW_DOUBT                                                                                            \
  40.0 /* a spread told by n residuals is taken wider by the root of 1 + this / n (common practice) */

enum {
  TRIAL_NODES = 5000,
  TRIAL_NODES_FEW = 1500,
  LINES_LEAST = 3,
  PIECES = 10,
  MEMBERS_STREAM = 0x2000,
  COMMON_STREAM = 0x3000
};

typedef struct job {
  lw_basin *out;
  lw_basin_input in; /* its soundings: a copy with tracks fit for cross-validation */
  lw_arena *arena;
  lw_error *err;
  int32_t *fold_of;
  size_t folds;
  double error_m, depth_m; /* of one sounding; typical depth */
  lw_surface *trial;
  float *trial_cover;
  lw_choice choice;
} job;

/* ---- folds ---- */

/* Each line a number from 0 in the order met; `number` has room for every track. */
static size_t number_lines(int32_t *number, const lw_basin_input *in, size_t tracks)
{
  int32_t next = 0;
  for (size_t t = 0; t < tracks; t++) {
    number[t] = -1;
  }
  for (size_t k = 0; k < in->sounding_count; k++) {
    const lw_sounding *z = &in->soundings[k];
    if (z->flaw == LW_SOUNDING_GOOD && number[z->track] < 0) {
      number[z->track] = next++;
    }
  }
  return (size_t)next;
}

/* Without enough lines the soundings are cut into pieces one after the other; a handful one by one. */
static size_t cut_into_pieces(lw_sounding *z, size_t count, size_t used)
{
  size_t pieces = used < LW_BASIN_FEW_SOUNDINGS ? used : PIECES;
  size_t seen = 0;
  for (size_t k = 0; k < count; k++) {
    if (z[k].flaw == LW_SOUNDING_GOOD) {
      z[k].track = (int32_t)(seen * pieces / used);
      seen++;
    }
  }
  return pieces;
}

static lw_status make_folds(job *j, const lw_basin_input *input)
{
  size_t n = input->sounding_count;
  lw_sounding *copy = LW_NEW(j->arena, lw_sounding, n);
  if (!copy) {
    return lw_fail(j->err, LW_MEMORY, "no memory for %zu soundings", n);
  }
  memcpy(copy, input->soundings, n * sizeof *copy);
  j->in.soundings = copy;
  int32_t most = 0;
  bool all_told = true;
  for (size_t k = 0; k < n; k++) {
    bool good = copy[k].flaw == LW_SOUNDING_GOOD;
    most = good && copy[k].track > most ? copy[k].track : most;
    all_told = all_told && (!good || copy[k].track >= 0);
  }
  size_t tracks = (size_t)most + 1 > n + PIECES ? n + PIECES : (size_t)most + 1;
  j->fold_of = LW_NEW(j->arena, int32_t,
                      tracks > PIECES + LW_BASIN_FEW_SOUNDINGS ? tracks : PIECES + LW_BASIN_FEW_SOUNDINGS);
  if (!j->fold_of) {
    return lw_fail(j->err, LW_MEMORY, "no memory for %zu track lines", tracks);
  }
  all_told = all_told && (size_t)most < tracks;
  size_t lines = all_told ? number_lines(j->fold_of, &j->in, tracks) : 0;
  if (lines < LINES_LEAST || j->out->used < LW_BASIN_FEW_SOUNDINGS) {
    tracks = cut_into_pieces(copy, n, j->out->used);
    lines = number_lines(j->fold_of, &j->in, tracks);
  }
  j->folds = lines < LW_FOLDS ? lines : LW_FOLDS;
  for (size_t t = 0; t < tracks; t++) {
    j->fold_of[t] = j->fold_of[t] < 0 ? 0 : j->fold_of[t] % (int32_t)j->folds;
  }
  return LW_OK;
}

/* ---- the trial grid ---- */

static lw_status make_surface(lw_surface **out, float **cover, job *j, double step_m)
{
  lw_frame frame;
  lw_status s = lw_basin_frame(&frame, &j->in.shore, step_m, j->err);
  s = s == LW_OK ? lw_shore_cover(cover, &j->in.shore, &frame, j->arena, j->err) : s;
  s = s == LW_OK ? lw_surface_new(out, &frame, *cover, &j->in, j->fold_of, j->error_m, j->arena, j->err) : s;
  return s == LW_OK ? lw_basin_directions(&(*out)->direction, &frame, &j->in, j->arena, j->err) : s;
}

static double trial_step_m(const lw_shore *shore, double step_m, int nodes)
{
  lw_box box = lw_shore_box(shore);
  return fmax(step_m, sqrt((box.east_m - box.west_m) * (box.north_m - box.south_m) / nodes));
}

static double typical_depth(const lw_basin_input *in, size_t used)
{
  double squares = 0;
  for (size_t k = 0; k < in->sounding_count; k++) {
    const lw_sounding *z = &in->soundings[k];
    squares += z->flaw == LW_SOUNDING_GOOD ? (double)z->depth_m * (double)z->depth_m : 0;
  }
  return sqrt(squares / (double)used);
}

/* Too few to leave one out: the usual penalty, and errors in proportion to what the usual prior makes of the
 * depths read: a prior draw should be about as large as they are. */
static lw_status usual_choice(job *j, const lw_penalty *begin)
{
  double formal = 0;
  j->choice = (lw_choice){.penalty = *begin, .stretch = 1};
  lw_status s = lw_surface_state(j->trial, begin, 0, j->err);
  for (uint32_t d = 0; s == LW_OK && d < PIECES; d++) {
    lw_draw draw = {.random = {.seed = j->in.seed, .stream = d}};
    s = lw_surface_draw(j->trial, begin, 0, &draw, j->err);
    for (size_t k = 0; s == LW_OK && k < j->trial->bins[0].count; k++) {
      const lw_bin *bin = &j->trial->bins[0].list[k];
      double error = bin->fold >= 0 ? lw_surface_at(j->trial, j->trial->depth, bin) : 0;
      formal += error * error / PIECES;
    }
  }
  j->choice.stretch = s == LW_OK && formal > 0 ? j->depth_m * sqrt((double)j->out->used / formal) : 1;
  return s;
}

static lw_status choose(job *j)
{
  lw_basin *out = j->out;
  lw_penalty begin = lw_penalty_usual(lw_shore_area_m2(&j->in.shore), j->depth_m);
  if (out->used < 4) {
    memset(j->fold_of, 0, out->used * sizeof *j->fold_of);
    return usual_choice(j, &begin);
  }
  out->residual_m = LW_NEW(j->arena, float, j->in.sounding_count);
  if (!out->residual_m) {
    return lw_fail(j->err, LW_MEMORY, "no memory for %zu soundings", j->in.sounding_count);
  }
  for (size_t k = 0; k < j->in.sounding_count; k++) {
    out->residual_m[k] = NAN;
  }
  /* a handful tells how far off the map is, hardly how smooth the bed is */
  bool few = out->way == LW_BASIN_FEW;
  j->choice = (lw_choice){.penalty = begin, .folds = j->folds};
  lw_status s = few ? LW_OK : lw_choose_penalty(&j->choice, j->trial, &begin, j->folds, &j->in, j->err);
  s = s == LW_OK ? lw_choose_stretch(&j->choice, out->residual_m, j->trial, j->fold_of, &j->in, j->err) : s;
  j->choice.stretch *= few ? sqrt(1 + FEW_DOUBT / (double)out->used) : 1;
  out->cross_validated = s == LW_OK;
  out->rmse_m = j->choice.rmse_m;
  out->bias_m = j->choice.bias_m;
  out->folds = j->choice.folds;
  return s;
}

/* ---- members ---- */

typedef struct spread {
  lw_depth_map map;                  /* of the trial grid */
  double *best, *squares;            /* depth; sum of squared errors; padded */
  double volume_m3[LW_BASIN_LEVELS]; /* of the best, trial grid */
  double fine_m3[LW_BASIN_LEVELS];   /* of the map itself ... */
  double area_m2[LW_BASIN_LEVELS];   /* ... and its area */
  double down_m[LW_BASIN_LEVELS];
  double deepest[LW_BASIN_MEMBERS];
} spread;

static lw_status trial_volumes(double *volume_m3, double *deepest_m, spread *sp, job *j, const double *depth)
{
  double area[LW_BASIN_LEVELS];
  lw_basin_copy_depth(&sp->map, j->trial, depth);
  *deepest_m = lw_map_deepest_m(&sp->map);
  return lw_map_curve(area, volume_m3, &sp->map, NULL, sp->down_m, LW_BASIN_LEVELS, j->err);
}

/* What the map is off on the average: leaving a line out doubles the spacing there and an interpolant of
 * second order errs by its square, so a third of the left-out bias is still in the map (Richardson's
 * argument); either way, since the bias itself is an estimate. */
static double common_error_m(const job *j, uint32_t member)
{
  const lw_random random = {.seed = j->in.seed, .stream = COMMON_STREAM};
  return fabs(j->out->bias_m) / 3 * lw_random_normal(&random, member);
}

static lw_status add_member(spread *sp, job *j, uint32_t member)
{
  lw_surface *t = j->trial;
  double stretch = j->choice.stretch;
  lw_draw draw = {.random = {.seed = j->in.seed, .stream = MEMBERS_STREAM + member},
                  .scale_error = (j->in.scale_error > 0 ? j->in.scale_error : SCALE_ERROR) / stretch,
                  .level_error_m = (j->in.level_error_m > 0 ? j->in.level_error_m : LEVEL_ERROR_M) / stretch};
  lw_status s = lw_surface_draw(t, &j->choice.penalty, -2, &draw, j->err);
  for (size_t n = 0; s == LW_OK && n < t->grid->levels[0].size; n++) {
    double error = stretch * t->depth[n];
    sp->squares[n] += error * error;
    t->depth[n] = sp->best[n] + error;
  }
  double *volume = j->out->member_volume_m3[member];
  double common = common_error_m(j, member);
  s = s == LW_OK ? trial_volumes(volume, &sp->deepest[member], sp, j, t->depth) : s;
  for (size_t k = 0; k < LW_BASIN_LEVELS; k++) {
    volume[k] = fmax(sp->fine_m3[k] + volume[k] - sp->volume_m3[k] + common * sp->area_m2[k], 0);
  }
  return s;
}

/* Standard errors from the trial grid to the nodes of the map. */
static void set_errors(lw_depth_map *map, const spread *sp, const lw_surface *trial)
{
  for (size_t k = 0; k < map->frame.nx * map->frame.ny; k++) {
    size_t row = k / map->frame.nx;
    double x = map->frame.x0_m + map->frame.step_m * (double)(k % map->frame.nx);
    double y = map->frame.y0_m + map->frame.step_m * (double)row;
    lw_bin at = {.u = (float)fmin(fmax((x - trial->frame.x0_m) / trial->frame.step_m, 0),
                                  (double)trial->frame.nx - 1.001),
                 .v = (float)fmin(fmax((y - trial->frame.y0_m) / trial->frame.step_m, 0),
                                  (double)trial->frame.ny - 1.001)};
    double square = lw_surface_at(trial, sp->squares, &at) / LW_BASIN_MEMBERS;
    map->error_m[k] = isnan(map->depth_m[k]) ? NAN : (float)sqrt(square);
  }
}

static lw_status make_room(spread *sp, job *j)
{
  size_t size = j->trial->grid->levels[0].size;
  sp->best = LW_NEW(j->arena, double, size);
  sp->squares = LW_NEW(j->arena, double, size);
  j->out->map.error_m = LW_NEW(j->arena, float, j->out->map.frame.nx * j->out->map.frame.ny);
  return sp->best && sp->squares && j->out->map.error_m
             ? lw_basin_take_map(&sp->map, j->trial, j->trial_cover, j->arena, j->err)
             : lw_fail(j->err, LW_MEMORY, "no memory for the depth map");
}

static void range_of_deepest(spread *sp, lw_basin *out, double trial_deepest)
{
  double sum = 0;
  double squares = 0;
  for (size_t m = 0; m < LW_BASIN_MEMBERS; m++) {
    double apart = sp->deepest[m] - trial_deepest;
    sum += apart;
    squares += apart * apart;
  }
  double mean = sum / LW_BASIN_MEMBERS;
  double reach = LW_BASIN_REACH_90 * sqrt(fmax(squares / LW_BASIN_MEMBERS - mean * mean, 0));
  out->max_low_m = fmax(fmin(out->max_depth_m + mean - reach, out->max_depth_m), 0);
  out->max_high_m = fmax(out->max_depth_m + mean + reach, out->max_depth_m);
}

static lw_status draw_members(job *j)
{
  lw_basin *out = j->out;
  spread *sp = LW_NEW(j->arena, spread, 1);
  if (!sp) {
    return lw_fail(j->err, LW_MEMORY, "no memory for the depth map");
  }
  double deepest = 0;
  for (size_t k = 0; k < LW_BASIN_LEVELS; k++) {
    sp->down_m[k] = out->max_depth_m * (double)k / (LW_BASIN_LEVELS - 1);
  }
  lw_status s = make_room(sp, j);
  s = s == LW_OK
          ? lw_map_curve(sp->area_m2, sp->fine_m3, &out->map, NULL, sp->down_m, LW_BASIN_LEVELS, j->err)
          : s;
  s = s == LW_OK ? lw_surface_state(j->trial, &j->choice.penalty, -2, j->err) : s;
  s = s == LW_OK ? lw_surface_solve(j->trial, -2, MAP_ENERGY, j->err) : s;
  if (s != LW_OK) {
    return s;
  }
  memcpy(sp->best, j->trial->depth, j->trial->grid->levels[0].size * sizeof *sp->best);
  s = trial_volumes(sp->volume_m3, &deepest, sp, j, sp->best);
  for (uint32_t m = 0; s == LW_OK && m < LW_BASIN_MEMBERS; m++) {
    s = lw_basin_go_on(&j->in, 0.75 + 0.25 * (double)m / LW_BASIN_MEMBERS, j->err);
    s = s == LW_OK ? add_member(sp, j, m) : s;
  }
  if (s == LW_OK) {
    set_errors(&out->map, sp, j->trial);
    range_of_deepest(sp, out, deepest);
  }
  return s;
}

/* ---- in order ---- */

static lw_status lay_map(job *j, double step_m)
{
  lw_surface *fine = NULL;
  float *cover = NULL;
  lw_status s = make_surface(&fine, &cover, j, step_m);
  s = s == LW_OK ? lw_surface_state(fine, &j->choice.penalty, -2, j->err) : s;
  s = s == LW_OK ? lw_surface_solve(fine, -2, MAP_ENERGY, j->err) : s;
  s = s == LW_OK ? lw_basin_take_map(&j->out->map, fine, cover, j->arena, j->err) : s;
  return s == LW_OK ? lw_basin_finish(j->out, j->err) : s;
}

static lw_status say_how(job *j)
{
  lw_basin *out = j->out;
  const char *plural = out->used == 1 ? "" : "s";
  double wide =
      out->volume_m3 > 0 ? (out->volume_high_m3 - out->volume_low_m3) / 2 / out->volume_m3 * 100 : 0;
  wide = fmax(wide, 1);
  if (out->way == LW_BASIN_SOUNDED) {
    out->how = lw_arena_format(
        j->arena, "From %zu sounding%s and the outline; the volume is known to about %.0f %% (9 in 10).",
        out->used, plural, wide);
  } else {
    out->how = lw_arena_format(
        j->arena,
        "From %zu depth%s and the outline; the volume is known to about %.0f %% (9 in 10). More "
        "depths, spread out and between those read, would narrow it most.",
        out->used, plural, wide);
  }
  return out->how ? LW_OK : lw_fail(j->err, LW_MEMORY, "no memory for the depth map");
}

lw_status lw_basin_by_soundings(lw_basin *out, const lw_basin_input *input, lw_arena *arena, lw_error *err)
{
  job j = {.out = out, .in = *input, .arena = arena, .err = err};
  double step = lw_basin_step_m(input);
  out->way = out->used < LW_BASIN_FEW_SOUNDINGS ? LW_BASIN_FEW : LW_BASIN_SOUNDED;
  lw_status s = make_folds(&j, input);
  if (s == LW_OK) {
    j.depth_m = typical_depth(&j.in, out->used);
    j.error_m = input->sounding_error_m > 0 ? input->sounding_error_m
                                            : lw_sounding_error_m(j.in.soundings, j.in.sounding_count, arena);
    s = make_surface(
        &j.trial, &j.trial_cover, &j,
        trial_step_m(&input->shore, step, out->way == LW_BASIN_FEW ? TRIAL_NODES_FEW : TRIAL_NODES));
  }
  s = s == LW_OK ? choose(&j) : s;
  s = s == LW_OK ? lw_basin_go_on(input, 0.72, err) : s;
  s = s == LW_OK ? lay_map(&j, step) : s;
  s = s == LW_OK ? draw_members(&j) : s;
  if (s != LW_OK) {
    return s;
  }
  lw_basin_interval(out, 0, &out->volume_low_m3, &out->volume_high_m3);
  out->tension_length_m = j.choice.penalty.length_m;
  out->smoothness = j.choice.penalty.slope_weight;
  out->direction = j.choice.penalty.along;
  return say_how(&j);
}
