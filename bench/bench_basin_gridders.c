/* SPDX-License-Identifier: Apache-2.0 */
/* The depth map against other ways to depths between soundings: whole lines are left out and predicted (the
 * same ten folds for all), on every invented lake, from 12 and from 30 lines. The others get the shore as
 * points at depth 0. Where one of GDAL's gridders has a power, a radius or a number of points, several are
 * tried and the best on the left-out lines stands, lake by lake: what nobody could choose beforehand. The
 * same for the two ways of choosing neighbours of the kriging. bench_basin_gridders [LINES [SEED [HEADING]]]
 * (0: both 12 and 30; 3; 0.9 radians) The figures are for reading, no threshold is judged. */
#include "gridders.h"
#include "survey.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define SHORE_APART_M 4.0
#define SIZE_M 200.0
#define ARENA ((size_t)4 << 30)

enum { HOW_MOST = 64 };

static const char *const names[GRIDDERS] = {"linear", "inverse", "inv. near", "nearest", "average"};

typedef struct trial {
  survey s;
  lw_basin basin;
  lw_arena *arena;
  int32_t *fold; /* a sounding; -1: not scored */
  lw_spot *shore;
  size_t shore_count, scored;
  double gap_m; /* between lines */
  known from;
  lw_spot *spots;
  double *recorded_m, *said_m, *fallback_m;
} trial;

/* ---- the folds lw_basin_reckon took: lines in the order met ---- */

static bool make_folds(trial *t)
{
  const lw_basin_input *in = &t->s.input;
  size_t folds = t->basin.folds;
  int32_t *number = LW_NEW(t->arena, int32_t, t->s.sailed.pieces + 1);
  t->fold = LW_NEW(t->arena, int32_t, in->sounding_count);
  if (!number || !t->fold || folds == 0) {
    return false;
  }
  int32_t next = 0;
  for (size_t k = 0; k < in->sounding_count; k++) {
    int32_t *n = &number[in->soundings[k].track];
    *n = *n ? *n : ++next;
    bool scored = !isnan(t->basin.residual_m[k]);
    t->fold[k] = scored ? (*n - 1) % (int32_t)folds : -1;
    t->scored += scored;
  }
  return true;
}

static bool make_room(trial *t)
{
  size_t n = t->s.input.sounding_count;
  t->shore_count = survey_shore(NULL, 0, &t->s.lake.shore, SHORE_APART_M);
  t->shore = LW_NEW(t->arena, lw_spot, t->shore_count);
  t->spots = LW_NEW(t->arena, lw_spot, n);
  t->recorded_m = LW_NEW(t->arena, double, n);
  t->said_m = LW_NEW(t->arena, double, n);
  t->fallback_m = LW_NEW(t->arena, double, n);
  if (!t->shore || !t->spots || !t->recorded_m || !t->said_m || !t->fallback_m) {
    return false;
  }
  (void)survey_shore(t->shore, t->shore_count, &t->s.lake.shore, SHORE_APART_M);
  return known_make(&t->from, n + t->shore_count, t->arena);
}

/* Everything but the fold's lines into t->from, the fold's soundings into t->spots; how many. */
static size_t leave_out(trial *t, int32_t fold)
{
  const lw_basin_input *in = &t->s.input;
  size_t count = 0;
  t->from.count = 0;
  for (size_t k = 0; k < t->shore_count; k++) {
    known_add(&t->from, t->shore[k], 0);
  }
  for (size_t k = 0; k < in->sounding_count; k++) {
    lw_spot at = {in->soundings[k].x_m, in->soundings[k].y_m};
    if (t->fold[k] == fold) {
      t->spots[count] = at;
      t->recorded_m[count++] = (double)in->soundings[k].depth_m;
    } else if (t->fold[k] >= 0) {
      known_add(&t->from, at, (double)in->soundings[k].depth_m);
    }
  }
  return count;
}

/* ---- root mean squares ---- */

static double squares(const trial *t, size_t count)
{
  double sum = 0;
  for (size_t k = 0; k < count; k++) {
    double off = t->recorded_m[k] - (isnan(t->said_m[k]) ? t->fallback_m[k] : t->said_m[k]);
    sum += off * off;
  }
  return sum;
}

/* Spots out of a gridder's radius get their nearest neighbour's depth. */
static double gridder_rmse_m(trial *t, const gridder_how *how)
{
  const gridder_how nearest = {.which = GRIDDER_NEAREST};
  double sum = 0;
  for (size_t f = 0; f < t->basin.folds; f++) {
    size_t count = leave_out(t, (int32_t)f);
    if (!gridder_at(t->fallback_m, t->spots, count, &t->from, &nearest) ||
        !gridder_at(t->said_m, t->spots, count, &t->from, how)) {
      return (double)NAN;
    }
    sum += squares(t, count);
  }
  return sqrt(sum / (double)t->scored);
}

static double kriging_rmse_m(trial *t, bool all_round)
{
  double sum = 0;
  for (size_t f = 0; f < t->basin.folds; f++) {
    size_t count = leave_out(t, (int32_t)f);
    lw_arena *scratch = lw_arena_new(ARENA);
    bool good = scratch && kriging_at(t->said_m, t->spots, count, &t->from, all_round, scratch);
    lw_arena_free(scratch);
    if (!good) {
      return (double)NAN;
    }
    sum += squares(t, count);
  }
  return sqrt(sum / (double)t->scored);
}

static size_t hows_of(gridder_how *list, gridder which, double gap_m)
{
  static const double powers[] = {2, 3, 4}; /* GDAL's default first */
  static const double gaps[] = {1.25, 2, 4};
  static const unsigned mosts[] = {8, 12, 24};
  size_t n = 0;
  bool by_power = which == GRIDDER_DISTANCE || which == GRIDDER_DISTANCE_NEAR;
  bool by_radius = which == GRIDDER_AVERAGE || which == GRIDDER_DISTANCE_NEAR;
  for (size_t p = 0; p < (by_power ? 3 : 1); p++) {
    for (size_t r = 0; r < (by_radius ? 3 : 1); r++) {
      for (size_t m = 0; m < (which == GRIDDER_DISTANCE_NEAR ? 3 : 1); m++) {
        list[n++] = (gridder_how){which, powers[p], gaps[r] * gap_m, mosts[m]};
      }
    }
  }
  return n;
}

static double best_of(trial *t, gridder which)
{
  gridder_how list[HOW_MOST];
  size_t count = hows_of(list, which, t->gap_m);
  double best = (double)INFINITY;
  for (size_t k = 0; k < count; k++) {
    best = fmin(best, gridder_rmse_m(t, &list[k]));
  }
  return best;
}

/* ---- the table ---- */

static void print_row(trial *t)
{
  double rmse[GRIDDERS];
  double best = (double)INFINITY;
  const char *who = "";
  (void)printf("%-22s %7.4f", t->s.lake.name, t->basin.rmse_m);
  for (int g = 0; g < GRIDDERS && gridders_at_hand(); g++) {
    rmse[g] = best_of(t, (gridder)g);
    (void)printf(" %9.4f", rmse[g]);
    who = rmse[g] < best ? names[g] : who;
    best = fmin(best, rmse[g]);
  }
  double kriged = fmin(kriging_rmse_m(t, false), kriging_rmse_m(t, true));
  (void)printf(" %8.4f", kriged);
  if (gridders_at_hand()) {
    (void)printf("  %-9s %5.2f%s", who, t->basin.rmse_m / best, t->basin.rmse_m > best ? " above 1" : "");
  }
  (void)printf("%s\n", kriged < t->basin.rmse_m ? " (kriging nearer)" : "");
  (void)fflush(stdout);
}

static bool run(const lw_lake_ask *ask, const lw_sailing *how)
{
  trial *t = calloc(1, sizeof *t);
  lw_error err = {0};
  bool good = t && (t->arena = lw_arena_new(ARENA)) != NULL && survey_make(&t->s, ask, how, t->arena);
  if (good && lw_basin_reckon(&t->basin, &t->s.input, t->arena, &err) != LW_OK) {
    (void)fprintf(stderr, "bench_basin_gridders: %s\n", err.message);
    good = false;
  }
  if (good) {
    lw_box box = lw_shore_box(&t->s.lake.shore);
    t->gap_m = sqrt((box.east_m - box.west_m) * (box.north_m - box.south_m)) / (double)how->lines;
  }
  good = good && make_folds(t) && make_room(t);
  if (good) {
    print_row(t);
  }
  lw_arena_free(t ? t->arena : NULL);
  free(t);
  return good;
}

static void print_head(size_t lines)
{
  (void)printf("left-out lines predicted, root mean square m, %zu lines, noise of the soundings 0.05 m\n",
               lines);
  (void)printf("%-22s %7s", "", "ours");
  for (int g = 0; g < GRIDDERS && gridders_at_hand(); g++) {
    (void)printf(" %9s", names[g]);
  }
  (void)printf(" %8s%s\n", "kriging", gridders_at_hand() ? "  best GDAL ours/it" : "");
}

int main(int count, char **arguments)
{
  size_t asked = count > 1 ? strtoul(arguments[1], NULL, 10) : 0;
  uint64_t seed = count > 2 ? strtoull(arguments[2], NULL, 10) : 3;
  double heading = count > 3 ? strtod(arguments[3], NULL) : 0.9;
  const size_t usual[] = {12, 30};
  if (!gridders_at_hand()) {
    (void)printf("built without GDAL (Debian: libgdal-dev): its gridders are left out\n");
  }
  for (size_t k = 0; k < (asked ? 1 : 2); k++) {
    size_t lines = asked ? asked : usual[k];
    print_head(lines);
    for (int kind = 0; kind < LW_LAKE_KINDS; kind++) {
      lw_lake_ask ask = {(lw_lake_kind)kind, SIZE_M, 5, 0.4, 1};
      lw_sailing how = {
          .lines = lines, .spacing_m = 2, .heading = heading, .noise_m = 0.05, .tracks = true, .seed = seed};
      if (!run(&ask, &how)) {
        return 1;
      }
    }
    (void)printf("%s", k == 0 && !asked ? "\n" : "");
  }
  return 0;
}
