// SPDX-License-Identifier: Apache-2.0
// Small parts round the map: what is shown on it, and the wait while the server reckons.
import type { JSX } from 'preact';
import { intervalsOf } from './bands';
import { sayDepth } from './measure';

export interface Shown { lines: boolean; soundings: boolean; places: boolean }

export function ShownChips({ shown, hasLines, hasSoundings, onShown }: { shown: Shown; hasLines: boolean; hasSoundings: boolean; onShown: (shown: Shown) => void }): JSX.Element {
  const chip = (key: keyof Shown, text: string): JSX.Element => (
    <button type="button" class="chip" aria-pressed={shown[key]} onClick={() => onShown({ ...shown, [key]: !shown[key] })}>{text}</button>
  );
  return (
    <div class="chips chips-small" role="group" aria-label="Shown on the map">
      {hasLines && chip('lines', 'Depth lines')}{chip('places', 'Places')}{hasSoundings && chip('soundings', 'Soundings')}
    </div>
  );
}

export function IntervalSelect({ deepest, unit, interval, onInterval }: { deepest: number; unit: string; interval: number; onInterval: (interval: number) => void }): JSX.Element | null {
  const list = intervalsOf(deepest, unit);
  if (list.length < 2) return null;
  return (
    <select class="chip" aria-label="A depth line every" value={String(interval)} onChange={(event) => onInterval(Number(event.currentTarget.value))}>
      {list.map((one) => <option key={one} value={String(one)}>every {sayDepth(one, unit, one < 0.5 ? 0 : 0.2).replace('.0', '')}</option>)}
    </select>
  );
}

export function Reckoning({ anew }: { anew: boolean }): JSX.Element {
  return (
    <div class="reckoning" role="status">
      <p class="small">{anew ? 'Reckoning the shape anew.' : 'Reckoning the shape from what is known. With many soundings this takes some seconds.'}</p>
      <progress aria-label="Reckoning the shape" />
    </div>
  );
}
