/* SPDX-License-Identifier: Apache-2.0 */
/* What Cairo leaves out of its SVG and PNG files. Private to draw. */
#ifndef LW_DRAW_FINISH_H
#define LW_DRAW_FINISH_H

#include "base/arena.h"
#include "base/status.h"
#include "base/text.h"

/* With <title> and <desc>, and with the numbers Cairo counts through the process ("surface17")
 * beginning at 0. */
LW_MUST_CHECK lw_status lw_finish_svg(const lw_text *svg, const char *title, const char *summary,
                                      lw_arena *arena, char **out, size_t *out_length, lw_error *err);

/* With a pHYs chunk (W3C PNG, 11.3.5.3), so that 100 % is the true size. */
LW_MUST_CHECK lw_status lw_finish_png(const lw_text *png, int dots_per_inch, lw_arena *arena, char **out,
                                      size_t *out_length, lw_error *err);

#endif
