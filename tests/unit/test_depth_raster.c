/* SPDX-License-Identifier: Apache-2.0 */
/* The depth map as a Cloud Optimized GeoTIFF, read back with GDAL's own programs. */
#include "export_check.h"

#include "exchange/depth_raster.h"
#include "exchange/geo_program.h"

#include <sys/stat.h>

static lw_status write_map(void **in, const lw_depth_map *map, double down_m, const char *name, lw_error *err)
{
  state *s = *in;
  const char *program = export_program();
  lw_plane *plane = export_plane(in);
  lw_depth_raster raster = {.map = map, .plane = plane, .down_m = down_m};
  lw_status status = lw_depth_raster_write(path_in(in, name), &raster, program, s->arena, err);
  lw_plane_close(plane);
  return status;
}

static bowl write_bowl(void **in, double step_m, double down_m, bool with_error)
{
  state *s = *in;
  lw_error err = {0};
  bowl b = bowl_new(s->arena, step_m, 1);
  size_t count = b.map.frame.nx * b.map.frame.ny;
  if (with_error) {
    b.map.error_m = LW_NEW(s->arena, float, count);
    for (size_t k = 0; k < count; k++) {
      b.map.error_m[k] = 0.05F + 0.001F * (float)(k % 97);
    }
  }
  lw_status status = write_map(in, &b.map, down_m, "depth.tif", &err);
  if (status != LW_OK) {
    print_error("%s\n", err.message);
  }
  assert_int_equal(status, LW_OK);
  return b;
}

static void it_is_a_cloud_optimized_geotiff(void **in)
{
  (void)write_bowl(in, 0.7, 0, true);
  const char *told = export_shown(in, "gdalinfo", "-json depth.tif");
  static const char *const wanted[] = {"\"LAYOUT\":\"COG\"",
                                       "\"COMPRESSION\":\"DEFLATE\"",
                                       "\"overviews\":[",
                                       "\"noDataValue\":-9999",
                                       "\"unit\":\"m\"",
                                       "Depth below the surface with the pool full. Not for navigation.",
                                       "One standard error of the depth",
                                       "\"type\":\"Float32\"",
                                       "Transverse Mercator",
                                       "\"AREA_OR_POINT\":\"Area\""};
  char *packed = lw_arena_copy(((state *)*in)->arena, told);
  char *to = packed; /* without the spaces round ':' and line breaks */
  for (const char *at = packed; *at; at++) {
    bool drop =
        *at == '\n' || (*at == ' ' && (at[1] == ' ' || at[-1] == ' ' || at[-1] == ':' || at[-1] == '\n'));
    if (!drop) {
      *to++ = *at;
    }
  }
  *to = '\0';
  for (size_t i = 0; i < sizeof wanted / sizeof *wanted; i++) {
    assert_holds(packed, wanted[i]);
  }
}

/* Every value of both bands, exactly; rows from the north. */
static void values_come_back(void **in)
{
  state *s = *in;
  bowl b = write_bowl(in, 2, 0.5, true);
  (void)export_shown(in, "gdal_translate", "-q -of ENVI -co INTERLEAVE=BSQ depth.tif raw.img");
  char *bytes = NULL;
  size_t length = 0;
  lw_error err = {0};
  assert_int_equal(lw_file_read(path_in(in, "raw.img"), 1 << 26, s->arena, &bytes, &length, &err), LW_OK);
  size_t nx = b.map.frame.nx, ny = b.map.frame.ny, wet = 0;
  assert_int_equal(length, 2 * nx * ny * sizeof(float));
  for (size_t k = 0; k < nx * ny; k++) {
    float got[2];
    size_t from_north = (ny - 1 - k / nx) * nx + k % nx;
    memcpy(&got[0], bytes + from_north * sizeof(float), sizeof(float));
    memcpy(&got[1], bytes + (nx * ny + from_north) * sizeof(float), sizeof(float));
    float depth = (float)((double)b.map.depth_m[k] - 0.5);
    bool in_water = depth > 0;
    wet += in_water ? 1 : 0;
    assert_true(got[0] == (in_water ? depth : -9999));
    assert_true(got[1] == (in_water ? b.map.error_m[k] : -9999));
  }
  assert_true(wet > 1000);
  assert_holds(export_shown(in, "gdalinfo", "depth.tif"), "with the pool 0.500 m below full");
}

/* The middle of three pixels in longitude and latitude, by GDAL and by our own plane: within 1 mm. */
static void it_lies_where_it_should(void **in)
{
  bowl b = write_bowl(in, 2, 0, false);
  const lw_frame *f = &b.map.frame;
  lw_plane *plane = export_plane(in);
  lw_error err = {0};
  const size_t nodes[][2] = {{0, 0}, {f->nx - 1, f->ny - 1}, {57, 31}};
  for (size_t k = 0; k < 3; k++) {
    char at[64];
    int n = snprintf(at, sizeof at, "%.1f %.1f\n", (double)nodes[k][0] + 0.5,
                     (double)(f->ny - 1 - nodes[k][1]) + 0.5);
    put(path_in(in, "at.txt"), at, (size_t)n);
    double got[2], want[2];
    const char *told = export_shown(in, "gdaltransform", "-t_srs EPSG:4326 depth.tif < at.txt");
    assert_int_equal(sscanf(told, "%lf %lf", &got[0], &got[1]), 2);
    lw_spot spot = {f->x0_m + (double)nodes[k][0] * f->step_m, f->y0_m + (double)nodes[k][1] * f->step_m};
    assert_int_equal(lw_plane_from(want, &spot, 1, plane, &err), LW_OK);
    assert_close((got[0] - want[0]) * 93000, 0, 1e-3);
    assert_close((got[1] - want[1]) * 111000, 0, 1e-3);
  }
  lw_plane_close(plane);
}

static void an_existing_file_stays(void **in)
{
  state *s = *in;
  lw_error err = {0};
  bowl b = bowl_new(s->arena, 4, 1);
  put(path_in(in, "mine.tif"), "mine", 4);
  assert_int_equal(write_map(in, &b.map, 0, "mine.tif", &err), LW_CONFLICT);
  char *bytes = NULL;
  size_t length = 0;
  assert_int_equal(lw_file_read(path_in(in, "mine.tif"), 100, s->arena, &bytes, &length, &err), LW_OK);
  assert_int_equal(length, 4);
}

static void a_folder_that_is_not_there_is_said(void **in)
{
  state *s = *in;
  lw_error err = {0};
  bowl b = bowl_new(s->arena, 4, 1);
  assert_int_equal(write_map(in, &b.map, 0, "no/such.tif", &err), LW_IO);
  assert_holds(err.message, "could not be created");
}

static void wrong_maps_are_refused(void **in)
{
  state *s = *in;
  lw_error err = {0};
  bowl b = bowl_new(s->arena, 4, 1);
  assert_int_equal(write_map(in, &b.map, 0, "depth.png", &err), LW_INVALID);
  assert_holds(err.message, "should end in .tif");
  assert_int_equal(write_map(in, &b.map, -1, "depth.tif", &err), LW_INVALID);
  assert_int_equal(write_map(in, &b.map, NAN, "depth.tif", &err), LW_INVALID);
  lw_depth_map vast = b.map;
  vast.frame.nx = vast.frame.ny = 3000;
  assert_int_equal(write_map(in, &vast, 0, "depth.tif", &err), LW_LIMIT);
  struct stat info;
  assert_int_not_equal(stat(path_in(in, "depth.tif"), &info), 0);
}

/* Straight to the program: what is no grid is refused and leaves nothing behind. */
static void broken_grids_are_refused(void **in)
{
  state *s = *in;
  static const char *const grids[] = {
      "",
      "lakeward-grid 1\n",
      "\n",
      "lakeward-grid 2\n\n",
      "nodes 2 2\nstep 1\norigin 0 0\nmiddle 0 0\nband m d\n\n0123456789abcdef",
      "lakeward-grid 1\nnodes 2 2\nstep 1\norigin 0 0\nmiddle 0 0\nband m d\n\n0123456789abcde",
      "lakeward-grid 1\nnodes 99999999999 2\nstep 1\norigin 0 0\nmiddle 0 0\nband m d\n\n0123456789abcdef",
      "lakeward-grid 1\nnodes -2 -2\nstep 1\norigin 0 0\nmiddle 0 0\nband m d\n\n0123456789abcdef",
      "lakeward-grid 1\nnodes 2 2\nstep nan\norigin 0 0\nmiddle 0 0\nband m d\n\n0123456789abcdef",
      "lakeward-grid 1\nnodes 2 2\nstep 1\norigin 0 0\nmiddle 0 99\nband m d\n\n0123456789abcdef",
      "lakeward-grid 1\nnodes 2 2\nstep 1\norigin 0 0\nband m d\n\n0123456789abcdef",
      "lakeward-grid 1\nnodes 2 2\nstep 1\norigin 0 0\nmiddle 0 0\n\n",
      "lakeward-grid 1\nnodes 2 2\nstep 1 more\norigin 0 0\nmiddle 0 0\nband m d\n\n0123456789abcdef",
  };
  const char *path = path_in(in, "bad.tif");
  for (size_t i = 0; i < sizeof grids / sizeof *grids; i++) {
    char *out = NULL;
    size_t length = 0;
    lw_error err = {0};
    lw_geo_run run = {.program = export_program(),
                      .arguments = {"raster", path},
                      .file = path,
                      .input = grids[i],
                      .input_length = strlen(grids[i])};
    lw_status status = lw_geo_program_run(&run, s->arena, &out, &length, &err);
    if (status != LW_INVALID) {
      print_error("grid %zu: %d %s\n", i, (int)status, err.message);
    }
    assert_int_equal(status, LW_INVALID);
    assert_holds(err.message, "grid");
  }
  DIR *folder = opendir(s->folder);
  assert_non_null(folder);
  for (struct dirent *entry; (entry = readdir(folder)) != NULL;) {
    assert_true(entry->d_name[0] == '.');
  }
  (void)closedir(folder);
}

int main(void)
{
  const struct CMUnitTest tests[] = {
      TEST(it_is_a_cloud_optimized_geotiff),
      TEST(values_come_back),
      TEST(it_lies_where_it_should),
      TEST(an_existing_file_stays),
      TEST(a_folder_that_is_not_there_is_said),
      TEST(wrong_maps_are_refused),
      TEST(broken_grids_are_refused),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
