/* SPDX-License-Identifier: Apache-2.0 */
/* Repeats: the same depth at the same place at the same time (or with no time to tell them apart), as when
 * a file is read twice or a logger writes each line twice. A boat at anchor repeats nothing, since its
 * times differ; two depths at one place are two soundings. The first in the order given stays. */
#include "basin/clean_parts.h"

#include <math.h>

/* Repeats are sought in squares this many duplicate distances wide: most lie well inside one, and what
 * is in one, no two of it repeats, is few. */
static const double square_in_distances = 16;

enum { AHEAD = 12 };

typedef struct slot {
  uint32_t tag, index_plus_1;
} slot;

typedef struct table {
  slot *slots;
  size_t mask;
  double distance_m, size_m;
  bool by_time;
} table;

static uint64_t mix(uint64_t x) /* the finalizer of splitmix64 (Steele, Lea & Flood 2014, OOPSLA) */
{
  x ^= x >> 30;
  x *= 0xbf58476d1ce4e5b9U;
  x ^= x >> 27;
  x *= 0x94d049bb133111ebU;
  return x ^ (x >> 31);
}

static uint64_t key(const table *t, const lw_sounding *s, double column, double row)
{
  uint64_t x = mix((uint64_t)(int64_t)column) ^ (uint64_t)(int64_t)row;
  x = mix(x) ^ (uint64_t)llround((double)s->depth_m * 1000);
  bool timed = t->by_time && isfinite(s->time_s) && fabs(s->time_s) < 1e14;
  return mix(mix(x) ^ (timed ? (uint64_t)llround(s->time_s * 100) : 0xffffffffU));
}

static bool near(const table *t, const lw_sounding *a, const lw_sounding *b)
{
  double dx = a->x_m - b->x_m;
  double dy = a->y_m - b->y_m;
  bool same_time = !t->by_time || !isnan(a->time_s) == !isnan(b->time_s);
  return same_time && dx * dx + dy * dy <= t->distance_m * t->distance_m;
}

/* The slot of a sounding that `s` repeats, or the free one. */
static slot *seek(const table *t, const lw_sounding *soundings, const lw_sounding *s, uint64_t hash)
{
  size_t k = (size_t)hash & t->mask;
  while (t->slots[k].index_plus_1 != 0) {
    if (t->slots[k].tag == (uint32_t)(hash >> 32) && near(t, &soundings[t->slots[k].index_plus_1 - 1], s)) {
      break;
    }
    k = (k + 1) & t->mask;
  }
  return &t->slots[k];
}

/* Every square within the distance; *out_home is the free slot of its own square. */
static bool repeated(const table *t, const lw_sounding *soundings, const lw_sounding *s, slot **out_home,
                     uint32_t *out_tag)
{
  double column = floor(s->x_m / t->size_m);
  double row = floor(s->y_m / t->size_m);
  uint64_t home = key(t, s, column, row);
  *out_tag = (uint32_t)(home >> 32);
  *out_home = seek(t, soundings, s, home);
  if ((*out_home)->index_plus_1 != 0) {
    return true;
  }
  double west = floor((s->x_m - t->distance_m) / t->size_m);
  double east = floor((s->x_m + t->distance_m) / t->size_m);
  double south = floor((s->y_m - t->distance_m) / t->size_m);
  double north = floor((s->y_m + t->distance_m) / t->size_m);
  for (int up = 0; south + up <= north; up++) {
    for (int over = 0; west + over <= east; over++) {
      double x = west + over;
      double y = south + up;
      bool own = x == column && y == row;
      if (!own && seek(t, soundings, s, key(t, s, x, y))->index_plus_1 != 0) {
        return true;
      }
    }
  }
  return false;
}

static lw_status make_table(table *out, const lw_clean_job *job, bool by_time, lw_error *err)
{
  size_t slots = 64;
  while (slots < 2 * job->count) {
    slots *= 2;
  }
  double distance = job->how.duplicate_distance_m;
  *out = (table){.slots = LW_NEW(job->arena, slot, slots),
                 .mask = slots - 1,
                 .distance_m = distance,
                 .size_m = fmax(square_in_distances * distance, 1e-3),
                 .by_time = by_time};
  return out->slots ? LW_OK : lw_fail(err, LW_MEMORY, "no memory to compare %zu soundings", job->count);
}

/* Asks for the slot of a sounding soon to come: the table is larger than the processor's cache. */
static void fetch(const table *t, const lw_clean_job *job, size_t k)
{
  if (k < job->count && job->soundings[k].flaw == LW_SOUNDING_GOOD) {
    const lw_sounding *s = &job->soundings[k];
    uint64_t hash = key(t, s, floor(s->x_m / t->size_m), floor(s->y_m / t->size_m));
    __builtin_prefetch(&t->slots[(size_t)hash & t->mask], 1);
  }
}

/* Among all, times minded. The owner's chosen ones come first, so that a repeat of one is what goes. */
static void mark_repeats(const table *t, const lw_clean_job *job)
{
  for (int round = 0; round < 2; round++) {
    for (size_t k = 0; k < job->count; k++) {
      lw_sounding *s = &job->soundings[k];
      if (s->flaw != LW_SOUNDING_GOOD || (s->owner == 1) != (round == 0)) {
        continue;
      }
      fetch(t, job, k + AHEAD);
      slot *home = NULL;
      uint32_t tag = 0;
      if (repeated(t, job->soundings, s, &home, &tag)) {
        lw_clean_mark(s, LW_SOUNDING_DUPLICATE);
      } else {
        *home = (slot){tag, (uint32_t)k + 1};
      }
    }
  }
}

/* One without a time that repeats one with a time, whatever that is. */
static void mark_timeless(const table *t, const lw_clean_job *job)
{
  for (int round = 0; round < 2; round++) {
    bool timed = round == 0;
    for (size_t k = 0; k < job->count; k++) {
      lw_sounding *s = &job->soundings[k];
      if (s->flaw != LW_SOUNDING_GOOD || !isnan(s->time_s) != timed) {
        continue;
      }
      slot *home = NULL;
      uint32_t tag = 0;
      bool known = repeated(t, job->soundings, s, &home, &tag);
      if (known && !timed) {
        lw_clean_mark(s, LW_SOUNDING_DUPLICATE);
      } else if (!known && timed) {
        *home = (slot){tag, (uint32_t)k + 1};
      }
    }
  }
}

lw_status lw_clean_repeats(lw_clean_job *job, lw_error *err)
{
  size_t timed = 0;
  for (size_t k = 0; k < job->count; k++) {
    timed += isnan(job->soundings[k].time_s) ? 0 : 1;
  }
  table t;
  lw_status s = make_table(&t, job, true, err);
  if (s == LW_OK) {
    mark_repeats(&t, job);
  }
  if (s == LW_OK && timed > 0 && timed < job->count) {
    s = make_table(&t, job, false, err);
    if (s == LW_OK) {
      mark_timeless(&t, job);
    }
  }
  return s;
}
