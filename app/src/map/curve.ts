// SPDX-License-Identifier: Apache-2.0
// Area and volume at any level between full pool and empty: straight between the rows of the server's
// table, so that at a row it is that row's own figure. And the share of the bed shallower than a depth.
import type { CurveRow, HypsoRow } from './types';

/** Four stops of the slider between two rows. */
export const STOPS = 4;

export interface AtLevel { down: number; area: number; volume: number; low: number; high: number; mean: number; row: CurveRow | null }

function mix(a: number, b: number, part: number): number {
  return a + (b - a) * part;
}

export function stopsOf(curve: CurveRow[]): number {
  return Math.max(0, (curve.length - 1) * STOPS);
}

export function atStop(curve: CurveRow[], stop: number): AtLevel | null {
  const last = curve.length - 1;
  const at = Math.min(Math.max(Math.floor(stop / STOPS), 0), last);
  const row = curve[at];
  if (!row) return null;
  const next = curve[Math.min(at + 1, last)] ?? row;
  const part = at === last ? 0 : stop / STOPS - at;
  const area = mix(row.area.value, next.area.value, part);
  const volume = mix(row.volume.value, next.volume.value, part);
  return {
    down: Math.max(0, -mix(row.level.value, next.level.value, part)), area, volume,
    low: mix(row.volume.low, next.volume.low, part), high: mix(row.volume.high, next.volume.high, part),
    mean: area > 0 ? volume / area : 0, row: part === 0 ? row : null,
  };
}

/** The stop nearest to a level (metres, negative below full pool), in parts of a stop. */
export function stopOf(curve: CurveRow[], level: number): number {
  for (let at = 0; at + 1 < curve.length; at++) {
    const high = curve[at]?.level.value ?? 0;
    const low = curve[at + 1]?.level.value ?? 0;
    if (level >= low) return Math.max(0, (at + (high - level) / (high - low)) * STOPS);
  }
  return stopsOf(curve);
}

/** Share (0 to 1) of the surface at full pool that is shallower than this depth (m). */
export function shareShallower(rows: HypsoRow[], depth: number): number {
  for (let at = 0; at + 1 < rows.length; at++) {
    const [here, next] = [rows[at], rows[at + 1]];
    if (!here || !next || depth > next.depth.value) continue;
    const gap = next.depth.value - here.depth.value;
    return mix(here.share_shallower.value, next.share_shallower.value, gap > 0 ? Math.max(0, (depth - here.depth.value) / gap) : 0);
  }
  return rows.length ? 1 : 0;
}
