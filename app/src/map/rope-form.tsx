// SPDX-License-Identifier: Apache-2.0
// Depths read with a marked rope: tap the place, type the depth, the next one.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { version } from '../live';
import { DayField, NumberField, withUnit } from '../screens/log-fields';
import { recall, remember } from '../prefs';
import { placeText } from './plane';
import { SavedNote, type Saver } from './save';
import type { Spot } from './types';

export function RopeForm({ water, place, unit, saver, onLeave }: {
  water: number; place: Spot | null; unit: string; saver: Saver; onLeave: () => void;
}): JSX.Element {
  const known = recall('unit.rope');
  const [chosen, setChosen] = useState(known === 'ft' || known === 'm' ? known : unit);
  const [typed, setTyped] = useState('');
  const [day, setDay] = useState(version.get()?.today ?? '');
  const [taken, setTaken] = useState(0);
  const save = async (event: Event): Promise<void> => {
    event.preventDefault();
    if (!place) return;
    const depth = withUnit(typed, chosen);
    const body = { latitude: Number(place[1].toFixed(8)), longitude: Number(place[0].toFixed(8)), depth, ...(day ? { date: day } : {}) };
    if (!await saver.run({ method: 'POST', path: `/waters/${water}/depths`, body, shown: `depth ${depth} at ${placeText(place)}` })) return;
    setTyped('');
    setTaken(taken + 1);
  };
  return (
    <form class="form inset" onSubmit={(event) => void save(event)} aria-label="Depths by rope">
      <p><strong>{place ? `At ${placeText(place)}` : 'Tap the map where you lowered the rope, or move the cross there and press Enter.'}</strong></p>
      <p class="small quiet">A weight on a line marked every foot, straight down, from the surface as it stands today.{taken > 0 ? ` ${taken} taken so far; ten, well spread, make a shape to trust.` : ''}</p>
      <NumberField label="Depth" value={typed} onValue={setTyped} units={unit === 'm' ? ['m', 'ft'] : ['ft', 'm']} unit={chosen} onUnit={(one) => { setChosen(one); remember('unit.rope', one); }} />
      <DayField day={day} onDay={setDay} />
      <SavedNote saver={saver} kept="What you typed is still here." />
      <p class="acts">
        <button class="button strong" type="submit" disabled={!place || !typed.trim() || saver.saving}>Save this depth</button>
        <button class="button" type="button" onClick={onLeave}>{taken ? 'Done' : 'Leave it'}</button>
      </p>
    </form>
  );
}
