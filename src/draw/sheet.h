/* SPDX-License-Identifier: Apache-2.0 */
/* The sheet while it is being drawn: paper, scale, where the map lies, which contours are shown and how,
 * and the room taken by labels. Units are points from the paper's upper left corner. Private to draw. */
#ifndef LW_DRAW_SHEET_H
#define LW_DRAW_SHEET_H

#include "draw/boxes.h"
#include "draw/lake_map.h"
#include "draw/pen.h"

#include <stdbool.h>

typedef struct lw_rect {
  double x, y, width, height;
} lw_rect;

/* The paper, turned to fit the water; `denominator` is the scale's. */
typedef struct lw_spread {
  double width_pt, height_pt;
  bool landscape;
  lw_rect frame; /* the map lies in it */
  lw_rect panel; /* legend, scale, facts */
  double denominator, pt_per_m;
} lw_spread;

enum { LW_CLASSES_MOST = 8, LW_LABELS_MOST = 1500, LW_CONTOUR_TEXT = 40 };

/* A label that broke into a contour line. */
typedef struct lw_contour_label {
  lw_tile tile;
  size_t contour;
  char text[LW_CONTOUR_TEXT];
} lw_contour_label;

typedef struct lw_zone_label {
  bool shown, led; /* led: a line leads from the place to the words */
  double anchor_x, anchor_y;
  lw_tile tile;
  const char *text;
} lw_zone_label;

typedef struct lw_sheet {
  const lw_lake_map *in;
  lw_pen *pen;
  lw_arena *arena;
  lw_spread spread;
  lw_box ground; /* what must be on the map, m */
  /* contours drawn: `waterline` (SIZE_MAX: the shore) and first to contour_count - 1 */
  size_t waterline, first, every; /* each `every`-th bounds a class of shading */
  size_t classes;
  double deepest_m; /* of the water as it stands */
  lw_tiles taken;
  lw_contour_label *labels; /* LW_LABELS_MOST */
  size_t label_count;
  lw_zone_label *zone_labels; /* one a zone */
  lw_zone_label deepest;
} lw_sheet;

/* The sheet's colours. */
lw_ink lw_sheet_ink(void);     /* lines and words */
lw_ink lw_sheet_soft(void);    /* small words */
lw_ink lw_sheet_ground(void);  /* the land */
lw_ink lw_sheet_dry(void);     /* bed above the waterline */
lw_ink lw_sheet_reed(void);    /* zones */
lw_ink lw_sheet_alarm(void);   /* what can hurt */
lw_ink lw_sheet_contour(void); /* contour lines */
lw_ink lw_sheet_water(size_t index, size_t classes);

/* Chooses paper side and scale. LW_LIMIT for waters that no scale fits. */
LW_MUST_CHECK lw_status lw_spread_plan(lw_spread *out, const lw_box *ground, lw_paper paper, lw_error *err);

/* Plane (m) to paper (pt). */
double lw_sheet_x(const lw_sheet *sheet, double x_m);
double lw_sheet_y(const lw_sheet *sheet, double y_m);
double lw_rect_right(const lw_rect *rect);
double lw_rect_bottom(const lw_rect *rect);

/* Metres to the person's unit of depth, as words: "2.5". And the unit: "ft", "m". */
const char *lw_sheet_depth(const lw_sheet *sheet, double depth_m, char out[LW_NUMBER_MAX]);
const char *lw_sheet_unit(const lw_sheet *sheet);

/* A ring or line as the present path, spots less than a hair (0.04 pt) off the straight line left out. */
void lw_sheet_ring(lw_sheet *sheet, const lw_spot *spots, size_t count, bool closed);
void lw_sheet_rings(lw_sheet *sheet, const lw_shore *shore);

/* The steps of drawing, in order: room for labels first, because contour lines break at their labels. */
void lw_zones_place(lw_sheet *sheet);
void lw_contours_place(lw_sheet *sheet);
/* From here on nothing is drawn where contour labels stand. */
void lw_labels_clip(lw_sheet *sheet);
void lw_water_draw(lw_sheet *sheet);
void lw_contours_draw(lw_sheet *sheet);
void lw_zones_draw(lw_sheet *sheet);
void lw_margin_draw(lw_sheet *sheet);

#endif
