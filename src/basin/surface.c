/* SPDX-License-Identifier: Apache-2.0 */
/* Live nodes, bins, and the solve. */
#include "basin/surface.h"

#include <math.h>
#include <string.h>

#define SHORE_ERROR_M 0.05
#define MOST_INDEPENDENT 10.0

enum { MOST_STEPS = 1000 };

static double weight_of(const lw_bin *bin, double sounding_error_m)
{
  if (bin->fold < 0) {
    return (double)bin->count / (SHORE_ERROR_M * SHORE_ERROR_M);
  }
  double variance = sounding_error_m * sounding_error_m * (1 / (double)bin->count + 1 / MOST_INDEPENDENT);
  return 1 / variance;
}

/* ---- live nodes ---- */

static void mark_corners(double *live, const lw_grid_level *l, const lw_frame *frame, const float *cover)
{
  for (size_t j = 0; j + 1 < frame->ny; j++) {
    for (size_t i = 0; i + 1 < frame->nx; i++) {
      if (!(cover[j * (frame->nx - 1) + i] > 0)) {
        continue;
      }
      size_t n = lw_grid_at(l, i, j);
      live[n] = live[n + 1] = live[n + l->stride] = live[n + l->stride + 1] = 1;
    }
  }
}

/* One ring of nodes more, so that the bed can slope through the shore; `spare` is scratch. */
static void widen(double *live, double *spare, const lw_grid_level *l)
{
  memcpy(spare, live, l->size * sizeof *live);
  for (size_t j = 0; j < l->ny; j++) {
    for (size_t i = 0; i < l->nx; i++) {
      size_t n = lw_grid_at(l, i, j);
      double near = 0;
      for (size_t row = n - l->stride; row <= n + l->stride; row += l->stride) {
        near += spare[row - 1] + spare[row] + spare[row + 1];
      }
      live[n] = near > 0 ? 1 : 0;
    }
  }
}

/* On coarse levels a node lives by the share of the fine nodes about it that do: so the plate ends where it
 * ends on the finest level, and what juts out is soft. */
static void coarsen_live(double *coarse, const lw_grid_level *c, const double *fine, const lw_grid_level *f)
{
  for (size_t j = 0; j < c->ny; j++) {
    for (size_t i = 0; i < c->nx; i++) {
      size_t n = lw_grid_at(f, 2 * i, 2 * j);
      size_t s = f->stride;
      double sum = 4 * fine[n] + 2 * (fine[n - 1] + fine[n + 1] + fine[n - s] + fine[n + s]) +
                   fine[n - s - 1] + fine[n - s + 1] + fine[n + s - 1] + fine[n + s + 1];
      coarse[lw_grid_at(c, i, j)] = sum / 16;
    }
  }
}

static lw_status make_live(lw_surface *s, const float *cover, lw_arena *arena, lw_error *err)
{
  for (size_t v = 0; v < s->grid->level_count; v++) {
    s->live[v] = LW_NEW(arena, double, s->grid->levels[v].size);
    if (!s->live[v]) {
      return lw_fail(err, LW_MEMORY, "no memory for the depth map");
    }
    if (v == 0) {
      mark_corners(s->live[0], &s->grid->levels[0], &s->frame, cover);
      widen(s->live[0], s->grid->levels[0].r, &s->grid->levels[0]);
      memset(s->grid->levels[0].r, 0, s->grid->levels[0].size * sizeof(double));
    } else {
      coarsen_live(s->live[v], &s->grid->levels[v], s->live[v - 1], &s->grid->levels[v - 1]);
    }
  }
  return LW_OK;
}

/* ---- bins ---- */

static bool same_cell(const lw_bin *a, const lw_bin *b)
{
  return a->fold == b->fold && floorf(a->u) == floorf(b->u) && floorf(a->v) == floorf(b->v);
}

static bool same_bin(const lw_bin *a, const lw_bin *b)
{
  return a->track == b->track && same_cell(a, b);
}

/* Adds to the last bin where it belongs there, else begins a new one. */
static void gather(lw_bins *bins, const lw_bin *more)
{
  lw_bin *last = bins->count ? &bins->list[bins->count - 1] : NULL;
  if (!last || !same_bin(last, more)) {
    bins->list[bins->count++] = *more;
    return;
  }
  float count = last->count + more->count;
  float share = more->count / count;
  last->u += (more->u - last->u) * share;
  last->v += (more->v - last->v) * share;
  last->depth_m += (more->depth_m - last->depth_m) * share;
  last->count = count;
}

static bool is_live(const lw_surface *s, const lw_bin *bin)
{
  const lw_frame *f = &s->frame;
  if (!(bin->u >= 0 && bin->v >= 0 && bin->u < (float)(f->nx - 1) && bin->v < (float)(f->ny - 1))) {
    return false;
  }
  const lw_grid_level *l = &s->grid->levels[0];
  size_t n = lw_grid_at(l, (size_t)bin->u, (size_t)bin->v);
  const double *live = s->live[0];
  return live[n] + live[n + 1] + live[n + l->stride] + live[n + l->stride + 1] > 3;
}

static size_t shore_spots(const lw_shore *shore, double step_m)
{
  return (size_t)(lw_shore_length_m(shore) / (step_m / 2)) + 2 * shore->spot_count;
}

static void add_shore_line(lw_surface *s, lw_spot a, lw_spot b)
{
  double length = hypot(b.x_m - a.x_m, b.y_m - a.y_m);
  size_t pieces = (size_t)ceil(length / (s->frame.step_m / 2));
  for (size_t k = 0; k < pieces; k++) {
    double at = ((double)k + 0.5) / (double)pieces;
    lw_bin bin = {.u = (float)((a.x_m + at * (b.x_m - a.x_m) - s->frame.x0_m) / s->frame.step_m),
                  .v = (float)((a.y_m + at * (b.y_m - a.y_m) - s->frame.y0_m) / s->frame.step_m),
                  .count = 1,
                  .fold = -1,
                  .survey = -1,
                  .track = -1};
    if (is_live(s, &bin)) {
      gather(&s->bins[0], &bin);
    }
  }
}

static void add_shore(lw_surface *s, const lw_shore *shore)
{
  for (size_t r = 0; r < shore->ring_count; r++) {
    size_t first = shore->ring_start[r];
    size_t end = shore->ring_start[r + 1];
    for (size_t k = first; k < end; k++) {
      add_shore_line(s, shore->spots[k], shore->spots[k + 1 < end ? k + 1 : first]);
    }
  }
}

bool lw_surface_place(lw_bin *out, const lw_surface *s, const lw_sounding *z)
{
  *out = (lw_bin){.u = (float)((z->x_m - s->frame.x0_m) / s->frame.step_m),
                  .v = (float)((z->y_m - s->frame.y0_m) / s->frame.step_m),
                  .depth_m = z->depth_m,
                  .count = 1,
                  .survey = z->survey,
                  .track = z->track};
  return is_live(s, out);
}

typedef struct placed {
  uint32_t key;   /* of the cell, its two numbers' bits interleaved: cells near each other stay near */
  uint32_t index; /* of the sounding */
} placed;

static uint32_t spread_bits(uint32_t x)
{
  x = (x | x << 8) & 0x00FF00FFu;
  x = (x | x << 4) & 0x0F0F0F0Fu;
  x = (x | x << 2) & 0x33333333u;
  return (x | x << 1) & 0x55555555u;
}

/* By the key, soundings of one cell staying in their order: four passes over a byte each. */
static void sort_placed(placed *list, placed *spare, size_t count)
{
  for (unsigned shift = 0; shift < 32; shift += 8) {
    size_t start[257] = {0};
    for (size_t k = 0; k < count; k++) {
      start[(list[k].key >> shift & 255u) + 1]++;
    }
    for (size_t d = 0; d < 256; d++) {
      start[d + 1] += start[d];
    }
    for (size_t k = 0; k < count; k++) {
      spare[start[list[k].key >> shift & 255u]++] = list[k];
    }
    placed *other = list;
    list = spare;
    spare = other;
  }
}

/* Soundings cell by cell, so that those of one line in one cell meet whatever order they came in. */
static lw_status add_soundings(lw_surface *s, const lw_basin_input *input, const int32_t *fold_of,
                               lw_arena *arena, lw_error *err)
{
  placed *list = LW_NEW(arena, placed, input->sounding_count);
  placed *spare = LW_NEW(arena, placed, input->sounding_count);
  size_t count = 0;
  lw_bin bin;
  if (!list || !spare) {
    return lw_fail(err, LW_MEMORY, "no memory for %zu soundings", input->sounding_count);
  }
  for (size_t k = 0; k < input->sounding_count; k++) {
    const lw_sounding *z = &input->soundings[k];
    if (z->flaw == LW_SOUNDING_GOOD && lw_surface_place(&bin, s, z)) {
      uint32_t key = spread_bits((uint32_t)bin.u) | spread_bits((uint32_t)bin.v) << 1;
      list[count++] = (placed){key, (uint32_t)k};
    }
  }
  sort_placed(list, spare, count);
  for (size_t k = 0; k < count; k++) {
    const lw_sounding *z = &input->soundings[list[k].index];
    if (lw_surface_place(&bin, s, z)) {
      bin.fold = fold_of ? fold_of[z->track] : 0;
      gather(&s->bins[0], &bin);
    }
  }
  return LW_OK;
}

static void weigh(lw_surface *s)
{
  for (size_t k = 0; k < s->bins[0].count; k++) {
    s->bins[0].list[k].weight = (float)weight_of(&s->bins[0].list[k], s->sounding_error_m);
  }
}

/* As gather, where the weights are known and add up. */
static void gather_weights(lw_bins *bins, const lw_bin *more)
{
  lw_bin *last = bins->count ? &bins->list[bins->count - 1] : NULL;
  if (!last || !same_cell(last, more)) {
    bins->list[bins->count++] = *more;
    return;
  }
  last->count += more->count;
  last->weight += more->weight;
  float share = more->weight / last->weight;
  last->u += (more->u - last->u) * share;
  last->v += (more->v - last->v) * share;
}

/* The same data seen from the coarser levels. */
static lw_status coarsen_bins(lw_surface *s, lw_arena *arena, lw_error *err)
{
  for (size_t v = 1; v < s->grid->level_count; v++) {
    const lw_bins *fine = &s->bins[v - 1];
    s->bins[v].list = LW_NEW(arena, lw_bin, fine->count);
    if (!s->bins[v].list) {
      return lw_fail(err, LW_MEMORY, "no memory for %zu soundings", fine->count);
    }
    for (size_t k = 0; k < fine->count; k++) {
      lw_bin bin = fine->list[k];
      bin.u /= 2;
      bin.v /= 2;
      bin.count = v == 1 ? 1 : bin.count; /* from here on: bins of the finest level */
      gather_weights(&s->bins[v], &bin);
    }
  }
  return LW_OK;
}

lw_status lw_surface_new(lw_surface **out, const lw_frame *frame, const float *cover,
                         const lw_basin_input *input, const int32_t *fold_of, double sounding_error_m,
                         lw_arena *arena, lw_error *err)
{
  lw_surface *s = LW_NEW(arena, lw_surface, 1);
  if (!s) {
    return lw_fail(err, LW_MEMORY, "no memory for the depth map");
  }
  s->frame = *frame;
  s->sounding_error_m = sounding_error_m;
  lw_status status = lw_multigrid_new(&s->grid, frame->nx, frame->ny, 2, arena, err);
  status = status == LW_OK ? make_live(s, cover, arena, err) : status;
  if (status != LW_OK) {
    return status;
  }
  size_t room = input->sounding_count + shore_spots(&input->shore, frame->step_m);
  s->bins[0].list = LW_NEW(arena, lw_bin, room);
  s->rhs = LW_NEW(arena, double, s->grid->levels[0].size);
  s->depth = LW_NEW(arena, double, s->grid->levels[0].size);
  if (!s->bins[0].list || !s->rhs || !s->depth) {
    return lw_fail(err, LW_MEMORY, "no memory for %zu soundings", input->sounding_count);
  }
  add_shore(s, &input->shore);
  status = add_soundings(s, input, fold_of, arena, err);
  weigh(s);
  *out = s;
  return status == LW_OK ? coarsen_bins(s, arena, err) : status;
}

double lw_surface_weight(const lw_surface *s, const lw_bin *bin, size_t level)
{
  double most = s->weight_most * (level == 0 ? 1 : (double)bin->count);
  return (double)bin->weight < most ? (double)bin->weight : most;
}

/* ---- the four nodes round a bin ---- */

typedef struct corner {
  size_t n;
  double c[4]; /* south-west, south-east, north-west, north-east */
} corner;

static corner corner_of(const lw_grid_level *l, const lw_bin *bin)
{
  double u = floor((double)bin->u);
  double v = floor((double)bin->v);
  double s = (double)bin->u - u;
  double t = (double)bin->v - v;
  return (corner){.n = lw_grid_at(l, (size_t)u, (size_t)v),
                  .c = {(1 - s) * (1 - t), s * (1 - t), (1 - s) * t, s * t}};
}

double lw_surface_at(const lw_surface *s, const double *field, const lw_bin *bin)
{
  const lw_grid_level *l = &s->grid->levels[0];
  corner q = corner_of(l, bin);
  return q.c[0] * field[q.n] + q.c[1] * field[q.n + 1] + q.c[2] * field[q.n + l->stride] +
         q.c[3] * field[q.n + l->stride + 1];
}

void lw_surface_pull(lw_surface *s, const lw_bin *bin, double pull)
{
  const lw_grid_level *l = &s->grid->levels[0];
  corner q = corner_of(l, bin);
  s->rhs[q.n] += pull * q.c[0];
  s->rhs[q.n + 1] += pull * q.c[1];
  s->rhs[q.n + l->stride] += pull * q.c[2];
  s->rhs[q.n + l->stride + 1] += pull * q.c[3];
}

lw_status lw_surface_solve(lw_surface *s, int32_t without, double energy, lw_error *err)
{
  memset(s->rhs, 0, s->grid->levels[0].size * sizeof *s->rhs);
  for (size_t k = 0; k < s->bins[0].count; k++) {
    const lw_bin *bin = &s->bins[0].list[k];
    if (bin->fold != without && bin->fold >= 0) {
      lw_surface_pull(s, bin, (double)bin->depth_m * lw_surface_weight(s, bin, 0));
    }
  }
  lw_multigrid_how how = {.energy = energy, .most = MOST_STEPS};
  return lw_multigrid_solve(s->grid, s->depth, s->rhs, &how, NULL, err);
}
