/* SPDX-License-Identifier: Apache-2.0 */
/* A bed as bytes: head, arrays. Only for the cache of the machine that wrote it: byte order and word
 * length are checked, never converted. The store's cache adds a digest of its own. */
#include "work/basin_bed.h"

#include <math.h>
#include <string.h>

enum { FORMAT = 1, MOST_NODES = 4000000, MOST_SOUNDINGS = 5000000, MOST_SURVEYS = 10000 };
enum { MOST_WORDS = 4000 };

static const char magic[8] = "LWBED\r\n";
static const double farthest = 1e12; /* no figure of a water is larger */

/* All members are 8 bytes wide, so that there is no padding to be written. */
typedef struct head {
  char magic[8];
  uint64_t format, order, tally, levels, members;
  uint64_t nx, ny, way, used, folds, cross_validated, has_error;
  uint64_t residual_count, survey_count, how_length;
  double step_m, x0_m, y0_m;
  double figures[13];
  double member_volume_m3[LW_BASIN_MEMBERS][LW_BASIN_LEVELS];
} head;

static const uint64_t byte_order = 0x0102030405060708u;

/* The plain figures of a basin, in the order of head.figures. */
static void list_figures(double *out[13], lw_basin *b)
{
  double *all[13] = {&b->area_m2,      &b->volume_m3,   &b->volume_low_m3,    &b->volume_high_m3,
                     &b->mean_depth_m, &b->max_depth_m, &b->max_low_m,        &b->max_high_m,
                     &b->rmse_m,       &b->bias_m,      &b->tension_length_m, &b->smoothness,
                     &b->direction};
  memcpy(out, all, sizeof all);
}

typedef struct sizes {
  size_t nodes, cells, total;
} sizes;

/* false where the head's numbers cannot be. */
static bool measure(sizes *out, const head *h)
{
  if (h->nx < 2 || h->ny < 2 || h->nx > MOST_NODES || h->ny > MOST_NODES || h->nx * h->ny > MOST_NODES ||
      h->residual_count > MOST_SOUNDINGS || h->survey_count > MOST_SURVEYS || h->how_length > MOST_WORDS ||
      h->has_error > 1 || h->cross_validated > 1 || h->way > LW_BASIN_TOLD_MEAN) {
    return false;
  }
  out->nodes = h->nx * h->ny;
  out->cells = (h->nx - 1) * (h->ny - 1);
  size_t floats = out->nodes * (1 + h->has_error) + out->cells + h->residual_count;
  out->total =
      sizeof(head) + floats * sizeof(float) + h->survey_count * sizeof(lw_survey_tally) + h->how_length;
  return true;
}

static head make_head(const lw_bed *bed)
{
  lw_basin basin = bed->basin;
  double *figures[13];
  list_figures(figures, &basin);
  head h = {.format = FORMAT,
            .order = byte_order,
            .tally = sizeof(lw_survey_tally),
            .levels = LW_BASIN_LEVELS,
            .members = LW_BASIN_MEMBERS,
            .nx = basin.map.frame.nx,
            .ny = basin.map.frame.ny,
            .way = (uint64_t)basin.way,
            .used = basin.used,
            .folds = basin.folds,
            .cross_validated = basin.cross_validated,
            .has_error = basin.map.error_m != NULL,
            .residual_count = basin.residual_m ? bed->residual_count : 0,
            .survey_count = bed->survey_count,
            .how_length = strlen(basin.how),
            .step_m = basin.map.frame.step_m,
            .x0_m = basin.map.frame.x0_m,
            .y0_m = basin.map.frame.y0_m};
  memcpy(h.magic, magic, sizeof magic);
  for (size_t i = 0; i < 13; i++) {
    h.figures[i] = *figures[i];
  }
  memcpy(h.member_volume_m3, basin.member_volume_m3, sizeof h.member_volume_m3);
  return h;
}

static unsigned char *put(unsigned char *at, const void *from, size_t size)
{
  if (size) {
    memcpy(at, from, size);
  }
  return at + size;
}

lw_status lw_bed_pack(void **out, size_t *out_length, const lw_bed *bed, lw_arena *arena, lw_error *err)
{
  const lw_basin *b = &bed->basin;
  const head h = make_head(bed);
  sizes n;
  *out = NULL;
  if (!measure(&n, &h)) {
    return lw_fail(err, LW_LIMIT, "the depth map is too large to be kept");
  }
  unsigned char *bytes = lw_arena_alloc(arena, n.total, 1);
  if (!bytes) {
    return lw_fail(err, LW_MEMORY, "no memory to keep the depth map");
  }
  unsigned char *at = put(bytes, &h, sizeof h);
  at = put(at, b->map.depth_m, n.nodes * sizeof(float));
  at = put(at, b->map.error_m, h.has_error ? n.nodes * sizeof(float) : 0);
  at = put(at, b->map.cover, n.cells * sizeof(float));
  at = put(at, b->residual_m, h.residual_count * sizeof(float));
  at = put(at, bed->surveys, h.survey_count * sizeof(lw_survey_tally));
  (void)put(at, b->how, h.how_length);
  *out = bytes;
  *out_length = n.total;
  return LW_OK;
}

/* ---- reading ---- */

static bool all_finite(const double *values, size_t count)
{
  for (size_t i = 0; i < count; i++) {
    if (!(fabs(values[i]) <= farthest)) {
      return false;
    }
  }
  return true;
}

static bool head_holds(const head *h)
{
  return memcmp(h->magic, magic, sizeof magic) == 0 && h->format == FORMAT && h->order == byte_order &&
         h->tally == sizeof(lw_survey_tally) && h->levels == LW_BASIN_LEVELS &&
         h->members == LW_BASIN_MEMBERS && h->step_m > 0 && h->step_m <= farthest &&
         fabs(h->x0_m) <= farthest && fabs(h->y0_m) <= farthest && all_finite(h->figures, 13) &&
         all_finite(&h->member_volume_m3[0][0], (size_t)LW_BASIN_MEMBERS * LW_BASIN_LEVELS);
}

static bool node_holds(const lw_depth_map *map, size_t node)
{
  return fabsf(map->depth_m[node]) <= (float)farthest &&
         (!map->error_m || (map->error_m[node] >= 0 && map->error_m[node] <= (float)farthest));
}

/* What is measured on the map reads the four nodes of every wet cell. */
static bool map_holds(const lw_depth_map *map)
{
  size_t nx = map->frame.nx;
  for (size_t j = 0; j + 1 < map->frame.ny; j++) {
    for (size_t i = 0; i + 1 < nx; i++) {
      float cover = map->cover[j * (nx - 1) + i];
      size_t node = j * nx + i;
      if (!(cover >= 0 && cover <= 1.0001F) ||
          (cover > 0 && !(node_holds(map, node) && node_holds(map, node + 1) && node_holds(map, node + nx) &&
                          node_holds(map, node + nx + 1)))) {
        return false;
      }
    }
  }
  return true;
}

static lw_status damaged(lw_error *err)
{
  return lw_fail(err, LW_CORRUPT, "the depth map kept in the store is damaged; it is reckoned anew");
}

static void take_head(lw_bed *out, const head *h)
{
  lw_basin *b = &out->basin;
  double *figures[13];
  *out = (lw_bed){.residual_count = h->residual_count, .survey_count = h->survey_count};
  b->way = (lw_basin_way)h->way;
  b->used = h->used;
  b->folds = h->folds;
  b->cross_validated = h->cross_validated != 0;
  b->map.frame = (lw_frame){.nx = h->nx, .ny = h->ny, .step_m = h->step_m, .x0_m = h->x0_m, .y0_m = h->y0_m};
  list_figures(figures, b);
  for (size_t i = 0; i < 13; i++) {
    *figures[i] = h->figures[i];
  }
  memcpy(b->member_volume_m3, h->member_volume_m3, sizeof b->member_volume_m3);
}

/* A copy in the arena of what comes next; the blob may lie at any address. */
static void *take(const unsigned char **at, size_t count, size_t size, lw_arena *arena)
{
  void *copy = lw_arena_alloc(arena, count ? count : 1, size);
  if (copy && count) {
    memcpy(copy, *at, count * size);
  }
  *at += count * size;
  return copy;
}

static lw_status take_arrays(lw_bed *out, const head *h, const sizes *n, const unsigned char *at,
                             lw_arena *arena, lw_error *err)
{
  lw_basin *b = &out->basin;
  b->map.depth_m = take(&at, n->nodes, sizeof(float), arena);
  b->map.error_m = h->has_error ? take(&at, n->nodes, sizeof(float), arena) : NULL;
  b->map.cover = take(&at, n->cells, sizeof(float), arena);
  b->residual_m = h->residual_count ? take(&at, h->residual_count, sizeof(float), arena) : NULL;
  out->surveys = take(&at, h->survey_count, sizeof(lw_survey_tally), arena);
  b->how = lw_arena_copy_n(arena, (const char *)at, h->how_length);
  if (!b->map.depth_m || (h->has_error && !b->map.error_m) || !b->map.cover ||
      (h->residual_count && !b->residual_m) || !out->surveys || !b->how) {
    return lw_fail(err, LW_MEMORY, "no memory for the depth map");
  }
  return map_holds(&b->map) ? LW_OK : damaged(err);
}

lw_status lw_bed_unpack(lw_bed *out, const void *blob, size_t length, lw_arena *arena, lw_error *err)
{
  head h;
  sizes n;
  if (!blob || length < sizeof h) {
    return damaged(err);
  }
  memcpy(&h, blob, sizeof h);
  if (!head_holds(&h) || !measure(&n, &h) || n.total != length) {
    return damaged(err);
  }
  take_head(out, &h);
  return take_arrays(out, &h, &n, (const unsigned char *)blob + sizeof h, arena, err);
}
