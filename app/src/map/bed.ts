// SPDX-License-Identifier: Apache-2.0
// The bed as the server sends it: depths at the nodes of a grid, in metres below full pool, bilinear
// between them. The same rules as the server's own depth at a spot: never under 0, and off the water
// where the shore covers nothing of the cell.
import type { BedAnswer, Frame, Spot } from './types';

export interface Bed {
  frame: Frame;
  /** A node: metres below full pool, NaN off the water. */
  depth: Float64Array;
  /** A node: one standard error in metres, NaN where there is none; null when none was reckoned. */
  error: Float64Array | null;
  /** A cell: percent inside the shore. */
  cover: number[];
  deepest: number;
}

function metres(list: Array<number | null>): Float64Array {
  return Float64Array.from(list, (one) => (one === null ? NaN : one / 1000));
}

export function bedOf(answer: BedAnswer): Bed {
  return { frame: answer.frame, depth: metres(answer.depth), error: answer.error && metres(answer.error), cover: answer.cover, deepest: answer.max_depth };
}

interface Cell { i: number; j: number; u: number; v: number }

/** The cell a spot lies in; null outside the grid. */
function cellOf({ nx, ny, step, x0, y0 }: Frame, [x, y]: Spot): Cell | null {
  const across = (x - x0) / step;
  const up = (y - y0) / step;
  if (!(across >= 0 && up >= 0 && across <= nx - 1 && up <= ny - 1)) return null;
  const i = Math.min(Math.floor(across), nx - 2);
  const j = Math.min(Math.floor(up), ny - 2);
  return { i, j, u: across - i, v: up - j };
}

function bilinear(nodes: Float64Array, nx: number, { i, j, u, v }: Cell): number {
  const at = j * nx + i;
  const low = (1 - u) * (nodes[at] ?? NaN) + u * (nodes[at + 1] ?? NaN);
  const high = (1 - u) * (nodes[at + nx] ?? NaN) + u * (nodes[at + nx + 1] ?? NaN);
  return (1 - v) * low + v * high;
}

export interface Sounded { depth: number; error: number | null }

/** Depth and its standard error, metres; null off the water. */
export function depthAt(bed: Bed, spot: Spot): Sounded | null {
  const { nx } = bed.frame;
  const cell = cellOf(bed.frame, spot);
  if (!cell || !((bed.cover[cell.j * (nx - 1) + cell.i] ?? 0) > 0)) return null;
  const depth = bilinear(bed.depth, nx, cell);
  if (Number.isNaN(depth)) return null;
  const error = bed.error ? bilinear(bed.error, nx, cell) : NaN;
  return { depth: Math.max(0, depth), error: Number.isNaN(error) ? null : error };
}

/** Where the bed is deepest: the first place to show. */
export function deepestSpot({ frame, depth }: Bed): Spot {
  let best = 0;
  let most = -Infinity;
  depth.forEach((one, at) => { if (one > most) { most = one; best = at; } });
  return [frame.x0 + (best % frame.nx) * frame.step, frame.y0 + Math.floor(best / frame.nx) * frame.step];
}

/** The line along which the bed lies `down` metres below full pool, as segments x1 y1 x2 y2. */
export function levelLine({ frame, depth, cover }: Bed, down: number): number[] {
  const out: number[] = [];
  const { nx, ny, step, x0, y0 } = frame;
  for (let j = 0; j < ny - 1; j++) {
    for (let i = 0; i < nx - 1; i++) {
      if (!((cover[j * (nx - 1) + i] ?? 0) > 0)) continue;
      const at = j * nx + i;
      const corner = [depth[at] ?? NaN, depth[at + 1] ?? NaN, depth[at + nx + 1] ?? NaN, depth[at + nx] ?? NaN];
      crossings(corner, down, (u, v) => out.push(x0 + (i + u) * step, y0 + (j + v) * step));
    }
  }
  return out;
}

const CORNER_U = [0, 1, 1, 0];
const CORNER_V = [0, 0, 1, 1];

/** Two or four crossings of a cell's sides, in order round the cell. */
function crossings(corner: number[], level: number, put: (u: number, v: number) => void): void {
  const found: Spot[] = [];
  for (let side = 0; side < 4; side++) {
    const next = (side + 1) % 4;
    const from = corner[side] ?? NaN;
    const to = corner[next] ?? NaN;
    if ((from > level) === (to > level) || Number.isNaN(from) || Number.isNaN(to)) continue;
    const part = (level - from) / (to - from);
    const mix = (list: number[]): number => (list[side] ?? 0) + part * ((list[next] ?? 0) - (list[side] ?? 0));
    found.push([mix(CORNER_U), mix(CORNER_V)]);
  }
  for (let at = 0; at + 1 < found.length; at += 2) {
    const [from, to] = [found[at], found[at + 1]];
    if (from && to) { put(from[0], from[1]); put(to[0], to[1]); }
  }
}
