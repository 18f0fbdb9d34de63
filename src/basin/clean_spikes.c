/* SPDX-License-Identifier: Apache-2.0 */
/* Single soundings (or pairs) that stand far off their line, for surveys in sailing order. A sounding is
 * a spike when it lies outside everything its line lets expect (both sides carried on to it, and the bed
 * straight between them, so that a bank, a ledge or a ridge is expected) by more than `spike_factor` robust
 * deviations (Hampel 1974, JASA 69:383), AND nothing speaks for it: neither the next soundings of its own
 * line, nor another pass that stands off the same way near by. */
#include "basin/clean_beside.h"
#include "basin/clean_parts.h"

#include <math.h>

static const double bed_slope = 0.1;   /* over a step the bed may stray this share of it */
static const double like = 0.5;        /* another that stands off this share as far speaks for one */
static const double flank = 0.15;      /* a pair needs a flank of this share: beds have flanks */
static const double chance = 0.04;     /* another pass speaks within a reach in which chance would ... */
static const double reach_most_m = 8;  /* ... have put so many, at most */
static const double reach_steps = 2;   /* but at least this many spacings */
static const double apart_reaches = 3; /* 'another pass' came back after this many reaches */
static const double near_shore_m = 10; /* at the end of a line: the bank may fall off faster than the line */
static const double near_shore_steps = 3;
static const double new_line_m = 1000; /* put between lines, so that they are other passes */

enum { ROUNDS = 2, DEVIATION_LEAST = 5, ASKED_MOST = 1000 };

typedef struct suspect {
  size_t k; /* in the course */
  double off_m, limit_m, middle_m, spacing_m;
  bool excused; /* its own line or the shore speaks for it */
} suspect;

typedef struct hunt {
  lw_clean_job *job;
  const lw_course *course;
  float *depth_m;
  double *along_m;
  suspect *suspects;
  size_t suspect_count, suspect_room;
  double area_m2; /* about as much as was sounded */
} hunt;

static lw_sounding *sounding_at(const hunt *h, size_t k)
{
  return &h->job->soundings[h->course->index[k]];
}

/* ---- along the line ---- */

/* Distances along are held between 0.3 and 3 spacings: the scatter of a boat at anchor makes no slopes. */
static void lay_along(const hunt *h, const lw_leg *leg, size_t begin, size_t end)
{
  double unit = fmax(leg->spacing_m, 1e-3);
  h->along_m[begin] = begin > 0 ? h->along_m[begin - 1] + new_line_m : 0;
  for (size_t k = begin + 1; k < end; k++) {
    double step = lw_course_step_m(h->course, h->job->soundings, k);
    h->along_m[k] = h->along_m[k - 1] + fmin(fmax(step, 0.3 * unit), 3 * unit);
  }
}

/* Nothing within `least_m` of anything about it can be a spike. */
static bool calm(const lw_line *line, size_t k, double least_m)
{
  size_t from = k > LW_BESIDE ? k - LW_BESIDE : 0;
  size_t to = k + LW_BESIDE < line->count ? k + LW_BESIDE : line->count - 1;
  float low = line->depth_m[from];
  float high = low;
  for (size_t j = from + 1; j <= to; j++) {
    float z = line->depth_m[j];
    low = z < low ? z : low;
    high = z > high ? z : high;
  }
  return (double)(high - low) <= 0.5 * least_m;
}

/* How far one may be off: of what is stated, its line's scatter, and the bed between two soundings. */
static double limit_m(const hunt *h, const lw_line *line, size_t k)
{
  size_t n = 0;
  double deviation = lw_line_deviation_m(line, k, &n);
  double from = line->along_m[k > 0 ? k - 1 : k];
  double to = line->along_m[k + 1 < line->count ? k + 1 : k];
  double step = (to - from) / (k > 0 && k + 1 < line->count ? 2 : 1);
  if (n < DEVIATION_LEAST) {
    return INFINITY;
  }
  return fmax(fmax(h->job->how.spike_least_m, h->job->how.spike_factor * deviation), bed_slope * step);
}

/* Next soundings that stand off the same way: two of them make a feature; one does when a flank of it is
 * seen too, since a bed rises and falls over some distance and a spike does not. */
static bool line_speaks(const lw_line *line, size_t k, const lw_expected *e)
{
  int alike = 0;
  int flanks = 0;
  for (int d = -2; d <= 2; d++) {
    if (d == 0 || (d < 0 && k < (size_t)-d) || (d > 0 && k + (size_t)d >= line->count)) {
      continue;
    }
    size_t j = d < 0 ? k - (size_t)-d : k + (size_t)d;
    double bed = e->middle_m + e->slope * (line->along_m[j] - line->along_m[k]);
    double share = ((double)line->depth_m[j] - bed) / ((double)line->depth_m[k] - e->middle_m);
    alike += share >= like;
    flanks += share >= flank;
  }
  return alike >= 2 || (alike == 1 && flanks >= 2);
}

/* At the end of a line close to the shore the bank may rise faster than the line says. */
static bool shore_speaks(const hunt *h, size_t k, const lw_expected *e, double spacing_m)
{
  if (!e->at_end || e->off_m > 0) {
    return false;
  }
  const lw_sounding *s = sounding_at(h, k);
  double shore = lw_shore_tree_distance_m(&h->job->tree, (lw_spot){s->x_m, s->y_m});
  return shore <= fmax(near_shore_m, near_shore_steps * spacing_m);
}

static lw_status add_suspect(hunt *h, suspect s, lw_error *err)
{
  if (h->suspect_count == h->suspect_room) {
    size_t room = 2 * h->suspect_room + 1024;
    suspect *more = LW_NEW(h->job->arena, suspect, room);
    if (!more) {
      return lw_fail(err, LW_MEMORY, "no memory for %zu doubtful soundings", room);
    }
    for (size_t k = 0; k < h->suspect_count; k++) {
      more[k] = h->suspects[k];
    }
    h->suspects = more;
    h->suspect_room = room;
  }
  h->suspects[h->suspect_count++] = s;
  return LW_OK;
}

static lw_status try_stretch(hunt *h, const lw_leg *leg, size_t begin, size_t end, lw_error *err)
{
  lay_along(h, leg, begin, end);
  lw_line line = {h->depth_m + begin, h->along_m + begin, end - begin};
  double least = h->job->how.spike_least_m;
  for (size_t k = 0; k < line.count; k++) {
    if (calm(&line, k, least)) {
      continue;
    }
    lw_expected e = lw_line_expected(&line, k);
    if (fabs(e.off_m) <= 0.5 * least) {
      continue;
    }
    suspect s = {begin + k, e.off_m, limit_m(h, &line, k), e.middle_m, leg->spacing_m, false};
    s.excused = fabs(e.off_m) > s.limit_m &&
                (line_speaks(&line, k, &e) || shore_speaks(h, begin + k, &e, leg->spacing_m));
    lw_status status = add_suspect(h, s, err);
    if (status != LW_OK) {
      return status;
    }
  }
  return LW_OK;
}

static lw_status try_legs(hunt *h, lw_error *err)
{
  lw_status s = LW_OK;
  for (size_t g = 0; s == LW_OK && g < h->course->leg_count; g++) {
    const lw_leg *leg = &h->course->legs[g];
    bool tested = leg->count >= LW_CLEAN_FEW && !leg->scattered;
    size_t last = leg->first + leg->count;
    size_t k = leg->first;
    while (s == LW_OK && k < last) {
      size_t end = tested ? lw_course_stretch_end(h->course, leg, h->job->soundings, k) : last;
      if (tested) {
        s = try_stretch(h, leg, k, end, err);
      } else {
        lay_along(h, leg, k, end);
      }
      k = end;
    }
  }
  return s;
}

/* ---- by place ---- */

static bool doubtful(const suspect *s)
{
  return !s->excused && fabs(s->off_m) > s->limit_m;
}

/* The reach within which another pass speaks: wide where few stand off, narrow where so many do that
 * chance would bring two together. Half of them stand off the same way, and half of those as far. */
static double reach_m(const hunt *h, double spacing_m, size_t doubtfuls)
{
  double density = (double)doubtfuls / h->area_m2;
  double reach = sqrt(4 * chance / (acos(-1) * fmax(density, 1e-9)));
  return fmax(fmin(reach, reach_most_m), reach_steps * spacing_m);
}

static bool other_speaks(const hunt *h, const suspect *s, const suspect *other, double reach)
{
  const lw_sounding *a = sounding_at(h, s->k);
  const lw_sounding *b = sounding_at(h, other->k);
  double dx = a->x_m - b->x_m;
  double dy = a->y_m - b->y_m;
  return dx * dx + dy * dy <= reach * reach && other->off_m / s->off_m >= like &&
         s->off_m / other->off_m >= like &&
         fabs(h->along_m[s->k] - h->along_m[other->k]) > apart_reaches * reach;
}

static bool place_speaks(const hunt *h, const lw_squares *squares, const suspect *s, double reach)
{
  const lw_sounding *at = sounding_at(h, s->k);
  size_t east = lw_squares_column(squares, at->x_m + reach);
  size_t north = lw_squares_row(squares, at->y_m + reach);
  int asked = 0; /* a crowd at one place is no reason to take for ever */
  for (size_t row = lw_squares_row(squares, at->y_m - reach); row <= north; row++) {
    for (size_t column = lw_squares_column(squares, at->x_m - reach); column <= east; column++) {
      size_t q = row * squares->nx + column;
      for (uint32_t k = squares->start[q]; k < squares->start[q + 1] && asked < ASKED_MOST; k++, asked++) {
        if (other_speaks(h, s, &h->suspects[squares->item[k]], reach)) {
          return true;
        }
      }
    }
  }
  return false;
}

static lw_sounding_flaw kind_of(const hunt *h, const suspect *s)
{
  const lw_sounding *at = sounding_at(h, s->k);
  double z = (double)at->depth_m;
  if (s->off_m > 0 && s->middle_m > 0.5 && z > 1.8 * s->middle_m && z < 2.2 * s->middle_m) {
    return LW_SOUNDING_DOUBLE_ECHO;
  }
  double shore = lw_shore_tree_distance_m(&h->job->tree, (lw_spot){at->x_m, at->y_m});
  bool far = shore > fmax(near_shore_m, near_shore_steps * s->spacing_m);
  return z <= 0.05 && far ? LW_SOUNDING_ZERO : LW_SOUNDING_SPIKE;
}

static lw_status judge(const hunt *h, size_t *out_marked, lw_error *err)
{
  lw_spot *spots = LW_NEW(h->job->arena, lw_spot, h->suspect_count);
  lw_squares squares;
  if (!spots) {
    return lw_fail(err, LW_MEMORY, "no memory for %zu doubtful soundings", h->suspect_count);
  }
  size_t doubtfuls = 0;
  for (size_t k = 0; k < h->suspect_count; k++) {
    const lw_sounding *at = sounding_at(h, h->suspects[k].k);
    spots[k] = (lw_spot){at->x_m, at->y_m};
    doubtfuls += doubtful(&h->suspects[k]);
  }
  double size = fmax(reach_m(h, 0, doubtfuls), 1);
  lw_status status = lw_squares_build(&squares, spots, h->suspect_count, size, h->job->arena, err);
  *out_marked = 0;
  for (size_t k = 0; status == LW_OK && k < h->suspect_count; k++) {
    const suspect *s = &h->suspects[k];
    if (doubtful(s) && !place_speaks(h, &squares, s, reach_m(h, s->spacing_m, doubtfuls))) {
      lw_clean_mark(sounding_at(h, s->k), kind_of(h, s));
      (*out_marked)++;
    }
  }
  return status;
}

/* The water, or the box about the soundings where that is less. */
static double sounded_m2(const hunt *h)
{
  lw_box box = {INFINITY, INFINITY, -INFINITY, -INFINITY};
  for (size_t k = 0; k < h->course->count; k++) {
    const lw_sounding *s = sounding_at(h, k);
    box.west_m = s->x_m < box.west_m ? s->x_m : box.west_m;
    box.east_m = s->x_m > box.east_m ? s->x_m : box.east_m;
    box.south_m = s->y_m < box.south_m ? s->y_m : box.south_m;
    box.north_m = s->y_m > box.north_m ? s->y_m : box.north_m;
  }
  double boxed = (box.east_m - box.west_m) * (box.north_m - box.south_m);
  return fmax(fmin(boxed, lw_shore_area_m2(h->job->shore)), 1);
}

static lw_status one_round(hunt *h, size_t *out_marked, lw_error *err)
{
  *out_marked = 0;
  h->suspect_count = 0;
  for (size_t k = 0; k < h->course->count; k++) {
    h->depth_m[k] = sounding_at(h, k)->depth_m;
  }
  lw_status s = try_legs(h, err);
  if (s == LW_OK && h->suspect_count > 0) {
    s = judge(h, out_marked, err);
    lw_course_drop(&h->job->course, h->job->soundings);
  }
  return s;
}

lw_status lw_clean_spikes(lw_clean_job *job, lw_error *err)
{
  size_t count = job->course.count;
  hunt h = {.job = job, .course = &job->course};
  h.depth_m = LW_NEW(job->arena, float, count);
  h.along_m = LW_NEW(job->arena, double, count);
  if (!h.depth_m || !h.along_m) {
    return lw_fail(err, LW_MEMORY, "no memory to clean %zu soundings", count);
  }
  lw_status s = LW_OK;
  h.area_m2 = sounded_m2(&h);
  size_t marked = 1;
  for (int round = 0; s == LW_OK && marked > 0 && round < ROUNDS; round++) {
    s = one_round(&h, &marked, err); /* again: a spike may have hidden behind another */
  }
  return s;
}
