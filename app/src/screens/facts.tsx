// SPDX-License-Identifier: Apache-2.0
// The facts of a water, each to be changed in place: what was typed goes to the server as it stands.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { Fault } from '../api';
import { useCell } from '../cell';
import { version } from '../live';
import { asFault, Chips, Field, Refused } from '../parts';
import { send } from '../queue';
import type { FactValue, Sheet } from '../types';
import { readable } from '../words';

export interface FactField {
  key: string; label: string;
  hint?: { us: string; metric: string } | undefined;
  choices?: Array<{ value: string; text: string }> | undefined;
  long?: boolean | undefined;
}

const both = (text: string): { us: string; metric: string } => ({ us: text, metric: text });

export const FACT_GROUPS: Array<{ title: string; fields: FactField[] }> = [
  {
    title: 'Name and place', fields: [
      { key: 'name', label: 'Name' },
      { key: 'place', label: 'Place (latitude, longitude)', hint: both('33.1, -86.4') },
      { key: 'elevation', label: 'Elevation', hint: { us: '450 ft', metric: '140 m' } },
      { key: 'area', label: 'Area as you know it', hint: { us: '12 acre', metric: '5 ha' } },
      { key: 'mean_depth', label: 'Mean depth', hint: { us: '6 ft', metric: '1.8 m' } },
      { key: 'max_depth', label: 'Greatest depth', hint: { us: '14 ft', metric: '4 m' } },
      { key: 'outflow', label: 'Usual outflow in the season', hint: { us: '1.2 cfs', metric: '30 L/s' } },
    ],
  },
  {
    title: 'Aim and season', fields: [
      { key: 'aim_low', label: 'Aim, upper edge', hint: { us: '18 in', metric: '45 cm' } },
      { key: 'aim_high', label: 'Aim, lower edge', hint: { us: '24 in', metric: '60 cm' } },
      { key: 'alarm', label: 'Too green above', hint: { us: '12 in', metric: '30 cm' } },
      { key: 'start_temperature', label: 'Warm enough to begin', hint: { us: '60 degF', metric: '16 degC' } },
      { key: 'season_start', label: 'Season begins (month-day)', hint: both('04-20') },
      { key: 'season_end', label: 'Season ends (month-day)', hint: both('10-31') },
    ],
  },
  {
    title: 'What it is for', fields: [
      { key: 'use', label: 'Used for', choices: ['fishing', 'clear-water', 'wildlife', 'livestock', 'swimming'].map((value) => ({ value, text: value.replace('-', ' ') })) },
      { key: 'harvest', label: 'Fish are taken out', choices: [{ value: 'yes', text: 'yes' }, { value: 'no', text: 'no' }] },
      { key: 'fish', label: 'Fish', choices: ['stocked', 'none', 'unbalanced'].map((value) => ({ value, text: value })) },
      {
        key: 'downstream', label: 'Who gets the outflow', choices: [
          { value: 'nobody', text: 'nobody' }, { value: 'neighbours', text: 'neighbours' },
          { value: 'permit-needed', text: 'permit needed' }, { value: 'permit-held', text: 'permit held' }],
      },
      { key: 'pellets', label: 'Fish feed given', hint: { us: '5 lb/acre/day', metric: '5 kg/ha/day' } },
      { key: 'units', label: 'Units for this water', choices: [{ value: 'us', text: 'inches, acres' }, { value: 'metric', text: 'centimetres, hectares' }] },
      { key: 'note', label: 'Note', long: true },
    ],
  },
];

function shownFact(value: FactValue | undefined, field: FactField): string {
  if (value === null || value === undefined || value === '') return '';
  if (typeof value === 'string') return field.choices?.find((choice) => choice.value === value)?.text ?? value;
  return 'shown' in value ? readable(String(value['shown'])) : 'given';
}

function typedFact(value: FactValue | undefined): string {
  if (value === null || value === undefined) return '';
  if (typeof value === 'string') return value;
  return 'shown' in value ? String(value['shown']) : '';
}

export function FactInput({ field, value, onInput }: { field: FactField; value: string; onInput: (value: string) => void }): JSX.Element {
  const metric = useCell(version)?.units === 'metric';
  if (field.choices) {
    return <fieldset class="field field-wide"><legend class="field-label">{field.label}</legend><Chips label={field.label} options={field.choices} chosen={value} onChoose={onInput} /></fieldset>;
  }
  const hint = field.hint ? `for example ${field.hint[metric ? 'metric' : 'us']}` : undefined;
  return (
    <Field label={field.label} {...(hint ? { hint } : {})}>
      {field.long ? <textarea rows={3} value={value} onInput={(event) => onInput(event.currentTarget.value)} />
        : <input type="text" value={value} autocomplete="off" onInput={(event) => onInput(event.currentTarget.value)} />}
    </Field>
  );
}

function FactRow({ sheet, field }: { sheet: Sheet; field: FactField }): JSX.Element {
  const value = sheet.facts[field.key];
  const [typed, setTyped] = useState<string | null>(null);
  const [fault, setFault] = useState<Fault | null>(null);
  const shown = shownFact(value, field);
  if (typed === null) {
    return (
      <li>
        <button type="button" class={field.long ? 'fact fact-long' : 'fact'} onClick={() => { setFault(null); setTyped(typedFact(value)); }}>
          <span>{field.label}</span><span class={shown ? 'fact-value' : 'quiet'}>{shown || 'not told'}</span><span class="fact-change small" aria-hidden="true">change</span>
        </button>
      </li>
    );
  }
  const save = async (text: string | null): Promise<void> => {
    setFault(null);
    try {
      await send('PATCH', `/waters/${sheet.id}`, { [field.key]: text }, `${sheet.name}: ${field.label.toLowerCase()} ${text ?? 'cleared'}`);
      setTyped(null);
    } catch (error) { setFault(asFault(error)); }
  };
  return (
    <li>
      <form class="form inset" onSubmit={(event) => { event.preventDefault(); void save(typed.trim() || null); }}>
        <FactInput field={field} value={typed} onInput={setTyped} />
        <Refused fault={fault} kept="What you typed is still here; the old value still stands." />
        <p class="acts"><button class="button strong" type="submit">Save</button><button class="button" type="button" onClick={() => setTyped(null)}>Leave it</button>{shown && field.key !== 'name' && <button class="button plain" type="button" onClick={() => void save(null)}>Clear it</button>}</p>
      </form>
    </li>
  );
}

function untold(sheet: Sheet, fields: FactField[]): string {
  const missing = fields.filter((field) => field.choices && field.key !== 'units' && !shownFact(sheet.facts[field.key], field)).length;
  return missing ? `, ${missing} not told` : '';
}

export function Facts({ sheet }: { sheet: Sheet }): JSX.Element {
  return (
    <section class="block">
      <h2>Facts</h2>
      {FACT_GROUPS.map((group) => (
        <details class="folded" key={group.title}>
          <summary><span>{group.title}{untold(sheet, group.fields)}</span></summary>
          <ul class="facts">{group.fields.map((field) => <FactRow key={field.key} sheet={sheet} field={field} />)}</ul>
        </details>
      ))}
    </section>
  );
}
