/* SPDX-License-Identifier: Apache-2.0 */
#include "basin/depth_map_cell.h"

/* Gauss-Legendre points and weights on (0, 1); Abramowitz & Stegun 1964, table 25.4, n = 4. */
enum { POINTS = 4, HALVINGS = 40, BREAKS_MOST = 4 };
static const double POINT[POINTS] = {0.0694318442029737, 0.3300094782075719, 0.6699905217924281,
                                     0.9305681557970263};
static const double WEIGHT[POINTS] = {0.1739274225687269, 0.3260725774312731, 0.3260725774312731,
                                      0.1739274225687269};

/* Along a line of length 1 the bed runs straight from a to b above the level. */
static lw_cell_part along_line(double a, double b)
{
  if (a >= 0 && b >= 0) {
    return (lw_cell_part){a > 0 || b > 0 ? 1 : 0, (a + b) / 2};
  }
  double top = a > b ? a : b;
  if (top <= 0) {
    return (lw_cell_part){0, 0};
  }
  double share = top / fabs(a - b);
  return (lw_cell_part){share, share * top / 2};
}

/* Where a straight side from a to b passes 0; 1 when not within it. */
static double passes_zero(double a, double b)
{
  return (a < 0) != (b < 0) ? a / (a - b) : 1;
}

/* Lines run from south to north; the formula changes at these places along the south side. */
typedef struct breaks {
  double at[BREAKS_MOST + 2];
  int count;
} breaks;

static void add_break(breaks *b, double place)
{
  if (!(place > 0 && place < 1)) {
    return;
  }
  int k = b->count++;
  for (; k > 0 && b->at[k - 1] > place; k--) {
    b->at[k] = b->at[k - 1];
  }
  b->at[k] = place;
}

/* From where to where a line at x is wet. */
static void wet_stretch(const lw_cell_side *side, double x, double *out_from, double *out_to)
{
  double left = side->reach - side->east * x; /* north y must be at least this */
  *out_from = 0;
  *out_to = 1;
  if (side->north > 0) {
    *out_from = fmin(fmax(left / side->north, 0), 1);
  } else if (side->north < 0) {
    *out_to = fmin(fmax(left / side->north, 0), 1);
  } else if (left > 0) {
    *out_to = 0;
  }
}

static lw_cell_part at_line(const double south[2], const double north[2], const lw_cell_side *side, double x)
{
  double a = south[0] + (south[1] - south[0]) * x;
  double b = north[0] + (north[1] - north[0]) * x;
  if (!side) {
    return along_line(a, b);
  }
  double from;
  double to;
  wet_stretch(side, x, &from, &to);
  if (!(to > from)) {
    return (lw_cell_part){0, 0};
  }
  lw_cell_part part = along_line(a + (b - a) * from, a + (b - a) * to);
  return (lw_cell_part){part.share * (to - from), part.volume * (to - from)};
}

/* Exact along each line, and by Gauss's rule over the lines between the places where the level or the
 * shore meets the south or the north side: there the share has a smooth formula (a logarithm, if written
 * out). */
static lw_cell_part over_lines(lw_cell_bed bed, const lw_cell_side *side, double level)
{
  const double south[2] = {bed.sw - level, bed.se - level};
  const double north[2] = {bed.nw - level, bed.ne - level};
  breaks b = {{0}, 0};
  add_break(&b, passes_zero(south[0], south[1]));
  add_break(&b, passes_zero(north[0], north[1]));
  if (side && side->east != 0) {
    add_break(&b, side->reach / side->east);
    add_break(&b, (side->reach - side->north) / side->east);
  }
  b.at[b.count++] = 1;
  lw_cell_part sum = {0, 0};
  double from = 0;
  for (int piece = 0; piece < b.count; piece++) {
    double width = b.at[piece] - from;
    for (int k = 0; k < POINTS; k++) {
      lw_cell_part line = at_line(south, north, side, from + width * POINT[k]);
      sum.share += width * WEIGHT[k] * line.share;
      sum.volume += width * WEIGHT[k] * line.volume;
    }
    from = b.at[piece];
  }
  return sum;
}

lw_cell_part lw_cell_deeper(lw_cell_bed bed, double level)
{
  return over_lines(bed, NULL, level);
}

lw_cell_part lw_cell_deeper_within(lw_cell_bed bed, lw_cell_side side, double level)
{
  return over_lines(bed, &side, level);
}

/* Share of the cell about; dry beyond the grid. */
static double cover_near(const lw_depth_map *map, size_t i, size_t j, int east, int north)
{
  size_t columns = map->frame.nx - 1;
  size_t rows = map->frame.ny - 1;
  if ((east < 0 && i == 0) || (north < 0 && j == 0) || (east > 0 && i + 1 >= columns) ||
      (north > 0 && j + 1 >= rows)) {
    return 0;
  }
  size_t row = north < 0 ? j - 1 : j + (size_t)north;
  size_t column = east < 0 ? i - 1 : i + (size_t)east;
  return (double)map->cover[row * columns + column];
}

static lw_cell_side towards_the_water(const lw_depth_map *map, size_t i, size_t j)
{
  lw_cell_side side = {0, 0, 0};
  for (int k = -1; k <= 1; k++) {
    double weight = k == 0 ? 2 : 1;
    side.east += weight * (cover_near(map, i, j, 1, k) - cover_near(map, i, j, -1, k));
    side.north += weight * (cover_near(map, i, j, k, 1) - cover_near(map, i, j, k, -1));
  }
  if (hypot(side.east, side.north) < 1e-3) {
    lw_cell_bed b = lw_map_cell(map, i, j);
    side.east = b.se + b.ne - b.sw - b.nw;
    side.north = b.nw + b.ne - b.sw - b.se;
  }
  double length = hypot(side.east, side.north);
  side.east = length > 0 ? side.east / length : 1;
  side.north = length > 0 ? side.north / length : 0;
  return side;
}

lw_cell_side lw_map_cell_side(const lw_depth_map *map, size_t i, size_t j)
{
  const lw_cell_bed flat = {1, 1, 1, 1};
  double cover = (double)map->cover[j * (map->frame.nx - 1) + i];
  lw_cell_side side = towards_the_water(map, i, j);
  double low = fmin(side.east, 0) + fmin(side.north, 0); /* all wet */
  double high = fmax(side.east, 0) + fmax(side.north, 0);
  for (int k = 0; k < HALVINGS; k++) {
    side.reach = low + (high - low) / 2;
    if (lw_cell_deeper_within(flat, side, 0).share > cover) {
      low = side.reach;
    } else {
      high = side.reach;
    }
  }
  return side;
}
