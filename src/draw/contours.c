/* SPDX-License-Identifier: Apache-2.0 */
/* Contour lines and their labels. A label stands in its line, upright to the reader, where the line is
 * straight and its neighbours are far; the line is broken there. Lines that bound a class of shading
 * come first, then the others where room is left. */
#include "draw/sheet.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

static const double label_pt = 6.5;
static const double step_pt = 2;         /* along a ring, between the places tried */
static const double one_label_pt = 340;  /* a ring gets one label for this length */
static const double ring_least_pt = 42;  /* shorter rings get none */
static const double same_apart_pt = 110; /* labels of one depth */
static const double straight_least = 0.95;

enum { WALK_MOST = 20000 };

/* Spots along a ring, evenly apart on paper. */
typedef struct walk {
  double (*at)[2];
  size_t count;
  double step;
} walk;

static double ring_length(lw_sheet *sheet, const lw_contour_ring *ring)
{
  double sum = 0;
  for (size_t i = 0; i < ring->count; i++) {
    const lw_spot *a = &ring->spots[i];
    const lw_spot *b = &ring->spots[(i + 1) % ring->count];
    sum += hypot(b->x_m - a->x_m, b->y_m - a->y_m);
  }
  return sum * sheet->spread.pt_per_m;
}

/* Evenly spaced spots of the ring into `w`, whose `at` holds WALK_MOST. */
static void walk_ring(lw_sheet *sheet, const lw_contour_ring *ring, double length, walk *w)
{
  w->step = fmax(step_pt, length / (WALK_MOST - 2));
  w->count = 0;
  double next = 0, done = 0;
  for (size_t i = 0; i < ring->count; i++) {
    const lw_spot *b = &ring->spots[(i + 1) % ring->count];
    double ax = lw_sheet_x(sheet, ring->spots[i].x_m);
    double ay = lw_sheet_y(sheet, ring->spots[i].y_m);
    double bx = lw_sheet_x(sheet, b->x_m);
    double by = lw_sheet_y(sheet, b->y_m);
    double side = hypot(bx - ax, by - ay);
    while (side > 0 && next <= done + side && w->count < WALK_MOST) {
      double t = (next - done) / side;
      w->at[w->count][0] = ax + t * (bx - ax);
      w->at[w->count][1] = ay + t * (by - ay);
      w->count++;
      next = (double)w->count * w->step;
    }
    done += side;
  }
}

/* Paper from one contour to the next at a spot on the map, by the slope of the bed. */
static double room_at(const lw_sheet *sheet, double x_pt, double y_pt)
{
  const lw_depth_map *map = sheet->in->map;
  const lw_frame *f = &map->frame;
  double scale = sheet->spread.pt_per_m;
  double i = ((x_pt - lw_sheet_x(sheet, f->x0_m)) / scale) / f->step_m;
  double j = ((lw_sheet_y(sheet, f->y0_m) - y_pt) / scale) / f->step_m;
  if (!(i >= 0 && j >= 0 && i < (double)(f->nx - 1) && j < (double)(f->ny - 1))) {
    return 0;
  }
  size_t at = (size_t)j * f->nx + (size_t)i;
  double east = (double)map->depth_m[at + 1] - (double)map->depth_m[at];
  double north = (double)map->depth_m[at + f->nx] - (double)map->depth_m[at];
  double slope = hypot(east, north) / f->step_m;
  size_t k = sheet->first;
  double interval = sheet->in->contour_count > k + 1
                        ? sheet->in->contours[k + 1].depth_m - sheet->in->contours[k].depth_m
                        : sheet->deepest_m;
  return isfinite(slope) ? interval / fmax(slope, 1e-6) * scale : 0;
}

static bool far_from_its_like(const lw_sheet *sheet, size_t contour, const lw_tile *tile)
{
  for (size_t i = 0; i < sheet->label_count; i++) {
    const lw_contour_label *other = &sheet->labels[i];
    if (other->contour == contour &&
        hypot(other->tile.x - tile->x, other->tile.y - tile->y) < same_apart_pt) {
      return false;
    }
  }
  return true;
}

static bool inside_frame(const lw_sheet *sheet, const lw_tile *tile)
{
  const lw_rect *f = &sheet->spread.frame;
  double reach = hypot(tile->width, tile->height) / 2;
  return tile->x - reach > f->x && tile->x + reach < lw_rect_right(f) && tile->y - reach > f->y &&
         tile->y + reach < lw_rect_bottom(f);
}

/* How well the label would stand at step `k` of the walk: 0 not at all. */
static double worth(const lw_sheet *sheet, const walk *w, size_t k, lw_tile *tile)
{
  size_t half = (size_t)ceil(tile->width / 2 / w->step);
  size_t a = (k + w->count - half % w->count) % w->count;
  size_t b = (k + half) % w->count;
  double across = w->at[b][0] - w->at[a][0];
  double down = w->at[b][1] - w->at[a][1];
  double straight = hypot(across, down) / (2 * (double)half * w->step);
  if (straight < straight_least) {
    return 0;
  }
  tile->angle = across < 0 ? atan2(-down, -across) : atan2(down, across);
  tile->x = (w->at[a][0] + w->at[b][0]) / 4 + w->at[k][0] / 2;
  tile->y = (w->at[a][1] + w->at[b][1]) / 4 + w->at[k][1] / 2;
  double room = fmin(2, room_at(sheet, tile->x, tile->y) / tile->height);
  return (straight - straight_least) * 4 + cos(tile->angle) + room;
}

static bool best_place(const lw_sheet *sheet, const walk *w, size_t from, size_t to, size_t contour,
                       double room_least, lw_tile *out)
{
  double best = 0;
  for (size_t k = from; k < to; k++) {
    lw_tile tile = *out;
    double score = worth(sheet, w, k, &tile);
    if (score > best && inside_frame(sheet, &tile) &&
        room_at(sheet, tile.x, tile.y) >= room_least * tile.height && lw_tiles_free(&sheet->taken, &tile) &&
        far_from_its_like(sheet, contour, &tile)) {
      best = score;
      out->x = tile.x;
      out->y = tile.y;
      out->angle = tile.angle;
    }
  }
  return best > 0;
}

static void label_ring(lw_sheet *sheet, size_t contour, const lw_contour_ring *ring, double room_least,
                       walk *w)
{
  double length = ring_length(sheet, ring);
  if (length < ring_least_pt) {
    return;
  }
  const lw_contour *line = &sheet->in->contours[contour];
  lw_contour_label label = {.contour = contour};
  char number[LW_NUMBER_MAX];
  (void)snprintf(label.text, sizeof label.text, "%s",
                 lw_sheet_depth(sheet, line->depth_m - sheet->in->down_m, number));
  lw_type type = {.size_pt = label_pt};
  lw_extent extent = lw_pen_measure(sheet->pen, label.text, &type);
  walk_ring(sheet, ring, length, w);
  size_t wanted = 1 + (size_t)(length / one_label_pt);
  for (size_t i = 0; i < wanted && sheet->label_count < LW_LABELS_MOST; i++) {
    label.tile = (lw_tile){.width = extent.width_pt + 2.4, .height = extent.height_pt * 0.82};
    size_t from = i * w->count / wanted;
    size_t to = (i + 1) * w->count / wanted;
    if (best_place(sheet, w, from, to, contour, room_least, &label.tile) &&
        lw_tiles_keep(&sheet->taken, &label.tile)) {
      sheet->labels[sheet->label_count++] = label;
    }
  }
}

static bool bounds_class(const lw_sheet *sheet, size_t contour)
{
  return (contour - sheet->first + 1) % sheet->every == 0;
}

void lw_contours_place(lw_sheet *sheet)
{
  static const double room_of_bounds = 0.5, room_of_others = 1.1;
  walk w = {.at = lw_arena_alloc(sheet->arena, WALK_MOST, sizeof *w.at)};
  for (int pass = 0; pass < 2 && w.at; pass++) {
    for (size_t k = sheet->first; k < sheet->in->contour_count; k++) {
      const lw_contour *line = &sheet->in->contours[k];
      bool turn = bounds_class(sheet, k) == (pass == 0);
      for (size_t r = 0; turn && r < line->ring_count; r++) {
        label_ring(sheet, k, &line->rings[r], pass == 0 ? room_of_bounds : room_of_others, &w);
      }
    }
  }
}

void lw_labels_clip(lw_sheet *sheet)
{
  const lw_cairo *c = sheet->pen->c;
  cairo_t *cr = sheet->pen->cr;
  const lw_rect *f = &sheet->spread.frame;
  c->cairo_set_fill_rule(cr, CAIRO_FILL_RULE_EVEN_ODD);
  c->cairo_rectangle(cr, f->x, f->y, f->width, f->height);
  for (size_t i = 0; i < sheet->label_count; i++) {
    double corner[8];
    lw_tile_corners(&sheet->labels[i].tile, corner);
    c->cairo_move_to(cr, corner[0], corner[1]);
    for (size_t k = 1; k < 4; k++) {
      c->cairo_line_to(cr, corner[2 * k], corner[2 * k + 1]);
    }
    c->cairo_close_path(cr);
  }
  c->cairo_clip(cr);
}

static void stroke_contour(lw_sheet *sheet, const lw_contour *line, double width)
{
  for (size_t r = 0; r < line->ring_count; r++) {
    lw_sheet_ring(sheet, line->rings[r].spots, line->rings[r].count, true);
  }
  sheet->pen->c->cairo_set_line_width(sheet->pen->cr, width);
  sheet->pen->c->cairo_stroke(sheet->pen->cr);
}

static void draw_shore(lw_sheet *sheet)
{
  const lw_cairo *c = sheet->pen->c;
  lw_pen_ink(sheet->pen, lw_sheet_ink());
  lw_sheet_rings(sheet, &sheet->in->shore);
  bool low = sheet->waterline != SIZE_MAX;
  c->cairo_set_line_width(sheet->pen->cr, low ? 0.6 : 1.1);
  if (low) {
    c->cairo_set_dash(sheet->pen->cr, (const double[]){3, 2}, 2, 0);
  }
  c->cairo_stroke(sheet->pen->cr);
  c->cairo_set_dash(sheet->pen->cr, NULL, 0, 0);
  if (low) {
    stroke_contour(sheet, &sheet->in->contours[sheet->waterline], 1.1);
  }
}

static void write_labels(lw_sheet *sheet)
{
  lw_type type = {.size_pt = label_pt};
  lw_pen_ink(sheet->pen, lw_sheet_ink());
  for (size_t i = 0; i < sheet->label_count; i++) {
    const lw_contour_label *label = &sheet->labels[i];
    lw_pen_label(sheet->pen, label->text, &type, label->tile.x, label->tile.y, label->tile.angle, NULL);
  }
}

void lw_contours_draw(lw_sheet *sheet)
{
  const lw_cairo *c = sheet->pen->c;
  c->cairo_save(sheet->pen->cr);
  lw_labels_clip(sheet);
  lw_pen_ink(sheet->pen, lw_sheet_contour());
  for (size_t k = sheet->first; k < sheet->in->contour_count; k++) {
    stroke_contour(sheet, &sheet->in->contours[k], bounds_class(sheet, k) ? 0.7 : 0.35);
  }
  draw_shore(sheet);
  c->cairo_restore(sheet->pen->cr);
  write_labels(sheet);
}
