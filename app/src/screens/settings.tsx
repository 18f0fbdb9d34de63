// SPDX-License-Identifier: Apache-2.0
// Settings: units, money, the name of the place; who writes on this device; light or dark; and the
// numbers the rules judge by.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { Fault } from '../api';
import { useCell } from '../cell';
import { useGet } from '../live';
import { asFault, Chips, Field, NotYet, Refused } from '../parts';
import { chooseWriter, writer } from '../prefs';
import { send } from '../queue';
import type { ProgramRow, Rules } from '../types';
import { basisText, readable, sentence } from '../words';
import { ThemeChips } from './more';

interface Settings { units?: string; money?: string; place?: string }

const UNITS = [{ value: 'us', text: 'Inches, acres, pounds' }, { value: 'metric', text: 'Centimetres, hectares, kilograms' }];

function Place({ settings }: { settings: Settings }): JSX.Element {
  const [place, setPlace] = useState(settings.place ?? '');
  const [money, setMoney] = useState(settings.money ?? '');
  const [fault, setFault] = useState<Fault | null>(null);
  const [done, setDone] = useState(false);
  const put = async (body: Record<string, unknown>, said: string): Promise<void> => {
    setFault(null);
    setDone(false);
    try { await send('PUT', '/settings', body, said); setDone(true); } catch (error) { setFault(asFault(error)); }
  };
  return (
    <>
      <section class="block"><h2>Units</h2><Chips label="Units" options={UNITS} chosen={settings.units ?? 'us'} onChoose={(units) => void put({ units }, `units ${units}`)} /></section>
      <form class="form" onSubmit={(event) => { event.preventDefault(); void put({ place, money }, `place ${place}, money ${money}`); }}>
        <Field label="Name of the place" wide><input type="text" value={place} autocomplete="off" onInput={(event) => setPlace(event.currentTarget.value)} /></Field>
        <Field label="Money" hint="as it is written before a price"><input type="text" value={money} autocomplete="off" onInput={(event) => setMoney(event.currentTarget.value)} /></Field>
        <Refused fault={fault} kept="The old setting still stands; what you typed is still here." />
        <p class="acts"><button class="button strong" type="submit">Save</button><span role="status" class="small">{done ? 'Saved.' : ''}</span></p>
      </form>
    </>
  );
}

function ThisDevice(): JSX.Element {
  const [name, setName] = useState(useCell(writer));
  return (
    <section class="block">
      <h2>This device</h2>
      <Field label="Who writes here" hint="goes with every entry made on this device" wide>
        <input type="text" value={name} autocomplete="off" onInput={(event) => { setName(event.currentTarget.value); chooseWriter(event.currentTarget.value); }} />
      </Field>
      <p class="field-label">Light or dark</p>
      <ThemeChips />
    </section>
  );
}

function Threshold({ row }: { row: ProgramRow }): JSX.Element {
  const [typed, setTyped] = useState<string | null>(null);
  const [fault, setFault] = useState<Fault | null>(null);
  const changed = row.value.value !== row.fallback.value;
  const put = async (text: string | null): Promise<void> => {
    setFault(null);
    try { await send('PUT', '/settings', { [row.key]: text }, `${row.meaning}: ${text ?? 'as published'}`); setTyped(null); } catch (error) { setFault(asFault(error)); }
  };
  if (typed === null) {
    return (
      <li>
        <button type="button" class="fact" onClick={() => setTyped(row.value.shown)}>
          <span>{sentence(row.meaning)}{changed && <span class="small quiet">published: {readable(row.fallback.shown)}</span>}</span>
          <span class="fact-value">{readable(row.value.shown)}</span><span class="fact-change small" aria-hidden="true">change</span>
        </button>
      </li>
    );
  }
  return (
    <li>
      <form class="form inset" onSubmit={(event) => { event.preventDefault(); void put(typed.trim()); }}>
        <Field label={sentence(row.meaning)} hint={`published: ${readable(row.fallback.shown)}. ${row.source} (${basisText(row.basis)})`} wide>
          <input type="text" value={typed} autocomplete="off" required onInput={(event) => setTyped(event.currentTarget.value)} />
        </Field>
        <Refused fault={fault} kept="The old value still stands; what you typed is still here." />
        <p class="acts"><button class="button strong" type="submit">Save</button><button class="button" type="button" onClick={() => setTyped(null)}>Leave it</button>{changed && <button class="button plain" type="button" onClick={() => void put(null)}>Back to the published</button>}</p>
      </form>
    </li>
  );
}

export function SettingsScreen(): JSX.Element {
  const settings = useGet<Settings>('/settings');
  const rules = useGet<Rules>('/rules');
  if (!settings.data || !rules.data) return <NotYet fault={settings.fault ?? rules.fault} what="the settings" />;
  return (
    <div class="two">
      <section class="col" aria-label="The place and this device">
        <header class="screen-head"><h1>Settings</h1></header>
        <Place settings={settings.data} />
        <ThisDevice />
        <p class="after"><a class="button plain" href="licences.txt">Licences</a></p>
      </section>
      <section class="col" aria-label="The numbers the rules judge by">
        <h2>The numbers the rules judge by</h2>
        <p class="quiet">Each begins as published. A change holds for every water that has no own value.</p>
        <ul class="facts">{rules.data.program.map((row) => <Threshold key={row.key} row={row} />)}</ul>
      </section>
    </div>
  );
}
