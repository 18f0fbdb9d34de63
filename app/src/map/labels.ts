// SPDX-License-Identifier: Apache-2.0
// Where the depth stands written along the contours: on straight stretches, inside what is on show,
// never on top of one another.
import type { Contour, Spot } from './types';
import { toScreen, type Size, type View } from './view';

export interface Label { spot: Spot; /** Degrees, clockwise on the screen, kept upright. */ turn: number; text: string }

const HALF_PX = 16;
const APART_PX = 46;
const EDGE_PX = 20;
const SHORTEST_PX = 90;
const TRIES = 32;

interface Along { at: Spot[]; run: number[] }

/** A ring on the screen with its length run out from the first point. */
function along(ring: Spot[], view: View, size: Size): Along {
  const at = ring.map((spot) => toScreen(view, size, spot));
  if (at[0]) at.push(at[0]);
  const run = [0];
  for (let k = 1; k < at.length; k++) {
    const [from, to] = [at[k - 1] as Spot, at[k] as Spot];
    run.push((run[k - 1] as number) + Math.hypot(to[0] - from[0], to[1] - from[1]));
  }
  return { at, run };
}

function pointAt({ at, run }: Along, distance: number): Spot {
  const whole = run[run.length - 1] ?? 0;
  const want = ((distance % whole) + whole) % whole;
  let low = 0;
  let high = run.length - 1;
  while (high - low > 1) {
    const mid = (low + high) >> 1;
    if ((run[mid] as number) <= want) low = mid;
    else high = mid;
  }
  const [from, to] = [at[low] as Spot, at[high] as Spot];
  const gap = (run[high] as number) - (run[low] as number);
  const part = gap > 0 ? (want - (run[low] as number)) / gap : 0;
  return [from[0] + part * (to[0] - from[0]), from[1] + part * (to[1] - from[1])];
}

interface Try { at: Spot; turn: number; straight: number }

function tryAt(line: Along, distance: number): Try {
  const from = pointAt(line, distance - HALF_PX);
  const to = pointAt(line, distance + HALF_PX);
  const dx = to[0] - from[0];
  const dy = to[1] - from[1];
  let turn = Math.atan2(dy, dx) * 180 / Math.PI;
  if (turn > 90) turn -= 180;
  if (turn <= -90) turn += 180;
  return { at: pointAt(line, distance), turn, straight: Math.hypot(dx, dy) / (2 * HALF_PX) };
}

function bestOn(line: Along, size: Size, taken: Spot[]): Try | null {
  const whole = line.run[line.run.length - 1] ?? 0;
  if (whole < SHORTEST_PX) return null;
  const found: Try[] = [];
  for (let k = 0; k < TRIES; k++) {
    const one = tryAt(line, whole * (k + 0.5) / TRIES);
    const [x, y] = one.at;
    if (x < EDGE_PX || y < EDGE_PX || x > size.width - EDGE_PX || y > size.height - EDGE_PX) continue;
    if (taken.some((other) => Math.hypot(other[0] - x, other[1] - y) < APART_PX)) continue;
    found.push(one);
  }
  return found.reduce<Try | null>((best, one) => (best && one.straight <= best.straight + 0.02 ? best : one), null);
}

/** Every how manieth line is written on and drawn stronger, so that the writing has room. */
export function everyLabelled(count: number): number {
  return count <= 7 ? 1 : count <= 16 ? 2 : 5;
}

export function placeLabels(contours: Contour[], view: View, size: Size, textOf: (contour: Contour) => string, avoid: Spot[], back: (pixel: Spot) => Spot): Label[] {
  const every = everyLabelled(contours.length);
  const taken = avoid.map((spot) => toScreen(view, size, spot)).flatMap(([x, y]): Spot[] => [[x, y], [x + APART_PX, y]]);
  const out: Label[] = [];
  contours.forEach((contour, at) => {
    if ((at + 1) % every !== 0) return;
    for (const ring of [...contour.rings].sort((a, b) => b.length - a.length).slice(0, 12)) {
      const found = bestOn(along(ring, view, size), size, taken);
      if (!found) continue;
      taken.push(found.at);
      out.push({ spot: back(found.at), turn: found.turn, text: textOf(contour) });
    }
  });
  return out;
}
