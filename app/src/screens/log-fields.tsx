// SPDX-License-Identifier: Apache-2.0
// The fields that the forms of the log share: the water, the day, the big number with its unit.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { fromSerial, serial, shortDay } from '../dates';
import { version } from '../live';
import { Chips, Field } from '../parts';
import type { Day, WaterLine } from '../types';
import { unitText } from '../units';

const CHIPS_AT_MOST = 6;

export function WaterField({ waters, water, onWater, none }: {
  waters: WaterLine[]; water: number; onWater: (id: number) => void; none?: string;
}): JSX.Element {
  const options = [...(none ? [{ value: 0, text: none }] : []), ...waters.map(({ id, name }) => ({ value: id, text: name }))];
  if (options.length <= CHIPS_AT_MOST) return <Chips label="Which water" even options={options} chosen={water} onChoose={onWater} />;
  return (
    <Field label="Which water" wide>
      <select value={String(water)} onChange={(event) => onWater(Number(event.currentTarget.value))}>
        {options.map(({ value, text }) => <option key={value} value={String(value)}>{text}</option>)}
      </select>
    </Field>
  );
}

/** The day: today unless told otherwise. */
export function DayField({ day, onDay }: { day: Day; onDay: (day: Day) => void }): JSX.Element {
  const today = version.get()?.today ?? day;
  const yesterday = fromSerial(serial(today) - 1);
  const [other, setOther] = useState(day !== today && day !== yesterday);
  const choose = (value: string): void => {
    setOther(value === 'other');
    if (value !== 'other') onDay(value);
  };
  return (
    <div class="day-field">
      <Chips label="On which day" small chosen={other ? 'other' : day} onChoose={choose}
        options={[{ value: today, text: `Today, ${shortDay(today)}` }, { value: yesterday, text: 'Yesterday' }, { value: 'other', text: 'Other day' }]} />
      {other && <Field label="Day"><input type="date" value={day} max={today} required onInput={(event) => { if (event.currentTarget.value) onDay(event.currentTarget.value); }} /></Field>}
    </div>
  );
}

export function NumberField({ label, value, onValue, units, unit, onUnit, signed, invalid }: {
  label: string; value: string; onValue: (value: string) => void;
  units: string[]; unit: string; onUnit: (unit: string) => void; signed?: boolean; invalid?: boolean;
}): JSX.Element {
  return (
    <div class="number-field">
      <label class="field-label" for="number">{label}</label>
      <input id="number" class="number" type="text" inputMode={signed ? 'text' : 'decimal'} autocomplete="off" enterKeyHint="done" required
        aria-invalid={invalid ? 'true' : undefined} value={value} onInput={(event) => onValue(event.currentTarget.value)} />
      {units.length > 1 && <Chips label="Unit" small options={units.map((one) => ({ value: one, text: unitText(one) || one }))} chosen={unit} onChoose={onUnit} />}
      {units.length === 1 && <span class="number-unit">{unitText(units[0] ?? '')}</span>}
    </div>
  );
}

/** "40" and "in" make "40 in"; what already names its unit stays as typed. */
export function withUnit(typed: string, unit: string): string {
  const text = typed.trim();
  return unit && /^[-+]?[\d.,\s]+$/.test(text) ? `${text} ${unit}` : text;
}
