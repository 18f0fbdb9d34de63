/* SPDX-License-Identifier: Apache-2.0 */
#include "gridders.h"

#include "clock.h"

#include <math.h>

bool known_make(known *out, size_t room, lw_arena *arena)
{
  *out = (known){.x_m = LW_NEW(arena, double, room),
                 .y_m = LW_NEW(arena, double, room),
                 .depth_m = LW_NEW(arena, double, room)};
  return out->x_m && out->y_m && out->depth_m;
}

void known_add(known *to, lw_spot spot, double depth_m)
{
  to->x_m[to->count] = spot.x_m;
  to->y_m[to->count] = spot.y_m;
  to->depth_m[to->count++] = depth_m;
}

#ifdef LW_HAVE_GDAL

#include <cpl_conv.h>
#include <gdal.h>
#include <gdal_alg.h>

typedef union options {
  GDALGridLinearOptions linear;
  GDALGridInverseDistanceToAPowerOptions distance;
  GDALGridInverseDistanceToAPowerNearestNeighborOptions near;
  GDALGridNearestNeighborOptions nearest;
  GDALGridMovingAverageOptions average;
} options;

static const GDALGridAlgorithm algorithms[GRIDDERS] = {
    [GRIDDER_LINEAR] = GGA_Linear,
    [GRIDDER_DISTANCE] = GGA_InverseDistanceToAPower,
    [GRIDDER_DISTANCE_NEAR] = GGA_InverseDistanceToAPowerNearestNeighbor,
    [GRIDDER_NEAREST] = GGA_NearestNeighbor,
    [GRIDDER_AVERAGE] = GGA_MovingAverage,
};

bool gridders_at_hand(void)
{
  return true;
}

/* What is not set stays 0, which is GDAL's default. */
static options options_of(const gridder_how *how)
{
  options o = {0};
  double none = (double)NAN;
  switch (how->which) {
  case GRIDDER_LINEAR:
    o.linear =
        (GDALGridLinearOptions){.nSizeOfStructure = sizeof o.linear, .dfRadius = -1, .dfNoDataValue = none};
    break;
  case GRIDDER_DISTANCE:
    o.distance = (GDALGridInverseDistanceToAPowerOptions){
        .nSizeOfStructure = sizeof o.distance, .dfPower = how->power, .dfNoDataValue = none};
    break;
  case GRIDDER_DISTANCE_NEAR:
    o.near = (GDALGridInverseDistanceToAPowerNearestNeighborOptions){.nSizeOfStructure = sizeof o.near,
                                                                     .dfPower = how->power,
                                                                     .dfRadius = how->radius_m,
                                                                     .nMaxPoints = how->most,
                                                                     .dfNoDataValue = none};
    break;
  case GRIDDER_NEAREST:
    o.nearest = (GDALGridNearestNeighborOptions){.nSizeOfStructure = sizeof o.nearest, .dfNoDataValue = none};
    break;
  default:
    o.average = (GDALGridMovingAverageOptions){.nSizeOfStructure = sizeof o.average,
                                               .dfRadius1 = how->radius_m,
                                               .dfRadius2 = how->radius_m,
                                               .dfNoDataValue = none};
  }
  return o;
}

static GDALGridContext *begin(const known *from, const gridder_how *how, options *o)
{
  *o = options_of(how);
  return GDALGridContextCreate(algorithms[how->which], o, (GUInt32)from->count, from->x_m, from->y_m,
                               from->depth_m, TRUE);
}

bool gridder_at(double *out, const lw_spot *spots, size_t count, const known *from, const gridder_how *how)
{
  const double half = 0.001;
  options o;
  CPLSetConfigOption("GDAL_NUM_THREADS", "1");
  GDALGridContext *context = begin(from, how, &o);
  bool good = context != NULL;
  for (size_t k = 0; k < count && good; k++) {
    lw_spot p = spots[k];
    good = GDALGridContextProcess(context, p.x_m - half, p.x_m + half, p.y_m - half, p.y_m + half, 1, 1,
                                  GDT_Float64, &out[k], NULL, NULL) == CE_None;
  }
  GDALGridContextFree(context);
  return good;
}

double gridder_rows_ms(double *out_setup_ms, const lw_frame *f, size_t rows, const known *from,
                       const gridder_how *how)
{
  options o;
  double *row = calloc(f->nx, sizeof *row);
  CPLSetConfigOption("GDAL_NUM_THREADS", NULL);
  double start = clock_ms();
  GDALGridContext *context = row ? begin(from, how, &o) : NULL;
  *out_setup_ms = clock_ms() - start;
  bool good = context != NULL;
  double west = f->x0_m - f->step_m / 2;
  for (size_t k = 0; k < rows && good; k++) {
    size_t j = (2 * k + 1) * f->ny / (2 * rows);
    double south = f->y0_m + ((double)j - 0.5) * f->step_m;
    good = GDALGridContextProcess(context, west, west + (double)f->nx * f->step_m, south, south + f->step_m,
                                  (GUInt32)f->nx, 1, GDT_Float64, row, NULL, NULL) == CE_None;
  }
  double took = clock_ms() - start;
  GDALGridContextFree(context);
  free(row);
  return good ? took : -1;
}

#else

bool gridders_at_hand(void)
{
  return false;
}

bool gridder_at(double *out, const lw_spot *spots, size_t count, const known *from, const gridder_how *how)
{
  (void)out, (void)spots, (void)count, (void)from, (void)how;
  return false;
}

double gridder_rows_ms(double *out_setup_ms, const lw_frame *frame, size_t rows, const known *from,
                       const gridder_how *how)
{
  (void)frame, (void)rows, (void)from, (void)how;
  *out_setup_ms = 0;
  return -1;
}

#endif
