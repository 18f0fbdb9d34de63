/* SPDX-License-Identifier: Apache-2.0 */
#include "demo/boat.h"

#include "base/random.h"

#include <math.h>

#define PI 3.14159265358979323846

enum { RAMP_S = 14, TURN_S = 55, AGROUND_S = 40 };
enum { DRIFT_X, DRIFT_Y, NOISE, FAULT, SIZE, PURPOSES };

static const double speed_m_s = 1.8;
static const double draught_m = 0.45;    /* no going in thinner water */
static const double noise_m = 0.04;      /* of one depth */
static const double wander_m = 0.8;      /* of the receiver's place, changing slowly */
static const double wander_keeps = 0.97; /* from one second to the next */
static const double weave_m = 1.6;       /* nobody steers straight */

typedef enum boat_fault { WELL, LOSES, STICKS, READS_ZERO } boat_fault;

typedef struct boat {
  const lw_demo_bed *bed;
  const lw_demo_cruise *cruise;
  uint64_t seed;
  lw_demo_ping *pings;
  lw_spot *places; /* as the receiver has them */
  size_t count, room;
  double time_s, course_deg;
  lw_spot wander;
  bool afloat;
  int line;
  int fault_left; /* pings for which the present fault goes on */
  boat_fault fault;
  double stuck_m;
} boat;

static double uniform(const boat *b, int purpose)
{
  const lw_random random = {b->seed, b->cruise->stream * PURPOSES + (uint32_t)purpose};
  return lw_random_uniform(&random, b->count);
}

static double normal(const boat *b, int purpose)
{
  const lw_random random = {b->seed, b->cruise->stream * PURPOSES + (uint32_t)purpose};
  return lw_random_normal(&random, b->count);
}

/* ---- the sounder ---- */

static void begin_fault(boat *b, double depth_m)
{
  static const struct {
    double below; /* share of pings at which it begins, summed up */
    boat_fault fault;
    int least, spread;
  } faults[] = {{0.002, LOSES, 3, 6}, {0.003, STICKS, 14, 8}, {0.006, READS_ZERO, 1, 2}};
  double u = uniform(b, FAULT);
  b->fault = WELL;
  for (int i = 0; i < 3; i++) {
    if (u < faults[i].below) {
      b->fault = faults[i].fault;
      b->fault_left = faults[i].least + (int)(uniform(b, SIZE) * faults[i].spread);
      b->stuck_m = depth_m;
      return;
    }
  }
}

/* Fish and weeds answer before the bottom does; noise of a motor after it; over a hard bed in thin water
 * the echo goes up and down twice. */
static double single_fault(const boat *b, double depth_m)
{
  const double fish_until = 0.010;
  const double motor_until = 0.013;
  const double double_until = 0.019;
  const double double_least_m = 1.2;
  const double double_most_m = 3.2;
  double u = uniform(b, FAULT);
  double size = uniform(b, SIZE);
  if (u < fish_until && depth_m > 2 * noise_m) {
    return depth_m * (0.2 + 0.4 * size);
  }
  if (u < motor_until) {
    return depth_m + 1 + 4 * size;
  }
  return u < double_until && depth_m > double_least_m && depth_m < double_most_m ? 2 * depth_m : depth_m;
}

static void sound(boat *b, lw_demo_ping *ping, double depth_m)
{
  depth_m = fmax(depth_m + noise_m * normal(b, NOISE), 0);
  if (b->fault_left == 0) {
    begin_fault(b, depth_m);
  }
  b->fault_left -= b->fault_left > 0;
  switch (b->fault) {
  case LOSES:
    ping->echo = LW_DEMO_LOST;
    break;
  case STICKS:
    ping->depth_m = b->stuck_m;
    break;
  case READS_ZERO:
    ping->depth_m = 0;
    break;
  case WELL:
    ping->depth_m = single_fault(b, depth_m);
    break;
  }
}

/* ---- the way ---- */

/* One second of the log; `depth_m` of the water there, below 0 for a place only. */
static void log_second(boat *b, lw_spot at, double depth_m)
{
  if (b->count >= b->room) {
    return;
  }
  double fresh = wander_m * sqrt(1 - wander_keeps * wander_keeps);
  b->wander.x_m = wander_keeps * b->wander.x_m + fresh * normal(b, DRIFT_X);
  b->wander.y_m = wander_keeps * b->wander.y_m + fresh * normal(b, DRIFT_Y);
  lw_demo_ping *ping = &b->pings[b->count];
  *ping = (lw_demo_ping){.time_s = b->time_s,
                         .speed_m_s = b->line > 0 ? speed_m_s : 0,
                         .course_deg = b->course_deg,
                         .line = b->line,
                         .echo = depth_m < 0 ? LW_DEMO_NO_PING : LW_DEMO_ECHO};
  if (depth_m >= 0) {
    sound(b, ping, depth_m);
  }
  b->places[b->count++] = (lw_spot){at.x_m + b->wander.x_m, at.y_m + b->wander.y_m};
  b->time_s++;
}

static void end_piece(boat *b, lw_spot at, int pause_s)
{
  if (b->afloat) {
    log_second(b, at, -1);
    b->time_s += pause_s;
  }
  b->afloat = false;
  b->fault_left = 0;
}

static void sail_line(boat *b, lw_spot from, lw_spot to)
{
  double x = to.x_m - from.x_m;
  double y = to.y_m - from.y_m;
  double length = hypot(x, y);
  lw_spot at = from;
  b->course_deg = fmod(atan2(x, y) * 180 / PI + 360, 360);
  for (int second = 0; second * speed_m_s <= length; second++) {
    double way = second * speed_m_s;
    double weave = weave_m * sin(way / 23 + b->line);
    at.x_m = from.x_m + (x * way - y * weave) / length;
    at.y_m = from.y_m + (y * way + x * weave) / length;
    double depth = lw_demo_bed_depth_m(b->bed, at) + b->cruise->level_m;
    if (depth < draught_m) {
      end_piece(b, at, AGROUND_S);
      continue;
    }
    if (!b->afloat) {
      b->afloat = true;
      b->line++;
    }
    log_second(b, at, depth);
  }
  end_piece(b, at, TURN_S);
}

static lw_status sail_sets(boat *b, lw_error *err)
{
  lw_status s = LW_OK;
  const lw_demo_lines *sets = b->cruise->sets;
  for (size_t i = 0; s == LW_OK && i < LW_DEMO_SETS && sets[i].count > 0; i++) {
    for (int k = 0; s == LW_OK && k < sets[i].count; k++) {
      double share = sets[i].count > 1 ? (double)k / (sets[i].count - 1) : 0;
      double ends[4];
      lw_spot spots[2];
      for (int c = 0; c < 4; c++) {
        ends[c] = sets[i].first[c] + share * (sets[i].last[c] - sets[i].first[c]);
      }
      s = lw_plane_to(spots, ends, 2, b->bed->plane, err);
      if (s == LW_OK) {
        sail_line(b, spots[k % 2], spots[1 - k % 2]); /* there and back */
      }
    }
  }
  return s;
}

static lw_status wait_on_ramp(boat *b, lw_error *err)
{
  lw_spot ramp;
  lw_status s = lw_plane_to(&ramp, b->cruise->ramp, 1, b->bed->plane, err);
  for (int i = 0; s == LW_OK && i < RAMP_S; i++) {
    log_second(b, ramp, 0);
  }
  b->fault_left = 0;
  b->time_s += TURN_S;
  return s;
}

/* Seconds that the cruise can take at most. */
static size_t room_for(const lw_demo_cruise *cruise)
{
  const double degree_m = 111700; /* or less */
  double seconds = RAMP_S;
  for (size_t i = 0; i < LW_DEMO_SETS && cruise->sets[i].count > 0; i++) {
    const lw_demo_lines *set = &cruise->sets[i];
    double first = hypot(set->first[2] - set->first[0], set->first[3] - set->first[1]);
    double last = hypot(set->last[2] - set->last[0], set->last[3] - set->last[1]);
    seconds += set->count * (fmax(first, last) * degree_m / speed_m_s * 1.5 + 2); /* + ends of pieces */
  }
  return (size_t)seconds;
}

static lw_status tell_places(boat *b, lw_arena *arena, lw_error *err)
{
  double *pairs = LW_NEW(arena, double, 2 * b->count);
  lw_status s = pairs ? lw_plane_from(pairs, b->places, b->count, b->bed->plane, err)
                      : lw_fail(err, LW_MEMORY, "no memory for the demonstration");
  for (size_t i = 0; s == LW_OK && i < b->count; i++) {
    b->pings[i].longitude = pairs[2 * i];
    b->pings[i].latitude = pairs[2 * i + 1];
  }
  return s;
}

lw_status lw_demo_sail(lw_demo_ping **out, size_t *out_count, const lw_demo_bed *bed,
                       const lw_demo_cruise *cruise, uint64_t seed, lw_arena *arena, lw_error *err)
{
  lw_day day = LW_NO_DAY;
  boat b = {.bed = bed, .cruise = cruise, .seed = seed, .room = room_for(cruise)};
  lw_status s = lw_date_parse(&day, "demo", cruise->day, err);
  b.pings = LW_NEW(arena, lw_demo_ping, b.room);
  b.places = LW_NEW(arena, lw_spot, b.room);
  if (s == LW_OK && (!b.pings || !b.places)) {
    s = lw_fail(err, LW_MEMORY, "no memory for the demonstration");
  }
  b.time_s = (double)lw_demo_instant(day, cruise->minute) / 1000;
  s = s == LW_OK ? wait_on_ramp(&b, err) : s;
  s = s == LW_OK ? sail_sets(&b, err) : s;
  s = s == LW_OK ? tell_places(&b, arena, err) : s;
  *out = b.pings;
  *out_count = b.count;
  return s;
}
