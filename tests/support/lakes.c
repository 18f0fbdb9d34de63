/* SPDX-License-Identifier: Apache-2.0 */
#include "lakes.h"

#include "base/random.h"

#include <math.h>

#define PI 3.14159265358979323846

enum { ROUND_SPOTS = 720, VALLEY_SPOTS = 240, PANELS = 24, GAUSS = 8 };

static const double moat = 0.3;         /* island's radius / lake's */
static const double bowl_width = 0.55;  /* short axis / long axis */
static const double dam = 0.06;         /* length of the dam's face / lake's, of the valley */
static const double wedge_dam = 0.1;    /* the same of the wedge */
static const double wedge_bank = 0.3;   /* width of a bank / lake's width where the wedge is deepest */
static const double valley_width = 0.4; /* half width at the dam / half length */

/* Gauss-Legendre, 8 nodes on (-1, 1) (Abramowitz & Stegun 1964, table 25.4). */
static const double gauss_at[GAUSS] = {-0.9602898564975363, -0.7966664774136267, -0.5255324099163290,
                                       -0.1834346424956498, 0.1834346424956498,  0.5255324099163290,
                                       0.7966664774136267,  0.9602898564975363};
static const double gauss_weight[GAUSS] = {0.1012285362903763, 0.2223810344533745, 0.3137066458778873,
                                           0.3626837833783620, 0.3626837833783620, 0.3137066458778873,
                                           0.2223810344533745, 0.1012285362903763};

/* ---- the beds, in the lake's own directions ---- */

/* Distance of the shore from the middle in a direction, for the lakes that are round in their way. */
static double reach_m(const lw_lake *lake, double angle)
{
  double share = 1;
  if (lake->ask.kind == LW_LAKE_ARMS) {
    share = 0.34 + 0.62 * exp(9.0 * (cos(angle - 0.9) - 1)) + 0.66 * exp(10.0 * (cos(angle - 2.3) - 1)) +
            0.45 * exp(4.0 * (cos(angle + 1.6) - 1));
  } else if (lake->ask.kind == LW_LAKE_ROUGH) {
    double sum = 0;
    for (int k = 0; k < LW_LAKE_WAVES; k++) {
      sum += lake->wave[k][0] * cos((k + 2) * angle) + lake->wave[k][1] * sin((k + 2) * angle);
    }
    share = 0.8 * exp(sum);
  }
  return share * lake->ask.size_m;
}

static double bumps(const lw_lake *lake, lw_spot p)
{
  double sum = 0;
  for (int k = 0; k < LW_LAKE_BUMPS; k++) {
    const lw_lake_bump *b = &lake->bumps[k];
    double dx = (p.x_m - b->at.x_m) / b->size_m;
    double dy = (p.y_m - b->at.y_m) / b->size_m;
    sum += b->height * exp(-0.5 * (dx * dx + dy * dy));
  }
  return exp(sum);
}

static double round_bed(const lw_lake *lake, lw_spot p)
{
  if (lake->ask.kind == LW_LAKE_BOWL) {
    p.y_m /= bowl_width;
  }
  double r = hypot(p.x_m, p.y_m) / reach_m(lake, atan2(p.y_m, p.x_m));
  if (!(r < 1)) {
    return 0;
  }
  switch (lake->ask.kind) {
  case LW_LAKE_CONE:
    return 1 - r;
  case LW_LAKE_BOWL:
    return 1 - r * r * r * r;
  case LW_LAKE_ISLAND:
    return r > moat ? 4 * (1 - r) * (r - moat) / ((1 - moat) * (1 - moat)) : 0;
  case LW_LAKE_ARMS:
    return (1 - r * r) * (1 - 0.45 * p.y_m / lake->ask.size_m);
  case LW_LAKE_ROUGH:
    return (1 - r * r) * bumps(lake, p);
  default:
    return 1 - r * r;
  }
}

static double wedge_bed(const lw_lake *lake, lw_spot p)
{
  double length = 2 * lake->ask.size_m;
  double width = lake->ask.size_m;
  double along = fmin(p.x_m / length / (1 - wedge_dam), (1 - p.x_m / length) / wedge_dam);
  double across = (0.5 - fabs(p.y_m) / width) / wedge_bank;
  return fmax(0, fmin(along, across));
}

static double half_width_m(const lw_lake *lake, double x)
{
  return valley_width * lake->ask.size_m * sqrt(x) * (1 + 0.18 * sin(5 * PI * x));
}

static double valley_bed(const lw_lake *lake, lw_spot p)
{
  double x = p.x_m / (2 * lake->ask.size_m);
  if (!(x > 0 && x < 1)) {
    return 0;
  }
  double e = p.y_m / half_width_m(lake, x);
  if (!(fabs(e) < 1)) {
    return 0;
  }
  double creek = (e - 0.5 * sin(4 * PI * x)) / 0.09;
  return x * fmin(1, (1 - x) / dam) * (1 - e * e) * (1 + 0.35 * exp(-creek * creek));
}

static double bed(const lw_lake *lake, lw_spot p)
{
  return lake->ask.kind == LW_LAKE_WEDGE    ? wedge_bed(lake, p)
         : lake->ask.kind == LW_LAKE_VALLEY ? valley_bed(lake, p)
                                            : round_bed(lake, p);
}

double lw_lake_depth_m(const lw_lake *lake, lw_spot spot)
{
  lw_spot p = {spot.x_m * lake->cos_turn + spot.y_m * lake->sin_turn,
               spot.y_m * lake->cos_turn - spot.x_m * lake->sin_turn};
  return lake->amplitude * bed(lake, p);
}

/* ---- volumes ---- */

typedef struct sum {
  double volume, deepest;
  lw_spot at;
} sum;

static void add(sum *s, const lw_lake *lake, lw_spot p, double weight)
{
  double depth = bed(lake, p);
  s->volume += weight * depth;
  if (depth > s->deepest) {
    s->deepest = depth;
    s->at = p;
  }
}

/* Round ones: equal steps in angle (spectral: everything is smooth and periodic), Gauss outwards. */
static sum round_sum(const lw_lake *lake)
{
  enum { ANGLES = 1024 };
  sum s = {0};
  for (int a = 0; a < ANGLES; a++) {
    double angle = 2 * PI * a / ANGLES;
    double reach = reach_m(lake, angle);
    for (int k = 0; k < 6 * GAUSS; k++) {
      double r = (k / GAUSS + 0.5 + 0.5 * gauss_at[k % GAUSS]) / 6;
      double weight = gauss_weight[k % GAUSS] / 12 * r * reach * reach * 2 * PI / ANGLES;
      add(&s, lake, (lw_spot){r * reach * cos(angle), r * reach * sin(angle)}, weight);
    }
  }
  return s;
}

/* The valley from x = low to high (shares of its length), x = u^2 to smooth out its rounded head. */
static void valley_sum(sum *s, const lw_lake *lake, double low, double high)
{
  double length = 2 * lake->ask.size_m;
  double from = sqrt(low);
  double panel = (sqrt(high) - from) / PANELS;
  for (int k = 0; k < PANELS * GAUSS; k++) {
    double u = from + panel * (k / GAUSS + 0.5 + 0.5 * gauss_at[k % GAUSS]);
    double width = half_width_m(lake, u * u);
    double weight = gauss_weight[k % GAUSS] * panel / 2 * 2 * u * length;
    for (int m = 0; m < 2 * PANELS * GAUSS; m++) {
      double e = (m / GAUSS + 0.5 + 0.5 * gauss_at[m % GAUSS]) / PANELS - 1;
      double across = gauss_weight[m % GAUSS] / (2 * PANELS) * width;
      add(s, lake, (lw_spot){u * u * length, e * width}, weight * across);
    }
  }
}

/* From the best of the quadrature's spots uphill, by ever smaller steps in eight directions. */
static double deepest(const lw_lake *lake, sum s)
{
  double step = 0.05 * lake->ask.size_m;
  while (step > 1e-7 * lake->ask.size_m) {
    bool moved = false;
    lw_spot from = s.at;
    for (int k = 0; k < 8; k++) {
      lw_spot p = {from.x_m + step * cos(PI * k / 4), from.y_m + step * sin(PI * k / 4)};
      double before = s.deepest;
      add(&s, lake, p, 0);
      moved = moved || s.deepest > before;
    }
    step = moved ? step : step / 2;
  }
  return s.deepest;
}

/* Cross-sections are flat beds between two straight banks: area h W - h^2 / slope at depth h. */
static double wedge_volume(const lw_lake *lake)
{
  double length = 2 * lake->ask.size_m;
  double width = lake->ask.size_m;
  double depth = lake->ask.depth_m;
  double slope = depth / (wedge_bank * width);
  /* over a stretch where h grows from 0 to depth: mean of h is depth / 2, of h^2 depth^2 / 3 */
  return length * (width * depth / 2 - depth * depth / 3 / slope);
}

static void measure(lw_lake *lake)
{
  double r = lake->ask.size_m;
  double d = lake->ask.depth_m;
  sum s = {0};
  lake->deepest_m = lake->amplitude = d;
  switch (lake->ask.kind) {
  case LW_LAKE_CONE:
    lake->volume_m3 = PI * r * r * d / 3;
    return;
  case LW_LAKE_PARABOLOID:
    lake->volume_m3 = PI * r * r * d / 2;
    return;
  case LW_LAKE_BOWL:
    lake->volume_m3 = PI * r * r * bowl_width * d * 2 / 3;
    return;
  case LW_LAKE_ISLAND:
    lake->volume_m3 = 8 * PI * d * (1 - moat) * (moat / 6 + (1 - moat) / 12) * r * r;
    return;
  case LW_LAKE_WEDGE:
    lake->volume_m3 = wedge_volume(lake);
    return;
  case LW_LAKE_VALLEY:
    valley_sum(&s, lake, 0, 1 - dam);
    valley_sum(&s, lake, 1 - dam, 1);
    break;
  default:
    s = round_sum(lake);
  }
  lake->amplitude = d / deepest(lake, s);
  lake->volume_m3 = s.volume * lake->amplitude;
}

/* ---- shores ---- */

static lw_spot *round_ring(const lw_lake *lake, lw_spot *at, double share)
{
  /* A regular polygon of this radius has the area of the circle itself. */
  double step = 2 * PI / ROUND_SPOTS;
  bool circle = lake->ask.kind != LW_LAKE_ARMS && lake->ask.kind != LW_LAKE_ROUGH;
  double grow = circle ? sqrt(step / sin(step)) : 1;
  for (int k = 0; k < ROUND_SPOTS; k++) {
    double r = share * grow * reach_m(lake, k * step);
    double squeeze = lake->ask.kind == LW_LAKE_BOWL ? bowl_width : 1;
    *at++ = (lw_spot){r * cos(k * step), r * sin(k * step) * squeeze};
  }
  return at;
}

static lw_spot *valley_ring(const lw_lake *lake, lw_spot *at)
{
  *at++ = (lw_spot){0, 0};
  for (int k = 1; k <= 2 * VALLEY_SPOTS; k++) {
    bool back = k > VALLEY_SPOTS;
    double u = (double)(back ? 2 * VALLEY_SPOTS + 1 - k : k) / VALLEY_SPOTS;
    double width = half_width_m(lake, u * u);
    *at++ = (lw_spot){2 * lake->ask.size_m * u * u, back ? width : -width};
  }
  return at;
}

static lw_spot *outer_ring(const lw_lake *lake, lw_spot *at)
{
  double r = lake->ask.size_m;
  if (lake->ask.kind == LW_LAKE_VALLEY) {
    return valley_ring(lake, at);
  }
  if (lake->ask.kind == LW_LAKE_WEDGE) {
    *at++ = (lw_spot){0, -r / 2};
    *at++ = (lw_spot){2 * r, -r / 2};
    *at++ = (lw_spot){2 * r, r / 2};
    *at++ = (lw_spot){0, r / 2};
    return at;
  }
  return round_ring(lake, at, 1);
}

static double ring_area_m2(const lw_spot *spots, size_t count)
{
  double twice = 0;
  for (size_t k = 0; k < count; k++) {
    lw_spot a = spots[k];
    lw_spot b = spots[(k + 1) % count];
    twice += a.x_m * b.y_m - b.x_m * a.y_m;
  }
  return fabs(twice) / 2;
}

static lw_status draw_shore(lw_lake *lake, lw_arena *arena, lw_error *err)
{
  lw_spot *spots = LW_NEW(arena, lw_spot, 2 * ROUND_SPOTS);
  size_t *start = LW_NEW(arena, size_t, 3);
  if (!spots || !start) {
    return lw_fail(err, LW_MEMORY, "no memory for a lake's shore");
  }
  lw_spot *end = outer_ring(lake, spots);
  start[1] = (size_t)(end - spots);
  lake->area_m2 = ring_area_m2(spots, start[1]);
  lake->shore.ring_count = 1;
  if (lake->ask.kind == LW_LAKE_ISLAND) {
    end = round_ring(lake, end, moat);
    start[2] = (size_t)(end - spots);
    lake->area_m2 -= ring_area_m2(spots + start[1], start[2] - start[1]);
    lake->shore.ring_count = 2;
  }
  for (lw_spot *p = spots; p < end; p++) {
    *p = (lw_spot){p->x_m * lake->cos_turn - p->y_m * lake->sin_turn,
                   p->y_m * lake->cos_turn + p->x_m * lake->sin_turn};
  }
  lake->shore.spots = spots;
  lake->shore.ring_start = start;
  lake->shore.spot_count = (size_t)(end - spots);
  return LW_OK;
}

/* ---- making ---- */

static void draw_rough(lw_lake *lake)
{
  lw_random random = {lake->ask.seed, 9101};
  uint64_t i = 0;
  for (int k = 0; k < LW_LAKE_WAVES; k++) {
    lake->wave[k][0] = 0.16 / (k + 1) * lw_random_normal(&random, i++);
    lake->wave[k][1] = 0.16 / (k + 1) * lw_random_normal(&random, i++);
  }
  for (int k = 0; k < LW_LAKE_BUMPS; k++) {
    double r = lake->ask.size_m * sqrt(lw_random_uniform(&random, i++));
    double angle = 2 * PI * lw_random_uniform(&random, i++);
    double size = 0.1 + 0.2 * lw_random_uniform(&random, i++);
    double height = 0.28 * lw_random_normal(&random, i++);
    lake->bumps[k] = (lw_lake_bump){{r * cos(angle), r * sin(angle)}, size * lake->ask.size_m, height};
  }
}

lw_status lw_lake_make(lw_lake *out, const lw_lake_ask *ask, lw_arena *arena, lw_error *err)
{
#define LW_LAKE_NAME(code, name) name,
  static const char *const names[] = {LW_LAKE_LIST(LW_LAKE_NAME)};
#undef LW_LAKE_NAME
  if ((size_t)ask->kind >= LW_LAKE_KINDS || !(ask->size_m > 0) || !(ask->depth_m > 0)) {
    return lw_fail(err, LW_INVALID, "a lake needs a kind, a size above 0 and a depth above 0");
  }
  *out = (lw_lake){.name = names[ask->kind], .ask = *ask};
  out->cos_turn = cos(ask->turn);
  out->sin_turn = sin(ask->turn);
  if (ask->kind == LW_LAKE_ROUGH) {
    draw_rough(out);
  }
  measure(out);
  return draw_shore(out, arena, err);
}
