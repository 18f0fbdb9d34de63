/* SPDX-License-Identifier: Apache-2.0 */
/* Cairo and Pango, opened on first use and kept: tables of typed pointers to their functions (linking
 * them would cost every start of the program tens of milliseconds). Private to draw. Safe from several
 * threads. */
#ifndef LW_DRAW_LIBRARIES_H
#define LW_DRAW_LIBRARIES_H

#include "base/status.h"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <cairo.h>
#include <pango/pangocairo.h>

/* The formatter (version 14) never settles on these lists. */
/* clang-format off */
#define LW_CAIRO_FUNCTIONS(X)                                                                                \
  X(cairo_create) X(cairo_destroy) X(cairo_status) X(cairo_status_to_string) X(cairo_save)                   \
  X(cairo_restore) X(cairo_scale) X(cairo_translate) X(cairo_rotate) X(cairo_new_path) X(cairo_new_sub_path) \
  X(cairo_move_to) X(cairo_line_to) X(cairo_arc) X(cairo_close_path) X(cairo_rectangle) X(cairo_fill)        \
  X(cairo_fill_preserve) X(cairo_stroke) X(cairo_stroke_preserve) X(cairo_paint) X(cairo_clip)               \
  X(cairo_set_fill_rule) X(cairo_set_line_width) X(cairo_set_line_cap) X(cairo_set_line_join)                \
  X(cairo_set_dash) X(cairo_set_source_rgb) X(cairo_set_source_rgba) X(cairo_surface_destroy)                \
  X(cairo_surface_finish) X(cairo_surface_status) X(cairo_surface_write_to_png_stream)                       \
  X(cairo_image_surface_create) X(cairo_svg_surface_create_for_stream)                                       \
  X(cairo_pdf_surface_create_for_stream) X(cairo_pdf_surface_set_metadata) X(cairo_font_options_create)      \
  X(cairo_font_options_destroy) X(cairo_font_options_set_antialias) X(cairo_font_options_set_hint_style)     \
  X(cairo_font_options_set_hint_metrics)

#define LW_PANGO_FUNCTIONS(X)                                                                                \
  X(pango_font_map_create_context) X(pango_font_description_new)             \
  X(pango_font_description_free) X(pango_font_description_set_family)                                        \
  X(pango_font_description_set_absolute_size) X(pango_font_description_set_weight)                           \
  X(pango_font_description_set_style) X(pango_layout_new) X(pango_layout_set_text)                           \
  X(pango_layout_set_font_description) X(pango_layout_set_width) X(pango_layout_set_height)                  \
  X(pango_layout_set_wrap) X(pango_layout_set_ellipsize) X(pango_layout_set_alignment)                       \
  X(pango_layout_get_extents) X(pango_layout_get_unknown_glyphs_count)

#define LW_PANGOCAIRO_FUNCTIONS(X)                                                                           \
  X(pango_cairo_font_map_new) X(pango_cairo_context_set_resolution) X(pango_cairo_context_set_font_options)  \
  X(pango_cairo_update_layout) X(pango_cairo_show_layout) X(pango_cairo_layout_path)

#define LW_GLIB_FUNCTIONS(X) X(g_object_unref)
/* clang-format on */

#define LW_DRAW_MEMBER(function) __typeof__(&function) function;

typedef struct lw_cairo {
  LW_CAIRO_FUNCTIONS(LW_DRAW_MEMBER)
} lw_cairo;

typedef struct lw_pango {
  LW_PANGO_FUNCTIONS(LW_DRAW_MEMBER)
} lw_pango;

typedef struct lw_pangocairo {
  LW_PANGOCAIRO_FUNCTIONS(LW_DRAW_MEMBER)
} lw_pangocairo;

typedef struct lw_glib {
  LW_GLIB_FUNCTIONS(LW_DRAW_MEMBER)
} lw_glib;

typedef struct lw_draw_libraries {
  lw_cairo cairo;
  lw_pango pango;
  lw_pangocairo pangocairo;
  lw_glib glib;
} lw_draw_libraries;

/* *out lives as long as the process. LW_NOT_FOUND with what to install. */
LW_MUST_CHECK lw_status lw_draw_open(const lw_draw_libraries **out, lw_error *err);

#endif
