// SPDX-License-Identifier: Apache-2.0
// Between longitude and latitude and the water's own metric plane.
//
// Why no map library: a lake has no tiles under it and fits in a square kilometre or two. Everything on
// it is reckoned in the server's metric plane, so a scale and a shift take it to the screen; a library
// for web maps would bring its own projection of the globe between the two, and neither shades a depth
// grid by the pixel nor moves a crosshair by the arrow keys.
import type { FactValue, Shape } from '../types';
import type { Frame, Spot } from './types';

export interface Plane {
  /** Longitude and latitude to metres. */
  toSpot: (place: Spot) => Spot;
  /** Metres to longitude and latitude. */
  toPlace: (spot: Spot) => Spot;
}

type Corners = [Spot, Spot, Spot, Spot];

/** Bilinear between the corners (south-west, south-east, north-east, north-west); u and v from 0 to 1. */
function between([sw, se, ne, nw]: Corners, u: number, v: number): Spot {
  const mix = (at: 0 | 1): number => (1 - v) * ((1 - u) * sw[at] + u * se[at]) + v * ((1 - u) * nw[at] + u * ne[at]);
  return [mix(0), mix(1)];
}

/** The u and v of a place: Newton's steps; the corners are nearly a parallelogram, so few are needed. */
function within(corners: Corners, place: Spot): Spot {
  const [sw, se, ne, nw] = corners;
  let u = 0.5;
  let v = 0.5;
  for (let turn = 0; turn < 8; turn++) {
    const [lon, lat] = between(corners, u, v);
    const side = (at: 0 | 1): Spot => [(1 - v) * (se[at] - sw[at]) + v * (ne[at] - nw[at]), (1 - u) * (nw[at] - sw[at]) + u * (ne[at] - se[at])];
    const [a, b] = side(0);
    const [c, d] = side(1);
    const det = a * d - b * c;
    if (det === 0) break;
    u += (d * (place[0] - lon) - b * (place[1] - lat)) / det;
    v += (a * (place[1] - lat) - c * (place[0] - lon)) / det;
  }
  return [u, v];
}

export function planeOfMap({ nx, ny, step, x0, y0 }: Frame, list: Spot[]): Plane {
  const [sw = [0, 0], se = [1, 0], ne = [1, 1], nw = [0, 1]] = list;
  const corners: Corners = [sw, se, ne, nw];
  const wide = (nx - 1) * step;
  const high = (ny - 1) * step;
  return {
    toSpot: (place) => { const [u, v] = within(corners, place); return [x0 + u * wide, y0 + v * high]; },
    toPlace: ([x, y]) => between(corners, (x - x0) / wide, (y - y0) / high),
  };
}

const DEGREE_M = 111320;

/** Before there is a bed: longitudes shrunk by the cosine of the latitude, true enough to draw on. */
export function planeOfOutline(rings: Spot[][]): Plane {
  const all = rings.flat();
  const mid = (at: 0 | 1): number => (Math.min(...all.map((one) => one[at])) + Math.max(...all.map((one) => one[at]))) / 2;
  const [lon0, lat0] = all.length ? [mid(0), mid(1)] : [0, 0];
  const shrink = Math.cos(lat0 * Math.PI / 180) * DEGREE_M;
  return {
    toSpot: ([lon, lat]) => [(lon - lon0) * shrink, (lat - lat0) * DEGREE_M],
    toPlace: ([x, y]) => [lon0 + x / shrink, lat0 + y / DEGREE_M],
  };
}

export function isShape(value: FactValue | undefined): value is FactValue & Shape {
  return typeof value === 'object' && value !== null && 'type' in value && typeof value.type === 'string';
}

export function isSpot(value: unknown): value is Spot {
  return Array.isArray(value) && typeof value[0] === 'number' && typeof value[1] === 'number';
}

/** Every ring or line, and every single point, of a geometry. */
export function linesOf(shape: Shape | null): { rings: Spot[][]; spots: Spot[] } {
  const out: { rings: Spot[][]; spots: Spot[] } = { rings: [], spots: [] };
  const walk = (value: unknown): void => {
    if (isSpot(value)) out.spots.push(value);
    else if (Array.isArray(value) && value.length > 0 && value.every(isSpot)) out.rings.push(value);
    else if (Array.isArray(value)) value.forEach(walk);
  };
  if (shape?.geometries) {
    for (const one of shape.geometries) {
      const inner = linesOf(one);
      out.rings.push(...inner.rings);
      out.spots.push(...inner.spots);
    }
  } else if (shape?.type === 'MultiPoint' && Array.isArray(shape.coordinates)) out.spots.push(...shape.coordinates.filter(isSpot));
  else walk(shape?.coordinates);
  return out;
}

/** "33.10012 N, 86.40023 W". */
export function placeText([lon, lat]: Spot): string {
  return `${Math.abs(lat).toFixed(5)} ${lat < 0 ? 'S' : 'N'}, ${Math.abs(lon).toFixed(5)} ${lon < 0 ? 'W' : 'E'}`;
}
