/* SPDX-License-Identifier: Apache-2.0 */
#include "exchange/geojson_check.h"
#include "exchange/geojson_walk.h"
#include "exchange/outline.h"

#include <math.h>
#include <stdio.h>

/* --- places and faults --- */

void lw_geojson_enter_key(lw_geojson_walk *w, const char *key)
{
  w->path.steps[w->path.depth++] = (lw_json_step){.key = key};
}

void lw_geojson_enter_index(lw_geojson_walk *w, size_t index)
{
  w->path.steps[w->path.depth++] = (lw_json_step){.index = index};
}

void lw_geojson_leave(lw_geojson_walk *w)
{
  w->path.depth--;
}

lw_status lw_geojson_refuse_as(lw_geojson_walk *w, lw_status status, const char *sentence)
{
  long line = 0;
  long column = 0;
  (void)lw_json_place(w->text, w->length, &w->path, &line, &column);
  return lw_fail_at(w->err, status, w->name, line, column, "%s", sentence);
}

lw_status lw_geojson_refuse(lw_geojson_walk *w, const char *sentence)
{
  return lw_geojson_refuse_as(w, LW_INVALID, sentence);
}

lw_status lw_geojson_fail_memory(const lw_geojson_walk *w)
{
  return lw_fail_at(w->err, LW_MEMORY, w->name, 0, 0, "there is no memory for this outline");
}

/* --- positions --- */

static lw_status read_position(lw_geojson_walk *w, const json_t *position, double out[2])
{
  size_t n = json_array_size(position);
  if (n < 2) {
    return lw_geojson_refuse(w, "a position should be [longitude, latitude] in degrees");
  }
  for (size_t i = 0; i < n; i++) {
    const json_t *number = json_array_get(position, i);
    double value = json_number_value(number);
    if (!json_is_number(number) || !isfinite(value)) {
      return lw_geojson_refuse(w, "a position should hold numbers only: [longitude, latitude] in degrees");
    }
    if (i < 2) {
      out[i] = value;
    }
  }
  char sentence[LW_POSITION_SENTENCE];
  return lw_position_is_sound(out[0], out[1], sentence) ? LW_OK : lw_geojson_refuse(w, sentence);
}

static lw_status read_positions(lw_geojson_walk *w, const json_t *array, lw_ring *ring)
{
  size_t n = json_array_size(array);
  if (n > LW_OUTLINE_POINTS - w->geometry->positions) {
    char sentence[120];
    (void)snprintf(sentence, sizeof sentence, "the outline has more than %d positions; simplify it",
                   LW_OUTLINE_POINTS);
    return lw_geojson_refuse_as(w, LW_LIMIT, sentence);
  }
  ring->lon_lat = LW_NEW(w->arena, double, 2 * n);
  if (!ring->lon_lat) {
    return lw_geojson_fail_memory(w);
  }
  lw_status status = LW_OK;
  for (size_t i = 0; i < n && status == LW_OK; i++) {
    lw_geojson_enter_index(w, i);
    status = read_position(w, json_array_get(array, i), ring->lon_lat + 2 * i);
    lw_geojson_leave(w);
  }
  ring->count = n;
  w->geometry->positions += n;
  return status;
}

/* --- polygons and lines --- */

static lw_status check_ring(lw_geojson_walk *w, lw_ring *ring)
{
  size_t last = ring->count ? ring->count - 1 : 0;
  if (ring->count < 4) {
    return lw_geojson_refuse(w, "a ring needs at least 4 positions, the last the same as the first");
  }
  const double *a = ring->lon_lat;
  if (!lw_same_position(a, a + 2 * last)) {
    char sentence[LW_POSITION_SENTENCE];
    (void)snprintf(sentence, sizeof sentence,
                   "the ring is not closed: its last position [%.7f, %.7f] should repeat its first "
                   "[%.7f, %.7f]; add the first once more at the end",
                   a[2 * last], a[2 * last + 1], a[0], a[1]);
    return lw_geojson_refuse(w, sentence);
  }
  size_t jump = lw_meridian_jump(ring);
  if (jump) {
    lw_geojson_enter_index(w, jump);
    lw_status status =
        lw_geojson_refuse(w, "the ring jumps across the 180th meridian here; cut the outline along "
                             "that meridian into two polygons (RFC 7946, 3.1.9)");
    lw_geojson_leave(w);
    return status;
  }
  return lw_ring_tidy(ring) ? LW_OK : lw_geojson_refuse(w, "the ring has fewer than 3 different positions");
}

lw_status lw_geojson_read_polygon(lw_geojson_walk *w, const json_t *rings)
{
  size_t n = json_array_size(rings);
  if (!json_is_array(rings) || n == 0) {
    return lw_geojson_refuse(w, "a Polygon's coordinates should be a list of rings, the outer shore first");
  }
  lw_ring_list *list = &w->geometry->polygons;
  for (size_t i = 0; i < n; i++) {
    lw_ring *ring = lw_ring_list_add(list, w->arena);
    if (!ring) {
      return lw_geojson_fail_memory(w);
    }
    ring->group = list->groups;
    ring->hole = i > 0;
    lw_geojson_enter_index(w, i);
    lw_status status = read_positions(w, json_array_get(rings, i), ring);
    if (status == LW_OK) {
      status = check_ring(w, ring);
    }
    lw_geojson_leave(w);
    if (status != LW_OK) {
      return status;
    }
  }
  list->groups++;
  return LW_OK;
}

lw_status lw_geojson_read_line(lw_geojson_walk *w, const json_t *positions, size_t group)
{
  if (json_array_size(positions) < 2) {
    return lw_geojson_refuse(w, "a LineString needs at least 2 positions");
  }
  lw_ring *line = lw_ring_list_add(&w->geometry->lines, w->arena);
  if (!line) {
    return lw_geojson_fail_memory(w);
  }
  line->group = group;
  return read_positions(w, positions, line);
}
