/* SPDX-License-Identifier: Apache-2.0 */
/* From a basin sheet to the map on paper: the words beside it. Private to work/basin*. */
#ifndef LW_WORK_BASIN_PAPER_H
#define LW_WORK_BASIN_PAPER_H

#include "draw/picture.h"
#include "work/basin.h"

typedef struct lw_basin_paper {
  const lw_basin_sheet *sheet;
  double interval_m, down_m;
  lw_picture_format format;
  const char *paper; /* "letter", "a4" or NULL */
} lw_basin_paper;

LW_MUST_CHECK lw_status lw_basin_paper_draw(lw_picture *out, const lw_basin_paper *paper, const lw_desk *desk,
                                            lw_error *err);

#endif
