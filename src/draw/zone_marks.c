/* SPDX-License-Identifier: Apache-2.0 */
#include "draw/zone_marks.h"

#include <math.h>
#include <string.h>
#include <strings.h>

typedef enum mark { MARK_DOT, MARK_CROSS, MARK_SQUARE, MARK_TRIANGLE, MARK_OPEN_TRIANGLE, MARK_RING } mark;

static const struct {
  const char *kind, *word;
  mark mark;
} kinds[] = {
    {"bay", "bay", MARK_DOT},
    {"hazard", "hazard", MARK_CROSS},
    {"channel", "channel", MARK_DOT},
    {"launch", "launch", MARK_SQUARE},
    {"inlet", "inlet", MARK_TRIANGLE},
    {"spillway", "spillway", MARK_OPEN_TRIANGLE},
    {"swimming", "swimming", MARK_RING},
    {"platform", "platform", MARK_DOT},
};

static size_t kind_index(const char *kind)
{
  size_t count = sizeof kinds / sizeof *kinds;
  size_t i = 0;
  while (i < count && strcmp(kinds[i].kind, kind) != 0) {
    i++;
  }
  return i < count ? i : count;
}

bool lw_zone_kind_known(const char *kind)
{
  return kind && kind_index(kind) < sizeof kinds / sizeof *kinds;
}

bool lw_zone_hurts(const lw_map_zone *zone)
{
  return strcmp(zone->kind, "hazard") == 0;
}

static bool says(const char *name, const char *word)
{
  size_t n = strlen(word);
  for (const char *at = name; *at; at++) {
    if (strncasecmp(at, word, n) == 0) {
      return true;
    }
  }
  return false;
}

const char *lw_zone_words(const lw_map_zone *zone, lw_arena *arena)
{
  const char *word = kinds[kind_index(zone->kind)].word;
  if (zone->name[0] == '\0') {
    return lw_arena_copy(arena, word);
  }
  return says(zone->name, word) ? lw_arena_copy(arena, zone->name)
                                : lw_arena_format(arena, "%s (%s)", zone->name, word);
}

/* --- marks --- */

static void three_sides(lw_pen *pen, double x, double y, double half)
{
  pen->c->cairo_move_to(pen->cr, x, y - half);
  pen->c->cairo_line_to(pen->cr, x + half, y + half);
  pen->c->cairo_line_to(pen->cr, x - half, y + half);
  pen->c->cairo_close_path(pen->cr);
}

static void crossed(lw_pen *pen, double x, double y, double half)
{
  pen->c->cairo_move_to(pen->cr, x - half, y - half);
  pen->c->cairo_line_to(pen->cr, x + half, y + half);
  pen->c->cairo_move_to(pen->cr, x + half, y - half);
  pen->c->cairo_line_to(pen->cr, x - half, y + half);
}

static void draw_mark(lw_pen *pen, mark kind, double x, double y, double size)
{
  const double half = size / 2;
  bool filled = kind == MARK_DOT || kind == MARK_SQUARE || kind == MARK_TRIANGLE;
  pen->c->cairo_new_sub_path(pen->cr);
  switch (kind) {
  case MARK_DOT:
    pen->c->cairo_arc(pen->cr, x, y, half * 0.7, 0, 2 * 3.14159265358979);
    break;
  case MARK_RING:
    pen->c->cairo_arc(pen->cr, x, y, half, 0, 2 * 3.14159265358979);
    break;
  case MARK_SQUARE:
    pen->c->cairo_rectangle(pen->cr, x - half * 0.8, y - half * 0.8, size * 0.8, size * 0.8);
    break;
  case MARK_TRIANGLE:
  case MARK_OPEN_TRIANGLE:
    three_sides(pen, x, y, half);
    break;
  case MARK_CROSS:
    crossed(pen, x, y, half);
    break;
  }
  pen->c->cairo_set_line_width(pen->cr, kind == MARK_CROSS ? 1.8 : 1.2);
  if (filled) {
    pen->c->cairo_fill(pen->cr);
  } else {
    pen->c->cairo_stroke(pen->cr);
  }
}

/* Slanting lines over an area, so that it also shows in one ink. */
static void hatch(lw_sheet *sheet, const lw_shore *area)
{
  static const double apart_pt = 4;
  const lw_rect *f = &sheet->spread.frame;
  const lw_cairo *c = sheet->pen->c;
  c->cairo_save(sheet->pen->cr);
  lw_labels_clip(sheet);
  c->cairo_set_fill_rule(sheet->pen->cr, CAIRO_FILL_RULE_EVEN_ODD);
  lw_sheet_rings(sheet, area);
  c->cairo_clip(sheet->pen->cr);
  int lines = (int)ceil((f->width + f->height) / apart_pt);
  for (int i = 0; i < lines; i++) {
    double x = f->x - f->height + i * apart_pt;
    c->cairo_move_to(sheet->pen->cr, x, lw_rect_bottom(f));
    c->cairo_line_to(sheet->pen->cr, x + f->height, f->y);
  }
  c->cairo_set_line_width(sheet->pen->cr, 0.4);
  c->cairo_stroke(sheet->pen->cr);
  c->cairo_restore(sheet->pen->cr);
}

static void draw_area(lw_sheet *sheet, const lw_map_zone *zone)
{
  const lw_cairo *c = sheet->pen->c;
  if (lw_zone_hurts(zone)) {
    hatch(sheet, &zone->place);
  }
  lw_sheet_rings(sheet, &zone->place);
  c->cairo_set_line_width(sheet->pen->cr, 0.9);
  c->cairo_set_dash(sheet->pen->cr, (const double[]){4, 2}, 2, 0);
  c->cairo_stroke(sheet->pen->cr);
  c->cairo_set_dash(sheet->pen->cr, NULL, 0, 0);
}

static void draw_line(lw_sheet *sheet, const lw_map_zone *zone)
{
  const lw_cairo *c = sheet->pen->c;
  const lw_shore *p = &zone->place;
  for (size_t r = 0; r < p->ring_count; r++) {
    lw_sheet_ring(sheet, p->spots + p->ring_start[r], p->ring_start[r + 1] - p->ring_start[r], false);
  }
  c->cairo_set_line_width(sheet->pen->cr, lw_zone_hurts(zone) ? 1.6 : 1);
  c->cairo_set_dash(sheet->pen->cr, (const double[]){6, 2, 1, 2}, 4, 0);
  c->cairo_stroke(sheet->pen->cr);
  c->cairo_set_dash(sheet->pen->cr, NULL, 0, 0);
}

void lw_zone_mark(lw_sheet *sheet, const lw_map_zone *zone, double size)
{
  lw_pen_ink(sheet->pen, lw_zone_hurts(zone) ? lw_sheet_alarm() : lw_sheet_reed());
  switch (zone->shape) {
  case LW_ZONE_AREA:
    draw_area(sheet, zone);
    break;
  case LW_ZONE_LINE:
    draw_line(sheet, zone);
    break;
  case LW_ZONE_SPOT:
    for (size_t i = 0; i < zone->place.spot_count; i++) {
      draw_mark(sheet->pen, kinds[kind_index(zone->kind)].mark, lw_sheet_x(sheet, zone->place.spots[i].x_m),
                lw_sheet_y(sheet, zone->place.spots[i].y_m), size);
    }
    break;
  }
}
