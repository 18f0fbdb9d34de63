// SPDX-License-Identifier: Apache-2.0
// What part of the plane is on the screen: north up, one scale, kept over the water.
import type { Spot } from './types';

export interface Size { width: number; height: number }
export interface Box { west: number; south: number; east: number; north: number }
/** The spot in the middle and pixels per metre. */
export interface View { x: number; y: number; scale: number }

export function boxOf(rings: Spot[][]): Box {
  const box = { west: Infinity, south: Infinity, east: -Infinity, north: -Infinity };
  for (const ring of rings) {
    for (const [x, y] of ring) {
      box.west = Math.min(box.west, x);
      box.east = Math.max(box.east, x);
      box.south = Math.min(box.south, y);
      box.north = Math.max(box.north, y);
    }
  }
  return box;
}

export interface Air { x: number; top: number; bottom: number }
const AIR: Air = { x: 18, top: 64, bottom: 40 };

/** The whole water with some air; more above and below, where the buttons and the scale stand. */
export function wholeOf(box: Box, { width, height }: Size, air = AIR): View {
  const scale = Math.min((width - 2 * air.x) / Math.max(box.east - box.west, 1), (height - air.top - air.bottom) / Math.max(box.north - box.south, 1));
  const shift = (air.bottom - air.top) / 2 / scale;
  return { x: (box.west + box.east) / 2, y: (box.south + box.north) / 2 - shift, scale };
}

export function toScreen(view: View, size: Size, [x, y]: Spot): Spot {
  return [size.width / 2 + (x - view.x) * view.scale, size.height / 2 - (y - view.y) * view.scale];
}

export function toPlane(view: View, size: Size, [px, py]: Spot): Spot {
  return [view.x + (px - size.width / 2) / view.scale, view.y - (py - size.height / 2) / view.scale];
}

const MOST_PX_PER_M = 40;

/** Never further out than the whole water, never so far that it is lost. */
export function held(view: View, box: Box, size: Size): View {
  const whole = wholeOf(box, size);
  const scale = Math.min(Math.max(view.scale, whole.scale), Math.max(MOST_PX_PER_M, whole.scale));
  if (scale <= whole.scale * 1.0001) return whole;
  const keep = (at: number, low: number, high: number): number => Math.min(Math.max(at, low), high);
  return { x: keep(view.x, box.west, box.east), y: keep(view.y, box.south, box.north), scale };
}

/** Larger or smaller by a factor, the spot under the pixel staying where it is. */
export function zoomed(view: View, size: Size, pixel: Spot, factor: number): View {
  const [x, y] = toPlane(view, size, pixel);
  const scale = view.scale * factor;
  return { scale, x: x - (pixel[0] - size.width / 2) / scale, y: y + (pixel[1] - size.height / 2) / scale };
}

export function panned(view: View, dx: number, dy: number): View {
  return { ...view, x: view.x - dx / view.scale, y: view.y + dy / view.scale };
}

/** For SVG and canvas: plane metres straight to pixels. */
export function matrixOf(view: View, size: Size): [number, number, number, number, number, number] {
  return [view.scale, 0, 0, -view.scale, size.width / 2 - view.x * view.scale, size.height / 2 + view.y * view.scale];
}

/** Lines of the plane as an SVG path in metres. */
export function pathOf(rings: Spot[][], closed: boolean): string {
  return rings.map((ring) => (ring.length ? `M${ring.map(([x, y]) => `${x.toFixed(2)} ${y.toFixed(2)}`).join('L')}${closed ? 'Z' : ''}` : '')).join('');
}

/** A round length that is about a fifth of the width. */
export function scaleBar(scale: number, width: number, metric: boolean): { pixels: number; text: string } {
  const unit = metric ? 1 : 0.3048;
  const raw = width / 5 / scale / unit;
  const power = 10 ** Math.floor(Math.log10(raw));
  const round = [5, 2, 1].map((one) => one * power).find((one) => one <= raw) ?? power;
  return { pixels: round * unit * scale, text: `${round.toLocaleString('en-US')} ${metric ? 'm' : 'ft'}` };
}
