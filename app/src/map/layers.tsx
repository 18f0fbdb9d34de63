// SPDX-License-Identifier: Apache-2.0
// What lies over the shaded bed: shore, contours with their depths, places, soundings.
import type { JSX } from 'preact';
import { useEffect, useMemo, useState } from 'preact/hooks';
import type { Zone } from '../types';
import { residualClass, RESIDUALS, type Residual } from './bands';
import { inUnit } from './measure';
import { everyLabelled, placeLabels, type Label } from './labels';
import { PlaceMark } from './marks';
import { linesOf, type Plane } from './plane';
import type { Contour, Soundings, Spot } from './types';
import { matrixOf, pathOf, toPlane, toScreen, type Size, type View } from './view';

export interface At { view: View; size: Size }

export function transformOf({ view, size }: At): string {
  return `matrix(${matrixOf(view, size).map((one) => one.toFixed(5)).join(' ')})`;
}

export function ShoreLine({ path, at }: { path: string; at: At }): JSX.Element {
  return <path class="map-shore" d={path} transform={transformOf(at)} vector-effect="non-scaling-stroke" />;
}

/** The writing of a contour: the number alone; the unit stands in the legend. */
export function contourText(contour: Contour, unit: string): string {
  return String(Number(inUnit(contour.depth.value, unit).toFixed(2)));
}

export function ContourLines({ contours, at }: { contours: Contour[]; at: At }): JSX.Element {
  const drawn = useMemo(() => {
    const every = everyLabelled(contours.length);
    return contours.map((contour, index) => (
      <path key={index} class={(index + 1) % every === 0 ? 'map-contour map-contour-main' : 'map-contour'} d={pathOf(contour.rings, true)} vector-effect="non-scaling-stroke" />
    ));
  }, [contours]);
  return <g transform={transformOf(at)}>{drawn}</g>;
}

const REST_MS = 160;

/** The view once it rests: labels are placed anew only then. */
function useResting(at: At): At {
  const [resting, setResting] = useState(at);
  const { view, size } = at;
  useEffect(() => {
    if (resting.size.width !== size.width || resting.size.height !== size.height) { setResting(at); return undefined; }
    const timer = setTimeout(() => setResting(at), REST_MS);
    return () => clearTimeout(timer);
  }, [view, size]);
  return resting;
}

export function ContourLabels({ contours, placed, at, unit }: { contours: Contour[]; placed: Placed[]; at: At; unit: string }): JSX.Element {
  const rest = useResting(at);
  const labels = useMemo<Label[]>(
    () => placeLabels(contours, rest.view, rest.size, (contour) => contourText(contour, unit), placed.flatMap(({ middle }) => (middle ? [middle] : [])), (pixel) => toPlane(rest.view, rest.size, pixel)),
    [contours, placed, rest, unit]);
  return (
    <g class="map-labels">
      {labels.map(({ spot, turn, text }, index) => {
        const [x, y] = toScreen(at.view, at.size, spot);
        return <text key={index} transform={`translate(${x.toFixed(1)} ${y.toFixed(1)}) rotate(${turn.toFixed(1)})`} dy={5} text-anchor="middle">{text}</text>;
      })}
    </g>
  );
}

export interface Placed { zone: Zone; rings: Spot[][]; isLine: boolean; middle: Spot | null }

/** The zones in the plane, with the spot that their mark stands on. */
export function placedZones(zones: Zone[], plane: Plane): Placed[] {
  return zones.map((zone) => {
    const { rings, spots } = linesOf(zone.outline);
    const lines = rings.map((ring) => ring.map(plane.toSpot));
    const isLine = zone.outline?.type === 'LineString' || zone.outline?.type === 'MultiLineString';
    const first = lines[0] ?? [];
    const all = spots.length ? spots.map(plane.toSpot) : isLine ? first.slice(Math.floor(first.length / 2), Math.floor(first.length / 2) + 1) : first.slice(0, -1);
    const mean = (axis: 0 | 1): number => all.reduce((sum, one) => sum + one[axis], 0) / all.length;
    return { zone, rings: lines, isLine, middle: all.length ? [mean(0), mean(1)] : null };
  });
}

export function ZoneLines({ placed, at, without }: { placed: Placed[]; at: At; without: number | null }): JSX.Element {
  const drawn = useMemo(() => placed.filter(({ zone, rings }) => zone.id !== without && rings.length).map(({ zone, rings, isLine }) => (
    <path key={zone.id} class={`map-zone map-zone-${zone.kind}${isLine ? ' map-zone-line' : ''}`} d={pathOf(rings, !isLine)} vector-effect="non-scaling-stroke" />
  )), [placed, without]);
  return <g transform={transformOf(at)}>{drawn}</g>;
}

const NAME_PX = 7.4;

/** Marks first, then as many names as fit without touching. */
export function ZoneMarks({ placed, at, without }: { placed: Placed[]; at: At; without: number | null }): JSX.Element {
  const shown = placed.flatMap(({ zone, middle }) => {
    if (!middle || zone.id === without) return [];
    const [x, y] = toScreen(at.view, at.size, middle);
    return x < -20 || y < -20 || x > at.size.width + 20 || y > at.size.height + 20 ? [] : [{ zone, x, y }];
  });
  const taken = shown.map(({ x, y }) => ({ left: x - 13, right: x + 13, top: y - 13, bottom: y + 13 }));
  const names = shown.flatMap(({ zone, x, y }) => {
    const wide = zone.name.length * NAME_PX;
    for (const right of [true, false]) {
      const left = right ? x + 15 : x - 15 - wide;
      const box = { left, right: left + wide, top: y - 10, bottom: y + 10 };
      const free = left > 2 && box.right < at.size.width - 2 && !taken.some((other) => other.left < box.right && other.right > box.left && other.top < box.bottom && other.bottom > box.top);
      if (free) { taken.push(box); return [{ zone, x: right ? x + 15 : x - 15, y, right }]; }
    }
    return [];
  });
  return (
    <g>
      {names.map(({ zone, x, y, right }) => <text key={zone.id} class="map-name" x={x} y={y + 5} text-anchor={right ? 'start' : 'end'}>{zone.name}</text>)}
      {shown.map(({ zone, x, y }) => <PlaceMark key={zone.id} kind={zone.kind} x={x} y={y} />)}
    </g>
  );
}

/** Good soundings by class, each class one path of dots: a line of no length with round or square ends. */
export function SoundingDots({ soundings, limits, at }: { soundings: Soundings; limits: [number, number, number]; at: At }): JSX.Element {
  const drawn = useMemo(() => {
    const { x, y, residual, flaw } = soundings.soundings;
    const paths = new Map<Residual, string[]>(RESIDUALS.map((one) => [one, []]));
    flaw.forEach((one, index) => {
      if (one === 'good') paths.get(residualClass(residual[index] ?? null, limits))?.push(`M${(x[index] ?? 0).toFixed(2)} ${(y[index] ?? 0).toFixed(2)}h0`);
    });
    return [...paths].filter(([, list]) => list.length).map(([one, list]) => {
      const d = list.join('');
      const end = one > 0 ? 'square' : 'round';
      return (
        <g key={one} class={`residual residual-${one < 0 ? 'shallow' : one > 0 ? 'deep' : 'none'}`} stroke-linecap={end}>
          <path class={`residual-rim residual-${Math.abs(one)}`} d={d} vector-effect="non-scaling-stroke" />
          <path class={`residual-dot residual-${Math.abs(one)}`} d={d} vector-effect="non-scaling-stroke" />
        </g>
      );
    });
  }, [soundings, limits]);
  const spacing = useMemo(() => spacingOf(soundings), [soundings]);
  return <g transform={transformOf(at)} style={{ '--dot': dotSize(spacing, at) }}>{drawn}</g>;
}

/** The usual distance from one sounding to the next, metres. */
function spacingOf({ soundings: { x, y, flaw } }: Soundings): number {
  const gaps: number[] = [];
  for (let at = 1; at < x.length && gaps.length < 2000; at++) {
    if (flaw[at] === 'good' && flaw[at - 1] === 'good') gaps.push(Math.hypot((x[at] ?? 0) - (x[at - 1] ?? 0), (y[at] ?? 0) - (y[at - 1] ?? 0)));
  }
  gaps.sort((one, other) => one - other);
  return gaps[gaps.length >> 1] ?? Infinity;
}

const ROOM_PX = 9;

/** Dots shrink where they would hide one another. */
function dotSize(spacing: number, { view }: At): string {
  return Math.min(1, Math.max(0.4, (spacing * view.scale) / ROOM_PX)).toFixed(2);
}

const CROSS_PX = 5;

/** Soundings set aside: crosses, whatever the scale. */
export function SetAsideCrosses({ soundings, at }: { soundings: Soundings; at: At }): JSX.Element {
  const { x, y, flaw } = soundings.soundings;
  const parts: string[] = [];
  flaw.forEach((one, index) => {
    if (one === 'good') return;
    const [px, py] = toScreen(at.view, at.size, [x[index] ?? 0, y[index] ?? 0]);
    if (px < -9 || py < -9 || px > at.size.width + 9 || py > at.size.height + 9) return;
    parts.push(`M${(px - CROSS_PX).toFixed(1)} ${(py - CROSS_PX).toFixed(1)}l${2 * CROSS_PX} ${2 * CROSS_PX}m0 ${-2 * CROSS_PX}l${-2 * CROSS_PX} ${2 * CROSS_PX}`);
  });
  const d = parts.join('');
  return <g><path class="aside-rim" d={d} /><path class="aside-cross" d={d} /></g>;
}
