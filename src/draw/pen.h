/* SPDX-License-Identifier: Apache-2.0 */
/* One sheet of paper to draw on: a Cairo surface for SVG, PNG or PDF whose unit is the point (1/72
 * inch), and Pango text on it. The same calls give the same bytes. Private to draw. */
#ifndef LW_DRAW_PEN_H
#define LW_DRAW_PEN_H

#include "base/arena.h"
#include "base/dates.h"
#include "base/status.h"
#include "base/text.h"
#include "draw/libraries.h"
#include "draw/picture.h"

#include <stdbool.h>

typedef struct lw_pen {
  const lw_cairo *c;
  const lw_draw_libraries *all;
  cairo_surface_t *surface;
  cairo_t *cr;
  PangoFontMap *fonts;
  PangoContext *words;
  lw_text bytes;
  lw_picture_format format;
} lw_pen;

typedef struct lw_ink {
  double red, green, blue;
} lw_ink;

/* A colour by CIE L*a*b* (D65, 2 degrees) lightness 0 to 100, chroma and hue in degrees; what the
 * screen cannot show is cut off. IEC 61966-2-1 (sRGB). */
lw_ink lw_ink_of(double lightness, double chroma, double hue_degrees);

typedef struct lw_type {
  double size_pt;
  bool bold, slanted;
  double width_pt; /* lines are broken here; 0: one line as long as it gets */
  int lines;       /* at most, the last cut with an ellipsis; 0: any number (with a width) */
  bool centred;    /* within width_pt */
} lw_type;

typedef struct lw_about {
  const char *title, *summary; /* UTF-8 */
  lw_instant made_at;
} lw_about;

/* LW_NOT_FOUND where a library or any font is missing, with what to install. Ended by lw_pen_close,
 * also after a failure. */
LW_MUST_CHECK lw_status lw_pen_open(lw_pen *pen, lw_picture_format format, double width_pt, double height_pt,
                                    const lw_about *about, lw_error *err);

/* Ends the drawing: its bytes into the arena. */
LW_MUST_CHECK lw_status lw_pen_finish(lw_pen *pen, const lw_about *about, lw_arena *arena, char **out,
                                      size_t *out_length, lw_error *err);
void lw_pen_close(lw_pen *pen);

void lw_pen_ink(lw_pen *pen, lw_ink ink);

typedef struct lw_extent {
  double width_pt, height_pt;
} lw_extent;

lw_extent lw_pen_measure(lw_pen *pen, const char *text, const lw_type *type);

/* Its upper left corner at (x, y), in the present ink. Returns its height. */
double lw_pen_text(lw_pen *pen, const char *text, const lw_type *type, double x, double y);

/* Its middle at (x, y), turned clockwise by `angle` (radians); with `halo` on a pale rim. */
void lw_pen_label(lw_pen *pen, const char *text, const lw_type *type, double x, double y, double angle,
                  const lw_ink *halo);

#endif
