/* SPDX-License-Identifier: Apache-2.0 */
/* The local metric plane, against geodesics on the ellipsoid (Karney 2013, J. Geodesy 87:43, as PROJ has
 * them). */
#include "check.h"

#include "exchange/libraries.h"
#include "exchange/plane.h"

#include <stdlib.h>

#define LAKE                                                                                                 \
  "{\"type\":\"MultiPolygon\",\"coordinates\":[[[[-84,33],[-83.99,33],[-83.99,33.01],[-84,33.01],[-84,33]]," \
  "[[-83.996,33.004],[-83.994,33.004],[-83.994,33.006],[-83.996,33.006],[-83.996,33.004]]],"                 \
  "[[[-83.98,33],[-83.97,33],[-83.97,33.01],[-83.98,33]]]]}"

static int begin(void **out)
{
  *out = lw_arena_new(0);
  return *out ? 0 : -1;
}

static int end(void **in)
{
  lw_arena_free(*in);
  return 0;
}

static lw_plane *open_at(void **in, double longitude, double latitude)
{
  lw_plane *plane = NULL;
  lw_error err = {0};
  lw_status status = lw_plane_open(&plane, longitude, latitude, *in, &err);
  if (status != LW_OK) {
    print_error("%s\n", err.message);
  }
  assert_int_equal(status, LW_OK);
  return plane;
}

static struct geod_geodesic earth(const lw_proj **proj)
{
  struct geod_geodesic g;
  lw_error err = {0};
  assert_int_equal(lw_proj_open(proj, &err), LW_OK);
  (*proj)->geod_init(&g, LW_WGS84_SEMI_MAJOR_AXIS_M, LW_WGS84_FLATTENING);
  return g;
}

static void the_middle_is_nought(void **in)
{
  lw_plane *plane = open_at(in, -84.1, 33.2);
  lw_error err = {0};
  lw_spot spot = {9, 9};
  const double middle[] = {-84.1, 33.2};
  assert_int_equal(lw_plane_to(&spot, middle, 1, plane, &err), LW_OK);
  assert_close(spot.x_m, 0, 1e-6);
  assert_close(spot.y_m, 0, 1e-6);
  const double north_east[] = {-84.099, 33.201};
  assert_int_equal(lw_plane_to(&spot, north_east, 1, plane, &err), LW_OK);
  assert_true(spot.x_m > 90 && spot.y_m > 100);
  lw_plane_close(plane);
}

/* Within five kilometres of the middle a metre of the plane is a metre on the ellipsoid to 1 in a million. */
static void a_metre_is_a_metre(void **in)
{
  static const double middles[][2] = {{-84.1, 33.2}, {12, 64}, {151.3, -33.7}, {-179.99, 51.9}, {0, 0}};
  const lw_proj *proj = NULL;
  struct geod_geodesic g = earth(&proj);
  lw_error err = {0};
  for (size_t m = 0; m < sizeof middles / sizeof *middles; m++) {
    lw_plane *plane = open_at(in, middles[m][0], middles[m][1]);
    for (int i = 0; i < 100; i++) {
      lw_spot spots[2] = {{-5000 + 1000 * (i % 10), -4000 + 900 * (i / 10)},
                          {5000 - 990 * (i / 10), 4500 - 700 * (i % 10)}};
      double lon_lat[4];
      double s_m = 0;
      assert_int_equal(lw_plane_from(lon_lat, spots, 2, plane, &err), LW_OK);
      proj->geod_inverse(&g, lon_lat[1], lon_lat[0], lon_lat[3], lon_lat[2], &s_m, NULL, NULL);
      double flat_m = hypot(spots[1].x_m - spots[0].x_m, spots[1].y_m - spots[0].y_m);
      assert_close(flat_m, s_m, 1e-6 * s_m + 1e-5);
      lw_spot again[2];
      assert_int_equal(lw_plane_to(again, lon_lat, 2, plane, &err), LW_OK);
      assert_close(again[1].x_m, spots[1].x_m, 1e-5);
      assert_close(again[0].y_m, spots[0].y_m, 1e-5);
    }
    lw_plane_close(plane);
  }
}

static double ring_area_m2(const lw_shore *shore, size_t ring)
{
  double twice = 0;
  size_t from = shore->ring_start[ring];
  size_t n = shore->ring_start[ring + 1] - from;
  for (size_t i = 0; i < n; i++) {
    const lw_spot *a = &shore->spots[from + i];
    const lw_spot *b = &shore->spots[from + (i + 1) % n];
    twice += a->x_m * b->y_m - b->x_m * a->y_m;
  }
  return fabs(twice / 2);
}

static void a_shore_keeps_its_area(void **in)
{
  static const double square[][2] = {{-84, 33}, {-83.99, 33}, {-83.99, 33.01}, {-84, 33.01}};
  double longitude = 0;
  double latitude = 0;
  lw_error err = {0};
  lw_shore shore;
  assert_int_equal(lw_plane_middle(&longitude, &latitude, LAKE, *in, &err), LW_OK);
  assert_close(longitude, -83.985, 1e-9);
  assert_close(latitude, 33.005, 1e-9);
  lw_plane *plane = open_at(in, longitude, latitude);
  assert_int_equal(lw_plane_shore(&shore, LAKE, plane, *in, &err), LW_OK);
  assert_int_equal(shore.ring_count, 3);
  assert_int_equal(shore.spot_count, 11); /* four, four and three: no repeated spot */
  assert_int_equal(shore.ring_start[0], 0);
  assert_int_equal(shore.ring_start[1], 4);
  assert_int_equal(shore.ring_start[2], 8);
  assert_int_equal(shore.ring_start[3], 11);
  const lw_proj *proj = NULL;
  struct geod_geodesic g = earth(&proj);
  struct geod_polygon polygon;
  double area_m2 = 0;
  proj->geod_polygon_init(&polygon, 0);
  for (size_t i = 0; i < 4; i++) {
    proj->geod_polygon_addpoint(&g, &polygon, square[i][1], square[i][0]);
  }
  (void)proj->geod_polygon_compute(&g, &polygon, 0, 1, &area_m2, NULL);
  assert_true(area_m2 > 1.0e6);
  assert_close(ring_area_m2(&shore, 0), area_m2,
               1e-5 * area_m2); /* edges: a geodesic is not quite straight here */
  lw_plane_close(plane);
}

static void many_at_once(void **in)
{
  enum { COUNT = 200000 };
  lw_plane *plane = open_at(in, 10, 50);
  lw_error err = {0};
  double *lon_lat = LW_NEW(*in, double, 2 * COUNT);
  double *back = LW_NEW(*in, double, 2 * COUNT);
  lw_spot *spots = LW_NEW(*in, lw_spot, COUNT);
  for (size_t i = 0; i < COUNT; i++) {
    lon_lat[2 * i] = 10 + 1e-7 * (double)i;
    lon_lat[2 * i + 1] = 50 - 5e-8 * (double)i;
  }
  assert_int_equal(lw_plane_to(spots, lon_lat, COUNT, plane, &err), LW_OK);
  assert_int_equal(lw_plane_from(back, spots, COUNT, plane, &err), LW_OK);
  for (size_t i = 0; i < 2 * COUNT; i++) {
    assert_close(back[i], lon_lat[i], 1e-10);
  }
  assert_int_equal(lw_plane_to(spots, lon_lat, 0, plane, &err), LW_OK);
  lw_plane_close(plane);
  lw_plane_close(NULL);
}

static void refuses_no_places(void **in)
{
  static const double bad[][2] = {{NAN, 33}, {-84, NAN}, {181, 0}, {0, 91}, {INFINITY, 0}, {0, -INFINITY}};
  lw_plane *plane = NULL;
  for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
    lw_error err = {0};
    assert_int_equal(lw_plane_open(&plane, bad[i][0], bad[i][1], *in, &err), LW_INVALID);
    assert_holds(err.message, "is no place");
    assert_null(plane);
  }
  plane = open_at(in, -84, 33);
  for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
    const double pairs[] = {-84, 33, bad[i][0], bad[i][1]};
    lw_spot spots[2];
    lw_error err = {0};
    assert_int_equal(lw_plane_to(spots, pairs, 2, plane, &err), LW_INVALID);
    assert_holds(err.message, "position 2");
  }
  const lw_spot far[] = {{0, 0}, {1e8, 0}, {NAN, 0}};
  double lon_lat[2];
  lw_error err = {0};
  assert_int_equal(lw_plane_from(lon_lat, far + 1, 1, plane, &err), LW_INVALID);
  assert_int_equal(lw_plane_from(lon_lat, far + 2, 1, plane, &err), LW_INVALID);
  assert_holds(err.message, "outside the plane");
  lw_shore shore;
  assert_int_equal(lw_plane_shore(&shore, "{\"type\":\"Point\",\"coordinates\":[1,2]}", plane, *in, &err),
                   LW_INVALID);
  assert_holds(err.message, "no polygon");
  lw_plane_close(plane);
}

/* Snyder 1987, USGS Professional Paper 1395, numerical example of the Transverse Mercator (ellipsoid), p.
 * 269: Clarke 1866, central meridian 75 W, k0 0.9996, 40 30' N 73 30' W gives x 127,106.5 m, y 4,484,124.4 m
 * (figures from memory; the test would fail were they wrong). UTM adds 500,000 m to x. */
static void a_published_grid_position(void **in)
{
  (void)in;
  double pair[] = {500000 + 127106.5, 4484124.4};
  lw_error err = {0};
  assert_int_equal(lw_plane_unproject(pair, 1, "+proj=utm +zone=18 +ellps=clrk66 +type=crs", &err), LW_OK);
  assert_close(pair[0], -73.5, 2e-6);
  assert_close(pair[1], 40.5, 2e-6);
}

static void systems_by_name(void **in)
{
  (void)in;
  lw_error err = {0};
  double on_the_meridian[] = {500000, 0, 500000, 4000000};
  assert_int_equal(lw_plane_unproject(on_the_meridian, 2, "EPSG:32616", &err), LW_OK);
  assert_close(on_the_meridian[0], -87, 1e-9);
  assert_close(on_the_meridian[1], 0, 1e-9);
  assert_close(on_the_meridian[2], -87, 1e-9);
  assert_true(on_the_meridian[3] > 36.1 && on_the_meridian[3] < 36.2);
  double degrees[] = {-84, 33}; /* the system's own order is latitude first: x stays first here */
  assert_int_equal(lw_plane_unproject(degrees, 1, "EPSG:4326", &err), LW_OK);
  assert_close(degrees[0], -84, 1e-12);
  assert_close(degrees[1], 33, 1e-12);
}

static void refuses_unknown_systems(void **in)
{
  static const char *const bad[] = {"", "EPSG:999999", "zone 16", "\x01", "EPSG:5703", "+proj=pipeline"};
  (void)in;
  for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
    double pair[] = {500000, 4000000};
    lw_error err = {0};
    assert_int_equal(lw_plane_unproject(pair, 1, bad[i], &err), LW_INVALID);
    assert_holds(err.message, "is not known; give its code, like EPSG:32616");
  }
  double off[] = {1e9, 1e9};
  double none[] = {NAN, 0};
  lw_error err = {0};
  assert_int_equal(lw_plane_unproject(off, 1, "EPSG:32616", &err), LW_INVALID);
  assert_holds(err.message, "falls off the Earth");
  assert_int_equal(lw_plane_unproject(none, 1, "EPSG:32616", &err), LW_INVALID);
  assert_holds(err.message, "is not a number");
}

#define TEST(name) cmocka_unit_test_setup_teardown(name, begin, end)

int main(void)
{
  const struct CMUnitTest tests[] = {TEST(the_middle_is_nought),   TEST(a_metre_is_a_metre),
                                     TEST(a_shore_keeps_its_area), TEST(many_at_once),
                                     TEST(refuses_no_places),      TEST(a_published_grid_position),
                                     TEST(systems_by_name),        TEST(refuses_unknown_systems)};
  return cmocka_run_group_tests_name("plane", tests, NULL, NULL);
}
