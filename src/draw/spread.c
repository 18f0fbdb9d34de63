/* SPDX-License-Identifier: Apache-2.0 */
#include "draw/sheet.h"

#include <math.h>

static const double margin_pt = 36;
static const double title_pt = 50;   /* above the frame */
static const double caution_pt = 34; /* below everything */
static const double gap_pt = 10;
static const double side_panel_pt = 164;   /* landscape: right of the frame */
static const double bottom_panel_pt = 174; /* portrait: below it */
static const double clear_pt = 14;         /* round the water inside the frame */
static const double points_per_metre = 72 / 0.0254;
static const double denominator_least = 50;

static void set_rects(lw_spread *s)
{
  double width = s->width_pt - 2 * margin_pt;
  double height = s->height_pt - 2 * margin_pt - title_pt - caution_pt - gap_pt;
  s->frame = (lw_rect){margin_pt, margin_pt + title_pt, width, height};
  if (s->landscape) {
    s->frame.width -= side_panel_pt + gap_pt;
    s->panel = (lw_rect){lw_rect_right(&s->frame) + gap_pt, s->frame.y, side_panel_pt, height};
  } else {
    s->frame.height -= bottom_panel_pt + gap_pt;
    s->panel = (lw_rect){margin_pt, lw_rect_bottom(&s->frame) + gap_pt, width, bottom_panel_pt};
  }
}

/* The next round scale that is not smaller than `least`; 0 when there is none. Those of the trade: 1:1200
 * is 100 ft an inch, 1:2400 200 ft. */
static double round_scale(double least)
{
  static const double rounds[] = {1, 1.2, 1.5, 2, 2.4, 2.5, 3, 4, 4.8, 5, 6, 8};
  static const double tens[] = {10, 1e2, 1e3, 1e4, 1e5};
  for (size_t ten = 0; ten < sizeof tens / sizeof *tens; ten++) {
    for (size_t i = 0; i < sizeof rounds / sizeof *rounds; i++) {
      double denominator = round(rounds[i] * tens[ten]);
      if (denominator >= least * (1 - 1e-12) && denominator >= denominator_least) {
        return denominator;
      }
    }
  }
  return 0;
}

static lw_spread plan_side(double width_pt, double height_pt, const lw_box *ground)
{
  lw_spread s = {.width_pt = width_pt, .height_pt = height_pt, .landscape = width_pt > height_pt};
  set_rects(&s);
  double across = (ground->east_m - ground->west_m) / (s.frame.width - 2 * clear_pt);
  double along = (ground->north_m - ground->south_m) / (s.frame.height - 2 * clear_pt);
  s.denominator = round_scale(fmax(across, along) * points_per_metre);
  s.pt_per_m = s.denominator > 0 ? points_per_metre / s.denominator : 0;
  return s;
}

lw_status lw_spread_plan(lw_spread *out, const lw_box *ground, lw_paper paper, lw_error *err)
{
  double shorter = paper == LW_PAPER_A4 ? 210 * points_per_metre / 1000 : 612;
  double longer = paper == LW_PAPER_A4 ? 297 * points_per_metre / 1000 : 792;
  lw_spread wide = plan_side(longer, shorter, ground);
  lw_spread tall = plan_side(shorter, longer, ground);
  bool wider = ground->east_m - ground->west_m >= ground->north_m - ground->south_m;
  bool same = wide.denominator == tall.denominator;
  bool lies =
      same ? wider : tall.denominator <= 0 || (wide.denominator > 0 && wide.denominator < tall.denominator);
  *out = lies ? wide : tall;
  return out->denominator > 0
             ? LW_OK
             : lw_fail(err, LW_LIMIT,
                       "the water is %.0f km by %.0f km, too large for a map on one sheet; check the outline",
                       (ground->east_m - ground->west_m) / 1000, (ground->north_m - ground->south_m) / 1000);
}
