// SPDX-License-Identifier: Apache-2.0
// What lies under the pointer: the depth, how sure, where, and in which places; said aloud when the
// cross is moved by keys or finger.
import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { depthAt, type Bed } from './bed';
import type { Placed } from './layers';
import { sayDepth } from './measure';
import { placeText, type Plane } from './plane';
import type { Cursor } from './stage';
import type { Spot } from './types';
import { sentence } from '../words';

interface Reading { main: string; sure: string; rest: string; metres: number | null; where: string; place: Spot | null }

const NOTHING: Reading = { main: '', sure: '', rest: 'Point at the map, tap it, or use the arrow keys: here stands how deep it is.', metres: null, where: '', place: null };

/** Even-odd: is the spot inside these rings? */
export function inside(rings: Spot[][], [x, y]: Spot): boolean {
  let odd = false;
  for (const ring of rings) {
    for (let at = 0, before = ring.length - 1; at < ring.length; before = at++) {
      const [ax, ay] = ring[at] as Spot;
      const [bx, by] = ring[before] as Spot;
      if ((ay > y) !== (by > y) && x < ((bx - ax) * (y - ay)) / (by - ay) + ax) odd = !odd;
    }
  }
  return odd;
}

function atLevel(depth: number, down: number, unit: string): string {
  if (down < 0.001) return '';
  return `${depth > down ? sayDepth(depth - down, unit) : 'dry'} with the pool ${sayDepth(down, unit)} down`;
}

function readingOf(cursor: Cursor | null, bed: Bed | null, plane: Plane, placed: Placed[], down: number, unit: string): Reading {
  if (!cursor) return NOTHING;
  const { spot } = cursor;
  const names = placed.filter(({ rings, isLine }) => !isLine && rings.length > 0 && inside(rings, spot)).map(({ zone }) => zone.name);
  const place = plane.toPlace(spot);
  const where = [names.length ? `in ${names.join(', ')}` : '', placeText(place)].filter(Boolean).join(' · ');
  if (!bed) return { main: '', sure: '', rest: 'How deep it is here is not known yet.', metres: null, where, place };
  const found = depthAt(bed, spot);
  if (!found) return { main: '', sure: '', rest: 'Not on the water.', metres: null, where, place };
  const sure = found.error === null ? '' : `, give or take ${sayDepth(found.error, unit, found.error)}`;
  return { main: sayDepth(found.depth, unit, found.error), sure, rest: atLevel(found.depth, down, unit), metres: found.depth, where, place };
}

const HUSH_MS = 250;

/** The text once the cross has come to rest, for screen readers. */
function useSpoken(text: string, speak: boolean): string {
  const [spoken, setSpoken] = useState('');
  useEffect(() => {
    if (!speak) return undefined;
    const timer = setTimeout(() => setSpoken(text), HUSH_MS);
    return () => clearTimeout(timer);
  }, [text, speak]);
  return spoken;
}

export function Readout({ cursor, bed, plane, placed, down, unit }: {
  cursor: Cursor | null; bed: Bed | null; plane: Plane; placed: Placed[]; down: number; unit: string;
}): JSX.Element {
  const reading = readingOf(cursor, bed, plane, placed, down, unit);
  const names = reading.where.startsWith('in ') ? reading.where.split(' · ')[0] : '';
  const spoken = useSpoken([`${reading.main}${reading.sure}`, reading.rest, names].filter(Boolean).join('; '), cursor !== null && cursor.by !== 'mouse');
  return (
    <div class="map-read">
      <p class="map-depth">
        {reading.metres === null ? <span class="quiet">{reading.rest}</span>
          : <><data class="answer" value={String(reading.metres)}>{reading.main}</data><span>{reading.sure}</span></>}
      </p>
      {reading.metres !== null && reading.rest && <p>{sentence(reading.rest)}.</p>}
      <p class="small quiet">{reading.place ? <data class="map-place" value={`${reading.place[1]},${reading.place[0]}`}>{reading.where}</data> : '\u00a0'}</p>
      <p class="unseen" aria-live="polite" id="map-spoken">{spoken}</p>
    </div>
  );
}
