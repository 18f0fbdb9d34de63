/* SPDX-License-Identifier: Apache-2.0 */
/* Track lines. A line goes on until a gap in place or time, or until the boat's heading has turned by more
 * than 60 degrees from the line's first heading and stays there for a length. Headings are of chords
 * between way points a length apart, so that neither the scatter of the positions nor a weave is a turn.
 * No published method. */
#include "basin/clean_parts.h"

#include <math.h>
#include <stdlib.h>

enum { LINE_LEAST = 4, SQUARES_ACROSS = 10 };

static const double turn_cosine = 0.5;   /* of 60 degrees */
static const double length_share = 0.06; /* of the square root of the water's area; ... */
static const double length_most_m = 15;  /* ... the length that a turn lasts, at most ... */
static const double length_least_m = 3;  /* ... and at least, and at least ... */
static const double length_steps = 4;    /* ... so many spacings */
static const double way_points = 6;      /* in a length */
static const double gap_times = 20;      /* median intervals that make a gap in time, and at least ... */
static const double gap_least_s = 60;    /* ... this */

typedef struct split {
  lw_sounding *soundings;
  size_t count;
  const lw_shore *shore;
  lw_course course;
  int64_t *line;    /* of each in the course: provisional names, one a line */
  int64_t next;     /* name for the next new line */
  uint32_t *points; /* way points of a stretch, as positions in the course */
} split;

static const lw_sounding *at(const split *p, size_t k)
{
  return &p->soundings[p->course.index[k]];
}

static lw_spot from_to(const split *p, size_t a, size_t b)
{
  return (lw_spot){at(p, b)->x_m - at(p, a)->x_m, at(p, b)->y_m - at(p, a)->y_m};
}

static double long_m(lw_spot v)
{
  return sqrt(v.x_m * v.x_m + v.y_m * v.y_m);
}

/* ---- turns ---- */

/* Way points of course positions [begin, end): each at least `apart_m` from the one before. */
static size_t lay_points(const split *p, size_t begin, size_t end, double apart_m)
{
  size_t n = 0;
  for (size_t k = begin; k < end; k++) {
    if (n == 0 || long_m(from_to(p, p->points[n - 1], k)) >= apart_m) {
      p->points[n++] = (uint32_t)k;
    }
  }
  return n;
}

/* First way point from `from` on that lies `length_m` away from it; `count` when none does. */
static size_t point_ahead(const split *p, size_t from, size_t count, double length_m)
{
  size_t m = from + 1;
  while (m < count && long_m(from_to(p, p->points[from], p->points[m])) < length_m) {
    m++;
  }
  return m;
}

/* The corner between way points a and b: the one farthest from the chord. */
static size_t corner(const split *p, size_t a, size_t b)
{
  lw_spot chord = from_to(p, p->points[a], p->points[b]);
  size_t best = a + 1;
  double farthest = -1;
  for (size_t m = a + 1; m < b; m++) {
    lw_spot v = from_to(p, p->points[a], p->points[m]);
    double off = fabs(chord.x_m * v.y_m - chord.y_m * v.x_m);
    if (off > farthest) {
      farthest = off;
      best = m;
    }
  }
  return best;
}

static size_t points_back(size_t m, size_t first)
{
  size_t back = (size_t)way_points;
  return m - first > back ? m - back : first;
}

/* The way point at which the line beginning at way point `first` ends, or `count`. */
static size_t find_turn(const split *p, size_t first, size_t count, double length_m)
{
  size_t second = point_ahead(p, first, count, 2 * length_m);
  if (second >= count) {
    return count;
  }
  lw_spot heading = from_to(p, p->points[first], p->points[second]);
  for (size_t m = first + 1; m < count; m++) {
    size_t ahead = point_ahead(p, m, count, length_m);
    if (ahead >= count) {
      return count; /* too little is left to last */
    }
    lw_spot now = from_to(p, p->points[m], p->points[ahead]);
    double along = heading.x_m * now.x_m + heading.y_m * now.y_m;
    if (along < turn_cosine * long_m(heading) * long_m(now)) {
      return corner(p, points_back(m, first), ahead);
    }
  }
  return count;
}

static void name_stretch(split *p, const lw_leg *leg, size_t begin, size_t end)
{
  double length = fmin(length_share * sqrt(lw_shore_area_m2(p->shore)), length_most_m);
  length = fmax(fmax(length, length_least_m), length_steps * leg->spacing_m);
  size_t count = lay_points(p, begin, end, length / way_points);
  size_t k = begin;
  for (size_t first = 0; first < count;) {
    size_t turn = find_turn(p, first, count, length);
    size_t stop = turn < count ? p->points[turn] : end;
    for (; k < stop; k++) {
      p->line[k] = p->next;
    }
    p->next++;
    first = turn;
  }
}

/* ---- gaps ---- */

static double gap_s(const split *p, const lw_leg *leg, float *scratch)
{
  size_t n = 0;
  for (size_t k = leg->first + 1; k < leg->first + leg->count; k++) {
    double step = at(p, k)->time_s - at(p, k - 1)->time_s;
    if (step > 0) {
      scratch[n++] = (float)step;
    }
  }
  return fmax(gap_least_s, gap_times * lw_median_of(scratch, n));
}

static void name_leg(split *p, const lw_leg *leg, float *scratch)
{
  double gap = gap_s(p, leg, scratch);
  size_t last = leg->first + leg->count;
  for (size_t k = leg->first; k < last;) {
    size_t end = lw_course_stretch_end(&p->course, leg, p->soundings, k);
    size_t stop = k + 1;
    while (stop < end && !(fabs(at(p, stop)->time_s - at(p, stop - 1)->time_s) > gap)) {
      stop++; /* untimed: no gap */
    }
    name_stretch(p, leg, k, stop);
    k = stop;
  }
}

/* Squares of a tenth of the water's longer side. */
static void name_by_place(split *p, const lw_leg *leg)
{
  lw_box box = lw_shore_box(p->shore);
  double side = fmax(fmax(box.east_m - box.west_m, box.north_m - box.south_m) / SQUARES_ACROSS, 1e-3);
  for (size_t k = leg->first; k < leg->first + leg->count; k++) {
    double column = fmin(fmax(floor((at(p, k)->x_m - box.west_m) / side), -1), SQUARES_ACROSS);
    double row = fmin(fmax(floor((at(p, k)->y_m - box.south_m) / side), -1), SQUARES_ACROSS);
    p->line[k] = p->next + (int64_t)(row + 1) * (SQUARES_ACROSS + 2) + (int64_t)(column + 1);
  }
  p->next += (int64_t)(SQUARES_ACROSS + 2) * (SQUARES_ACROSS + 2);
}

/* ---- short lines ---- */

static size_t line_end(const split *p, size_t begin, size_t last)
{
  size_t end = begin + 1;
  while (end < last && p->line[end] == p->line[begin]) {
    end++;
  }
  return end;
}

/* Lines of fewer than LINE_LEAST join the line before in their survey, or the one after when first. */
static void join_short(split *p, const lw_leg *leg)
{
  size_t last = leg->first + leg->count;
  size_t begin = leg->first;
  while (begin < last) {
    size_t end = line_end(p, begin, last);
    if (end - begin >= LINE_LEAST) {
      begin = end;
      continue;
    }
    int64_t name = begin > leg->first ? p->line[begin - 1] : end < last ? p->line[end] : p->line[begin];
    for (size_t k = begin; k < end; k++) {
      p->line[k] = name;
    }
    begin = begin > leg->first ? end : line_end(p, begin, last);
  }
}

/* ---- numbers ---- */

static const int64_t nameless = -1;

/* Lines that the file gives keep together by survey and number; above every new name. */
static int64_t given_name(const lw_sounding *s)
{
  return ((int64_t)s->survey + 1) * ((int64_t)INT32_MAX + 1) + s->track;
}

static int ascending(const void *a, const void *b)
{
  int64_t p = *(const int64_t *)a;
  int64_t q = *(const int64_t *)b;
  return p < q ? -1 : p > q;
}

/* Position of `name` in the ascending list. */
static size_t position(const int64_t *names, size_t count, int64_t name)
{
  size_t low = 0;
  while (count - low > 1) {
    size_t middle = low + (count - low) / 2;
    if (names[middle] <= name) {
      low = middle;
    } else {
      count = middle;
    }
  }
  return low;
}

/* Numbers the names from 0 in the order in which they come. */
static lw_status number(const int64_t *name, lw_sounding *soundings, size_t count, size_t *out_tracks,
                        lw_arena *arena, lw_error *err)
{
  size_t runs = 0;
  for (size_t k = 0; k < count; k++) {
    runs += k == 0 || name[k] != name[k - 1];
  }
  int64_t *names = LW_NEW(arena, int64_t, runs);
  int32_t *numbers = LW_NEW(arena, int32_t, runs);
  if (!names || !numbers) {
    return lw_fail(err, LW_MEMORY, "no memory to number %zu lines", runs);
  }
  runs = 0;
  for (size_t k = 0; k < count; k++) {
    if (k == 0 || name[k] != name[k - 1]) {
      names[runs++] = name[k];
    }
  }
  qsort(names, runs, sizeof(*names), ascending);
  size_t lines = 0;
  for (size_t k = 0; k < runs; k++) {
    if (k == 0 || names[k] != names[lines - 1]) {
      names[lines++] = names[k];
    }
  }
  int32_t tracks = 0;
  for (size_t k = 0, p = 0; k < count; k++) {
    p = k > 0 && name[k] == name[k - 1] ? p : position(names, lines, name[k]);
    numbers[p] = numbers[p] > 0 ? numbers[p] : ++tracks; /* from 1: 0 is 'none yet' */
    soundings[k].track = numbers[p] - 1;
  }
  *out_tracks = (size_t)tracks;
  return LW_OK;
}

/* Soundings set aside belong to the line they were sailed on: that of the one before or, at the beginning
 * of a survey, after; a survey with nothing good is one line. */
static void name_the_rest(const lw_sounding *soundings, int64_t *name, size_t count, int64_t next)
{
  for (size_t k = 1; k < count; k++) {
    bool same = soundings[k].survey == soundings[k - 1].survey;
    name[k] = name[k] == nameless && same ? name[k - 1] : name[k];
  }
  for (size_t k = count; k-- > 0;) {
    bool same = k + 1 < count && soundings[k].survey == soundings[k + 1].survey;
    if (name[k] == nameless) {
      name[k] = same ? name[k + 1] : next + soundings[k].survey;
    }
  }
}

static void name_lines(split *p, int64_t *name, float *scratch)
{
  for (size_t g = 0; g < p->course.leg_count; g++) {
    const lw_leg *leg = &p->course.legs[g];
    if (leg->scattered) {
      name_by_place(p, leg);
    } else {
      name_leg(p, leg, scratch);
      join_short(p, leg);
    }
  }
  for (size_t k = 0; k < p->course.count; k++) {
    name[p->course.index[k]] = p->line[k];
  }
  for (size_t k = 0; k < p->count; k++) {
    name[k] = p->soundings[k].track >= 0 ? given_name(&p->soundings[k]) : name[k];
  }
  name_the_rest(p->soundings, name, p->count, p->next);
}

lw_status lw_soundings_split(lw_sounding *soundings, size_t count, const lw_shore *shore, size_t *out_tracks,
                             lw_arena *arena, lw_error *err)
{
  *out_tracks = 0;
  if (count > LW_SOUNDINGS_MAX) {
    return lw_fail(err, LW_LIMIT, "%zu soundings; at most %d are accepted: thin them out", count,
                   LW_SOUNDINGS_MAX);
  }
  split p = {.soundings = soundings, .count = count, .shore = shore};
  lw_status s = lw_shore_check(shore, err);
  if (s == LW_OK) {
    s = lw_course_build(&p.course, soundings, count, shore, arena, err);
  }
  if (s != LW_OK || count == 0) {
    return s;
  }
  p.line = LW_NEW(arena, int64_t, p.course.count);
  p.points = LW_NEW(arena, uint32_t, p.course.count);
  int64_t *name = LW_NEW(arena, int64_t, count);
  float *scratch = LW_NEW(arena, float, p.course.count);
  if (!p.line || !p.points || !name || !scratch) {
    return lw_fail(err, LW_MEMORY, "no memory to split %zu soundings into lines", count);
  }
  for (size_t k = 0; k < count; k++) {
    name[k] = nameless;
  }
  name_lines(&p, name, scratch);
  return number(name, soundings, count, out_tracks, arena, err);
}
