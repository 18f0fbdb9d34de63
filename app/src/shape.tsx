// SPDX-License-Identifier: Apache-2.0
// The outline of a water as it was surveyed, with its places: no tiles, no network, north up.
import type { JSX } from 'preact';
import { linesOf } from './map/plane';
import type { Spot } from './map/types';
import { scaleBar } from './map/view';
import type { Shape, Zone } from './types';

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

function middle({ rings, spots }: ReturnType<typeof linesOf>): Spot | null {
  const all = spots.length ? spots : (rings[0] ?? []);
  if (!all.length) return null;
  return [all.reduce((sum, [lon]) => sum + lon, 0) / all.length, all.reduce((sum, [, lat]) => sum + lat, 0) / all.length];
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
      {places.map(({ zone, lines }) => <path key={`a${zone.id}`} class={`shape-zone shape-${zone.kind}`} d={zone.outline?.type === 'LineString' ? path(lines.rings, plan.at).replace(/Z/g, '') : path(lines.rings, plan.at)} />)}
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
