// SPDX-License-Identifier: Apache-2.0
// A place being drawn: points in the plane, added, moved and taken away; then a geometry to save.
import type { Shape, Zone } from '../types';
import { kindOf, type Form } from './kinds';
import { isSpot, type Plane } from './plane';
import type { Spot } from './types';

export interface Draft {
  /** The zone being changed; null for a new one. */
  id: number | null;
  kind: string; form: Form; name: string; points: Spot[];
  /** No more points are put down by a tap; they can be moved. */
  finished: boolean;
  /** The outline came from a file in several parts: only name and kind are changed here. */
  fixed: boolean;
}

const LEAST: Record<Form, number> = { area: 3, line: 2, spot: 1 };

export function newDraft(kind: string, zones: Zone[]): Draft {
  const { text, forms } = kindOf(kind);
  return { id: null, kind, form: forms[0] ?? 'area', name: freshName(text, zones), points: [], finished: false, fixed: false };
}

/** "Bay", "Bay 2", ... */
function freshName(text: string, zones: Zone[]): string {
  const taken = new Set(zones.map((zone) => zone.name.toLowerCase()));
  for (let number = 1; ; number++) {
    const name = number === 1 ? text : `${text} ${number}`;
    if (!taken.has(name.toLowerCase())) return name;
  }
}

/** Another kind for the same points, where it can be drawn so. */
export function ofKind(draft: Draft, kind: string, zones: Zone[]): Draft {
  const untouched = draft.id === null && draft.name === newDraft(draft.kind, zones).name;
  const { forms } = kindOf(kind);
  const form = forms.includes(draft.form) || draft.fixed ? draft.form : (forms[0] ?? 'area');
  return { ...ofForm(draft, form), kind, name: untouched ? newDraft(kind, zones).name : draft.name };
}

export function ofForm(draft: Draft, form: Form): Draft {
  const points = form === 'spot' ? draft.points.slice(-1) : draft.points;
  return { ...draft, form, points, finished: form === 'spot' ? points.length > 0 : draft.finished && points.length >= LEAST[form] };
}

export function isEnough(draft: Draft): boolean {
  return draft.fixed || draft.points.length >= LEAST[draft.form];
}

export function withPoint(draft: Draft, spot: Spot): Draft {
  if (draft.fixed) return draft;
  if (draft.form === 'spot') return { ...draft, points: [spot], finished: true };
  return draft.finished ? draft : { ...draft, points: [...draft.points, spot] };
}

export function withMoved(draft: Draft, at: number, spot: Spot): Draft {
  return { ...draft, points: draft.points.map((one, index) => (index === at ? spot : one)) };
}

export function withInserted(draft: Draft, after: number, spot: Spot): Draft {
  return { ...draft, points: [...draft.points.slice(0, after + 1), spot, ...draft.points.slice(after + 1)] };
}

export function without(draft: Draft, at: number): Draft {
  const points = draft.points.filter((_, index) => index !== at);
  return { ...draft, points, finished: draft.finished && points.length >= LEAST[draft.form] };
}

export function finished(draft: Draft): Draft {
  return isEnough(draft) ? { ...draft, finished: true } : draft;
}

/** What is still needed, in words; empty when it can be saved. */
export function wanting(draft: Draft): string {
  const missing = LEAST[draft.form] - draft.points.length;
  if (draft.fixed || missing <= 0) return '';
  return missing === 1 ? '1 more point' : `${missing} more points`;
}

export function geometryOf(draft: Draft, plane: Plane): Shape {
  const places = draft.points.map((spot) => plane.toPlace(spot).map((one) => Number(one.toFixed(8))) as Spot);
  if (draft.form === 'spot') return { type: 'Point', coordinates: places[0] };
  if (draft.form === 'line') return { type: 'LineString', coordinates: places };
  return { type: 'Polygon', coordinates: [[...places, places[0]]] };
}

/** The points of a zone that can be changed here: one spot, one line, or one ring without islands. */
function simple(shape: Shape | null): { form: Form; places: Spot[] } | null {
  const coordinates = shape?.coordinates;
  if (shape?.type === 'Point' && isSpot(coordinates)) return { form: 'spot', places: [coordinates] };
  if (!Array.isArray(coordinates)) return null;
  if (shape?.type === 'LineString' && coordinates.every(isSpot)) return { form: 'line', places: coordinates };
  const ring: unknown = coordinates[0];
  if (shape?.type !== 'Polygon' || coordinates.length !== 1 || !Array.isArray(ring) || !ring.every(isSpot)) return null;
  return { form: 'area', places: ring.slice(0, -1) };
}

export function draftOf(zone: Zone, plane: Plane): Draft {
  const found = simple(zone.outline);
  const kept = { id: zone.id, kind: zone.kind, name: zone.name };
  if (found) return { ...kept, form: found.form, points: found.places.map(plane.toSpot), finished: true, fixed: false };
  if (zone.outline) return { ...kept, form: 'area', points: [], finished: true, fixed: true };
  return { ...kept, form: kindOf(zone.kind).forms[0] ?? 'area', points: [], finished: false, fixed: false };
}

/** Area of a ring in the plane, m2. */
export function areaOf(points: Spot[]): number {
  let twice = 0;
  points.forEach(([x, y], at) => {
    const [nextX, nextY] = points[(at + 1) % points.length] ?? [0, 0];
    twice += x * nextY - nextX * y;
  });
  return Math.abs(twice) / 2;
}
