// SPDX-License-Identifier: Apache-2.0
// Keeps the canvas painted: coarse while things move where fine would lag, fine once they rest; anew
// when the page turns light or dark.
import { useEffect, useLayoutEffect, useMemo, useRef, useState } from 'preact/hooks';
import { useCell } from '../cell';
import { theme } from '../prefs';
import { levelLine, type Bed } from './bed';
import type { Bands } from './bands';
import { inksOf, paint, type Scene } from './shade';
import type { Size, View } from './view';

const QUICK_MS = 14;
const REST_MS = 140;
const MOST_RATIO = 2;

/** Changes when the colours do. */
function useScheme(): string {
  const chosen = useCell(theme);
  const [dark, setDark] = useState(() => matchMedia('(prefers-color-scheme: dark)').matches);
  useEffect(() => {
    const query = matchMedia('(prefers-color-scheme: dark)');
    const turn = (): void => setDark(query.matches);
    query.addEventListener('change', turn);
    return () => query.removeEventListener('change', turn);
  }, []);
  return `${chosen} ${dark}`;
}

export function useSize(): { box: { current: HTMLDivElement | null }; size: Size } {
  const box = useRef<HTMLDivElement>(null);
  const [size, setSize] = useState<Size>({ width: 0, height: 0 });
  useEffect(() => {
    const element = box.current;
    if (!element) return undefined;
    const watcher = new ResizeObserver(() => setSize({ width: Math.floor(element.clientWidth), height: Math.floor(element.clientHeight) }));
    watcher.observe(element);
    return () => watcher.disconnect();
  }, []);
  return { box, size };
}

function useWaterline(bed: Bed | null, down: number): Path2D | null {
  return useMemo(() => {
    if (!bed || down <= 0) return null;
    const path = new Path2D();
    const ends = levelLine(bed, down);
    for (let at = 0; at + 3 < ends.length; at += 4) {
      path.moveTo(ends[at] as number, ends[at + 1] as number);
      path.lineTo(ends[at + 2] as number, ends[at + 3] as number);
    }
    return path;
  }, [bed, down]);
}

export function usePainted(canvas: { current: HTMLCanvasElement | null }, bed: Bed | null, bands: Bands, shorePath: string, down: number, view: View, size: Size): void {
  const scheme = useScheme();
  const waterline = useWaterline(bed, down);
  const shore = useMemo(() => new Path2D(shorePath), [shorePath]);
  const cost = useRef(0);
  useLayoutEffect(() => {
    const element = canvas.current;
    if (!element || !size.width) return undefined;
    const inks = inksOf(element);
    const full = Math.min(devicePixelRatio || 1, MOST_RATIO);
    const scene = (ratio: number): Scene => ({ bed, bands, shore, waterline, down, view, size, ratio });
    const fine = (): void => {
      const begun = performance.now();
      paint(element, scene(full), inks);
      cost.current = performance.now() - begun;
    };
    if (cost.current <= QUICK_MS) { fine(); return undefined; }
    paint(element, scene(Math.min(1, full / 2)), inks);
    const timer = setTimeout(fine, REST_MS);
    return () => clearTimeout(timer);
  }, [bed, bands, shore, waterline, down, view, size, scheme]);
}
