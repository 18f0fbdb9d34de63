// SPDX-License-Identifier: Apache-2.0
// The weather that was, or that is forecast: rain ahead and wind decide whether a dose waits.
import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { useCell } from '../cell';
import { fromSerial, nearDay, serial } from '../dates';
import { version } from '../live';
import { Chips, Field, Refused } from '../parts';
import type { FormProps } from './log';
import { WaterField, withUnit } from './log-fields';

const FIELDS = [
  { key: 'rain', label: 'Rain', us: 'in', metric: 'mm' }, { key: 'wind', label: 'Wind', us: 'mph', metric: 'm/s' },
  { key: 'air', label: 'Air', us: 'degF', metric: 'degC' }, { key: 'cloud', label: 'Cloud', us: '%', metric: '%' },
];

export function WeatherForm(props: FormProps): JSX.Element {
  const known = useCell(version);
  const system = known?.units === 'metric' ? 'metric' : 'us';
  const [whole, setWhole] = useState(true);
  const [typed, setTyped] = useState<Record<string, string>>({});
  const [ahead, setAhead] = useState(1);
  const [busy, setBusy] = useState(false);
  useEffect(() => { if (props.putBack !== null) setTyped(JSON.parse(props.putBack) as Record<string, string>); }, [props.putBack]);
  const today = known?.today ?? '';
  const day = today ? fromSerial(serial(today) + ahead) : '';
  const water = whole ? 0 : props.water;
  const given = FIELDS.filter(({ key }) => (typed[key] ?? '').trim() !== '');
  const save = async (event: Event): Promise<void> => {
    event.preventDefault();
    if (busy || !given.length) return;
    setBusy(true);
    const values = Object.fromEntries(given.map((field) => [field.key, withUnit(typed[field.key] ?? '', field[system])]));
    const said = `weather ${day}: ${Object.entries(values).map(([key, value]) => `${key} ${value}`).join(', ')}`;
    if (await props.save('/weather', { water, on: day, forecast: ahead > 0, ...values }, said, JSON.stringify(typed))) setTyped({});
    setBusy(false);
  };
  return (
    <>
      <WaterField waters={props.waters} water={water} none="The whole place" onWater={(id) => { setWhole(id === 0); if (id !== 0) props.onWater(id); }} />
      <form class="form" onSubmit={save}>
        <Chips label="For which day" small chosen={ahead} onChoose={setAhead}
          options={[-1, 0, 1, 2, 3].map((value) => ({ value, text: today ? nearDay(fromSerial(serial(today) + value), today) : String(value) }))} />
        <div class="form form-grid">
          {FIELDS.map((field) => (
            <Field key={field.key} label={`${field.label}, ${field[system].replace('deg', '°')}`}>
              <input type="text" inputMode="decimal" autocomplete="off" value={typed[field.key] ?? ''}
                onInput={(event) => { const value = event.currentTarget.value; setTyped((before) => ({ ...before, [field.key]: value })); }} />
            </Field>
          ))}
        </div>
        <Refused fault={props.fault} kept="What you typed is still in the form. Mend it and save again." />
        <button class="button strong big" type="submit" disabled={busy || !given.length}>Save</button>
        <p class="small quiet">Kept as a forecast when the day is still ahead. One of the four is enough.</p>
      </form>
    </>
  );
}
