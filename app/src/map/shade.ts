// SPDX-License-Identifier: Apache-2.0
// Paints the bed on a canvas, pixel by pixel: the depth bands, what lies dry at a lowered pool, and
// the waterline. Cut to the shore, so that its edge is as sharp as the outline.
import type { Bed } from './bed';
import { toneOf, type Bands } from './bands';
import { matrixOf, toPlane, type Size, type View } from './view';

export interface Inks { tones: number[]; dry: number; line: string; flat: string }

/** Colours of the style sheet as the canvas wants them: 0xAABBGGRR. */
function packed(colour: string): number {
  const hex = /^#([0-9a-f]{6})$/i.exec(colour.trim())?.[1] ?? '888888';
  const part = (at: number): number => parseInt(hex.slice(at, at + 2), 16);
  return ((255 << 24) | (part(4) << 16) | (part(2) << 8) | part(0)) >>> 0;
}

export function inksOf(element: Element): Inks {
  const style = getComputedStyle(element);
  const ink = (name: string): string => style.getPropertyValue(name).trim();
  return {
    tones: Array.from({ length: 8 }, (_, at) => packed(ink(`--bed-${at}`))),
    dry: packed(ink('--bed-dry')), line: ink('--ink'), flat: ink('--bed-2'),
  };
}

/** One row of pixels, from west to east along a line of equal y. */
function paintRow(out: Uint32Array, start: number, width: number, bed: Bed, x0: number, perPixel: number, y: number, colour: (depth: number) => number): void {
  const { nx, ny, step, x0: west, y0: south } = bed.frame;
  const up = (y - south) / step;
  if (!(up >= 0 && up <= ny - 1)) return;
  const j = Math.min(Math.floor(up), ny - 2);
  const v = up - j;
  const { depth, cover } = bed;
  for (let px = 0; px < width; px++) {
    const across = (x0 + px * perPixel - west) / step;
    if (!(across >= 0 && across <= nx - 1)) continue;
    const i = Math.min(Math.floor(across), nx - 2);
    if (!((cover[j * (nx - 1) + i] as number) > 0)) continue;
    const u = across - i;
    const at = j * nx + i;
    const low = (1 - u) * (depth[at] as number) + u * (depth[at + 1] as number);
    const high = (1 - u) * (depth[at + nx] as number) + u * (depth[at + nx + 1] as number);
    out[start + px] = colour((1 - v) * low + v * high);
  }
}

export interface Scene { bed: Bed | null; bands: Bands; shore: Path2D; waterline: Path2D | null; down: number; view: View; size: Size; ratio: number }

let sheet: HTMLCanvasElement | null = null;

/** The bands, on a canvas of their own: an image put down pixel by pixel knows no clipping. */
function bandsSheet(scene: Scene, bed: Bed, inks: Inks, width: number, height: number): HTMLCanvasElement | null {
  sheet ??= document.createElement('canvas');
  if (sheet.width !== width || sheet.height !== height) { sheet.width = width; sheet.height = height; }
  const context = sheet.getContext('2d');
  if (!context) return null;
  const image = context.createImageData(width, height);
  const out = new Uint32Array(image.data.buffer);
  const tones = Array.from({ length: scene.bands.count }, (_, at) => inks.tones[toneOf(at, scene.bands.count)] ?? 0);
  const last = tones.length - 1;
  const perBand = 1 / scene.bands.step;
  const colour = (depth: number): number => {
    if (scene.down > 0 && !(depth > scene.down)) return inks.dry;
    const band = Math.floor(depth * perBand);
    return tones[band < 0 || Number.isNaN(band) ? 0 : band > last ? last : band] as number;
  };
  const perPixel = 1 / (scene.view.scale * scene.ratio);
  const [west, north] = toPlane(scene.view, scene.size, [0, 0]);
  for (let py = 0; py < height; py++) {
    paintRow(out, py * width, width, bed, west + perPixel / 2, perPixel, north - (py + 0.5) * perPixel, colour);
  }
  context.putImageData(image, 0, 0);
  return sheet;
}

export function paint(canvas: HTMLCanvasElement, scene: Scene, inks: Inks): void {
  const { size, ratio } = scene;
  const width = Math.round(size.width * ratio);
  const height = Math.round(size.height * ratio);
  if (canvas.width !== width || canvas.height !== height) { canvas.width = width; canvas.height = height; }
  const context = canvas.getContext('2d');
  if (!context || !width || !height) return;
  const [a, b, c, d, e, f] = matrixOf(scene.view, size);
  const toMetres = (): void => context.setTransform(a * ratio, b, c, d * ratio, e * ratio, f * ratio);
  context.setTransform(1, 0, 0, 1, 0, 0);
  context.clearRect(0, 0, width, height);
  context.save();
  toMetres();
  context.clip(scene.shore, 'evenodd');
  context.setTransform(1, 0, 0, 1, 0, 0);
  const bands = scene.bed && bandsSheet(scene, scene.bed, inks, width, height);
  if (bands) context.drawImage(bands, 0, 0);
  else { context.fillStyle = inks.flat; context.fillRect(0, 0, width, height); }
  if (scene.waterline && scene.down > 0) {
    toMetres();
    context.lineWidth = 2.5 / scene.view.scale;
    context.strokeStyle = inks.line;
    context.stroke(scene.waterline);
  }
  context.restore();
}
