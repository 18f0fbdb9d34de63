/* SPDX-License-Identifier: Apache-2.0 */
#include "work/basin_export.h"

#include "base/units.h"
#include "exchange/contour_write.h"
#include "exchange/depth_raster.h"
#include "exchange/files.h"
#include "work/basin_paper.h"

#include <string.h>

static const double down_most_m = 100;
enum { TABLE_MOST = 1 << 20 };

typedef struct job {
  const lw_desk *desk;
  const char *path;
  const lw_basin_file *how;
  lw_basin_sheet *sheet;
  double interval_m, down_m;
} job;

typedef struct ending {
  const char *text;
  const char *holds; /* what the file then holds */
  lw_status (*write)(const job *j, lw_error *err);
} ending;

static lw_status write_raster(const job *j, lw_error *err)
{
  const lw_depth_raster raster = {
      .map = &j->sheet->bed.basin.map, .plane = j->sheet->ground.plane, .down_m = j->down_m};
  return lw_depth_raster_write(j->path, &raster, j->desk->geo_program, j->desk->arena, err);
}

static lw_status write_contours(const job *j, lw_error *err)
{
  lw_contour *contours = NULL;
  size_t count = 0;
  const lw_basin_lines lines = {.interval_m = j->interval_m, .down_m = j->down_m};
  lw_status s = lw_basin_contours(&contours, &count, j->sheet, &lines, j->desk, err);
  if (s == LW_OK && count == 0) {
    s = lw_fail(err, LW_INVALID,
                "no contour lies in this water at that interval and level: take a smaller one");
  }
  if (s != LW_OK) {
    return s;
  }
  const lw_contour_set set = {.contours = contours,
                              .count = count,
                              .plane = j->sheet->ground.plane,
                              .down_m = j->down_m,
                              .units = j->sheet->units};
  return lw_contour_file(j->path, &set, j->desk->geo_program, j->desk->arena, err);
}

static lw_status write_table(const job *j, lw_error *err)
{
  lw_basin_sheet *sheet = j->sheet;
  lw_text text = LW_TEXT(TABLE_MOST);
  lw_curve_row rows[LW_BASIN_ROWS];
  lw_status s = lw_basin_curve(sheet, j->desk->arena, err);
  for (size_t i = 0; i < sheet->curve_count; i++) {
    const lw_pool *p = &sheet->curve[i];
    rows[i] = (lw_curve_row){.level_m = p->level_m,
                             .area_m2 = p->area_m2,
                             .volume_m3 = p->volume.value_m3,
                             .volume_low_m3 = p->volume.low_m3,
                             .volume_high_m3 = p->volume.high_m3};
  }
  s = s == LW_OK ? lw_curve_csv(&text, rows, sheet->curve_count, sheet->units, err) : s;
  s = s == LW_OK ? lw_file_write(j->path, lw_text_view(&text), text.length, 0, err) : s;
  lw_text_free(&text);
  return s;
}

static lw_status write_picture(const job *j, lw_picture_format format, lw_error *err)
{
  lw_picture picture = {.length = 0};
  const lw_basin_paper paper = {.sheet = j->sheet,
                                .interval_m = j->interval_m,
                                .down_m = j->down_m,
                                .format = format,
                                .paper = j->how->paper};
  lw_status s = lw_basin_paper_draw(&picture, &paper, j->desk, err);
  return s == LW_OK ? lw_file_write(j->path, picture.bytes, picture.length, 0, err) : s;
}

static lw_status write_svg(const job *j, lw_error *err)
{
  return write_picture(j, LW_PICTURE_SVG, err);
}

static lw_status write_png(const job *j, lw_error *err)
{
  return write_picture(j, LW_PICTURE_PNG, err);
}

static lw_status write_pdf(const job *j, lw_error *err)
{
  return write_picture(j, LW_PICTURE_PDF, err);
}

static const ending endings[] = {
    {".tif", "depths as a raster", write_raster},
    {".tiff", "depths as a raster", write_raster},
    {".geojson", "depth contours", write_contours},
    {".json", "depth contours", write_contours},
    {".gpkg", "depth contours", write_contours},
    {".kml", "depth contours", write_contours},
    {".gpx", "depth contours", write_contours},
    {".shp", "depth contours", write_contours},
    {".csv", "area and volume by level", write_table},
    {".svg", "the map", write_svg},
    {".png", "the map", write_png},
    {".pdf", "the map", write_pdf},
};

static const ending *find_ending(const char *path)
{
  const char *slash = strrchr(path, '/');
  const char *dot = strrchr(slash ? slash : path, '.');
  for (size_t i = 0; dot && i < sizeof endings / sizeof endings[0]; i++) {
    if (lw_same_word(dot, endings[i].text)) {
      return &endings[i];
    }
  }
  return NULL;
}

static lw_status open_job(job *j, const char *water, lw_error *err)
{
  lw_basin_options options;
  const lw_basin_words words = {.level = j->how->level};
  lw_status s = lw_basin_options_read(&options, &words, err);
  if (s == LW_OK && !(options.level_m <= 0 && options.level_m >= -down_most_m)) {
    s = lw_fail(err, LW_INVALID,
                "level: '%.40s' is outside -100 to 0 m; a file shows the water at full pool or below it",
                j->how->level);
  }
  if (s == LW_OK && j->how->interval) {
    s = lw_quantity_parse(&j->interval_m, "interval", j->how->interval, "m", err);
  }
  s = s == LW_OK ? lw_work_basin_map(j->sheet, j->desk, water, 0, &options, err) : s;
  if (s != LW_OK) {
    return s;
  }
  j->down_m = options.level_m < 0 ? -options.level_m : 0;
  if (!j->how->interval) {
    j->interval_m = lw_basin_interval_m(&j->sheet->bed.basin, j->sheet->units);
  }
  return j->down_m < j->sheet->bed.basin.max_depth_m
             ? LW_OK
             : lw_fail(err, LW_INVALID,
                       "level: '%.40s' is under the deepest place of %s: nothing is left to show",
                       j->how->level, j->sheet->water.name);
}

lw_status lw_work_basin_export(const char **out_shown, const lw_desk *desk, const char *water,
                               const char *path, const lw_basin_file *how, lw_error *err)
{
  const ending *as = find_ending(path);
  job j = {.desk = desk, .path = path, .how = how, .sheet = LW_NEW(desk->arena, lw_basin_sheet, 1)};
  if (!as) {
    return lw_fail(
        err, LW_INVALID,
        "'%.100s': a file of a water's shape ends in .tif (depths), .geojson, .gpkg, .kml, .gpx or .shp "
        "(contours), .csv (area and volume) or .svg, .png, .pdf (the map)",
        path);
  }
  if (!j.sheet) {
    return lw_fail(err, LW_MEMORY, "no memory for the water's shape");
  }
  lw_status s = open_job(&j, water, err);
  s = s == LW_OK ? as->write(&j, err) : s;
  if (s == LW_OK) {
    *out_shown = lw_arena_format(desk->arena, "%s: %s written to %s", j.sheet->water.name, as->holds, path);
    s = *out_shown ? LW_OK : lw_fail(err, LW_MEMORY, "no memory for the answer");
  }
  lw_basin_close(j.sheet);
  return s;
}
