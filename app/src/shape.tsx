// SPDX-License-Identifier: Apache-2.0
// The outline of a water as it was surveyed, with its places: no tiles, no network, north up.
import type { JSX } from 'preact';
import type { Shape, Zone } from './types';

type Spot = [number, number];

interface Lines { rings: Spot[][]; spots: Spot[] }

function isSpot(value: unknown): value is Spot {
  return Array.isArray(value) && typeof value[0] === 'number' && typeof value[1] === 'number';
}

/** Every ring or line, and every single point, of a geometry. */
function linesOf(shape: Shape | null): Lines {
  const out: Lines = { rings: [], spots: [] };
  const walk = (value: unknown): void => {
    if (isSpot(value)) out.spots.push(value);
    else if (Array.isArray(value) && value.length > 0 && value.every(isSpot)) out.rings.push(value);
    else if (Array.isArray(value)) value.forEach(walk);
  };
  if (shape?.geometries) shape.geometries.forEach((one) => { const inner = linesOf(one); out.rings.push(...inner.rings); out.spots.push(...inner.spots); });
  else if (shape?.type === 'MultiPoint' && Array.isArray(shape.coordinates)) out.spots.push(...shape.coordinates.filter(isSpot));
  else walk(shape?.coordinates);
  return out;
}

const DEGREE_M = 111320;
const EDGE = 16;

interface Plan { at: (spot: Spot) => Spot; height: number; pixelsPerMetre: number }

/** Flat drawing: longitudes shrunk by the cosine of the latitude, which is true enough for a lake. */
function planOf(rings: Spot[][], width: number, mostHeight: number): Plan | null {
  const all = rings.flat();
  if (!all.length) return null;
  const west = Math.min(...all.map(([lon]) => lon));
  const east = Math.max(...all.map(([lon]) => lon));
  const south = Math.min(...all.map(([, lat]) => lat));
  const north = Math.max(...all.map(([, lat]) => lat));
  const shrink = Math.cos(((north + south) / 2) * Math.PI / 180);
  const wide = Math.max((east - west) * shrink * DEGREE_M, 1);
  const high = Math.max((north - south) * DEGREE_M, 1);
  const scale = Math.min((width - 2 * EDGE) / wide, (mostHeight - 2 * EDGE) / high);
  const left = (width - wide * scale) / 2;
  return {
    at: ([lon, lat]) => [left + (lon - west) * shrink * DEGREE_M * scale, EDGE + (north - lat) * DEGREE_M * scale],
    height: high * scale + 2 * EDGE + 26, pixelsPerMetre: scale,
  };
}

function path(rings: Spot[][], at: Plan['at']): string {
  return rings.map((ring) => `M${ring.map((spot) => at(spot).map((one) => one.toFixed(1)).join(' ')).join('L')}Z`).join('');
}

function middle({ rings, spots }: Lines): Spot | null {
  const all = spots.length ? spots : (rings[0] ?? []);
  if (!all.length) return null;
  return [all.reduce((sum, [lon]) => sum + lon, 0) / all.length, all.reduce((sum, [, lat]) => sum + lat, 0) / all.length];
}

/** A round length that is about a fifth of the width. */
function scaleBar(pixelsPerMetre: number, width: number, metric: boolean): { pixels: number; text: string } {
  const unit = metric ? 1 : 0.3048;
  const raw = width / 5 / pixelsPerMetre / unit;
  const power = 10 ** Math.floor(Math.log10(raw));
  const round = [5, 2, 1].map((one) => one * power).find((one) => one <= raw) ?? power;
  return { pixels: round * unit * pixelsPerMetre, text: `${round.toLocaleString('en-US')} ${metric ? 'm' : 'ft'}` };
}

export function ShapeDrawing({ outline, zones, name, metric }: { outline: Shape; zones: Zone[]; name: string; metric: boolean }): JSX.Element | null {
  const width = 340;
  const { rings } = linesOf(outline);
  const plan = planOf(rings, width, 260);
  if (!plan) return null;
  const bar = scaleBar(plan.pixelsPerMetre, width, metric);
  const places = zones.map((zone, at) => ({ zone, at, lines: linesOf(zone.outline) }));
  const summary = `Outline of ${name}, north up${zones.length ? `, with ${zones.map((zone) => `${zone.name} (${zone.kind})`).join(', ')}` : ''}.`;
  return (
    <svg class="shape" viewBox={`0 0 ${width} ${plan.height}`} role="img" aria-label={summary}>
      <path class="shape-water" d={path(rings, plan.at)} fill-rule="evenodd" />
      {places.map(({ zone, lines }) => <path key={`a${zone.id}`} class={`shape-zone shape-${zone.kind}`} d={path(lines.rings, plan.at)} />)}
      {places.map(({ zone, at, lines }) => {
        const spot = middle(lines);
        if (!spot) return null;
        const [x, y] = plan.at(spot);
        return <g key={`n${zone.id}`}><circle class={zone.kind === 'hazard' ? 'shape-mark shape-mark-hazard' : 'shape-mark'} cx={x} cy={y} r={11} /><text class="shape-number" x={x} y={y + 5} text-anchor="middle">{at + 1}</text></g>;
      })}
      <path class="shape-bar" d={`M${EDGE} ${plan.height - 16}v6h${bar.pixels.toFixed(1)}v-6`} />
      <text class="chart-text" x={EDGE + bar.pixels + 8} y={plan.height - 8}>{bar.text}</text>
      <path class="shape-bar" d={`M${width - EDGE} ${plan.height - 6}v-20l-4 7m4-7l4 7`} />
      <text class="chart-text" x={width - EDGE - 10} y={plan.height - 8} text-anchor="end">N</text>
    </svg>
  );
}
