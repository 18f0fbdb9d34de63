/* SPDX-License-Identifier: Apache-2.0 */
/* What the page asks of a water's shape. */
#include "work/api_routes.h"

#include "base/units.h"
#include "work/basin.h"

enum { PAGE_NODES = 400, PAGE_SOUNDINGS = 6000 };

#define ARGUMENTS                                                                                            \
  const lw_api_request *request, const lw_api_target *target, const lw_desk *desk, json_t **out, lw_error *err

static lw_basin_sheet *new_sheet(const lw_desk *desk, lw_error *err)
{
  lw_basin_sheet *sheet = LW_NEW(desk->arena, lw_basin_sheet, 1);
  if (!sheet) {
    (void)lw_fail(err, LW_MEMORY, "no memory for the water's shape");
  }
  return sheet;
}

/* Opens the water's map at the step asked for. */
static lw_status open_map(lw_basin_sheet **out, const lw_api_request *request, const lw_api_target *target,
                          const lw_desk *desk, lw_error *err)
{
  lw_basin_options options;
  const lw_basin_words words = {.step = lw_api_query(request, "step")};
  lw_status s = lw_basin_options_read(&options, &words, err);
  *out = new_sheet(desk, err);
  if (!*out) {
    return LW_MEMORY;
  }
  return s == LW_OK ? lw_work_basin_map(*out, desk, NULL, target->id, &options, err) : s;
}

static lw_status close_map(lw_basin_sheet *sheet, lw_status s)
{
  if (sheet) {
    lw_basin_close(sheet);
  }
  return s;
}

lw_status lw_api_basin(ARGUMENTS)
{
  lw_basin_options options;
  const lw_basin_words words = {.level = lw_api_query(request, "level"),
                                .step = lw_api_query(request, "step"),
                                .at = lw_api_query(request, "at"),
                                .thermocline = lw_api_query(request, "thermocline"),
                                .shallower = lw_api_query(request, "shallower")};
  lw_status s = lw_basin_options_read(&options, &words, err);
  lw_basin_sheet *sheet = s == LW_OK ? new_sheet(desk, err) : NULL;
  if (!sheet) {
    return s == LW_OK ? LW_MEMORY : s;
  }
  s = lw_work_basin(sheet, desk, NULL, target->id, &options, err);
  *out = s == LW_OK ? lw_basin_json(sheet) : NULL;
  return close_map(sheet, s);
}

lw_status lw_api_basin_map(ARGUMENTS)
{
  lw_basin_sheet *sheet = NULL;
  lw_status s = open_map(&sheet, request, target, desk, err);
  s = s == LW_OK ? lw_basin_map_json(out, sheet, PAGE_NODES, desk, err) : s;
  return close_map(sheet, s);
}

lw_status lw_api_basin_contours(ARGUMENTS)
{
  lw_basin_sheet *sheet = NULL;
  double interval_m = 0;
  const char *text = lw_api_query(request, "interval");
  lw_status s = text ? lw_quantity_parse(&interval_m, "interval", text, "m", err) : LW_OK;
  s = s == LW_OK ? open_map(&sheet, request, target, desk, err) : s;
  if (s == LW_OK && !text) {
    interval_m = lw_basin_interval_m(&sheet->bed.basin, sheet->units);
  }
  s = s == LW_OK ? lw_basin_contours_json(out, sheet, interval_m, desk, err) : s;
  return close_map(sheet, s);
}

lw_status lw_api_soundings(ARGUMENTS)
{
  lw_basin_sheet *sheet = NULL;
  lw_status s = open_map(&sheet, request, target, desk, err);
  s = s == LW_OK ? lw_basin_soundings_json(out, sheet, PAGE_SOUNDINGS, desk, err) : s;
  return close_map(sheet, s);
}
