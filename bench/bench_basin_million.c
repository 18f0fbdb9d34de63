/* SPDX-License-Identifier: Apache-2.0 */
/* What a depth map costs from 10,000 to a million soundings: the surface alone (lw_surface_new, state and
 * solve, with the penalty that cross-validation chose) and the whole lw_basin_reckon, time and peak memory,
 * against GDAL's gridders on the same points and nodes. Each measurement is a process of its own, so that its
 * memory is its own.
 *   bench_basin_million [MOST [SIDE]]    (1000000 soundings, 1000 nodes a side for them)
 * GDAL's inverse distance visits every point for every node, so its time is measured on whole rows of nodes
 * spread evenly over the grid and scaled up to the live nodes of the map, setting up apart; so is linear, on
 * at most 20 rows. GDAL takes all cores, as is its default, Lakeward one: `cpu ms` adds up the cores, and
 * hardly changes with what else the machine does. Figures a sounding and a live node are of that. The figures
 * are for reading, no threshold is judged. */
#include "clock.h"
#include "gridders.h"
#include "survey.h"

#include "basin/surface.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#define ARENA ((size_t)8 << 30)
#define SIZE_M 480.0
#define NOISE_M 0.05
#define PAIRS_MOST 3e9 /* distances GDAL's inverse distance is let measure */

enum { LINEAR_ROWS = 20 };

typedef struct problem {
  lw_lake lake;
  lw_shore shore;
  lw_sounding *soundings;
  size_t count, side;
  lw_frame frame;
  lw_penalty penalty;
  lw_arena *arena; /* of lake and soundings */
} problem;

typedef struct cost {
  bool good;
  double begin_ms, state_ms, solve_ms, all_ms, cpu_ms, mib;
  double rmse_m; /* against the true bed, on live nodes inside the shore */
  size_t live, bins;
  lw_penalty penalty; /* chosen */
  double distance_ms, distance_cpu_ms, linear_ms;
  size_t rows;
} cost;

static double cpu_ms(void)
{
  return (double)clock() * 1000 / CLOCKS_PER_SEC;
}

/* ---- the survey ---- */

/* `count` soundings along lines four times as far apart as the soundings of a line. */
static bool sail(problem *p, size_t count)
{
  lw_error err = {0};
  lw_box box = lw_shore_box(&p->lake.shore);
  lw_arena *scratch = lw_arena_new(ARENA);
  double spacing = sqrt(p->lake.area_m2 / (4 * 1.08 * (double)count));
  lw_sailing how = {.lines = (size_t)ceil((box.north_m - box.south_m) / (4 * spacing)),
                    .spacing_m = spacing,
                    .noise_m = NOISE_M,
                    .tracks = true,
                    .seed = 3};
  lw_sailed sailed;
  bool good = scratch && lw_lake_sail(&sailed, &p->lake, &how, scratch, &err) == LW_OK;
  p->count = good && sailed.count < count ? sailed.count : count;
  p->soundings = good ? malloc(p->count * sizeof *p->soundings) : NULL;
  if (p->soundings) {
    memcpy(p->soundings, sailed.soundings, p->count * sizeof *p->soundings);
  }
  lw_arena_free(scratch);
  return p->soundings != NULL;
}

static void shuffle(problem *p)
{
  for (size_t k = p->count; k > 1; k--) {
    size_t other = (size_t)(lw_random_uniform(&(lw_random){1, 7401}, k) * (double)k);
    lw_sounding swap = p->soundings[k - 1];
    p->soundings[k - 1] = p->soundings[other];
    p->soundings[other] = swap;
  }
}

static bool begin(problem *p, size_t count, size_t side)
{
  lw_error err = {0};
  lw_lake_ask ask = {LW_LAKE_ROUGH, SIZE_M, 6, 0, 1};
  *p = (problem){.side = side, .arena = lw_arena_new(ARENA)};
  if (!p->arena || lw_lake_make(&p->lake, &ask, p->arena, &err) != LW_OK || !sail(p, count)) {
    (void)fprintf(stderr, "bench_basin_million: no survey. %s\n", err.message);
    return false;
  }
  p->shore = p->lake.shore;
  lw_box box = lw_shore_box(&p->shore);
  double step = fmax(box.east_m - box.west_m, box.north_m - box.south_m) / (double)(side - 5);
  p->frame = (lw_frame){.nx = side, .ny = side, .step_m = step};
  p->frame.x0_m = (box.west_m + box.east_m) / 2 - step * (double)(side - 1) / 2;
  p->frame.y0_m = (box.south_m + box.north_m) / 2 - step * (double)(side - 1) / 2;
  return true;
}

static void end(problem *p)
{
  free(p->soundings);
  lw_arena_free(p->arena);
}

static lw_basin_input input_of(const problem *p)
{
  return (lw_basin_input){.shore = p->shore,
                          .soundings = p->soundings,
                          .sounding_count = p->count,
                          .step_m = p->frame.step_m,
                          .seed = 1};
}

/* ---- Lakeward ---- */

static void compare(cost *c, const problem *p, const lw_surface *s)
{
  double sum = 0;
  size_t inside = 0;
  for (size_t k = 0; k < p->side * p->side; k++) {
    size_t at = lw_grid_at(&s->grid->levels[0], k % p->side, k / p->side);
    double x = p->frame.x0_m + p->frame.step_m * (double)(k % p->side);
    double y = p->frame.y0_m + p->frame.step_m * (double)(k / p->side);
    double truth = lw_lake_depth_m(&p->lake, (lw_spot){x, y});
    double off = s->depth[at] - truth;
    c->live += s->live[0][at] > 0;
    inside += truth > 0;
    sum += truth > 0 ? off * off : 0;
  }
  c->rmse_m = sqrt(sum / (double)inside);
}

static void map(cost *c, const problem *p)
{
  lw_error err = {0};
  lw_basin_input in = input_of(p);
  lw_surface *s = NULL;
  float *cover = NULL;
  lw_arena *arena = lw_arena_new(ARENA);
  double cpu = cpu_ms();
  double t[4] = {clock_ms(), 0, 0, 0};
  lw_status status = arena ? LW_OK : LW_MEMORY;
  status = status == LW_OK ? lw_shore_cover(&cover, &p->shore, &p->frame, arena, &err) : status;
  status = status == LW_OK ? lw_surface_new(&s, &p->frame, cover, &in, NULL, NOISE_M, arena, &err) : status;
  t[1] = clock_ms();
  status = status == LW_OK ? lw_surface_state(s, &p->penalty, -2, &err) : status;
  t[2] = clock_ms();
  status = status == LW_OK ? lw_surface_solve(s, -2, 1e-2, &err) : status;
  t[3] = clock_ms();
  c->cpu_ms = cpu_ms() - cpu;
  c->good = status == LW_OK;
  if (!c->good) {
    (void)fprintf(stderr, "bench_basin_million: %s\n", err.message);
    return;
  }
  c->begin_ms = t[1] - t[0];
  c->state_ms = t[2] - t[1];
  c->solve_ms = t[3] - t[2];
  c->all_ms = t[3] - t[0];
  c->bins = s->bins[0].count;
  compare(c, p, s);
}

static void reckon(cost *c, const problem *p)
{
  lw_error err = {0};
  lw_basin_input in = input_of(p);
  lw_arena *arena = lw_arena_new(ARENA);
  lw_basin *b = arena ? LW_NEW(arena, lw_basin, 1) : NULL;
  double cpu = cpu_ms();
  double start = clock_ms();
  c->good = b && lw_basin_reckon(b, &in, arena, &err) == LW_OK;
  c->all_ms = clock_ms() - start;
  c->cpu_ms = cpu_ms() - cpu;
  if (!c->good) {
    (void)fprintf(stderr, "bench_basin_million: %s\n", err.message);
    return;
  }
  c->penalty = (lw_penalty){b->smoothness, b->tension_length_m, b->direction};
}

/* ---- GDAL ---- */

static bool points_of(known *out, const problem *p, lw_arena *arena)
{
  double apart = p->frame.step_m / 2;
  size_t shore = survey_shore(NULL, 0, &p->shore, apart);
  lw_spot *spots = LW_NEW(arena, lw_spot, shore);
  if (!spots || !known_make(out, shore + p->count, arena)) {
    return false;
  }
  (void)survey_shore(spots, shore, &p->shore, apart);
  for (size_t k = 0; k < shore; k++) {
    known_add(out, spots[k], 0);
  }
  for (size_t k = 0; k < p->count; k++) {
    known_add(out, (lw_spot){p->soundings[k].x_m, p->soundings[k].y_m}, (double)p->soundings[k].depth_m);
  }
  return true;
}

/* Of whole rows to the live nodes only: GDAL has no mask, but could be asked for those alone. */
static double scaled(double took_ms, double setup_ms, const problem *p, const cost *c, size_t rows)
{
  return setup_ms + (took_ms - setup_ms) * (double)c->live / (double)(rows * p->side);
}

static void gdal(cost *c, const problem *p)
{
  const gridder_how distance = {.which = GRIDDER_DISTANCE, .power = 2};
  const gridder_how linear = {.which = GRIDDER_LINEAR};
  known from;
  lw_arena *arena = lw_arena_new(ARENA);
  double setup = 0;
  c->good = arena && points_of(&from, p, arena);
  if (!c->good) {
    return;
  }
  double rows = PAIRS_MOST / (double)from.count / (double)p->side;
  c->rows = (size_t)fmin(fmax(rows, 1), (double)p->side);
  double cpu = cpu_ms();
  double took = gridder_rows_ms(&setup, &p->frame, c->rows, &from, &distance);
  c->distance_ms = scaled(took, setup, p, c, c->rows);
  c->distance_cpu_ms = scaled(cpu_ms() - cpu, setup, p, c, c->rows);
  size_t linear_rows = p->side < LINEAR_ROWS ? p->side : LINEAR_ROWS;
  double linear_took = gridder_rows_ms(&setup, &p->frame, linear_rows, &from, &linear);
  c->linear_ms = scaled(linear_took, setup, p, c, linear_rows);
  c->good = took >= 0 && linear_took >= 0;
}

/* ---- one process a measurement ---- */

static cost measure(void (*what)(cost *, const problem *), const problem *p, const cost *before)
{
  cost c = before ? *before : (cost){0};
  int ends[2];
  struct rusage usage = {0};
  int status = 1;
  c.good = false;
  (void)fflush(stdout);
  if (pipe(ends) != 0) {
    return c;
  }
  pid_t child = fork();
  if (child == 0) {
    what(&c, p);
    _exit(write(ends[1], &c, sizeof c) == (ssize_t)sizeof c ? 0 : 1);
  }
  (void)close(ends[1]);
  bool read_all = child > 0 && read(ends[0], &c, sizeof c) == (ssize_t)sizeof c;
  (void)close(ends[0]);
  c.good = child > 0 && wait4(child, &status, 0, &usage) == child && status == 0 && read_all && c.good;
  c.mib = (double)usage.ru_maxrss / 1024;
  return c;
}

/* ---- the tables ---- */

typedef struct row {
  size_t count, side;
  cost map, whole, gdal;
} row;

static bool fill(row *r, size_t count, size_t side, bool shuffled)
{
  problem p;
  if (!begin(&p, count, side)) {
    return false;
  }
  if (shuffled) {
    shuffle(&p);
  }
  r->count = p.count;
  r->side = side;
  r->whole = measure(reckon, &p, NULL);
  p.penalty = r->whole.penalty;
  r->map = r->whole.good ? measure(map, &p, NULL) : r->whole;
  r->gdal = r->map.good && gridders_at_hand() ? measure(gdal, &p, &r->map) : r->map;
  end(&p);
  return r->gdal.good;
}

static void print_head(const char *what)
{
  (void)printf("%s\n%9s %11s %8s %8s %7s %7s %7s %8s %7s %9s %8s %6s %7s\n", what, "soundings", "nodes",
               "live", "bins", "new ms", "state", "solve", "together", "cpu ms", "us/sound.", "us/live",
               "MiB", "rmse m");
}

static void print_row(const row *r)
{
  const cost *c = &r->map;
  (void)printf("%9zu %5zux%-5zu %8zu %8zu %7.0f %7.0f %7.0f %8.0f %7.0f %9.2f %8.2f %6.0f %7.4f\n", r->count,
               r->side, r->side, c->live, c->bins, c->begin_ms, c->state_ms, c->solve_ms, c->all_ms,
               c->cpu_ms, c->cpu_ms * 1000 / (double)r->count, c->cpu_ms * 1000 / (double)c->live, c->mib,
               c->rmse_m);
  (void)fflush(stdout);
}

static void print_others(const row *rows, size_t count)
{
  (void)printf("\n%9s %11s | %9s %7s %9s %5s | %11s %6s %9s %6s %10s %6s %8s\n", "soundings", "nodes",
               "reckon ms", "cpu ms", "us/sound.", "MiB", "GDAL idw ms", "x map", "cpu ms", "x map",
               "linear ms", "x map", "idw rows");
  for (size_t k = 0; k < count; k++) {
    const row *r = &rows[k];
    (void)printf("%9zu %5zux%-5zu | %9.0f %7.0f %9.2f %5.0f |", r->count, r->side, r->side, r->whole.all_ms,
                 r->whole.cpu_ms, r->whole.cpu_ms * 1000 / (double)r->count, r->whole.mib);
    if (gridders_at_hand()) {
      (void)printf(" %11.0f %6.1f %9.0f %6.1f %10.0f %6.1f %8zu", r->gdal.distance_ms,
                   r->gdal.distance_ms / r->map.all_ms, r->gdal.distance_cpu_ms,
                   r->gdal.distance_cpu_ms / r->map.cpu_ms, r->gdal.linear_ms,
                   r->gdal.linear_ms / r->map.all_ms, r->gdal.rows);
    }
    (void)printf("\n");
  }
}

static bool run(size_t most, size_t side)
{
  enum { ROWS = 7 };
  static row rows[ROWS];
  const size_t parts[] = {100, 10, 1};
  bool good = true;
  for (size_t k = 0; good && k < ROWS; k++) {
    size_t part = k < ROWS - 1 ? parts[k % 3] : 1;
    size_t nodes = k < 3 ? (size_t)((double)side / sqrt((double)part)) : side;
    if (k % 3 == 0) {
      print_head(k == 0   ? "the surface, penalty given: the grid grows with the soundings"
                 : k == 3 ? "one grid"
                          : "the same soundings in no order");
    }
    good = fill(&rows[k], most / part, nodes, k == ROWS - 1);
    if (good) {
      print_row(&rows[k]);
    }
  }
  if (good) {
    print_others(rows, ROWS);
  }
  return good;
}

int main(int count, char **arguments)
{
  size_t most = count > 1 ? strtoul(arguments[1], NULL, 10) : 1000000;
  size_t side = count > 2 ? strtoul(arguments[2], NULL, 10) : 1000;
  if (most < 10000 || most > 5000000 || side < 100 || side > 2000) {
    (void)fprintf(stderr, "usage: bench_basin_million [MOST, 10000 to 5000000 [SIDE, 100 to 2000]]\n");
    return 2;
  }
  if (!gridders_at_hand()) {
    (void)printf("built without GDAL (Debian: libgdal-dev): its gridders are left out\n");
  }
  return run(most, side) ? 0 : 1;
}
