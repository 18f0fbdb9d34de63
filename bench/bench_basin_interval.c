/* SPDX-License-Identifier: Apache-2.0 */
/* Does the 90 % interval of the volume hold the truth in nine surveys of ten? The seeded surveys of invented
 * lakes of lw_lakes_draw (any kind, size, depth, lines and noise), each made into a basin and compared with
 * its true volume. bench_basin_interval [FROM [TO [PROCESSES [SEED]]]]    (0, 200, 2, 7) Ends with a line
 * "covered N of 200". Nothing is judged. */
#include "survey.h"

#include "clock.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/wait.h>
#include <unistd.h>

#define REACH_90 1.678 /* as the interval's: Student's t, 47 degrees of freedom */
#define ARENA ((size_t)4 << 30)

enum { PROCESSES_MOST = 64 };

typedef struct result {
  uint32_t member;
  bool good, covered;
  int kind;
  double off;        /* (truth - middle of the interval) / its standard error */
  double half_width; /* share of the true volume */
  double volume_off; /* (volume - truth) / truth */
} result;

static result try_member(uint64_t seed, uint32_t member)
{
  result r = {.member = member};
  lw_lake_ask ask;
  lw_sailing how;
  lw_error err = {0};
  survey s = {0};
  lw_arena *arena = lw_arena_new(ARENA);
  lw_basin *b = arena ? LW_NEW(arena, lw_basin, 1) : NULL;
  lw_lakes_draw(&ask, &how, seed, member);
  how.tracks = true;
  r.kind = (int)ask.kind;
  r.good = b && survey_make(&s, &ask, &how, arena);
  if (r.good && lw_basin_reckon(b, &s.input, arena, &err) != LW_OK) {
    (void)fprintf(stderr, "bench_basin_interval: survey %u: %s\n", (unsigned)member, err.message);
    r.good = false;
  }
  if (r.good) {
    double truth = s.lake.volume_m3;
    double half = (b->volume_high_m3 - b->volume_low_m3) / 2;
    r.covered = truth >= b->volume_low_m3 && truth <= b->volume_high_m3;
    r.off = (truth - (b->volume_low_m3 + b->volume_high_m3) / 2) / (half / REACH_90);
    r.half_width = half / truth;
    r.volume_off = b->volume_m3 / truth - 1;
  }
  lw_arena_free(arena);
  return r;
}

/* Every `processes`-th member, written to the pipe as it is done. */
static pid_t start(int to, uint64_t seed, uint32_t first, uint32_t end, uint32_t processes)
{
  pid_t child = fork();
  if (child != 0) {
    return child;
  }
  for (uint32_t m = first; m < end; m += processes) {
    result r = try_member(seed, m);
    if (write(to, &r, sizeof r) != (ssize_t)sizeof r) {
      _exit(1);
    }
  }
  _exit(0);
}

typedef struct tally {
  size_t count, covered, failed, of_kind[LW_LAKE_KINDS], covered_kind[LW_LAKE_KINDS];
  double off, off_squares, half_width, volume_off, volume_squares, worst;
} tally;

static void take(tally *t, const result *r)
{
  if (!r->good) {
    t->failed++;
    return;
  }
  t->count++;
  t->covered += r->covered;
  t->of_kind[r->kind]++;
  t->covered_kind[r->kind] += r->covered;
  t->off += r->off;
  t->off_squares += r->off * r->off;
  t->half_width += r->half_width;
  t->volume_off += r->volume_off;
  t->volume_squares += r->volume_off * r->volume_off;
  t->worst = fmax(t->worst, fabs(r->volume_off));
}

static void print_tally(const tally *t, double took_ms)
{
#define NAME(code, name) name,
  static const char *const names[] = {LW_LAKE_LIST(NAME)};
#undef NAME
  double n = (double)t->count;
  double mean = t->off / n;
  for (int k = 0; k < LW_LAKE_KINDS; k++) {
    (void)printf("  %-22s %3zu of %3zu\n", names[k], t->covered_kind[k], t->of_kind[k]);
  }
  (void)printf("mean half width %.2f %% of the volume; volume off by %+.2f %% in the mean, %.2f %% root mean "
               "square, %.2f %% at most\n",
               100 * t->half_width / n, 100 * t->volume_off / n, 100 * sqrt(t->volume_squares / n),
               100 * t->worst);
  (void)printf("error / standard error: mean %+.2f, standard deviation %.2f (1 would be exact)\n", mean,
               sqrt(fmax(t->off_squares / n - mean * mean, 0) * n / fmax(n - 1, 1)));
  (void)printf("%.2f s a survey and process; failed: %zu\n", took_ms / 1000 / n, t->failed);
  (void)printf("covered %zu of %zu\n", t->covered, t->count);
}

static uint32_t argument(int count, char **arguments, int k, uint32_t usual)
{
  return count > k ? (uint32_t)strtoul(arguments[k], NULL, 10) : usual;
}

static bool run(tally *t, uint64_t seed, uint32_t from, uint32_t to, uint32_t processes)
{
  pid_t children[PROCESSES_MOST];
  int ends[2];
  bool good = pipe(ends) == 0;
  for (uint32_t p = 0; good && p < processes; p++) {
    children[p] = start(ends[1], seed, from + p, to, processes);
  }
  result r;
  if (good) {
    (void)close(ends[1]);
    while (read(ends[0], &r, sizeof r) == (ssize_t)sizeof r) {
      take(t, &r);
    }
    (void)close(ends[0]);
  }
  for (uint32_t p = 0; good && p < processes; p++) {
    int status = 1;
    good = children[p] > 0 && waitpid(children[p], &status, 0) == children[p] && status == 0;
  }
  return good;
}

int main(int count, char **arguments)
{
  uint32_t from = argument(count, arguments, 1, 0);
  uint32_t to = argument(count, arguments, 2, LW_ENSEMBLE);
  uint32_t processes = argument(count, arguments, 3, 2);
  uint32_t seed = argument(count, arguments, 4, 7);
  tally t = {0};
  if (from >= to || processes < 1 || processes > PROCESSES_MOST) {
    (void)fprintf(stderr, "usage: bench_basin_interval [FROM [TO [PROCESSES [SEED]]]]\n");
    return 2;
  }
  (void)printf("90 %% interval of the volume, surveys %u to %u of the ensemble %u\n", (unsigned)from,
               (unsigned)to - 1, (unsigned)seed);
  (void)fflush(stdout);
  double start_ms = clock_ms();
  bool good = run(&t, seed, from, to, processes);
  if (!good || t.count == 0) {
    (void)fprintf(stderr, "bench_basin_interval: a process did not end well\n");
    return 1;
  }
  print_tally(&t, (clock_ms() - start_ms) * processes);
  return t.failed ? 1 : 0;
}
